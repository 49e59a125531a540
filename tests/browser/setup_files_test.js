// Files in the browser: where a cell stands, which bytes are no UTF-8, and a gauge's standard uncertainty, without a page.
import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import test from "node:test";
import {fileURLToPath} from "node:url";

import {cells, csvRow, decode, letters, ownErrors} from "../../station/web/setup/csv_file.js";
import {rootUp, standardUncertainty} from "../../station/web/setup/uncertainty.js";

const here = path.dirname(fileURLToPath(import.meta.url));
const bytes = (text) => new TextEncoder().encode(text);
const read = (text) => cells(decode(bytes(text)).text).map((r) => [r.line, ...r.fields.map((f) => f.text)]);

test("RFC 4180, section 2: quotes, doubled quotes, commas and line breaks inside a cell", () => {
    // The examples of section 2, points 5 to 7.
    assert.deepEqual(read('"aaa","bbb","ccc"\r\nzzz,yyy,xxx'), [[1, "aaa", "bbb", "ccc"], [2, "zzz", "yyy", "xxx"]]);
    assert.deepEqual(read('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx'), [[1, "aaa", "b\r\nbb", "ccc"], [3, "zzz", "yyy", "xxx"]]);
    assert.deepEqual(read('"aaa","b""bb","ccc"'), [[1, "aaa", 'b"bb', "ccc"]]);
});

test("empty lines are passed over and counted; a last comma makes an empty cell; a byte order mark is none", () => {
    assert.deepEqual(read("a,b\n\n\nc,\n"), [[1, "a", "b"], [4, "c", ""]]);
    assert.deepEqual(read("\ufeffa,b\n1,2"), [[1, "a", "b"], [2, "1", "2"]]);
    assert.deepEqual(read('a,"open\nuntil the end'), [[1, "a", "open\nuntil the end"]]);
});

test("columns are called as a spreadsheet calls them", () => {
    assert.deepEqual([0, 25, 26, 51, 52, 701, 702].map(letters), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
});

test("RFC 3629: what is no UTF-8 is told in its cell, and every form that is none is found", () => {
    const bad = (...list) => decode(new Uint8Array(list)).bad.length;
    assert.equal(bad(0xc0, 0xaf), 2, "an overlong slash");
    assert.equal(bad(0xed, 0xa0, 0x80), 3, "a surrogate");
    assert.equal(bad(0xf4, 0x90, 0x80, 0x80), 4, "beyond U+10FFFF");
    assert.equal(bad(0xe2, 0x82), 2, "cut off");
    assert.equal(bad(...bytes("ø 25,5 \u20ac \u{1f527}")), 0);
    const text = decode(new Uint8Array([...bytes("id,die\n1,D"), 0xfc, ...bytes("9\n2,\ufffd\n")]));
    assert.equal(text.text, "id,die\n1,D\ufffd9\n2,\ufffd\n");
    const told = ownErrors(text, cells(text.text));
    assert.deepEqual(told.map((e) => [e.line, e.column, e.found, e.code]), [[2, "die", "\\xfc", "csv.invalid_utf8"]], "a replacement character that the file itself has is no error");
    assert.equal(ownErrors(decode(new Uint8Array([0xff, 0xfe, 0x61, 0x00])), [])[0].code, "csv.utf16");
});

test("the hostile example is read with the station's own line numbers", () => {
    const file = fs.readFileSync(path.join(here, "../../specs/examples/bad/hostile.csv"));
    const found = decode(file);
    const rows = cells(found.text);
    assert.deepEqual(ownErrors(found, rows).map((e) => [e.line, e.column]), [[36, "die_set"]]);
    const header = rows[0].fields.map((f) => f.text);
    const at = rows.find((r) => r.fields[0].text === "BAD-31");
    assert.equal(at.line, 33);
    assert.equal(at.fields.length, 50, "one cell less than the header");
    assert.equal(rows.find((r) => r.fields[0].text === "BAD-17").fields[header.indexOf("die_set")].line, 18, "a cell with a line break begins on its own line");
});

test("a row that is written is read as it was", () => {
    const row = ["WO-1", 'say "yes"', "a, b", "line\nbreak", "", " blank "];
    assert.deepEqual(cells(csvRow(row))[0].fields.map((f) => f.text), row);
});

test("R5: resolution / sqrt(12), U / k and repeatability add as squares, and are never rounded down", () => {
    // JCGM 100:2008 F.2.2.1: u = 0,29 of the resolution. 10 000 nm / sqrt(12) = 2886,75 nm.
    const u = standardUncertainty({resolution_nm: 10000, expanded_nm: 20000, factor_thousandths: 2000, repeatability_nm: 5000});
    assert.equal(u.resolution, 2887);
    assert.equal(u.calibration, 10000);
    // sqrt(10000^2/12 + 10000^2 + 5000^2) = sqrt(133 333 333,3) = 11547,005
    assert.equal(u.all, 11548);
    assert.equal(standardUncertainty({resolution_nm: 10000, expanded_nm: 0, factor_thousandths: 2000, repeatability_nm: 0}).all, 2887);
    assert.equal(standardUncertainty({resolution_nm: 12700, expanded_nm: 33000, factor_thousandths: 1650, repeatability_nm: 0}).calibration, 20000);
});

test("R5: a root that is whole stays whole, and one that is not goes up, up to lengths of ten metres", () => {
    for (const [n, root] of [[0n, 0n], [1n, 1n], [2n, 2n], [4n, 2n], [5n, 3n], [10n ** 20n, 10n ** 10n], [10n ** 20n + 1n, 10n ** 10n + 1n], [10n ** 20n - 1n, 10n ** 10n]])
        assert.equal(rootUp(n), root, String(n));
});
