// A bench at work for the tests of the holds page: assemblies made and stopped through the API, and a lead's page.
//
//   const desk = await openDesk({toml})       browser, station (toml: more for its configuration), shop, and:
//   desk.bench                                the API as whoever works at the bench; desk.work(person) changes that
//   desk.lead                                 the lead's page; desk.text(hook), desk.open(serial), desk.settle(how, fields)
//   desk.crimp("25.20"), desk.good(), desk.prove(), desk.takeOrder(), desk.intoQuarantine()
//   await desk.end()
import assert from "node:assert/strict";

import {axe, hook, openBrowser, scan, shots, signIn} from "./kit/browser.js";
import {example} from "./kit/places.js";
import {api, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";

const header = example("demo_order.csv").split("\n")[0];
// One spec row at both ends, so that one set-up piece does for all.
const orders = [
    header,
    "WO-2041,Fennick Harvesters (invented),FH-7731,20,NW-208-16S,NW-208-16S,750,din20066,,R1180@2Q26,FA-0614,FA-0614,250,2026-12-04,",
    "WO-2042,Brackwater Cranes (invented),BC-12,5,NW-208-16S,NW-208-16S,900,din20066,,R1180@2Q26,FA-0614,FA-0614,200,2026-12-11,",
    "",
].join("\n");

export async function openDesk({toml = {}} = {}) {
    const browser = await openBrowser();
    let station = null;
    try {
        station = await startStation({toml});
    } catch (error) {
        await browser.browser.close();
        throw error;
    }
    const shop = await setUp(station, {orders});
    let pressed = "";

    const desk = {
        browser,
        station,
        shop,
        bench: null,
        lead: null,

        // Whose hands are at the bench from now on.
        async work(person) {
            desk.bench = await api(station, person, {at_bench: true});
        },
        see: async () => (await desk.bench.get("/api/bench")).body,

        // Until the station has taken what the caliper said. The same frame at once again is refused as a repeated one,
        // so it is a hundredth more.
        async press(wanted) {
            const value = wanted === pressed ? (Number(wanted) + 0.01).toFixed(2) : wanted;
            pressed = value;
            const before = (await desk.see()).seq;
            await station.caliper.send(`press ${value} mm`);
            for (let i = 0; i < 400; i += 1) {
                if ((await desk.see()).seq > before) return;
                await new Promise((resolve) => setTimeout(resolve, 25));
            }
            throw new Error(`nothing came of ${value}`);
        },

        async prove(value = "25.00") {
            await desk.bench.post("/api/gauges/prove", {gauge: "caliper-1", reference: "ring-25"});
            await desk.press(value);
        },

        async takeOrder(order) {
            await desk.bench.post("/api/orders/take", {order});
            await desk.bench.post("/api/lots/confirm", {hose_lot: "R1180", fitting_a_lot: "FA-0614", fitting_b_lot: "FA-0614"});
        },

        // Does what the bench asks for with good values, until it asks for `what`; "next": until an assembly is done.
        async workTo(what, end = "a") {
            const {bench, press} = desk;
            for (let i = 0; i < 80; i += 1) {
                const {step, assembly} = await desk.see();
                if (step.what === what && step.end === end && step.ask !== "setup") return;
                if (what === "next" && i > 0 && step.begins && !assembly) return;
                if (step.ask === "setup") await press("25.50");
                else if (step.ask === "die") await bench.post("/api/die/confirm", {die_set: "D29", crimper: "Bench crimper (invented)", setting: "4.20"});
                else if (step.ask === "measure" || step.ask === "again") await press(step.what === "depth" ? "28.00" : "25.50");
                else if (step.ask === "confirm" && step.what.startsWith("mark_")) await bench.post("/api/steps/confirm", {what: step.what, seen: "at_edge"});
                else if (step.ask === "confirm") await bench.post("/api/steps/confirm", {what: step.what, yes: true});
                else throw new Error(`the bench asks for ${step.ask}`);
            }
            throw new Error(`never came to ${what}`);
        },

        // A crimp of that size on every flat, as far as the bench asks for them.
        async crimp(value) {
            await desk.workTo("crimp_diameter");
            for (let flat = 1; flat <= 4 && (await desk.see()).step.what === "crimp_diameter"; flat += 1) await desk.press(value);
        },

        // The serial of a whole good assembly.
        async good() {
            await desk.workTo("depth");
            await desk.press("28.00");
            const {serial} = (await desk.see()).assembly;
            await desk.workTo("next");
            return serial;
        },

        // The serial of what is stopped, once it lies in its place.
        async intoQuarantine() {
            const {stopped} = await desk.see();
            assert.ok(stopped, "something is stopped");
            await desk.bench.post("/api/assembly/quarantine", {serial: stopped.serial});
            return stopped.serial;
        },

        async openLead() {
            desk.lead = await browser.page(station);
            await signIn(desk.lead, shop.lead);
            await desk.lead.goto(`${station.url}/#/holds`);
        },

        // Somebody who looks on and leaves the bench to whoever works there.
        async onlooker(person, options = {}) {
            const page = await browser.page(station, {at: "/#/holds", ...options});
            await hook(page, "who").waitFor();
            await scan(page, person.badge);
            if ((await hook(page, "secret-other").innerText()).includes("PIN")) await hook(page, "secret-other").click();
            for (const digit of person.pin) await hook(page, `key-${digit}`).click();
            await hook(page, (await hook(page, "go-aside").isVisible()) ? "go-aside" : "go").click();
            await hook(page, "self").waitFor();
            return page;
        },

        text: (name, page = desk.lead) => hook(page, name).innerText(),
        rows: (page = desk.lead) => page.locator(".holds-serial").allInnerTexts(),
        to: (hash, page = desk.lead) => page.evaluate((h) => (location.hash = h), hash),
        shown: (serial, page = desk.lead) => page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, serial),
        stage: (wanted, page = desk.lead) => page.waitForFunction((w) => document.querySelector('[data-test="stage"]')?.dataset.stage === w, wanted),
        closed: () => hook(desk.lead, "dialog").waitFor({state: "detached"}),

        async open(serial, page = desk.lead) {
            await desk.to(`#/holds/${serial}`, page);
            await desk.shown(serial, page);
        },

        async settle(how, fields) {
            await hook(desk.lead, `do-${how}`).click();
            await hook(desk.lead, "dialog").waitFor();
            for (const [name, value] of Object.entries(fields)) await hook(desk.lead, `ask-${name}`).fill(value);
            await hook(desk.lead, "dialog-yes").click();
        },

        async lastSettled() {
            const {body} = await shop.asSetter.get("/api/entries?from=1&limit=1000");
            return body.entries.filter((e) => e.type === "hold.settled").at(-1);
        },

        // Targets of 44 px where a finger works, 24 px at least (WCAG 2.2, 2.5.8); nothing that axe finds; pictures.
        async seen(name, page = desk.lead) {
            await page.waitForFunction(() => document.querySelector('[data-test="live"]')?.dataset.live === "yes");
            const small = await page.evaluate(() =>
                [...document.querySelectorAll("#place button, #place a, #place select, #place input, dialog button, dialog input, dialog textarea")]
                    .map((n) => ({text: n.textContent || n.name || n.id, type: n.type, box: n.getBoundingClientRect()}))
                    .filter(({box, type}) => box.height > 0 && box.height + 0.1 < (type === "checkbox" ? 24 : 44))
                    .map(({text, box}) => `${text}: ${box.width} x ${box.height}`),
            );
            assert.deepEqual(small, [], `${name}: targets are large enough`);
            await axe(page, name);
            await shots(page, name);
        },

        async end() {
            await desk.lead?.context().close();
            await station.end();
            await browser.close();
        },
    };
    await desk.work(shop.operator);
    await desk.bench.post("/api/shift/start");
    await desk.prove();
    await desk.takeOrder("WO-2041");
    return desk;
}
