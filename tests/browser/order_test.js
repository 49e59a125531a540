// The order page: picking an order, one scan after the other, the wrong one refused, and what the set-up piece advises.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, fits, hook, openBrowser, scan, shots, signIn, typed} from "./kit/browser.js";
import {api, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {example} from "./kit/places.js";

const header = example("demo_order.csv").split("\n")[0];
const orders = [
    header,
    'WO-2041,Fennick Harvesters (invented),FH-7731,8,NW-208-16S,NW-208-G12,750,din20066,,R1180@2Q26;R1181@3Q26,FA-0614,FB-0907,250,2026-12-04,"Eight boom lines, caps on both ends"',
    "WO-1990,Brackwater Cranes (invented),BC-12,3,NW-208-16S,NW-208-16S,900,din20066,,R1180@2Q26,FA-0614,FA-0614,200,2020-02-01,",
    "WO-2050,Fennick Harvesters (invented),FH-9,2,NW-208-16S,NW-208-16S,600,din20066,,R1180@2Q26,FA-0614,FA-0614,200,,<b>no caps</b>",
    "",
].join("\n");

let browser = null;
let station = null;
let shop = null;
let page = null;

before(async () => {
    browser = await openBrowser();
    station = await startStation();
    shop = await setUp(station, {orders});
    page = await browser.page(station);
});
after(async () => {
    await page?.context().close();
    await station?.end();
    await browser?.close();
});

const sentence = () => hook(page, "sentence").innerText();
const says = (text) => page.waitForFunction((t) => document.querySelector('[data-test="sentence"]')?.textContent.includes(t), text);
const state = (field) => hook(page, `field-${field}`).getAttribute("data-state");
const reaches = (field, wanted) => page.waitForFunction(([f, w]) => document.querySelector(`[data-test="field-${f}"]`)?.dataset.state === w, [field, wanted]);
const calm = async () => page.waitForFunction(() => document.querySelector('[data-test="live"]')?.dataset.live === "yes");

async function mm() {
    return page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).getPropertyValue("--mm")));
}

// Whatever a glove must hit on this page: 15 mm and more, 20 mm high the main one.
async function gloved(name) {
    const unit = await mm();
    const small = await page.evaluate(
        (px) =>
            [...document.querySelectorAll("#place button, #place a.button")]
                .map((b) => ({text: b.textContent, box: b.getBoundingClientRect(), main: b.classList.contains("main")}))
                .filter(({box, main}) => box.width + 0.1 < 15 * px || box.height + 0.1 < (main ? 20 : 15) * px)
                .map(({text, box}) => `${text}: ${box.width} x ${box.height}`),
        unit,
    );
    assert.deepEqual(small, [], `${name}: large enough for gloves at ${unit} px/mm`);
}

async function seen(name) {
    await calm();
    await gloved(name);
    await axe(page, name);
    await shots(page, name);
}

test("before the shift the orders can be looked at and not taken; the page says what comes first", async () => {
    await signIn(page, shop.operator);
    await page.goto(`${station.url}/#/order`);
    await hook(page, "order-WO-2041").waitFor();
    assert.match(await hook(page, "first").innerText(), /Start the shift first/);
    assert.equal(await hook(page, "order-WO-2041").isDisabled(), true);
    assert.match(await hook(page, "order-WO-1990").innerText(), /overdue since 2020-02-01/);
    assert.match(await hook(page, "order-WO-2050").innerText(), /no due date/);
    await seen("order-before-shift");
});

test("an order is scanned or touched; an unknown number is refused with what was read", async () => {
    const as = await api(station, shop.operator, {at_bench: true});
    await as.post("/api/shift/start");
    await page.waitForFunction(() => document.querySelector('[data-test="order-WO-2041"]')?.disabled === false);
    const numbers = await page.locator(".order-number").allInnerTexts();
    assert.deepEqual(numbers, ["WO-1990", "WO-2041", "WO-2050"], "by their due date, without one last");
    await seen("order-pick");
    await fits(page, 1280, 800);

    page.expect.push(/404/);
    await scan(page, "WO-7777");
    await page.waitForFunction(() => /WO-7777/.test(document.querySelector('[data-test="wrong"]')?.textContent ?? ""));
    await seen("order-unknown");
    page.expect.length = 0;

    // On a busy machine the station's event is here before its answer: the refusal is gone by then already.
    const refusedStill = new Promise((tell) => {
        page.route("**/api/orders/take", async (route) => {
            const answer = await route.fetch();
            await says("Scan the hose lot");
            tell(await hook(page, "wrong").count());
            await route.fulfill({response: answer});
        });
    });
    await scan(page, "WO-2041");
    assert.equal(await refusedStill, 0);
    await page.waitForFunction(() => document.querySelector('[data-test="order"]')?.textContent === "WO-2041");
    await page.unroute("**/api/orders/take");
    assert.equal(await hook(page, "order").innerText(), "WO-2041");
});

