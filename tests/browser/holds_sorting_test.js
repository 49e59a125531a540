// The order of the holds, the batches of suspects, and bytes shown so that nothing is hidden.
import assert from "node:assert/strict";
import test from "node:test";

import {hexText, rawParts} from "../../station/web/holds/raw.js";
import {standing} from "../../station/web/holds/standing.js";
import {batchesOf, choicesOf, filtered, isOpen, nextIn} from "../../station/web/holds/sorting.js";

const suspect = (serial, seq, more = {}) => ({serial, seq, first_held_seq: seq, cause: "suspect", doubt_seq: 90, stage: "on_hold", tags_printed: 0, order: "O-1", shift: "s1", ...more});

test("suspects of one failed proof are one batch: what may have left first, then the oldest", () => {
    const holds = [suspect("A", 80), suspect("B", 81, {tags_printed: 1}), suspect("C", 82), suspect("D", 70, {doubt_seq: 75}), {...suspect("E", 60), cause: "failed", doubt_seq: undefined}];
    const batches = batchesOf(holds, [{seq: 90}, {seq: 75}, {seq: 5}]);
    assert.deepEqual(batches.map((b) => b.doubt.seq), [75, 90], "a doubt without suspects is no batch");
    assert.deepEqual(batches[1].holds.map((h) => h.serial), ["B", "A", "C"]);
    assert.deepEqual(batches[1].gone.map((h) => h.serial), ["B"]);
});

test("the next of a batch is the next that is open, round to its beginning; none is left at last", () => {
    const done = {settled_seq: 99, stage: "scrapped"};
    const batch = batchesOf([suspect("A", 80), suspect("B", 81, done), suspect("C", 82)], [{seq: 90}])[0];
    assert.equal(nextIn(batch, "A").serial, "C");
    assert.equal(nextIn(batch, "C").serial, "A");
    assert.deepEqual(batch.open.map((h) => h.serial), ["A", "C"]);
    const last = batchesOf([suspect("A", 80), suspect("B", 81, done)], [{seq: 90}])[0];
    assert.equal(nextIn(last, "A"), null, "what is being settled is not its own next");
});

test("a hold that a suspicion came on top of is not open once the assembly went on", () => {
    assert.equal(isOpen(suspect("A", 1)), true);
    assert.equal(isOpen(suspect("A", 1, {settled_seq: 2})), false);
    assert.equal(isOpen(suspect("A", 1, {stage: "scrapped"})), false);
});

test("filters hold together, and offer only what there is", () => {
    const holds = [suspect("A", 1), suspect("B", 2, {order: "O-2", shift: "s2"}), {...suspect("C", 3), cause: "failed"}];
    assert.deepEqual(filtered(holds, {order: "O-1", cause: "suspect"}).map((h) => h.serial), ["A"]);
    assert.deepEqual(filtered(holds, {}).length, 3);
    assert.deepEqual(choicesOf(holds), {orders: ["O-1", "O-2"], causes: ["failed", "suspect"], shifts: ["s1", "s2"]});
});

test("R9: who measured is told so; who may only scrap may nothing else", () => {
    const assembly = {measured_by: ["L1", "O1"], may_settle: [{person: "L2", role: "lead"}, {person: "O2", role: "operator", scrap_only: true}]};
    const of = (person, role) => standing(assembly, {person, role});
    assert.equal(of("L1", "lead").why, "own");
    assert.equal(of("L1", "lead").can.size, 0);
    assert.equal(of("L2", "lead").why, null);
    assert.deepEqual([...of("O2", "operator").can], ["scrap"]);
    assert.equal(of("O1", "operator").why, "own_operator");
    assert.equal(of("O3", "operator").why, "not_lead");
    assert.equal(of("A", "auditor").why, "auditor");
    assert.equal(of("S", "setter").can.size, 0);
});

test("bytes are shown so that nothing is hidden: control characters, spaces and what is no ASCII by name", () => {
    // ASCII (ISO/IEC 646): STX 02, '+' 2B, SP 20, CR 0D, LF 0A, DEL 7F; B5 is none of it.
    assert.deepEqual(rawParts("022b20312e350d0a7fb5"), [{name: "STX"}, "+", {name: "SP"}, "1.5", {name: "CR"}, {name: "LF"}, {name: "DEL"}, {name: "B5"}]);
    assert.equal(hexText("0d0aff"), "0D 0A FF");
    assert.deepEqual(rawParts(""), []);
    assert.deepEqual(rawParts("zz"), [{name: "??"}]);
});
