// What an order's application came to, on the pages: told when the order comes in, in the way of whoever takes it until
// a lead answers for what stops; and the proof test between the last end and the pass.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";
import {inLanguage, nothingCut} from "./kit/german.js";
import {example} from "./kit/places.js";
import {people} from "./kit/shop.js";
import {atDesk, state, text, to, upload} from "./setup_steps.js";

const header = `${example("demo_order.csv").split("\n")[0].trim()},fluid,bend_radius_mm,bend_deg,straight_a_mm,straight_b_mm,slack_mm,proof_test`;
const order = (id, more) => `${id},Fennick Harvesters (invented),FH-7731,3,NW-208-16S,NW-208-G12,750,din20066,,R1180@2Q26,FA-0614,FB-0907,250,,,${more}`;
const file = (...rows) => [header, ...rows, ""].join("\r\n");

let bench;
before(async () => {
    // WO-2041 is the one that the kit takes to the bench.
    bench = await openBench({to: "measure", orders: file(order("WO-2041", ",,,,,,yes"))});
});
after(() => bench.close());

async function leadGives(page, who) {
    await hook(page, "ask-person").waitFor();
    await hook(page, "ask-person").fill(who.badge);
    for (const digit of who.pin) await page.locator("dialog").locator(`[data-test="key-${digit}"]`).click();
    await hook(page, "dialog-yes").click();
    await page.locator("dialog[open]").waitFor({state: "detached"});
}

async function bothEnds() {
    await bench.end();
    await bench.end();
    await bench.asks("proof_test");
}

async function enters(name, {reached = "550", held = "30", manometer = "M-7"}) {
    const page = bench.page;
    await hook(page, name).click();
    await hook(page, "ask-reached").fill(reached);
    await hook(page, "ask-held").fill(held);
    await hook(page, "ask-manometer").fill(manometer);
    await hook(page, "dialog-yes").click();
}

test("R1, R13: after both ends the bench asks for the proof test, with its caution in sight, and passes only a good one", async () => {
    const {page} = bench;
    await bothEnds();
    assert.match(await hook(page, "sentence").innerText(), /^Hold 550 bar for 30 s with oil\.$/);
    const caution = await hook(page, "proof-caution").innerText();
    for (const word of [/whip/, /through skin/, /doctor/, /never with gas/]) assert.match(caution, word);
    await bench.looked("proof-test");
    await inLanguage(page, "de");
    assert.match(await hook(page, "sentence").innerText(), /^550 bar .*30 s/);
    const warning = await hook(page, "proof-caution").innerText();
    for (const word of [/schlägt/, /durch die Haut/, /Arzt/, /nie mit Gas/]) assert.match(warning, word);
    await nothingCut(page, "proof test in German");
    await bench.looked("proof-test-de");
    await hook(page, "main").click();
    await hook(page, "ask-reached").waitFor();
    await nothingCut(page, "entering a proof test in German");
    await bench.looked("proof-test-ask-de");
    await hook(page, "dialog-no").click();
    await page.locator("dialog[open]").waitFor({state: "detached"});
    await inLanguage(page, "en");
    const serial = (await bench.state()).assembly.serial;
    await bench.page.locator('body[data-live="yes"] [data-test="main"][data-armed="yes"]').waitFor();
    await enters("main", {held: "29"});
    await hook(page, "refusal").waitFor();
    assert.match(await hook(page, "refusal").innerText(), /29 s/);
    assert.equal((await bench.state()).step.ask, "proof_test");
    await hook(page, "ask-held").fill("31");
    await hook(page, "ask-reached").fill("550,5");
    await hook(page, "dialog-yes").click();
    await page.locator("dialog[open]").waitFor({state: "detached"});
    await bench.asks("measure", "depth");
    const known = (await bench.op.get(`/api/assemblies/${serial}`)).body;
    assert.match(JSON.stringify(known), /assembly\.proof_tested/);
    assert.match(JSON.stringify(known), /55050/);
    assert.equal((await bench.state()).order.passed, 1);
});

