// From the code on a tag to the record of that one hose: the code is read off the label, its address opens the check page,
// which asks nobody anything; a button leads on to the record, where a lead has let the tags open it. In English and
// German, as large as a phone.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import {after, before, test} from "node:test";

import {axe, hook} from "./kit/browser.js";
import {build, shots as pictures} from "./kit/places.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";

const fennick = "Fennick Harvesters (invented)";
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-tag-record-"));
const serials = [];
let desk = null;
let lead = null;
let scanned = ""; // the path of the address on the tag, as a phone's camera gives it

async function printed(serial) {
    for (let i = 0; i < 400; i += 1) {
        const {body} = await lead.get(`/api/assemblies/${serial}`);
        if (body.tags.at(-1)?.state === "printed") return path.join(desk.station.folder, "tags", `${serial}.pdf`);
        await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`no tag for ${serial}`);
}

// Off a print of a common label printer.
function read(tag) {
    const image = path.join(folder, "tag");
    execFileSync("pdftoppm", ["-r", "203", "-mono", "-png", "-singlefile", tag, image]);
    const all = execFileSync("zbarimg", ["--raw", "-q", `${image}.png`], {encoding: "utf8"}).split("\n");
    return all.find((code) => code.startsWith("HTTPS://")) ?? all.join("; ");
}

async function picture(page, name) {
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
    assert.equal(wide, false, `${name} scrolls sideways`);
    fs.mkdirSync(pictures, {recursive: true});
    await page.screenshot({path: path.join(pictures, `${name}.png`), fullPage: true});
}

const phone = (language, at = scanned) => desk.browser.page(desk.station, {at, size: [390, 844], language});
const asked = async () => (await lead.get("/api/links")).body.links;

before(async () => {
    desk = await openDesk({toml: {more: '[record]\nlink = "https://records.corvane.example"'}});
    lead = await api(desk.station, desk.shop.lead);
    serials.push(await desk.good(), await desk.good());
    for (const serial of serials) await printed(serial);
    await lead.post("/api/deliveries", {customer: fennick, to: "Works gate 2", note_number: "LS-4711", serials});
    await desk.openLead();
});
after(async () => {
    await desk?.end();
    fs.rmSync(folder, {recursive: true, force: true});
});

test("the tag carries the shop's address, and the check page behind it offers the record without asking for it", async () => {
    const code = read(await printed(serials[0]));
    assert.match(code, /^HTTPS:\/\/RECORDS\.CORVANE\.EXAMPLE\/C\/[A-Z2-7]+$/);
    scanned = new URL(code).pathname;
    const page = await phone("en");
    const requests = [];
    page.on("request", (request) => requests.push(new URL(request.url()).pathname));
    await page.reload();
    await hook(page, "verdict-line").waitFor();
    assert.ok((await page.locator("#result").innerText()).startsWith("Genuine: these words were issued by the shop."));
    assert.equal(await hook(page, "serial").innerText(), serials[0]);
    assert.equal(await hook(page, "open-record").getAttribute("href"), scanned.replace("/C/", "/t/"));
    assert.match(await page.locator("#result").innerText(), /the shop may have closed it/);
    assert.ok((await hook(page, "open-record").boundingBox()).height >= 44);
    assert.deepEqual(requests.filter((at) => !at.startsWith("/pages/") && at !== scanned), [], "nothing was asked");
    await axe(page, "check page with the way to the record");
    await picture(page, "tag-check-en");
    // The bare statement, typed in on the same page, has no address to lead to.
    await page.locator("#code").fill("CG1:ABC");
    await page.locator("#form button").click();
    assert.equal(await hook(page, "open-record").count(), 0);
    // Nothing is behind it before a lead has said so; who presses it is told what to do.
    await page.locator("#code").fill(code);
    await page.locator("#form button").click();
    page.expect.push(/404/);
    await hook(page, "open-record").click();
    await hook(page, "nothing").waitFor();
    assert.match(await hook(page, "nothing").innerText(), /Ask the shop that stands on the tag/);
    await page.context().close();
});

