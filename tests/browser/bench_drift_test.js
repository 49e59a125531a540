// The drift watch as the operator sees it: the ends of the running set-up in their band, beside the work and never in
// its way; and, when the station warns, what to do about it before a part fails. The warning is the station's own: the
// set-up is made to drift by pressing a diameter that grows by a caliper's step an end.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {placesOf} from "../../station/web/bench/drift.js";
import {hook, openBench} from "./bench_kit.js";
import {signIn} from "./kit/browser.js";
import {example} from "./kit/places.js";
import {heard, listen} from "./kit/tones.js";

// ---- pure

test("means lie in their band from top to bottom, and one beyond it makes room for itself", () => {
    const band = {lower_nm: 25300000, upper_nm: 25700000};
    const points = [25300000, 25500000, 25700000].map((mean_nm, seq) => ({mean_nm, seq}));
    const {points: at} = placesOf({points}, band);
    assert.deepEqual(at.map((p) => p.y), [1, 0.5, 0]);
    assert.deepEqual(at.map((p) => p.x), [0, 0.5, 1]);
    const beyond = placesOf({points: [...points, {mean_nm: 26100000, seq: 3}]}, band);
    assert.equal(beyond.points[3].y, 0);
    assert.equal(beyond.at(25700000), 0.5);
});

// ---- on a station

const header = example("demo_order.csv").split("\n")[0];
const orders = `${header}\nWO-2041,Fennick Harvesters (invented),FH-7731,40,NW-208-16S,NW-208-16S,750,din20066,,R1180@2Q26,FA-0614,FA-0614,250,2026-12-04,\n`;
const row = {crimper: "Bench crimper (invented)", die_set: "D29", setting: "4.20"};

let bench = null;
let previous = "";

// The caliper's next frame differs from its last one, or it would be refused as repeated.
async function press(value) {
    const wanted = value === previous ? (Number(value) + 0.01).toFixed(2) : value;
    previous = wanted;
    const before = (await bench.state()).seq;
    await bench.station.caliper.send(`press ${wanted} mm`);
    const until = Date.now() + 20000;
    while ((await bench.state()).seq <= before) {
        assert.ok(Date.now() < until, `the station heard ${wanted}`);
        await new Promise((resolve) => setTimeout(resolve, 20));
    }
}

// One end through the API, with every flat at about that size; stops where the bench asks for something else.
async function end(crimp) {
    const {op} = bench;
    const begun = (await bench.state()).step;
    for (let i = 0; i < 20; i += 1) {
        const {step} = await bench.state();
        if (i > 0 && (step.end !== begun.end || step.ask === "setup")) return;
        if (i > 0 && step.what === "depth" && step.ask === "measure") return;
        if (step.ask === "setup") await press("25.50");
        else if (step.ask === "measure" || step.ask === "again") await press(step.what === "depth" ? "28.00" : crimp);
        else if (step.ask === "confirm" && step.what.startsWith("mark_")) await op.post("/api/steps/confirm", {what: step.what, seen: "at_edge"});
        else if (step.ask === "confirm") await op.post("/api/steps/confirm", {what: step.what, yes: true});
        else return;
    }
}

before(async () => {
    bench = await openBench({to: "lots", orders});
    await bench.op.post("/api/lots/confirm", {hose_lot: "R1180", fitting_a_lot: "FA-0614", fitting_b_lot: "FA-0614"});
    await bench.op.post("/api/die/confirm", row);
    for (const value of ["25.49", "25.50", "25.51", "25.50"]) await press(value);
});
after(async () => bench?.close());

test("before there are two ends there is nothing to show", async () => {
    await bench.asks("measure", "depth");
    assert.equal(await hook(bench.page, "drift").count(), 0);
});

