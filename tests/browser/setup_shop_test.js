// What is still missing; references, printer, the shop's rules, the operator's screen.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {hook, openBrowser} from "./kit/browser.js";
import {addFirst, addPeople, people, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {atDesk, entry, receipt, state, text, to} from "./setup_steps.js";

let browser = null;
let bare = null; // only a setter is known there
let station = null;
let shop = null;
let page = null;
before(async () => {
    browser = await openBrowser();
    bare = await startStation();
    await addFirst(bare);
    station = await startStation();
    shop = await setUp(station);
    page = await browser.page(station);
    await atDesk(page, people.setter);
});
after(() => browser.close(bare, station));

const fill = async (values) => {
    for (const [name, value] of Object.entries(values)) await hook(page, `field-${name}`).fill(value);
};
const done = (p, part) => hook(p, `step-${part}`).getAttribute("data-done");

test("the overview of a bare station leads from one missing thing to the next, in the order in which they are needed", async () => {
    const first = await browser.page(bare);
    await atDesk(first, people.setter);
    await hook(first, "step-people").waitFor();
    assert.match(first.url(), /#\/setup/, "whoever sets up begins here");
    assert.match(await text(first, "overview-verdict"), /5 things are missing/);
    const order = await first.locator('[data-test^="step-"]').evaluateAll((nodes) => nodes.map((n) => n.dataset.test));
    assert.deepEqual(order, ["step-people", "step-gauges", "step-references", "step-tables", "step-orders", "step-printer"]);
    for (const part of ["people", "gauges", "references", "tables", "orders"]) assert.equal(await done(first, part), "no", part);
    await state(first, "setup-overview-bare");
    await hook(first, "step-gauges").locator("a").click();
    await first.waitForFunction(() => /Gauges/.test(document.querySelector("h1")?.textContent));
    await first.context().close();
});

test("when everything stands the overview says so; a printer is not needed for it", async () => {
    await to(page, "overview");
    await hook(page, "step-people").waitFor();
    assert.match(await text(page, "overview-verdict"), /Everything that the first assembly needs is here/);
    assert.equal(await done(page, "printer"), "no");
    await state(page, "setup-overview");
});

test("R9: an auditor reads the overview, and what only a setter may see is said to be that", async () => {
    const auditor = await browser.page(station);
    await atDesk(auditor, people.auditor);
    await to(auditor, "overview");
    await hook(auditor, "step-printer").waitFor();
    assert.match(await text(auditor, "step-printer"), /Only whoever sets the station up sees this/);
    await state(auditor, "setup-overview-auditor");
    await auditor.context().close();
});

test("R4: a reference is registered with its calibrated size to the nanometre", async () => {
    await to(page, "references");
    await hook(page, "reference-ring-25").waitFor();
    await hook(page, "reference-form-go").click();
    assert.match(await text(page, "error-size"), /must be filled in/);
    await state(page, "setup-references-errors");
    await fill({reference: "pin-28", kind: "pin", size: "28.000613", certificate: "C-1877 (invented)", calibration_due: "2099-06-30"});
    await hook(page, "reference-form-go").click();
    await hook(page, "reference-pin-28").waitFor();
    assert.equal((await entry(shop.asSetter, await receipt(page))).body.size_nm, 28000613);
    assert.match(await text(page, "reference-pin-28"), /28\.000613/);
    await state(page, "setup-references");
});

test("the printer's page says what happens without one, and what it is set to is an entry", async () => {
    await to(page, "printer");
    await hook(page, "printer-now").waitFor();
    assert.match(await text(page, "printer-means"), /each tag is a PDF file/);
    await hook(page, "field-dpi").fill("90");
    await hook(page, "printer-form-go").click();
    await page.waitForFunction(() => /150/.test(document.querySelector('[data-test="error-dpi"]').textContent));
    await state(page, "setup-printer-error");
    await hook(page, "field-dpi").fill("300");
    await hook(page, "field-size").selectOption("100x50");
    await hook(page, "printer-form-go").click();
    const chosen = await entry(shop.asSetter, await receipt(page));
    assert.equal(chosen.type, "printer.chosen");
    assert.deepEqual(chosen.body, {printer: "", size: "100x50", dpi: 300});
    await state(page, "setup-printer");
});

test("the shop's rules: each says what it means and risks; nothing changes before the change was read", async () => {
    await to(page, "limits");
    await hook(page, "limits-form").waitFor();
    await state(page, "setup-limits");
    await hook(page, "limits-form-go").click();
    assert.match(await text(page, "form-errors"), /Nothing differs/);
    await fill({proof_interval_min: "3"});
    await hook(page, "limits-form-go").click();
    assert.match(await text(page, "error-proof_interval_min"), /From 5 to 1440/);
    await fill({proof_interval_min: "480"});
    await hook(page, "field-concession_needs_second").check();
    await hook(page, "limits-form-go").click();
    const changes = await text(page, "limits-changes");
    assert.match(changes, /240 becomes 480/);
    assert.match(changes, /more parts hang on it/, "loosening one tells its risk");
    assert.match(changes, /no becomes yes/);
    assert.doesNotMatch(changes, /one person alone/, "tightening one does not");
    await state(page, "setup-limits-ask");
    await hook(page, "dialog-no").click();
    assert.equal((await shop.asSetter.get("/api/limits")).body.proof_interval_min, 240);
    assert.equal(await hook(page, "field-proof_interval_min").inputValue(), "480", "what was typed stays");
    await hook(page, "limits-form-go").click();
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /other rules hold/.test(document.querySelector('[data-test="receipt"]').textContent));
    const set = await entry(shop.asSetter, await receipt(page));
    assert.equal(set.type, "limits.set");
    assert.equal(set.body.proof_interval_min, 480);
    assert.equal(set.body.concession_needs_second, true);
    assert.equal(set.body.repeats_allowed, 1, "the others stay as they were");
});

test("R9: a lead reads the rules and cannot change them", async () => {
    const lead = await browser.page(station);
    await atDesk(lead, people.lead);
    await to(lead, "limits");
    await hook(lead, "limit-proof_interval_min").waitFor();
    assert.match(await text(lead, "limit-proof_interval_min"), /480/);
    assert.equal(await hook(lead, "limits-form-go").count(), 0);
    await state(lead, "setup-limits-lead");
    await lead.context().close();
});

test("the ruler: the bar is 100 mm at the station's pixel, grows step by step, and the bench's keys follow it", async () => {
    await to(page, "screen");
    await hook(page, "ruler").waitFor();
    const before = (await shop.asSetter.get("/api/bench")).body.screen.um_per_pixel;
    const width = async () => {
        const lines = await page.locator('[data-test="ruler"] line').evaluateAll((all) => all.map((l) => l.getBoundingClientRect().x));
        return Math.max(...lines) - Math.min(...lines);
    };
    // 100 mm are 100 000 um; a screen's pixel holds so many of them.
    assert.ok(Math.abs((await width()) - 100000 / before) < 0.1);
    assert.equal(await page.locator('[data-test="ruler"] line').count(), 101, "a line for each millimetre");
    await state(page, "setup-screen");
    await hook(page, "much-longer").click();
    await hook(page, "shorter").click();
    const now = before - 9;
    assert.ok(Math.abs((await width()) - 100000 / now) < 0.1);
    await hook(page, "screen-form-go").click();
    const set = await entry(shop.asSetter, await receipt(page));
    assert.deepEqual(set.body, {um_per_pixel: now, sound: true});
    await page.waitForFunction((um) => Math.abs(parseFloat(document.documentElement.style.getPropertyValue("--mm")) - 1000 / um) < 0.001, now);
    await state(page, "setup-screen-set");
});

test("the sounds are tried by a button, and switched off for the bench", async () => {
    for (const name of ["good", "bad", "uncertain", "refused"]) {
        await hook(page, `try-${name}`).click();
        await page.waitForFunction(() => /That was|nothing/.test(document.querySelector('[data-test="sound-told"]').textContent));
    }
    await hook(page, "field-sound").uncheck();
    await hook(page, "screen-form-go").click();
    await page.waitForFunction(async () => (await (await fetch("/api/bench")).json()).screen.sound === false);
});

test("in German the pages are as whole, numbers with a comma", async () => {
    await shop.asSetter.post("/api/people/language", {language: "de"});
    const german = await browser.page(station, {language: "de"});
    await atDesk(german, people.setter);
    for (const part of ["overview", "people", "tables", "orders", "gauges", "references", "printer", "limits", "screen"]) {
        await to(german, part);
        await german.waitForTimeout(300);
        assert.doesNotMatch(await german.locator("#place").innerText(), /page\.[a-z]+\.[a-z]/, `${part}: a sentence is missing`);
        await state(german, `setup-de-${part}`);
    }
    await to(german, "references");
    await hook(german, "reference-pin-28").waitFor();
    assert.match(await text(german, "reference-pin-28"), /28,000613/);
    await german.context().close();
});
