// Somebody at a page, as the stories need them: everything is done with the caliper, the keys and the pointer, and every
// wait is for what the page then says. Nothing here asks the station anything.
//
//   const desk = await atPage(page, station)
//   await desk.says(/flat 2$/)           until the one sentence says that
//   await desk.yes(/pin passes/)         the large button with those words, once it is armed, by the space bar
//   await desk.press("25.48")            the caliper; resolves with what the page then shows: {value, kind, mode}
//   await desk.inputs()                  {keys, clicks} that the page has had since it was opened, a scan's keys as well
//   desk.shown                           what each press showed, in order
//   await desk.end(values)               one end with good values
//   await desk.signIn(person)            at the bench; desk.signIn(person, {aside: true}) leaves the bench alone
//   await desk.asPerson(person)          badge and PIN into the question that is open
import assert from "node:assert/strict";

import {hook, scan} from "./kit/browser.js";

export const PATIENCE_MS = 60000;
export const GOOD = ["25.48", "25.50", "25.52", "25.49"];

// In the page, before anything else hears of it. A key that a foot switch sends is a key as well.
function countInputs() {
    const counted = {keys: 0, clicks: 0};
    globalThis.inputs = counted;
    addEventListener("keydown", (event) => event.isTrusted && (counted.keys += 1), {capture: true});
    addEventListener("pointerdown", (event) => event.isTrusted && (counted.clicks += 1), {capture: true});
}

