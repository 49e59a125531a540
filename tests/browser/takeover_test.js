// What comes between: a colleague takes over in the middle of an assembly, the caliper's plug comes out, the station goes
// away and comes back, nobody touches anything for a while. Two screens look at the one bench all the time. No reading is
// lost, none is there twice, and no good judgement outlives what it stood on.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, openBrowser, scan, shots} from "./kit/browser.js";
import {api, people, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {GOOD, PATIENCE_MS, atPage, chapters, journal, nanometres, ofType} from "./story_kit.js";

const chapter = chapters(test);
const IDLE_MIN = 1; // the least that the station takes

let browser = null;
let station = null;
let first = null; // Mirela's screen
let other = null; // Jonte's screen
let looker = null; // the lead looks on
let serial = "";
const pressed = []; // what was measured for the assembly, in order

before(async () => {
    browser = await openBrowser();
    station = await startStation();
    await setUp(station);
    first = await atPage(await browser.page(station), station);
});
after(() => browser.close(station));

// The two screens show the same work. The one that only looks on has nothing to press.
async function same(one) {
    const parts = ["sentence", "which-of", "strip", "said", "facts"];
    const look = (names) => Object.fromEntries(names.map((n) => [n, document.querySelector(`[data-test="${n}"]`)?.innerText ?? null]));
    const wanted = await one.page.evaluate(look, parts);
    await looker.page.waitForFunction(
        ([names, expected]) => names.every((n) => (document.querySelector(`[data-test="${n}"]`)?.innerText ?? null) === expected[n]),
        [parts, wanted],
    );
    assert.equal(await looker.hook("main").isVisible(), false, "whoever looks on confirms nothing");
}

// No judgement is to be seen, anywhere on that screen.
async function noJudgement(desk, state) {
    assert.deepEqual(await desk.page.locator("#place .verdict:visible").allInnerTexts(), [], `${state}: no judgement is shown`);
}

async function measured(desk, value) {
    const shown = await desk.press(value);
    assert.equal(shown.kind, "conforms", value);
    pressed.push(value);
}

const entries = async () => journal(await api(station, people.auditor));
const ofAssembly = (list) => ofType(list, "reading.taken").filter((e) => e.body.purpose === "assembly");

chapter("a second screen looks on and shows the same", async () => {
    await first.signIn(people.operator);
    await first.yes(/Start the shift/);
    await first.yes(/Prove caliper-1/);
    await first.says(/^Measure ring-25/);
    await first.press("25.01");
    await first.yes(/Take order WO-2041/);
    await first.says(/^Scan the lot/);
    for (const lot of ["R1180", "FA-0614", "FB-0907"]) await scan(first.page, lot);
    await first.yes(/D29 is in/);
    await first.setUp(GOOD);
    await first.says(/^Mark the depth/);
    looker = await atPage(await browser.page(station), station);
    await looker.signIn(people.lead, {aside: true});
    await looker.page.evaluate(() => (location.hash = "#/bench"));
    await looker.says(/^Mark the depth/);
    await same(first);
    await measured(first, "28.02");
    await same(first);
    await first.yes(/lubricated/);
    await first.yes(/at the edge/);
    await first.says(/across flat 1$/);
    await same(first);
    await measured(first, "25.48");
    await first.says(/across flat 2$/);
    await same(first);
    serial = await first.serial();
    assert.match(serial, /^K1/);
});

chapter("R9: at a change of shift a colleague takes over at another screen; the assembly stays in work", async () => {
    other = await atPage(await browser.page(station), station);
    await other.hook("busy").waitFor();
    assert.match(await other.text("busy"), /Mirela Ošk works at this bench[\s\S]*WO-2041/);
    await other.signIn(people.other);
    await other.says(/across flat 2$/);
    assert.equal(await other.serial(), serial);
    await first.hook("busy").waitFor();
    assert.match(await first.text("busy"), /Jonte Valk works at this bench/);
    await axe(first.page, "taken over");
    await shots(first.page, "story-taken-over");
    await same(other);
    await measured(other, "25.50");
    await other.says(/across flat 3$/);
    await same(other);
});

chapter("R1: an unplugged caliper takes its good judgement with it on both screens; back again it must prove itself first", async () => {
    await station.caliper.send("unplug");
    await other.says(/^Connect a gauge/);
    await looker.says(/^Connect a gauge/);
    for (const [desk, name] of [[other, "unplugged"], [looker, "unplugged, looked at"]]) await noJudgement(desk, name);
    assert.match(await other.text("gauge-caliper-1"), /not connected/i);
    await axe(looker.page, "unplugged, looked at");
    await station.caliper.send("plug");
    await other.says(/^Prove caliper-1/);
    await looker.says(/^Prove caliper-1/);
    for (const [desk, name] of [[other, "back, not proved"], [looker, "back, not proved, looked at"]]) await noJudgement(desk, name);
    await other.yes(/Prove caliper-1/);
    await other.says(/^Measure ring-25/);
    assert.equal((await other.press("25.00")).kind, "conforms");
    await other.says(/across flat 3$/);
    assert.equal(await other.serial(), serial, "the same assembly goes on");
    await measured(other, "25.52");
    await other.says(/across flat 4$/);
});

chapter("R10: the station is killed: both screens say so at once, show no judgement, and lock the work", async () => {
    for (const desk of [first, other, looker]) desk.page.expect.push(/api\//, /ERR_/);
    const begun = Date.now();
    await station.kill();
    await Promise.all([other, looker].map((desk) => desk.hook("lost").waitFor()));
    const ms = Date.now() - begun;
    // Long before the silence of a stream would be noticed: a page that hears nothing waits 12 s.
    assert.ok(ms < 12000, `said after ${ms} ms`);
    for (const [desk, name] of [[other, "killed"], [looker, "killed, looked at"]]) {
        await noJudgement(desk, name);
        assert.equal(await desk.page.evaluate(() => document.getElementById("place").inert), true);
        assert.equal(await desk.hook("live").getAttribute("data-live"), "no");
    }
    await axe(other.page, "killed");
    await shots(other.page, "story-killed");
});

chapter("R8 R10: back on the same port the pages find it by themselves; what was pressed meanwhile counts for nothing", async () => {
    await station.caliper.send("press 25.37 mm"); // nobody was there to show it
    await station.start();
    await Promise.all([other, looker].map((desk) => desk.hook("lost").waitFor({state: "hidden"})));
    await noJudgement(other, "back, nobody signed in");
    // Sessions do not outlive the station; the work does.
    await other.hook("who").waitFor();
    await other.signIn(people.other);
    await other.says(/across flat 4$/);
    assert.equal(await other.serial(), serial);
    const values = ofAssembly(await entries()).map((e) => e.body.value_nm);
    assert.deepEqual(values, pressed.map(nanometres), "every reading once, none that nobody saw");
    const strip = await other.text("strip");
    for (const value of pressed) assert.ok(strip.includes(value), `${value} stands in the strip again`);
    await looker.signIn(people.lead, {aside: true});
    await looker.says(/across flat 4$/);
    await same(other);
    await measured(other, "25.49");
});

chapter("the first one comes back, ends what two people had a hand in, and it passes", async () => {
    await other.says(/still at the shell/);
    await other.click("sign-out");
    await first.signIn(people.operator);
    await first.afterCrimp();
    await first.setUp(["25.53", "25.47", "25.51", "25.48"]); // end B is of another row
    await first.says(/^Mark the depth/);
    await measured(first, "28.04");
    await first.yes(/lubricated/);
    await first.yes(/at the edge/);
    for (const [i, value] of ["25.51", "25.47", "25.53", "25.46"].entries()) {
        await first.says(new RegExp(`across flat ${i + 1}$`));
        await measured(first, value);
    }
    await first.afterCrimp();
    assert.equal(await first.passed(), serial);
    await same(first);
});

chapter("R3: the record has each reading once, by whoever took it", async () => {
    const list = await entries();
    assert.deepEqual(
        list.map((e) => e.seq),
        list.map((_, i) => i + 1),
    );
    const taken = ofAssembly(list);
    assert.deepEqual(taken.map((e) => e.body.value_nm), pressed.map(nanometres));
    assert.deepEqual(taken.map((e) => e.who), ["MO", "MO", "JV", "JV", "JV", "MO", "MO", "MO", "MO", "MO"]);
    assert.ok(taken.every((e) => e.body.serial === serial));
    const {body} = await (await api(station, people.auditor)).get(`/api/assemblies/${serial}`);
    assert.deepEqual([...body.measured_by].sort(), ["JV", "MO"]);
    assert.equal(ofType(list, "assembly.passed").length, 1);
});

chapter("nobody touches anything for a minute: the bench is signed out, the lead's page hides itself, the order stays", async () => {
    await first.says(/^Mark the depth/);
    await measured(first, "28.01"); // the next one is begun
    await first.says(/lubricated\?$/);
    serial = await first.serial();
    const as = await api(station, people.setter);
    const limits = (await as.get("/api/limits")).body;
    await as.post("/api/limits", {...limits, sign_out_after_min: IDLE_MIN});
    const begun = Date.now();
    await first.hook("who").waitFor({timeout: IDLE_MIN * 60000 + PATIENCE_MS});
    assert.ok(Date.now() - begun < 70000 + PATIENCE_MS);
    assert.equal(await first.page.locator("#place .bench:visible").count(), 0, "nothing of the work is shown");
    await first.hook("self").waitFor({state: "detached"}); // nobody is named as signed in any more
    await looker.page.waitForFunction(() => /Are you Tobin Rask/.test(document.querySelector('[data-test="signin-sentence"]')?.textContent ?? ""));
    await looker.hook("self").waitFor({state: "detached"});
    assert.match(await first.text("signin-sentence"), /^Scan your badge/, "to work again is to sign in at the bench");
    await axe(first.page, "signed out for want of use");
    await shots(first.page, "story-idle");
    assert.deepEqual(ofType(await entries(), "person.signed_out").at(-1).body, {cause: "idle", person: "MO"});
    // Not only hidden: what the browser has kept opens nothing.
    await first.page.waitForFunction(async () => (await fetch("/api/session")).status === 401, null, {polling: 500});
    await as.post("/api/limits", {...limits, sign_out_after_min: 0});
    const now = (await as.get("/api/bench")).body;
    assert.equal(now.order.order, "WO-2041", "the order stays at the bench");
    assert.equal(now.order.passed, 1);
});

chapter("signed in again, once, the same assembly goes on where it was; the lead finds the page as it was", async () => {
    await first.signIn(people.operator);
    await first.says(/lubricated\?$/);
    assert.equal(await first.serial(), serial);
    assert.match(await first.text("fact-order"), /WO-2041/);
    await first.yes(/lubricated/);
    await first.yes(/at the edge/);
    await first.says(/across flat 1$/);
    await measured(first, "25.50");
    await first.says(/across flat 2$/);
    await scan(looker.page, people.lead.badge);
    for (const digit of people.lead.pin) await looker.click(`key-${digit}`);
    await looker.click("go");
    await looker.says(/across flat 2$/);
    await same(first);
    const list = await entries();
    assert.deepEqual(ofType(list, "person.signed_in").at(-1).body, {person: "MO"});
    assert.deepEqual(ofAssembly(list).map((e) => e.body.value_nm), pressed.map(nanometres));
    assert.ok(ofAssembly(list).slice(-2).every((e) => e.body.serial === serial), "before and after it the same assembly");
});
