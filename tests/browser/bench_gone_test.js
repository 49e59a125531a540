// What does not count: refused readings, a gauge that is gone, a station that is gone, a gauge that fails its proof. No
// judgement outlives what it stood on.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";

let bench;
before(async () => {
    bench = await openBench({to: "measure"});
});
after(async () => {
    await bench.close();
});

const text = (name) => hook(bench.page, name).innerText();
const kind = () => hook(bench.page, "said").getAttribute("data-kind");
const looked = (name, on) => bench.looked(name, on);

test("R8: a reading in the wrong unit, and half a frame, are refused aloud and are no judgement", async () => {
    await bench.press("28.02");
    await bench.asks("confirm", "lubricant");
    await bench.main();
    await bench.asks("confirm", "mark_before");
    await bench.main();
    await bench.press("inch 1.0035", "unit");
    assert.equal(await kind(), "refused");
    assert.match(await text("said-text"), /in where mm is expected/);
    assert.equal(await hook(bench.page, "said").locator(".verdict").count(), 0);
    assert.equal(await hook(bench.page, "scale-value").count(), 0);
    await looked("refused");
    await bench.press("25.48 mm", "half");
    assert.equal(await kind(), "refused");
    const {step} = await bench.state();
    assert.deepEqual([step.what, step.flat], ["crimp_diameter", 1], "nothing has moved on");
    await bench.press("25.48");
    assert.equal(await kind(), "conforms");
});

test("R1 R10: an unplugged gauge takes its last good judgement with it; back again it must prove itself first", async () => {
    await bench.station.caliper.send("unplug");
    await bench.asks("gauge");
    await hook(bench.page, "said").and(bench.page.locator('[data-kind="gone"]')).waitFor();
    assert.equal(await bench.page.locator(".said.verdict").count(), 0, "no judgement is to be seen");
    await looked("gauge-gone");
    await bench.station.caliper.send("plug");
    await bench.asks("proof");
    await looked("proof-again");
    await bench.main();
    await bench.asks("proof_reading");
    await bench.press("25.00");
    await bench.asks("measure", "crimp_diameter", 2);
});

test("R10: with no link to the station no judgement is shown, and it comes back by itself", async () => {
    bench.page.expect.push(/ERR_|Failed to load resource|request failed|answer 50/);
    await bench.station.stop();
    await hook(bench.page, "lost").waitFor();
    assert.equal(await bench.page.locator(".said.verdict").count(), 0);
    assert.equal(await bench.page.locator(".verdict:visible").count(), 0);
    await looked("lost");
    await bench.station.start();
    await hook(bench.page, "lost").waitFor({state: "hidden"});
    assert.equal(await hook(bench.page, "live").getAttribute("data-live"), "yes");
});

test("R1: a gauge that fails its proof: what it measured is told as a batch", async () => {
    // After the restart the page's session is gone, as it must be.
    const fresh = await openBench({to: "measure"});
    try {
        await fresh.end();
        await fresh.end();
        await fresh.op.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
        await fresh.asks("proof_reading");
        await fresh.press("25.06");
        await hook(fresh.page, "proof-failed").waitFor();
        assert.match(await hook(fresh.page, "proof-failed").innerText(), /off by \+0\.06\smm, and 0\.02\smm is allowed/);
        assert.match(await hook(fresh.page, "proof-failed").innerText(), /after its last good proof: 1\./);
        const {serial} = (await fresh.op.get("/api/holds")).body.holds[0];
        await hook(fresh.page, "suspects").filter({hasText: serial}).waitFor();
        await fresh.looked("proof-failed");
    } finally {
        await fresh.close();
    }
});
