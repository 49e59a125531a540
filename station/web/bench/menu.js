// What is not the next step, and yet may be done: what to do with the last reading, with this part, with the shift.
// Each is deliberate: one press opens it, a second one does it.
//
//   menuView(bench, desk), voidView(bench, desk), asideView(bench, desk)     as asks.js gives them

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {withdraw} from "./ask_proof.js";
import {stepName} from "./sentences.js";
import {endInWork} from "./steps.js";

const item = (test, text, run, props = {}) => el("button", {class: "choice", data: {test}, on: {click: run}, ...props}, el("b", {}, text));

export function menuView(bench, desk) {
    const free = !bench.assembly && !bench.stopped;
    const items = [item("menu-prove", say("page.bench.menu_prove"), () => desk.open("proof"))];
    if (free && bench.order) {
        items.push(item("menu-lots", say("page.bench.menu_lots"), () => desk.open("lots")));
        items.push(item("menu-order", say("page.bench.menu_order"), () => desk.open("order")));
    }
    if ((bench.gauges ?? []).length > 0) items.push(item("menu-withdraw", say("page.bench.menu_withdraw"), () => withdraw(bench, desk).then((done) => done && desk.close())));
    if (free && (bench.open_studies || bench.open_samples || bench.open_returns)) items.push(item("menu-other", say("page.bench.menu_other"), () => desk.open("other")));
    if (bench.row) items.push(item("menu-die", say("page.bench.menu_die"), () => desk.open("die")));
    items.push(item("menu-other-part", say("page.bench.menu_other_part"), () => otherPart(desk)));
    items.push(item("menu-reprint", say("page.bench.menu_reprint"), () => reprint(desk)));
    if (bench.shift && free) items.push(item("menu-end-shift", say("page.bench.menu_end_shift"), () => endShift(bench, desk)));
    return {
        sentence: say("page.bench.menu"),
        hint: free ? "" : say("page.bench.menu_in_work"),
        body: el("div", {class: "choices"}, items),
        main: null,
        others: [{test: "back", text: say("page.bench.back"), run: () => desk.close()}],
    };
}

// The station asks for proofs first; then that is what the bench shows.
async function endShift(bench, desk) {
    const answer = await desk.act("/api/shift/end", {});
    if (answer.ok) desk.close();
    else if (answer.why.code === "bench.prove_at_end") desk.open("proof");
}

function otherPart(desk) {
    return ask({
        title: say("page.bench.menu_other_part"),
        body: say("page.bench.other_part_do"),
        danger: true,
        fields: [
            {name: "serial", label: say("page.bench.serial"), type: "text", required: true, scan: true},
            {name: "reason", label: say("page.bench.reason"), type: "text", required: true},
        ],
        yes: say("page.bench.aside_go"),
        use: (values) => desk.quiet("/api/assembly/hold", values),
    }).then((done) => done && desk.close());
}

function reprint(desk) {
    return ask({
        title: say("page.bench.menu_reprint"),
        body: say("page.bench.reprint_do"),
        fields: [
            {name: "serial", label: say("page.bench.serial"), type: "text", required: true, scan: true},
            {name: "reason", label: say("page.bench.reason"), type: "text", required: true},
        ],
        yes: say("page.bench.reprint_go"),
        use: (values) => desk.quiet("/api/tags/reprint", values),
    }).then((done) => done && desk.close());
}

// Reasons to press instead of to type; the words go into the record as they stand here.
export function reasons(codes, use, {other}) {
    return el(
        "div",
        {class: "choices"},
        codes.map((code, i) => item(`reason-${i + 1}`, say(code), () => use(say(code)))),
        item("reason-other", say("page.bench.reason_other"), async () => {
            const values = await ask({
                title: other,
                fields: [{name: "reason", label: say("page.bench.reason"), type: "text", required: true}],
                yes: say("page.bench.reason_take"),
            });
            if (values) use(values.reason);
        }),
    );
}

export function lastRecord(bench) {
    if (bench.step.ask === "setup") return (bench.setup ?? []).at(-1) ?? null;
    return (endInWork(bench).known?.readings ?? []).at(-1) ?? null;
}

// What fails stays unless a lead who did not take it says otherwise: then their word is asked for here.
export function voidView(bench, desk) {
    const record = lastRecord(bench);
    if (!record) return null;
    const name = stepName(record.what ?? "crimp_diameter", record.flat);
    const use = async (reason) => {
        const answer =
            record.verdict === "fails"
                ? await desk.lead(say("page.bench.void_lead"), say("page.bench.void_lead_why", {what: name, reason}), say("page.bench.void_go"), "/api/readings/void-last", {reason})
                : await desk.act("/api/readings/void-last", {reason});
        if (answer?.ok) desk.close();
    };
    return {
        sentence: say("page.bench.void_ask", {what: name}),
        hint: say("page.bench.void_do"),
        body: reasons(["page.bench.void_slipped", "page.bench.void_place", "page.bench.void_part", "page.bench.void_by_mistake"], use, {other: say("page.bench.void_ask", {what: name})}),
        main: null,
        others: [{test: "back", text: say("page.bench.back"), run: () => desk.close()}],
    };
}

export function asideView(bench, desk) {
    if (!bench.assembly) return null;
    const use = async (reason) => {
        const answer = await desk.act("/api/assembly/hold", {reason});
        if (answer.ok) desk.close();
    };
    return {
        sentence: say("page.bench.aside_ask", {serial: bench.assembly.serial}),
        hint: say("page.bench.aside_do"),
        body: reasons(["page.bench.aside_damage", "page.bench.aside_wrong_part", "page.bench.aside_doubt", "page.bench.aside_crimper"], use, {other: say("page.bench.aside_ask", {serial: bench.assembly.serial})}),
        main: null,
        others: [{test: "back", text: say("page.bench.back"), run: () => desk.close()}],
    };
}
