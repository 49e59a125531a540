// What the tests of the audit page share: a bench that has worked, a page on its audit, and looking at it.
//
//   const page = await auditPage(desk, person, {at, language})    signed in, on the audit
//   await ready(page)                                             the audit is there
//   await look(page, "audit-top")                                 what axe finds, what is too small to hit, pictures
//   const shift = await endShift(desk)                            the gauge proves itself once more, as at every end
//   const audit = await askedAudit(desk, "shift=...")             GET /api/audit, as a lead
//   sheet(audit, "made"), cell(audit, "made", row, "passed")
import assert from "node:assert/strict";

import {axe, hook, shots} from "./kit/browser.js";
import {api} from "./kit/shop.js";

export const ready = (page) => hook(page, "summary").waitFor({timeout: 60000});

export async function auditPage(desk, person, {at = "#/audit", ...options} = {}) {
    const page = await desk.onlooker(person, options);
    await page.evaluate((hash) => (location.hash = hash), at);
    await ready(page);
    return page;
}

export async function endShift(desk) {
    await desk.prove();
    await desk.bench.post("/api/shift/end");
    const lead = await api(desk.station, desk.shop.lead);
    return (await lead.get("/api/shifts")).body.shifts.at(-1).shift;
}

export async function askedAudit(desk, query) {
    const lead = await api(desk.station, desk.shop.lead);
    return (await lead.get(`/api/audit?${query}`)).body;
}

export const sheet = (audit, id) => audit.sheets.find((s) => s.id === id);
export function cell(audit, id, row, column) {
    const found = sheet(audit, id);
    return found.rows[row][found.columns.findIndex((c) => c.id === column)];
}

// Buttons and fields as large as a finger; links within text and tables at least 24 px high (WCAG 2.2, 2.5.8).
export async function look(page, name) {
    const small = await page.evaluate(() =>
        [...document.querySelectorAll("#place button, #place select, #place input, #place textarea, #place a, #place summary")]
            .map((n) => ({text: n.textContent || n.name || n.id, least: n.matches("a, input[type=checkbox]") ? 24 : 44, box: n.getBoundingClientRect()}))
            .filter(({box, least}) => box.height > 0 && box.height + 0.1 < least)
            .map(({text, box}) => `${text}: ${box.width} x ${box.height}`),
    );
    assert.deepEqual(small, [], `${name}: targets are large enough`);
    const wide = await page.evaluate(() => {
        const place = document.getElementById("place");
        return place.scrollWidth - place.clientWidth;
    });
    assert.ok(wide <= 1, `${name}: nothing stands out of the page to the right (${wide} px)`);
    await axe(page, name);
    await shots(page, name);
}
