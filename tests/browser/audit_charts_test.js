// The charts of the audit: their figures and signals as text, points that lead to their assemblies, limits frozen and
// released by a lead. On a station that has worked twelve ends.
import assert from "node:assert/strict";
import test, {after, before} from "node:test";

import {signalsOf} from "../../station/web/audit/rules.js";
import {askedAudit, auditPage, endShift, look, ready} from "./audit_kit.js";
import {openDesk} from "./holds_kit.js";
import {hook} from "./kit/browser.js";

let desk = null;
let page = null;
let means = null; // the chart as the station gives it
let query = "";

// Of each end in turn: they differ as crimps do.
const SIZES = ["25.48", "25.51", "25.49", "25.53", "25.50", "25.47", "25.52", "25.50", "25.49", "25.51", "25.48", "25.50"];

async function assembly(a, b) {
    for (const [end, size] of [["a", a], ["b", b]]) {
        await desk.workTo("crimp_diameter", end);
        for (let i = 0; i < 4; i += 1) await desk.press(size);
    }
    await desk.workTo("next");
}

const chartOf = (audit, kind) => audit.charts.find((c) => c.id.startsWith(`${kind}:`));

before(async () => {
    desk = await openDesk();
    for (let i = 0; i < SIZES.length; i += 2) await assembly(SIZES[i], SIZES[i + 1]);
    query = `shift=${encodeURIComponent(await endShift(desk))}`;
    means = chartOf(await askedAudit(desk, query), "means");
    page = await auditPage(desk, desk.shop.lead);
});
after(async () => desk?.end());

const drawn = (id, p = page) => p.locator(`[data-test="chart-${id}"][data-drawn="yes"]`).waitFor();

test("a level chart and a spread chart stand side by side, drawn by this station's own library", async () => {
    assert.ok(means, "the audit has a level chart");
    assert.equal(means.points.length, 12, "an end a point");
    const scripts = [];
    page.on("request", (request) => request.resourceType() === "script" && scripts.push(request.url()));
    await hook(page, "to-charts").click();
    await drawn(means.id);
    await drawn(means.id.replace("means:", "spreads:"));
    assert.ok(scripts.every((url) => url.startsWith(desk.station.url)));
    const ink = await page.locator(`[data-test="chart-${means.id}"] canvas`).evaluate((c) => {
        const {data} = c.getContext("2d").getImageData(0, 0, c.width, c.height);
        let painted = 0;
        for (let i = 3; i < data.length; i += 4) painted += data[i] > 0;
        return painted;
    });
    assert.ok(ink > 500, `${ink} pixels are painted`);
    await look(page, "audit-charts");
});

test("who does not see the canvas has its figures: limits, signals, every point with its assembly", async () => {
    const figure = page.locator(`[data-chart="${means.id}"]`);
    const text = await figure.locator(".audit-lines").innerText();
    for (const value of [means.centre, means.lower, means.upper, means.band_lower, means.band_upper]) if (value) assert.ok(text.includes(value), `${value} is written`);
    assert.match(await figure.locator("canvas").getAttribute("aria-label"), /12 ends/);
    await hook(page, `points-open-${means.id}`).click();
    const rows = await hook(page, `points-${means.id}`).evaluate((t) => [...t.tBodies[0].rows].map((r) => [...r.cells].slice(1, 3).map((c) => c.textContent)));
    assert.deepEqual(
        rows,
        means.points.map((p) => [`${p.serial} ${p.end.toUpperCase()}`, p.value]),
    );
    const fired = signalsOf(means.points);
    assert.equal(await figure.locator(".audit-signals > li").count(), fired.length);
    await look(page, "audit-points");
    await hook(page, `points-${means.id}`).locator("tbody a").first().click();
    await page.waitForFunction((s) => document.querySelector('[data-test="serial"]')?.textContent === s, means.points[0].serial);
    await page.goBack();
    await ready(page);
});

test("a point on the chart leads to its assembly", async () => {
    await hook(page, "to-charts").click();
    await drawn(means.id);
    const box = await page.locator(`[data-test="chart-${means.id}"] canvas`).boundingBox();
    await page.mouse.click(box.x + box.width * 0.4, box.y + box.height / 2); // the nearest point counts
    await hook(page, "evidence").waitFor();
    assert.ok(means.points.some((p) => page.url().endsWith(`/${p.serial}`)));
    await page.goBack();
    await ready(page);
});

test("a lead freezes limits by keyboard, without a point of a known cause; the chart says so, and forgets them when released", async () => {
    const summary = hook(page, `freeze-${means.id}`);
    await summary.focus();
    await page.keyboard.press("Enter");
    await hook(page, "freeze-from").focus();
    await page.keyboard.press("ArrowDown"); // without the first
    assert.match(await hook(page, "freeze-count").innerText(), /^11 ends/);
    await hook(page, `leave-${means.points[3].seq}`).focus();
    await page.keyboard.press("Space");
    assert.match(await hook(page, "freeze-count").innerText(), /^10 ends make the limits, 1 /);
    await look(page, "audit-freeze");
    await hook(page, "freeze-go").focus();
    await page.keyboard.press("Enter");
    assert.equal(await hook(page, "refusal").isVisible(), true, "without a reason nothing is frozen");
    await hook(page, "freeze-reason").fill("First week with the new die set");
    await hook(page, "freeze-go").focus();
    await page.keyboard.press("Enter");
    await hook(page, `release-${means.id}`).waitFor({timeout: 60000});
    const frozen = (await desk.shop.asSetter.get("/api/entries?from=1&limit=1000")).body.entries.filter((e) => e.type === "chart.limits_frozen").at(-1).body;
    assert.equal(frozen.from_seq, means.points[1].seq);
    assert.equal(frozen.to_seq, means.points.at(-1).seq);
    assert.deepEqual(frozen.left_out, [means.points[3].seq]);
    assert.equal(frozen.points, 10);
    const audit = await askedAudit(desk, query);
    const now = chartOf(audit, "means");
    assert.equal(now.frozen, true);
    assert.deepEqual(now.points.filter((p) => p.left_out).map((p) => p.seq), [means.points[3].seq], "what was left out is told apart");
    assert.match((await hook(page, `note-${means.id}`).allInnerTexts()).join(" "), /frozen by .*First week with the new die set/);
    assert.ok((await page.locator(`[data-chart="${means.id}"] .audit-lines`).innerText()).includes(now.upper));
    await look(page, "audit-frozen");

    await hook(page, `release-${means.id}`).click();
    await hook(page, "ask-reason").fill("Another crimper motor");
    await hook(page, "dialog-yes").click();
    await hook(page, `release-${means.id}`).waitFor({state: "detached", timeout: 60000});
    assert.equal(chartOf(await askedAudit(desk, query), "means").frozen, false);
});

test("where the library cannot be had the figures stand there all the same", async () => {
    const poor = await desk.onlooker(desk.shop.lead);
    poor.expect.push(/foreign\/chart\.js/, /ERR_FAILED/);
    await poor.route("**/foreign/chart.js", (route) => route.abort());
    await poor.evaluate(() => (location.hash = "#/audit"));
    await ready(poor);
    await hook(poor, "to-charts").click();
    await hook(poor, "no-charts").first().waitFor();
    assert.ok((await poor.locator(".audit-lines").first().innerText()).includes(means.centre));
    await poor.context().close();
});
