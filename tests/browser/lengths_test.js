// R4 on the screen: lengths are shown by whole-number arithmetic; what stands there is the value.
import assert from "node:assert/strict";
import test from "node:test";

import {band, decimalsOf, parseLength, shown, shownWithUnit} from "../../station/web/kit/lengths.js";
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
    // 25.48 mm is 1.003149606... in: two decimals more than the gauge has.
    assert.equal(shown(25480000, "in", 12700), "1.003150");
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

test("R4: a metric band in inches is shown inwards: whatever reads as inside is inside", () => {
    // 25.3 mm = 0.99606299... in, 25.7 mm = 1.01181102... in
    const inches = band(25300000, 25700000, "inch", 12700);
    assert.equal(inches.lower, "0.996063");
    assert.equal(inches.upper, "1.011811");
    for (let nm = 25300000 - 200; nm < 25300000; nm += 7)
        assert.ok(Number(inches.lower) * 25400000 > nm, "below the limit stays below");
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
