// The holds page: who may settle (R9), suspects of one failed proof worked off in a row, a hold by serial, one more
// copy of a tag, and a second signature.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {openDesk} from "./holds_kit.js";
import {axe, hook, scan, shots} from "./kit/browser.js";
import {by} from "./kit/shop.js";

let desk = null;
const serials = {};
const second = {person: "LB", name: "Liv Brandal", role: "lead", pin: "840275", passphrase: "nineteen brass sleeves", badge: "B-LB"};

before(async () => {
    desk = await openDesk();
    await desk.shop.asSetter.post("/api/people", second);
    await desk.openLead();
});
after(() => desk?.end());

test("R9: a lead who measured cannot settle, sees why and who may; an operator and an auditor look on", async () => {
    // The lead stands in for the operator.
    const {asSetter} = desk.shop;
    await desk.work(desk.shop.lead);
    await desk.takeOrder("WO-2042");
    await desk.crimp("25.20");
    serials.own = await desk.intoQuarantine();
    await desk.open(serials.own);
    assert.equal(await hook(desk.lead, "standing").getAttribute("data-why"), "own");
    assert.match(await desk.text("standing"), /You measured on this assembly[\s\S]*Who may: Liv Brandal \(QC lead\)/);
    for (const how of ["recrimp", "remeasure", "concession", "scrap"]) assert.equal(await hook(desk.lead, `do-${how}`).isDisabled(), true, how);
    await desk.seen("holds-own");
    // And the station says the same to whoever goes round the page.
    const tried = await desk.bench.try.post("/api/holds/settle", {serial: serials.own, how: "scrap", reason: "mine"});
    assert.equal(tried.body.code, "bench.own_hold");

    const auditor = await desk.onlooker(desk.shop.auditor);
    await desk.open(serials.own, auditor);
    assert.equal(await hook(auditor, "standing").getAttribute("data-why"), "auditor");
    assert.equal(await hook(auditor, "do-scrap").isDisabled(), true);
    await desk.to("#/holds", auditor);
    await hook(auditor, `hold-${serials.own}`).waitFor();
    assert.equal(await hook(auditor, "put").count(), 0);
    await auditor.context().close();

    const operator = await desk.onlooker(desk.shop.other);
    await desk.open(serials.own, operator);
    assert.equal(await hook(operator, "standing").getAttribute("data-why"), "not_lead");
    assert.equal(await hook(operator, "do-scrap").isDisabled(), true);
    await desk.seen("holds-operator", operator);
    await operator.context().close();

    await asSetter.post("/api/holds/settle", {serial: serials.own, how: "scrap", reason: "undersize", by: by(second)});
    await desk.stage("scrapped"); // the lead's page follows by itself
});

test("step 8: what one failed proof made suspect is one batch, worked off one after the other", async () => {
    await desk.work(desk.shop.operator);
    await desk.takeOrder("WO-2041");
    await desk.prove(); // what came before stands
    serials.first = await desk.good();
    serials.second = await desk.good();
    serials.third = await desk.good();
    await desk.prove("25.05");
    await desk.to("#/holds");
    await hook(desk.lead, "open-batch").waitFor();
    const box = await desk.lead.locator(".holds-batch").innerText();
    assert.match(box, /caliper-1 in doubt: 3 suspect/);
    assert.match(box, /off by \+0\.050\smm on ring-25, where 0\.02\smm is allowed/);
    assert.match(box, /Last good proof: 20/);
    assert.match(box, /3 of them have their tag printed and may have left/);
    assert.equal((await desk.rows()).length, 0, "they are one, not three");
    await desk.seen("holds-batch-in-list");

    await hook(desk.lead, "open-batch").click();
    await hook(desk.lead, "batch-progress").waitFor();
    assert.match(await desk.text("batch-progress"), /0 of 3 settled/);
    await desk.seen("holds-batch");
    await hook(desk.lead, "begin-batch").click();
    await desk.shown(serials.first);
    assert.match(await desk.text("batch-at"), /1 of 3, 3 still to settle/);
    assert.match(await desk.text("doubt"), /failed its proof/);
    assert.match(await desk.text("left"), /may have left/);
    await desk.seen("holds-batch-case");

    await desk.settle("scrap", {reason: "found on the rack"});
    await desk.closed();
    await desk.shown(serials.second);
    assert.match(await desk.text("note"), new RegExp(`${serials.first} is settled: scrap`));
    assert.match(await desk.text("batch-at"), /2 of 3, 2 still to settle/);
    await hook(desk.lead, "skip").click();
    await desk.shown(serials.third);
    await desk.settle("remeasure", {reason: "0.05 mm matters little"});
    await desk.closed();
    await desk.shown(serials.second);
    await desk.settle("concession", {reason: "customer keeps it", reference: "FH-C-119"});
    await desk.closed();
    await hook(desk.lead, "batch-progress").waitFor();
    await desk.lead.waitForFunction(() => /3 of 3 settled/.test(document.querySelector('[data-test="batch-progress"]')?.textContent ?? ""));
    await desk.seen("holds-batch-done");
    await desk.to("#/holds");
    await hook(desk.lead, "none").waitFor();
});

