// One assembly: why it stopped, what may be done, what its verdict stands on, and everything that happened to it.

import {el} from "../kit/dom.js";
import {causeName, endName, settlementName} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {evidence} from "./evidence.js";
import {choices} from "./settle.js";
import {ago, doubtSentence, endText, goodSentence, nameOf, timeNode, toldText} from "./texts.js";

const stages = {
    in_work: "page.holds.stage_in_work",
    on_hold: "page.holds.stage_on_hold",
    to_be_taken_up: "page.holds.stage_to_be_taken_up",
    passed: "page.holds.stage_passed",
    scrapped: "page.holds.stage_scrapped",
};

// The hold that can be settled: the newest one, while the assembly is on hold.
export function openHold(assembly) {
    if (assembly.assembly.stage !== "on_hold") return null;
    return assembly.holds.at(-1) ?? null;
}

function stageMark(a) {
    const kind = {on_hold: "uncertain", scrapped: "fails", passed: "conforms"}[a.stage] ?? "off";
    return el("span", {class: `holds-stage ${a.stage}`, data: {test: "stage", stage: a.stage}}, sign(kind), el("span", {}, say(stages[a.stage] ?? a.stage)));
}

function printed(tags) {
    const n = tags.filter((t) => t.state === "printed").length;
    if (n === 0) return say("page.holds.no_tag");
    return n === 1 ? say("page.holds.tag_once") : say("page.holds.tag_often", {count: n});
}

// Texts of which none breaks over a line.
const whole = (texts) => texts.map((text, i) => [i > 0 ? " \u00b7 " : null, el("span", {class: "holds-whole"}, text)]);

function facts(assembly, told) {
    const a = assembly.assembly;
    const rows = [
        ["page.holds.order", `${a.order}${assembly.number ? ` \u00b7 ${say("page.holds.number", {number: assembly.number})}` : ""}`],
        ["page.holds.customer", `${a.customer}, ${a.customer_part}`],
        ["page.holds.lots", whole([a.hose_lot, `A\u00a0${a.fitting_a_lot}`, `B\u00a0${a.fitting_b_lot}`])],
        ["page.holds.rows", whole(a.spec_a === a.spec_b ? [`${a.spec_a} ${a.revision_a}`] : [`A\u00a0${a.spec_a} ${a.revision_a}`, `B\u00a0${a.spec_b} ${a.revision_b}`])],
        ["page.holds.shift", a.shift],
        ["page.holds.measured_by", (assembly.measured_by ?? []).map((id) => nameOf(told.people, id)).join(", ") || "\u2013"],
        ["page.holds.tag", printed(assembly.tags)],
        a.recrimps > 0 ? ["page.holds.recrimps", String(a.recrimps)] : null,
        a.concession_reference ? ["page.holds.conceded_under", a.concession_reference] : null,
    ].filter(Boolean);
    return el("dl", {class: "holds-facts"}, rows.map(([code, value]) => el("div", {}, el("dt", {}, say(code)), el("dd", {}, value))));
}

function finding(f) {
    return el(
        "li",
        {class: `holds-finding ${f.verdict}`, data: {test: "finding"}},
        el("span", {class: "holds-finding-sign"}, sign(f.verdict)),
        el("span", {}, el("b", {}, `${endName(f.end)}: `), sayMessage(f.message)),
    );
}

function whyStopped(assembly, hold, told) {
    const doubt = assembly.doubts.find((d) => d.seq === hold.doubt_seq);
    const covered = assembly.holds.filter((h) => h.seq >= hold.first_held_seq && h.seq < hold.seq);
    return el(
        "section",
        {class: "holds-why", data: {test: "why"}},
        el("h2", {}, say("page.holds.why_stopped", {cause: causeName(hold.cause)}), hold.end ? `, ${endText(hold.end)}` : null),
        hold.reason ? el("blockquote", {data: {test: "reason"}}, hold.reason, el("span", {class: "muted"}, ` \u2013 ${nameOf(told.people, hold.who)}`)) : null,
        doubt ? el("p", {data: {test: "doubt"}}, doubtSentence(doubt, told), " ", goodSentence(doubt, told)) : null,
        assembly.findings?.length > 0 ? el("ul", {class: "holds-findings"}, assembly.findings.map(finding)) : null,
        covered.map((h) => el("p", {class: "holds-covered", data: {test: "covered"}}, say("page.holds.also", {cause: causeName(h.cause)}), h.reason ? ` ${h.reason}` : null)),
        hold.delivery
            ? el("p", {class: "refusal", data: {test: "gone"}}, el("b", {}, say("page.holds.gone_long", {delivery: hold.delivery, date: hold.delivered, to: hold.to})), " ", el("a", {class: "deliveries-link", href: `#/deliveries/${encodeURIComponent(hold.delivery)}`}, hold.delivery))
            : null,
        hold.tags_printed > 0 && !hold.delivery ? el("p", {data: {test: "left"}}, el("b", {class: "holds-left"}, say("page.holds.left_long"))) : null,
    );
}

// How the last hold was settled, where none is open.
function settled(assembly, told) {
    const last = assembly.holds.filter((h) => h.settled_seq !== undefined).at(-1);
    if (!last) return el("p", {class: "holds-settled"}, say("page.holds.never_held"));
    return el(
        "div",
        {class: "holds-settled", data: {test: "settled"}},
        el("p", {}, el("b", {}, say("page.holds.settled_as", {how: settlementName(last.how), name: nameOf(told.people, last.settled_by)})), " ", timeNode(last.settled, told.zone)),
        el("blockquote", {}, last.settle_reason),
        last.customer_reference ? el("p", {}, say("page.holds.under_reference", {reference: last.customer_reference})) : null,
        assembly.assembly.stage === "to_be_taken_up" ? el("p", {}, say("page.holds.to_be_taken_up")) : null,
    );
}

function history(assembly, told) {
    return el(
        "section",
        {class: "holds-history", data: {test: "history"}},
        el("h2", {}, say("page.holds.history")),
        el(
            "ol",
            {},
            assembly.history.map((h) =>
                el(
                    "li",
                    {class: /^(assembly\.held|hold\.|gauge\.|reading\.voided)/.test(h.type) ? "holds-told much" : "holds-told", data: {test: `told-${h.seq}`}},
                    timeNode(h.time, told.zone),
                    el("span", {class: "holds-told-who"}, nameOf(told.people, h.who)),
                    el("span", {}, toldText(h)),
                ),
            ),
        ),
    );
}

export function caseView(assembly, told, options) {
    const a = assembly.assembly;
    const hold = openHold(assembly);
    return el(
        "article",
        {class: "holds-case", data: {test: "case"}},
        el(
            "header",
            {class: "holds-case-head"},
            el("h1", {data: {test: "serial"}}, a.serial),
            stageMark(a),
            hold ? el("span", {class: "muted"}, say("page.holds.since"), " ", timeNode(hold.time, told.zone), `, ${ago(hold.time, told.now)}`) : null,
            hold ? el("span", {data: {test: "quarantine"}}, hold.quarantined ? say("page.holds.in_quarantine") : say("page.holds.not_in_quarantine")) : null,
            options.tools,
        ),
        el("div", {class: hold ? "holds-case-top" : "holds-case-top alone"}, el("div", {class: "stack"}, hold ? whyStopped(assembly, hold, told) : settled(assembly, told), facts(assembly, told)), hold ? choices(assembly, options) : null),
        evidence(assembly, told),
        history(assembly, told),
    );
}
