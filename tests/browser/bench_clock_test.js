// The wall clock jumps back while the station works (R10): the order of things in the record would be a lie, and a proof
// would seem to hold for longer. The line stands, everybody sees why and who can go on; a lead compares the clock and
// says so with their own PIN at the operator's screen.
//
// The station runs under libfaketime (Debian's package faketime), with the wall clock only; a file says how far it is off.
import assert from "node:assert/strict";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import {after, before, test} from "node:test";

import {GOOD, openBench, hook} from "./bench_kit.js";
import {axe, shots} from "./kit/browser.js";
import {api} from "./kit/shop.js";
import {heard, listen} from "./kit/tones.js";

const fake = fs.readdirSync("/usr/lib").map((dir) => `/usr/lib/${dir}/faketime/libfaketimeMT.so.1`).find((file) => fs.existsSync(file));
const skip = fake ? false : "needs the package faketime";
const file = path.join(fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-clock-")), "off");
const off = (seconds) => fs.writeFileSync(file, `${seconds < 0 ? "" : "+"}${seconds}\n`);

let bench;
before(async () => {
    if (skip) return;
    off(0);
    bench = await openBench({to: "measure", env: {LD_PRELOAD: fake, FAKETIME_TIMESTAMP_FILE: file, FAKETIME_NO_CACHE: "1", FAKETIME_DONT_FAKE_MONOTONIC: "1"}});
    await listen(bench.page);
});
after(async () => {
    await bench?.close();
    fs.rmSync(path.dirname(file), {recursive: true, force: true});
});

const text = (name) => hook(bench.page, name).innerText();
const entries = async (type) => (await bench.shop.asSetter.get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === type);

test("R10: a clock that jumps back stops the line on the page: no judgement, what happened, and who may go on", {skip}, async () => {
    await bench.press("28.02");
    await bench.asks("confirm", "lubricant");
    await bench.main();
    await bench.asks("confirm", "mark_before");
    await bench.main();
    await bench.press("25.48");
    await bench.asks("measure", "crimp_diameter", 2);
    await heard(bench.page);
    off(-7200);
    await bench.station.caliper.send("press 25.50 mm");
    await bench.page.locator('.bench[data-ask="clock"]').waitFor();
    assert.match(await text("sentence"), /^Stop: the clock jumped\. Call a QC lead\.$/);
    assert.match(await text("hint"), /[Nn]othing is measured until a lead has compared the clock/);
    assert.equal(await bench.page.locator("#place .verdict:visible").count(), 0, "no judgement is to be seen");
    assert.equal((await heard(bench.page)).length, 3, "it sounds like any stop");
    const [stepped] = await entries("clock.stepped");
    assert.equal(stepped.body.stops_line, true);
    const moved = stepped.body.found_utc_ms - stepped.body.expected_utc_ms;
    assert.ok(Math.abs(moved + 7200000) < 60000, `two hours back: ${moved} ms`);
    await stationTime(-7200);
    await bench.looked("clock");
});

// What the page says that the station's clock says; this machine's own clock is right, the shop is in Vienna.
async function stationTime(offBy, within = "#place") {
    const zone = {timeZone: "Europe/Vienna", hourCycle: "h23", hour: "2-digit", minute: "2-digit", second: "2-digit"};
    const seconds = (text) => text.split(":").reduce((sum, part) => sum * 60 + Number(part), 0);
    const until = Date.now() + 15000;
    for (;;) {
        const shown = await bench.page.locator(`${within} [data-test="station-time"]`).innerText();
        const wanted = new Intl.DateTimeFormat("en-GB", zone).format(new Date(Date.now() + offBy * 1000));
        const apart = Math.abs(seconds(shown) - seconds(wanted));
        if (Math.min(apart, 86400 - apart) <= 2) break;
        assert.ok(Date.now() < until, `the page says ${shown}, the station's clock is at ${wanted}`);
        await new Promise((resolve) => setTimeout(resolve, 200));
    }
    assert.match(await bench.page.locator(`${within} [data-test="station-day"]`).innerText(), /^[A-Z][a-z]+day,? \d+ [A-Z][a-z]+ 20\d\d$/);
}

test("R10: nothing is measured meanwhile, and an operator's own PIN is not enough", {skip}, async () => {
    const before = (await entries("reading.taken")).length;
    await new Promise((resolve) => setTimeout(resolve, 450)); // the same frame sooner would be an echo (R8)
    await bench.station.caliper.send("press 25.51 mm");
    await new Promise((resolve) => setTimeout(resolve, 500));
    assert.equal((await entries("reading.taken")).length, before, "what the caliper says does not count");
    await bench.page.locator('.bench[data-ask="clock"]').waitFor();

    await bench.main();
    await hook(bench.page, "ask-person").waitFor();
    assert.match(await bench.page.locator("dialog").innerText(), /Compare the station’s clock with one that you trust/);
    await axe(bench.page, "clock-accept");
    await shots(bench.page, "bench-clock-accept");
    await gives(bench.shop.other);
    await hook(bench.page, "refusal").waitFor();
    assert.match(await text("refusal"), /not a lead/);
    await axe(bench.page, "clock-accept-refused");
    await shots(bench.page, "bench-clock-accept-refused");
    assert.equal((await entries("clock.accepted")).length, 0);
});

async function gives(who) {
    await hook(bench.page, "ask-person").fill(who.badge);
    for (const digit of who.pin) await bench.page.locator("dialog").locator(`[data-test="key-${digit}"]`).click();
    await hook(bench.page, "dialog-yes").click();
}

test("R9 R10: a lead accepts the clock at the operator's screen; the gauge proves itself anew, and the work goes on where it was", {skip}, async () => {
    const {serial} = (await bench.state()).assembly;
    off(0); // somebody has set it right, and the page shows that
    await stationTime(0, "dialog");
    await gives(bench.shop.lead);
    await bench.page.locator("dialog[open]").waitFor({state: "detached"});
    await bench.page.locator('.bench:not([data-ask="clock"])').waitFor();
    const [accepted] = await entries("clock.accepted");
    assert.equal(accepted.who, bench.shop.lead.person);
    assert.match(await text("self"), /Mirela/, "the operator stays signed in");
    await bench.asks("proof");
    assert.doesNotMatch(await text("said"), /clock/, "that stop is over");
    await bench.looked("clock-accepted");
    await bench.main();
    await bench.asks("proof_reading");
    await bench.press("25.00");
    const {step, assembly} = await bench.state();
    assert.equal(assembly.serial, serial);
    assert.deepEqual([step.what, step.flat], ["crimp_diameter", 2]);
    for (const value of GOOD.slice(1)) await bench.press(value);
    await bench.asks("confirm", "mark_after");
});

test("R10: a lead who looks on sees that the line stands, and why", {skip}, async () => {
    off(-3600);
    await bench.station.caliper.send("press 25.50 mm");
    await bench.page.locator('.bench[data-ask="clock"]').waitFor();
    const other = await bench.browser.page(bench.station);
    await hook(other, "who").fill(bench.shop.lead.person);
    if ((await hook(other, "secret-other").innerText()).includes("passphrase")) await hook(other, "secret-other").click();
    await hook(other, "secret").fill(bench.shop.lead.passphrase);
    await hook(other, "go-aside").click();
    await hook(other, "self").waitFor();
    await hook(other, "place-bench").click();
    await other.locator('.bench[data-ask="clock"]').waitFor();
    assert.equal(await hook(other, "main").isHidden(), true, "it is answered at the bench, by the clock");
    await bench.looked("clock-looked-on", other);
    await other.context().close();
    // Through the API just as little without a lead.
    const operator = await api(bench.station, bench.shop.operator);
    assert.equal((await operator.try.post("/api/clock/accept", {})).ok, false);
});
