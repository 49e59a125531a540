// Who is here: the first person, a badge and a PIN, taking over, a page that hides itself, and a link that breaks.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, fits, hook, openBrowser, scan, shots, signIn, typed} from "./kit/browser.js";
import {api, people, setUp} from "./kit/shop.js";
import {shots as pictures} from "./kit/places.js";
import {startStation} from "./kit/station.js";

let browser = null;
let fresh = null; // nobody is known there
let station = null;
before(async () => {
    browser = await openBrowser();
    fresh = await startStation();
    station = await startStation();
    await setUp(station);
});
after(() => browser.close(fresh, station));

const text = (page, name) => hook(page, name).innerText();

test("the first person of a station needs the code from its terminal, and then sets it up", async () => {
    const page = await browser.page(fresh);
    await hook(page, "first-code").waitFor();
    await axe(page, "first person");
    await fits(page, 1280, 800);
    await shots(page, "first-person");

    await hook(page, "first-go").click();
    assert.match(await text(page, "refusal"), /One-time code is empty/);
    await hook(page, "first-code").fill("WRONG-CODE");
    await hook(page, "first-name").fill(people.setter.name);
    await hook(page, "first-person").fill(people.setter.person);
    await hook(page, "first-name").focus();
    await scan(page, people.setter.badge);
    assert.equal(await hook(page, "first-name").inputValue(), people.setter.name, "a scan lands in no text box by accident");
    assert.equal(await hook(page, "first-badge").inputValue(), people.setter.badge);
    await hook(page, "first-go").click();
    assert.match(await text(page, "refusal"), /PIN, a passphrase, or both/);
    await hook(page, "first-pin").fill(people.setter.pin);
    await hook(page, "first-pin-again").fill("111222");
    await hook(page, "first-go").click();
    assert.match(await text(page, "refusal"), /differ/);
    await hook(page, "first-pin-again").fill(people.setter.pin);
    await hook(page, "first-passphrase").fill(people.setter.passphrase);
    await hook(page, "first-go").click();
    await page.waitForFunction(() => /code/i.test(document.querySelector('[data-test="refusal"]').textContent));
    assert.equal(await hook(page, "self").count(), 0, "a wrong code makes nobody");
    await axe(page, "first person, refused");
    await shots(page, "first-person-refused");

    assert.notEqual(fresh.code, "", "the station prints a code while nobody is known");
    await hook(page, "first-code").fill(fresh.code);
    await hook(page, "first-go").click();
    await hook(page, "self").waitFor();
    assert.match(await text(page, "self"), /Ana Werle\s+Setter/);
    assert.match(page.url(), /#\/setup$/);
    await page.context().close();
});

test("an operator signs in with a scan and six keys that fit a glove", async () => {
    const page = await browser.page(station);
    await hook(page, "who").waitFor();
    assert.equal(await text(page, "signin-sentence"), "Scan your badge");
    await fits(page, 1280, 800);
    await fits(page, 1024, 768);
    await axe(page, "sign-in");
    await shots(page, "sign-in");

    // 18 mm keys with 3 mm between them on every side, by the station's own millimetre.
    const mm = await page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).getPropertyValue("--mm")));
    const boxes = await Promise.all(["1", "2", "4", "0"].map((d) => hook(page, `key-${d}`).boundingBox()));
    for (const box of boxes) assert.ok(Math.min(box.width, box.height) >= 18 * mm, `${box.width} x ${box.height} at ${mm} px/mm`);
    assert.ok(boxes[1].x - boxes[0].x - boxes[0].width >= 3 * mm - 0.1);
    assert.ok(boxes[2].y - boxes[0].y - boxes[0].height >= 3 * mm - 0.1);

    await page.evaluate(() => document.activeElement.blur());
    await scan(page, people.operator.badge);
    assert.equal(await hook(page, "who").inputValue(), people.operator.badge, "a scan is taken wherever focus is");
    assert.equal(await text(page, "signin-sentence"), "Now your PIN");
    for (const digit of "6209") await hook(page, `key-${digit}`).click();
    assert.equal(await text(page, "secret-count"), "4 digits");
    assert.equal(await hook(page, "secret").getAttribute("type"), "password");
    await shots(page, "sign-in-pin");
    await hook(page, "key-back").click();
    assert.equal(await text(page, "secret-count"), "3 digits");
    await hook(page, "secret").focus();
    await typed(page, "914");
    await page.waitForTimeout(80);
    await page.keyboard.press("Enter");
    await hook(page, "self").waitFor();
    assert.match(await text(page, "self"), /Mirela Ošk\s+Operator/);
    assert.equal(await hook(page, "live").getAttribute("data-live"), "yes");
    const nobody = await api(station, null);
    assert.equal((await nobody.get("/api/bench")).body.person, "MO");
    // A script cannot read what the browser proves itself with.
    assert.equal(await page.evaluate(() => document.cookie), "");
    await hook(page, "sign-out").click();
    await hook(page, "who").waitFor();
    assert.equal((await nobody.get("/api/bench")).body.person, undefined);
    await page.context().close();
});

