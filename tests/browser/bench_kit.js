// A bench for the tests of the operator's screen: the shop is set up, the operator signs in on the page, and the work is
// brought to where a test begins, through the page or, where the test is about something later, through the API.
//
//   const bench = await openBench({to: "measure"})     {station, shop, browser, page, op, ...}
//   await bench.asks("confirm", "lubricant")           waits until page and station ask for that
//   await bench.press("25.48")                         the caliper; waits until the page shows that it was heard
//   await bench.main()                                 the space bar, once the button is armed
//   await bench.end({flats: ["25.48", ...]})           one end of an assembly as an operator works it; counts clicks
//   await bench.close()
import assert from "node:assert/strict";

import fs from "node:fs";
import path from "node:path";

import {axe, hook, openBrowser, signIn} from "./kit/browser.js";
import {shots as folder} from "./kit/places.js";
import {api, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";

export const GOOD = ["25.48", "25.50", "25.52", "25.49"];

const SIZES = [
    [1024, 768],
    [1280, 800],
    [1920, 1080],
];

// In the page: whatever has more in it than is seen.
function cutOff() {
    const parts = [document.getElementById("place"), ...document.querySelectorAll(".bench, .bench-told, .said, .expected, .bench-body, .stop-why, .stop-may, .strip-cell, .press")];
    return parts
        .filter((n) => n && n.offsetParent !== null && (n.scrollHeight > n.clientHeight + 1 || n.scrollWidth > n.clientWidth + 1))
        .map((n) => `${n.className || n.id}: ${n.scrollWidth}x${n.scrollHeight} in ${n.clientWidth}x${n.clientHeight}`);
}

export async function openBench({to = "shift", language = "en", size = [1280, 800], toml, env, gauges, orders, table, prepare, say} = {}) {
    const station = await startStation({toml, env, gauges});
    const browser = await openBrowser();
    try {
        return await ready({station, browser, to, language, size, orders, table, prepare, say});
    } catch (error) {
        console.error(station.log().split("\n").slice(-15).join("\n"));
        await browser.close().catch(() => {});
        await station.end();
        throw error;
    }
}

async function ready({station, browser, to, language, size, orders, table, prepare, say}) {
    const shop = await setUp(station, {orders, table});
    await prepare?.(shop.asSetter);
    const page = await browser.page(station, {language, size});
    await signIn(page, shop.operator);
    let op = await api(station, shop.operator);

    const bench = {
        station,
        shop,
        browser,
        page,
        get op() {
            return op;
        },
        clicks: 0,

        // After the station was started anew: sessions do not outlive it.
        async again() {
            op = await api(station, shop.operator);
            shop.asSetter = await api(station, shop.setter);
        },
        state: async () => (await op.get("/api/bench")).body,

        async asks(ask, what, flat) {
            const until = Date.now() + 15000;
            for (;;) {
                const {step} = await bench.state();
                if (step.ask === ask && (!what || step.what === what) && (!flat || step.flat === flat)) break;
                assert.ok(Date.now() < until, `the bench asks ${JSON.stringify(step)}, not ${ask} ${what ?? ""} ${flat ?? ""}`);
                await new Promise((resolve) => setTimeout(resolve, 60));
            }
            await page.locator(`.bench[data-ask="${ask}"]`).waitFor();
        },

        // A press, and the page has the answer, whatever it is.
        // `say` of openBench speaks in the caliper's place.
        async press(value, command = "press") {
            const before = (await bench.state()).last?.seq ?? 0;
            if (say) await say(value);
            else await station.caliper.send(command === "press" ? `press ${value} mm` : `${command} ${value}`.trim());
            const until = Date.now() + 15000;
            let last = null;
            while ((last?.seq ?? 0) <= before) {
                assert.ok(Date.now() < until, `the station heard of ${command} ${value}`);
                last = (await bench.state()).last;
                await new Promise((resolve) => setTimeout(resolve, 20));
            }
            await bench.shows(last.seq);
            return last;
        },

        // The page has drawn a picture that is at least as new as that entry.
        async shows(seq) {
            await page.waitForFunction((n) => Number(document.querySelector(".bench")?.dataset.seq ?? 0) >= n, seq);
        },

        // A confirmation as a foot gives it: when the page is live and the button armed.
        async main() {
            await page.locator('body[data-live="yes"] [data-test="main"][data-armed="yes"]').waitFor();
            bench.clicks += 1;
            await page.keyboard.press("Space");
        },

        // Accessible, pictured in three sizes, and whole without scrolling at the two that the bench promises.
        // CRIMPGATE_LOOK=no leaves it away, for whoever works on the steps alone.
        async looked(name, on = page) {
            if (process.env.CRIMPGATE_LOOK === "no") return;
            await axe(on, name);
            fs.mkdirSync(folder, {recursive: true});
            const before = on.viewportSize();
            const over = [];
            for (const [width, height] of SIZES) {
                await on.setViewportSize({width, height});
                await on.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
                if (width > 1024) over.push(...(await on.evaluate(cutOff)).map((what) => `${width}x${height}: ${what}`));
                await on.screenshot({path: path.join(folder, `bench-${name}-${width}x${height}.png`), caret: "initial"});
            }
            await on.setViewportSize(before);
            assert.deepEqual(over, [], `${name}: everything is seen without scrolling`);
        },

        // A spec row that was not worked yet in this shift asks for its set-up piece first: each end may have its own.
        // The confirmation before may be on its way still: asked at once, the station might answer with the step before.
        async setUp() {
            const until = Date.now() + 15000;
            let step = (await bench.state()).step;
            while (step.ask !== "setup" && !(step.ask === "measure" && step.what === "depth")) {
                assert.ok(Date.now() < until, `the bench asks ${JSON.stringify(step)}, neither for a set-up piece nor for an end`);
                await new Promise((resolve) => setTimeout(resolve, 60));
                step = (await bench.state()).step;
            }
            if (step.ask !== "setup") return;
            for (const value of GOOD) await bench.press(value);
        },

        async end({depth = "28.02", flats = GOOD, pin = true} = {}) {
            await bench.setUp();
            await bench.asks("measure", "depth");
            await bench.press(depth);
            await bench.asks("confirm", "lubricant");
            await bench.main();
            await bench.asks("confirm", "mark_before");
            await bench.main();
            for (const [i, value] of flats.entries()) {
                await bench.asks("measure", "crimp_diameter", i + 1);
                await bench.press(value);
            }
            await bench.asks("confirm", "mark_after");
            await bench.main();
            await bench.asks("confirm", "bore_pin");
            if (pin) await bench.main();
        },

        async prove(value = "25.00") {
            await op.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
            await bench.press(value);
        },

        // Through the API up to there; the page follows.
        async to(place) {
            const places = ["shift", "proof", "order", "lots", "die", "setup", "measure"];
            const goal = places.indexOf(place);
            if (goal >= 1) await op.post("/api/shift/start");
            if (goal >= 2) await bench.prove();
            if (goal >= 3) await op.post("/api/orders/take", {order: "WO-2041"});
            if (goal >= 4) await op.post("/api/lots/confirm", {hose_lot: "R1180", fitting_a_lot: "FA-0614", fitting_b_lot: "FB-0907"});
            if (goal >= 5) await op.post("/api/die/confirm", {die_set: "D29", crimper: "Bench crimper (invented)", setting: "4.20"});
            if (goal >= 6) for (const value of GOOD) await bench.press(value);
            await bench.asks(place);
        },

        async close() {
            try {
                await browser.close();
            } finally {
                await station.end();
            }
        },
    };
    await bench.to(to);
    return bench;
}

export {hook};