export async function atPage(page, station) {
    page.setDefaultTimeout(PATIENCE_MS);
    await page.evaluate(countInputs);
    const text = (name) => hook(page, name).innerText();
    const seqNow = () => page.evaluate(() => Number(document.querySelector(".bench")?.dataset.seq ?? 0));

    const desk = {
        page,
        station,
        shown: [],
        text,
        hook: (name) => hook(page, name),
        click: (name) => hook(page, name).click(),
        inputs: () => page.evaluate(() => ({...globalThis.inputs})),

        async says(pattern) {
            try {
                await page.waitForFunction(
                    ([source, flags]) => document.body.dataset.live === "yes" && new RegExp(source, flags).test(document.querySelector('[data-test="sentence"]')?.textContent ?? ""),
                    [pattern.source, pattern.flags],
                );
            } catch {
                const now = await page.evaluate(() => ({live: document.body.dataset.live, place: document.getElementById("place").innerText}));
                assert.fail(`the page does not say ${pattern} (live: ${now.live}), but:\n${now.place}`);
            }
        },

        async yes(words) {
            const button = page.locator('body[data-live="yes"] [data-test="main"][data-armed="yes"]').filter({hasText: words});
            await button.waitFor();
            await page.keyboard.press("Space");
        },

        // What the page shows of that press: its judgement with this very value, or a stop that is newer than the press.
        async press(value, {unit = "mm"} = {}) {
            const before = await seqNow();
            await station.caliper.send(`press ${value} ${unit}`);
            const handle = await page.waitForFunction(
                ([seq, wanted]) => {
                    const bench = document.querySelector(".bench");
                    if (!bench || Number(bench.dataset.seq) <= seq) return null;
                    if (bench.dataset.mode === "stop") return {value: wanted, kind: null, mode: "stop"};
                    const said = document.querySelector('[data-test="said"]');
                    const figure = said?.querySelector('[data-test="said-value"]')?.textContent ?? "";
                    if (!figure.replace(/\s.*$/su, "").includes(wanted)) return null;
                    return {value: wanted, kind: said.dataset.kind, mode: bench.dataset.mode};
                },
                [before, value],
            );
            const shown = await handle.jsonValue();
            desk.shown.push(shown);
            return shown;
        },

        async beforeCrimp(depth = "28.02") {
            await desk.says(/^Mark the depth/);
            await desk.press(depth);
            await desk.yes(/lubricated/);
            await desk.yes(/at the edge/);
            await desk.says(/across flat 1$/);
        },

        async crimp(values = GOOD) {
            for (const [i, value] of values.entries()) {
                await desk.says(new RegExp(`across flat ${i + 1}$`));
                const shown = await desk.press(value);
                assert.equal(shown.kind, "conforms", `${value} on flat ${i + 1}`);
            }
        },

        async afterCrimp() {
            await desk.says(/still at the shell/);
            await desk.yes(/at the edge/);
            await desk.yes(/pin passes/);
        },

        async end({depth, flats} = {}) {
            await desk.beforeCrimp(depth);
            await desk.crimp(flats);
            await desk.afterCrimp();
        },

        async setUp(values) {
            await desk.says(/set-up piece/i);
            for (const [i, value] of values.entries()) {
                if (i > 0) await desk.says(new RegExp(`flat ${i + 1}$`));
                await desk.press(value);
            }
        },

        // Both ends; then the page says that it passed. An end of a row that was not set up yet asks for that first.
        async assembly({setUp = null} = {}) {
            await desk.end();
            if (setUp) await desk.setUp(setUp);
            await desk.page.locator('[data-test="which-end"]').filter({hasText: "B"}).waitFor();
            await desk.end({depth: "28.04", flats: ["25.51", "25.47", "25.53", "25.46"]});
            return desk.passed();
        },

        async passed() {
            await hook(page, "said").filter({hasText: "passed"}).waitFor();
            const found = /K1[0-9A-Z]{5,}/.exec(await text("said"));
            assert.ok(found, `the page names what passed: ${await text("said")}`);
            return found[0];
        },

        // The serial in work, as it stands in the corner of the page.
        async serial() {
            return /K1[0-9A-Z]{5,}/.exec(await text("which-of"))?.[0];
        },

        async signIn(who, {aside = false} = {}) {
            await hook(page, "who").waitFor();
            await scan(page, who.badge);
            await page.waitForFunction((badge) => document.querySelector('[data-test="who"]')?.value === badge, who.badge);
            if ((await text("secret-other")).includes("PIN")) await desk.click("secret-other");
            for (const digit of who.pin) await desk.click(`key-${digit}`);
            await desk.click(aside ? "go-aside" : "go");
            await hook(page, "self").waitFor();
            assert.match(await text("self"), new RegExp(who.name));
        },

        async asPerson(who) {
            await hook(page, "ask-person").fill(who.badge);
            for (const digit of who.pin) await page.locator(`dialog [data-test="key-${digit}"]`).click();
            await desk.click("dialog-yes");
            await page.locator("dialog[open]").waitFor({state: "detached"});
        },

        // A stop: what it says, and that it is one.
        async stopped(pattern) {
            await page.locator('.bench[data-mode="stop"]').waitFor();
            const why = await text("stop");
            assert.match(why, pattern);
            return /K1[0-9A-Z]{5,}/.exec(await text("sentence"))[0];
        },

        async quarantined() {
            await desk.yes(/quarantine place/);
            await page.locator('.bench:not([data-mode="stop"])').waitFor();
        },
    };
    return desk;
}

// Every entry of the journal, in order; read by somebody who may.
export async function journal(as) {
    const entries = [];
    for (;;) {
        const {body} = await as.get(`/api/entries?from=${entries.length + 1}&limit=1000`);
        if (body.entries.length === 0) return entries;
        entries.push(...body.entries);
    }
}

export const ofType = (entries, type) => entries.filter((e) => e.type === type);

// A figure of the page in whole nanometres, read digit by digit.
export function nanometres(text) {
    const [, sign, whole, part] = /^([+-]?)(\d+)\.(\d+)$/.exec(text);
    return (sign === "-" ? -1 : 1) * Number(`${whole}${part.padEnd(6, "0")}`);
}

// Chapters of one story: when one fails, those after it have nothing to stand on and fail at once.
export function chapters(test) {
    let broken = "";
    return (name, told) =>
        test(name, async () => {
            assert.equal(broken, "", "the story broke off before");
            try {
                await told();
            } catch (error) {
                broken = name;
                throw error;
            }
        });
}
