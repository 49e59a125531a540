// What an order's application came to: each finding with its rule, its source and how sure that is, what stops first;
// what was not checked is named, and the caution stands beside it (R13). The station found it; nothing is decided here.
//
//   findingsView(findings, {brief})    a block; findings as the station tells them; brief: what does not stop is folded
//   applicationOf(order, context, {answered, brief})   the same with the button for a lead's answer, loaded from the station

import {get, post} from "./api.js";
import {askPerson, ask} from "./dialog.js";
import {el, redraw} from "./dom.js";
import {sign} from "./signs.js";
import {say, sayMessage} from "./words.js";

const groups = [
    ["stop", "page.application.stop", "fails"],
    ["warn", "page.application.warn", "uncertain"],
    ["note", "page.application.note", "off"],
    ["holds", "page.application.holds", "conforms"],
];
const marks = {
    spec_row: "page.application.mark_row",
    several_pages: "page.application.mark_pages",
    one_page: "page.application.mark_page",
    from_memory: "page.application.mark_memory",
    common_practice: "page.application.mark_practice",
};
const sources = {"common practice": "page.application.mark_practice", "maker's sheet": "page.application.maker_sheet", "shop's own limit": "page.application.shop_limit"};

function sourceOf(f) {
    if (!f.source) return null;
    const source = sources[f.source] ? say(sources[f.source]) : f.source;
    const mark = say(marks[f.confidence] ?? marks.common_practice);
    return el("span", {class: "application-source"}, source === mark ? say("page.application.source", {source}) : say("page.application.source_mark", {source, mark}));
}

export function findingsView(findings, {brief = false} = {}) {
    const group = ([severity, title, shape]) => {
        const list = findings.filter((f) => f.severity === severity);
        if (list.length === 0) return null;
        return el(
            "section",
            {class: `application-${severity}`, data: {test: `application-${severity}`}},
            el("p", {class: "application-head"}, sign(shape), " ", say(title), " ", el("span", {class: "muted"}, `(${list.length})`)),
            el("ul", {}, list.map((f) => el("li", {data: {code: f.code}}, el("span", {}, sayMessage(f)), " ", sourceOf(f)))),
        );
    };
    const [stop, ...rest] = groups;
    return el(
        "div",
        {class: "application", data: {test: "application"}},
        group(stop),
        brief ? el("details", {}, el("summary", {}, say("page.application.all")), rest.map(group)) : rest.map(group),
        el("p", {class: "application-caution", data: {test: "application-caution"}}, say("page.application.caution")),
    );
}

export function applicationOf(order, context, {answered, brief} = {}) {
    const box = el("div", {data: {test: `application-of-${order}`}});
    async function load() {
        const answer = await get(`/api/orders/application?order=${encodeURIComponent(order)}`);
        if (!answer.ok) {
            redraw(box, el("p", {class: "refusal"}, sayMessage(answer.why)));
            return;
        }
        const {findings, open_stops: open, checked} = answer.body;
        redraw(
            box,
            checked ? findingsView(findings, {brief}) : el("p", {class: "muted"}, say("page.application.never_checked")),
            checked && open.length > 0 ? el("button", {class: "main", data: {test: "override"}, on: {click: () => override(open.length)}}, say("page.application.override")) : null,
            checked && open.length === 0 && answer.body.answered.length > 0 ? el("p", {class: "application-answered", data: {test: "answered"}}, say("page.application.was_answered")) : null,
        );
    }
    async function override(count) {
        const values = await ask({
            title: say("page.application.override_title", {order}),
            body: say("page.application.override_means", {count}),
            fields: [{name: "reason", label: say("page.setup.reason"), type: "area", required: true}],
            yes: say("page.application.override_go"),
            danger: true,
            use:
                context.session()?.role === "lead"
                    ? ({reason}) => post("/api/orders/override", {order, reason})
                    : undefined,
        });
        if (!values) return;
        const answer =
            values.answer ??
            (await askPerson({
                title: say("page.application.override_title", {order}),
                body: values.reason,
                yes: say("page.application.override_go"),
                use: (by) => post("/api/orders/override", {order, reason: values.reason, by}),
            }));
        if (!answer?.ok) return;
        await load();
        await answered?.();
    }
    load();
    return box;
}
