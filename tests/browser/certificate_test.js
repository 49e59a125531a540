// A lead issues a certificate from the assembly's page, and from a command line; what is downloaded proves itself with
// nothing but the shop's public key.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import {after, before, test} from "node:test";

import {hook} from "./kit/browser.js";
import {inLanguage, nothingCut} from "./kit/german.js";
import {build} from "./kit/places.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";
import {into} from "./setup_steps.js";

const tool = path.join(build, "tools/crimpgate");
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-certificate-"));
let desk = null;
let serial = "";

before(async () => {
    desk = await openDesk({toml: {more: '[record]\nlink = "https://records.corvane.example"'}});
    serial = await desk.good();
    await desk.openLead();
});
after(async () => {
    await desk?.end();
    fs.rmSync(folder, {recursive: true, force: true});
});

// The key as the record has it: a customer would have it from the shop's own page or an earlier paper.
async function key() {
    const {body} = await desk.shop.asSetter.get("/api/entries?from=1&limit=1000");
    return body.entries.find((e) => e.type === "key.made").body.key;
}

function verified(file, shopKey) {
    try {
        return {code: 0, said: execFileSync(tool, ["verify", file, "--key", shopKey]).toString()};
    } catch (error) {
        return {code: error.status, said: String(error.stdout) + String(error.stderr)};
    }
}

test("a lead issues a certificate; its PDF proves itself, and not after one byte is changed", async () => {
    await desk.open(serial);
    await hook(desk.lead, "issue-certificate").click();
    await hook(desk.lead, "dialog").waitFor();
    await hook(desk.lead, "ask-function").fill("QC lead");
    await desk.seen("certificate-ask");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    await hook(desk.lead, "certificate-CF-1").waitFor();
    await desk.seen("certificate-issued");
    const coming = desk.lead.waitForEvent("download");
    await hook(desk.lead, "certificate-pdf").click();
    const file = path.join(folder, "CF-1.pdf");
    await (await coming).saveAs(file);
    const shopKey = await key();
    const good = verified(file, shopKey);
    assert.equal(good.code, 0, good.said);
    assert.match(good.said, /sealed as CF-1\./);
    assert.match(good.said, new RegExp(`about \\(1\\): ${serial}\\.`));
    const text = execFileSync("pdftotext", ["-layout", file, "-"]).toString();
    assert.match(text, /CF-1/);
    assert.match(text, new RegExp(desk.shop.lead.name));
    const bytes = fs.readFileSync(file);
    bytes[1000] ^= 1;
    const changed = path.join(folder, "changed.pdf");
    fs.writeFileSync(changed, bytes);
    assert.equal(verified(changed, shopKey).code, 1, "one bit is enough");
});

test("in the manner of 3.1 nobody releases what they say they are not independent of, and the page says why", async () => {
    await hook(desk.lead, "issue-certificate").click();
    await hook(desk.lead, "dialog").waitFor();
    await hook(desk.lead, "ask-statement").selectOption("manner_3_1");
    await hook(desk.lead, "ask-function").fill("QC lead");
    await hook(desk.lead, "dialog-yes").click();
    await hook(desk.lead, "dialog").locator('[role="alert"]').filter({hasText: /independent/}).first().waitFor();
    await desk.lead.waitForFunction(() => {
        const told = document.querySelector('dialog [data-test="refusal"]').getBoundingClientRect();
        return told.bottom <= document.querySelector("dialog").getBoundingClientRect().bottom + 1;
    });
    await desk.seen("certificate-refused");
    await hook(desk.lead, "dialog-no").click();
    await desk.closed();
    assert.equal(await hook(desk.lead, "certificate-CF-2").count(), 0);
});

test("the command line issues the next one and brings both files", async () => {
    const pin = path.join(folder, "pin");
    fs.writeFileSync(pin, `${desk.shop.lead.passphrase}\n`, {mode: 0o600});
    const asked = [serial, "--function", "QC lead", "--language", "de", "--paper", "letter", "--to", folder];
    const said = execFileSync(tool, ["certificate", ...asked, "--station", desk.station.url, "--person", desk.shop.lead.person, "--pin-file", pin]).toString();
    assert.equal(said, "CF-2\n");
    const shopKey = await key();
    for (const ending of ["pdf", "json"]) {
        const told = verified(path.join(folder, `CF-2.${ending}`), shopKey);
        assert.equal(told.code, 0, told.said);
    }
    assert.match(execFileSync("pdfinfo", [path.join(folder, "CF-2.pdf")]).toString(), /612 x 792 pts \(letter\)/);
});

test("R12: a delivery's certificate carries the address of the customer's page, and lists say where it is printed", async () => {
    const lead = await api(desk.station, desk.shop.lead);
    for (let i = 0; (await lead.get(`/api/assemblies/${serial}`)).body.tags.at(-1)?.state !== "printed"; i += 1) {
        assert.ok(i < 400, "the tag is printed");
        await new Promise((resolve) => setTimeout(resolve, 50));
    }
    await lead.post("/api/deliveries", {customer: "Fennick Harvesters (invented)", to: "Works gate 2", serials: [serial]});
    await desk.to("#/holds");
    await desk.open(serial);
    await hook(desk.lead, "issue-certificate").click();
    await hook(desk.lead, "dialog").waitFor();
    await hook(desk.lead, "ask-function").fill("QC lead");
    await hook(desk.lead, "ask-with_link").check();
    await hook(desk.lead, "dialog-yes").click(); // of this assembly alone
    await hook(desk.lead, "dialog").locator('[role="alert"]').filter({hasText: /Only the certificate of a delivery/}).first().waitFor();
    await hook(desk.lead, "ask-subject").selectOption("delivery:DL-1");
    await hook(desk.lead, "ask-link_until").fill("2030-12-31");
    await into(desk.lead, "ask-link_until");
    await desk.seen("certificate-ask-link");
    await hook(desk.lead, "dialog-yes").click();
    await desk.closed();
    await hook(desk.lead, "certificate-CF-3").waitFor();
    assert.match(await desk.text("certificate-CF-3"), /for DL-1, .* with the address of the customer's page \(TL-1\)/);
    await into(desk.lead, "certificates");
    await desk.seen("certificate-issued-link");
    const pdf = path.join(folder, "CF-3.pdf");
    fs.writeFileSync(pdf, Buffer.from(await desk.lead.evaluate(async () => [...new Uint8Array(await (await fetch("/api/certificates/CF-3.pdf")).arrayBuffer())])));
    assert.match(execFileSync("pdftotext", ["-l", "1", pdf, "-"]).toString(), /https:\/\/records\.corvane\.example\/t\/[0-9A-Z]{26}\s/);
    assert.equal(verified(pdf, await key()).code, 0, "the seal covers what was printed");
    await desk.to("#/deliveries/DL-1");
    await hook(desk.lead, "link-TL-1").waitFor();
    assert.match(await desk.text("link-TL-1"), /DL-1, printed on CF-3\s+until 2030-12-31/);
    await into(desk.lead, "links-section");
    await desk.seen("delivery-link-printed");
    await desk.to("#/holds");
    await inLanguage(desk.lead, "de");
    await desk.open(serial);
    await hook(desk.lead, "issue-certificate").click();
    await hook(desk.lead, "dialog").waitFor();
    assert.match(await desk.text("dialog"), /Mit der Adresse der Kundenseite/);
    await nothingCut(desk.lead, "asking for a certificate in German");
    await into(desk.lead, "ask-link_until");
    await desk.seen("certificate-ask-de");
    await hook(desk.lead, "dialog-no").click();
});
