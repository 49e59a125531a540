// Whatever somebody may be called, whatever a lot, a reason or a file may be named: on every page it is text, makes no
// element, breaks no policy and no layout; on the tag it is print.
import assert from "node:assert/strict";
import {spawnSync} from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import test, {after, before} from "node:test";

import {hook, openBrowser, scan} from "./kit/browser.js";
import {example} from "./kit/places.js";
import {addPeople, api, by, people} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {to, upload} from "./setup_steps.js";
import {GOOD, atPage, chapters} from "./story_kit.js";

const chapter = chapters(test);
const SCRIPT = `<script>document.title="taken"</script>`;
const IMAGE = `<img src=x onerror="document.title='taken'">`;
const SHORT = `${IMAGE}'"&lt;b&gt;`; // fits the shortest fields
const RTL = "\u202Etfel\u202C \u05E9\u05DC\u05D5\u05DD \u200F\u2067x\u2069";
const EMOJI = "\u{1F527}\u{1F469}\u{1F3FD}\u200D\u{1F3ED}";
const LONG = "W".repeat(2000); // nothing to break a line at
const REASON = `${SCRIPT}${IMAGE} "quoted" 'so' ${RTL} ${EMOJI} `;

const PLAIN = `${SCRIPT}${IMAGE} "quoted" 'so' `; // all of it can be printed

const quoted = (text) => `"${text.replaceAll('"', '""')}"`;
const header = example("demo_order.csv").split("\n")[0];
const order = (id, {customer, part, lot, note}) => [id, customer, part, "4", "NW-208-16S", "NW-208-16S", "750", "din20066", "", `${lot}@2Q26`, "FA-0614", "FA-0614", "250", "2026-12-04", note].map(quoted).join(",");
const LOT = `<img/src=x>"R1${"W".repeat(46)}`; // sixty letters, as a reel might be labelled by a fool

let browser = null;
let station = null;
let setter = null; // API
let bench = null;
let lead = null;
let looks = 0;
const hostileLead = {person: "HX", name: `${SHORT} ${EMOJI}`, role: "lead", pin: "274905", passphrase: "five lanterns in the loft", badge: `B"<i>HX`};
const hostileOperator = {person: "HO", name: `${SCRIPT} ${RTL}`, role: "operator", pin: "590317", badge: `B'<b>HO`};
const serials = {};
const refusedAtTheDoor = [];

before(async () => {
    browser = await openBrowser();
    station = await startStation();
    setter = await addPeople(station);
});
after(() => browser.close(station));

// Nothing became an element, nothing ran, and nothing is wider than its place, at the smallest of the sizes.
async function harmless(page, name, ...texts) {
    for (const [width, height] of [[1024, 768], [1280, 800]]) {
        await page.setViewportSize({width, height});
        await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
        const found = await page.evaluate(() => ({
            elements: [...document.querySelectorAll("body img, body script, body iframe, body object, body embed, body marquee, body style, body link")].map((n) => n.outerHTML.slice(0, 200)),
            handlers: [...document.querySelectorAll("*")].filter((n) => n.getAttributeNames().some((a) => a.startsWith("on"))).map((n) => n.outerHTML.slice(0, 200)),
            title: document.title,
            wide: [document.documentElement, document.body, ...document.querySelectorAll("#page, #place, .rail, .tabs, dialog[open]")]
                .filter((n) => n.scrollWidth > n.clientWidth + 1 && getComputedStyle(n).display !== "none")
                .map((n) => `${n.tagName} ${n.id || n.className}: ${n.scrollWidth} in ${n.clientWidth}`),
            out: [...document.querySelectorAll("#place button, #place h1, dialog[open] button")]
                .filter((n) => n.checkVisibility() && !n.closest(".scrolls") && n.getBoundingClientRect().right > innerWidth + 1)
                .map((n) => n.outerHTML.slice(0, 160)),
            text: document.body.innerText + [...document.querySelectorAll("input, textarea")].map((n) => n.value).join("\n"),
        }));
        const at = `${name} at ${width}x${height}`;
        assert.deepEqual(found.elements, [], `${at}: no element came of it`);
        assert.deepEqual(found.handlers, [], `${at}: no handler came of it`);
        assert.notEqual(found.title, "taken");
        assert.deepEqual(found.wide, [], `${at}: nothing is wider than its place`);
        assert.deepEqual(found.out, [], `${at}: nothing to press lies outside`);
        for (const text of texts) assert.ok(found.text.includes(text), `${at}: shows ${text.slice(0, 60)} as its letters\n${found.text.slice(0, 3000)}`);
    }
    looks += 1;
}

