// What every page is built on, in a real browser: keys and scans, questions over the page, redrawing under somebody's
// hands. The modules are the page's own, taken from the address that it came from.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, hook, openBrowser, scan, shots, typed} from "./kit/browser.js";
import {startStation} from "./kit/station.js";

let browser = null;
let station = null;
let page = null;
before(async () => {
    browser = await openBrowser();
    station = await startStation();
    page = await browser.page(station, {at: "/#/help"});
    await page.locator("main").waitFor();
    await page.locator("h1").first().waitFor();
    // The modules as the page itself has them, and an empty place to work in.
    await page.evaluate(async () => {
        const base = document.querySelector("script[type=module]").src;
        const bring = (name) => import(new URL(name, base));
        globalThis.kit = {};
        for (const name of ["dom", "keys", "dialog", "words", "signs", "sounds"]) globalThis.kit[name] = await bring(`kit/${name}.js`);
        globalThis.heard = [];
        globalThis.pressed = 0;
        const {el} = globalThis.kit.dom;
        globalThis.bench = el("div", {id: "test-place"});
        document.getElementById("place").replaceChildren(globalThis.bench);
    });
});
after(() => browser.close(station));

const place = (build) => page.evaluate(`(() => { const {el} = kit.dom; (${build})(el); })()`);

test("a foot switch presses the one large button, once however long the foot stays", async () => {
    await place(`(el) => {
        const go = el("button", {class: "main", on: {click: () => pressed++}}, "Go");
        bench.replaceChildren(el("h1", {}, "Test"), go);
        globalThis.off = kit.keys.onMain(() => go);
        document.activeElement.blur();
    }`);
    await page.keyboard.press("Space");
    assert.equal(await page.evaluate("pressed"), 1);
    await page.keyboard.down("Enter");
    for (let i = 0; i < 5; i += 1) await page.keyboard.down("Enter"); // repeats
    await page.keyboard.up("Enter");
    assert.equal(await page.evaluate("pressed"), 2);
    await page.evaluate("off()");
    await page.waitForTimeout(60);
    await page.keyboard.press("Space");
    assert.equal(await page.evaluate("pressed"), 2, "no page is listening any more");
});

test("a scan presses no button and lands in no text box; a person's typing stays", async () => {
    await place(`(el) => {
        const go = el("button", {class: "main", on: {click: () => pressed++}}, "Go");
        bench.replaceChildren(go, el("label", {for: "note"}, "Note"), el("input", {id: "note", type: "text"}),
            el("label", {for: "lot"}, "Lot"), el("input", {id: "lot", type: "text", data: {scan: "here"}}));
        pressed = 0;
        heard = [];
        globalThis.offMain = kit.keys.onMain(() => go);
        globalThis.offScan = kit.keys.onScan((text) => heard.push(text));
        document.activeElement.blur();
    }`);
    await scan(page, "A B C 12");
    assert.deepEqual(await page.evaluate("heard"), ["A B C 12"]);
    assert.equal(await page.evaluate("pressed"), 0, "neither its spaces nor its Enter");

    await page.focus("#note");
    await typed(page, "wet ");
    await page.waitForTimeout(80);
    await scan(page, "K1-0042");
    assert.equal(await page.inputValue("#note"), "wet ");
    assert.deepEqual(await page.evaluate("heard"), ["A B C 12", "K1-0042"]);
    await typed(page, "cover");
    assert.equal(await page.inputValue("#note"), "wet cover");

    await page.fill("#lot", "old");
    await page.focus("#lot");
    await scan(page, "R1180");
    assert.equal(await page.inputValue("#lot"), "R1180", "a field that wants scans holds the scan and nothing else");
    assert.equal((await page.evaluate("heard")).length, 2);
    await page.evaluate("offMain(), offScan()");
});

test("redrawing under somebody's hands keeps focus, what is typed and where the cursor stands", async () => {
    await page.evaluate(() => {
        const {el, redraw} = kit.dom;
        globalThis.drawTest = (n) =>
            redraw(bench, el("h1", {}, "Test"), el("p", {}, String(n)), el("label", {for: "why"}, "Why"), el("input", {id: "why", type: "text"}), el("button", {data: {test: "stay"}}, "Stay"));
        drawTest(1);
    });
    await page.focus("#why");
    await typed(page, "cover cut");
    await page.keyboard.press("Home");
    await page.evaluate("drawTest(2)");
    await typed(page, "x");
    assert.equal(await page.inputValue("#why"), "xcover cut");
    await hook(page, "stay").focus();
    await page.evaluate("drawTest(3)");
    assert.equal(await page.evaluate("document.activeElement.dataset.test"), "stay");
});

