// What an assembly's verdict stands on: every reading with the bytes it came in, the gauge and that gauge's proof, the
// band and the guard; and what was confirmed by sight.

import {el} from "../kit/dom.js";
import {band, shown, shownGuard, shownWithUnit} from "../kit/lengths.js";
import {endName} from "../kit/names.js";
import {verdict} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {hexText, rawParts} from "./raw.js";
import {errorText, nameOf, placeText, stamp} from "./texts.js";

const seenWords = {at_edge: "page.holds.seen_at_edge", gap: "page.holds.seen_gap", hidden: "page.holds.seen_hidden"};

function proofText(proof, {unit, zone}) {
    if (!proof) return say("page.holds.no_proof");
    return say("page.holds.proved", {time: stamp(proof.time, zone), error: errorText(proof.error_nm, unit)});
}

function reading(r, known, told) {
    const limits = r.lower_nm !== undefined ? band(r.lower_nm, r.upper_nm, told.unit, r.resolution_nm, {value_nm: r.value_nm}) : null;
    const foreign = r.unit && (r.unit === "in") !== (told.unit === "inch");
    return [
        el("th", {scope: "row"}, placeText(r.what, r.flat), r.attempt > 1 ? el("span", {class: "muted holds-sub"}, say("page.holds.attempt", {count: r.attempt})) : null),
        el(
            "td",
            {class: "number"},
            el("b", {}, shown(r.value_nm, told.unit, r.resolution_nm, limits?.beside)),
            foreign ? el("span", {class: "muted holds-sub"}, shownWithUnit(r.value_nm, r.unit, r.resolution_nm)) : null,
        ),
        el(
            "td",
            {class: "number"},
            limits ? limits.text : "\u2013",
            r.guard_nm !== undefined ? el("span", {class: "muted holds-sub"}, say("page.holds.guard", {guard: shownGuard(r.guard_nm, told.unit, r.resolution_nm)})) : null,
        ),
        el("td", {}, r.verdict ? verdict(r.verdict) : null),
        el("td", {}, r.gauge, el("span", {class: "muted holds-sub"}, proofText(known.proofs.get(r.proof_seq), told))),
        el("td", {class: "holds-raw"}, el("code", {class: "holds-raw-text"}, rawParts(r.raw_hex).map((part) => (typeof part === "string" ? part : el("span", {class: "holds-control"}, part.name)))), el("code", {class: "muted"}, hexText(r.raw_hex))),
        el("td", {}, nameOf(known.people, r.who), el("span", {class: "muted holds-sub number"}, stamp(r.time, told.zone))),
    ];
}

function confirmation(c, known, told) {
    const words = c.seen ? say(seenWords[c.seen] ?? c.seen) : say(c.yes ? "page.holds.yes" : "page.holds.no");
    return [
        el("th", {scope: "row"}, placeText(c.what, 0), c.attempt > 1 ? el("span", {class: "muted holds-sub"}, say("page.holds.attempt", {count: c.attempt})) : null),
        el("td", {colspan: 2}, words),
        el("td", {}, verdict(c.verdict)),
        el("td", {colspan: 2, class: "muted"}, say("page.holds.by_eye")),
        el("td", {}, nameOf(known.people, c.who), el("span", {class: "muted holds-sub number"}, stamp(c.time, told.zone))),
    ];
}

// A voided one stays readable (R3): struck through, with who voided it and why.
function voided(item, known, columns) {
    const by = known.entries.get(item.voided_seq)?.who;
    return el(
        "tr",
        {class: "holds-void"},
        el("td", {colspan: columns}, say("page.holds.voided", {name: nameOf(known.people, by), reason: item.void_reason ?? ""})),
    );
}

const columns = ["page.holds.col_place", "page.holds.col_value", "page.holds.col_band", "page.holds.col_verdict", "page.holds.col_gauge", "page.holds.col_raw", "page.holds.col_who"];

function endTable(end, items, known, told) {
    return el(
        "div",
        {class: "holds-readings"},
        el("h3", {id: `holds-end-${end}`}, endName(end)),
        el(
            "div",
            {class: "scrolls", tabindex: "0", role: "region", aria: {labelledby: `holds-end-${end}`}},
            el(
                "table",
                {},
                el("thead", {}, el("tr", {}, columns.map((code) => el("th", {scope: "col"}, say(code))))),
                el(
                    "tbody",
                    {},
                    items.map((item) => [
                        el(
                            "tr",
                            {class: item.voided_seq !== undefined ? "holds-voided" : item.verdict && item.verdict !== "conforms" ? "holds-wrong" : null, data: {test: `reading-${item.seq}`}},
                            item.raw_hex !== undefined ? reading(item, known, told) : confirmation(item, known, told),
                        ),
                        item.voided_seq !== undefined ? voided(item, known, columns.length) : null,
                    ]),
                ),
            ),
        ),
    );
}

export function evidence(assembly, told) {
    const known = {
        people: assembly.people,
        proofs: new Map(assembly.proofs.map((p) => [p.seq, p])),
        entries: new Map(assembly.entries.map((e) => [e.seq, e])),
    };
    const all = [...assembly.readings, ...assembly.confirmations].sort((a, b) => a.seq - b.seq);
    const ends = ["a", "b"].map((end) => [end, all.filter((item) => item.end === end)]).filter(([, items]) => items.length > 0);
    return el(
        "section",
        {class: "holds-evidence", data: {test: "evidence"}},
        el("h2", {}, say("page.holds.evidence")),
        ends.length > 0 ? ends.map(([end, items]) => endTable(end, items, known, told)) : el("p", {class: "muted"}, say("page.holds.no_readings")),
    );
}
