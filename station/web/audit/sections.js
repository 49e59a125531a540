// The order in which an audit is read: what to look at first, then what was made, why things stopped, how the process
// ran, what it is capable of, what differs, where time goes, what was overridden, the gauges, the shifts, the record. A
// sheet that no section asks for stands at the end: nothing is kept back.
//
//   sections(audit, {told, charts, role, reload, context})     [{id, title, node}]

import {el, newId} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {cellNode} from "./cells.js";
import {streamName} from "./charts.js";
import {freezeTools} from "./freeze.js";
import {sheetNode} from "./sheet.js";
import {cellsOf, sheetOf} from "./summary.js";

const titles = () => ({
    open: say("page.audit.part_open"),
    made: say("page.audit.part_made"),
    charts: say("page.audit.part_charts"),
    capability: say("page.audit.part_capability"),
    differs: say("page.audit.part_differs"),
    times: say("page.audit.part_times"),
    overrides: say("page.audit.part_overrides"),
    gauges: say("page.audit.part_gauges"),
    shifts: say("page.audit.part_shifts"),
    journal: say("page.audit.part_journal"),
    other: say("page.audit.part_other"),
});

// Long lists lie folded; what an eye must pass over never does.
const layout = {
    open: ["open_points"],
    made: ["made", "reasons"],
    charts: ["setups", "signals"],
    capability: ["capability", "normality"],
    differs: ["stands_out", "by_end", "by_place", "by_person", "by_die_set", "by_hose_lot", "by_fitting_lot", "by_spec", "by_gauge"],
    times: ["times"],
    overrides: ["overrides", "refusals", "refusals_all"],
    gauges: ["gauges", "devices", "too_alike"],
    shifts: ["shifts", "late"],
    journal: ["journal"],
};
const folded = ["setups", "signals", "normality", "by_end", "by_place", "by_person", "by_die_set", "by_hose_lot", "by_fitting_lot", "by_spec", "by_gauge", "refusals_all", "devices"];

// The points that a lead must look at first, each with what it leads to.
function openPoints(sheet, told) {
    if (!sheet) return el("p", {class: "audit-calm"}, say("page.audit.open_unknown"));
    if (sheet.rows.length === 0) return el("p", {class: "audit-calm", data: {test: "open-none"}}, say("page.audit.nothing_open_long"));
    const rank = sheet.columns.findIndex((c) => c.id === "rank");
    const what = sheet.columns.findIndex((c) => c.kind === "message");
    const rest = sheet.columns.map((c, i) => [c, i]).filter(([, i]) => i !== rank && i !== what);
    return el(
        "ol",
        {class: "audit-open", data: {test: "open-points"}},
        sheet.rows.map((row) =>
            el(
                "li",
                {data: {test: "open-point"}},
                el("p", {class: "audit-open-what"}, cellNode(row[what] ?? "", sheet.columns[what], told)),
                el("p", {class: "audit-open-leads"}, rest.filter(([, i]) => row[i]).map(([c, i]) => el("span", {class: `audit-open-${c.kind}`}, c.kind === "seq" ? el("a", {href: `#/audit/entry/${row[i]}`}, say("page.audit.entry", {seq: row[i]})) : cellNode(row[i], c, told)))),
            ),
        ),
    );
}

// What a rule's signals usually mean, as the sheet of signals says it.
function meaningsOf(audit, told) {
    const sheet = sheetOf(audit, "signals");
    if (!sheet) return [];
    const meaning = sheet.columns.findIndex((c) => c.id === "meaning");
    if (meaning < 0) return [];
    return sheet.rows.map((row) => {
        const cells = cellsOf(sheet, row);
        return {stream: cells.stream, rule: cells.rule, chart: cells.chart, cell: row[meaning], node: () => cellNode(row[meaning], sheet.columns[meaning], told)};
    });
}

function streams(audit, {told, charts, role, reload, context}) {
    const control = audit.charts.filter((c) => c.kind === "control");
    const meanings = meaningsOf(audit, told);
    const names = [...new Set(control.map((c) => c.stream))];
    if (names.length === 0) return [el("p", {class: "muted"}, say("page.audit.no_charts_here"))];
    const one = (chart, title) => charts.figure(chart, {title, told, meanings, level: "h4", tools: freezeTools(chart, {role, reload, context})});
    return [
        el("p", {class: "audit-note"}, say("page.audit.chart_signs")),
        names.map((stream) => {
            const level = control.find((c) => c.stream === stream && c.id.startsWith("means:"));
            const spread = control.find((c) => c.stream === stream && c.id.startsWith("spreads:"));
            return el(
                "div",
                {class: "audit-stream", data: {stream}},
                el("h3", {}, streamName(stream)),
                el("div", {class: "audit-pair"}, level ? one(level, say("page.audit.level_chart")) : null, spread ? one(spread, say("page.audit.spread_chart")) : null),
            );
        }),
    ];
}

export function sections(audit, how) {
    const {told, charts} = how;
    const used = new Set(Object.values(layout).flat());
    const all = {...layout, other: audit.sheets.map((s) => s.id).filter((id) => !used.has(id))};
    const words = titles();
    const out = [];
    for (const [id, sheets] of Object.entries(all)) {
        const there = sheets.map((name) => sheetOf(audit, name)).filter(Boolean);
        const nodes = [];
        if (id === "open") nodes.push(openPoints(there[0], told));
        else {
            if (id === "charts") nodes.push(streams(audit, how));
            for (const sheet of there) nodes.push(sheetNode(sheet, told, {folded: folded.includes(sheet.id)}));
        }
        if (id === "made") {
            const pareto = audit.charts.find((c) => c.kind === "pareto");
            if (pareto?.points.length > 0) nodes.splice(1, 0, charts.figure(pareto, {title: say("page.audit.pareto"), told}));
        }
        if (id === "capability")
            for (const chart of audit.charts.filter((c) => c.kind === "probability")) nodes.push(charts.figure(chart, {title: say("page.audit.probability", {stream: streamName(chart.stream)}), told}));
        if (id !== "open" && id !== "charts" && there.length === 0) continue;
        const head = newId("part");
        out.push({id, title: words[id], node: el("section", {class: `audit-part audit-part-${id}`, aria: {labelledby: head}, data: {test: `part-${id}`}}, el("h2", {id: head, tabindex: "-1"}, words[id]), nodes)});
    }
    return out;
}
