// What the audit page works out for itself, without a station: addresses, the order of rules, and where things lie on a
// chart. Figures it works out none.
import assert from "node:assert/strict";
import test from "node:test";

import {addressOf, apiQuery, lastShift, readFilters} from "../../station/web/audit/filters.js";
import {allRules, letterOf, signalsOf} from "../../station/web/audit/rules.js";
import {decimalsOf, lineThrough, rangeOf, windowOf} from "../../station/web/audit/scaling.js";

test("filters survive the way into an address and back, whatever an order is called", () => {
    const filters = {shift: "2026-11-25/1", order: "WO&2041=?#/ä", person: "MO"};
    const address = addressOf(filters);
    assert.ok(address.startsWith("#/audit?shift=2026-11-25/1&order="), address);
    assert.deepEqual(readFilters(new URLSearchParams(address.split("?").slice(1).join("?"))), filters);
    assert.deepEqual(readFilters(new URLSearchParams("shift=%20&unknown=1")), {}, "what is empty or unknown narrows nothing");
    assert.equal(new URLSearchParams(apiQuery({from: "2026-11-01"}, {sheet: "made"})).get("sheet"), "made");
    assert.equal(addressOf({}), "#/audit");
});

test("the last shift is the one that began last, not the one that is last in the list", () => {
    assert.equal(lastShift([{shift: "2026-11-25/2", seq: 90}, {shift: "2026-11-25/1", seq: 7}]), "2026-11-25/2");
    assert.equal(lastShift([]), null);
});

test("each rule has a letter of its own, and its signals are told together", () => {
    assert.equal(new Set(allRules().map(letterOf)).size, 9);
    assert.equal(letterOf("beyond_three_sigma"), "A");
    const points = [{serial: "1", signals: ["nine_on_one_side"]}, {serial: "2"}, {serial: "3", signals: ["nine_on_one_side", "beyond_three_sigma"]}];
    assert.deepEqual(
        signalsOf(points).map((s) => [s.letter, s.points.map((p) => p.serial)]),
        [
            ["A", ["3"]],
            ["B", ["1", "3"]],
        ],
    );
});

test("the axis holds every point and limit; a band far wider than both stays outside the picture, unless it is broken", () => {
    const chart = {points: [{value: "25.48"}, {value: "25.52"}], lower: "25.46", upper: "25.54", centre: "25.50"};
    const near = rangeOf({...chart, band_lower: "25.40", band_upper: "25.60"});
    assert.ok(near.bandShown && near.low < 25.4 && near.high > 25.6);
    const far = rangeOf({...chart, band_lower: "24.00", band_upper: "27.00"});
    assert.ok(!far.bandShown && far.low > 25.4 && far.low < 25.46 && far.high > 25.54);
    assert.ok(rangeOf({...chart, points: [{value: "27.10"}, {value: "27.10"}], lower: "27.09", upper: "27.11", centre: "27.10", band_lower: "24.00", band_upper: "27.00"}).bandShown);
    const flat = rangeOf({points: [{value: "25.50"}, {value: "25.50"}]});
    assert.ok(flat.low < 25.5 && flat.high > 25.5, "values that are all alike have a picture too");
    assert.equal(decimalsOf(["25.5", "25.480", "26"]), 3);
});

test("points on a straight line have that line, and points that are all alike have none", () => {
    const [low, high] = lineThrough([-2, -1, 0, 1, 2].map((y) => ({x: 25.5 + y * 0.01, y})));
    assert.ok(Math.abs(low.x - 25.48) < 1e-9 && low.y === -2 && Math.abs(high.x - 25.52) < 1e-9 && high.y === 2);
    assert.deepEqual(lineThrough([-1, 0, 1].map((y) => ({x: 25.5, y}))), []);
    assert.deepEqual(lineThrough([]), []);
});

test("a chart of a year is leafed through: a part keeps the numbers of its points and the restarts that lie in it", () => {
    const chart = {points: Array.from({length: 1000}, (_, seq) => ({seq})), restarts: [0, 450, 700, 990], upper: "1"};
    const part = windowOf(chart, 400, 300);
    assert.deepEqual([part.first, part.points[0].seq, part.points.at(-1).seq, part.upper], [400, 400, 699, "1"]);
    assert.deepEqual(part.restarts, [50]);
    assert.equal(windowOf(chart, 5000, 300).points.at(-1).seq, 999, "never beyond the end");
    assert.equal(windowOf(chart, -5, 300).first, 0);
});
