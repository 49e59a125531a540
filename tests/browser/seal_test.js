// The record's proof: a lead signs, a witness countersigns on a machine of their own, and the shop enters it; a setter
// prints the recovery page and replaces the key; whoever only looks on is offered nothing that they may not do.
import assert from "node:assert/strict";
import {execFileSync, spawnSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import {after, before, test} from "node:test";

import {hook} from "./kit/browser.js";
import {build} from "./kit/places.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";

const crimpgate = path.join(build, "tools/crimpgate");
const elsewhere = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-witness-")); // the witness's own machine
const at = (name) => path.join(elsewhere, name);
const run = (...words) => execFileSync(crimpgate, words).toString();

let desk = null;
let setter = null;
let key = ""; // the station's, as the page shows it
let witness = "";

const lead = () => desk.lead;
async function save(page, name, as) {
    const [download] = await Promise.all([page.waitForEvent("download"), hook(page, name).click()]);
    if (as) fs.copyFileSync(await download.path(), at(as));
    return download.path();
}
const sealed = (wanted, page = lead()) => page.waitForFunction((w) => document.querySelector('[data-test="seal-sum"]')?.textContent.startsWith(w), wanted);
const sizes = (page = lead()) => page.locator('[data-test^="checkpoint-"] th').allInnerTexts();
const receipt = (words, page = lead()) => page.waitForFunction((w) => document.querySelector('[data-test="receipt"]')?.textContent.includes(w), words);

before(async () => {
    desk = await openDesk();
    await desk.openLead();
    setter = await desk.onlooker(desk.shop.setter);
});
after(async () => {
    await setter?.context().close();
    await desk?.end();
    fs.rmSync(elsewhere, {recursive: true, force: true});
});

test("a lead sees how far the record is signed, signs it now, and takes the checkpoint away as a file", async () => {
    await desk.to("#/seal");
    await sealed("Nothing is signed yet");
    await hook(lead(), "sign-now").click();
    await sealed("All entries are under a signature");
    await receipt("Signed: entries 1 to");
    key = await hook(lead(), "key").inputValue();
    const [size] = await sizes();
    await save(lead(), `file-${size}`, "first.txt");
    assert.match(fs.readFileSync(at("first.txt"), "utf8"), new RegExp(`^\\S+\\n${size}\\n`));
    // What is signed twice is signed once.
    await hook(lead(), "sign-now").click();
    await receipt("Nothing new to sign");
    assert.deepEqual(await sizes(), [size]);
    assert.match(await hook(lead(), "seal-keys").innerText(), /In force since/);
});

test("a witness countersigns elsewhere with the station's key alone, and the shop enters it under their name", async () => {
    witness = run("witness-key", at("lead.key"), "--name", "lead-home").trim();
    fs.writeFileSync(at("back.txt"), run("countersign", at("first.txt"), "--key", at("lead.key"), "--log", key));
    await hook(lead(), "bring").locator("summary").click();
    await hook(lead(), "countersigned-file").setInputFiles(at("back.txt"));
    await lead().waitForFunction(() => document.querySelector('[data-test="field-line"]').value.includes("lead-home"));
    await hook(lead(), "bring-form-go").click();
    await hook(lead(), "form-errors").first().waitFor();
    assert.match(await lead().locator('[data-test="bring"] [data-test="form-errors"]').innerText(), /lead-home is no witness that this station knows/);
    await hook(lead(), "know").locator("summary").click();
    await hook(lead(), "field-holder").fill("Lea Brandt, at home");
    await hook(lead(), "field-key").fill(witness);
    await hook(lead(), "witness-form-go").click();
    await receipt("Lea Brandt, at home countersigns from now on.");
    await hook(lead(), "bring-form-go").click();
    await receipt("is countersigned by lead-home");
    await lead().waitForFunction(() => document.querySelector('[data-test="checkpoints"]').textContent.includes("Lea Brandt, at home"));
    assert.match(await hook(lead(), "seal-state").innerText(), /up to entry \d+/);
    await desk.seen("seal");
});

test("the next checkpoint goes to the witness with its proof; a forged one is refused, there and here", async () => {
    await api(desk.station, desk.shop.other); // somebody signs in: an entry
    await sealed("Entries 1 to");
    await hook(lead(), "sign-now").click();
    await sealed("All entries are under a signature");
    const [second, first] = await sizes();
    await save(lead(), `file-${second}`, "second.txt");
    assert.equal(await hook(lead(), "proof-from").inputValue(), first, "from the one that was countersigned");
    await save(lead(), "proof-file", "proof.txt");
    assert.match(run("compare", at("first.txt"), at("second.txt"), "--key", key, "--proof", at("proof.txt")), /not one was changed/);
    const without = spawnSync(crimpgate, ["countersign", at("second.txt"), "--key", at("lead.key")]);
    assert.equal(without.status, 2);
    const good = run("countersign", at("second.txt"), "--key", at("lead.key"), "--proof", at("proof.txt"));
    // One character of the signature: the page says what is wrong and nothing is entered.
    const line = good.trim().split("\n").at(-1);
    const forged = line.slice(0, -8) + (line.at(-8) === "A" ? "B" : "A") + line.slice(-7);
    await hook(lead(), "field-line").fill(forged);
    await hook(lead(), "field-size").fill(second);
    await hook(lead(), "bring-form-go").click();
    await lead().waitForFunction(() => document.querySelector('[data-test="bring"] [data-test="form-errors"]')?.textContent.includes("does not fit this station"));
    await hook(lead(), "field-line").fill(line);
    await hook(lead(), "bring-form-go").click();
    await receipt(`the checkpoint over ${second} entries is countersigned`);
});

test("a setter prints the recovery page at the station, and it brings the very key back", async () => {
    await desk.to("#/seal", setter);
    await hook(setter, "recovery").click();
    await hook(setter, "dialog").waitFor();
    await desk.seen("seal-recovery", setter);
    const [download] = await Promise.all([setter.waitForEvent("download"), hook(setter, "dialog-yes").click()]);
    await receipt("Print it, then delete the file", setter);
    const text = execFileSync("pdftotext", ["-layout", await download.path(), "-"]).toString();
    assert.ok(text.includes(key), "the public key to compare with");
    const groups = text.match(/\b[0-9A-HJKMNP-TV-Z]{5}\b/g);
    assert.equal(groups.length, 15);
    const restored = spawnSync(crimpgate, ["key", "restore", at("restored.key")], {input: groups.join("\n").toLowerCase()});
    assert.equal(restored.status, 0, restored.stderr.toString());
    assert.ok(key.endsWith(restored.stdout.toString().trim().split("\n").at(-1)));
    await setter.waitForFunction(() => document.querySelector('[data-test="seal-state"]').textContent.includes("was printed"));
});

test("a setter replaces the key: the old one is shown as replaced, and the page asks for a new recovery page", async () => {
    await hook(setter, "hand-over").click();
    await hook(setter, "ask-reason").fill("A copy of the disk left the shop.");
    await hook(setter, "dialog-yes").click();
    await receipt("The key was replaced", setter);
    await setter.waitForFunction((old) => ![old, undefined].includes(document.querySelector('[data-test="key"]')?.value), key);
    assert.match(await hook(setter, "seal-state").innerText(), /was never printed/);
    await hook(setter, "seal-keys").locator("summary").click();
    assert.equal(await hook(setter, "key-retired").locator("input").first().inputValue(), key);
    await desk.seen("seal-keys", setter);
    const verified = run("verify", "--journal", `${desk.station.folder}/journal.sqlite`, "--key", key, "--checkpoint", at("second.txt"));
    assert.match(verified, /2 countersignatures are good/);
});

test("a lead is not offered the key, and an auditor no witnesses; in German nothing is left in English", async () => {
    assert.equal(await hook(lead(), "hand-over").count(), 0);
    assert.equal(await hook(lead(), "recovery").count(), 0);
    const auditor = await desk.onlooker(desk.shop.auditor, {language: "de"});
    try {
        await desk.to("#/seal", auditor);
        await sealed("Die Eintr\u00e4ge 1 bis", auditor);
        assert.equal(await hook(auditor, "know").count(), 0);
        assert.equal(await hook(auditor, "sign-now").count(), 1);
        await desk.seen("seal-de", auditor);
    } finally {
        await auditor.context().close();
    }
});
