// Orders: from a file with every error in its cell, and one by hand with every error at its field.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {hook, openBrowser} from "./kit/browser.js";
import {example} from "./kit/places.js";
import {people, setUp} from "./kit/shop.js";
import {startStation} from "./kit/station.js";
import {atDesk, entry, receipt, state, text, to, upload} from "./setup_steps.js";

const header = example("demo_order.csv").split("\n")[0].trim();
const row = (id, more = {}) => {
    const v = {qty: "2", a: "NW-208-16S", b: "NW-208-16S", length: "600", lots: "R1180@2Q26", pressure: "200", note: "", ...more};
    return `${id},Fennick Harvesters (invented),FH-9,${v.qty},${v.a},${v.b},${v.length},din20066,,${v.lots},FA-0614,FA-0614,${v.pressure},,${v.note}`;
};
const file = (...rows) => [header, ...rows, ""].join("\r\n");

let browser = null;
let station = null;
let shop = null;
let page = null;
before(async () => {
    browser = await openBrowser();
    station = await startStation();
    shop = await setUp(station);
    page = await browser.page(station);
    await atDesk(page, people.setter);
    await to(page, "orders");
    await hook(page, "order-WO-2041").waitFor();
});
after(() => browser.close(station));

const orders = async () => (await shop.asSetter.get("/api/orders")).body.orders.map((o) => o.order);
const choose = (name, value) => hook(page, `field-${name}`).selectOption(value);
const fill = async (values) => {
    for (const [name, value] of Object.entries(values)) await hook(page, `field-${name}`).fill(value);
};

test("R10: a file with errors opens no order; each error stands in its cell", async () => {
    await upload(page, "order-file", "orders.csv", file(row("WO-1"), row("WO-2", {qty: "none", length: "-3"}), row("WO-3", {lots: "R1@9Q26"})));
    await hook(page, "file-errors").waitFor();
    assert.equal(await page.locator('[data-test="file-errors"] > li').count(), 3);
    assert.match(await text(page, "cell-3-quantity"), /none/);
    assert.match(await text(page, "cell-3-overall_length_mm"), /-3/);
    assert.match(await text(page, "cell-4-hose_lots"), /R1@9Q26/);
    assert.deepEqual(await orders(), ["WO-2041"]);
    await state(page, "setup-orders-errors");
});

test("R10: what does not fit the rows in force is told for its order, all of it at once", async () => {
    await upload(page, "order-file", "orders.csv", file(row("WO-1", {a: "NO-SUCH"}), row("WO-2", {pressure: "900"}), row("WO-2041")));
    await page.waitForFunction(() => document.querySelectorAll('[data-test="file-errors"] > li').length === 3);
    const told = await text(page, "file-errors");
    assert.match(told, /NO-SUCH/);
    assert.match(told, /900/);
    assert.match(told, /opened before/);
    // Each where the spreadsheet has it.
    assert.match(await text(page, "cell-2-spec_a"), /NO-SUCH/);
    assert.match(await text(page, "cell-3-pressure_bar"), /900/);
    assert.match(await text(page, "cell-4-order_id"), /WO-2041/);
    await state(page, "setup-orders-misfits");
});

test("a sound file opens all its orders; lots without a date code are named", async () => {
    await upload(page, "order-file", "orders.csv", file(row("WO-10"), row("WO-11", {lots: "R7", note: "<script>document.title='taken'</script>"})));
    await hook(page, "order-WO-11").waitFor();
    assert.match(await text(page, "receipt"), /Orders opened: 2/);
    assert.match(await text(page, "undated"), /order WO-11: lot R7/);
    assert.deepEqual(await orders(), ["WO-2041", "WO-10", "WO-11"]);
    await state(page, "setup-orders-opened");
});

test("by hand: what is missing stands at its field, and the second end is only for the first one's hose", async () => {
    await hook(page, "order-form-go").click();
    assert.match(await text(page, "error-customer"), /must be filled in/);
    await state(page, "setup-order-form-empty", "order-new");
    await choose("spec_a", "NW-208-16S");
    const offered = await hook(page, "field-spec_b").evaluate((node) => [...node.options].map((o) => o.value).filter(Boolean));
    assert.deepEqual(offered.sort(), ["NW-208-16S", "NW-208-G12"]);
    assert.equal(await hook(page, "field-orientation").isVisible(), false, "no angle without two bent ends");
});

test("R10: by hand: every misfit comes back at once, at its field, and nothing that was typed is lost", async () => {
    await fill({order: "WO-2041", quantity: "4", customer: "Fennick Harvesters (invented)", customer_part: "FH-12", overall: "80,5", pressure: "900", hose_lots: "R1180@1Q15", fitting_a_lots: "FA-1", fitting_b_lots: "FA-1;", notes: "two, \"quoted\""});
    await hook(page, "order-form-go").click();
    await page.waitForFunction(() => !document.querySelector('[data-test="error-fitting_b_lots"]').hidden);
    assert.match(await text(page, "error-fitting_b_lots"), /./, "an error of the row itself comes first");
    await fill({fitting_b_lots: "FA-1"});
    await hook(page, "order-form-go").click();
    await page.waitForFunction(() => !document.querySelector('[data-test="error-pressure"]').hidden);
    assert.match(await text(page, "error-order"), /opened before/);
    assert.match(await text(page, "error-overall"), /./);
    assert.match(await text(page, "error-pressure"), /900/);
    assert.match(await text(page, "error-hose_lots"), /R1180/);
    assert.equal(await hook(page, "field-overall").inputValue(), "80,5");
    assert.equal(await hook(page, "field-notes").inputValue(), 'two, "quoted"');
    await state(page, "setup-order-form-misfits", "order-new");
});

test("R4: by hand: an order is opened with the very length that was typed", async () => {
    await fill({order: "WO-3000", overall: "600,125", pressure: "", hose_lots: "R1180@2Q26", due: "2026-12-24"});
    await hook(page, "order-form-go").click();
    await hook(page, "order-WO-3000").waitFor();
    const opened = await entry(shop.asSetter, await receipt(page));
    assert.equal(opened.body.overall_length_nm, 600125000);
    assert.equal(opened.body.notes, 'two, "quoted"');
    assert.equal(opened.body.due, "2026-12-24");
    assert.equal(await hook(page, "field-order").inputValue(), "", "ready for the next one");
    await state(page, "setup-orders-list", "orders-list");
});

test("a day that the calendar does not have is told at its field", async () => {
    await fill({due: "2026-02-30"});
    await hook(page, "order-form-go").click();
    assert.match(await text(page, "error-due"), /no day of the calendar/);
});
