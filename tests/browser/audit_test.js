// The QC lead's audit of a shift that was really worked: what it shows is what the station says, the address holds what
// it is of, every number leads to its evidence, and a signature covers what was there when it was given.
import assert from "node:assert/strict";
import fs from "node:fs";
import test, {after, before} from "node:test";

import {askedAudit, auditPage, cell, endShift, look, ready, sheet} from "./audit_kit.js";
import {openDesk} from "./holds_kit.js";
import {hook} from "./kit/browser.js";
import {api} from "./kit/shop.js";

let desk = null;
let shift = "";
let good = "";
let held = "";
let page = null; // the lead's
let audit = null; // what the station says of that shift

before(async () => {
    desk = await openDesk();
    good = await desk.good();
    await desk.good();
    await desk.crimp("25.20"); // undersize
    held = await desk.intoQuarantine();
    shift = await endShift(desk);
    page = await auditPage(desk, desk.shop.lead);
    // Signing in is an entry too: the page is loaded again, so that both speak of the same record.
    audit = await askedAudit(desk, `shift=${encodeURIComponent(shift)}`);
    await page.reload();
    await ready(page);
});
after(async () => desk?.end());

const hash = (p = page) => p.evaluate(() => decodeURIComponent(location.hash));
const table = (id, p = page) => hook(p, `sheet-${id}`);
async function open(at, p = page) {
    await p.evaluate((h) => (location.hash = h), at);
}

test("without a filter it is the last shift, whose name then stands in the address", async () => {
    assert.equal(await hash(), `#/audit?shift=${shift}`);
    assert.equal(await hook(page, "filter-shift").inputValue(), shift);
    const made = (await hook(page, "summary").innerText()).replace(/\s+/g, " ");
    const said = (column) => cell(audit, "made", 0, column);
    assert.ok(made.includes(`${said("started")} begun, ${said("passed")} passed, ${said("passed_first_time")} of them first time, ${said("on_hold")} on hold`), made);
    assert.equal(said("started"), "3");
    assert.equal(said("on_hold"), "1");
    await look(page, "audit-shift");
});

test("every figure of every table on the page is the station's own text", async () => {
    for (const details of await page.locator("details.audit-sheet").all()) await details.evaluate((d) => (d.open = true));
    let compared = 0;
    const named = new Set();
    for (const s of audit.sheets) {
        if (s.rows.length === 0 || s.id === "open_points") continue;
        const shown = await table(s.id).evaluate((t) => [...t.tBodies[0].rows].map((r) => [...r.cells].map((c) => c.textContent)));
        for (const [i, row] of s.rows.slice(0, shown.length).entries())
            for (const [j, column] of s.columns.entries()) {
                if (!["count", "number", "percent", "length", "seconds", "serial", "shift", "gauge", "order", "seq", "text", "person"].includes(column.kind)) continue;
                // People by their names, beside the id that the record knows them by.
                const name = column.kind === "person" && row[j] !== "" ? audit.people[row[j]] : "";
                if (column.kind === "person" && row[j] !== "") named.add(name);
                assert.equal(shown[i][j], row[j] === "" ? "\u2013" : name ? `${name} (${row[j]})` : row[j], `${s.id}, row ${i}, ${column.id}`);
                compared += 1;
            }
    }
    assert.ok(compared > 40, `${compared} cells were compared`);
    assert.ok(named.has(desk.shop.operator.name) && !named.has(undefined), `everybody has a name: ${[...named]}`);
    await look(page, "audit-tables");
});

test("the open points stand as the station ranks them, and the held assembly is among them", async () => {
    const points = sheet(audit, "open_points");
    const shown = await page.locator('[data-test="open-point"]').allInnerTexts();
    assert.equal(shown.length, points.rows.length);
    const serials = points.rows.map((row) => row[points.columns.findIndex((c) => c.kind === "serial")]);
    for (const [i, serial] of serials.entries()) if (serial) assert.ok(shown[i].includes(serial), `point ${i + 1} names ${serial}`);
    assert.ok(serials.includes(held), "what is on hold is an open point");
    assert.equal(Number(await hook(page, "summary").getAttribute("data-open")), points.rows.length);
});

test("an open point leads to its assembly and that to the bytes which the gauge sent", async () => {
    await page.locator('[data-test="open-point"] a', {hasText: held}).first().click();
    await page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, held);
    assert.match(await page.locator(".holds-raw-text").first().innerText(), /\d\d\.\d\d/);
    await page.goBack();
    await ready(page);
    assert.equal(await hash(), `#/audit?shift=${shift}`, "back on the audit that one came from");
});

