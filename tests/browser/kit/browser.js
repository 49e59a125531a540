// Pages for a test, watched while they are open.
//
//   const browser = await openBrowser()
//   const page = await browser.page(station, {language: "de", size: [1280, 800]})     a Playwright page, more than once
//   await scan(page, "B-MO")                 as a scanner types: fast, with Enter
//   await typed(page, "620914")              as a person types: slower than a scanner
//   await signIn(page, person)               with badge and PIN
//   await axe(page, "sign-in")               no violation of WCAG 2.2 AA or good practice
//   await shots(page, "sign-in")             pictures in three sizes
//   page.expect.push(/409/)                  this console message or failed answer belongs to the test
//   await browser.close(station, ...)        the stations end too; fails if any page said an error, asked another host, or broke the policy
import fs from "node:fs";
import assert from "node:assert/strict";
import path from "node:path";

import {axeSource, chromium, programs, shots as folder} from "./places.js";

const FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=no-user-gesture-required",
];
const SIZES = [
    [1024, 768],
    [1280, 800],
    [1920, 1080],
];
// A refused command is an answer; Chromium writes it to the console as if it were a fault of the page.
const REFUSED = /Failed to load resource: the server responded with a status of (400|401|403|409|422|429)/;

export async function openBrowser() {
    const browser = await chromium.launch({executablePath: programs.chromium, headless: true, args: FLAGS, chromiumSandbox: false});
    const wrong = [];
    return {
        browser,
        wrong,
        async page(station, {language = "en", size = [1280, 800], at = "/", ...more} = {}) {
            const context = await browser.newContext({
                viewport: {width: size[0], height: size[1]},
                locale: language === "de" ? "de-DE" : "en-GB",
                ...more,
            });
            const page = await context.newPage();
            page.setDefaultTimeout(15000);
            watch(page, station, wrong);
            await page.goto(station.url + at, {waitUntil: "domcontentloaded"});
            return page;
        },
        // At the end of every file: the pages first, then the stations behind them; tells all that went wrong on any page.
        async close(...stations) {
            await browser.close();
            for (const station of stations) await station?.end();
            assert.deepEqual(wrong, [], "the pages stayed quiet, at home and inside their policy");
        },
    };
}

function watch(page, station, wrong) {
    page.expect = [];
    const note = (what) => {
        if (!page.expect.some((pattern) => pattern.test(what))) wrong.push(what);
    };
    const home = new URL(station.url).host;
    page.on("console", (message) => {
        if (message.type() !== "error" && message.type() !== "warning") return;
        if (REFUSED.test(message.text())) return;
        note(`console ${message.type()}: ${message.text()}`);
    });
    page.on("pageerror", (error) => note(`page error: ${error.message}\n${error.stack}`));
    page.on("request", (request) => {
        const url = new URL(request.url());
        if (!["data:", "blob:"].includes(url.protocol) && url.host !== home) note(`request to another host: ${request.url()}`);
    });
    page.on("requestfailed", (request) => {
        const why = request.failure()?.errorText ?? "";
        if (/ERR_ABORTED/.test(why)) return; // the page went on, or closed a stream
        note(`request failed: ${request.url()} ${why}`);
    });
    page.on("response", (response) => {
        if (response.status() >= 500 || response.status() === 404) note(`answer ${response.status()}: ${response.url()}`);
    });
    page.addInitScript(() => {
        addEventListener("securitypolicyviolation", (event) =>
            console.error(`policy broken: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`),
        );
    });
}

// As a scanner does it: five milliseconds from key to key by the keyboard's own clock, however busy this machine is.
export async function scan(page, text) {
    const keyboard = await page.context().newCDPSession(page);
    // Nobody scans within a tenth of a second of the last key: it would be one burst.
    await new Promise((resolve) => setTimeout(resolve, 100));
    const begun = Date.now() / 1000;
    const keys = [...text].map((key) => ({key, text: key, unmodifiedText: key}));
    keys.push({key: "Enter", code: "Enter", text: "\r", unmodifiedText: "\r", windowsVirtualKeyCode: 13});
    for (const [i, key] of keys.entries()) {
        const timestamp = begun + i * 0.005;
        await keyboard.send("Input.dispatchKeyEvent", {type: "keyDown", timestamp, ...key});
        await keyboard.send("Input.dispatchKeyEvent", {type: "keyUp", timestamp: timestamp + 0.001, ...key, text: undefined});
    }
    await keyboard.detach();
}

// As a person does it.
export async function typed(page, text) {
    await page.keyboard.type(text, {delay: 70});
}

export const hook = (page, name) => page.locator(`[data-test="${name}"]`);

export async function signIn(page, who) {
    await hook(page, "who").waitFor();
    await scan(page, who.badge ?? who.person);
    assert.equal(await hook(page, "who").inputValue(), who.badge ?? who.person, "the badge was read");
    if ((await hook(page, "secret-other").innerText()).includes("PIN")) await hook(page, "secret-other").click();
    for (const digit of who.pin) await hook(page, `key-${digit}`).click();
    await hook(page, "go").click();
    await hook(page, "self").waitFor();
}

const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

export async function axe(page, name) {
    // Through the debugger, not as an element: the page's policy allows no foreign script, which is as it should be.
    await page.evaluate(axeSource);
    const found = await page.evaluate((tags) => globalThis.axe.run(document, {runOnly: {type: "tag", values: tags}, preload: false}), RULES);
    assert.ok(found.passes.length > 5, `${name}: axe looked at the page`);
    const told = found.violations.map((v) => `${v.id}: ${v.help}\n    ${v.nodes.map((n) => n.html + " " + n.any.map((a) => a.message).join("; ")).join("\n    ")}`);
    assert.deepEqual(told, [], `${name} is accessible`);
}

export async function shots(page, name) {
    fs.mkdirSync(folder, {recursive: true});
    const before = page.viewportSize();
    for (const [width, height] of SIZES) {
        await page.setViewportSize({width, height});
        await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
        await page.screenshot({path: path.join(folder, `${name}-${width}x${height}.png`), caret: "initial"});
    }
    await page.setViewportSize(before);
}

// Nothing needs scrolling at that size: neither the page nor what is in it.
export async function fits(page, width, height) {
    const before = page.viewportSize();
    await page.setViewportSize({width, height});
    const over = await page.evaluate(() => {
        const main = document.getElementById("place");
        const rail = document.querySelector(".rail");
        return [main, rail]
            .filter((n) => n.scrollHeight > n.clientHeight + 1 || n.scrollWidth > n.clientWidth + 1)
            .map((n) => `${n.id || n.className}: ${n.scrollWidth}x${n.scrollHeight} in ${n.clientWidth}x${n.clientHeight}`);
    });
    await page.setViewportSize(before);
    assert.deepEqual(over, [], `everything is seen at ${width}x${height}`);
}
