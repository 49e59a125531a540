// The charts of an audit in the page: each canvas with a name for those who do not see it, the same figures as text
// below, the signals with their letter, rule, points and what they usually mean, and every point as a link to its
// assembly. A canvas is drawn when it comes into sight.
//
//   const charts = makeCharts({go})
//   charts.figure(chart, {title, told, meanings, tools, level})     a node; level of its heading, "h3"
//   charts.leave()                                           frees what was drawn
//   streamName(stream)

import {el, newId} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {cellNode, figure, localTime, valueWord} from "./cells.js";
import {drawChart, pointName} from "./draw_chart.js";
import {chartLibrary} from "./library.js";
import {letterOf, signalsOf} from "./rules.js";
import {rangeOf, windowOf} from "./scaling.js";

const POINTS_NAMED = 6;
const POINTS_AT_ONCE = 200;
const DRAWN_AT_ONCE = 600; // more than that is a blot

export function streamName(stream) {
    const [spec, revision, crimper, die] = stream.split("|");
    if (die === undefined) return stream;
    return say("page.audit.stream", {spec, revision, crimper, die});
}

const unitOf = (chart) => (chart.unit ? `\u00a0${chart.unit}` : "");
const holds = (serial) => `#/holds/${encodeURIComponent(serial)}`;
const pointLink = (point) => el("a", {href: holds(point.serial), class: "number"}, pointName(point));

// [label, text] of what the lines on it are.
function lines(chart) {
    const unit = unitOf(chart);
    return [
        [say("page.audit.centre"), chart.centre],
        [say("page.audit.limits"), chart.lower && chart.upper ? `${figure(chart.lower)} \u2026 ${figure(chart.upper)}` : ""],
        [say("page.audit.sigma"), chart.sigma],
        [say("page.audit.band"), chart.band_lower && chart.band_upper ? `${figure(chart.band_lower)} \u2026 ${figure(chart.band_upper)}` : ""],
    ]
        .filter(([, text]) => text)
        .map(([label, text]) => [label, `${figure(text)}${unit}`]);
}

// What the rule's signals on this chart usually mean; to either side it may be something else.
function meansOf(meanings, chart, rule) {
    const of = (meanings ?? []).filter((m) => m.rule === rule && m.stream === chart.stream && chart.id.startsWith(`${m.chart}:`));
    return of.filter((m, i) => of.findIndex((other) => other.cell === m.cell) === i).map((m) => el("p", {data: {test: "meaning"}}, m.node()));
}

function signalList(chart, meanings) {
    const all = signalsOf(chart.points);
    if (all.length === 0) return el("p", {class: "audit-calm", data: {test: "no-signals"}}, say("page.audit.no_signals"));
    return el(
        "ol",
        {class: "audit-signals", data: {test: `signals-${chart.id}`}},
        all.map((s) => {
            const means = meansOf(meanings, chart, s.rule);
            const rest = s.points.length - POINTS_NAMED;
            return el(
                "li",
                {data: {rule: s.rule}},
                el("b", {class: "audit-letter", aria: {hidden: "true"}}, s.letter),
                el(
                    "div",
                    {},
                    el("p", {}, el("b", {}, el("span", {class: "unseen"}, `${s.letter}: `), valueWord(s.rule))),
                    means,
                    el("p", {class: "audit-points"}, s.points.slice(0, POINTS_NAMED).map((p, i, all) => [el("span", {class: "number"}, pointLink(p), i + 1 < all.length ? "," : null), " "]), rest > 0 ? say("page.audit.and_more", {count: rest}) : null),
                ),
            );
        }),
    );
}

// Every point, for those who do not see the canvas and for those who look one up; made when it is opened.
function pointTable(chart, told) {
    const id = newId("points");
    const body = el("tbody", {});
    let shown = 0;
    const more = el("button", {type: "button", class: "office", on: {click: () => grow()}});
    function grow() {
        const next = chart.points.slice(shown, shown + POINTS_AT_ONCE);
        body.append(
            ...next.map((p, i) =>
                el(
                    "tr",
                    {},
                    el("td", {class: "number"}, String(shown + i + 1)),
                    el("th", {scope: "row"}, pointLink(p)),
                    el("td", {class: "number"}, figure(p.value)),
                    el("td", {class: "number"}, p.ms ? localTime(p.ms, told.zone) : ""),
                    el("td", {}, (p.signals ?? []).map((r) => `${letterOf(r)} ${valueWord(r)}`).join(", "), p.left_out ? say("page.audit.left_out") : null),
                    el("td", {class: "number"}, cellNode(String(p.seq), {kind: "seq"}, told)),
                ),
            ),
        );
        shown += next.length;
        more.hidden = shown >= chart.points.length;
        more.textContent = say("page.audit.more_rows", {count: chart.points.length - shown});
    }
    const head = ["page.audit.point_number", "page.audit.point_end", "page.audit.point_value", "page.audit.point_time", "page.audit.point_signals", "page.audit.point_entry"];
    const place = el("div", {class: "audit-table"});
    return el(
        "details",
        {
            class: "audit-fold",
            on: {
                toggle: () => {
                    if (shown > 0) return;
                    grow();
                    place.append(
                        el(
                            "div",
                            {class: "scrolls", tabindex: "0", role: "group", aria: {labelledby: id}},
                            el("table", {data: {test: `points-${chart.id}`}}, el("caption", {id, class: "unseen"}, say("page.audit.points_of", {unit: chart.unit ?? ""})), el("thead", {}, el("tr", {}, head.map((code) => el("th", {scope: "col"}, say(code))))), body),
                        ),
                        more,
                    );
                },
            },
        },
        el("summary", {data: {test: `points-open-${chart.id}`}}, say("page.audit.points", {count: chart.points.length})),
        place,
    );
}

