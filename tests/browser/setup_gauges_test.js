// Gauges: found on a pseudo-terminal, seen live through a profile, given their line, registered with figures from paper.
import assert from "node:assert/strict";
import {spawn} from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import test, {after, before} from "node:test";

import {hook, openBrowser} from "./kit/browser.js";
import {profile, programs} from "./kit/places.js";
import {addPeople, people} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {atDesk, entry, into, receipt, state, text, to} from "./setup_steps.js";

const PROFILE = path.basename(profile, ".toml");

let browser = null;
let station = null;
let setter = null;
let page = null;
let spare = null; // a caliper that the configuration does not know

async function startSpare() {
    const link = path.join(station.folder, "spare");
    const p = spawn(programs.caliper, ["--profile", profile, "--link", link], {stdio: ["pipe", "ignore", "ignore"]});
    const begun = Date.now();
    while (!fs.existsSync(link)) {
        assert.ok(Date.now() - begun < 30000, "the spare caliper made its line");
        await new Promise((resolve) => setTimeout(resolve, 20));
    }
    return {link, press: (size) => p.stdin.write(`press ${size}\n`), stop: () => p.kill("SIGKILL")};
}

before(async () => {
    browser = await openBrowser();
    station = await startStation();
    setter = await addPeople(station);
    spare = await startSpare();
    page = await browser.page(station);
    await atDesk(page, people.setter);
    await to(page, "gauges");
    await hook(page, "gauge-row-caliper-1").waitFor();
});
after(async () => {
    spare?.stop();
    await browser.close(station);
});

const fill = async (values) => {
    for (const [name, value] of Object.entries(values)) await hook(page, `field-${name}`).fill(value);
};
const heard = (name, pattern, timeout = 15000) =>
    page.waitForFunction(([n, p]) => new RegExp(p).test(document.querySelector(`[data-test="${n}"]`).textContent), [name, pattern], {timeout});

// A busy machine may hold up a frame's bytes for so long that half of it is refused, as it should be: pressed again then.
async function pressUntil(size, name, pattern) {
    for (let turn = 0; turn < 5; turn += 1) {
        spare.press(size);
        const came = await heard(name, pattern, 4000).then(() => true, () => false);
        if (came) return;
    }
    assert.fail(`${size} was not heard: ${await text(page, "listen")}`);
}

test("a gauge with a line but without figures is listed as such", async () => {
    assert.match(await text(page, "gauge-row-caliper-1"), /no figures yet/);
    await state(page, "setup-gauges");
});

test("a line is heard live: state, bytes, frame and reading, and what the profile refuses", async () => {
    await hook(page, "field-port").selectOption("other");
    await hook(page, "field-address").fill(spare.link);
    await hook(page, "field-profile").selectOption(PROFILE);
    await heard("listen-state", "line is open");
    await state(page, "setup-gauges-open", "gauge-line");
    await pressUntil("25.48 mm", "listen-readings", "25\\.48");
    const bytes = await hook(page, "listen-bytes").locator("li code:first-child").allInnerTexts();
    assert.match(bytes.reverse().join(" "), /32 35 2E 34 38/, "25.48 as it came");
    assert.match(await text(page, "listen-frames"), /25\.48/);
    await pressUntil("1.0000 in", "listen-refusals", "where mm is expected");
    assert.doesNotMatch(await text(page, "listen-readings"), /1\.0000|25\.4\b/, "the other unit is no reading");
    await state(page, "setup-gauges-live", "gauge-line");
});

test("listening writes nothing into the record", async () => {
    const {body} = await setter.get("/api/entries?from=1&limit=1000");
    assert.deepEqual(body.entries.filter((e) => /^(reading|gauge\.line)/.test(e.type)), []);
});

test("a line that cannot be had says why", async () => {
    await hook(page, "field-address").fill(path.join(station.folder, "nothing-here"));
    await hook(page, "field-address").blur();
    await heard("listen-state", "no port|not there|Plug it in");
    await state(page, "setup-gauges-no-port", "gauge-line");
    await hook(page, "field-address").fill(spare.link);
    await hook(page, "field-address").blur();
    await heard("listen-state", "line is open");
});

