// What a page lets hear: its AudioContext is watched, every tone that starts is noted with pitch, shape and length, and
// plays as before.
//
//   await listen(page)                       from now on; loads the page anew
//   await heard(page)                        the tones since the last time, as "1320 sine 190"; waits for one
//   await heard(page, {some: false})         the same where none may come
//   await reload(page)                       the page anew, touched once: browsers give no sound before that
import {hook} from "./browser.js";

export async function reload(page) {
    await page.reload();
    await hook(page, "self").waitFor();
    await page.locator('body[data-live="yes"] .bench').waitFor();
    await page.mouse.click(5, 5);
}

export async function listen(page) {
    await page.addInitScript(() => {
        globalThis.tones = [];
        const start = OscillatorNode.prototype.start;
        const stop = OscillatorNode.prototype.stop;
        OscillatorNode.prototype.start = function (at) {
            this.note = {hertz: this.frequency.value, shape: this.type, at};
            globalThis.tones.push(this.note);
            return start.call(this, at);
        };
        OscillatorNode.prototype.stop = function (at) {
            this.note.ms = Math.round((at - this.note.at) * 1000);
            return stop.call(this, at);
        };
    });
    await reload(page);
}

export async function heard(page, {some = true} = {}) {
    if (some) await page.waitForFunction(() => globalThis.tones.length > 0);
    await page.waitForTimeout(400); // and nothing comes after it
    return page.evaluate(() => globalThis.tones.splice(0).map((t) => `${t.hertz} ${t.shape} ${t.ms}`));
}