export function makeCharts({go}) {
    const drawn = [];
    let gone = false;
    const seen = new IntersectionObserver(
        (entries) => {
            for (const entry of entries) {
                if (!entry.isIntersecting) continue;
                seen.unobserve(entry.target);
                entry.target.begin();
            }
        },
        {rootMargin: "300px"},
    );

    // A long chart is leafed through, the newest points first; the limits are those of the whole.
    function leaf(chart, show) {
        const count = chart.points.length;
        const said = el("span", {role: "status", data: {test: `leaf-${chart.id}`}});
        let from = count - DRAWN_AT_ONCE;
        const button = (words, step, test) => el("button", {type: "button", class: "office", data: {test: `${test}-${chart.id}`}, on: {click: () => to(from + step)}}, words);
        const earlier = button(say("page.audit.earlier"), -DRAWN_AT_ONCE, "earlier");
        const later = button(say("page.audit.later"), DRAWN_AT_ONCE, "later");
        function to(wanted) {
            from = Math.max(0, Math.min(wanted, count - DRAWN_AT_ONCE));
            earlier.disabled = from === 0;
            later.disabled = from === count - DRAWN_AT_ONCE;
            said.textContent = say("page.audit.leaf", {first: from + 1, last: from + DRAWN_AT_ONCE, count});
            show(windowOf(chart, from, DRAWN_AT_ONCE));
        }
        return {node: el("div", {class: "audit-leaf"}, earlier, later, said), begin: () => to(from)};
    }

    function canvasOf(chart, name, describedby) {
        const canvas = el("canvas", {role: "img", aria: {label: name, describedby}});
        const missing = el("p", {class: "audit-note", hidden: true, data: {test: "no-charts"}}, say("page.audit.no_charts"));
        const box = el("div", {class: `audit-canvas ${chart.kind}`, data: {test: `chart-${chart.id}`, drawn: "no"}}, canvas, missing);
        let now = null;
        const show = (part) => {
            if (now) {
                drawn.splice(drawn.indexOf(now), 1);
                now.destroy();
            }
            now = drawChart(globalThis.Chart, canvas, part, {open: (point) => go(holds(point.serial))});
            drawn.push(now);
        };
        const leaves = chart.kind === "control" && chart.points.length > DRAWN_AT_ONCE ? leaf(chart, show) : null;
        box.begin = async () => {
            const Chart = await chartLibrary();
            if (gone || !canvas.isConnected) return;
            if (!Chart) {
                missing.hidden = false;
                canvas.hidden = true;
                return;
            }
            if (leaves) leaves.begin();
            else show(chart);
            box.dataset.drawn = "yes";
        };
        seen.observe(box);
        return leaves ? [box, leaves.node] : box;
    }

    // What a control chart shows, in one sentence.
    function summary(chart, title) {
        const count = chart.points.filter((p) => p.signals?.length > 0).length;
        return say("page.audit.chart_name", {title, count: chart.points.length, signals: count});
    }

    return {
        figure(chart, {title, told, meanings, tools, level = "h3"}) {
            const id = newId("chart");
            const control = chart.kind === "control";
            const hidden = control && chart.band_lower && chart.points.length > 0 && !rangeOf(chart).bandShown;
            return el(
                "figure",
                {class: `audit-figure ${chart.kind}`, data: {chart: chart.id}},
                el("figcaption", {}, el(level, {}, title)),
                chart.points.length === 0 ? el("p", {class: "muted"}, say("page.audit.nothing")) : canvasOf(chart, control ? summary(chart, title) : title, id),
                el(
                    "div",
                    {id, class: "audit-figure-text"},
                    control ? el("dl", {class: "audit-lines"}, lines(chart).map(([label, text]) => el("div", {}, el("dt", {}, label), el("dd", {class: "number"}, text)))) : null,
                    hidden ? el("p", {class: "hint"}, say("page.audit.band_outside")) : null,
                    (chart.notes ?? []).map((n) => el("p", {class: "audit-note", data: {test: `note-${chart.id}`}}, sayMessage(n))),
                ),
                control && chart.points.length > 0 ? [signalList(chart, meanings), pointTable(chart, told), tools ?? null] : null,
            );
        },
        leave() {
            gone = true;
            seen.disconnect();
            for (const chart of drawn) chart.destroy();
        },
    };
}
