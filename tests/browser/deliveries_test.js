// From the rack to the customer and back to who has it: a lead ticks and scans what goes, a refusal says why, a recall
// finds it, its letter goes to one customer alone; a failed proof lists what has left.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {after, before, test} from "node:test";

import {hook, scan} from "./kit/browser.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";

const fennick = "Fennick Harvesters (invented)";
const brackwater = "Brackwater Cranes (invented)";
let desk = null;
let lead = null;
const made = [];

async function tagged(serial) {
    for (let i = 0; i < 400; i += 1) {
        const {body} = await lead.get(`/api/assemblies/${serial}`);
        if (body.tags.at(-1)?.state === "printed") return;
        await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`no tag for ${serial}`);
}

const pdfText = async (page, href, options = []) => {
    const bytes = await page.evaluate(async (address) => {
        const answer = await fetch(address);
        if (answer.headers.get("content-type") !== "application/pdf") throw new Error(await answer.text());
        return [...new Uint8Array(await answer.arrayBuffer())];
    }, href);
    return execFileSync("pdftotext", [...options, "-", "-"], {input: Buffer.from(bytes)}).toString().replace(/\s+/g, " ");
};

before(async () => {
    desk = await openDesk();
    lead = await api(desk.station, desk.shop.lead);
    for (let i = 0; i < 3; i += 1) made.push(await desk.good());
    await desk.takeOrder("WO-2042");
    made.push(await desk.good());
    for (const serial of made) await tagged(serial);
    await desk.openLead();
});
after(async () => desk?.end());

test("a lead picks by tick and by scan what goes to one customer, and what is another's stays", async () => {
    await desk.to("#/deliveries");
    await hook(desk.lead, "customers").waitFor();
    assert.match(await desk.text("customers"), /Brackwater Cranes/);
    assert.match(await desk.text("customers"), /Fennick Harvesters \(invented\)\s+3/);
    await desk.seen("deliveries");
    await desk.to(`#/deliveries?customer=${encodeURIComponent(fennick)}`);
    await hook(desk.lead, `pick-${made[0]}`).check();
    assert.match(await desk.text("picked"), /^1 of 3/);
    await scan(desk.lead, made[1]);
    await hook(desk.lead, `pick-${made[1]}`).waitFor();
    assert.equal(await hook(desk.lead, `pick-${made[1]}`).isChecked(), true, "the scanned tag is ticked");
    assert.match(await desk.text("picked"), /^2 of 3/);
    await scan(desk.lead, made[3]);
    await hook(desk.lead, "scan-unknown").waitFor();
    assert.equal(await hook(desk.lead, `pick-${made[3]}`).count(), 0, "another customer's is not on this page");
    await desk.seen("deliveries-pick");
    await hook(desk.lead, "send-form-go").click();
    await hook(desk.lead, "form-errors").waitFor(); // where it goes is not said
    await hook(desk.lead, "field-to").fill("Works gate 2");
    await hook(desk.lead, "field-note_number").fill("LS-4711");
    await hook(desk.lead, "send-form-go").click();
    await hook(desk.lead, "receipt").waitFor();
    await hook(desk.lead, `pick-${made[0]}`).waitFor({state: "detached"});
    assert.match(await desk.text("receipt"), /2 assemblies/);
});

test("what may not go is told with every reason, and nothing is written down", async () => {
    await desk.to("#/deliveries");
    await desk.to(`#/deliveries?customer=${encodeURIComponent(fennick)}`);
    await hook(desk.lead, `pick-${made[2]}`).check();
    // Meanwhile another lead puts it on hold.
    await lead.post("/api/assembly/hold", {serial: made[2], reason: "scratched"});
    await desk.lead.waitForFunction((s) => !document.querySelector(`[data-test="pick-${s}"]`), made[2]);
    const refused = await lead.try.post("/api/deliveries", {customer: fennick, to: "gate", serials: [made[0], made[2], made[3]]});
    assert.equal(refused.status, 409);
    assert.deepEqual(refused.body.faults.map((f) => f.code), ["delivery.gone_already", "delivery.on_hold", "delivery.other_customer"]);
    assert.equal((await lead.get("/api/deliveries")).body.deliveries.length, 1);
});

