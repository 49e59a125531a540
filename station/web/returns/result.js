// What the record says, likely causes with every line of their sums, what cannot be known, and who shares something
// with this hose. The first cause stands open; the others open when they are pressed, so that nobody is met by a wall
// of numbers.
//
//   resultPart({...}) -> {node, draw(data)}

import {el, redraw} from "../kit/dom.js";
import {timeText} from "../kit/names.js";
import {language, say, sayMessage} from "../kit/words.js";
import {contradictionsView} from "./questions.js";
import {readingsTable} from "./measure.js";
import {queryText} from "../recall/ask.js";

const faults = {bench: "returned.paper.fault_bench", application: "returned.paper.fault_application", material: "returned.paper.fault_material"};
const kinds = {symptom: "returned.paper.kind_symptom", record: "returned.paper.kind_record", application: "returned.paper.kind_application", measured: "returned.paper.kind_measured"};
const groupNames = {
    hose_lot: "returned.paper.group_hose_lot",
    fitting_lot: "returned.paper.group_fitting_lot",
    setup: "returned.paper.group_setup",
    gauge_since_proof: "returned.paper.group_gauge",
    operator_shift: "returned.paper.group_operator",
    application: "returned.paper.group_application",
    crimper_shift: "page.returns.group_crimper",
    spec_revision: "page.returns.group_spec",
};

export const points = (n) => (n < 0 ? `\u2212${-n}` : n > 0 ? `+${n}` : "0");

function block(test, title, ...children) {
    return el("section", {class: "panel setup-section", data: {test}}, el("h2", {}, title), children);
}

function sumTable(mode) {
    return el(
        "table",
        {class: "returns-sum", data: {test: `sum-${mode.mode}`}},
        el("caption", {class: "unseen"}, say("returned.paper.arithmetic")),
        el("thead", {class: "unseen"}, el("tr", {}, [say("returned.paper.points"), say("returned.paper.line"), say("returned.paper.kind")].map((t) => el("th", {scope: "col"}, t)))),
        el(
            "tbody",
            {},
            mode.lines.map((l) => el("tr", {data: {kind: l.kind, weight: l.weight}}, el("td", {}, points(l.weight)), el("td", {}, sayMessage(l.what), l.together ? ` + ${say(l.together)}` : ""), el("td", {}, say(kinds[l.kind])))),
            el("tr", {class: "sum"}, el("td", {}, `= ${points(mode.points)}`), el("td", {colspan: 2}, say("returned.paper.sum", {sources: `${mode.sources.map((s) => say(s)).join("; ")} (${mode.mark})`}))),
        ),
    );
}

function modeView(mode, open) {
    return el(
        "details",
        {class: "returns-mode", id: `mode-${mode.mode}`, open, data: {test: `mode-${mode.mode}`, points: mode.points}},
        el(
            "summary",
            {},
            el("span", {class: "returns-rank"}, `${mode.rank}.`),
            el("b", {}, say(mode.words)),
            el("span", {class: "returns-points"}, say("page.returns.points", {points: points(mode.points)})),
            el("span", {class: "returns-fault"}, say(faults[mode.fault])),
        ),
        el(
            "div",
            {class: "returns-inside"},
            mode.lines.length > 0 ? sumTable(mode) : el("p", {class: "muted"}, say("page.returns.nothing_counts")),
            el("dl", {class: "returns-do"}, el("dt", {}, say("returned.paper.at_the_bench")), el("dd", {}, say(mode.bench)), el("dt", {}, say("returned.paper.where_used")), el("dd", {}, say(mode.in_use))),
        ),
    );
}

function causes(data) {
    const {ranking} = data;
    const reach = ranking.modes.filter((m) => m.reach);
    const rest = ranking.modes.filter((m) => !m.reach);
    return block(
        "causes",
        say("page.returns.causes"),
        el("p", {data: {test: "conclusion"}}, sayMessage(ranking.conclusion)),
        el("p", {class: "hint"}, say("returned.paper.how_reckoned")),
        reach.map((m, i) => modeView(m, i === 0)),
        el(
            "details",
            {data: {test: "other-causes"}},
            el("summary", {}, say("page.returns.other_causes", {count: rest.length})),
            el("p", {class: "hint"}, say("returned.paper.weights")),
            rest.map((m) => modeView(m, false)),
        ),
    );
}

function happened(data, zone) {
    if (data.happened.length === 0) return null;
    const name = (who) => data.people[who] ?? who;
    return el(
        "details",
        {data: {test: "happened"}},
        el("summary", {}, say("page.returns.happened", {count: data.happened.length})),
        el("ul", {}, data.happened.map((h) => el("li", {}, `${timeText(h.at_ms, zone, language(), true)}: `, sayMessage(h.what), h.who ? ` (${name(h.who)})` : ""))),
    );
}

function groupView(group, office) {
    const title = `${say(groupNames[group.group])}: ${group.key}`;
    const where = group.customers.filter((c) => c.delivered > 0);
    return el(
        "li",
        {class: `returns-group${group.at_risk ? " risk" : ""}`, data: {test: `group-${group.group}`, count: group.assemblies}},
        el("h3", {}, title),
        el("p", {}, group.at_risk ? group.why.map((w) => say(w)).join(" ") : say("page.returns.not_at_risk")),
        el("p", {}, say("page.returns.group_count", {count: group.assemblies, delivered: group.delivered})),
        where.length > 0 ? el("p", {data: {test: "group-customers"}}, say("page.returns.group_where"), " ", where.map((c) => `${c.customer} ${c.delivered}`).join(", ")) : null,
        office && group.assemblies > 0 ? el("a", {class: "returns-link", href: `#/recall?${queryText(group.recall)}`, data: {test: `recall-${group.group}`}}, say("page.returns.group_recall")) : null,
    );
}

function groups(data, office) {
    if (!data.assembly) return block("siblings", say("returned.paper.siblings"), el("p", {}, say("page.returns.no_record_siblings")));
    return block("siblings", say("returned.paper.siblings"), el("ul", {class: "returns-groups plain-list"}, data.groups.map((g) => groupView(g, office))));
}

function unknown(data) {
    const open = data.questions.filter((q) => data.ranking.open.includes(q.code));
    return block(
        "unknown",
        say("returned.paper.unknown"),
        el("ul", {}, data.ranking.unknown.map((m) => el("li", {}, sayMessage(m))), open.map((q) => el("li", {}, `${say("returned.paper.not_answered")} ${say(q.words)}`))),
    );
}

export function resultPart({context, page, go}) {
    const node = el("div", {class: "setup-body", data: {test: "result"}});
    return {
        node,
        draw(data) {
            const bench = context.bench();
            redraw(
                node,
                block(
                    "record",
                    say("returned.paper.record_says"),
                    el("p", {class: "returns-says", data: {test: "record-says", says: data.ranking.record_says}}, sayMessage(data.ranking.record_sentence)),
                    data.contradictions.length > 0 ? contradictionsView(data) : null,
                ),
                causes(data),
                data.assembly || data.measured.length > 0 ? block("readings-part", say("page.returns.readings"), readingsTable(data, bench?.limits?.shown_unit), happened(data, bench?.time_zone)) : null,
                groups(data, page.may("lead", "setter", "auditor")),
                unknown(data),
                el("div", {class: "returns-go"}, el("button", {type: "button", class: "main", data: {test: "to-conclude"}, on: {click: () => go("conclude")}}, say("page.returns.to_conclude"))),
            );
        },
    };
}
