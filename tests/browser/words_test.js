// Sentences in the browser, and the reader that tells a scanner from a person.
import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import test from "node:test";
import {fileURLToPath} from "node:url";

import {makeBurst} from "../../station/web/kit/burst.js";
import {phrases, values} from "../../station/web/kit/values.js";
import {say, sayMessage, sayValue, useWords} from "../../station/web/kit/words.js";

const en = {"a.depth": "Depth {value} mm, inside {lower} to {upper} mm.", "a.lot": "Lot {lot} is not issued.", "a.only": "Only {here}."};
const de = {"a.depth": "Tiefe {value} mm, in {lower} bis {upper} mm.", "a.lot": "Charge {lot} ist nicht ausgegeben."};

test("a message's details stand in the holes of its sentence, as an object or as the station sends them", () => {
    useWords({en, de}, "en");
    assert.equal(say("a.lot", {lot: "{value}"}), "Lot {value} is not issued.");
    assert.equal(sayMessage({code: "a.lot", details: [{name: "lot", text: "H-1"}]}), "Lot H-1 is not issued.");
    assert.equal(say("a.depth", {value: "25.48"}), "Depth 25.48 mm, inside  to  mm.");
});

test("where the station gives inches the sentence says inches", () => {
    useWords({en, de}, "en");
    assert.equal(say("a.depth", {value: "0.8783", lower: "0.8", upper: "0.9", unit: "in"}), "Depth 0.8783 in, inside 0.8 to 0.9 in.");
    useWords({en, de}, "de");
    assert.equal(say("a.depth", {value: "0.8783", lower: "0.8", upper: "0.9", unit: "in"}), "Tiefe 0,8783 in, in 0,8 bis 0,9 in.");
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

const root = fileURLToPath(new URL("../..", import.meta.url));
const catalogue = (language) => JSON.parse(fs.readFileSync(path.join(root, `station/words/${language}.json`), "utf8"));
const real = {en: catalogue("en"), de: catalogue("de")};

test("every sentence stands in both languages with the same holes, and none was left in English", () => {
    const holes = (sentence) => [...new Set(sentence.match(/\{[^}]*\}/g) ?? [])].sort();
    // A word that both languages share, or figures, signs and proper names only.
    const alike = (text) => text.replace(/\{[^}]*\}|[^\p{L}]/gu, "").length < 2 || text.trim().split(/\s+/).length < 3;
    assert.deepEqual(Object.keys(real.de), Object.keys(real.en));
    for (const code of Object.keys(real.en)) {
        assert.deepEqual(holes(real.de[code]), holes(real.en[code]), code);
        if (!alike(real.en[code])) assert.notEqual(real.de[code], real.en[code], code);
    }
});

test("what the station says inside a sentence is said in German too: a verdict, a role, a part, a place, a field", () => {
    useWords(real, "de");
    const told = {serial: "K100B", end: "A", value: "25.48"};
    assert.equal(say("told.reading_depth", {...told, verdict: "uncertain"}), "K100B Ende A: Einstecktiefe 25,48 mm, zu knapp.");
    assert.equal(say("told.role_given", {person: "MR", role: "lead"}), "MR hat jetzt die Rolle QS-Leitung.");
    assert.equal(say("told.language_chosen", {person: "MR", language: "de"}), "MR hat die Sprache Deutsch gewählt.");
    assert.match(say("bench.wrong_lot", {part: "fitting A", scanned: "F-1", needed: "F-2"}), /^Charge F-1 \(Armatur A\) gehört nicht/);
    assert.match(say("rule.gauge_too_coarse", {what: "crimp_diameter"}), /zu grob für Pressdurchmesser/);
    assert.match(say("bench.field_empty", [{name: "field", text: "uncertainty_nm"}]), /^Standardunsicherheit darf nicht leer sein/);
    useWords(real, "en");
    assert.equal(say("told.reading_depth", {...told, verdict: "fails"}), "K100B end A: depth mark at 25.48 mm, wrong.");
});

test("what a table's cell should hold is said in German, its figures kept", () => {
    useWords(real, "de");
    assert.equal(sayValue("expected", "not empty"), "nicht leer");
    assert.equal(sayValue("expected", "a whole number from 1 to 24"), "eine ganze Zahl von 1 bis 24");
    assert.equal(sayValue("expected", "more than 0, in inches"), "mehr als 0, in Zoll");
    assert.equal(sayValue("expected", "1 to 100000"), "1 bis 100000");
    assert.equal(sayValue("expected", "LOT or LOT@2Q26, more after ;"), "CHARGE oder CHARGE@2Q26, weitere nach ;");
    assert.equal(sayValue("expected", "din20066 or sae_j517"), "din20066 oder sae_j517");
    assert.equal(sayValue("expected", "12.7..40.6 mm"), "12.7..40.6 mm", "figures are the same in every language");
    assert.match(say("profile.bad_value", {line: 3, key: "baud", found: "something else", expected: "true or false"}), /baud ist etwas anderes, erwartet ist true oder false/);
});

test("a person's own text is never taken for a word of the station", () => {
    useWords(real, "de");
    assert.match(say("told.held_person", {serial: "K100B", end: "A", reason: "operator"}), /gesperrt: operator\.$/);
    assert.match(say("table.spec_id_twice", {line: 2, column: "spec_id", found: "nothing", first_line: 1}), /„nothing“/);
    assert.equal(sayValue("verdict", "constructor"), "constructor");
    assert.equal(sayValue("expected", "a whole number from here"), "a whole number from here");
});

test("each word and phrase that is translated inside a sentence is one that the station says", () => {
    const sources = ["specs", "drivers", "station"]
        .flatMap((folder) => fs.readdirSync(path.join(root, folder), {recursive: true}).map((file) => path.join(root, folder, file)))
        .filter((file) => /\.(cpp|h)$/.test(file))
        .map((file) => fs.readFileSync(file, "utf8"))
        .join("\n");
    const said = (text) => sources.includes(text);
    for (const [hole, words] of Object.entries(values))
        for (const [word, code] of Object.entries(words)) {
            assert.ok(said(word.replace(/_nm$/, "")), `${hole}: ${word}`);
            assert.ok(real.de[code], code);
        }
    for (const [hole, codes] of Object.entries(phrases))
        for (const code of codes) {
            const parts = real.en[code].split(/\{[^}]*\}/).filter((part) => part !== "");
            for (const part of parts) assert.ok(said(part), `${hole}: ${code}: ${part}`);
        }
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
