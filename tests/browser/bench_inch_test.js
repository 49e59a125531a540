// A shop that shows inches, whatever unit its calipers send: figures, band, scale, finding and history are inches.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";

let bench;
before(async () => {
    bench = await openBench({
        to: "measure",
        prepare: async (setter) => {
            const {body} = await setter.get("/api/limits");
            const set = await setter.post("/api/limits", {...body, shown_unit: "inch"});
            assert.equal(set.ok, true);
        },
    });
});
after(async () => {
    await bench.close();
});

test("what is expected, what was read and why it stops are told in inches", async () => {
    await bench.asks("measure", "depth");
    await bench.press("28.02");
    await bench.asks("confirm", "lubricant");
    await bench.main();
    await bench.asks("confirm", "mark_before");
    await bench.main();
    await bench.asks("measure", "crimp_diameter", 1);
    // 25.50, 25.30 and 25.70 mm over 25.4, with the four places that just resolve the caliper's 0.01 mm (R4)
    assert.match(await hook(bench.page, "expected").innerText(), /1\.0039\s*in[\s\S]*0\.9961 … 1\.0118\s*in/);
    await bench.looked("inch-crimp");
    await bench.press("25.24");
    await bench.page.locator('.bench[data-mode="stop"]').waitFor();
    // 25.24 mm, 0.06 mm and 25.30 mm over 25.4
    assert.match(await hook(bench.page, "finding").first().innerText(), /0\.9937\sin, 0\.0024\sin under the lower limit 0\.9961\sin: undersize/);
    await bench.looked("inch-stop");
});

test("the record's history speaks the shop's unit too", async () => {
    const {body} = await bench.op.get(`/api/assemblies/${(await bench.state()).stopped.serial}`);
    const told = body.history.filter((h) => h.message.code === "told.reading_crimp").map((h) => h.message.details);
    const text = (details, name) => (Array.isArray(details) ? details.find((d) => d.name === name)?.text : details[name]);
    assert.deepEqual(told.map((d) => [text(d, "value"), text(d, "unit")]), [["0.9937", "in"]]);
});
