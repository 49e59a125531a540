// The set-up's people: added, changed, retired; who may do what; nothing that somebody is called becomes code.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {hook, openBrowser, scan, signIn} from "./kit/browser.js";
import {addPeople, api, people} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {atDesk, entry, receipt, state, text, to} from "./setup_steps.js";

const HOSTILE = `<img src=x onerror="document.title='taken'"><script>document.title='taken'</script>`;
const NEW = {person: "LB", name: "Lene Brask", badge: "B-LB-1", pin: "274905", passphrase: "five lanterns in the loft"};

let browser = null;
let station = null;
let setter = null;
let page = null;
before(async () => {
    browser = await openBrowser();
    station = await startStation();
    setter = await addPeople(station);
    page = await browser.page(station);
    await atDesk(page, people.setter);
    await to(page, "people");
    await hook(page, "person-MO").waitFor();
});
after(() => browser.close(station));

const person = async (id) => (await setter.get("/api/people")).body.people.find((p) => p.person === id);
const fill = async (values) => {
    for (const [name, value] of Object.entries(values)) await hook(page, `field-${name}`).fill(value);
};

test("the list says who may do what and how they sign in", async () => {
    const row = await text(page, "person-TR");
    assert.match(row, /Tobin Rask/);
    assert.match(row, /QC lead/);
    assert.match(row, /B-TR/);
    await state(page, "setup-people");
});

test("errors stand at their fields and in a summary, and nothing that was typed is lost", async () => {
    await hook(page, "add-person").click();
    await fill({name: NEW.name, pin: "1234", pin_again: "9999", passphrase: "too short"});
    await hook(page, "person-form-go").click();
    for (const name of ["person", "pin", "passphrase"]) {
        const field = hook(page, `field-${name}`);
        assert.equal(await field.getAttribute("aria-invalid"), "true", name);
        const ids = (await field.getAttribute("aria-describedby")).split(" ");
        const described = await page.evaluate((list) => list.map((id) => document.getElementById(id).textContent).join(" "), ids);
        assert.match(described, /./);
        assert.ok(ids.includes(await hook(page, `error-${name}`).getAttribute("id")), `${name}'s error describes it`);
    }
    assert.match(await text(page, "error-pin"), /six|6/);
    assert.match(await text(page, "form-errors"), /Nothing has been changed.*3 things/s);
    assert.equal(await hook(page, "form-errors").evaluate((node) => node === document.activeElement), true, "the summary has the focus");
    assert.equal(await hook(page, "field-name").inputValue(), NEW.name);
    assert.equal(await hook(page, "field-pin").inputValue(), "1234");
    await state(page, "setup-people-errors", "person-new");

    await fill({person: NEW.person, pin: NEW.pin, passphrase: NEW.passphrase});
    await hook(page, "person-form-go").click();
    assert.match(await text(page, "error-pin_again"), /differ/);
    assert.match(await text(page, "error-passphrase_again"), /differ/);
});

test("a badge before the scanner lands in its field, wherever the cursor stands; what the station refuses stands at its field", async () => {
    await hook(page, "field-name").focus();
    await scan(page, people.lead.badge);
    assert.equal(await hook(page, "field-name").inputValue(), NEW.name, "no text box takes a scan by accident");
    assert.equal(await hook(page, "field-badge").inputValue(), people.lead.badge);
    await fill({pin_again: NEW.pin, passphrase_again: NEW.passphrase});
    await hook(page, "field-language").selectOption("de");
    await hook(page, "person-form-go").click();
    await hook(page, "error-badge").waitFor();
    assert.match(await text(page, "error-badge"), /somebody else/);
    assert.equal(await hook(page, "field-pin").inputValue(), NEW.pin);
});

test("somebody new is an entry, is told by its number, and can sign in with badge and PIN", async () => {
    await hook(page, "field-badge").fill(NEW.badge);
    await hook(page, "person-form-go").click();
    const seq = await receipt(page);
    assert.equal((await entry(setter, seq)).type, "person.added");
    assert.match(await text(page, "receipt"), /Lene Brask is added as Operator/);
    await hook(page, "person-LB").waitFor();
    assert.equal((await person("LB")).badge, NEW.badge);
    const other = await browser.page(station);
    await signIn(other, NEW);
    assert.equal(await other.evaluate(() => document.documentElement.lang), "de", "their own language");
    await other.context().close();
    await state(page, "setup-people-added");
});

test("R3: a name of markup stands there as its letters, here and wherever it is shown", async () => {
    await hook(page, "add-person").click();
    await fill({name: HOSTILE, person: "X1", pin: "718204", pin_again: "718204"});
    await hook(page, "person-form-go").click();
    await receipt(page);
    await hook(page, "person-X1").waitFor();
    assert.ok((await text(page, "person-X1")).includes(HOSTILE));
    await hook(page, "change-X1").click();
    await hook(page, "retire").click();
    assert.ok((await text(page, "dialog")).includes(HOSTILE));
    await hook(page, "dialog-no").click();
    assert.equal(await page.locator("#place img, #place script").count(), 0);
    assert.notEqual(await page.title(), "taken");
    await state(page, "setup-people-hostile");
    await hook(page, "change-X1").click();
});