// As much of it as the station takes in that place: the whole, else without what it names, else only markup.
async function asMuch(as, where, send, ...texts) {
    for (const text of texts) {
        const answer = await send(text);
        if (answer.ok) return {text, answer};
        assert.ok(answer.status >= 400 && answer.status < 500, `${where}: ${answer.status} ${JSON.stringify(answer.body)}`);
        refusedAtTheDoor.push(`${where}: ${answer.body.code ?? answer.body.errors?.[0]?.code}`);
    }
    assert.fail(`${where} takes none of it: ${refusedAtTheDoor.at(-1)}`);
}

chapter("the shop is set up with such names wherever the station takes them", async () => {
    for (const who of [hostileLead, hostileOperator]) {
        const {text} = await asMuch(setter, `name of ${who.person}`, (name) => setter.try.post("/api/people", {...who, name}), `${who.name}${LONG}`, who.name, `${who.role === "operator" ? SCRIPT : SHORT}${"W".repeat(60)}`, who.role === "operator" ? SCRIPT : SHORT);
        who.name = text;
    }
    const words = {calibrated: "2026-06-01", calibration_due: "2099-05-31"};
    await asMuch(setter, "gauge's certificate", (certificate) => setter.try.post("/api/gauges", {gauge: "caliper-1", resolution_nm: 10000, uncertainty_nm: 12000, proof_limit_nm: 20000, ...words, certificate}), REASON + LONG, PLAIN + LONG, `${PLAIN}${"W".repeat(400)}`, PLAIN, SHORT);
    await asMuch(setter, "reference's kind", (kind) => setter.try.post("/api/references", {reference: "ring-25", kind, size_nm: 25000000, certificate: SHORT, calibration_due: "2099-05-31"}), REASON + LONG, PLAIN + LONG, `${PLAIN}${"W".repeat(400)}`, PLAIN, SHORT);
    const table = example("demo_table.csv").replace('"soap and water, thin film on the stem"', quoted(`soap ${SHORT}${"W".repeat(60)}`));
    const {answer} = await asMuch(setter, "table's name", (name) => setter.try.post("/api/tables", {name, csv: table, acknowledge_warnings: true}), REASON + LONG, PLAIN + LONG, `${PLAIN}${"W".repeat(400)}`, PLAIN, SHORT);
    const seq = answer.body.entries.find((e) => e.type === "table.proposed").seq;
    await setter.post("/api/tables/adopt", {proposed_seq: seq, by: by(people.lead)});
    const open = (texts) => setter.try.post("/api/orders", {csv: `${header}\n${order(`WO-1${"W".repeat(56)}`, texts)}\n`});
    await asMuch(setter, "order", (note) => open({customer: SHORT, part: `${SCRIPT.slice(0, 30)}<b>`, lot: LOT, note}), `${REASON}${LONG}`, `${PLAIN}${LONG}`, `${PLAIN}${"W".repeat(700)}`, SHORT);
});

chapter("whoever sets up sees letters on every part of the set-up", async () => {
    const desk = await atPage(await browser.page(station), station);
    await desk.signIn(people.setter, {aside: false});
    for (const part of ["overview", "people", "tables", "orders", "gauges", "references", "printer", "limits", "screen"]) {
        await to(desk.page, part);
        await desk.page.waitForFunction(() => document.querySelectorAll("#place table tr, #place li, #place form").length > 0);
        await harmless(desk.page, `set-up ${part}`, ...(part === "people" ? [hostileLead.name, "<script>"] : part === "orders" ? [SHORT] : []));
    }
    await to(desk.page, "people");
    await desk.click("change-HX");
    await desk.click("retire");
    await harmless(desk.page, "question about a person", SHORT);
    await desk.page.keyboard.press("Escape");
    // A file's name, and what is in it.
    for (const part of ["tables", "orders"]) {
        await to(desk.page, part);
        const field = part === "tables" ? "table-file" : "order-file";
        await desk.hook(field).waitFor({state: "attached"});
        await upload(desk.page, field, `${SHORT}${"W".repeat(180)}.csv`, `${REASON},${LONG}\n${REASON},"${LONG}"\n`);
        await desk.page.waitForFunction(() => (document.querySelector('[data-test="checked"]')?.textContent ?? "").includes("onerror"));
        await harmless(desk.page, `file on ${part}`);
    }
    await desk.click("sign-out");
    await desk.hook("who").waitFor();
    await desk.page.context().close();
});

