// A customer's way to the record of their hose: a lead makes a link and sends it, a stranger with a phone opens it, finds
// the serial on the tag, fetches the certificate and a proof and has another program check it; the lead takes the link
// back, and it shows nothing any more.
import assert from "node:assert/strict";
import {execFileSync, spawnSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import {after, before, test} from "node:test";

import {axe, hook} from "./kit/browser.js";
import {build, root, shots as pictures} from "./kit/places.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";

const fennick = "Fennick Harvesters (invented)";
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-trace-"));
let desk = null;
let lead = null;
let mine = "";
let others = "";
let address = "";
let phone = null;

async function tagged(serial) {
    for (let i = 0; i < 400; i += 1) {
        const {body} = await lead.get(`/api/assemblies/${serial}`);
        if (body.tags.at(-1)?.state === "printed") return;
        await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`no tag for ${serial}`);
}

// As it looks on a phone, on a tablet and on a desk.
async function looks(page, name) {
    for (const [width, height] of [[390, 844], [820, 1180], [1280, 800]]) {
        await page.setViewportSize({width, height});
        const wide = await page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
        assert.equal(wide, false, `${name} scrolls sideways at ${width}`);
        await page.screenshot({path: path.join(pictures, `${name}-${width}x${height}.png`), fullPage: true});
    }
    await page.setViewportSize({width: 390, height: 844});
}

// A file through the link that a person clicks, as bytes.
async function download(page, name) {
    const [file] = await Promise.all([page.waitForEvent("download"), hook(page, name).click()]);
    return fs.readFileSync(await file.path());
}

before(async () => {
    desk = await openDesk();
    lead = await api(desk.station, desk.shop.lead);
    mine = await desk.good();
    await desk.takeOrder("WO-2042");
    others = await desk.good();
    for (const serial of [mine, others]) await tagged(serial);
    await lead.post("/api/deliveries", {customer: fennick, to: "Works gate 2", note_number: "LS-4711", serials: [mine]});
    await lead.post("/api/certificates", {subject: "serial", id: mine, statement: "declaration", function: "QC lead", independent: false});
    await desk.openLead();
});
after(async () => {
    await desk?.end();
    fs.rmSync(folder, {recursive: true, force: true});
});

test("a lead makes a link for a delivery; its address is shown once, with a code to scan", async () => {
    await desk.to("#/deliveries/DL-1");
    await hook(desk.lead, "link-form-go").waitFor();
    assert.match(await desk.text("facts"), /Tobin Rask/, "who sent it stands there by name");
    assert.match(await desk.text("assemblies"), /1 assembly is out with it/);
    await hook(desk.lead, "field-valid_until").fill("2000-01-01");
    await hook(desk.lead, "link-form-go").click();
    await hook(desk.lead, "link-form").locator('[data-test="form-errors"]').waitFor();
    await hook(desk.lead, "field-valid_until").fill("");
    await hook(desk.lead, "link-form-go").click();
    await hook(desk.lead, "link-made").waitFor();
    address = await desk.text("link-address");
    assert.match(address, /^http:\/\/[a-z\d.:]+\/t\/[0-9A-HJKMNP-TV-Z]{26}$/);
    assert.equal(await hook(desk.lead, "link-local").count(), 1, "no address for customers is configured, which is said");
    await desk.seen("links-made");
    const png = path.join(folder, "code.png");
    await hook(desk.lead, "link-code").screenshot({path: png});
    assert.equal(execFileSync("zbarimg", ["--raw", "-q", png]).toString().trim(), address, "the code is the address");
    await hook(desk.lead, "link-done").click();
    await hook(desk.lead, "link-made").waitFor({state: "detached"});
    await desk.to("#/deliveries");
    await hook(desk.lead, "link-TL-1").waitFor();
    const page = await desk.lead.content();
    assert.ok(!page.includes(address.slice(-26)), "the token stands nowhere any more");
    await desk.seen("links");
});

test("R12: a stranger with a phone finds the hose by its serial, and another customer's is not there", async () => {
    phone = await desk.browser.page(desk.station, {at: new URL(address).pathname, size: [390, 844]});
    await hook(phone, "list").waitFor();
    assert.match(await hook(phone, "about").innerText(), /Fennick Harvesters/);
    assert.match(await hook(phone, "about").innerText(), /1 assembly/);
    assert.match(await phone.locator("#caution").innerText(), /WARNING[\s\S]*whips, crushes and burns[\s\S]*to a surgeon at once/);
    assert.match(await phone.locator("#service").innerText(), /Out of service at once if/);
    await axe(phone, "trace overview");
    await looks(phone, "trace-overview");
    phone.expect.push(/404/);
    await hook(phone, "find").fill(others);
    await hook(phone, "find-go").click();
    await hook(phone, "nothing").waitFor();
    assert.match(await hook(phone, "nothing").innerText(), /Not behind this link/);
    await hook(phone, "back").click();
    await hook(phone, "find").fill(` ${mine.slice(0, 3).toLowerCase()}-${mine.slice(3).toLowerCase()}`);
    await hook(phone, "find-go").click();
    await hook(phone, "state-line").waitFor();
    assert.equal(await hook(phone, "state-line").innerText(), `${mine} passed every check of its spec.`);
    assert.match(await hook(phone, "state").innerText(), /nearest reading was 0\.\d+ mm inside a limit/);
    assert.equal(await hook(phone, "serial").innerText(), mine);
    assert.match(await hook(phone, "yours").innerText(), /2Q26/);
    assert.match(await hook(phone, "pressure").innerText(), /^\d+ bar$/);
    assert.match(await hook(phone, "measured").innerText(), /Crimp diameter place 1[\s\S]*25\.5/);
    assert.ok(!(await phone.content()).includes(others));
    await axe(phone, "trace record");
    await looks(phone, "trace-record");
});

test("in German, and on A4, it says the same", async () => {
    const page = await desk.browser.page(desk.station, {at: `${new URL(address).pathname}#S/${mine}`, size: [390, 844], language: "de"});
    await hook(page, "state-line").waitFor();
    assert.equal(await hook(page, "state-line").innerText(), `${mine} hat jede Prüfung seiner Vorgabe bestanden.`);
    assert.match(await hook(page, "measured").innerText(), /25,5/);
    await page.locator("#other-language").click();
    assert.match(await hook(page, "state-line").innerText(), /passed every check/);
    await page.locator("#other-language").click();
    const pdf = path.join(folder, "printed.pdf");
    fs.writeFileSync(pdf, await page.pdf({preferCSSPageSize: true}));
    const printed = execFileSync("pdftotext", ["-layout", pdf, "-"]).toString();
    assert.ok(printed.includes(mine) && printed.includes("WARNUNG") && !printed.includes("Diese Aufzeichnung drucken"), printed);
    assert.match(execFileSync("pdfinfo", [pdf]).toString(), /A4/);
    execFileSync("pdftoppm", ["-r", "60", "-png", pdf, path.join(pictures, "trace-printed")]);
    await page.context().close();
});

test("the certificate comes as it was issued, and another program proves the evidence and sees a changed digit", async () => {
    const issued = Buffer.from(await desk.lead.evaluate(async () => [...new Uint8Array(await (await fetch("/api/certificates/CF-1.pdf")).arrayBuffer())]));
    assert.ok((await download(phone, "certificate-CF-1")).equals(issued), "not one byte differs");
    const key = await hook(phone, "key").innerText();
    const file = path.join(folder, "evidence.json");
    fs.writeFileSync(file, await download(phone, "evidence"));
    const check = () => spawnSync("/usr/bin/python3", [path.join(root, "tests/outside/verify_evidence.py"), file, "--key", key], {encoding: "utf8"});
    const good = check();
    assert.equal(good.status, 0, good.stdout + good.stderr);
    assert.match(good.stdout, /PROVED/);
    const text = fs.readFileSync(file, "utf8");
    const spoiled = text.replace(/value_nm\\":(\d)/, (whole, digit) => whole.slice(0, -1) + ((Number(digit) + 1) % 10));
    assert.notEqual(spoiled, text);
    fs.writeFileSync(file, spoiled);
    assert.equal(check().status, 1, "one digit changed");
    const events = JSON.parse((await download(phone, "events")).toString());
    assert.deepEqual(events.epcisBody.eventList.map((e) => e.bizStep), ["assembling", "inspecting", "shipping"]);
    const results = (await download(phone, "results")).toString();
    assert.ok(results.startsWith("<?xml") && results.includes(`<SerialNumber>${mine}</SerialNumber>`) && results.includes("<CharacteristicStatusEnum>PASS<"), results.slice(0, 300));
});

test("R1: an assembly that the shop puts in question says so to whoever looks", async () => {
    await lead.post("/api/assembly/hold", {serial: mine, reason: "the jaws were found soft"});
    await phone.reload();
    await hook(phone, "state-line").waitFor();
    assert.match(await hook(phone, "state-line").innerText(), /IN QUESTION\. Take it out of service now\./);
    assert.equal(await hook(phone, "measured").count(), 0);
    assert.ok(!(await phone.content()).includes("jaws"), "the shop's own remark is the shop's");
    await looks(phone, "trace-in-question");
    await hook(phone, "back").click();
    await hook(phone, "in-question").waitFor();
});

test("the lead sees that it was looked through, takes it back, and it is gone", async () => {
    await desk.to("#/deliveries/DL-1");
    await hook(desk.lead, "link-TL-1").waitFor();
    assert.match(await desk.text("link-TL-1"), /until revoked[\s\S]*\d+, last/);
    await hook(desk.lead, "revoke-TL-1").click();
    await hook(desk.lead, "ask-reason").fill("sent to the wrong address");
    await hook(desk.lead, "dialog-yes").click();
    await hook(desk.lead, "receipt").waitFor();
    await desk.lead.waitForFunction(() => /wrong address/.test(document.querySelector('[data-test="link-TL-1"]')?.textContent ?? ""));
    await hook(phone, `row-${mine}`).locator("a").click();
    await hook(phone, "nothing").waitFor();
    const answer = await phone.reload();
    assert.equal(answer.status(), 404);
    assert.match(await hook(phone, "nothing").innerText(), /This link shows nothing/);
    assert.match(await phone.locator("#caution").innerText(), /WARNING/);
    // The same from the command line.
    const pin = path.join(folder, "pin");
    fs.writeFileSync(pin, `${desk.shop.lead.pin}\n`, {mode: 0o600});
    const command = (...words) => execFileSync(path.join(build, "tools/crimpgate"), ["link", ...words, "--station", desk.station.url.replace("localhost", "127.0.0.1"), "--person", desk.shop.lead.badge, "--pin-file", pin], {encoding: "utf8"});
    const [, second] = command("make", "--customer", fennick, "--delivery", "DL-1").split("\n");
    assert.equal((await fetch(`${second}/overview.json`)).status, 200);
    assert.match(command("list"), /TL-2[^\n]*until revoked[^\n]*\n\s*TL-1[^\n]*revoked: sent to the wrong address/);
    command("revoke", "TL-2", "--reason", "only a try");
    assert.equal((await fetch(`${second}/overview.json`)).status, 404);
    await axe(phone, "trace gone");
    await looks(phone, "trace-gone");
    await phone.context().close();
});
