// Measuring the part at the bench: beginning and leaving it here, the readings beside those of the record and the
// limits; what was measured again or by a gauge that failed afterwards stands there too, and says that it does not
// count.

import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {listTable} from "../setup/parts.js";

const places = {
    skive_outer: "returned.place.skive_outer",
    skive_inner: "returned.place.skive_inner",
    depth: "returned.place.depth",
    lubricant: "returned.place.lubricant",
    mark_before: "returned.place.mark_before",
    crimp_diameter: "returned.place.crimp_diameter",
    spread: "returned.place.spread",
    mark_after: "returned.place.mark_after",
    bore_pin: "returned.place.bore_pin",
};
export const placeName = (r) => say(places[r.what] ?? r.what, {end: r.end.toUpperCase(), flat: r.flat ?? ""});

const same = (a, b) => a.end === b.end && a.what === b.what && (a.flat ?? 0) === (b.flat ?? 0);

export function readingsTable(data, unit) {
    const now = data.measured.filter((m) => m.counts !== false);
    const rows = [...data.readings, ...now.filter((m) => !data.readings.some((r) => same(r, m)))];
    const length = (nm, r) => (nm === undefined ? "" : shownWithUnit(nm, unit, r.resolution_nm ?? 0));
    const limits = (r) => (r.upper_nm === undefined ? "" : r.lower_nm === undefined ? `\u2264 ${length(r.upper_nm, r)}` : `${length(r.lower_nm, r)} \u2013 ${length(r.upper_nm, r)}`);
    const then = (r) => {
        if (now.includes(r)) return "";
        if (r.value_nm !== undefined) return length(r.value_nm, r);
        if (r.seen) return say({at_edge: "returned.seen.mark_at_edge", gap: "returned.seen.mark_gap", hidden: "returned.seen.mark_hidden"}[r.seen]);
        return r.yes === undefined ? "" : say(r.yes ? "returned.paper.yes" : "returned.paper.no");
    };
    const today = (r) => {
        const m = now.find((x) => same(x, r));
        return m ? [length(m.value_nm, m), m.doubted ? ` (${say("returned.paper.doubted")})` : ""] : "";
    };
    return listTable({
        caption: say("page.returns.readings"),
        test: "readings",
        rows,
        empty: say("page.returns.no_readings"),
        rowTest: (r) => `reading-${r.end}-${r.what}-${r.flat ?? 0}`,
        columns: [
            {head: say("page.returns.place"), rowhead: true, cell: (r) => placeName(r)},
            {head: say("page.returns.then"), cell: (r) => [then(r), r.conceded ? ` (${say("returned.paper.conceded")})` : ""]},
            {head: say("page.returns.limits"), cell: limits},
            {head: say("page.returns.margin"), number: true, cell: (r) => (now.includes(r) || r.margin_nm === undefined ? "" : length(r.margin_nm, r))},
            {head: say("page.returns.siblings_mean"), number: true, cell: (r) => length(r.siblings_nm, r)},
            {head: say("page.returns.now"), cell: today},
        ],
    });
}

function setAside(data, unit) {
    const old = data.measured.filter((m) => m.counts === false);
    if (old.length === 0) return null;
    return el(
        "details",
        {data: {test: "set-aside"}},
        el("summary", {}, say("page.returns.set_aside", {count: old.length})),
        el("ul", {}, old.map((m) => el("li", {class: "returns-out"}, `${placeName(m)}: ${shownWithUnit(m.value_nm, unit, m.resolution_nm ?? 0)}`))),
    );
}

export function measurePart({number, context, go}) {
    const node = el("section", {class: "panel setup-section", data: {test: "measure"}});
    let data = null;

    async function act(path, body, then) {
        const answer = await context.act(path, body);
        if (answer.ok) then?.();
    }

    function paint() {
        if (!data) return;
        const bench = context.bench();
        const running = bench?.returned === number;
        const atBench = context.mine();
        redraw(
            node,
            el("h2", {}, say("page.returns.step_measure")),
            el("p", {}, say("page.returns.measure_why")),
            data.ranking.cautions[0]?.code.startsWith("returned.caution.evidence") ? el("p", {class: "returns-notice", data: {test: "keep-as-is"}}, say("page.returns.measure_evidence")) : null,
            data.about.concluded
                ? el("p", {}, say("page.returns.is_concluded"))
                : el(
                      "div",
                      {class: "returns-go"},
                      running
                          ? [
                                el("a", {class: "button", href: "#/bench", data: {test: "to-bench"}}, say("page.returns.measure_go_on")),
                                atBench ? el("button", {type: "button", data: {test: "leave"}, on: {click: () => act("/api/returns/leave", {})}}, say("page.returns.measure_leave")) : null,
                            ]
                          : atBench
                            ? el("button", {type: "button", class: "main", data: {test: "begin"}, on: {click: () => act("/api/returns/begin", {return: number}, () => context.go("#/bench"))}}, say("page.returns.measure_begin"))
                            : el("p", {class: "setup-note"}, say("page.returns.measure_at_bench")),
                      el("button", {type: "button", data: {test: "to-result"}, on: {click: () => go("result")}}, say("page.returns.to_result")),
                  ),
            readingsTable(data, bench?.limits?.shown_unit),
            setAside(data, bench?.limits?.shown_unit),
        );
    }

    return {
        node,
        draw(fresh) {
            data = fresh;
            paint();
        },
        update: paint,
    };
}
