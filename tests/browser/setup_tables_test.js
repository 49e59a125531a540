// Spec tables: every error of a hostile file in its cell, warnings one by one, differences cell by cell, and a table that
// comes into force by a second person only.
import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import test, {after, before} from "node:test";

import {hook, openBrowser} from "./kit/browser.js";
import {example, root} from "./kit/places.js";
import {addPeople, api, people} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {atDesk, entry, into, receipt, state, text, to, upload} from "./setup_steps.js";

const hostile = fs.readFileSync(path.join(root, "specs/examples/bad/hostile.csv"));
const table = example("demo_table.csv");
// The same table, one crimp 0.10 mm smaller, one row less, and a rating above the standard's.
const changed = table
    .split("\n")
    .filter((line) => !line.startsWith("NW-412-F62,"))
    .map((line) => (line.startsWith("NW-208-16S,A,") ? line.replace("NW-208-16S,A,", "NW-208-16S,B,").replace(",25.50,", ",25.40,") : line))
    .join("\n");

let browser = null;
let station = null;
let setter = null;
let page = null;
before(async () => {
    browser = await openBrowser();
    station = await startStation();
    setter = await addPeople(station);
    page = await browser.page(station);
    await atDesk(page, people.setter);
    await to(page, "tables");
    await hook(page, "rows-empty").waitFor();
});
after(() => browser.close(station));

const tables = async () => (await setter.get("/api/tables")).body;
const tick = async () => {
    const boxes = page.locator('[data-test="propose"] [data-test^="warning-"]');
    for (let i = 0; i < (await boxes.count()); i += 1) await boxes.nth(i).check();
    return boxes.count();
};

test("an empty station says that no row is in force", async () => {
    assert.match(await text(page, "rows-empty"), /No row is in force/);
    await state(page, "setup-tables-empty");
});

test("R10: all 65 errors of the hostile table are shown at once, each in its cell and with what to do", async () => {
    await upload(page, "table-file", "hostile.csv", hostile);
    await hook(page, "file-errors").waitFor();
    const items = page.locator('[data-test="file-errors"] > li');
    assert.equal(await items.count(), 65);
    assert.match(await text(page, "file-view"), /^65 errors/);
    // What the station says about the file's text, and the one byte that no text can carry.
    const {body} = await setter.try.post("/api/tables/check", {name: "hostile", csv: new TextDecoder().decode(hostile)});
    assert.equal(body.errors.length, 64);
    const missing = [];
    for (const e of [...body.errors, {line: 36, column: "die_set", found: "\\xfc"}]) {
        const item = page.locator(`[data-test="file-error-${e.line}-${e.column}"]`).filter({hasText: e.found.trim()});
        if ((await item.count()) === 0) missing.push(`${e.line} ${e.column} ${e.found}`);
        else if (!/\p{L}{2}.*[.!?]$/su.test((await item.first().innerText()).trim())) missing.push(`no sentence: ${e.line} ${e.column}`);
    }
    assert.deepEqual(missing, []);
    // In place: the cell of the sheet is marked and has what the file has there.
    const unplaced = await page.evaluate(
        (errors) => {
            const wrong = [];
            for (const e of errors) {
                const cell = document.querySelector(`[data-test="cell-${e.line}-${CSS.escape(e.column)}"]`) ?? null;
                const line = document.querySelector(`[data-test="line-${e.line}"]`);
                if (!cell && !line) wrong.push(`${e.line} ${e.column}`);
            }
            return wrong;
        },
        body.errors.filter((e) => !(e.line === 19)),
    );
    assert.deepEqual(unplaced, []);
    await state(page, "setup-tables-errors", "table-new");
});

test("an error leads to its cell, and the cell back to its error", async () => {
    const item = page.locator('[data-test="file-error-31-spread_mm"]');
    await item.locator('[data-test="to-cell"]').click();
    const cell = hook(page, "cell-31-spread_mm");
    assert.equal(await cell.evaluate((node) => node.contains(document.activeElement)), true);
    const box = await cell.boundingBox();
    const sheet = await page.locator(".setup-file-sheet .scrolls").boundingBox();
    assert.ok(box.x >= sheet.x - 1 && box.x + box.width <= sheet.x + sheet.width + 1, "the cell is in sight");
    assert.match(await cell.innerText(), /0\s+expected: > 0/);
    await state(page, "setup-tables-cell");
    await cell.locator("button").click();
    assert.equal(await item.evaluate((node) => node.contains(document.activeElement)), true);
});