test("an assembly that never was on hold shows its raw frames too", async () => {
    await open(`#/holds/${good}`);
    await page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, good);
    assert.equal(await hook(page, "stage").getAttribute("data-stage"), "passed");
    assert.ok((await page.locator(".holds-raw-text").count()) >= 8, "four flats of both ends");
    assert.match(await page.locator(".holds-raw code.muted").first().innerText(), /^([0-9A-F]{2} )+[0-9A-F]{2}$/);
    await open(`#/audit?shift=${shift}`);
    await ready(page);
});

test("filters go into the address, and the address alone brings them back", async () => {
    await hook(page, "filter-more").click();
    await hook(page, "filter-gauge").fill("caliper-1");
    await hook(page, "filter-go").click();
    await page.waitForFunction(() => location.hash.includes("gauge=caliper-1"));
    await ready(page);
    const link = await page.evaluate(() => location.href);
    const other = await desk.onlooker(desk.shop.lead);
    await other.goto(link);
    await ready(other);
    assert.equal(await hook(other, "filter-gauge").inputValue(), "caliper-1");
    assert.equal(await hook(other, "filter-shift").inputValue(), shift);
    await other.context().close();

    await hook(page, "filter-from").fill("2026-02-30");
    await hook(page, "filter-go").click();
    assert.match(await hook(page, "filter-wrong").innerText(), /./, "no such day");
    assert.ok((await hash()).includes("gauge=caliper-1"), "and nothing was asked for");
    await hook(page, "filter-last").click();
    await page.waitForFunction((s) => decodeURIComponent(location.hash) === `#/audit?shift=${s}`, shift);
    await ready(page);
});

test("what is asked for and is not there is told in words, with the bar still there", async () => {
    page.expect.push(/404/);
    await open("#/audit?shift=1999-01-01/1");
    await hook(page, "trouble").waitFor();
    assert.doesNotMatch(await hook(page, "trouble").innerText(), /audit\.no_|api\./, "words, no code");
    for (const way of ["to-watch", "to-studies", "to-samples"]) assert.ok(await hook(page, way).isVisible(), `${way} needs no audit`);
    await look(page, "audit-not-there");
    page.expect.pop();
    await open(`#/audit?shift=${shift}`);
    await ready(page);
});

async function saved(name) {
    const [download] = await Promise.all([page.waitForEvent("download"), hook(page, name).click()]);
    return {name: download.suggestedFilename(), bytes: fs.readFileSync(await download.path())};
}

test("a sheet as CSV has the same cells, JSON the same audit, and the PDF is one", async () => {
    const csv = await saved("csv-made");
    const lines = csv.bytes.toString("utf8").replace(/^\ufeff/, "").trim().split(/\r?\n/);
    assert.deepEqual(lines[0].split(","), sheet(audit, "made").columns.map((c) => c.id));
    assert.deepEqual(lines[1].split(","), sheet(audit, "made").rows[0]);
    const json = JSON.parse((await saved("json")).bytes.toString("utf8"));
    assert.deepEqual(sheet(json, "made"), sheet(audit, "made"));
    for (const paper of ["pdf-a4", "pdf-letter"]) {
        const pdf = await saved(paper);
        assert.equal(pdf.bytes.subarray(0, 5).toString("latin1"), "%PDF-", pdf.name);
    }
});

test("an entry is shown as it was written, and leads to its neighbours", async () => {
    const link = table("journal").locator("a").first();
    const seq = Number(await link.innerText());
    assert.ok(seq > 50, `entry ${seq} is the last one`);
    await link.click();
    await hook(page, "entry").waitFor();
    const entries = (await desk.shop.asSetter.get(`/api/entries?from=${seq}&limit=1`)).body.entries;
    assert.ok((await hook(page, "entry").innerText()).includes(entries[0].type));
    await look(page, "audit-entry");
    await hook(page, "back").click();
    await ready(page);
});

const by = async (who) => {
    await hook(page, "ask-person").fill(who.badge);
    for (const digit of who.pin) await page.locator(`dialog [data-test="key-${digit}"]`).click();
    await hook(page, "dialog-yes").click();
};

