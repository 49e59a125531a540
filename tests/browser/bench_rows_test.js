// Rows that ask for more than the common one: the cover skived, the tube skived, the mark measured instead of looked at.
// Each has its own sentence, and its measure stands on the drawing where the caliper goes.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";
import {example} from "./kit/places.js";

// The demonstration's skived row, and another one of the same hose whose tube is skived too and whose sizes are known.
const OUTER = "NW-412-F62";
const BOTH = "NW-412-T62";
const cells = (line) => [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(,|$)/g)].map((m) => m[1]).slice(0, -1);
function tableWith() {
    const [head, ...rows] = example("demo_table.csv").trimEnd().split(/\r?\n/);
    const names = head.split(",");
    const at = names.indexOf("lubricant");
    const inner = ["skive_inner_mm", "skive_inner_minus_mm", "skive_inner_plus_mm"];
    const widen = (line) => {
        const all = cells(line).slice(0, names.length);
        return [...all.slice(0, at), "", "", "", ...all.slice(at)];
    };
    const wide = [...names.slice(0, at), ...inner, ...names.slice(at)];
    const outer = widen(rows.find((r) => r.startsWith(OUTER)));
    const both = [...outer];
    const put = (values) => {
        for (const [name, value] of Object.entries(values)) both[wide.indexOf(name)] = value;
    };
    put({
        spec_id: BOTH,
        end_form: '"four-bolt flange, heavy series, elbow 45"',
        skive: "inner+outer",
        skive_inner_mm: "12.0",
        skive_inner_minus_mm: "0.5",
        skive_inner_plus_mm: "0.5",
        shell_od_mm: "42.0",
        shell_id_mm: "33.0",
        stem_od_mm: "18.6",
        stem_bore_mm: "15.2",
        stem_bore_after_mm: "15.0",
        hose_id_mm: "19.2",
        hose_od_mm: "32.4",
    });
    return [wide, outer, both].map((r) => r.join(",")).join("\n") + "\n";
}
const orders = [
    example("demo_order.csv").split(/\r?\n/)[0],
    `WO-2041,Fennick Harvesters (invented),FH-7731,4,${BOTH},${OUTER},900,din20066,,R1180@2Q26,FA-0614,FB-0907,250,2026-12-04,`,
    "",
].join("\n");
const CRIMPS = ["36.02", "35.98", "36.04", "35.99"];

let bench;
before(async () => {
    bench = await openBench({to: "lots", orders, table: tableWith()});
    await bench.op.post("/api/lots/confirm", {hose_lot: "R1180", fitting_a_lot: "FA-0614", fitting_b_lot: "FB-0907"});
    await bench.op.post("/api/die/confirm", {die_set: "D39", crimper: "Bench crimper (invented)", setting: "6.85"});
    for (const value of CRIMPS) await bench.press(value);
    await bench.asks("measure", "skive_outer");
});
after(async () => {
    await bench.close();
});

const text = async (name) => (await hook(bench.page, name).innerText()).replace(/\u00a0/g, " ");
const kind = () => hook(bench.page, "said").getAttribute("data-kind");
// Eleven steps in one strip: no name is cut off, on the smallest screen either.
async function looked(name) {
    await bench.page.setViewportSize({width: 1024, height: 768});
    const cut = await bench.page.evaluate(() => [...document.querySelectorAll(".strip-name, .bench-hint")].filter((n) => n.scrollWidth > n.clientWidth + 1).map((n) => n.textContent));
    await bench.page.setViewportSize({width: 1280, height: 800});
    assert.deepEqual(cut, [], `${name}: names are whole`);
    await bench.looked(name);
}

// On the drawing, in its own units: where the measure begins and ends, what is written at it, and what else is drawn.
const drawn = () =>
    bench.page.evaluate(() => {
        const box = (n) => {
            const b = n.getBBox();
            return {left: b.x, right: b.x + b.width, top: b.y, bottom: b.y + b.height, middle: b.x + b.width / 2};
        };
        const of = (selector) => [...document.querySelectorAll(`.bench-picture svg ${selector}`)];
        const svg = document.querySelector(".bench-picture svg");
        const outside = of("text, path, rect").filter((n) => {
            const b = box(n);
            const [, , w, h] = svg.getAttribute("viewBox").split(" ").map(Number);
            return n.matches("text, .d-size, .d-tool") && (b.left < -0.1 || b.top < -0.1 || b.right > w + 0.1 || b.bottom > h + 0.1);
        });
        return {
            name: svg.getAttribute("aria-label"),
            numbers: of(".d-number").map((n) => ({text: n.textContent.replace(/\u00a0/g, " "), ...box(n)})),
            wires: of(".d-wire").map(box),
            holes: of(".d-hole").map(box),
            marks: of(".d-mark").map(box),
            rubber: of(".d-rubber").map(box),
            metal: of(".d-metal").map(box),
            tools: of(".d-tool").map(box),
            lines: of("path.d-size").map((n) => ({...box(n), flat: n.getBBox().height < 0.1})),
            outside: outside.map((n) => n.outerHTML),
        };
    });
const near = (a, b, what) => assert.ok(Math.abs(a - b) <= 1, `${what}: ${a} and ${b}`);
const measure = (d) => d.lines.find((l) => l.flat);

