// A hose comes back: a lead opens it on its tag, is asked one question after the other with drawings, measures the part
// at the bench with the caliper, reads why the record speaks for or against the bench, follows the siblings to the
// recall page, concludes, and takes both copies of the report.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {after, before, test} from "node:test";

import {hook, scan} from "./kit/browser.js";
import {api} from "./kit/shop.js";
import {openDesk} from "./holds_kit.js";

const fennick = "Fennick Harvesters (invented)";
const brackwater = "Brackwater Cranes (invented)";
let desk = null;
let api_ = null;
const made = [];

const pdfText = async (page, href) => {
    const bytes = await page.evaluate(async (address) => {
        const answer = await fetch(address);
        if (answer.headers.get("content-type") !== "application/pdf") throw new Error(await answer.text());
        return [...new Uint8Array(await answer.arrayBuffer())];
    }, href);
    return execFileSync("pdftotext", ["-", "-"], {input: Buffer.from(bytes)}).toString().replace(/\s+/g, " ");
};

const question = async (code) => desk.lead.locator(`[data-test="question"][data-question="${code}"]`).waitFor();
const answer = (code) => hook(desk.lead, `answer-${code}`).click();

before(async () => {
    desk = await openDesk();
    for (let i = 0; i < 2; i += 1) made.push(await desk.good());
    await desk.takeOrder("WO-2042");
    made.push(await desk.good());
    await desk.openLead();
    api_ = await api(desk.station, desk.shop.lead);
});
after(async () => desk?.end());

