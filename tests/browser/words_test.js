// Sentences in the browser, and the reader that tells a scanner from a person.
import assert from "node:assert/strict";
import test from "node:test";

import {makeBurst} from "../../station/web/kit/burst.js";
import {say, sayMessage, useWords} from "../../station/web/kit/words.js";

const en = {"a.depth": "Depth {value} mm, inside {lower} to {upper} mm.", "a.lot": "Lot {lot} is not issued.", "a.only": "Only {here}."};
const de = {"a.depth": "Tiefe {value} mm, in {lower} bis {upper} mm.", "a.lot": "Charge {lot} ist nicht ausgegeben."};

test("a message's details stand in the holes of its sentence, as an object or as the station sends them", () => {
    useWords({en, de}, "en");
    assert.equal(say("a.lot", {lot: "{value}"}), "Lot {value} is not issued.");
    assert.equal(sayMessage({code: "a.lot", details: [{name: "lot", text: "H-1"}]}), "Lot H-1 is not issued.");
    assert.equal(say("a.depth", {value: "25.48"}), "Depth 25.48 mm, inside  to  mm.");
});

test("German numbers take a comma where a unit stands behind them, and a lot stays what it is called", () => {
    useWords({en, de}, "de");
    assert.equal(say("a.depth", {value: "25.48", lower: "24.0", upper: "26.0"}), "Tiefe 25,48 mm, in 24,0 bis 26,0 mm.");
    assert.equal(say("a.lot", {lot: "1.5"}), "Charge 1.5 ist nicht ausgegeben.");
    assert.equal(say("a.lot", {lot: "1.5 mm"}), "Charge 1,5 mm ist nicht ausgegeben.");
    assert.equal(say("a.only", {here: "x"}), "Only x.", "what is not translated yet is said in English");
});

test("a code without a sentence says itself", () => {
    assert.equal(say("no.such", {gauge: "c1", line: 7}), "no.such gauge=c1 line=7");
});

function keys(text, gap, from = 0) {
    const burst = makeBurst();
    let at = from;
    let whole = null;
    for (const key of [...text, "Enter"]) {
        whole = burst.key(key, at);
        at += gap;
    }
    return whole;
}

test("a scanner's keys are a scan; a person's are not, however long they type", () => {
    assert.equal(keys("B-MO", 8), "B-MO");
    assert.equal(keys("K1-0007-X", 49), "K1-0007-X");
    assert.equal(keys("620914", 51), null);
    assert.equal(keys("620914", 120), null);
    assert.equal(keys("12", 5), null, "two keys at once are a slip of the hand");
});

test("what was typed by hand before a scan is no part of it", () => {
    const burst = makeBurst();
    burst.key("6", 0);
    burst.key("2", 300);
    let whole = null;
    [..."B-TR", "Enter"].forEach((key, i) => (whole = burst.key(key, 1000 + 5 * i)));
    assert.equal(whole, "B-TR");
    assert.equal(burst.key("Enter", 1100), null, "a scan is told once");
});