test("the ends so far stand under the last reading, with the band in figures and a name for who does not see them", async () => {
    for (let i = 0; i < 6; i += 1) await end(["25.49", "25.51", "25.50"][i % 3]);
    await hook(bench.page, "drift").waitFor();
    const {watch} = await bench.state();
    assert.equal(watch.points.length, 6);
    assert.match(await bench.page.locator(".drift-head").innerText(), /6 ends/);
    assert.equal(await bench.page.locator(".drift-point").count(), 6);
    assert.match(await bench.page.locator(".drift-chart").getAttribute("aria-label"), /6 ends.*25\.30.*25\.70/);
    await press("28.00");
    await bench.asks("confirm", "lubricant");
    await bench.looked("drift");
    await bench.op.post("/api/steps/confirm", {what: "lubricant", yes: true});
    await bench.asks("confirm", "mark_before");
    await bench.op.post("/api/steps/confirm", {what: "mark_before", seen: "at_edge"});
    await bench.asks("measure", "crimp_diameter", 1);
    await press("25.50");
    await bench.asks("measure", "crimp_diameter", 2);
    await bench.looked("drift-crimp");
});

test("it gives way to a reading that is too close to call", async () => {
    await press("25.69");
    await bench.asks("again", "crimp_diameter");
    assert.equal(await hook(bench.page, "drift").count(), 0);
    await press("25.51");
    await bench.asks("measure", "crimp_diameter", 3);
    await hook(bench.page, "drift").waitFor();
    await end("25.50");
});

test("a set-up that drifts is warned of before a part fails: by how much to correct, and a set-up piece first", async () => {
    await listen(bench.page);
    // A caliper's step an end, from the middle on: six of them are warned of, far from the band's edge at 25.70.
    const sizes = ["25.50", "25.51", "25.52", "25.53", "25.54", "25.55", "25.56", "25.57", "25.58", "25.59"];
    let size = sizes[0];
    for (let i = 0; i < sizes.length && !(await bench.state()).watch?.warned; i += 1) {
        size = sizes[i];
        await end(size);
    }
    const warned = (await bench.state()).watch.warned;
    assert.ok(warned, "the station warned");
    assert.deepEqual(warned.signals.map((s) => [s.rule, s.seqs.length]), [["six_steadily_moving", 6]]);
    assert.ok(warned.correction_nm < 0, "it grew, so the crimper closes");
    assert.equal((await bench.state()).holds_open, 0, "and nothing has failed");
    // The assembly in work is finished; the next one waits.
    for (let i = 0; i < 2 && (await bench.state()).step.ask !== "setup"; i += 1) await end(size.toFixed(2));
    await bench.asks("setup");
    await bench.page.locator('[data-test="drift"][data-warned="yes"]').waitFor();
    const off = Math.abs(Math.round(warned.correction_nm / 10000) / 100).toFixed(2);
    assert.equal((await hook(bench.page, "sentence").innerText()).replace(/\s+/g, " "), `Drift: close by ${off} mm, crimp a set-up piece`);
    assert.match(await hook(bench.page, "hint").innerText(), /The parts so far are good/);
    assert.equal(await bench.page.locator(".drift-mark").count(), new Set(warned.signals.flatMap((s) => s.seqs)).size);
    assert.ok((await heard(bench.page)).some((tone) => tone.startsWith("660 triangle")), "it is heard");
    await bench.looked("drift-warned");
});

test("in German the correction has a comma", async () => {
    const german = await bench.browser.page(bench.station, {language: "de"});
    await german.locator('[data-test="who"]').waitFor();
    await signIn(german, bench.shop.operator);
    await german.locator('[data-test="drift"]').waitFor();
    assert.match(await hook(german, "sentence").innerText(), /^Drift: \d,\d\d\smm schließen/);
    await bench.looked("drift-warned-de", german);
    await german.context().close();
});

test("a set-up piece that sits well ends the warning, and the ends begin anew", async () => {
    await bench.again();
    for (const value of ["25.49", "25.50", "25.51", "25.50"]) await press(value);
    await bench.asks("measure", "depth");
    assert.equal((await bench.state()).watch?.warned, undefined);
    assert.equal(await hook(bench.page, "drift").count(), 0);
});
