// The day with the keyboard alone: the pointer is never used. Every control is reached by Tab in the order in which it
// stands, and whoever has the focus is seen to have it; questions keep the focus and give it back; Space and Enter do
// what the focused control says, and press the large button when no control has the focus.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {axe, hook, openBrowser, typed} from "./kit/browser.js";
import {api, people, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {GOOD, atPage, chapters, journal, ofType} from "./story_kit.js";

const chapter = chapters(test);
const MOST_STOPS = 250;
// Each part of the set-up, and what is there when it is drawn.
const SETUPS = {
    overview: "step-printer",
    people: "person-MO",
    tables: "row-NW-208-16S",
    orders: "order-WO-2041",
    gauges: "gauge-row-caliper-1",
    references: "reference-ring-25",
    printer: "printer-form",
    limits: "limits-form",
    screen: "screen-form",
};

let browser = null;
let station = null;
let desk = null; // the operator's page
const states = [];

before(async () => {
    browser = await openBrowser();
    station = await startStation();
    await setUp(station);
    desk = await atPage(await browser.page(station), station);
});
after(() => browser.close(station));

// In the page: every control that a keyboard must reach now, and what has the focus, by name.
function helpers() {
    const nameOf = (n) => `${n.dataset.test ?? n.id ?? ""}|${n.tagName.toLowerCase()}|${(n.getAttribute("aria-label") ?? n.textContent ?? "").trim().slice(0, 40)}`;
    globalThis.focusables = () => {
        const root = document.querySelector("dialog[open]") ?? document;
        return [...root.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")]
            .filter((n) => n.tabIndex >= 0 && !n.disabled && !n.closest("[inert]") && n.checkVisibility({visibilityProperty: true}) && n.getClientRects().length > 0)
            .map(nameOf);
    };
    globalThis.positive = () => [...document.querySelectorAll("[tabindex]")].filter((n) => n.tabIndex > 0).map(nameOf);
    globalThis.focused = () => {
        const n = document.activeElement;
        if (!n || n === document.body || n === document.documentElement) return null;
        // A hidden file field shows its focus on the label that is its button.
        const seen = n.type === "file" ? (document.querySelector(`label[for="${n.id}"]`) ?? n) : n;
        const style = getComputedStyle(seen);
        const box = seen.getBoundingClientRect();
        return {
            name: nameOf(n),
            test: n.dataset.test ?? "",
            ring: (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2) || style.boxShadow !== "none",
            // A part of it at least is in the window (WCAG 2.2, 2.4.11).
            inSight: box.width > 0 && box.height > 0 && box.bottom > 0 && box.right > 0 && box.top < innerHeight && box.left < innerWidth,
            inDialog: Boolean(n.closest("dialog[open]")),
            scrolls: n.scrollHeight > n.clientHeight + 1 || n.scrollWidth > n.clientWidth + 1,
        };
    };
}

const ready = async (page) => page.evaluate(helpers);
const focus = (page) => page.evaluate(() => globalThis.focused());

// Once round the page with Tab.
async function walk(page, name) {
    // Once what the page asked the station for stands on it.
    let wanted = await page.evaluate(() => globalThis.focusables());
    for (let same = 0; same < 3; ) {
        await page.waitForTimeout(150);
        const now = await page.evaluate(() => globalThis.focusables());
        same = now.join("\n") === wanted.join("\n") ? same + 1 : 0;
        wanted = now;
    }
    assert.deepEqual(await page.evaluate(() => globalThis.positive()), [], `${name}: nothing pushes ahead in the order`);
    const came = [];
    for (let i = 0; i < MOST_STOPS; i += 1) {
        await page.keyboard.press("Tab");
        const at = await focus(page);
        if (at === null) continue; // out of the page, and in again with the next
        if (came.length >= wanted.length && at.name === came[0].name) break;
        came.push(at);
        assert.ok(came.length <= wanted.length + 20, `${name}: Tab comes round\n${came.map((c) => c.name).join("\n")}\nof\n${wanted.join("\n")}`);
    }
    assert.deepEqual(came.filter((c) => !c.ring).map((c) => c.name), [], `${name}: whatever has the focus is seen to have it`);
    assert.deepEqual(came.filter((c) => !c.inSight).map((c) => c.name), [], `${name}: and is in sight`);
    // A place that scrolls may be a stop of its own.
    const stops = came.filter((c) => wanted.includes(c.name) || !c.scrolls).map((c) => c.name);
    const begin = stops.indexOf(wanted[0]);
    assert.deepEqual([...stops.slice(begin), ...stops.slice(0, begin)], wanted, `${name}: every control, in the order in which it stands`);
    return wanted.length;
}

async function state(page, name) {
    await walk(page, name);
    await axe(page, `keyboard ${name}`);
    states.push(name);
}

async function tabTo(page, test) {
    await hook(page, test).first().waitFor();
    for (let i = 0; i < MOST_STOPS; i += 1) {
        await page.keyboard.press("Tab");
        const at = await focus(page);
        if (at?.test === test) {
            assert.ok(at.ring && at.inSight, `${test} is seen to have the focus`);
            return;
        }
    }
    assert.fail(`${test} is not reached`);
}

// At a person's pace: keys that follow within 50 ms of each other are a scanner's (kit/burst.js).
async function hit(page, key) {
    await page.waitForTimeout(80);
    await page.keyboard.press(key);
}

// A question: the focus stays in it all the way round, and Escape gives it back to what asked.
async function question(page, opener, key, name) {
    await tabTo(page, opener);
    await hit(page, key);
    await hook(page, "dialog").waitFor();
    const first = await focus(page);
    assert.ok(first?.inDialog, `${name}: the question has the focus`);
    await state(page, name);
    for (let i = 0; i < (await page.evaluate(() => globalThis.focusables().length)) + 2; i += 1) {
        await page.keyboard.press("Shift+Tab");
        const at = await focus(page);
        assert.ok(at === null || at.inDialog, `${name}: focus went to ${at?.name}`);
    }
    await hit(page, "Escape");
    await hook(page, "dialog").waitFor({state: "detached"});
    assert.equal((await focus(page))?.test, opener, `${name}: the focus is given back`);
}

async function signInByKeys(page, who) {
    await hook(page, "who").waitFor();
    await ready(page);
    if ((await focus(page))?.test !== "who") await tabTo(page, "who");
    await page.keyboard.press("Control+A");
    await typed(page, who.badge);
    await tabTo(page, "secret");
    await typed(page, who.pin);
    await hit(page, "Enter");
    await hook(page, "self").waitFor();
}

// The large button from wherever the focus is: by its own focus, as a keyboard does it.
async function mainByTab(key) {
    await tabTo(desk.page, "main");
    await desk.page.locator('[data-test="main"][data-armed="yes"]').waitFor();
    await hit(desk.page, key);
}

chapter("signing in", async () => {
    await hook(desk.page, "who").waitFor();
    await ready(desk.page);
    assert.equal((await focus(desk.page))?.test, "who", "the badge's field has the focus from the start");
    await state(desk.page, "sign-in");
    await signInByKeys(desk.page, people.operator);
});

chapter("shift, proof, order, lots and die set: Space and Enter press the large button, or what has the focus", async () => {
    await desk.says(/^Start your shift/);
    await state(desk.page, "shift");
    await mainByTab("Enter");
    await desk.says(/^Prove caliper-1/);
    await state(desk.page, "proof");
    await mainByTab("Space");
    await desk.says(/^Measure ring-25/);
    await state(desk.page, "proof reading");
    await desk.press("25.01");
    await desk.says(/^Scan the order/);
    await state(desk.page, "order");
    await tabTo(desk.page, "take-WO-2041");
    await hit(desk.page, "Enter");
    await desk.says(/^Scan the lot/);
    await state(desk.page, "lots");
    for (const [part, lot, key] of [["hose", "R1180", "Space"], ["fitting_a", "FA-0614", "Enter"], ["fitting_b", "FB-0907", "Space"]]) {
        await tabTo(desk.page, `lot-${part}-${lot}`);
        await hit(desk.page, key);
    }
    await desk.says(/^Is die set D29/);
    await state(desk.page, "die set");
    await question(desk.page, "other-setting", "Enter", "another setting");
    await mainByTab("Space");
    await desk.says(/set-up piece/i);
    await state(desk.page, "set-up piece");
    await desk.setUp(GOOD);
});

chapter("a good end: with nothing focused Space confirms; a focused control is pressed instead and confirms nothing", async () => {
    await desk.says(/^Mark the depth/);
    await state(desk.page, "depth");
    await desk.press("28.02");
    await desk.says(/lubricated\?$/);
    await state(desk.page, "confirm");
    await desk.page.locator('[data-test="main"][data-armed="yes"]').waitFor();
    await tabTo(desk.page, "menu");
    await hit(desk.page, "Space");
    await desk.says(/^What else/);
    await state(desk.page, "menu");
    await tabTo(desk.page, "back");
    await hit(desk.page, "Enter");
    await desk.says(/lubricated\?$/);
    await mainByTab("Enter");
    await desk.says(/is the mark at the shell/);
    await question(desk.page, "answer-hidden", "Space", "one more question");
    await desk.says(/is the mark at the shell/);
    await mainByTab("Space");
    await desk.crimp();
    await desk.says(/still at the shell/);
    await mainByTab("Enter");
    await desk.says(/pin pass the bore/);
    await mainByTab("Space");
    await desk.setUp(["25.53", "25.47", "25.51", "25.48"]);
    await desk.says(/^Mark the depth/);
});

chapter("a reading is taken back, a part is stopped and settled by a lead's PIN, another is put aside", async () => {
    await desk.press("28.04");
    await desk.says(/lubricated\?$/);
    await tabTo(desk.page, "void");
    await hit(desk.page, "Enter");
    await desk.says(/^Take back/);
    await state(desk.page, "take back");
    await tabTo(desk.page, "reason-1");
    await hit(desk.page, "Space");
    await desk.says(/^Mark the depth/);
    await desk.press("28.05");
    await desk.says(/lubricated\?$/);
    await mainByTab("Space");
    await desk.says(/is the mark at the shell/);
    await mainByTab("Space");
    await desk.says(/across flat 1$/);
    assert.equal((await desk.press("25.24")).mode, "stop");
    await desk.stopped(/undersize/);
    await desk.page.locator('[data-test="main"][data-armed="yes"]').waitFor();
    await state(desk.page, "stop");
    await question(desk.page, "settle-scrap", "Enter", "reason");
    await hit(desk.page, "Enter");
    await hook(desk.page, "ask-reason").waitFor();
    await typed(desk.page, "too small");
    await tabTo(desk.page, "dialog-yes");
    await hit(desk.page, "Space");
    await hook(desk.page, "ask-person").waitFor();
    await state(desk.page, "another person's word");
    await tabTo(desk.page, "ask-person");
    await typed(desk.page, people.lead.badge);
    await tabTo(desk.page, "secret");
    await typed(desk.page, people.lead.pin);
    await hit(desk.page, "Enter");
    await hook(desk.page, "dialog").waitFor({state: "detached"});
    await desk.says(/^Mark the depth/);
    await desk.press("28.01");
    await desk.says(/lubricated\?$/);
    await tabTo(desk.page, "aside");
    await hit(desk.page, "Enter");
    await desk.says(/aside: why/);
    await state(desk.page, "put aside");
    await tabTo(desk.page, "reason-2");
    await hit(desk.page, "Enter");
    await desk.stopped(/wrong part/);
    await mainByTab("Enter");
    await desk.page.locator('.bench:not([data-mode="stop"])').waitFor();
});

chapter("places and oneself by their links: order, holds, help, and signing out", async () => {
    for (const place of ["order", "holds", "help", "bench"]) {
        await tabTo(desk.page, `place-${place}`);
        await hit(desk.page, "Enter");
        await desk.page.waitForFunction((p) => location.hash === `#/${p}` && document.querySelector(".page")?.dataset.page === `${p}/` && document.querySelector("#place h1"), place);
        if (place === "holds") await desk.page.locator(".holds-serial").first().waitFor();
        if (place !== "bench") await state(desk.page, `operator's ${place}`);
    }
    await question(desk.page, "self", "Enter", "about oneself");
    await tabTo(desk.page, "sign-out");
    await hit(desk.page, "Space");
    await hook(desk.page, "who").waitFor();
});

chapter("a lead finds what is on hold and settles it", async () => {
    await signInByKeys(desk.page, people.lead);
    await tabTo(desk.page, "place-holds");
    await hit(desk.page, "Enter");
    const link = desk.page.locator(".holds-serial").first();
    await link.waitFor();
    const serial = await link.innerText();
    await state(desk.page, "holds");
    for (let i = 0; (await focus(desk.page))?.name.split("|")[2] !== serial; i += 1) {
        assert.ok(i < MOST_STOPS, "the serial is reached");
        await desk.page.keyboard.press("Tab");
    }
    await hit(desk.page, "Enter");
    await desk.page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, serial);
    await state(desk.page, "case");
    await question(desk.page, "do-scrap", "Space", "settling");
    await hit(desk.page, "Space");
    await hook(desk.page, "ask-reason").waitFor();
    await typed(desk.page, "wrong fitting");
    await tabTo(desk.page, "dialog-yes");
    await hit(desk.page, "Enter");
    await desk.page.waitForFunction(() => /settled by Tobin Rask/.test(document.querySelector('[data-test="settled"]')?.textContent ?? ""));
    await tabTo(desk.page, "hide");
    await hit(desk.page, "Enter");
    await desk.page.waitForFunction(() => /Are you Tobin/.test(document.querySelector('[data-test="signin-sentence"]')?.textContent ?? ""));
    await state(desk.page, "hidden");
    await tabTo(desk.page, "not-me");
    await hit(desk.page, "Enter");
    await hook(desk.page, "self").waitFor({state: "detached"});
    const as = await api(station, people.auditor);
    assert.deepEqual(ofType(await journal(as), "hold.settled").map((e) => [e.body.how, e.who]), [["scrap", "TR"], ["scrap", "TR"]]);
});

chapter("a setter reaches every part of the set-up, and adds somebody", async () => {
    const {page} = desk;
    await signInByKeys(page, people.setter);
    for (const part of Object.keys(SETUPS)) {
        if (part === "overview") await page.evaluate(() => (location.hash = "#/setup/overview"));
        else {
            await tabTo(page, `setup-${part}`);
            await hit(page, "Enter");
        }
        await page.waitForFunction((p) => document.querySelector(".page")?.dataset.page === `setup/${p}` && document.querySelector(".setup h1"), part);
        await hook(page, SETUPS[part]).first().waitFor();
        await state(page, `set-up ${part}`);
    }
    await tabTo(page, "setup-people");
    await hit(page, "Enter");
    await tabTo(page, "add-person");
    await hit(page, "Space");
    await hook(page, "person-form").waitFor();
    assert.equal((await focus(page))?.test, "field-name", "the form begins at its first field");
    await state(page, "somebody new");
    for (const [name, value] of [["name", "Lene Brask"], ["person", "LB"], ["pin", "274905"], ["pin_again", "274905"]]) {
        await tabTo(page, `field-${name}`);
        await typed(page, value);
    }
    await tabTo(page, "person-form-go");
    await hit(page, "Enter");
    await hook(page, "person-LB").waitFor();
});

chapter("many states were walked, each without anything that axe finds", async () => {
    assert.ok(states.length >= 30, `${states.length}: ${states.join(", ")}`);
    const {clicks} = await desk.inputs();
    assert.equal(clicks, 0, "the pointer was never used");
});
