// The page that checks a tag, as the file that is handed out (opened from a disk, no network) and as the station serves
// it. The codes were made without the station's code (tests/outside/evidence_sample.py).
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import test, {after, before} from "node:test";
import {pathToFileURL} from "node:url";

import {axe, hook, openBrowser, shots} from "./kit/browser.js";
import {build, root} from "./kit/places.js";
import {startStation} from "./kit/station.js";

const given = JSON.parse(fs.readFileSync(path.join(root, "tests/data/proof/evidence_keys.json"), "utf8"));
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-check-"));
const command = path.join(build, "tools/crimpgate");
const made = (name, keys) => {
    const file = path.join(folder, name);
    fs.writeFileSync(file, execFileSync(command, ["check-page", "--key", keys], {maxBuffer: 1 << 24}));
    return pathToFileURL(file).href;
};

let browser = null;
let station = null;
let page_file = "";
before(async () => {
    browser = await openBrowser();
    page_file = made("page.html", given.tag);
});
after(async () => {
    await browser.close(station);
    fs.rmSync(folder, {recursive: true, force: true});
});

const kinds = {
    // Ed25519 of the browser's own.
    own: () => {
        globalThis.ownCalls = 0;
        const verify = SubtleCrypto.prototype.verify;
        SubtleCrypto.prototype.verify = function (...all) {
            globalThis.ownCalls += 1;
            return verify.apply(this, all);
        };
    },
    // A browser that has none.
    none: () => {
        globalThis.ownCalls = 0;
        SubtleCrypto.prototype.importKey = async () => {
            throw new DOMException("no such algorithm", "NotSupportedError");
        };
    },
};

async function opened({language = "en", kind = "own", at = "", file = page_file, size = [420, 900], also = null} = {}) {
    const context = await browser.browser.newContext({viewport: {width: size[0], height: size[1]}, locale: language === "de" ? "de-DE" : "en-GB", offline: true});
    const page = await context.newPage();
    page.setDefaultTimeout(15000);
    page.on("console", (message) => ["error", "warning"].includes(message.type()) && browser.wrong.push(message.text()));
    page.on("pageerror", (error) => browser.wrong.push(error.message));
    page.on("request", (request) => /^(file|data):/.test(request.url()) || browser.wrong.push(`asked ${request.url()}`));
    await page.addInitScript(kinds[kind]);
    if (also) await page.addInitScript(also);
    await page.goto(file + at);
    return page;
}

async function checked(page, code) {
    await page.locator("#code").fill(code);
    await page.locator("#form button").click();
    await hook(page, "verdict-line").waitFor();
    return page.locator("#result").innerText();
}

for (const kind of Object.keys(kinds))
    test(`R3, R13: a good tag is genuine, from a file and without a network (Ed25519: ${kind})`, async () => {
        const page = await opened({kind});
        for (const code of [given.tag_code, given.tag_link, `${given.tag_code}\n`, given.tag_code.toLowerCase()]) {
            const said = await checked(page, code);
            assert.ok(said.startsWith("Genuine: these words were issued by the shop."), said);
            for (const [name, value] of Object.entries({serial: "K103", verdict: "passed", pressure: "275 bar", date: "2025-03-04", order: "WO-2041", margin: "0.120 mm inside", station: "K1"}))
                assert.equal(await hook(page, name).innerText(), value);
            assert.ok(said.includes("crimp.example/station-1 issued exactly these words"), said);
            assert.ok(said.includes("A tag can be copied"), said);
            assert.equal(await hook(page, "open-record").count(), 0, "a file leads to no station");
        }
        const calls = await page.evaluate(() => globalThis.ownCalls);
        assert.ok(kind === "own" ? calls > 0 : calls === 0, `the browser's own was asked ${calls} times`);
        assert.ok((await page.locator(".caution").innerText()).includes("to a surgeon at once"));
        await axe(page, "check page");
        await page.context().close();
    });

test("R1: a concession stands in the first line and its margin is outside", async () => {
    const page = await opened();
    const said = await checked(page, given.tag_concession);
    assert.ok(said.startsWith("Genuine, but passed on a CONCESSION"), said);
    assert.equal(await hook(page, "margin").innerText(), "0.012 mm OUTSIDE");
    await page.context().close();
});

for (const kind of Object.keys(kinds))
    test(`R3: a code with any one character changed is never genuine (Ed25519: ${kind})`, async () => {
        const page = await opened({kind});
        const wrong = [];
        for (const code of [given.tag_code, given.tag_link])
            for (let at = code.startsWith("CG1") ? 0 : code.lastIndexOf("/C/"); at < code.length; at += 1) {
                const other = code.slice(0, at) + (code[at] === "A" ? "B" : "A") + code.slice(at + 1);
                const said = await page.evaluate((text) => {
                    document.getElementById("code").value = text;
                    document.getElementById("result").replaceChildren();
                    document.getElementById("form").requestSubmit();
                    return new Promise((resolve) => {
                        const look = () => {
                            const line = document.querySelector("#result h2");
                            if (line) resolve(line.textContent);
                            else setTimeout(look, 1);
                        };
                        look();
                    });
                }, other);
                if (/Genuine/.test(said)) wrong.push(at);
            }
        assert.deepEqual(wrong, []);
        const one = `${given.tag_code.slice(0, -1)}${given.tag_code.endsWith("A") ? "B" : "A"}`;
        assert.ok((await checked(page, one)).startsWith("FALSE: the shop did not issue these words."));
        await page.context().close();
    });