test("a wrong PIN is told beside the keys, and waits are counted down", async () => {
    const page = await browser.page(station);
    await hook(page, "who").waitFor();
    await hook(page, "go").click();
    assert.match(await text(page, "refusal"), /Scan your badge/);
    await scan(page, people.other.badge);
    // The station lets three go by, then each wrong one makes the next wait twice as long; the button rests meanwhile.
    let told = 0;
    for (let tries = 0; tries < 16 && told < 4; tries += 1) {
        await hook(page, "secret").fill("999999");
        const [answer] = await Promise.all([page.waitForResponse(/sign-in/), hook(page, "go").click()]);
        if (answer.status() === 429) told = Number((await answer.json()).details.seconds);
        await page.waitForFunction(() => !document.querySelector('[data-test="refusal"]').hidden);
        if (tries > 0) continue;
        assert.equal(await hook(page, "secret").inputValue(), "", "a wrong PIN is not left standing");
        assert.equal(await hook(page, "who").inputValue(), people.other.badge, "who it is need not be said again");
        assert.match(await text(page, "refusal"), /do not belong together/);
        await axe(page, "wrong PIN");
        await shots(page, "sign-in-wrong");
    }
    assert.ok(told >= 4, `${told} s`);
    await hook(page, "wait-count").waitFor();
    assert.ok(await hook(page, "go").isDisabled());
    const seconds = async () => Number(/\d+/.exec(await text(page, "wait-count"))[0]);
    const first = await seconds();
    await page.screenshot({path: `${pictures}/sign-in-wait-1280x800.png`, caret: "initial"});
    await page.waitForFunction((n) => Number(/\d+/.exec(document.querySelector('[data-test="wait-count"]')?.textContent ?? "0")) < n, first);
    await page.context().close();
});

test("a passphrase can be pasted and looked at, and signs in from a keyboard alone", async () => {
    const lead = await api(station, people.lead);
    await lead.post("/api/people/language", {language: "de"});
    const page = await browser.page(station, {language: "de"});
    await hook(page, "who").waitFor();
    assert.equal(await text(page, "signin-sentence"), "Ausweis scannen");
    assert.equal(await page.getAttribute("html", "lang"), "de");
    await shots(page, "sign-in-de");
    await hook(page, "who").fill(people.lead.person);
    await hook(page, "secret-other").click();
    assert.ok(await hook(page, "key-1").isHidden());
    await hook(page, "secret").focus();
    await page.evaluate((phrase) => {
        const data = new DataTransfer();
        data.setData("text/plain", phrase);
        const paste = new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true});
        if (document.activeElement.dispatchEvent(paste)) document.execCommand("insertText", false, phrase);
    }, people.lead.passphrase);
    assert.equal(await hook(page, "secret").inputValue(), people.lead.passphrase);
    await page.getByLabel("Eingabe anzeigen").check();
    assert.equal(await hook(page, "secret").getAttribute("type"), "text");
    await axe(page, "passphrase");
    await shots(page, "sign-in-passphrase");
    await hook(page, "secret").press("Enter");
    await hook(page, "self").waitFor();
    assert.match(await text(page, "self"), /QS-Leitung/);
    await lead.post("/api/people/language", {language: "en"});
    await hook(page, "sign-out").click();
    await hook(page, "who").waitFor();
    await page.context().close();
});

