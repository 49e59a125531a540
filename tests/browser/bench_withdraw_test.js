// A gauge that fell, or failed its proof, is taken out of use at the bench: the operator says why, a lead signs for it.
// Whatever hangs on its readings since its last good proof is suspect (R1), and the page says so until it is settled.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";
import {axe, shots} from "./kit/browser.js";

let bench;
before(async () => {
    bench = await openBench({to: "measure", gauges: ["caliper-1", "caliper-2"]});
});
after(async () => {
    await bench.close();
});

const text = (name) => hook(bench.page, name).innerText();
const entries = async (type) => (await bench.shop.asSetter.get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === type);

async function leadGives(who) {
    await hook(bench.page, "ask-person").waitFor();
    await hook(bench.page, "ask-person").fill(who.badge);
    for (const digit of who.pin) await bench.page.locator("dialog").locator(`[data-test="key-${digit}"]`).click();
    await hook(bench.page, "dialog-yes").click();
}
const closed = () => bench.page.locator("dialog[open]").waitFor({state: "detached"});

let passed = "";
let inWork = "";

test("R1: a caliper that fell is taken out of use from the menu, with a reason, and not without a lead", async () => {
    await bench.end();
    await bench.end();
    await hook(bench.page, "said").filter({hasText: "passed"}).waitFor();
    passed = (await bench.state()).last.serial;
    await bench.asks("measure", "depth");
    await bench.press("28.02");
    inWork = (await bench.state()).assembly.serial;
    await hook(bench.page, "menu").click();
    await bench.looked("menu-withdraw");
    await hook(bench.page, "menu-withdraw").click();
    await hook(bench.page, "ask-gauge").selectOption("caliper-1");
    await hook(bench.page, "dialog-yes").click();
    assert.match(await text("refusal"), /Reason/, "nothing happens without a reason");
    await axe(bench.page, "withdraw");
    await shots(bench.page, "bench-withdraw");
    await hook(bench.page, "ask-reason").fill("fell on the floor");
    await hook(bench.page, "dialog-yes").click();
    await leadGives(bench.shop.other);
    await hook(bench.page, "refusal").waitFor();
    assert.match(await text("refusal"), /not a lead/);
    assert.equal((await entries("gauge.withdrawn")).length, 0);
    await axe(bench.page, "withdraw-who");
    await shots(bench.page, "bench-withdraw-who");
    await leadGives(bench.shop.lead);
    await closed();
    const [gone] = await entries("gauge.withdrawn");
    assert.deepEqual(gone.body, {gauge: "caliper-1", reason: "fell on the floor"});
    assert.equal(gone.who, bench.shop.lead.person);
    assert.match(await text("self"), /Mirela/, "the operator stays signed in");
});

test("R1: what it measured is on hold, what is in work stops, and the page says why", async () => {
    await bench.page.locator('.bench[data-mode="stop"]').waitFor();
    assert.match(await text("sentence"), new RegExp(inWork));
    assert.match(await bench.page.locator(".stop-word").innerText(), /^suspect/);
    assert.match(await text("stop"), /caliper-1 measured it and was taken out of use before it could be proved/);
    const {holds} = (await bench.op.get("/api/holds")).body;
    assert.deepEqual(holds.map((h) => [h.serial, h.cause]).sort(), [[inWork, "suspect"], [passed, "suspect"]].sort());
    const wide = await bench.page.evaluate(() => [".bench", ".bench-head", ".bench-acts"].map((n) => document.querySelector(n).getBoundingClientRect()).map((b) => [Math.round(b.right), Math.round(b.bottom)]));
    assert.equal(wide[1][0], wide[0][0], "the stop's head goes from edge to edge");
    assert.ok(wide[0][1] - wide[2][1] < 12, "and its button stands at the bottom, as ever");
    await bench.page.waitForTimeout(1600);
    await bench.looked("withdrawn-stop");
    await bench.main();
    await bench.page.locator('.bench:not([data-mode="stop"])').waitFor();
});

test("R1: the gauge counts no longer; the other one is proved, and the suspects stay told beside the work", async () => {
    await bench.asks("proof");
    assert.match(await text("sentence"), /caliper-2/);
    assert.equal(await hook(bench.page, "said").getAttribute("data-kind"), "gone", "its last word is no judgement any more");
    assert.match(await text("said"), /out of use/);
    assert.equal(await hook(bench.page, "prove-caliper-1-ring-25").count(), 0, "what is out of use is not offered");
    await bench.looked("withdrawn-proof");
    await bench.main();
    await bench.asks("proof_reading");
    await bench.station.calipers["caliper-2"].send("press 25.00 mm");
    await bench.asks("setup"); // the set-up piece was judged by the other one
    await hook(bench.page, "suspects-notice").waitFor();
    assert.match(await text("suspects-notice"), /Suspect because of their gauge: 2\./);
    await bench.looked("withdrawn-suspects");
    const before = (await entries("reading.taken")).length;
    await bench.station.caliper.send("press 28.00 mm");
    await bench.page.waitForTimeout(500);
    assert.equal((await entries("reading.taken")).length, before, "its readings are none");
    await hook(bench.page, "suspects-see").click();
    await bench.page.locator("#place").filter({hasText: /caliper-1 in doubt: 2 suspect/}).filter({hasText: /withdrawn \(fell on the floor\)/}).waitFor();
    await axe(bench.page, "withdrawn-holds");
    await shots(bench.page, "bench-withdrawn-holds");
    await bench.page.evaluate(() => (location.hash = "#/bench"));
    await bench.page.locator(".bench").waitFor();
});

test("R1: a gauge that failed its proof is taken out of use from where that is said; then there is none", async () => {
    await bench.op.post("/api/gauges/prove", {gauge: "caliper-2", reference: "ring-25"});
    await bench.asks("proof_reading");
    await bench.station.calipers["caliper-2"].send("press 25.06 mm");
    await hook(bench.page, "proof-failed").waitFor();
    await hook(bench.page, "withdraw").click();
    assert.equal(await hook(bench.page, "ask-gauge").count(), 0, "it is clear which one");
    await hook(bench.page, "ask-reason").fill("off by 0.06");
    await hook(bench.page, "dialog-yes").click();
    await leadGives(bench.shop.lead);
    await closed();
    await bench.asks("gauge");
    await hook(bench.page, "proof-failed").waitFor({state: "detached"});
    await bench.looked("withdrawn-all");
});