test("R13: the cautions stand first, and a return is opened on the tag's serial", async () => {
    await desk.to("#/returns");
    await hook(desk.lead, "returns-empty").waitFor();
    assert.match(await desk.text("cautions"), /Never feel for a leak by hand/);
    assert.match(await desk.text("cautions"), /surgical emergency/);
    await hook(desk.lead, "field-serial").fill("K1NONE");
    await hook(desk.lead, "open-return-go").click();
    await hook(desk.lead, "error-serial").waitFor();
    await hook(desk.lead, "field-serial").fill("");
    await hook(desk.lead, "field-serial").focus();
    await scan(desk.lead, made[0]);
    assert.equal(await hook(desk.lead, "field-serial").inputValue(), made[0]);
    await hook(desk.lead, "field-customer").fill(fennick);
    await hook(desk.lead, "field-reported").fill("Came off at the pump.");
    await desk.seen("returns-open");
    await hook(desk.lead, "open-return-go").click();
    await question("hurt");
    assert.match(desk.lead.url(), /#\/returns\/RT-1\/questions$/);
    assert.match(await desk.text("return-head"), new RegExp(made[0]));
    assert.match(await desk.text("notice"), /no delivery of it was written down/);
});

test("one question at a time: by button, by a number in the drawing, several, not known, back and changed", async () => {
    await answer("no");
    await question("place");
    await desk.seen("returns-place");
    await desk.lead.locator('[data-test="picture"] [data-answer="came_off"]').click();
    await question("end");
    await answer("a");
    await question("wires");
    await answer("rusty");
    await answer("crushed");
    assert.equal(await hook(desk.lead, "answer-rusty").getAttribute("aria-pressed"), "true");
    await desk.seen("returns-wires");
    await hook(desk.lead, "back").click();
    await question("end");
    await answer("b");
    await question("wires");
    await answer("whole"); // goes with no other answer
    await question("cover");
    await answer("not_known");
    // The rest in one go, but for the grip marks.
    for (;;) {
        const code = await desk.lead.locator('[data-test="question"], [data-test="given"]').first().getAttribute("data-question");
        if (code === null) break;
        await answer(code === "grip" ? "shallow_full" : "not_known");
        await desk.lead.waitForFunction((was) => document.querySelector('[data-test="question"]')?.dataset.question !== was, code);
    }
    assert.match(await desk.text("given-place"), /came off/i);
    assert.match(await desk.text("given-cover"), /Not known/);
    await desk.seen("returns-answers");
    // Another place: the question about the grips is not asked any more; and back.
    await hook(desk.lead, "change-place").click();
    await answer("body");
    await desk.lead.waitForFunction(() => document.querySelector('[data-test="question"]')?.dataset.question !== "place");
    await hook(desk.lead, "overview").click();
    assert.equal(await hook(desk.lead, "given-grip").count(), 0);
    await hook(desk.lead, "change-place").click();
    await answer("came_off");
    await desk.lead.waitForFunction(() => document.querySelector('[data-test="question"]')?.dataset.question !== "place");
    await desk.lead.evaluate(() => document.querySelector('[data-test="overview"]')?.click());
    assert.match(await desk.text("given-grip"), /shallow|light/i, "what was said before is still there");
});

test("R1: figures of its use, and the part measured with the caliper; the assembly's verdict stays", async () => {
    await desk.to("#/returns/RT-1/figures");
    await hook(desk.lead, "figures-form").waitFor();
    await desk.lead.locator('[name="use.pressure"]').fill("2x0");
    await hook(desk.lead, "figures-form-go").click();
    await hook(desk.lead, "error-use.pressure").waitFor();
    await desk.lead.locator('[name="use.pressure"]').fill("210.5");
    await desk.lead.locator('[name="use.bend_radius"]').fill("250");
    await desk.seen("returns-figures");
    await hook(desk.lead, "figures-form-go").click();
    await hook(desk.lead, "begin").waitFor();
    assert.equal((await api_.get("/api/returns/RT-1")).body.facts.find((f) => f.code === "use.pressure").given, "21050");
    await desk.seen("returns-measure");
    await hook(desk.lead, "begin").click();
    await desk.lead.locator('.bench[data-ask="returned"]').waitFor();
    await desk.work(desk.shop.lead);
    assert.match(await desk.text("sentence"), /End B: across flat/);
    await desk.seen("returns-bench");
    for (let i = 0; i < 8 && (await desk.see()).step.what === "crimp_diameter" && (await desk.see()).step.end === "b"; i += 1) await desk.press("26.20");
    await desk.lead.waitForFunction(() => /from the edge to the mark/.test(document.querySelector('[data-test="sentence"]')?.textContent ?? ""));
    await desk.seen("returns-bench-mark");
    await hook(desk.lead, "not-possible").click();
    await desk.lead.waitForFunction(() => /End A/.test(document.querySelector('[data-test="sentence"]')?.textContent ?? ""));
    await hook(desk.lead, "not-possible").click();
    await hook(desk.lead, "not-possible").click();
    await desk.lead.waitForFunction(() => /is measured/.test(document.querySelector('[data-test="sentence"]')?.textContent ?? ""));
    await desk.seen("returns-bench-done");
    await desk.lead.locator('[data-test="main"][data-armed="yes"]').click();
    await desk.lead.waitForFunction(() => document.querySelector(".bench")?.dataset.ask !== "returned");
    assert.equal((await api_.get(`/api/assemblies/${made[0]}`)).body.assembly.stage, "passed");
});

test("the record speaks, the causes show their sums, and each group of siblings leads to its own recall", async () => {
    await desk.to("#/returns/RT-1");
    await hook(desk.lead, "record-says").waitFor();
    const first = desk.lead.locator('[data-test="causes"] > .returns-mode').first();
    assert.equal(await first.getAttribute("data-test"), "mode-crimp_too_large");
    assert.equal(await first.evaluate((n) => n.open), true);
    const sums = await desk.lead.evaluate(() =>
        [...document.querySelectorAll(".returns-mode")].map((m) => ({
            points: Number(m.dataset.points),
            sum: [...m.querySelectorAll("tr[data-weight]")].reduce((all, tr) => all + Number(tr.dataset.weight), 0),
        })),
    );
    assert.ok(sums.length > 15);
    for (const {points, sum} of sums) assert.equal(points, sum);
    assert.match(await first.innerText(), /26\.2/);
    const row = await desk.text("reading-b-crimp_diameter-1");
    assert.match(row, /25\.5\d\smm/); // of the record
    assert.match(row, /26\.2\d\smm/); // of today
    await desk.seen("returns-result");
    assert.match(await desk.text("group-setup"), /2 others, 0 of them out/);
    await hook(desk.lead, "recall-setup").click();
    await hook(desk.lead, "sum").waitFor();
    assert.match(await desk.text("sum"), /3 assemblies/);
    assert.equal(await hook(desk.lead, "field-around_serial").inputValue(), made[0]);
});

test("a lead concludes it, and takes the shop's copy and the customer's", async () => {
    await desk.to("#/returns/RT-1/conclude");
    await hook(desk.lead, "conclude-form").waitFor();
    assert.equal(await hook(desk.lead, "field-cause").inputValue(), "crimp_too_large");
    await hook(desk.lead, "field-remark").fill("The dies of that day are looked at.");
    await desk.seen("returns-conclude");
    await hook(desk.lead, "conclude-form-go").click();
    await hook(desk.lead, "concluded").waitFor();
    assert.match(await desk.text("concluded"), /The dies of that day/);
    const internal = await pdfText(desk.lead, await hook(desk.lead, "report-internal-a4-en").getAttribute("href"));
    assert.match(internal, /Internal paper/);
    assert.match(internal, /The dies of that day/);
    const customer = await pdfText(desk.lead, await hook(desk.lead, "report-customer-letter-de").getAttribute("href"));
    assert.match(customer, /Ausfertigung für den Kunden/);
    assert.ok(!customer.includes(made[2]), "R12: another customer's assembly is not named");
    assert.ok(!customer.includes("Brackwater"));
    await desk.seen("returns-concluded");
    await hook(desk.lead, "reopen").click();
    await hook(desk.lead, "ask-reason").fill("The customer sent pictures.");
    await hook(desk.lead, "dialog-yes").click();
    await hook(desk.lead, "conclude-form").waitFor();
});

test("R12: a hose sent back by somebody else says so first, and a German reader finds the same page", async () => {
    await api_.post("/api/returns", {serial: made[2], customer: fennick, someone_hurt: true});
    await desk.to("#/returns/RT-2");
    await hook(desk.lead, "record-says").waitFor();
    assert.match(await desk.text("return-body"), /What cannot be known/);
    const notices = await hook(desk.lead, "notice").allInnerTexts();
    assert.ok(notices.some((n) => n.includes(brackwater) && n.includes(fennick)), notices.join("\n"));
    assert.match(await desk.text("cautions"), /keep the hose, its fittings and the oil as they are/);
    await desk.seen("returns-hurt");
    const refused = await api_.try.get("/api/returns.pdf?return=RT-2&copy=customer");
    assert.equal(refused.status, 403);
    const german = await desk.onlooker(desk.shop.operator, {language: "de"});
    await desk.to("#/returns/RT-1", german);
    await hook(german, "record-says").waitFor();
    assert.match(await hook(german, "causes").innerText(), /Wahrscheinliche Ursachen/);
    await desk.seen("returns-german", german);
});
