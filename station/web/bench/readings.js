// This end's steps in their order, with what is known of each: what was measured, its judgement by shape and word, what
// is asked now. Read at a glance from left to right; the same place for the same step on every assembly of an order.
//
//   readings(bench)      an ordered list, or null where no row is in work

import {el} from "../kit/dom.js";
import {endName, verdictName} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {lengths, stepName} from "./sentences.js";
import {recordOf, sameStep, stepsOf} from "./steps.js";

const seen = {at_edge: "page.bench.seen_at_edge", gap: "page.bench.seen_gap", hidden: "page.bench.seen_hidden"};

function short(step) {
    if (step.what === "crimp_diameter") return say("page.bench.short_flat", {flat: step.flat});
    if (step.what === "mark_before") return say("page.bench.short_mark_before");
    if (step.what === "mark_after") return say("page.bench.short_mark_after");
    if (step.what === "depth") return say("page.bench.short_depth");
    if (step.what === "lubricant") return say("page.bench.short_lubricant");
    if (step.what === "bore_pin") return say("page.bench.short_bore_pin");
    return say(step.what === "skive_outer" ? "page.bench.short_skive_outer" : "page.bench.short_skive_inner");
}

function said(record, length) {
    if (record.value_nm !== undefined) return length.number(record.value_nm);
    if (record.seen) return say(seen[record.seen]);
    return say(record.yes ? "page.bench.yes" : "page.bench.no");
}

function cell(step, record, current, length) {
    const kind = record?.verdict;
    return el(
        "li",
        {
            class: ["strip-cell", current ? "now" : "", kind ?? "open", step.what === "crimp_diameter" ? "flat" : ""].join(" ").trim(),
            aria: {current: current ? "step" : null},
            data: {test: `step-${step.what}${step.flat ? `-${step.flat}` : ""}`, verdict: kind ?? ""},
        },
        el("span", {class: "strip-name", title: stepName(step.what, step.flat)}, short(step)),
        " ",
        record
            ? el(
                  "span",
                  {class: `strip-said verdict ${kind}`},
                  el("span", {class: "strip-value number"}, said(record, length)),
                  kind === "conforms" ? null : sign(kind),
                  el("span", {class: "unseen"}, ` ${verdictName(kind)}`),
              )
            : el("span", {class: "strip-said"}, current ? el("span", {class: "strip-here", aria: {hidden: "true"}}, "\u25bc") : "\u2013"),
    );
}

export function readings(bench) {
    const {step, row} = bench;
    if (!row || !["setup", "measure", "again", "confirm"].includes(step.ask)) return null;
    const length = lengths(bench);
    if (step.ask === "setup") {
        const known = bench.setup ?? [];
        const cells = row.flats.map((flat) => {
            const r = known.find((k) => k.flat === flat);
            const record = r && {value_nm: r.value_nm, verdict: r.side === "none" ? "conforms" : "uncertain"};
            return cell({what: "crimp_diameter", flat}, record, flat === step.flat, length);
        });
        return el("ol", {class: "strip", aria: {label: say("page.bench.setup_piece")}, data: {test: "strip"}}, cells);
    }
    const known = bench.assembly?.[step.end];
    const cells = stepsOf(row).map((s) => cell(s, recordOf(known, s), sameStep(s, step), length));
    return el("ol", {class: "strip", aria: {label: say("page.bench.readings_of", {end: endName(step.end)})}, data: {test: "strip"}}, cells);
}