test("one field at a time wants its scan and says which, with what is needed", async () => {
    assert.equal(await sentence(), "Scan the hose lot");
    assert.match(await hook(page, "needs").innerText(), /R1180[\s\S]*or[\s\S]*R1181/);
    assert.deepEqual(await Promise.all(["hose", "fitting_a", "fitting_b", "die", "setting"].map(state)), ["wanted", "later", "later", "later", "later"]);
    await fits(page, 1280, 800);
    await fits(page, 1920, 1080);
    await seen("order-hose");
});

test("a wrong lot is refused with what was scanned and what is needed, and stays so until the right one comes", async () => {
    await scan(page, "H-9999");
    await hook(page, "wrong").waitFor();
    assert.equal(await hook(page, "scanned").innerText(), "H-9999");
    assert.equal(await hook(page, "needed").innerText(), "R1180 or R1181");
    await page.waitForFunction(() => /Wrong hose lot/.test(document.querySelector("#alarm").textContent)); // said a moment later
    assert.equal(await state("hose"), "wanted");
    await fits(page, 1280, 800);
    await seen("order-wrong-lot");

    await scan(page, "FA-0614");
    await page.waitForFunction(() => document.querySelector('[data-test="scanned"]')?.textContent === "FA-0614");
    assert.match(await hook(page, "wrong").innerText(), /This is the fitting lot, end A\. Wanted now: hose lot/);

    await scan(page, "<img src=x onerror=alert(1)>");
    await page.waitForFunction(() => document.querySelector('[data-test="scanned"]')?.textContent === "<img src=x onerror=alert(1)>");
    assert.equal(await page.locator("#place img").count(), 0, "what is scanned is text");

    await scan(page, "R1181");
    await reaches("hose", "done");
    assert.equal(await hook(page, "wrong").count(), 0);
    assert.match(await hook(page, "field-hose").innerText(), /R1181/);
    assert.equal(await sentence(), "Scan the fitting lot of end A");
});

test("a label that no scanner reads is typed on large keys", async () => {
    await hook(page, "type").click();
    await hook(page, "typing").waitFor();
    await fits(page, 1280, 800);
    await seen("order-typing");
    for (const key of ["F", "A", "-", "0", "6", "1", "5"]) await hook(page, `type-${key}`).click();
    await hook(page, "type-back").click();
    await hook(page, "type-4").click();
    assert.equal(await hook(page, "typed").inputValue(), "FA-0614");
    await hook(page, "typing-yes").click();
    await says("Scan the fitting lot of end B");
    assert.equal(await state("fitting_a"), "done");
});

test("the three lots go to the station together; the bench then wants the gauge proved", async () => {
    await scan(page, "FB-0907");
    await hook(page, "first").waitFor();
    assert.match(await hook(page, "first").innerText(), /Prove the gauge/);
    const bench = await (await api(station, shop.lead)).get("/api/bench");
    assert.equal(bench.body.order.hose_lot, "R1181");
    assert.equal(bench.body.order.fitting_b_lot, "FB-0907");
    await seen("order-gauge-first");
});

test("a wrong die set is refused; the right one is followed by the crimper's setting on one large button", async () => {
    const as = await api(station, shop.operator, {at_bench: true});
    await as.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
    await station.caliper.send("press 25.00 mm");
    await says("Scan the die set");
    await scan(page, "D39");
    await hook(page, "wrong").waitFor();
    assert.equal(await hook(page, "scanned").innerText(), "D39");
    assert.equal(await hook(page, "needed").innerText(), "D29");
    await seen("order-wrong-die");
    await scan(page, "D29");
    await says("Set the crimper to 4.20");
    assert.match(await page.locator(".order-needed").innerText(), /Bench crimper \(invented\)/);
    await fits(page, 1280, 800);
    await seen("order-setting");
    await page.locator("main").focus();
    await page.keyboard.press("Space"); // or the foot switch
    await says("Make a set-up piece and measure it");
    assert.equal(await state("setting"), "done");
});

