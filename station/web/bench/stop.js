// A stopped part takes the whole page. It says what is wrong in the trade's words, what may be done now and by whom,
// and asks for one thing: that the part lies in the quarantine place. That is confirmed by the large button only, which
// is armed a moment after the stop appears; a press of the caliper changes nothing here. A lead may settle it on the
// spot with their own badge and PIN, without signing anybody out.
//
//   stopView(bench, desk)     {sentence, hint, body, main, others}
//   settle(bench, desk, serial, how)      reason, lead, and where the shop wants it a second one

import {ask, askPerson} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {causeName, endName, settlementName} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {lengths} from "./sentences.js";

const ARM_MS = 1500;
const MOST = 2; // sentences that can be read at a glance, with room for the scale; the rest stands under Holds

function whatIsWrong(bench, stopped) {
    const findings = stopped.findings ?? [];
    const hold = stopped.hold ?? {};
    const lines = findings.map((f) => ({kind: f.verdict, text: sayMessage(f.message), finding: f}));
    // What fails is said before what is only unsure.
    lines.sort((a, b) => (a.kind === "fails" ? 0 : 1) - (b.kind === "fails" ? 0 : 1));
    if (hold.reason) lines.unshift({kind: "uncertain", text: say("page.bench.stop_reason", {reason: hold.reason})});
    if (hold.cause === "suspect") {
        const off = lengths(bench, hold.gauge).one(hold.gauge_error_nm ?? 0, {plus: true});
        lines.unshift({kind: "uncertain", text: say(hold.gauge_error_nm ? "page.bench.stop_suspect" : "page.bench.stop_suspect_gone", {gauge: hold.gauge, off})});
    }
    if (hold.cause === "proof_test") lines.unshift({kind: "fails", text: causeName(hold.cause)});
    if (lines.length === 0) lines.push({kind: "uncertain", text: causeName(hold.cause)});
    return lines;
}

function wordOf(cause, worst) {
    if (cause === "person") return "page.bench.stop_aside";
    if (worst === "fails") return "page.bench.stop_fails";
    return cause === "suspect" ? "page.bench.stop_suspect_word" : "page.bench.stop_uncertain";
}

// Reason and reference first, then who decides; the answer is the station's.
export async function settle(bench, desk, serial, how) {
    const fields = [{name: "reason", label: say("page.bench.reason"), type: "text", required: true}];
    if (how === "concession") fields.push({name: "customer_reference", label: say("page.bench.customer_reference"), type: "text", required: true, hint: say("page.bench.customer_reference_hint")});
    const values = await ask({
        title: say("page.bench.settle_title", {how: settlementName(how), serial}),
        body: say(settleWords[how]),
        danger: how === "concession",
        fields,
        yes: say("page.bench.settle_next"),
    });
    if (!values) return null;
    const body = {serial, how, ...values};
    const two = how === "concession" && bench.limits?.concession_needs_second;
    let first = null;
    if (two) {
        const one = await askPerson({title: say("page.bench.settle_who"), body: say("page.bench.settle_first"), yes: say("page.bench.settle_next"), use: async (by) => ({ok: true, by})});
        if (!one) return null;
        first = one.by;
    }
    const answer = await askPerson({
        title: say(two ? "page.bench.settle_second" : "page.bench.settle_who"),
        body: say("page.bench.settle_title", {how: settlementName(how), serial}),
        yes: say("page.bench.settle_go", {how: settlementName(how)}),
        use: (by) => desk.quiet("/api/holds/settle", two ? {...body, by: first, second: by} : {...body, by}),
    });
    if (answer?.ok) desk.context.speak(say("page.bench.settled", {serial, how: settlementName(how)}));
    return answer;
}

const settleWords = {
    recrimp: "page.bench.settle_recrimp",
    remeasure: "page.bench.settle_remeasure",
    concession: "page.bench.settle_concession",
    scrap: "page.bench.settle_scrap",
};

function choice(bench, desk, serial, c) {
    return el(
        "li",
        {class: c.possible ? "may yes" : "may no", data: {test: `may-${c.how}`, possible: c.possible ? "yes" : "no"}},
        c.possible
            ? el("button", {class: "may-go", data: {test: `settle-${c.how}`}, on: {click: () => settle(bench, desk, serial, c.how)}}, el("b", {}, settlementName(c.how)), el("span", {}, say(c.by === "operator" ? "page.bench.by_other" : "page.bench.by_lead")))
            : el("p", {}, el("b", {}, settlementName(c.how)), el("span", {}, say("page.bench.not_possible"))),
    );
}

export function stopView(bench, desk, {scale}) {
    const {stopped} = bench;
    const serial = stopped.serial;
    const lines = whatIsWrong(bench, stopped);
    const worst = lines[0]?.kind ?? "fails";
    const order = {recrimp: 0, remeasure: 1, concession: 2, scrap: 3};
    const may = [...(stopped.may ?? [])].sort((a, b) => order[a.how] - order[b.how]);
    const end = stopped.hold?.end;
    return {
        stop: true,
        sentence: say("page.bench.stop", {serial}),
        hint: null,
        body: el(
            "div",
            {class: "stop", data: {test: "stop"}},
            el(
                "section",
                {class: "stop-why", aria: {label: say("page.bench.stop_why")}},
                el(
                    "p",
                    {class: `stop-word verdict ${worst}`},
                    sign(worst),
                    say(wordOf(stopped.hold?.cause, worst)),
                    el("span", {class: "stop-serial number"}, serial, end ? ` \u00b7 ${endName(end)}` : null),
                ),
                el(
                    "ul",
                    {class: "stop-lines"},
                    lines.slice(0, MOST).map((l) => el("li", {data: {test: "finding"}}, l.text)),
                    lines.length > MOST ? el("li", {}, say("page.bench.stop_more", {count: lines.length - MOST})) : null,
                ),
                scale,
            ),
            el(
                "section",
                {class: "stop-may", aria: {label: say("page.bench.stop_may")}},
                el("h2", {}, say("page.bench.stop_may")),
                el("ul", {class: "may-list"}, may.map((c) => choice(bench, desk, serial, c))),
                el("p", {class: "hint"}, say("page.bench.stop_may_hint")),
            ),
        ),
        main: {
            key: `quarantine-${serial}-${stopped.hold?.seq ?? 0}`,
            text: say("page.bench.quarantine"),
            danger: true,
            arm_ms: ARM_MS,
            run: () => desk.act("/api/assembly/quarantine", {serial}),
        },
    };
}