chapter("an operator of such a name works: sign-in, lots, die, and what is scanned", async () => {
    bench = await atPage(await browser.page(station), station);
    await scan(bench.page, `${REASON}${LONG.slice(0, 300)}`);
    await harmless(bench.page, "sign-in, scanned");
    await bench.page.reload();
    bench = await atPage(bench.page, station);
    await hook(bench.page, "who").waitFor();
    await scan(bench.page, hostileOperator.badge);
    for (const digit of hostileOperator.pin) await bench.click(`key-${digit}`);
    await bench.click("go");
    await bench.hook("self").waitFor();
    assert.ok((await bench.text("self")).includes("<script>"));
    await bench.says(/^Start your shift/);
    await harmless(bench.page, "shift", "<script>");
    await bench.yes(/Start the shift/);
    await bench.says(/^Prove caliper-1/);
    await harmless(bench.page, "proof", "onerror");
    await bench.yes(/Prove caliper-1/);
    await bench.press("25.01");
    await bench.says(/^Scan the order/);
    await harmless(bench.page, "order", SHORT);
    bench.page.expect.push(/404/);
    await scan(bench.page, `${SCRIPT}${IMAGE}`);
    await bench.hook("told").waitFor();
    await harmless(bench.page, "order, unknown", "<script>");
    await bench.yes(/Take order WO-1/);
    await bench.says(/^Scan the lot/);
    await scan(bench.page, `${SCRIPT}${"W".repeat(300)}`);
    await bench.hook("wrong-scan").waitFor();
    await harmless(bench.page, "wrong lot", "<script>", LOT);
    await scan(bench.page, LOT);
    await scan(bench.page, "FA-0614");
    await scan(bench.page, "FA-0614");
    await bench.says(/^Is die set D29/);
    await scan(bench.page, `${IMAGE}${"W".repeat(300)}`);
    await bench.hook("told").waitFor();
    await harmless(bench.page, "wrong die", "onerror");
    await bench.yes(/D29 is in/);
    await bench.setUp(GOOD);
    await bench.says(/^Mark the depth/);
    await bench.press("28.02");
    await bench.says(/lubricated\?$/);
    await harmless(bench.page, "lubricant", "onerror", LOT);
    await scan(bench.page, `${REASON}`);
    await bench.hook("told").waitFor();
    await harmless(bench.page, "scan unasked");
    await bench.click("told-close");
});

chapter("a reason of two thousand letters stops a part and is read by the lead", async () => {
    await bench.click("aside");
    const reasons = [REASON + LONG, `${SCRIPT}${IMAGE} "quoted" 'so' ${EMOJI} ${LONG}`, PLAIN + LONG, `${PLAIN}${"W".repeat(400)}`];
    for (const reason of reasons) {
        await bench.click("reason-other");
        await bench.hook("ask-reason").fill(reason);
        await harmless(bench.page, "reason, asked");
        await bench.click("dialog-yes");
        await bench.page.locator('.bench[data-mode="stop"], [data-test="told"]:visible').first().waitFor();
        if (await bench.page.locator('.bench[data-mode="stop"]').count()) break;
        await harmless(bench.page, "reason, refused");
        refusedAtTheDoor.push(`reason: ${await bench.text("told")}`);
        await bench.click("told-close");
    }
    serials.aside = await bench.stopped(/onerror/);
    await harmless(bench.page, "stop", "onerror");
    await bench.quarantined();
    // One more that will go out on a concession, and have a tag.
    await bench.beforeCrimp("28.03");
    await bench.press("25.24");
    serials.conceded = await bench.stopped(/undersize/);
    await bench.quarantined();
    lead = await atPage(await browser.page(station), station);
    await lead.hook("who").waitFor();
    await harmless(lead.page, "taking over", "<script>");
    await scan(lead.page, hostileLead.badge);
    for (const digit of hostileLead.pin) await lead.click(`key-${digit}`);
    await lead.click("go-aside");
    await lead.hook("self").waitFor();
    await lead.page.evaluate(() => (location.hash = "#/holds"));
    await lead.hook(`hold-${serials.aside}`).waitFor();
    await harmless(lead.page, "holds", "onerror", SHORT);
    await lead.page.evaluate((hash) => (location.hash = hash), `#/holds/${serials.aside}`);
    await lead.page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, serials.aside);
    await harmless(lead.page, "case", "onerror", LOT);
    await lead.click("do-scrap");
    await lead.hook("ask-reason").fill(PLAIN + LONG);
    await harmless(lead.page, "settling", "onerror");
    await lead.click("dialog-yes");
    await lead.hook("dialog").waitFor({state: "detached"});
    await lead.page.waitForFunction(() => (document.querySelector('[data-test="settled"]')?.textContent ?? "").includes("onerror"));
    await harmless(lead.page, "settled", "onerror");
});

