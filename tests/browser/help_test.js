// Help for each role, and the caution that is never behind a click.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, hook, openBrowser, shots} from "./kit/browser.js";
import {startStation} from "./kit/station.js";
import {addPeople} from "./kit/shop.js";

let browser = null;
let station = null;
before(async () => {
    browser = await openBrowser();
    station = await startStation();
    await addPeople(station);
});
after(() => browser.close(station));

for (const language of ["en", "de"])
    test(`R13: help is two screens at most for every role, with every caution in full (${language})`, async () => {
        const page = await browser.page(station, {language, at: "/#/help"});
        await hook(page, "caution-panel").first().waitFor();
        for (const role of ["operator", "lead", "setter", "auditor"]) {
            await hook(page, `help-${role}`).click();
            const panels = await hook(page, "caution-panel").allInnerTexts();
            assert.equal(panels.length, 4, "injection, whip, crush, burns");
            // ANSI Z535: the signal word first, then hazard, consequence and avoidance.
            for (const panel of panels) assert.ok(panel.trim().startsWith(language === "de" ? "WARNUNG" : "WARNING") && panel.trim().split("\n").filter(Boolean).length === 4, panel);
            const screens = await page.evaluate(() => {
                const place = document.getElementById("place");
                return place.scrollHeight / place.clientHeight;
            });
            assert.ok(screens <= 2, `${role}: ${screens} screens`);
            await axe(page, `help for ${role}`);
            await shots(page, `help-${role}-${language}`);
        }
        await hook(page, "help-back").click();
        await hook(page, "who").waitFor();
        await page.context().close();
    });

test("R13: the caution stands on every page, at every size, without a click", async () => {
    const page = await browser.page(station);
    await hook(page, "who").waitFor();
    for (const [width, height] of [[1024, 768], [1280, 800], [1920, 1080]]) {
        await page.setViewportSize({width, height});
        const box = await hook(page, "caution").boundingBox();
        assert.ok(box.height > 20 && box.y + box.height <= height + 0.5 && box.x >= 0 && box.x + box.width <= width + 0.5, JSON.stringify(box));
        const whole = await hook(page, "caution").evaluate((n) => n.scrollHeight <= n.clientHeight + 1);
        assert.ok(whole, "none of its words is cut off");
    }
    const words = await hook(page, "caution").innerText();
    for (const said of ["WARNING", "skin", "whip", "crush", "burns", "makers", "local codes", "licensed practice"]) assert.ok(words.includes(said), said);
    await page.context().close();
});

test("the page can be read at 320 pixels and at twice its size (WCAG 2.2, 1.4.4 and 1.4.10)", async () => {
    const page = await browser.page(station, {size: [320, 640]});
    await hook(page, "who").waitFor();
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 320, `${wide} px wide`);
    await axe(page, "narrow");
    await page.setViewportSize({width: 640, height: 400});
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 640);
    await page.context().close();
});
