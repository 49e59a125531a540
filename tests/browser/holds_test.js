// The holds page: what is stopped, with its evidence, and each way of settling it.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {openDesk} from "./holds_kit.js";
import {hook} from "./kit/browser.js";

const script = '<script>document.title="taken"</script><img src=x onerror=alert(1)>';

let desk = null;
const serials = {};

before(async () => {
    desk = await openDesk();
    await desk.crimp("25.80"); // oversize: may be crimped again (R7)
    serials.oversize = await desk.intoQuarantine();
    await desk.crimp("25.20"); // undersize
    serials.undersize = await desk.intoQuarantine();
    await desk.takeOrder("WO-2042");
    await desk.workTo("crimp_diameter");
    await desk.press("25.69"); // between guard and limit
    await desk.press("25.70"); // and again, on the limit: too close to call
    serials.uncertain = await desk.intoQuarantine();
    await desk.workTo("crimp_diameter");
    await desk.bench.post("/api/assembly/hold", {reason: script});
    serials.aside = await desk.intoQuarantine();
    await desk.openLead();
    await desk.work(desk.shop.operator); // the operator works on, the lead is on a walk
});
after(() => desk?.end());

test("everything that is stopped stands there, oldest first, with its cause, order, shift and who measured", async () => {
    await hook(desk.lead, `hold-${serials.aside}`).waitFor();
    assert.deepEqual(await desk.rows(), [serials.oversize, serials.undersize, serials.uncertain, serials.aside]);
    assert.match(await desk.text(`hold-${serials.oversize}`), /out of its band[\s\S]*WO-2041[\s\S]*Mirela Ošk[\s\S]*in quarantine/);
    assert.match(await desk.text(`hold-${serials.uncertain}`), /too close to call/);
    await desk.seen("holds-list");
});

test("script in a reason is text, in the list and in the case", async () => {
    assert.ok((await desk.text(`hold-${serials.aside}`)).includes(script));
    await desk.open(serials.aside);
    assert.ok((await desk.text("reason")).includes(script));
    assert.match(await desk.text("reason"), /Mirela Ošk/);
    assert.equal(await desk.lead.locator("#place img, #place script").count(), 0);
    assert.notEqual(await desk.lead.title(), "taken");
    await desk.seen("holds-case-aside");
    await desk.to("#/holds");
});

test("holds are filtered by order, by cause and by shift, and all shown again", async () => {
    await hook(desk.lead, "filter-order").selectOption("WO-2042");
    await desk.lead.waitForFunction(() => document.querySelectorAll(".holds-serial").length === 2);
    assert.deepEqual(await desk.rows(), [serials.uncertain, serials.aside]);
    await hook(desk.lead, "filter-cause").selectOption("person");
    await desk.lead.waitForFunction(() => document.querySelectorAll(".holds-serial").length === 1);
    assert.deepEqual(await desk.rows(), [serials.aside]);
    await hook(desk.lead, "filter-order").selectOption("WO-2041");
    await hook(desk.lead, "none-match").waitFor();
    await desk.seen("holds-none-match");
    await hook(desk.lead, "clear").click();
    await desk.lead.waitForFunction(() => document.querySelectorAll(".holds-serial").length === 4);
    const shift = (await desk.see()).shift;
    await hook(desk.lead, "filter-shift").selectOption(shift);
    await desk.lead.waitForFunction(() => document.querySelectorAll(".holds-serial").length === 4);
    await hook(desk.lead, "filter-shift").selectOption("");
});

test("R7: a case says what is wrong in the trade's words, and an undersize crimp's re-crimp is shown with why not", async () => {
    await desk.open(serials.undersize);
    assert.match(await desk.text("finding"), /end A: .*25\.20 mm.*0\.10 mm under/i);
    assert.equal(await hook(desk.lead, "do-recrimp").isDisabled(), true);
    assert.match(await desk.text("why-recrimp"), /Not possible\.[\s\S]*cannot be crimped again/);
    assert.equal(await hook(desk.lead, "do-scrap").isDisabled(), false);
    await desk.seen("holds-case-undersize");
});