test("a lead signs the shift off with a remark and their own PIN; nobody else can", async () => {
    assert.equal(await hook(page, "signature").getAttribute("data-signed"), "no");
    await hook(page, "sign-off").click();
    await hook(page, "sign-remark").fill("Undersize piece seen, die set cleaned.");
    await look(page, "audit-sign");
    await by(desk.shop.operator);
    await hook(page, "refusal").waitFor();
    assert.match(await hook(page, "refusal").innerText(), /lead/);
    await by(desk.shop.lead);
    await hook(page, "signed-by").waitFor();
    assert.ok((await hook(page, "signed-by").innerText()).includes(desk.shop.lead.name));
    assert.equal(await hook(page, "signed-remark").innerText(), "Undersize piece seen, die set cleaned.");
    assert.equal(await hook(page, "late-none").count(), 1);
    assert.equal(await hook(page, "sign-off").count(), 0, "what is signed and whole is not signed again");
});

test("what comes for the shift after the signature shows as late, once the audit is read anew", async () => {
    const lead = await api(desk.station, desk.shop.lead);
    await lead.post("/api/holds/settle", {serial: held, how: "scrap", reason: "Cut up"});
    await hook(page, "newer").waitFor();
    assert.equal(await hook(page, "late-none").count(), 1, "an audit stands still until somebody reads it anew");
    await hook(page, "reload").click();
    await hook(page, "late").waitFor();
    assert.match(await hook(page, "late").innerText(), /after the signature/);
    assert.equal(await hook(page, "sign-off").count(), 1);
    await look(page, "audit-late");
});

test("R3: the journal is read through when a lead asks for it, and the audit then says how far and when", async () => {
    await open(`#/audit?shift=${shift}`);
    await ready(page);
    assert.match(await hook(page, "made-at").innerText(), /was not read through since the station started/);
    const points = () => page.locator('[data-test="open-point"]').allInnerTexts();
    assert.ok((await points()).some((text) => text.includes("The journal was not read through")));
    await hook(page, "verify").click();
    await hook(page, "made-at").filter({hasText: /was read through to \d+ on \d{4}-\d\d-\d\d \d\d:\d\d:\d\d and is whole/}).waitFor({timeout: 30000});
    assert.ok(!(await points()).some((text) => text.includes("The journal was")), "nothing is open about the journal");
    await look(page, "audit-verified");
});

test("an auditor sees all of it and changes none of it", async () => {
    const auditor = await auditPage(desk, desk.shop.auditor);
    assert.equal(await hook(auditor, "sign-off").count(), 0);
    assert.equal(await auditor.locator('[data-test^="freeze-"]').count(), 0);
    assert.equal(await hook(auditor, "signed-by").count(), 1);
    await open("#/audit/watch", auditor);
    await hook(auditor, "watch-read").waitFor();
    assert.equal(await hook(auditor, "watch-form").count(), 0);
    await look(auditor, "audit-watch-read");
    await auditor.context().close();
});

test("an operator is shown no audit, by the rail or by the address", async () => {
    const operator = await desk.onlooker(desk.shop.other);
    assert.equal(await hook(operator, "place-audit").count(), 0);
    await open("#/audit", operator);
    await operator.waitForTimeout(500);
    assert.equal(await operator.locator(".audit").count(), 0);
    await operator.context().close();
});

test("in German figures have a comma and times are the shop's", async () => {
    const german = await auditPage(desk, desk.shop.lead, {language: "de"});
    const yielded = cell(await askedAudit(desk, `shift=${encodeURIComponent(shift)}`), "made", 0, "yield_pct");
    assert.match(yielded, /^\d+\.\d$/);
    assert.ok((await table("made", german).innerText()).includes(yielded.replace(".", ",")));
    assert.ok(!(await table("made", german).innerText()).includes(yielded));
    assert.match(await hook(german, "made-at").innerText(), /^Stand \d{4}-\d\d-\d\d \d\d:\d\d:\d\d/);
    await look(german, "audit-de");
    await german.context().close();
});

test("the drift watch is set, and the next one who looks sees it", async () => {
    await open("#/audit/watch");
    await hook(page, "watch-form").waitFor();
    assert.match(await hook(page, "watch-form").innerText(), /once in 370 ends/);
    assert.ok(await hook(page, "field-rule_six_steadily_moving").isChecked(), "asked from the first ends of a set-up on");
    await hook(page, "field-rule_nine_on_one_side").uncheck();
    await hook(page, "field-points").fill("60");
    await hook(page, "watch-form-go").click();
    await hook(page, "form-errors").waitFor();
    await look(page, "audit-watch-wrong");
    await hook(page, "field-points").fill("40");
    await hook(page, "watch-form-go").click();
    await hook(page, "receipt").waitFor();
    const {body} = await desk.shop.asSetter.get("/api/watch");
    assert.equal(body.points, 40);
    assert.deepEqual(body.rules, ["beyond_three_sigma", "six_steadily_moving"]);
});
