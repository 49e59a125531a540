// Limits of a control chart, frozen by a lead from a period that they choose: from which point to which, without the
// points of a known cause, and why. Everything by keyboard; nothing is reckoned here, the station does it.
//
//   freezeTools(chart, {role, reload, context})     a node, or null for who may not

import {post} from "../kit/api.js";
import {ask, refusalBox} from "../kit/dialog.js";
import {el, newId, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {figure} from "./cells.js";
import {pointName} from "./draw_chart.js";
import {letterOf} from "./rules.js";

const PATIENCE_MS = 120000; // limits from a year of ends

const CHOSEN_FROM = 1500; // more than that is no list to choose from
const LISTED = 300;

const kindOf = (chart) => (chart.id.startsWith("spreads:") ? "spreads" : "means");

function pointText(point, i, chart) {
    const letters = (point.signals ?? []).map(letterOf).join("");
    return `${i + 1} \u00b7 ${pointName(point)} \u00b7 ${figure(point.value)}\u00a0${chart.unit ?? ""}${letters ? ` \u00b7 ${letters}` : ""}`;
}

// One of the points: from a list of them, or where they are too many for a list by its number.
function picker(chart, id, chosen, test, changed) {
    if (chart.points.length <= CHOSEN_FROM) {
        const select = el("select", {id, data: {test}, on: {change: changed}}, chart.points.map((p, i) => el("option", {value: i, selected: i === chosen}, pointText(p, i, chart))));
        return {nodes: [select], at: () => Number(select.value)};
    }
    const hint = el("p", {class: "hint"});
    const input = el("input", {id, type: "text", inputmode: "numeric", autocomplete: "off", value: String(chosen + 1), data: {test}, on: {change: () => (tell(), changed())}});
    const at = () => Math.min(Math.max(1, Math.trunc(Number(input.value)) || 1), chart.points.length) - 1;
    const tell = () => (hint.textContent = pointText(chart.points[at()], at(), chart));
    tell();
    return {nodes: [input, hint], at};
}

function freezeForm(chart, {done}) {
    const ids = {from: newId("from"), to: newId("to"), reason: newId("reason"), left: newId("left")};
    const from = picker(chart, ids.from, 0, "freeze-from", redo);
    const to = picker(chart, ids.to, chart.points.length - 1, "freeze-to", redo);
    const reason = el("textarea", {id: ids.reason, rows: 2, maxlength: 1000, data: {test: "freeze-reason"}});
    const left = new Set();
    const list = el("div", {class: "audit-left"});
    const count = el("p", {role: "status", data: {test: "freeze-count"}});
    const go = el("button", {type: "submit", class: "office main", data: {test: "freeze-go"}}, say("page.audit.freeze"));
    const refusal = refusalBox(go);
    const within = () => chart.points.slice(from.at(), to.at() + 1);

    function tell() {
        const points = within();
        count.textContent = say("page.audit.freeze_count", {count: points.filter((p) => !left.has(p.seq)).length, left: points.filter((p) => left.has(p.seq)).length});
    }
    function redo() {
        const first = from.at();
        const points = within().map((p, i) => [p, i]);
        const listed = points.length > LISTED ? points.filter(([p]) => p.signals?.length > 0 || left.has(p.seq)) : points;
        redraw(
            list,
            listed.length < points.length ? el("p", {class: "hint"}, say("page.audit.freeze_signals_only")) : null,
            listed.slice(0, LISTED).map(([p, i]) => {
                const id = newId("leave");
                return el("div", {class: "field check"}, el("input", {id, type: "checkbox", checked: left.has(p.seq), data: {test: `leave-${p.seq}`}, on: {change: (event) => (event.target.checked ? left.add(p.seq) : left.delete(p.seq), tell())}}), el("label", {for: id}, pointText(p, first + i, chart)));
            }),
        );
        tell();
    }
    redo();
    return el(
        "form",
        {
            class: "audit-freeze",
            novalidate: true,
            data: {test: "freeze-form"},
            on: {
                submit: async (event) => {
                    event.preventDefault();
                    const points = within();
                    if (points.length === 0) return refusal.text(say("page.audit.freeze_order"));
                    if (reason.value.trim() === "") {
                        reason.focus();
                        return refusal.text(say("page.audit.freeze_reason_first"));
                    }
                    refusal.clear();
                    go.disabled = true;
                    const inside = new Set(points.map((p) => p.seq));
                    const answer = await post(
                        "/api/charts/freeze",
                        {
                            stream: chart.stream,
                            chart: kindOf(chart),
                            from_seq: points[0].seq,
                            to_seq: points.at(-1).seq,
                            left_out: [...left].filter((seq) => inside.has(seq)).sort((a, b) => a - b),
                            reason: reason.value.trim(),
                        },
                        PATIENCE_MS,
                    );
                    go.disabled = false;
                    if (answer.ok) done(say("page.audit.frozen_now"));
                    else refusal.show(answer.why);
                },
            },
        },
        el("p", {class: "hint"}, say("page.audit.freeze_hint")),
        el("div", {class: "audit-freeze-range"}, el("div", {class: "field"}, el("label", {for: ids.from}, say("page.audit.freeze_from")), from.nodes), el("div", {class: "field"}, el("label", {for: ids.to}, say("page.audit.freeze_to")), to.nodes)),
        el("fieldset", {}, el("legend", {}, say("page.audit.freeze_left")), el("div", {class: "audit-left-scroll", tabindex: "0", role: "group", aria: {label: say("page.audit.freeze_left")}}, list)),
        count,
        el("div", {class: "field"}, el("label", {for: ids.reason}, say("page.audit.freeze_reason")), reason),
        refusal.node,
        el("div", {class: "buttons"}, go),
    );
}

export function freezeTools(chart, {role, reload, context}) {
    if (role !== "lead" || chart.points.length === 0) return null;
    const done = async (words) => {
        context.speak(words);
        await context.refresh();
        reload();
    };
    async function release() {
        const answer = await ask({
            title: say("page.audit.release_title"),
            body: say("page.audit.release_body"),
            fields: [{name: "reason", label: say("page.audit.freeze_reason"), type: "area", required: true}],
            yes: say("page.audit.release"),
            use: ({reason}) => post("/api/charts/release", {stream: chart.stream, chart: kindOf(chart), reason}),
        });
        if (answer) done(say("page.audit.released_now"));
    }
    // Made when it is opened: a year's chart has many points to choose from.
    const place = el("div", {});
    return el(
        "div",
        {class: "audit-tools"},
        chart.frozen ? el("button", {type: "button", class: "office", data: {test: `release-${chart.id}`}, on: {click: release}}, say("page.audit.release_open")) : null,
        el(
            "details",
            {class: "audit-fold", on: {toggle: () => place.childElementCount === 0 && place.append(freezeForm(chart, {done}))}},
            el("summary", {data: {test: `freeze-${chart.id}`}}, say(chart.frozen ? "page.audit.freeze_anew" : "page.audit.freeze_open")),
            place,
        ),
    );
}
