// R4 on the screen: lengths are shown by whole-number arithmetic; what stands there is the value.
import assert from "node:assert/strict";
import fs from "node:fs";
import test from "node:test";

import {band, besides, decimalsApart, decimalsOf, parseLength, shown, shownGuard, shownWithUnit} from "../../station/web/kit/lengths.js";
import {useWords} from "../../station/web/kit/words.js";

useWords({en: {}}, "en");

test("R4: a millimetre gauge's hundredths are shown as they are", () => {
    assert.equal(decimalsOf(10000, "mm"), 2);
    assert.equal(shown(25480000, "mm", 10000), "25.48");
    assert.equal(shown(25000000, "mm", 10000), "25.00");
    assert.equal(shown(0, "mm", 10000), "0.00");
    assert.equal(shown(70000, "mm", 10000), "0.07");
    assert.equal(shown(-120000, "mm", 10000), "\u22120.12");
    assert.equal(shown(120000, "mm", 10000, {plus: true}), "+0.12");
});

test("R4: 0.0005 in is 12700 nm and shows as four decimals (1 in = 25.4 mm, international inch of 1959)", () => {
    assert.equal(decimalsOf(12700, "in"), 4);
    assert.equal(shown(12700, "in", 12700), "0.0005");
    assert.equal(shown(25400000, "in", 12700), "1.0000");
    assert.equal(shown(25412700, "inch", 12700), "1.0005");
    // 25.48 mm is 1.003149606... in: a length that inches do not hold has the gauge's decimals.
    assert.equal(shown(25480000, "in", 12700), "1.0031");
});

test("R4: a limit finer than the gauge is shown whole, not rounded to where a value could seem inside", () => {
    assert.equal(shown(25480200, "mm", 10000), "25.4802");
    assert.equal(shown(25480001, "mm", 10000), "25.480001");
    assert.equal(shownWithUnit(25480001, "mm", 10000), "25.480001\u00a0mm");
});

test("a band has as many decimals on one side as on the other", () => {
    assert.equal(band(25400000, 25600000, "mm", 10000).text, "25.40 \u2026 25.60\u00a0mm");
    assert.equal(band(25419800, 25600000, "mm", 10000).text, "25.4198 \u2026 25.6000\u00a0mm");
});

test("R4: lengths are shown as the table says that the station is held to as well", () => {
    const seen = new Map();
    for (const line of fs.readFileSync(new URL("../data/shown_lengths.csv", import.meta.url), "utf8").split("\n")) {
        if (line === "" || line.startsWith("#")) continue;
        const [kind, ...cells] = line.split(",");
        seen.set(kind, (seen.get(kind) ?? 0) + 1);
        const n = cells.map(Number);
        const minus = (text) => text.replace("-", "\u2212");
        if (kind === "places") assert.equal(decimalsOf(n[0], cells[1]), n[2], line);
        else if (kind === "length") assert.equal(shown(n[0], cells[1], n[2]), minus(cells[3]), line);
        else if (kind === "apart") assert.equal(decimalsApart(n[0], n[1], cells[2], n[3]), n[4], line);
        else if (kind === "band") {
            const {lower, upper} = band(n[0], n[1], cells[2], n[3]);
            assert.deepEqual([lower, upper], cells.slice(4), line);
        } else {
            assert.equal(kind, "beside");
            const {lower, upper, beside} = band(n[1], n[2], cells[3], n[4], {value_nm: n[0]});
            assert.deepEqual([shown(n[0], cells[3], n[4], beside), lower, upper], cells.slice(5), line);
        }
    }
    assert.equal(seen.size, 5);
    assert.ok(seen.get("places") >= 15);
});

test("R4: what any gauge reads around a limit is shown on the side of it on which it was judged", () => {
    for (const step of [10000, 20000, 1000, 12700, 25400, 50000])
        for (let lower = 25300000; lower < 25310000; lower += 333)
            for (const upper of [lower, lower + 251700]) {
                for (const near of [lower, upper])
                    for (let steps = -2; steps <= 3; steps += 1) {
                        const value = (Math.floor(near / step) + steps) * step;
                        const limits = band(lower, upper, "inch", step, {value_nm: value});
                        const seen = Number(shown(value, "inch", step, limits.beside));
                        assert.equal(seen > Number(limits.upper), value > upper, `${value} over ${upper}`);
                        assert.equal(seen < Number(limits.lower), value < lower, `${value} under ${lower}`);
                    }
            }
});

test("R4: a value 0.00004 in over its limit does not look like the limit, nor is it over by nothing", () => {
    // 25.30 mm is 0.996063 in; 1016 nm is 0.00004 in.
    const over = {value_nm: 25301016, limit_nm: 25300000, guard_nm: 0};
    assert.deepEqual(besides(over, "inch", 10000), {decimals: 5});
    assert.deepEqual([25301016, 25300000, 1016].map((nm) => shown(nm, "inch", 10000, {decimals: 5})), ["0.99610", "0.99606", "0.00004"]);
    assert.deepEqual(besides(over, "mm", 10000), {decimals: 0});
    // Inside by 0.0494 mm, 0.001945 in, where 0.0495 mm, 0.001949 in, are needed: 0.0019 and 0.00195 tell it.
    assert.deepEqual(besides({value_nm: 25349400, limit_nm: 25300000, guard_nm: 49500}, "inch", 10000), {decimals: 4});
    assert.equal(shownGuard(49500, "inch", 10000), "0.00195\u00a0in");
    // 0.0497 mm, 0.0019567 in, and 0.0498 mm, 0.0019606 in, do not: 0.0020 of 0.00196. One place more: 0.00196 of 0.001961.
    assert.deepEqual(besides({value_nm: 25349700, limit_nm: 25300000, guard_nm: 49800}, "inch", 10000), {decimals: 5});
});

test("what is typed with a comma or a point is the same length; what is no number is none", () => {
    assert.equal(parseLength("25,48", "mm"), 25480000);
    assert.equal(parseLength(" 25.48 ", "mm"), 25480000);
    assert.equal(parseLength("-0.5", "mm"), -500000);
    assert.equal(parseLength("1.0005", "inch"), 25412700);
    assert.equal(parseLength("25.4800005", "mm"), null);
    for (const none of ["", "25 48", "25.48 mm", "1e3", "0x10", ".5", "25,4,8", "\u0662\u0665"]) assert.equal(parseLength(none, "mm"), null, none);
});

test("every value of a hundredth-millimetre gauge is read back as it was shown", () => {
    for (let nm = 24000000; nm <= 26000000; nm += 10000) assert.equal(parseLength(shown(nm, "mm", 10000), "mm"), nm);
    for (let nm = 0; nm <= 12700 * 2200; nm += 12700) assert.equal(parseLength(shown(nm, "in", 12700), "in"), nm);
});

test("in German the decimal sign is a comma", () => {
    useWords({en: {}, de: {}}, "de");
    assert.equal(shownWithUnit(25480000, "mm", 10000), "25,48\u00a0mm");
    assert.equal(band(25400000, 25600000, "mm", 10000).text, "25,40 \u2026 25,60\u00a0mm");
    assert.equal(band(25419800, 25600000, "mm", 10000).text, "25,4198 \u2026 25,6000\u00a0mm");
    useWords({en: {}}, "en");
});