test("R3: the evidence is whole: the bytes as text and hex, the gauge and its proof, band, guard, verdict, who and when", async () => {
    const evidence = await desk.text("evidence");
    // ASCII: "+", "2", "5" are 2B, 32, 35; the line ends with CR LF, 0D 0A.
    assert.match(evidence, /25\.20/);
    assert.match(evidence, /\+0*25\.20/);
    assert.match(evidence, /32 35 2E 32 30[\s\S]*0D 0A/);
    assert.match(evidence, /25\.20mm\s*CR\s*LF/);
    assert.match(evidence, /caliper-1[\s\S]*proved 20\d\d-\d\d-\d\d \d\d:\d\d, off by 0\.000/);
    assert.match(evidence, /25\.30 … 25\.70/);
    assert.match(evidence, /guard 0\.0198/); // 1.65 standard uncertainties of 0.012 mm (ISO 14253-1)
    assert.match(evidence, /Mirela Ošk/);
    assert.match(evidence, /mark at the shell's edge/);
    const history = await desk.text("history");
    assert.match(history, /Mirela Ošk/);
    assert.ok(history.indexOf("started") < history.indexOf("stopped"), "in the order in which it happened");
});

test("settling asks for a reason; without one nothing is settled, and Escape calls it off", async () => {
    await hook(desk.lead, "do-scrap").click();
    await hook(desk.lead, "dialog").waitFor();
    await hook(desk.lead, "dialog-yes").click();
    assert.match(await desk.text("refusal"), /Reason/);
    await desk.seen("holds-ask-reason");
    await desk.lead.keyboard.press("Escape");
    await desk.closed();
    assert.equal(await hook(desk.lead, "stage").getAttribute("data-stage"), "on_hold");
});

test("scrap: it never leaves, and who scrapped it and why stands there", async () => {
    await desk.settle("scrap", {reason: "0.10 mm under"});
    await desk.closed();
    await desk.stage("scrapped");
    assert.match(await desk.text("settled"), /scrap, settled by Tobin Rask[\s\S]*0\.10 mm under/);
    assert.match(await desk.text("note"), new RegExp(`${serials.undersize} is settled: scrap`));
    const entry = await desk.lastSettled();
    assert.deepEqual([entry.who, entry.body.how, entry.body.serial], ["TR", "scrap", serials.undersize]);
    await desk.seen("holds-scrapped");
});

test("R7: an oversize crimp is crimped again on a lead's word, and waits to be taken up", async () => {
    await desk.open(serials.oversize);
    assert.equal(await hook(desk.lead, "do-recrimp").isDisabled(), false);
    await desk.settle("recrimp", {reason: "0.10 mm over, hose sound"});
    await desk.closed();
    await desk.stage("to_be_taken_up");
    assert.match(await desk.text("settled"), /waits at the bench/);
    assert.equal((await desk.lastSettled()).body.how, "recrimp");
});

test("a concession needs the customer's reference; with it the record and the tag have it", async () => {
    await desk.open(serials.uncertain);
    await desk.settle("concession", {reason: "customer accepts 25.69"});
    assert.match(await desk.text("refusal"), /Customer's reference/);
    await desk.seen("holds-ask-concession");
    await hook(desk.lead, "ask-reference").fill("FH-C-118");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    await desk.lead.waitForFunction(() => document.querySelector('[data-test="settled"]')?.textContent.includes("FH-C-118"));
    const entry = await desk.lastSettled();
    assert.deepEqual([entry.body.how, entry.body.customer_reference], ["concession", "FH-C-118"]);
});

test("measure again: what was put aside goes back to be measured", async () => {
    await desk.open(serials.aside);
    await desk.settle("remeasure", {reason: "nothing found"});
    await desk.closed();
    await desk.stage("to_be_taken_up");
    await desk.to("#/holds");
    await hook(desk.lead, "none").waitFor();
    assert.match(await desk.text("none"), /Nothing is on hold/);
    await desk.seen("holds-none");
    await hook(desk.lead, "filter-all").check();
    await hook(desk.lead, `hold-${serials.undersize}`).waitFor();
    assert.match(await desk.text(`hold-${serials.undersize}`), /scrap, settled by Tobin Rask/);
    await desk.seen("holds-all");
    await hook(desk.lead, "filter-all").uncheck();
});
