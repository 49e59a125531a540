// From another machine: a lead at a desk, over TLS, at the station's own address in the network and not at loopback. A
// passphrase opens, a PIN does not; the lead sees what is stopped and settles it; left alone, the page shows nothing.
//
// The certificate is the test's own, made by openssl for this run; the browser is told to take it, as a shop's browser is
// told to trust the shop's.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import test, {after, before} from "node:test";

import {axe, hook, openBrowser, shots} from "./kit/browser.js";
import {api, people, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";

const address = Object.values(os.networkInterfaces())
    .flat()
    .find((i) => i.family === "IPv4" && !i.internal)?.address;
const skip = address ? false : "this machine has no address but loopback";
process.env.NODE_TLS_REJECT_UNAUTHORIZED = "0"; // of this test's own process: the certificate above
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-tls-"));

let browser = null;
let station = null;
let far = null; // the station as another machine names it
let page = null;
let serial = "";

function certificate() {
    const [crt, key] = ["crt", "key"].map((end) => path.join(folder, `station.${end}`));
    const names = `subjectAltName=DNS:localhost,IP:127.0.0.1,IP:${address}`;
    execFileSync("openssl", ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", "2", "-subj", "/CN=bench-1", "-addext", names, "-keyout", key, "-out", crt], {stdio: "ignore"});
    fs.chmodSync(key, 0o600);
    return ['address = "0.0.0.0"', `certificate = "${crt}"`, `key = "${key}"`, `names = ["${address}"]`].join("\n");
}

// Somebody works at the bench, and an undersize crimp stands on hold.
async function stopped() {
    const shop = await setUp(station);
    const bench = await api(station, shop.operator, {at_bench: true});
    const see = async () => (await bench.get("/api/bench")).body;
    const press = async (value) => {
        const {seq} = await see();
        await station.caliper.send(`press ${value} mm`);
        const until = Date.now() + 20000;
        while ((await see()).seq === seq) {
            assert.ok(Date.now() < until, `${value} was heard`);
            await new Promise((resolve) => setTimeout(resolve, 30));
        }
    };
    await bench.post("/api/shift/start");
    await bench.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
    await press("25.00");
    await bench.post("/api/orders/take", {order: "WO-2041"});
    await bench.post("/api/lots/confirm", {hose_lot: "R1180", fitting_a_lot: "FA-0614", fitting_b_lot: "FB-0907"});
    await bench.post("/api/die/confirm", {die_set: "D29", crimper: "Bench crimper (invented)", setting: "4.20"});
    for (const value of ["25.48", "25.50", "25.52", "25.49"]) await press(value);
    await press("28.02");
    await bench.post("/api/steps/confirm", {what: "lubricant", yes: true});
    await bench.post("/api/steps/confirm", {what: "mark_before", seen: "at_edge"});
    await press("25.24");
    serial = (await see()).stopped.serial;
    await bench.post("/api/assembly/quarantine", {serial});
}

before(async () => {
    if (skip) return;
    browser = await openBrowser();
    station = await startStation({toml: {http: certificate()}});
    await stopped();
    far = {...station, url: station.url.replace(/\/\/[^:/]+/, `//${address}`)};
    page = await browser.page(far, {ignoreHTTPSErrors: true});
});
after(async () => {
    await browser?.close(station);
    fs.rmSync(folder, {recursive: true, force: true});
});

const text = (name) => hook(page, name).innerText();
const entries = async (type) => (await (await api(station, people.auditor)).get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === type);
const passphrase = async (who) => {
    await hook(page, "who").fill(who.person);
    await hook(page, "secret").fill(who.passphrase);
};

test("before somebody has signed in, another machine is told nothing of the shop", {skip}, async () => {
    assert.match(page.url(), new RegExp(`^https://${address.replace(/\./g, "\\.")}:`));
    await hook(page, "who").waitFor();
    assert.match(await text("signin-sentence"), /^Who are you\?$/);
    const shown = await page.evaluate(() => document.body.innerText);
    for (const secret of ["WO-2041", serial, "Mirela", "caliper-1", "Corvane"]) assert.ok(!shown.includes(secret), `${secret} is not told`);
    assert.ok(await hook(page, "key-1").isHidden(), "a passphrase is asked for, not a PIN");
    assert.equal((await page.evaluate(async () => (await fetch("/api/bench")).status)), 401);
    await axe(page, "far-sign-in");
    await shots(page, "far-sign-in");
});

test("a PIN is refused from there, with what to do instead; right or wrong, it is the same", {skip}, async () => {
    for (const pin of [people.lead.pin, "999999"]) {
        await hook(page, "secret-other").click();
        await hook(page, "who").fill(people.lead.badge);
        await hook(page, "secret").fill(pin);
        await hook(page, "go").click();
        await page.waitForFunction(() => /station's own machine only/.test(document.querySelector('[data-test="refusal"]').textContent));
        assert.equal(await hook(page, "self").count(), 0);
        assert.ok(await hook(page, "key-1").isHidden(), "the passphrase is asked for at once");
    }
    await axe(page, "far-pin");
    await shots(page, "far-pin");
    assert.equal((await page.evaluate(async () => (await fetch("/api/session")).status)), 401);
});

test("a passphrase opens; the session is a cookie that only this host, only TLS and no script gets", {skip}, async () => {
    await passphrase(people.lead);
    await hook(page, "go").click();
    await hook(page, "self").waitFor();
    assert.match(await text("self"), /Tobin Rask\s+QC lead/);
    const cookies = await page.context().cookies();
    assert.equal(cookies.length, 1);
    const [cookie] = cookies;
    assert.equal(cookie.name, "__Host-crimpgate");
    assert.deepEqual([cookie.secure, cookie.httpOnly, cookie.sameSite, cookie.path, cookie.domain], [true, true, "Strict", "/", address]);
    assert.equal(await page.evaluate(() => document.cookie), "");
    const bench = (await (await api(station, people.auditor)).get("/api/bench")).body;
    assert.equal(bench.person, people.operator.person, "whoever works at the bench goes on working");
    assert.equal(await hook(page, "live").getAttribute("data-live"), "yes");
});

test("R9: the lead sees what is stopped and settles it from the desk", {skip}, async () => {
    await page.evaluate(() => (location.hash = "#/holds"));
    await hook(page, `hold-${serial}`).waitFor();
    await axe(page, "far-holds");
    await shots(page, "far-holds");
    await page.evaluate((s) => (location.hash = `#/holds/${s}`), serial);
    await hook(page, "do-scrap").waitFor();
    assert.match(await text("finding"), /25\.24/);
    await hook(page, "do-scrap").click();
    await hook(page, "ask-reason").fill("0.06 mm under, seen from the desk");
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => document.querySelector('[data-test="stage"]')?.dataset.stage === "scrapped");
    const [settled] = await entries("hold.settled");
    assert.deepEqual([settled.who, settled.body.serial, settled.body.how], [people.lead.person, serial, "scrap"]);
    await axe(page, "far-settled");
    await shots(page, "far-settled");
});

test("from there nobody works at the bench, and no PIN counts in a command either", {skip}, async () => {
    await page.evaluate(() => (location.hash = "#/bench"));
    await page.locator(".bench").waitFor();
    assert.equal(await hook(page, "main").isHidden(), true);
    const status = await page.evaluate(
        async (by) => {
            const answer = await fetch("/api/people/language", {method: "POST", headers: {"Content-Type": "application/json", "X-Crimpgate": "page"}, body: JSON.stringify({language: "en", by})});
            return [answer.status, (await answer.json()).code];
        },
        {person: people.lead.badge, pin: people.lead.pin},
    );
    assert.deepEqual(status, [403, "people.pin_only_here"]);
    await axe(page, "far-bench");
    await shots(page, "far-bench");
});

test("a page left alone for the time that the shop allows hides itself: what it showed is no longer in it", {skip}, async () => {
    await page.evaluate((s) => (location.hash = `#/holds/${s}`), serial);
    await hook(page, "evidence").waitFor();
    await page.evaluate(() => (location.hash = "#/holds"));
    await hook(page, "filter-all").check();
    await hook(page, `hold-${serial}`).waitFor();
    // In the middle of a question as well: a lead is called away.
    await hook(page, "put").click();
    await hook(page, "ask-reason").fill("begun and left");
    const setter = await api(station, people.setter);
    const limits = (await setter.get("/api/limits")).body;
    await setter.post("/api/limits", {...limits, sign_out_after_min: 1});
    const begun = Date.now();
    await page.waitForFunction(() => /Are you Tobin Rask/.test(document.querySelector('[data-test="signin-sentence"]')?.textContent ?? ""), null, {timeout: 90000});
    assert.ok(Date.now() - begun > 20000, "not at once");
    const html = await page.content();
    for (const shown of [serial, "25.24", "WO-2041", "seen from the desk", "begun and left", "Mirela", "caliper-1", "Corvane"]) assert.ok(!html.includes(shown), `${shown} is not in the page any more`);
    assert.equal(await page.locator("dialog").count(), 0, "a question that was left open is called off");
    assert.equal(await hook(page, "self").count(), 0);
    await axe(page, "far-hidden");
    await shots(page, "far-hidden");
    // Not only hidden: what the browser has kept opens nothing.
    await page.waitForFunction(async () => (await fetch("/api/bench")).status === 401, null, {polling: 1000, timeout: 30000});
    await setter.post("/api/limits", {...limits, sign_out_after_min: 0});
    await passphrase(people.lead);
    await hook(page, "go").click();
    await hook(page, "self").waitFor();
    await hook(page, `hold-${serial}`).waitFor(); // as it was left
});

test("signing out from there ends the session at the station, and the page forgets", {skip}, async () => {
    await hook(page, "sign-out").click();
    await hook(page, "who").waitFor();
    assert.equal((await page.context().cookies()).filter((c) => c.value !== "").length, 0);
    const html = await page.content();
    for (const shown of [serial, "WO-2041", "Mirela"]) assert.ok(!html.includes(shown), `${shown} is not in the page any more`);
});
