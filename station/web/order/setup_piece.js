// The set-up piece: its readings so far, and after the last of them which way to move the crimper's setting.

import {el, svg} from "../kit/dom.js";
import {band, shown, shownWithUnit} from "../kit/lengths.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";

function around(flats, done, next, segments) {
    const place = (flat, r) => {
        const angle = ((flat - 1) / segments) * 2 * Math.PI - Math.PI / 2;
        return [60 + r * Math.cos(angle), 60 + r * Math.sin(angle)];
    };
    return svg(
        "svg",
        {class: "order-flats", viewBox: "0 0 120 120", "aria-hidden": "true"},
        svg("circle", {cx: 60, cy: 60, r: 36, fill: "none", stroke: "#4a555c", "stroke-width": 2}),
        svg("circle", {cx: 60, cy: 60, r: 14, fill: "none", stroke: "#9aa5ab", "stroke-width": 2}),
        // Across which the caliper lies now: from the flat to the one opposite.
        next > 0 ? svg("path", {d: `M${place(next, 44).join(" ")}L${place(next, -44).join(" ")}`, stroke: "#1b2226", "stroke-width": 1.5, "stroke-dasharray": "5 4"}) : null,
        flats.map((flat) => {
            const [x, y] = place(flat, 36);
            const [tx, ty] = place(flat, 51);
            const now = flat === next;
            return [
                svg("circle", {cx: x, cy: y, r: now ? 7 : 5, fill: done.includes(flat) ? "#1b2226" : now ? "#ffffff" : "#eceeef", stroke: "#1b2226", "stroke-width": now ? 3.5 : 1.5}),
                svg("text", {x: tx, y: ty + 4.5, "text-anchor": "middle", "font-size": 13, "font-weight": now ? 700 : 400, fill: "#1b2226"}, String(flat)),
            ];
        }),
    );
}

// The last set-up piece, when it was made for what is in work now.
export function lastPiece(bench) {
    const last = bench.last_setup;
    return last && (!bench.setup_key || last.key === bench.setup_key) ? last : null;
}

// Which way, and by how much. Positive correction: the mean lies under the middle, the crimper must open.
export function adviceOf(last, unit, resolution) {
    if (last.passed) return {kind: "good", mean: shownWithUnit(last.mean_nm, unit, resolution)};
    const values = last.readings.map((r) => r.value_nm);
    // Wider apart than the band that a set-up piece must lie in: no setting brings them all inside.
    const apart = Math.max(...values) - Math.min(...values) > last.upper_nm - last.lower_nm;
    const by = shownWithUnit(Math.abs(last.correction_nm), unit, resolution);
    const kind = apart || last.correction_nm === 0 ? "scatter" : last.correction_nm < 0 ? "close" : "open";
    return {kind, by};
}

const sentences = {
    good: ["page.order.piece_good", "page.order.piece_good_do"],
    close: ["page.order.piece_over", "page.order.piece_close_do"],
    open: ["page.order.piece_under", "page.order.piece_open_do"],
    scatter: ["page.order.piece_scatter", "page.order.piece_scatter_do"],
};

export function advice(bench, unit, resolution) {
    const last = lastPiece(bench);
    if (!last) return null;
    const told = adviceOf(last, unit, resolution);
    const [what, todo] = sentences[told.kind];
    const limits = band(last.lower_nm, last.upper_nm, unit, resolution);
    return el(
        "section",
        {class: last.passed ? "order-advice good" : "order-advice move", data: {test: "advice", kind: told.kind}},
        el("h2", {class: "order-advice-what"}, last.passed ? sign("conforms") : sign("uncertain"), el("span", {}, say(what, told))),
        el("p", {class: "order-advice-do"}, say(todo, told)),
        el(
            "p",
            {class: "muted"},
            say("page.order.piece_readings", {
                readings: last.readings.map((r) => `${r.flat}: ${shown(r.value_nm, unit, resolution)}`).join(" \u00b7 "),
                band: limits.text,
            }),
        ),
    );
}

export function piece(bench, unit, resolution) {
    const row = bench.row;
    const readings = bench.setup ?? [];
    const next = bench.step.flat;
    const limits = band(bench.step.lower_nm, bench.step.upper_nm, unit, resolution);
    return el(
        "section",
        {class: "order-piece", data: {test: "piece"}},
        around(row.flats, readings.map((r) => r.flat), next, row.segments ?? row.die_segments ?? 8),
        el(
            "div",
            {class: "stack"},
            el("p", {class: "order-piece-band"}, say("page.order.piece_band"), " ", el("b", {class: "number"}, limits.text)),
            el(
                "ol",
                {class: "order-piece-readings"},
                row.flats.map((flat) => {
                    const reading = readings.find((r) => r.flat === flat);
                    return el(
                        "li",
                        {class: flat === next ? "now" : null, data: {test: `flat-${flat}`}},
                        el("span", {}, say("page.order.flat", {flat})),
                        el("b", {class: "number"}, reading ? shown(reading.value_nm, unit, resolution) : flat === next ? "\u2026" : "\u2013"),
                    );
                }),
            ),
        ),
    );
}