test("a serial that is scanned opens its record; one that passed is put on hold by its serial", async () => {
    await desk.work(desk.shop.lead);
    await scan(desk.lead, serials.second);
    await desk.shown(serials.second);
    await desk.stage("passed");
    await desk.seen("holds-passed");
    await hook(desk.lead, "put").click();
    assert.equal(await hook(desk.lead, "ask-serial").inputValue(), serials.second);
    await hook(desk.lead, "ask-reason").fill("dent in the shell");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    await desk.stage("on_hold");
    assert.match(await desk.text("reason"), /dent in the shell/);
    assert.match(await desk.text("left"), /may have left/);

    desk.lead.expect.push(/404/);
    await hook(desk.lead, "back").click();
    await hook(desk.lead, "look").fill("K1-NONE");
    await hook(desk.lead, "look-go").click();
    await hook(desk.lead, "no-serial").waitFor();
    assert.match(await desk.text("no-serial"), /K1-NONE is not known here/);
});

test("R11: a tag that is printed once more asks for its reason and is a copy with a number", async () => {
    await desk.shop.asSetter.post("/api/holds/settle", {serial: serials.second, how: "concession", reason: "polished", customer_reference: "FH-C-120", by: by(second)});
    await desk.open(serials.second);
    await desk.stage("passed");
    const copies = async () => (await desk.shop.asSetter.get(`/api/assemblies/${serials.second}`)).body.tags.length;
    const before = await copies();
    await hook(desk.lead, "reprint").click();
    await hook(desk.lead, "ask-reason").fill("torn");
    await desk.seen("holds-ask-reprint");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    await desk.lead.waitForFunction(() => /reprint/i.test(document.querySelector('[data-test="history"]')?.textContent ?? ""));
    assert.equal(await copies(), before + 1);
});

test("where the shop wants it, a concession takes a second person's signature", async (t) => {
    const known = await desk.shop.asSetter.get("/api/openapi.json");
    if (!known.body.paths["/api/limits"]) {
        t.skip("this station's limits cannot be set");
        return;
    }
    const {limits} = await desk.see();
    await desk.shop.asSetter.post("/api/limits", {...limits, concession_needs_second: true});
    await desk.work(desk.shop.operator);
    await desk.prove();
    await desk.takeOrder("WO-2041");
    await desk.crimp("25.20");
    serials.both = await desk.intoQuarantine();
    await desk.open(serials.both);
    await desk.settle("concession", {reference: "FH-C-121", reason: "customer's wish", second: "B-LB", secret: "111111"});
    await desk.lead.waitForFunction(() => /PIN|wrong/i.test(document.querySelector('dialog [data-test="refusal"]')?.textContent ?? ""));
    await desk.seen("holds-ask-second");
    await hook(desk.lead, "ask-secret").fill("840275");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    const entry = await desk.lastSettled();
    assert.deepEqual([entry.who, entry.body.second], ["TR", "LB"]);
});

test("the holds in German", async () => {
    const german = await desk.onlooker(desk.shop.auditor, {language: "de"});
    await desk.open(serials.first, german);
    assert.match(await desk.text("evidence", german), /25,50/);
    assert.match(await desk.text("settled", german), /entschieden von Tobin Rask/);
    await axe(german, "a case in German");
    await shots(german, "holds-german");
    await german.context().close();
});