test("R10: with one error nothing can be proposed, and nothing was written", async () => {
    assert.equal(await hook(page, "propose-go").count(), 0);
    assert.deepEqual((await tables()).proposals, []);
});

test("the file's text is shown as text, whatever it holds", async () => {
    await upload(page, "table-file", "<b>evil.csv", table.replace("NW-208-16S,A,", "<script>document.title='taken'</script>,A,").replace(",25.50,", ",<img src=x onerror=alert(1)>,"));
    await page.locator('[data-test="file-errors"] > li').first().waitFor();
    await page.waitForFunction(() => document.querySelector('[data-test="checked"]').textContent.includes("<img src=x"));
    assert.equal(await page.locator("#place img, #place script").count(), 0);
    assert.notEqual(await page.title(), "taken");
});

test("a file of the wrong kind is told in one sentence: semicolons, another alphabet's bytes, a spreadsheet itself", async () => {
    await upload(page, "table-file", "semicolons.csv", fs.readFileSync(path.join(root, "specs/examples/bad/semicolons.csv")));
    await page.waitForFunction(() => /not parted by commas/.test(document.querySelector('[data-test="checked"]').textContent));
    await state(page, "setup-tables-semicolons", "table-new");
    await upload(page, "table-file", "utf16.csv", [0xff, 0xfe, 0x73, 0x00]);
    await page.waitForFunction(() => /UTF-16/.test(document.querySelector('[data-test="checked"]').textContent));
});

test("a sound table: each warning is ticked by itself, then it is proposed and is not in force", async () => {
    await upload(page, "table-file", "demo_table.csv", table);
    await hook(page, "sound").waitFor();
    assert.match(await text(page, "sound"), /No errors; rows in it: 4/);
    assert.match(await text(page, "differences"), /0 changed, 4 new; 0 in force/);
    assert.equal(await hook(page, "field-name").inputValue(), "demo_table");
    await state(page, "setup-tables-sound", "table-new");
    await hook(page, "field-name").fill("Nimbelwick sheet 7 (invented)");
    const boxes = page.locator('[data-test="propose"] [data-test^="warning-"]');
    const count = await boxes.count();
    if (count > 0) {
        await hook(page, "propose-go").click();
        assert.match(await text(page, "form-errors"), /not ticked/);
        assert.equal(await hook(page, "field-name").inputValue(), "Nimbelwick sheet 7 (invented)");
    }
    await tick();
    await hook(page, "propose-go").click();
    const seq = await receipt(page);
    assert.equal((await entry(setter, seq)).type, "table.proposed");
    await hook(page, `proposal-${seq}`).waitFor();
    assert.deepEqual((await tables()).in_force, []);
    await state(page, "setup-tables-proposed");
});

test("R9: whoever proposed it cannot adopt it, not even as the second person at this screen", async () => {
    assert.equal(await hook(page, "adopt").count(), 0);
    await hook(page, "adopt-by-other").click();
    await hook(page, "ask-person").fill(people.setter.badge);
    await page.locator('dialog [data-test="secret"]').fill(people.setter.pin);
    await hook(page, "dialog-yes").click();
    await hook(page, "refusal").waitFor();
    assert.match(await text(page, "refusal"), /proposed this table yourself/);
    await state(page, "setup-tables-second");
    assert.deepEqual((await tables()).in_force, []);
});

test("R9: a lead adopts it right here with badge and PIN, without signing anybody out", async () => {
    await hook(page, "ask-person").fill(people.lead.badge);
    await page.locator('dialog [data-test="secret"]').fill(people.lead.pin);
    await hook(page, "dialog-yes").click();
    await hook(page, "row-NW-208-16S").waitFor();
    const adopted = await entry(setter, await receipt(page));
    assert.equal(adopted.type, "table.adopted");
    assert.equal(adopted.who, people.lead.person);
    assert.equal(adopted.body.proposed_by, people.setter.person);
    assert.match(await text(page, "self"), /Ana Werle/);
    assert.equal(await hook(page, "proposals").isVisible(), false);
    await state(page, "setup-tables-in-force", "rows-section");
});