test("a recall of the hose lot finds all four, says who has two of them, and writes one letter", async () => {
    await desk.to("#/recall");
    await hook(desk.lead, "field-hose_lot").fill("R1180");
    await hook(desk.lead, "recall-form-go").click();
    await hook(desk.lead, "sum").waitFor();
    assert.match(await desk.text("sum"), /4 assemblies, 2 of them delivered/);
    assert.match(desk.lead.url(), /#\/recall\?hose_lot=R1180$/);
    for (const serial of made) assert.equal(await hook(desk.lead, `row-${serial}`).count(), 1, serial);
    assert.match(await desk.text(`row-${made[0]}`), /DL-1/);
    assert.match(await desk.text(`row-${made[2]}`), /on hold/);
    await desk.seen("recall");
    const csv = await desk.lead.evaluate(async (address) => (await fetch(address)).text(), await hook(desk.lead, "csv").getAttribute("href"));
    assert.equal(csv.trimEnd().split("\r\n").length, 5);
    await hook(desk.lead, "field-reason").fill("The cover of this lot splits.");
    await hook(desk.lead, "draw-recall-go").click();
    await hook(desk.lead, "receipt").waitFor();
    await hook(desk.lead, "letter-RC-1-0").waitFor();
    assert.equal(await hook(desk.lead, "letter-RC-1-1").count(), 0, "who has none of them has no letter");
    await desk.seen("recall-drawn");
    for (const name of ["letter-RC-1-0", "letter-us-RC-1-0"]) {
        const text = await pdfText(desk.lead, await hook(desk.lead, name).getAttribute("href"));
        assert.match(text, /Fennick Harvesters/);
        for (const serial of made.slice(0, 2)) assert.ok(text.includes(serial), serial);
        for (const serial of made.slice(2)) assert.ok(!text.includes(serial), `${serial} was not delivered to them`);
        assert.ok(!text.includes("Brackwater"), "R12: no other customer stands in it");
        assert.match(text, /WARNING/);
        assert.match(text, /RC-1/);
    }
    const other = await lead.try.get(`/api/recall.pdf?recall=RC-1&customer=${encodeURIComponent(brackwater)}`);
    assert.equal(other.status, 404);
});

test("a word mistyped is told, and is no empty list", async () => {
    await desk.to("#/recall?hose_lot=R1181");
    await hook(desk.lead, "trouble").waitFor();
    assert.match(await desk.text("trouble"), /R1181/);
});

test("a failed proof lists what has already left, for the customers concerned, before all else", async () => {
    await desk.work(desk.shop.operator); // the lead has the bench since they signed in at it
    await desk.prove("25.30");
    await desk.to("#/holds");
    await hook(desk.lead, "left").first().waitFor();
    const told = await hook(desk.lead, "left").first().innerText();
    assert.match(told, /Fennick Harvesters/);
    assert.match(told, /DL-1/);
    assert.match(told, /Works gate 2/);
    for (const serial of made.slice(0, 2)) assert.ok(told.includes(serial), serial);
    assert.ok(!told.includes(made[2]), "what is in the house is not said to have left");
    await desk.seen("holds-left");
    await desk.open(made[0]);
    assert.match(await hook(desk.lead, "gone").innerText(), /LEFT|left the house/);
});

test("R3: what did not go is taken back with a reason, and the delivery goes on saying so", async () => {
    await desk.to("#/deliveries/DL-1");
    await hook(desk.lead, `back-${made[1]}`).check();
    await hook(desk.lead, "field-reason").fill("stayed on the ramp");
    await hook(desk.lead, "back-form-go").click();
    await hook(desk.lead, "receipt").waitFor();
    await hook(desk.lead, `out-${made[1]}`).waitFor({state: "detached"});
    assert.match(await desk.text("backs"), /stayed on the ramp/);
    await desk.seen("delivery");
});

test("an auditor reads deliveries and recalls and changes nothing", async () => {
    const page = await desk.onlooker(desk.shop.auditor);
    await desk.to("#/deliveries/DL-1", page);
    await hook(page, `out-${made[0]}`).waitFor();
    assert.equal(await hook(page, "back-form-go").count(), 0);
    await desk.to("#/recall?hose_lot=R1180", page);
    await hook(page, "sum").waitFor();
    assert.equal(await hook(page, "draw-recall-go").count(), 0);
    await page.context().close();
});