async function setupPiece(values) {
    for (const [i, value] of values.entries()) {
        await page.waitForFunction((flat) => document.querySelector(`[data-test="flat-${flat}"]`)?.classList.contains("now"), i + 1);
        await station.caliper.send(`press ${value} mm`);
    }
}

test("the set-up piece's mean over the middle advises to close the crimper by just that much", async () => {
    await seen("order-setup-piece");
    await setupPiece(["25.55"]);
    await says("measure flat 2");
    await fits(page, 1280, 800);
    await seen("order-setup-measuring");
    // 25.50 -+ 0.20: the middle half is 25.40 to 25.60. 25.55, 25.57, 25.59 and 25.61 have their mean 0.08 over 25.50.
    for (const [flat, value] of [[2, "25.57"], [3, "25.59"], [4, "25.61"]]) {
        await says(`measure flat ${flat}`);
        await station.caliper.send(`press ${value} mm`);
    }
    await hook(page, "advice").waitFor();
    assert.equal(await hook(page, "advice").getAttribute("data-kind"), "close");
    assert.match(await hook(page, "advice").innerText(), /Mean is 0\.08\smm over the middle/);
    assert.match(await hook(page, "advice").innerText(), /Close the crimper by 0\.08\smm and make another set-up piece/);
    assert.equal(await sentence(), "Make another set-up piece");
    await fits(page, 1280, 800);
    await seen("order-setup-close");
});

test("the new setting is noted, and a piece under the middle advises to open", async () => {
    await hook(page, "new-setting").click();
    await hook(page, "typed").waitFor();
    await typed(page, "4.05");
    await page.keyboard.press("Enter");
    await hook(page, "typing").waitFor({state: "detached"});
    const entries = (await (await api(station, shop.lead)).get("/api/entries?from=1&limit=500")).body.entries;
    assert.equal(entries.filter((e) => e.type === "die.confirmed").at(-1).body.setting, "4.05");
    await setupPiece(["25.38", "25.37", "25.39", "25.38"]);
    await page.waitForFunction(() => document.querySelector('[data-test="advice"]')?.dataset.kind === "open");
    assert.match(await hook(page, "advice").innerText(), /Open the crimper by 0\.12\smm/);
});

test("readings too far apart for any setting send the eye to the dies", async () => {
    await setupPiece(["25.30", "25.70", "25.35", "25.66"]);
    await page.waitForFunction(() => document.querySelector('[data-test="advice"]')?.dataset.kind === "scatter");
    assert.match(await hook(page, "advice").innerText(), /too far apart/);
    await fits(page, 1280, 800);
    await fits(page, 1024, 768);
    await seen("order-setup-scatter");
});

test("a good set-up piece makes everything ready, and the page leads to the bench", async () => {
    await setupPiece(["25.50", "25.51", "25.49", "25.50"]);
    await says("Everything is ready");
    assert.equal(await hook(page, "advice").getAttribute("data-kind"), "good");
    await fits(page, 1280, 800);
    await seen("order-ready");
    for (const field of ["hose", "fitting_a", "fitting_b", "die", "setting"]) assert.equal(await state(field), "done", field);
});

test("while an assembly is in work no other order is taken", async () => {
    await station.caliper.send("press 28.00 mm");
    await page.waitForFunction(() => /in work/.test(document.querySelector('[data-test="counts"]')?.textContent ?? ""));
    await hook(page, "another").click();
    await hook(page, "in-work").waitFor();
    assert.equal(await hook(page, "order-WO-1990").isDisabled(), true);
    assert.match(await hook(page, "order-WO-2041").innerText(), /At this bench now/);
    await seen("order-another-locked");
    await hook(page, "stay").click();
    await says("Everything is ready");
});

test("the same in German, with the decimal comma", async () => {
    const german = await browser.page(station, {language: "de", at: "/"});
    await signIn(german, shop.lead);
    await api(station, shop.operator, {at_bench: true}); // the operator is at the bench, the lead looks on
    await german.goto(`${station.url}/#/order`);
    await hook(german, "not-mine").waitFor();
    assert.match(await hook(german, "not-mine").innerText(), /Mirela Ošk arbeitet an dieser Werkbank/);
    assert.match(await german.locator(".order-facts").innerText(), /Schlauch ablängen auf/);
    await axe(german, "order in German");
    await shots(german, "order-german");
    await german.context().close();
});
