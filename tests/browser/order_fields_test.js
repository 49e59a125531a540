// What an order wants scanned next, what a scan means, how far an order is, and which way the crimper must go.
import assert from "node:assert/strict";
import test from "node:test";

import {useWords} from "../../station/web/kit/words.js";
import {fieldsOf, groupOf, judge, progressOf, wantedOf} from "../../station/web/order/fields.js";
import {adviceOf} from "../../station/web/order/setup_piece.js";

const lots = {hose: ["H-1", "H-2"], fitting_a: ["F-1"], fitting_b: ["F-1"]};
const row = {die_set: "D29", crimper: "C1", setting: "4.20"};
const bench = (ask, order = {}, more = {}) => ({step: {ask}, order: {order: "O", lots, ...order}, row, ...more});
const states = (b, scanned = {}) => fieldsOf(b, scanned).map((f) => f.state).join(" ");
const lotsIn = {hose_lot: "H-1", fitting_a_lot: "F-1", fitting_b_lot: "F-1"};

test("one field is wanted at a time, in the order of the work", () => {
    assert.equal(states(bench("lots")), "wanted later later later later");
    assert.equal(states(bench("lots"), {hose: "H-1"}), "done wanted later later later");
    assert.equal(states(bench("die", lotsIn)), "done done done wanted later");
    assert.equal(states(bench("die", lotsIn), {die: "D29"}), "done done done done wanted");
    assert.equal(states(bench("setup", lotsIn)), "done done done done done");
    assert.deepEqual(fieldsOf({step: {ask: "order"}}, {}), []);
});

test("what the bench has not asked for yet is not claimed to be done or wanted", () => {
    assert.equal(states(bench("proof", lotsIn)), "done done done unknown unknown");
    assert.equal(wantedOf(fieldsOf(bench("proof", lotsIn), {})), null);
});

test("a scan fits, or belongs to another field, or to nothing here", () => {
    const fields = fieldsOf(bench("lots"), {});
    const hose = wantedOf(fields);
    assert.deepEqual(judge(hose, fields, "H-2"), {ok: true});
    assert.deepEqual(judge(hose, fields, "F-1"), {wrong: "other_field", field: "fitting_a"});
    assert.deepEqual(judge(hose, fields, "h-2"), {wrong: "mismatch"}, "a lot is what stands on its label, letter by letter");
    assert.deepEqual(judge(hose, fields, ""), {wrong: "mismatch"});
    const both = fieldsOf(bench("lots"), {hose: "H-1", fitting_a: "F-1"});
    assert.deepEqual(judge(wantedOf(both), both, "F-1"), {ok: true}, "the same lot at both ends is scanned twice");
});

test("the crimper's own label stands for its setting", () => {
    const fields = fieldsOf(bench("die", lotsIn), {die: "D29"});
    assert.deepEqual(judge(wantedOf(fields), fields, "C1"), {ok: true});
    assert.deepEqual(judge(wantedOf(fields), fields, "C2"), {wrong: "mismatch"});
});

test("what is scrapped is made once more: it does not bring an order nearer to its end", () => {
    const order = {quantity: 10, passed: 4, in_work: 1, on_hold: 1, to_be_taken_up: 1, scrapped: 2};
    assert.deepEqual(progressOf(order), {passed: 4, work: 1, held: 2, scrapped: 2, toGo: 3, quantity: 10});
    assert.equal(groupOf({...order, order: "O", started: 9}, ""), "worked");
    assert.equal(groupOf({...order, order: "O", started: 0, passed: 0}, ""), "open");
    assert.equal(groupOf({...order, order: "O", started: 0, passed: 0}, "O"), "worked");
    assert.equal(groupOf({...order, order: "O", started: 12, passed: 10}, ""), "complete");
});

const piece = (values, more) => ({
    lower_nm: 25400000,
    upper_nm: 25600000,
    readings: values.map((v, i) => ({flat: i + 1, value_nm: v})),
    passed: false,
    ...more,
});

test("a mean over the middle closes the crimper, one under it opens it, by exactly the difference", () => {
    useWords({en: {}, de: {}}, "en");
    const over = adviceOf(piece([25550000, 25570000, 25590000, 25610000], {mean_nm: 25580000, correction_nm: -80000}), "mm", 10000);
    assert.deepEqual(over, {kind: "close", by: "0.08\u00a0mm"});
    const under = adviceOf(piece([25380000, 25380000], {mean_nm: 25380000, correction_nm: 120000}), "mm", 10000);
    assert.deepEqual(under, {kind: "open", by: "0.12\u00a0mm"});
    // 0.002 in = 0.0508 mm
    assert.equal(adviceOf(piece([1, 1], {mean_nm: 1, correction_nm: -50800}), "inch", 12700).by, "0.0020\u00a0in");
});

test("readings further apart than their band are no matter of the setting; exactly as far apart still are", () => {
    assert.equal(adviceOf(piece([25390000, 25600000], {correction_nm: 5000}), "mm", 10000).kind, "scatter");
    assert.equal(adviceOf(piece([25410000, 25610000], {correction_nm: -10000}), "mm", 10000).kind, "close");
});
