// Gauge studies and samples on the pages: planned by a lead at a desk, measured blind at the bench by those whose turn
// it is, read and approved by a lead; a sample that is measured again with another caliper, and a verdict that does not
// stand.
import assert from "node:assert/strict";
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
        const shown = (set.body.uncertainty_nm / 1e6).toFixed(3);
        assert.ok((await hook(desk, "study-approved").innerText()).includes(shown), `${shown} is shown as set`);
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
        const holds = (await lead.get("/api/holds")).body.holds;
        assert.equal(holds.length, 1);
        assert.equal(holds[0].cause, "overturned");
    });
});