test("R1, R7: a leak stops the part, and scrap is all that is left", async () => {
    const {page} = bench;
    await bothEnds();
    const serial = (await bench.state()).assembly.serial;
    await enters("proof-leak", {reached: "300", held: "2"});
    await page.locator('.bench[data-mode="stop"]').waitFor();
    assert.match(await hook(page, "stop").innerText(), /^wrong/);
    await bench.looked("proof-test-leaked");
    await inLanguage(page, "de");
    await nothingCut(page, "a leak in German");
    await bench.looked("proof-test-leaked-de");
    await inLanguage(page, "en");
    const held = (await bench.state()).stopped;
    assert.equal(held.serial, serial);
    assert.deepEqual(
        held.may.filter((m) => m.possible).map((m) => m.how),
        ["scrap"],
    );
});

test("R13: findings stand at the upload, each with its source, what stops first and what was not checked named", async () => {
    const desk = await bench.browser.page(bench.station);
    await atDesk(desk, people.setter);
    await to(desk, "orders");
    await upload(desk, "order-file", "orders.csv", file(order("WO-7", "ester,100,90,10,60,50,"), order("WO-8", "mineral_oil,,,,,,")));
    await hook(desk, "found-WO-7").waitFor();
    await hook(desk, "found-WO-7").locator('[data-test="application-stop"]').waitFor();
    const stops = await hook(desk, "found-WO-7").locator('[data-test="application-stop"]').innerText();
    assert.match(stops, /ester/);
    assert.match(stops, /Source: EN 853:2015/);
    assert.match(stops, /Bend: 100 mm/);
    assert.match(await hook(desk, "found-WO-7").locator('[data-test="application-caution"]').innerText(), /designer decides/);
    assert.match(await text(desk, "found-WO-7"), /Not checked/);
    assert.equal(await hook(desk, "found-WO-8").evaluate((n) => n.open), false);
    await state(desk, "application-upload", "found-WO-7");
    await hook(desk, "application-WO-8").click();
    await hook(desk, "application-shown").locator('[data-test="application-holds"]').waitFor();
    await state(desk, "application-shown", "application-shown");
    await inLanguage(desk, "de");
    await upload(desk, "order-file", "orders.csv", file(order("WO-9", "ester,100,90,10,60,50,")));
    await hook(desk, "found-WO-9").locator('[data-test="application-stop"]').waitFor();
    assert.match(await text(desk, "found-WO-9"), /Quelle: EN 853:2015/);
    assert.match(await text(desk, "found-WO-9"), /Nicht geprüft/);
    await nothingCut(desk, "findings in German");
    await state(desk, "application-upload-de", "found-WO-9");
    await desk.close();
});

test("R9, R13: an order that its application stops is taken only after a lead answered for it with a reason", async () => {
    const {page} = bench;
    const {stopped} = await bench.state();
    await bench.op.post("/api/assembly/quarantine", {serial: stopped.serial});
    await page.evaluate(() => (location.hash = "#/order"));
    await hook(page, "another").click();
    await hook(page, "order-WO-7").click();
    await hook(page, "wrong").waitFor();
    assert.match(await text(page, "wrong"), /application check stops order WO-7/);
    await hook(page, "wrong").locator('[data-test="application-stop"]').waitFor();
    await state(page, "application-stops");
    await inLanguage(page, "de");
    await hook(page, "another").click();
    await hook(page, "order-WO-7").click();
    await hook(page, "wrong").locator('[data-test="application-stop"]').waitFor();
    await nothingCut(page, "an order that is stopped, in German");
    await state(page, "application-stops-de");
    await inLanguage(page, "en");
    await hook(page, "another").click();
    await hook(page, "order-WO-7").click();
    await hook(page, "wrong").waitFor();
    await hook(page, "override").click();
    await hook(page, "ask-reason").fill("The hose's maker names this fluid; the bend is guarded by the designer's drawing");
    await hook(page, "dialog-yes").click();
    await leadGives(page, people.lead);
    await page.locator('[data-test="order"]', {hasText: "WO-7"}).waitFor();
    assert.equal((await bench.state()).order.order, "WO-7");
    await state(page, "application-answered");
});