test("a question keeps focus inside, insists on what it needs, shows a refusal and can be called off", async () => {
    const open = () =>
        page.evaluate(() => {
            globalThis.answered = "open";
            kit.dialog
                .ask({
                    title: "Scrap K1-0042?",
                    body: "It cannot be taken back.",
                    danger: true,
                    yes: "Scrap it",
                    fields: [
                        {name: "reason", label: "Why", type: "area", required: true},
                        {name: "how", label: "How", type: "choice", options: [{value: "a", text: "A"}, {value: "b", text: "B"}], value: "b"},
                    ],
                    use: async (values) => (values.reason === "no" ? {ok: false, why: {code: "bench.field_empty", details: [{name: "field", text: "reason"}]}} : {ok: true}),
                })
                .then((v) => (globalThis.answered = v));
        });
    await open();
    await hook(page, "dialog").waitFor();
    await axe(page, "question");
    await shots(page, "question");
    await page.evaluate(() => (heard = []) && (globalThis.offScan = kit.keys.onScan((t) => heard.push(t))));
    for (let i = 0; i < 12; i += 1) {
        await page.keyboard.press("Tab");
        assert.ok(await page.evaluate(() => document.activeElement === document.body || document.activeElement.closest("dialog") !== null));
    }
    await hook(page, "dialog-yes").click();
    assert.match(await hook(page, "refusal").innerText(), /Why is empty/);
    await hook(page, "ask-reason").fill("no");
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /must not be empty/.test(document.querySelector('dialog [data-test="refusal"]').textContent));
    await hook(page, "ask-reason").fill("cover cut");
    await hook(page, "dialog-yes").click();
    await hook(page, "dialog").waitFor({state: "detached"});
    assert.equal(await page.evaluate("answered.reason"), "cover cut");
    assert.equal(await page.evaluate("answered.how"), "b");

    await open();
    await hook(page, "dialog").waitFor();
    await page.keyboard.press("Escape");
    await hook(page, "dialog").waitFor({state: "detached"});
    assert.equal(await page.evaluate("answered"), null);
    await page.evaluate("offScan()");
});

test("another person's word is given with badge and PIN over the page, and the page's own scans wait", async () => {
    await page.evaluate(() => {
        heard = [];
        globalThis.offScan = kit.keys.onScan((t) => heard.push(t));
        globalThis.given = [];
        kit.dialog
            .askPerson({
                title: "A QC lead must say so",
                yes: "Settle",
                use: async (by) => {
                    given.push(by);
                    return by.pin === "730284" ? {ok: true, body: {}} : {ok: false, why: {code: "people.wrong_pin", details: []}};
                },
            })
            .then((v) => (globalThis.answered = v));
    });
    await hook(page, "ask-person").waitFor();
    await axe(page, "another person");
    await shots(page, "ask-person");
    await hook(page, "secret").focus();
    await scan(page, "B-TR");
    assert.equal(await hook(page, "ask-person").inputValue(), "B-TR");
    assert.deepEqual(await page.evaluate("heard"), []);
    for (const digit of "999999") await hook(page, `key-${digit}`).click();
    await hook(page, "key-enter").click();
    await page.waitForFunction(() => /do not belong together/.test(document.querySelector('dialog [data-test="refusal"]').textContent));
    for (const digit of "730284") await hook(page, `key-${digit}`).click();
    await hook(page, "dialog-yes").click();
    await hook(page, "dialog").waitFor({state: "detached"});
    assert.deepEqual(await page.evaluate("given"), [{person: "B-TR", pin: "999999"}, {person: "B-TR", pin: "730284"}]);
    await page.evaluate("offScan()");
});

test("text is text: nothing that a person, a lot or a gauge is called becomes part of the page", async () => {
    await place(`(el) => bench.replaceChildren(el("p", {id: "named"}, "<img src=x onerror=alert(1)>"), el("p", {text: "<b>x</b>"}))`);
    assert.equal(await page.locator("#named").innerText(), "<img src=x onerror=alert(1)>");
    assert.equal(await page.locator("#test-place img, #test-place b").count(), 0);
});

test("each judgement has a word and a shape of its own, told apart without colour", async () => {
    await page.evaluate(() => {
        const {el} = kit.dom;
        bench.replaceChildren(el("h1", {}, "Test"), ...["conforms", "fails", "uncertain"].map((v) => kit.signs.verdict(v)));
    });
    const all = await page.locator("#test-place .verdict").evaluateAll((nodes) =>
        nodes.map((n) => ({words: n.innerText.trim(), outline: n.querySelector("svg").firstElementChild.tagName, colour: getComputedStyle(n).backgroundColor})),
    );
    assert.deepEqual(all.map((v) => v.words), ["good", "wrong", "too close to call"]);
    assert.equal(new Set(all.map((v) => v.outline)).size, 3);
    assert.equal(new Set(all.map((v) => v.colour)).size, 3);
    await axe(page, "judgements");
});

test("sounds play after the first touch, and not where the station or the person wants none", async () => {
    await page.mouse.click(5, 5);
    await page.waitForTimeout(100);
    assert.deepEqual(
        await page.evaluate(() => {
            const {good, bad, uncertain, refused, soundByStation, soundHere} = kit.sounds;
            const played = [good(), bad(), uncertain(), refused()];
            soundByStation(false);
            played.push(bad());
            soundByStation(true);
            soundHere(false);
            played.push(bad());
            soundHere(true);
            return played;
        }),
        [true, true, true, true, false, false],
    );
});