test("an unknown key, another kind of code, a newer version and half a code are each told, with what to do", async () => {
    const other = await opened({file: made("other.html", given.station)});
    assert.ok((await checked(other, given.tag_code)).startsWith("Signed by a key that this page does not know."));
    await other.context().close();
    const page = await opened();
    for (const text of ["K103", "https://shop.example/serial/K103", given.tag_code.slice(0, 60), "CG1:", "", "CG1:ß"])
        assert.ok((await checked(page, text)).startsWith("This is no tag's code of this kind"), text);
    // The array [2, ...] of a version to come.
    const future = `HTTPS://SHOP.EXAMPLE/C/${base32(Buffer.concat([Buffer.from([0x82, 0x02, 0x00]), Buffer.alloc(64)]))}`;
    assert.ok((await checked(page, future)).startsWith("This code is of a newer kind than this page knows."));
    await page.context().close();
});

function base32(bytes) {
    let bits = [...bytes].map((b) => b.toString(2).padStart(8, "0")).join("");
    bits = bits.padEnd(Math.ceil(bits.length / 5) * 5, "0");
    return bits.match(/.{5}/g).map((five) => "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"[parseInt(five, 2)]).join("");
}

test("a handed-over key still checks its tags, and the page says so", async () => {
    const page = await opened({file: made("handed.html", `${given.station},${given.tag}`)});
    assert.ok((await checked(page, given.tag_code)).includes("handed over to a newer one since"));
    await page.context().close();
});

test("a code behind the # of the address is checked at once; German says the same", async () => {
    const page = await opened({language: "de", at: `#${encodeURIComponent(given.tag_code)}`});
    await hook(page, "verdict-line").waitFor();
    assert.ok((await page.locator("#result").innerText()).startsWith("Echt: Der Betrieb hat diese Angaben ausgegeben."));
    assert.equal(await hook(page, "margin").innerText(), "0,120 mm innerhalb");
    await axe(page, "check page in German");
    await shots(page, "check-de");
    await page.locator("#other-language").click();
    assert.ok((await page.locator("#result").innerText()).startsWith("Genuine:"));
    await page.setViewportSize({width: 320, height: 640});
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
    await axe(page, "narrow check page");
    await page.screenshot({path: path.join(root, "build/browser/shots/check-phone.png"), fullPage: true});
    await page.locator("#code").fill(`${given.tag_code}X`);
    await page.locator("#form button").click();
    await page.screenshot({path: path.join(root, "build/browser/shots/check-phone-bad.png"), fullPage: true});
    await page.context().close();
});

test("a picture of the tag is read where the browser can, and otherwise the phone's scanner is named", async () => {
    const picture = path.join(folder, "tag.png");
    // One white dot: what is in it is the stand-in's to say.
    fs.writeFileSync(picture, Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mP8/5+hHgAHggJ/PchI7wAAAABJRU5ErkJggg==", "base64"));
    const detector = (found) => `globalThis.BarcodeDetector = class { async detect(image) { return image instanceof ImageBitmap ? ${JSON.stringify(found)} : []; } };`;
    const reads = await opened({also: detector([{rawValue: given.tag_code}])});
    assert.ok(await reads.locator("#no-scanner").isHidden());
    await reads.locator("#picture").setInputFiles(picture);
    await hook(reads, "verdict-line").waitFor();
    assert.ok((await reads.locator("#result").innerText()).startsWith("Genuine:"));
    await reads.context().close();
    const sees_none = await opened({also: detector([])});
    await sees_none.locator("#picture").setInputFiles(picture);
    await hook(sees_none, "verdict-line").waitFor();
    assert.ok((await sees_none.locator("#result").innerText()).startsWith("No square code was found"));
    await sees_none.context().close();
    const cannot = await opened({also: "delete globalThis.BarcodeDetector;"});
    assert.ok(await cannot.locator("#picture-field").isHidden());
    assert.ok((await cannot.locator("#no-scanner").innerText()).includes("phone's own camera"));
    await cannot.context().close();
});

test("the station serves the page where a tag's link leads, under its own policy, with its own keys", async () => {
    station = await startStation();
    const page = await browser.page(station, {at: new URL(given.tag_link).pathname.toUpperCase()});
    await hook(page, "verdict-line").waitFor();
    // The sample's key is not this station's.
    assert.ok((await page.locator("#result").innerText()).startsWith("Signed by a key that this page does not know."));
    assert.match(await page.locator("#keys").innerText(), /bench-1 \([0-9a-f]{8}\)/);
    await axe(page, "check page at the station");
    await shots(page, "check-station");
    await page.context().close();
});