test("R9: taking over a bench says whose work it is, and keeps the order in work", async () => {
    const first = await browser.page(station);
    await signIn(first, people.operator);
    const operator = await api(station, people.operator, {at_bench: true});
    await operator.post("/api/shift/start");

    const page = await browser.page(station);
    await hook(page, "busy").waitFor();
    assert.match(await text(page, "busy"), /Mirela Ošk works at this bench/);
    assert.equal(await text(page, "go"), "Take over");
    await axe(page, "take over");
    await shots(page, "sign-in-take-over");
    await scan(page, people.lead.badge);
    await hook(page, "secret").fill(people.lead.pin);
    await hook(page, "go").click();
    await hook(page, "self").waitFor();
    const nobody = await api(station, null);
    const bench = (await nobody.get("/api/bench")).body;
    assert.equal(bench.person, people.lead.person);
    assert.ok(bench.shift, "the shift goes on");

    // The one who was taken over from sees it without touching anything.
    await hook(first, "busy").waitFor();
    assert.match(await text(first, "busy"), /Tobin Rask works at this bench/);
    await hook(page, "sign-out").click();
    await hook(page, "who").waitFor();
    await first.context().close();
    await page.context().close();
});

test("a hidden page shows nothing of itself, and comes back to its person only", async () => {
    const page = await browser.page(station);
    await signIn(page, people.auditor);
    await page.goto(`${station.url}/#/help/auditor`);
    await hook(page, "caution-panel").first().waitFor();
    await page.evaluate(() => (document.querySelector("[data-page]").dataset.mark = "the same"));
    await hook(page, "hide").click();
    await hook(page, "signin-sentence").waitFor();
    assert.match(await text(page, "signin-sentence"), /Are you Edda Nilan/);
    assert.equal(await hook(page, "caution-panel").count(), 0);
    assert.equal(await hook(page, "self").count(), 0);
    assert.ok(await hook(page, "caution").isVisible(), "the caution is not hidden");
    await axe(page, "hidden");
    await shots(page, "hidden");
    await scan(page, people.auditor.badge);
    await hook(page, "secret").fill("123123");
    await hook(page, "go").click();
    await page.waitForFunction(() => !document.querySelector('[data-test="refusal"]').hidden);
    assert.equal(await hook(page, "caution-panel").count(), 0);
    await hook(page, "secret").fill(people.auditor.pin);
    await hook(page, "go").click();
    await hook(page, "self").waitFor();
    assert.equal(await page.getAttribute("[data-page]", "data-mark"), "the same", "as it was left");
    await hook(page, "sign-out").click();
    await page.context().close();
});

test("R10: a page whose station is gone says so over the work at once, and comes back by itself", async () => {
    const page = await browser.page(station);
    await signIn(page, people.operator);
    await page.locator(".page-bench h1").first().waitFor();
    page.expect.push(/api\//, /ERR_/); // the station is taken away
    await page.evaluate(() => {
        const judged = document.createElement("span");
        judged.className = "verdict conforms";
        judged.id = "judged";
        judged.textContent = "good";
        document.getElementById("place").append(judged);
    });
    assert.ok(await page.locator("#judged").isVisible());
    await station.kill();
    await hook(page, "lost").waitFor();
    assert.equal(await hook(page, "live").getAttribute("data-live"), "no");
    assert.ok(await page.locator("#judged").isHidden(), "no stale good verdict");
    assert.match(await text(page, "lost"), /do not crimp/);
    assert.ok(await hook(page, "caution").isVisible());
    await axe(page, "lost");
    await shots(page, "lost");
    await station.start();
    await hook(page, "lost").waitFor({state: "hidden"});
    await page.context().close();
});

test("R10: a station that hangs is noticed although its connection stands", async () => {
    const page = await browser.page(station);
    await signIn(page, people.operator);
    await page.locator(".page-bench h1").first().waitFor();
    page.expect.push(/api\//, /ERR_/);
    station.freeze();
    await hook(page, "lost").waitFor({timeout: 20000});
    station.thaw();
    await hook(page, "lost").waitFor({state: "hidden", timeout: 20000});
    await hook(page, "sign-out").click();
    await page.context().close();
});