test("another badge: the new one opens, the old one opens nothing", async () => {
    await hook(page, "change-LB").click();
    await state(page, "setup-people-change", "people-here");
    await hook(page, "give-badge").click();
    await hook(page, "ask-badge").focus();
    await scan(page, "B-LB-2");
    await state(page, "setup-people-badge");
    await hook(page, "dialog-yes").click();
    const seq = await receipt(page);
    await page.waitForFunction(() => /B-LB-2/.test(document.querySelector('[data-test="receipt"]').textContent));
    assert.deepEqual((await entry(setter, await receipt(page))).body, {person: "LB", badge: "B-LB-2"});
    assert.ok(seq > 0);
    assert.equal((await setter.try.post("/api/sign-in", {person: NEW.badge, pin: NEW.pin})).status, 401);
    assert.equal((await setter.try.post("/api/sign-in", {person: "B-LB-2", pin: NEW.pin, at_bench: false})).status, 200);
});

test("a new PIN: its rules are told before, a bad one is refused in the question, the old one is gone", async () => {
    await hook(page, "give-pin").click();
    assert.match(await text(page, "dialog"), /Six digits or more/);
    await hook(page, "ask-secret").fill("123456");
    await hook(page, "ask-again").fill("123456");
    await hook(page, "dialog-yes").click();
    await hook(page, "refusal").waitFor();
    assert.match(await text(page, "refusal"), /first that anybody would try/);
    await state(page, "setup-people-pin-refused");
    await hook(page, "ask-secret").fill("590317");
    await hook(page, "ask-again").fill("590317");
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /new PIN/.test(document.querySelector('[data-test="receipt"]').textContent));
    const told = await entry(setter, await receipt(page));
    assert.equal(told.type, "person.secret_set");
    assert.equal(JSON.stringify(told).includes("argon2"), false, "no hash leaves the station");
    assert.equal((await setter.try.post("/api/sign-in", {person: "LB", pin: NEW.pin})).status, 401);
});

test("another role holds from now on", async () => {
    await hook(page, "give-role").click();
    await hook(page, "ask-role").selectOption("lead");
    await hook(page, "dialog-yes").click();
    await page.waitForFunction(() => /is QC lead/.test(document.querySelector('[data-test="receipt"]').textContent));
    assert.equal((await person("LB")).role, "lead");
});

test("R3: who leaves is retired with a reason, stays in the list of those who left, and cannot sign in", async () => {
    await hook(page, "retire").click();
    await hook(page, "dialog-yes").click();
    assert.match(await text(page, "refusal"), /Reason is empty/);
    await hook(page, "ask-reason").fill("moved to the paint shop");
    await state(page, "setup-people-retire");
    await hook(page, "dialog-yes").click();
    await hook(page, "retired-LB").waitFor();
    await page.waitForFunction(() => /is retired/.test(document.querySelector('[data-test="receipt"]').textContent));
    assert.equal(await hook(page, "person-LB").count(), 0);
    assert.deepEqual((await entry(setter, await receipt(page))).body, {person: "LB", reason: "moved to the paint shop"});
    assert.equal((await setter.try.post("/api/sign-in", {person: "LB", pin: "590317"})).status, 401);
    await state(page, "setup-people-retired", "people-retired");
});

test("R3: the only setter cannot be retired, and is told why", async () => {
    await hook(page, "change-AW").click();
    await hook(page, "retire").click();
    await hook(page, "ask-reason").fill("no longer needed");
    await hook(page, "dialog-yes").click();
    await hook(page, "refusal").waitFor();
    assert.match(await text(page, "refusal"), /only one who can set the station up/);
    assert.equal(await hook(page, "ask-reason").inputValue(), "no longer needed");
    await hook(page, "dialog-no").click();
});

test("who is locked out stands on top, with the way back in", async () => {
    // A hundred wrong ones take the station hours of waiting: what it then says is put into its answer here.
    const other = await browser.page(station);
    await atDesk(other, people.setter);
    await other.route("**/api/people", async (route) => {
        if (route.request().method() !== "GET") return route.continue();
        const answer = await route.fetch();
        const body = await answer.json();
        for (const p of body.people) p.locked = p.person === "JV";
        await route.fulfill({response: answer, json: body});
    });
    await to(other, "people");
    await hook(other, "locked-JV").waitFor();
    assert.match(await text(other, "locked-JV"), /Jonte Valk is locked out/);
    assert.match(await text(other, "person-JV"), /locked out/);
    await state(other, "setup-people-locked");
    await hook(other, "let-in-pin").click();
    assert.match(await text(other, "dialog"), /sign in again at once/);
    await hook(other, "ask-secret").fill("840615");
    await hook(other, "ask-again").fill("840615");
    await hook(other, "dialog-yes").click();
    await receipt(other);
    assert.equal((await setter.try.post("/api/sign-in", {person: people.other.badge, pin: "840615", at_bench: false})).status, 200);
    await other.context().close();
});

test("R9: a lead sees people and changes none; an operator has no set-up at all", async () => {
    const lead = await browser.page(station);
    await atDesk(lead, people.lead);
    await to(lead, "people");
    await hook(lead, "person-MO").waitFor();
    assert.equal(await hook(lead, "add-person").count(), 0);
    assert.equal(await lead.locator('[data-test^="change-"]').count(), 0);
    assert.match(await text(lead, "setter-only"), /Only whoever sets the station up/);
    await state(lead, "setup-people-lead");
    await lead.context().close();
    const operator = await browser.page(station);
    await signIn(operator, people.operator);
    assert.equal(await hook(operator, "place-setup").count(), 0);
    await operator.evaluate(() => (location.hash = "#/setup/people"));
    await operator.waitForFunction(() => !/setup/.test(document.querySelector(".page").dataset.page));
    await operator.context().close();
});
