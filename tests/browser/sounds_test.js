// What is heard at the bench: each judgement has a sound of its own, once, and none where the station or the person at
// the screen has switched sounds off.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";
import {axe, shots, signIn} from "./kit/browser.js";
import {heard as tones, listen, reload} from "./kit/tones.js";

let bench;
before(async () => {
    bench = await openBench({to: "measure"});
    await listen(bench.page);
});
after(async () => {
    await bench.close();
});

const heard = (options) => tones(bench.page, options);

async function toFlats() {
    await bench.asks("measure", "depth");
    await bench.press("28.02");
    await bench.asks("confirm", "lubricant");
    await bench.main();
    await bench.asks("confirm", "mark_before");
    await bench.main();
    await bench.asks("measure", "crimp_diameter", 1);
    await heard();
}
const kinds = {};

test("what was there before the page opened makes no sound", async () => {
    assert.deepEqual(await heard({some: false}), []);
});

test("R5: good, refused, too close to call and wrong sound differently, each once", async () => {
    await toFlats();
    await bench.press("25.48");
    kinds.good = await heard();
    await bench.press("inch 1.0035", "unit");
    kinds.refused = await heard();
    await bench.press("25.31");
    await bench.asks("again");
    kinds.uncertain = await heard();
    await bench.press("25.24");
    await bench.page.locator('.bench[data-mode="stop"]').waitFor();
    kinds.bad = await heard();
    assert.equal(kinds.good.length, 1, "one tone: nothing to do");
    assert.equal(kinds.refused.length, 2);
    assert.equal(kinds.uncertain.length, 2);
    assert.equal(kinds.bad.length, 3, "three long ones, and no good one with them");
    // Told apart by rhythm where pitch is not heard: number and length of the tones.
    const rhythms = Object.values(kinds).map((tones) => tones.map((t) => t.split(" ")[2]).join("-"));
    assert.equal(new Set(rhythms).size, 4, rhythms.join(" | "));
    assert.equal(new Set(Object.values(kinds).map((tones) => tones.join())).size, 4);
    const pitch = (tones) => Math.max(...tones.map((t) => Number(t.split(" ")[0])));
    assert.ok(pitch(kinds.good) > 2 * pitch(kinds.bad), "wrong is the low one");
    await bench.page.waitForTimeout(1600);
    await bench.main();
});

test("sounds are switched off by the person at the screen, and stay so for them alone", async () => {
    await hook(bench.page, "self").click();
    await hook(bench.page, "ask-sound").waitFor();
    assert.equal(await hook(bench.page, "ask-sound").isChecked(), true);
    await axe(bench.page, "self");
    await shots(bench.page, "self");
    await hook(bench.page, "ask-sound").uncheck();
    await hook(bench.page, "dialog-yes").click();
    await bench.page.locator("dialog[open]").waitFor({state: "detached"});
    await bench.asks("measure", "depth");
    await bench.press("28.02");
    assert.equal(await hook(bench.page, "said").getAttribute("data-kind"), "conforms", "shown it is");
    assert.deepEqual(await heard({some: false}), []);

    // Loaded anew it is still their wish.
    await reload(bench.page);
    await bench.asks("confirm", "lubricant");
    await bench.press("25.48"); // unasked: refused
    assert.deepEqual(await heard({some: false}), []);

    // A colleague takes over at the same screen and hears.
    await hook(bench.page, "sign-out").click();
    await signIn(bench.page, bench.shop.other);
    await bench.page.locator('body[data-live="yes"] .bench').waitFor();
    await bench.press("25.48");
    assert.deepEqual(await heard(), kinds.refused);
    await hook(bench.page, "sign-out").click();
    await signIn(bench.page, bench.shop.operator);
    await hook(bench.page, "self").click();
    assert.equal(await hook(bench.page, "ask-sound").isChecked(), false);
    await hook(bench.page, "ask-sound").check();
    await hook(bench.page, "dialog-yes").click();
    await bench.page.locator("dialog[open]").waitFor({state: "detached"});
    await bench.press("25.49");
    assert.deepEqual(await heard(), kinds.refused);
});

test("a station without sounds is silent, whatever the person wishes; switched on again it is heard", async () => {
    const screen = (await bench.state()).screen;
    await bench.shop.asSetter.post("/api/screen", {...screen, sound: false});
    await bench.page.waitForFunction(async () => (await (await fetch("/api/bench")).json()).screen.sound === false);
    await bench.shows((await bench.state()).seq);
    await bench.press("25.48");
    assert.deepEqual(await heard({some: false}), []);
    await bench.shop.asSetter.post("/api/screen", {...screen, sound: true});
    await bench.shows((await bench.state()).seq);
    await bench.press("25.49");
    assert.deepEqual(await heard(), kinds.refused);
});