test("the cover is skived: the sentence says so, and the measure spans the bare wire", async () => {
    assert.match(await text("sentence"), /^Skive the cover, measure the length$/);
    assert.equal(await text("expected-figure"), "36.00 mm");
    assert.match(await text("expected-band"), /^35\.00 … 37\.00\smm$/);
    const d = await drawn();
    assert.equal(d.name, "Skive the cover, measure the length");
    assert.deepEqual(d.numbers.map((n) => n.text), ["36.00 mm"]);
    assert.equal(d.wires.length, 1, "the cover is off there");
    near(measure(d).left, d.wires[0].left, "the measure begins at the hose's end");
    near(measure(d).right, d.wires[0].right, "and ends where the cover begins");
    near(d.rubber[0].left, d.wires[0].right, "there the cover begins");
    assert.ok(d.numbers[0].left >= measure(d).left - 20 && d.numbers[0].right <= measure(d).right + 20, "its number stands at it");
    assert.deepEqual(d.outside, [], "nothing is cut off");
    await looked("skive-outer");
    await bench.press("36.40");
    await bench.asks("measure", "skive_inner");
    assert.equal(await kind(), "conforms");
    assert.match(await text("said"), /outer skive/);
});

test("the tube is skived: the measure spans what is taken out of it, and is the shorter one", async () => {
    assert.match(await text("sentence"), /^Skive inside, measure the length$/);
    assert.equal(await text("expected-figure"), "12.00 mm");
    const d = await drawn();
    assert.deepEqual(d.numbers.map((n) => n.text), ["12.00 mm"]);
    const wide = d.holes.reduce((a, b) => (b.bottom - b.top > a.bottom - a.top ? b : a));
    near(measure(d).left, wide.left, "the measure begins at the hose's end");
    near(measure(d).right, wide.right, "and ends where the tube begins");
    // In true proportion to the outer skive, which stays to be seen: 12 mm to 36 mm.
    near((measure(d).right - measure(d).left) * 3, d.wires[0].right - d.wires[0].left, "12 mm is a third of 36 mm");
    assert.ok(d.tools.length > 0, "the caliper is there");
    assert.deepEqual(d.outside, [], "nothing is cut off");
    await looked("skive-inner");
    await bench.press("12.20");
    await bench.asks("measure", "depth");
});

test("of a skived hose the depth is measured from its end to the mark, which stands on the cover", async () => {
    const d = await drawn();
    assert.deepEqual(d.numbers.map((n) => n.text), ["40.00 mm"]);
    near(measure(d).right, d.marks[0].middle, "the measure ends at the mark");
    assert.ok(d.marks[0].middle > d.rubber[0].left, "the mark is on the cover");
    assert.deepEqual(d.outside, [], "nothing is cut off");
    await looked("depth-skived");
    await bench.press("40.10");
    await bench.asks("confirm", "lubricant");
    await bench.main();
});

async function markDrawn(limit) {
    const d = await drawn();
    assert.deepEqual(d.numbers.map((n) => n.text), [`≤ ${limit} mm`], "how far it may stand off is written at it");
    const shell = Math.max(...d.metal.map((m) => m.right));
    near(measure(d).left, shell, "the measure begins at the shell's edge");
    near(measure(d).right, d.marks[0].middle, "and ends at the mark");
    assert.ok(d.marks[0].middle > shell + 3, "the mark stands off far enough to be seen");
    assert.deepEqual(d.outside, [], "nothing is cut off");
}

test("a mark that is measured: from the shell's edge to the mark, no more than the row allows; hidden can be said", async () => {
    await bench.asks("measure", "mark_before");
    assert.match(await text("sentence"), /^Push in, measure from the shell’s edge to the mark$/);
    assert.match(await text("expected-figure"), /^≤ 1\.50 mm$/);
    await markDrawn("1.50");
    const [legend, zero] = await bench.page.evaluate(() => [".scale-note", ".scale-label"].map((n) => document.querySelector(n).getBoundingClientRect().toJSON()));
    assert.ok(legend.left > zero.right + 8, "the scale's legend stands clear of its zero");
    const [hint, picture] = await bench.page.evaluate(() => [".bench-hint", ".bench-picture"].map((n) => document.querySelector(n).getBoundingClientRect().toJSON()));
    assert.ok(hint.bottom <= picture.top, "the hint stands clear of the picture");
    assert.equal(await hook(bench.page, "main").isHidden(), true, "nothing to confirm: the caliper answers");
    assert.equal(await hook(bench.page, "answer-hidden").count(), 1);
    await looked("mark-before-measured");
    await bench.press("0.40");
    assert.equal(await kind(), "conforms");
    for (const [i, value] of CRIMPS.entries()) {
        await bench.asks("measure", "crimp_diameter", i + 1);
        await bench.press(value);
    }
    await bench.asks("measure", "mark_after");
    assert.match(await text("sentence"), /^Measure from the shell’s edge to the mark$/);
    await markDrawn("1.50");
    await looked("mark-after-measured");
});

test("R7: a mark that stands off too far after the crimp stops the part with how far, and by how much too far", async () => {
    await bench.press("1.90");
    await bench.page.locator('.bench[data-mode="stop"]').waitFor();
    const finding = await hook(bench.page, "finding").first().innerText();
    assert.match(finding, /mark/i);
    assert.match(finding, /1\.90\smm/);
    assert.match(finding, /1\.50\smm/);
    await bench.page.waitForTimeout(1600);
    await looked("stop-mark-measured");
    await bench.main();
    await bench.asks("measure", "skive_outer");
});

test("of a cover skived too long the stop says by how much, and that the hose cannot be saved", async () => {
    await bench.press("37.30");
    await bench.page.locator('.bench[data-mode="stop"]').waitFor();
    assert.match(await hook(bench.page, "finding").first().innerText(), /37\.30\smm/);
    assert.equal(await hook(bench.page, "may-recrimp").getAttribute("data-possible"), "no");
    await bench.page.waitForTimeout(1600);
    await looked("stop-skive");
});
