// What is expected now: name, number, band; and the same with the last reading as the scale wants it.
//
//   expected(bench)            {node, drawn} or null; drawn is the number as the drawing writes it
//   scaleOf(bench, {stop})     what bench/scale.js draws, or null

import {el} from "../kit/dom.js";
import {verdictName} from "../kit/names.js";
import {say} from "../kit/words.js";
import {returnedNumbers} from "./ask_returned.js";
import {progress} from "./ask_study.js";
import {lengths, stepName} from "./sentences.js";
import {isMark, sameStep, stillCounts, target} from "./steps.js";

export function expected(bench) {
    const {step, row} = bench;
    if (step.ask === "returned") return {node: returnedNumbers(bench), drawn: ""};
    if (step.ask === "sample") return {node: progress(step.measured, step.places), drawn: ""};
    const length = lengths(bench, step.gauge);
    if (step.ask === "confirm" && step.what === "bore_pin") {
        const size = length.one(row.bore_pin_nm);
        return {
            node: el("section", {class: "expected", aria: {label: say("page.bench.expected")}, data: {test: "expected"}}, el("p", {class: "expected-name"}, say("page.bench.pin_size")), el("p", {class: "figure number"}, length.number(row.bore_pin_nm), el("span", {class: "unit"}, ` ${length.unit}`))),
            drawn: `\u2300 ${size}`,
        };
    }
    if (step.ask === "confirm") return sighted(bench, length);
    const t = target(bench);
    if (!t) return null;
    const limits = length.band(t.lower_nm, t.upper_nm);
    const name = step.ask === "setup" ? say("page.bench.setup_middle") : t.what === "proof" ? say("page.bench.reference_size") : stepName(t.what, t.flat);
    const figure = t.oneSided ? `\u2264 ${limits.upper}` : length.number(t.nominal_nm);
    return {
        node: el(
            "section",
            {class: "expected", aria: {label: say("page.bench.expected")}, data: {test: "expected"}},
            el("p", {class: "expected-name"}, name),
            el("p", {class: `figure number${figure.length > 7 ? " long" : ""}`, data: {test: "expected-figure"}}, figure, el("span", {class: "unit"}, ` ${length.unit}`)),
            t.oneSided ? null : el("p", {class: `expected-band number${limits.text.length > 19 ? " long" : ""}`, data: {test: "expected-band"}}, limits.text),
        ),
        drawn: t.oneSided ? `\u2264 ${length.one(t.upper_nm)}` : length.one(t.nominal_nm),
    };
}

// What no gauge measures has its expectation too: the film on the stem, the mark at the edge.
function sighted(bench, length) {
    const {step, row} = bench;
    const mark = isMark(step.what);
    return {
        node: el(
            "section",
            {class: "expected", aria: {label: say("page.bench.expected")}, data: {test: "expected"}},
            el("p", {class: "expected-name"}, stepName(step.what)),
            mark
                ? el("p", {class: "figure number"}, `\u2264 ${length.number(row.mark_edge_limit_nm)}`, el("span", {class: "unit"}, ` ${length.unit}`))
                : el("p", {class: "expected-words"}, row.lubricant),
            mark ? el("p", {class: "expected-band"}, say("page.bench.from_edge")) : null,
        ),
        drawn: "",
    };
}

// The limits that something was or will be judged by, and the reading if it was judged by these.
function measured(bench) {
    const t = target(bench);
    const last = bench.last?.kind === "taken" && stillCounts(bench, bench.last) ? bench.last : null;
    const {step} = bench;
    if (t) {
        const kind = {proof_reading: "proof", setup: "setup"}[step.ask] ?? "assembly";
        const same = last && last.purpose === kind && kind !== "proof" && (t.what === last.what || sameStep(t, last)) && (kind === "setup" || (last.serial === bench.assembly?.serial && last.end === step.end));
        const fresh = same && (kind !== "setup" || (bench.setup ?? []).length > 0 || !bench.last_setup?.passed);
        return {...t, value_nm: fresh ? last.value_nm : undefined, verdict: fresh ? last.verdict : undefined, what: t.what};
    }
    // While a person confirms something, the last reading stays to be seen on its own band.
    if (step.ask === "confirm" && last && last.purpose === "assembly" && last.serial === bench.assembly?.serial && last.upper_nm !== undefined)
        return {what: last.what, flat: last.flat, lower_nm: last.lower_nm ?? 0, upper_nm: last.upper_nm, guard_nm: last.guard_nm ?? 0, oneSided: isMark(last.what), value_nm: last.value_nm, verdict: last.verdict};
    return null;
}

function stopped(bench) {
    const f = (bench.stopped.findings ?? []).find((x) => x.value_nm !== undefined && x.verdict === "fails") ?? (bench.stopped.findings ?? []).find((x) => x.value_nm !== undefined);
    if (!f) return null;
    return {what: f.what, flat: f.flat, lower_nm: f.lower_nm ?? 0, upper_nm: f.upper_nm, guard_nm: f.guard_nm ?? 0, oneSided: f.lower_nm === undefined, value_nm: f.value_nm, verdict: f.verdict};
}

export function scaleOf(bench, {stop}) {
    const m = stop ? stopped(bench) : measured(bench);
    if (!m) return null;
    const length = lengths(bench, bench.last?.gauge);
    const limits = length.band(m.lower_nm, m.upper_nm, m.value_nm);
    const known = m.value_nm !== undefined;
    const value = known ? length.one(m.value_nm, limits.beside) : "";
    const others = stop || m.what !== "crimp_diameter" ? [] : othersOf(bench).filter((nm) => nm !== m.value_nm);
    return {
        ...m,
        others,
        text: {lower: limits.lower, upper: limits.upper, middle: length.number(m.oneSided ? m.upper_nm : middleOf(m)), value},
        words: {under: say("page.bench.scale_under"), over: say("page.bench.scale_over"), guard: say("page.bench.scale_guard")},
        name: known ? say("page.bench.scale_read", {what: stepName(m.what === "proof" ? "" : m.what, m.flat), value, band: limits.text, verdict: m.verdict ? verdictName(m.verdict) : ""}) : say("page.bench.scale_waits", {band: limits.text}),
    };
}

const middleOf = (m) => m.nominal_nm ?? Math.round((m.lower_nm + m.upper_nm) / 2);

function othersOf(bench) {
    if (bench.step.ask === "setup") return (bench.setup ?? []).map((r) => r.value_nm);
    return (bench.assembly?.[bench.step.end]?.readings ?? []).filter((r) => r.what === "crimp_diameter").map((r) => r.value_nm);
}