test("rows in force are found by any of their words", async () => {
    await hook(page, "rows-search").fill("elbow nw-208");
    await page.waitForFunction(() => /1 of 4/.test(document.querySelector('[data-test="rows-found"]').textContent));
    assert.equal(await hook(page, "row-NW-208-G12").count(), 1);
    await hook(page, "rows-search").fill("no such thing");
    assert.match(await text(page, "rows-empty"), /No row has all these words/);
    await hook(page, "rows-search").fill("");
});

test("the differences to what is in force are shown cell by cell, and what a table leaves out stays", async () => {
    await upload(page, "table-file", "changed.csv", changed);
    await hook(page, "sound").waitFor();
    assert.match(await text(page, "differences"), /1 changed, 0 new; 1 in force/);
    const diff = await text(page, "diff-NW-208-16S");
    assert.match(diff, /crimp_mm\s+25\.50?\s+25\.40?/);
    assert.match(diff, /revision\s+A\s+B/);
    assert.match(await text(page, "diff-NW-412-F62"), /stays in force/);
    assert.equal(await hook(page, "diff-NW-104-J4").count(), 0, "what stays the same is not in the way");
    await tick();
    await into(page, "table-new");
    await state(page, "setup-tables-differences", "differences");
    await hook(page, "propose-go").click();
    await page.locator('[data-test^="proposal-"]').first().waitFor();
});

test("R9: another lead at their own place sees the proposal with its differences and adopts it", async () => {
    const seq = (await tables()).proposals[0].proposed_seq;
    const lead = await browser.page(station);
    await atDesk(lead, people.lead);
    await to(lead, "tables");
    await hook(lead, `proposal-${seq}`).waitFor();
    assert.equal(await hook(lead, "table-file").count(), 0, "bringing one is a setter's");
    await state(lead, "setup-tables-lead");
    await hook(lead, "adopt").click();
    await state(lead, "setup-tables-adopt");
    await hook(lead, "dialog-yes").click();
    await hook(lead, "receipt-number").waitFor();
    await lead.context().close();
    // The setter's page hears of it by itself.
    await page.waitForFunction(() => /NW-208-16S\s*B/.test(document.querySelector('[data-test="row-NW-208-16S"]').textContent));
    assert.equal(await hook(page, "proposals").isVisible(), false);
});

test("R3: a proposal is dropped with a reason, and both stay in the record", async () => {
    await upload(page, "table-file", "demo_table.csv", table);
    await hook(page, "sound").waitFor();
    await tick();
    await hook(page, "propose-go").click();
    await hook(page, "drop").first().waitFor();
    await hook(page, "drop").first().click();
    await hook(page, "ask-reason").fill("<i>wrong issue</i> of the sheet");
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /is dropped/.test(document.querySelector('[data-test="receipt"]').textContent));
    const dropped = await entry(setter, await receipt(page));
    assert.equal(dropped.body.reason, "<i>wrong issue</i> of the sheet");
    assert.equal((await tables()).proposals.length, 0);
});

test("a file is dropped as well as chosen", async () => {
    await page.evaluate((csv) => {
        const data = new DataTransfer();
        data.items.add(new File([csv], "dropped.csv", {type: "text/csv"}));
        document.querySelector('[data-test="table-file-place"]').dispatchEvent(new DragEvent("drop", {bubbles: true, cancelable: true, dataTransfer: data}));
    }, table.replace(",25.50,", ",25;50,"));
    await hook(page, "file-errors").waitFor();
    assert.match(await text(page, "table-file-name"), /dropped\.csv/);
    assert.match(await text(page, "cell-2-crimp_mm"), /25;50/);
});

test("an auditor reads the rows and can do nothing", async () => {
    const auditor = await browser.page(station);
    await atDesk(auditor, people.auditor);
    await to(auditor, "tables");
    await hook(auditor, "row-NW-208-16S").waitFor();
    assert.equal(await hook(auditor, "table-file").count(), 0);
    assert.equal((await (await api(station, people.auditor)).try.post("/api/tables", {name: "x", csv: table})).status, 403);
    await state(auditor, "setup-tables-auditor");
    await auditor.context().close();
});