test("a lead lets the tags of a delivery open its link, and is told what that means", async () => {
    await desk.to("#/deliveries/DL-1");
    await hook(desk.lead, "link-form-go").waitFor();
    assert.equal(await hook(desk.lead, "field-opens_by_tag").isChecked(), false);
    assert.match(await desk.text("link-form"), /anybody who stands before such a hose[\s\S]*for whom, with which readings/);
    assert.doesNotMatch(await desk.text("link-form"), /No use yet/);
    await hook(desk.lead, "field-opens_by_tag").check();
    await desk.seen("links-by-tag");
    await hook(desk.lead, "link-form-go").click();
    await hook(desk.lead, "link-made").waitFor();
    await hook(desk.lead, "link-done").click();
    await desk.lead.waitForFunction(() => /yes/.test(document.querySelector('[data-test="link-TL-1"]')?.textContent ?? ""));
    const [made] = await asked();
    assert.equal(made.opens_by_tag, true);
});

for (const [language, words] of Object.entries({
    en: {opened: `Opened by the code on the tag of`, line: "passed every check of its spec.", one: "this one assembly and no other", none: /None that is about this assembly alone/},
    de: {opened: "Geöffnet mit dem Code auf dem Etikett von", line: "hat jede Prüfung seiner Vorgabe bestanden.", one: "diese eine Leitung und keine andere", none: /Keines, das nur von dieser Leitung handelt/},
}))
    test(`R12: tag, check page, button, record: that one hose and nothing of the others (${language})`, async () => {
        const page = await phone(language);
        await hook(page, "open-record").waitFor();
        await picture(page, `tag-check-${language}`);
        await hook(page, "open-record").click();
        await hook(page, "state-line").waitFor();
        assert.equal(new URL(page.url()).pathname, scanned.replace("/C/", "/t/"));
        assert.equal(await hook(page, "state-line").innerText(), `${serials[0]} ${words.line}`);
        assert.match(await hook(page, "by-tag").innerText(), new RegExp(`${words.opened} ${serials[0]}\\.[\\s\\S]*${words.one}`));
        assert.match(await hook(page, "measured").innerText(), /25[.,]5/);
        assert.match(await hook(page, "certificates").innerText(), words.none);
        assert.equal(await hook(page, "back").count(), 0);
        assert.equal(await page.locator('a[href^="#"]').count(), 0, "nothing leads to a list");
        assert.ok(!(await page.content()).includes(serials[1]));
        const [file] = await Promise.all([page.waitForEvent("download"), hook(page, "evidence").click()]);
        assert.ok(!fs.readFileSync(await file.path(), "utf8").includes(serials[1]), "nor does the proof");
        await axe(page, `record by a tag, ${language}`);
        await picture(page, `tag-record-${language}`);
        await page.context().close();
    });

test("R1: what is in question says so to whoever scans it; taken back, the tags open nothing", async () => {
    await lead.post("/api/assembly/hold", {serial: serials[0], reason: "the jaws were found soft"});
    const page = await phone("en", scanned.replace("/C/", "/t/").toLowerCase());
    await hook(page, "state-line").waitFor();
    assert.match(await hook(page, "state-line").innerText(), /IN QUESTION\. Take it out of service now\./);
    await picture(page, "tag-record-in-question");
    await lead.post("/api/links/revoke", {link: "TL-1", reason: "the machine was sold"});
    page.expect.push(/404/);
    assert.equal((await page.reload()).status(), 404);
    await hook(page, "nothing").waitFor();
    await page.context().close();
    const by = (await lead.get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === "link.looked");
    assert.ok(by.length >= 5 && by.every((e) => e.body.by_tag === serials[0] && e.body.link === "TL-1"));
});

test("the command line makes such a link and lists it", async () => {
    const pin = path.join(folder, "pin");
    fs.writeFileSync(pin, `${desk.shop.lead.pin}\n`, {mode: 0o600});
    const command = (...words) => execFileSync(path.join(build, "tools/crimpgate"), ["link", ...words, "--station", desk.station.url.replace("localhost", "127.0.0.1"), "--person", desk.shop.lead.badge, "--pin-file", pin], {encoding: "utf8"});
    const said = command("make", "--customer", fennick, "--by-tag");
    assert.match(said, /The tags of these assemblies open it, too[\s\S]*anybody who stands before the hose/);
    assert.match(command("list"), /TL-2[^\n]*everything[^\n]*until revoked\s+yes/);
    assert.equal((await fetch(`${desk.station.url}${scanned.replace("/C/", "/t/")}/list.csv`)).status, 200);
});