test("the line is set under the gauge's name, and the station opens it at once", async () => {
    await hook(page, "line-form-go").click();
    assert.match(await page.locator('[data-test="line-form"] [data-test="error-gauge"]').innerText(), /must be filled in/);
    await page.locator('[data-test="line-form"] [data-test="field-gauge"]').fill("caliper-2");
    await hook(page, "line-form-go").click();
    const seq = await receipt(page);
    const set = await entry(setter, seq);
    assert.equal(set.type, "gauge.line_set");
    assert.equal(set.body.port, spare.link);
    assert.equal(set.body.profile, PROFILE);
    await hook(page, "gauge-row-caliper-2").waitFor();
    await page.waitForFunction(async () => {
        const bench = await (await fetch("/api/bench")).json();
        return bench.gauges.some((g) => g.gauge === "caliper-2" && g.connected) || document.querySelector('[data-test="gauge-row-caliper-2"] .sign-uncertain');
    });
});

test("R5: the aid works the standard uncertainty out of its three parts, exactly", async () => {
    const form = page.locator('[data-test="gauge-form"]');
    assert.equal(await form.locator('[data-test="field-gauge"]').inputValue(), "caliper-2", "the line's name is taken over");
    assert.equal(await hook(page, "field-resolution").inputValue(), "0.01", "what the readings said");
    await into(page, "gauge-figures");
    await fill({expanded: "0.02", factor: "2", repeat: "0.005"});
    // sqrt((10000/sqrt 12)^2 + 10000^2 + 5000^2) nm = 11547.005 nm, see setup_files_test.js
    await heard("uncertainty-sum", "0\\.011548");
    await hook(page, "aid-go").click();
    assert.equal(await hook(page, "field-uncertainty").inputValue(), "0.011548");
    await state(page, "setup-gauges-figures", "gauge-figures");
});

test("errors of the figures stand at their fields", async () => {
    await fill({proof_limit: "0", calibrated: "2026-13-01", calibration_due: "2026-05-01", certificate: "C-1"});
    await hook(page, "gauge-form-go").click();
    assert.match(await text(page, "error-proof_limit"), /more than nothing/);
    assert.match(await text(page, "error-calibrated"), /no day/);
    await fill({proof_limit: "0.03", calibrated: "2026-06-01"});
    await hook(page, "gauge-form-go").click();
    await page.waitForFunction(() => /2026-05-01/.test(document.querySelector('[data-test="error-calibration_due"]').textContent));
    assert.equal(await hook(page, "field-uncertainty").inputValue(), "0.011548");
    await state(page, "setup-gauges-errors", "gauge-figures");
});

test("R4: inches are whole nanometres, and the gauge is registered with exactly what was typed", async () => {
    await hook(page, "unit-proof_limit").selectOption("in");
    await fill({proof_limit: "0.0012", calibration_due: "2099-05-31", certificate: "CAL-0417 <b>(invented)</b>"});
    await hook(page, "gauge-form-go").click();
    await page.waitForFunction(() => /registered until 2099-05-31/.test(document.querySelector('[data-test="receipt"]').textContent));
    const {body, type} = await entry(setter, await receipt(page));
    assert.equal(type, "gauge.registered");
    assert.equal(body.resolution_nm, 10000);
    assert.equal(body.uncertainty_nm, 11548);
    assert.equal(body.proof_limit_nm, 30480, "0.0012 in at 25.4 mm to the inch");
    assert.equal(body.certificate, "CAL-0417 <b>(invented)</b>");
    await page.waitForFunction(() => /2099-05-31/.test(document.querySelector('[data-test="gauge-row-caliper-2"]').textContent));
    await state(page, "setup-gauges-registered");
});

test("R1: a gauge is withdrawn with a reason and a lead's word", async () => {
    await hook(page, "withdraw-caliper-2").click();
    await state(page, "setup-gauges-withdraw");
    await hook(page, "ask-reason").fill("fell on the floor");
    await hook(page, "dialog-yes").click();
    await hook(page, "ask-person").fill(people.setter.badge);
    await page.locator('dialog [data-test="secret"]').fill(people.setter.pin);
    await hook(page, "dialog-yes").click();
    await hook(page, "refusal").waitFor();
    assert.match(await text(page, "refusal"), /not a lead/);
    await state(page, "setup-gauges-withdraw-lead");
    await hook(page, "ask-person").fill(people.lead.badge);
    await page.locator('dialog [data-test="secret"]').fill(people.lead.pin);
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /is withdrawn/.test(document.querySelector('[data-test="receipt"]').textContent));
    const gone = await entry(setter, await receipt(page));
    assert.deepEqual(gone.body, {gauge: "caliper-2", reason: "fell on the floor"});
    assert.equal(gone.who, people.lead.person);
    await page.waitForFunction(() => /withdrawn/.test(document.querySelector('[data-test="gauge-row-caliper-2"]').textContent));
    assert.equal(await hook(page, "withdraw-caliper-2").count(), 0);
});