chapter("R2: a concession under such a reference: the tag prints it as letters, or says that it cannot", async () => {
    const reference = `FH"<b>12</b>`;
    await lead.page.evaluate((hash) => (location.hash = hash), `#/holds/${serials.conceded}`);
    await lead.page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, serials.conceded);
    await lead.click("do-concession");
    await lead.hook("ask-reference").fill(reference);
    await lead.hook("ask-reason").fill(SHORT);
    await lead.click("dialog-yes");
    await lead.hook("dialog").waitFor({state: "detached"});
    await bench.click("take-up-go");
    for (const [i, value] of ["25.30", "25.31", "25.33"].entries()) {
        await bench.says(new RegExp(`across flat ${i + 2}$`));
        if ((await bench.press(value)).kind === "uncertain") {
            await bench.says(/measure again/);
            await bench.press("25.36");
        }
    }
    await bench.afterCrimp();
    await bench.end({depth: "28.04", flats: ["25.51", "25.47", "25.53", "25.46"]});
    assert.equal(await bench.passed(), serials.conceded);
    await harmless(bench.page, "passed", LOT);
    const file = path.join(station.folder, "tags", `${serials.conceded}.pdf`);
    assert.deepEqual((await setter.get("/api/bench")).body.tags_failed ?? [], [], "its tag came out");
    assert.ok(fs.existsSync(file));
    const read = spawnSync("pdftotext", ["-layout", file, "-"], {encoding: "utf8"}).stdout;
    assert.ok(read.includes(serials.conceded));
    assert.ok(read.replace(/\s+/g, "").includes(reference.replace(/\s+/g, "")), read);
    assert.match(read.replace(/\s+/g, ""), /<imgsrc=xonerror=/);
    // No action, no script, no link in the file itself.
    const raw = fs.readFileSync(file, "latin1");
    for (const key of ["/JavaScript", "/JS", "/OpenAction", "/AA", "/Launch", "/URI", "/EmbeddedFile"]) assert.ok(!raw.includes(key), key);
});

chapter("the auditor's view, the order's page and the help are harmless as well", async () => {
    const auditor = await atPage(await browser.page(station), station);
    await auditor.signIn(people.auditor, {aside: true});
    await auditor.page.evaluate(() => (location.hash = "#/holds"));
    await hook(auditor.page, "filter-all").check();
    await hook(auditor.page, `hold-${serials.aside}`).waitFor();
    await harmless(auditor.page, "auditor's holds", "onerror");
    await bench.page.evaluate(() => (location.hash = "#/order"));
    await bench.page.waitForFunction(() => document.querySelector(".page")?.dataset.page === "order/" && document.querySelector("#place h1"));
    await harmless(bench.page, "order's page");
    for (const address of ["#/holds/%3Cimg%20src=x%20onerror=document.title='taken'%3E", "#/%3Cscript%3E"]) {
        bench.page.expect.push(/404/);
        await bench.page.evaluate((hash) => (location.hash = hash), address);
        await bench.page.waitForFunction(() => document.querySelector("#place h1"));
        await harmless(bench.page, `address ${address}`);
    }
    assert.ok(looks >= 30, `${looks} states were looked at`);
});
