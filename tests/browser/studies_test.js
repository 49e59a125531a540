// Gauge studies and samples on the pages: planned by a lead at a desk, measured blind at the bench by those whose turn
// it is, read and approved by a lead; a sample that is measured again with another caliper, and a verdict that does not
// stand.
import assert from "node:assert/strict";
import fs from "node:fs";
import {test} from "node:test";

import {openBench} from "./bench_kit.js";
import {axe, hook, openBrowser, scan, shots, signIn} from "./kit/browser.js";
import {api, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";

const wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

async function until(what, done) {
    const end = Date.now() + 20000;
    for (;;) {
        const found = await done();
        if (found) return found;
        assert.ok(Date.now() < end, what);
        await wait(60);
    }
}

async function pin(page, who) {
    const dialog = hook(page, "dialog");
    await hook(page, "ask-person").waitFor();
    await scan(page, who.badge);
    assert.equal(await hook(page, "ask-person").inputValue(), who.badge, "the badge was read");
    for (const digit of who.pin) await dialog.locator(`[data-test="key-${digit}"]`).click();
    await hook(page, "dialog-yes").click();
    await dialog.waitFor({state: "detached"});
}

// Whole nanometres as the station writes them: exact, at least four places.
const decimal = (nm) => (nm / 1e6).toFixed(6).replace(/0{1,2}$/, "");

// Every cell of the page is the cell of the study's or sample's own audit, and of its CSV file; the paper is a PDF.
async function sameAsFiles(page, who, station, query) {
    const client = await api(station, who);
    const audit = (await client.get(`/api/audit?${query}`)).body;
    let cells = 0;
    for (const sheet of audit.sheets) {
        const shown = await hook(page, `sheet-${sheet.id}`).evaluate((t) => [...t.tBodies[0].rows].map((r) => [...r.cells].map((c) => c.textContent)));
        assert.equal(shown.length, sheet.rows.length, sheet.id);
        const href = await hook(page, `csv-${sheet.id}`).getAttribute("href");
        const csv = await page.evaluate(async (address) => (await fetch(address)).text(), href);
        const lines = csv.replace(/^\uFEFF/, "").trimEnd().split("\r\n");
        assert.equal(lines[0], sheet.columns.map((c) => c.id).join(","), href);
        for (const [i, row] of sheet.rows.entries()) {
            // No cell of these holds a comma, a quote or what a spreadsheet would compute.
            assert.equal(lines[i + 1].replaceAll("'", ""), row.join(","), `${sheet.id}, row ${i}`);
            for (const [j, column] of sheet.columns.entries()) {
                if (!["count", "number", "percent", "length", "serial", "shift", "gauge", "seq", "text", "person"].includes(column.kind)) continue;
                const text = column.kind === "person" ? `${audit.people[row[j]]} (${row[j]})` : row[j];
                assert.equal(shown[i][j], row[j] === "" ? "\u2013" : text, `${sheet.id}, row ${i}, ${column.id}`);
                cells += 1;
            }
        }
    }
    assert.ok(cells > 10, `${cells} cells were compared`);
    for (const name of ["pdf-a4", "pdf-letter"]) {
        const [download] = await Promise.all([page.waitForEvent("download"), hook(page, name).click()]);
        assert.match(download.suggestedFilename(), /^(study-GS|sample-RM)-\d\.pdf$/);
        assert.equal(fs.readFileSync(await download.path()).subarray(0, 5).toString(), "%PDF-");
        if (name === "pdf-a4" && process.env.CRIMPGATE_KEEP) fs.copyFileSync(await download.path(), `${process.env.CRIMPGATE_KEEP}/${download.suggestedFilename()}`);
    }
    return audit;
}

const cell = (page, sheet, row, column) =>
    page.evaluate(
        ([id, r, name]) => {
            const table = document.querySelector(`[data-test="sheet-${id}"]`);
            const heads = [...table.querySelectorAll("thead th")].map((n) => n.textContent);
            const at = heads.indexOf(name);
            if (at < 0) throw new Error(`no column ${name} in ${heads.join(" | ")}`);
            return table.querySelectorAll("tbody tr")[r].children[at].textContent;
        },
        [sheet, row, column],
    );

// Pieces that differ, people who differ a little, and the scatter of a hand: whole hundredths of a millimetre.
const sizes = {P1: 2540, P2: 2550, P3: 2560};
const reading = (piece, person, trial) => ((sizes[piece] + (person === "JV" ? 2 : 0) + (trial === 2 ? 1 : 0)) / 100).toFixed(2);

test("R9: a gauge study: planned by a lead, measured blind by two people, approved by the lead, in force at the gauge", async (t) => {
    const station = await startStation();
    const browser = await openBrowser();
    t.after(() => browser.close(station));
    const shop = await setUp(station);
    const desk = await browser.page(station, {size: [1280, 800]});
    await signIn(desk, shop.lead);

    await t.test("the lead plans it, and a plan that says nothing is refused at its place", async () => {
        await desk.goto(`${station.url}/#/audit/studies`);
        await hook(desk, "study-list-empty").waitFor();
        await axe(desk, "studies");
        await shots(desk, "studies-plan");
        await hook(desk, "field-pieces").fill("P1, P2, P3");
        await hook(desk, "field-trials").fill("2");
        await hook(desk, "field-lower").fill("25.30");
        await hook(desk, "field-upper").fill("25.70");
        await hook(desk, "plan-form-go").click();
        await desk.getByText("needs at least 2").first().waitFor();
        await hook(desk, "plan-people-MO").check();
        await hook(desk, "plan-people-JV").check();
        await hook(desk, "plan-form-go").click();
        await hook(desk, "study-GS-1").waitFor();
        assert.match(await hook(desk, "study-GS-1").innerText(), /0 of 12/);
        await hook(desk, "study-GS-1").getByRole("link").click();
        await hook(desk, "study-blind").waitFor();
        await axe(desk, "study waiting");
        await shots(desk, "studies-waiting");
    });

    const page = await browser.page(station);
    await signIn(page, shop.operator);
    const op = await api(station, shop.operator);
    const step = async () => (await op.get("/api/bench")).body.step;

    await t.test("it is begun at the bench without a shift, with its own gauge proved first", async () => {
        await hook(page, "other-work").click();
        await hook(page, "begin-GS-1").waitFor();
        await axe(page, "what may be begun");
        await hook(page, "begin-GS-1").click();
        await page.locator('.bench[data-ask="proof"]').waitFor();
        assert.match(await hook(page, "hint").innerText(), /caliper-1/);
        await op.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
        await station.caliper.send("press 25.00 mm");
        await page.locator('.bench[data-ask="study"]').waitFor();
    });

    await t.test("each turn says who and what, shows nothing that was read, and the next one signs in where they stand", async () => {
        const seen = [];
        let takenBack = false;
        let changed = 0;
        for (;;) {
            const now = await step();
            if (now.ask !== "study") break;
            const who = now.person === "MO" ? shop.operator : shop.other;
            await hook(page, "sentence").filter({hasText: `${who.name} measures piece ${now.piece}`}).waitFor();
            assert.equal(await hook(page, "blind-count").innerText(), `${now.turn - 1} of 12`);
            const text = await page.locator("#place").innerText();
            for (const value of seen) assert.ok(!text.includes(value), `${value} is not shown: ${text}`);
            if (seen.length === 0) {
                await axe(page, "a turn");
                await shots(page, "studies-turn");
            }
            if ((await op.get("/api/bench")).body.person !== now.person) {
                if (changed === 0) {
                    // A press of the gauge by the wrong hand counts for nothing.
                    await station.caliper.send("press 25.41 mm");
                    await page.locator('[data-test="said"][data-kind="refused"]').waitFor();
                    assert.equal((await step()).turn, now.turn);
                    await axe(page, "somebody else's turn");
                    await shots(page, "studies-other");
                }
                changed += 1;
                await page.locator('[data-test="main"][data-armed="yes"]').click();
                await pin(page, who);
                await page.locator('.bench[data-ask="study"]').waitFor();
                await hook(page, "main").waitFor({state: "hidden"});
                assert.equal((await step()).turn, now.turn, "the study stays where it is");
            }
            const value = reading(now.piece, now.person, Math.ceil(now.turn / 6));
            await station.caliper.send(`press ${value} mm`);
            await until("the turn was heard", async () => (await step()).turn !== now.turn || (await step()).ask !== "study");
            seen.push(value);
            if (now.turn === 2 && !takenBack) {
                takenBack = true;
                await hook(page, "take-back").click();
                await hook(page, "reason-1").waitFor();
                await axe(page, "take a turn back");
                const again = await step();
                await hook(page, "reason-1").click();
                if (again.person === now.person) {
                    await until("the turn is asked again", async () => (await step()).turn === 2);
                    await page.locator('.bench[data-ask="study"]').waitFor();
                }
            }
            if (now.turn === 4) {
                const entries = (await shop.asSetter.get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === "study.measured");
                assert.ok(entries.length >= 4);
                for (const e of entries) assert.deepEqual(Object.keys(e).sort(), ["hash", "seq", "type", "withheld"]);
                assert.equal((await shop.asSetter.try.get("/api/studies/GS-1")).status, 409);
                // The bench goes back to its work, and the study waits where it was left.
                await hook(page, "leave").click();
                await hook(page, "other-work").click();
                await hook(page, "begin-GS-1").click();
                await page.locator('.bench[data-ask="study"]').waitFor();
            }
        }
        assert.ok(changed >= 1, "both people had turns");
        await page.locator('.bench[data-ask="shift"]').waitFor();
    });

    await t.test("complete, it is shown: both ways of working it out, which is the answer, and what follows", async () => {
        await hook(desk, "sheet-study_answer").waitFor();
        assert.match(await hook(desk, "study-answer").innerText(), /22\.8 % of the tolerance/);
        assert.equal(await cell(desk, "study_answer", 0, "the answer"), "yes");
        await axe(desk, "study result");
        await shots(desk, "studies-result");
        // Worked out by hand: trials differ by 0.01 everywhere, people by 0.02. By average and range: R = 0.01,
        // EV = 0.01 / d2*(2, 6) = 0.01 / 1.18083; AV from the difference of the people's means 0.02 / 1.41421.
        assert.equal(await cell(desk, "study_variation", 0, "standard deviation, mm"), "0.00847");
        assert.equal(await hook(desk, "sheet-study_readings").locator("tbody tr").count(), 12);
        await hook(desk, "field-expanded").fill("0.006");
        await hook(desk, "budget-form-go").click();
        await hook(desk, "proposed").waitFor();
        assert.equal(await hook(desk, "sheet-study_budget").locator("tbody tr").count(), 5);
        await axe(desk, "budget");
        await shots(desk, "studies-budget");
        await hook(desk, "approve").click();
        await hook(desk, "ask-reason").fill("study of the week");
        await hook(desk, "dialog-yes").click();
        await hook(desk, "study-approved").waitFor();
        const entries = (await shop.asSetter.get("/api/entries?from=1&limit=1000")).body.entries;
        const set = entries.find((e) => e.type === "gauge.uncertainty_set");
        assert.equal(set.who, "TR");
        assert.equal(set.body.before_nm, 12000);
        assert.ok(set.body.uncertainty_nm > 12000, `people who differ by 0.02 mm: ${set.body.uncertainty_nm}`);
        const bench = (await op.get("/api/bench")).body;
        assert.equal(bench.gauges.find((g) => g.gauge === "caliper-1").uncertainty_nm, set.body.uncertainty_nm);
        assert.equal(await cell(desk, "study_approved", 0, "standard uncertainty, mm"), decimal(set.body.uncertainty_nm));
        assert.equal(await cell(desk, "study_approved", 0, "person"), `${shop.lead.name} (${shop.lead.person})`);
        const audit = await sameAsFiles(desk, shop.lead, station, "study=GS-1");
        assert.deepEqual(Object.keys(audit.people).sort(), ["JV", "MO", "TR"], "who measured and who planned");
        for (const e of entries.filter((x) => x.type === "study.measured")) assert.ok(e.body.value_nm > 0, "now everybody may see what was read");
        await axe(desk, "approved");
        await shots(desk, "studies-approved");
    });
});

test("R1: a sample is measured again with another caliper, and a verdict that does not stand makes a hold", async (t) => {
    const bench = await openBench({to: "measure", gauges: ["caliper-1", "caliper-2"]});
    t.after(() => bench.close());
    const {station, shop, page, op, browser} = bench;
    const second = station.calipers["caliper-2"];
    await bench.end();
    await bench.end();
    await op.post("/api/gauges/prove", {gauge: "caliper-2", reference: "ring-25"});
    await second.send("press 25.00 mm");
    await until("the second caliper is proved", async () => (await bench.state()).gauges.find((g) => g.gauge === "caliper-2").ready);

    const desk = await browser.page(station, {size: [1280, 800]});
    const lead = await api(station, shop.lead);
    await hook(desk, "who").waitFor();
    await scan(desk, shop.lead.badge);
    for (const digit of shop.lead.pin) await hook(desk, `key-${digit}`).click();
    await hook(desk, "go-aside").click();
    await hook(desk, "self").waitFor();

    await t.test("the lead draws it by a plan; the serials are the station's choice", async () => {
        await desk.goto(`${station.url}/#/audit/samples`);
        await hook(desk, "sample-list-empty").waitFor();
        await axe(desk, "samples");
        await shots(desk, "samples-draw");
        await hook(desk, "draw-form-go").click();
        await hook(desk, "sample-RM-1").waitFor();
        await hook(desk, "sample-RM-1").getByRole("link").click();
        await hook(desk, "sheet-sample_chances").waitFor();
        await axe(desk, "sample waiting");
        await shots(desk, "samples-waiting");
    });

    await t.test("the bench guides through every place, blind to the first reading and deaf to the first caliper", async () => {
        await bench.asks("measure", "depth");
        await hook(page, "menu").click();
        await hook(page, "menu-other").click();
        await hook(page, "begin-RM-1").click();
        await bench.asks("sample");
        const first = await bench.state();
        await hook(page, "sentence").filter({hasText: `Measure ${first.step.serial}, end A, across flat 1 again`}).waitFor();
        assert.equal(await hook(page, "blind-count").innerText(), "0 of 8");
        assert.ok(!(await page.locator("#place").innerText()).includes("25.4"), "what was read first is not shown");
        await bench.looked("sample");
        await bench.press("25.50");
        await page.locator('[data-test="said"][data-kind="refused"]').waitFor();
        await bench.looked("sample-same-gauge");
        for (let i = 0; i < 8; ++i) {
            const {step} = await bench.state();
            assert.equal(step.measured, i);
            await wait(500); // the same bytes within 0.4 s are one press that bounced
            await second.send(`press ${i === 2 ? "25.90" : "25.51"} mm`);
            const heard = async () => {
                const now = (await bench.state()).step;
                return now.ask !== "sample" || now.measured > i;
            };
            await until(`place ${i + 1} was heard`, heard).catch(async (error) => assert.fail(`${error.message}: ${JSON.stringify((await bench.state()).last)}`));
            if (i < 7) await hook(page, "blind-count").filter({hasText: `${i + 1} of 8`}).waitFor();
        }
    });

    await t.test("the verdict that does not stand is told, and its assembly is on hold", async () => {
        await hook(desk, "sample-verdict").waitFor();
        assert.match(await hook(desk, "sample-verdict").innerText(), /Not accepted/);
        assert.equal(await cell(desk, "sample_overturned", 0, "measured again, mm"), "25.9000");
        assert.equal(await hook(desk, "sheet-sample_pairs").locator("tbody tr").count(), 8);
        await axe(desk, "sample result");
        await shots(desk, "samples-result");
        const audit = await sameAsFiles(desk, shop.lead, station, "sample=RM-1");
        assert.ok(audit.sheets.some((s) => s.id === "sample_pairs"));
        const german = await browser.page(station, {language: "de", size: [1280, 800]});
        await hook(german, "who").waitFor();
        await scan(german, shop.lead.badge);
        for (const digit of shop.lead.pin) await hook(german, `key-${digit}`).click();
        await hook(german, "go-aside").click();
        await hook(german, "self").waitFor();
        await german.goto(`${station.url}/#/audit/samples`);
        await hook(german, "sample-RM-1").waitFor();
        await axe(german, "samples in German");
        await shots(german, "samples-de");
        await german.goto(`${station.url}/#/audit/samples/RM-1`);
        await hook(german, "sheet-sample_pairs").waitFor();
        assert.equal(await hook(german, "sheet-sample_overturned").locator("tbody tr td").filter({hasText: "25,9000"}).count(), 1);
        await shots(german, "samples-result-de");
        await german.context().close();
        const holds = (await lead.get("/api/holds")).body.holds;
        assert.equal(holds.length, 1);
        assert.equal(holds[0].cause, "overturned");
    });
});

// One caliper against rings whose size is known, by one person. What it reads is off by the ring's own bias, and scatters
// by a step of its own around that.
test("one reference many times, and several references: a caliper against what is known", async (t) => {
    const station = await startStation();
    const browser = await openBrowser();
    t.after(() => browser.close(station));
    const shop = await setUp(station);
    for (const [reference, size_nm] of [["ring-20", 20000000], ["ring-30", 30000000]])
        await shop.asSetter.post("/api/references", {reference, kind: "setting ring", size_nm, certificate: "CAL-0389 (invented)", calibration_due: "2099-05-31"});
    const desk = await browser.page(station, {size: [1280, 800]});
    await signIn(desk, shop.lead);
    const op = await api(station, shop.operator, {at_bench: true});
    const step = async () => (await op.get("/api/bench")).body.step;

    async function plan(kind, rings, trials) {
        await desk.goto(`${station.url}/#/audit/studies`);
        await hook(desk, "field-kind").selectOption(kind);
        for (const ring of ["ring-20", "ring-25", "ring-30"]) await hook(desk, `plan-references-${ring}`).setChecked(rings.includes(ring));
        await hook(desk, "plan-people-MO").check();
        await hook(desk, "field-trials").fill(String(trials));
        await hook(desk, "field-lower").fill("24.80");
        await hook(desk, "field-upper").fill("25.20");
        assert.ok(!(await hook(desk, "field-pieces").isVisible()), "rings are chosen, no pieces named");
        await shots(desk, `studies-plan-${kind}`);
        await hook(desk, "plan-form-go").click();
    }

    // `read(piece, turn)` in hundredths of a millimetre. The same bytes within 0.4 s are one press that bounced.
    async function measure(study, read) {
        await op.post("/api/studies/begin", {study});
        if ((await step()).ask === "proof") {
            await op.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
            await station.caliper.send("press 25.00 mm");
        }
        await until("the study runs", async () => (await step()).ask === "study");
        let last = 2500; // the proof
        for (;;) {
            const now = await step();
            if (now.ask !== "study") return;
            const value = read(now.piece, now.turn);
            if (value === last) await wait(500);
            last = value;
            await station.caliper.send(`press ${(value / 100).toFixed(2)} mm`);
            await until(`turn ${now.turn} was heard`, async () => {
                const next = await step();
                return next.ask !== "study" || next.turn !== now.turn;
            });
        }
    }

    await t.test("type 1: bias and scatter held against the tolerance", async () => {
        await plan("type1", ["ring-25"], 25);
        await hook(desk, "study-GS-1").waitFor();
        // 25.00, 25.01 and 25.02 in turn: 9, 8 and 8 of them.
        await measure("GS-1", (piece, turn) => 2500 + ((turn - 1) % 3));
        await desk.goto(`${station.url}/#/audit/studies/GS-1`);
        await hook(desk, "sheet-study_type1").waitFor();
        // Mean 25 + (8 x 0.01 + 8 x 0.02) / 25 = 25.0096; sum of squares 8 x 1e-4 + 8 x 4e-4 - 25 x 0.0096^2 = 0.001696,
        // s = sqrt(0.001696 / 24) = 0.0084063. Cg = 0.2 x 0.4 / (6 s) = 1.586; Cgk = (0.1 x 0.4 - 0.0096) / (3 s) = 1.205.
        assert.equal(await cell(desk, "study_type1", 0, "readings"), "25");
        assert.equal(await cell(desk, "study_type1", 0, "mean, mm"), "25.0096");
        assert.equal(await cell(desk, "study_type1", 0, "standard deviation, mm"), "0.00841");
        assert.equal(await cell(desk, "study_type1", 0, "bias, mm"), "0.0096");
        assert.equal(await cell(desk, "study_type1", 0, "Cg"), "1.59");
        assert.equal(await cell(desk, "study_type1", 0, "Cgk"), "1.21");
        await axe(desk, "type 1 result");
        await shots(desk, "studies-type1");
        await sameAsFiles(desk, shop.lead, station, "study=GS-1");
        assert.equal(await hook(desk, "study-budget").count(), 0, "no uncertainty follows from it");
    });

    await t.test("linearity: bias that grows with the size is told, and where", async () => {
        await plan("linearity", ["ring-20", "ring-25", "ring-30"], 4);
        await hook(desk, "study-GS-2").waitFor();
        // 0.01 too small at 20, right at 25, 0.01 too large at 30 on average: half of the readings a step less or more.
        const bias = {"ring-20": -1, "ring-25": 0, "ring-30": 1};
        const size = {"ring-20": 2000, "ring-25": 2500, "ring-30": 3000};
        const seen = {"ring-20": 0, "ring-25": 0, "ring-30": 0};
        await measure("GS-2", (piece) => size[piece] + bias[piece] + [1, -1, 0, 0][seen[piece]++]);
        await desk.goto(`${station.url}/#/audit/studies/GS-2`);
        await hook(desk, "sheet-study_linearity").waitFor();
        // Bias = 0.002 x (size - 25): slope 0.002 and intercept -0.05 by the sums of least squares.
        assert.equal(await cell(desk, "study_linearity", 0, "slope"), "0.002000");
        assert.equal(await cell(desk, "study_linearity", 0, "intercept, mm"), "-0.0500");
        assert.equal(await cell(desk, "study_bias", 0, "bias, mm"), "-0.0100");
        assert.equal(await cell(desk, "study_bias", 1, "bias, mm"), "0.0000");
        assert.equal(await cell(desk, "study_bias", 2, "bias, mm"), "0.0100");
        await axe(desk, "linearity result");
        await shots(desk, "studies-linearity");
        await sameAsFiles(desk, shop.lead, station, "study=GS-2");
    });
});
