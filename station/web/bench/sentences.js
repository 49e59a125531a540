// The one imperative sentence for what is asked now, a line beneath it, and the short names of steps.
//
//   told(bench)          {sentence, hint}
//   stepName(what, flat) "crimp ⌀, flat 2"
//   lengths(bench, gauge)   {one(nm, options), number(nm), band(lower, upper, value), besides(value, limit, guard),
//                           guard(nm, decimals)} written as this bench writes lengths

import {band, besides, shown, shownGuard, shownWithUnit} from "../kit/lengths.js";
import {whatName} from "../kit/names.js";
import {say} from "../kit/words.js";
import {isMark, resolutionOf, setupAdvice, shownUnit} from "./steps.js";

export function lengths(bench, gauge) {
    const unit = shownUnit(bench);
    const resolution = resolutionOf(bench, gauge);
    return {
        unit: unit === "inch" ? "in" : "mm",
        one: (nm, options) => shownWithUnit(nm, unit, resolution, options),
        number: (nm, options) => shown(nm, unit, resolution, options),
        band: (lower, upper, value_nm) => band(lower, upper, unit, resolution, {value_nm}),
        besides: (value_nm, limit_nm, guard_nm = 0) => besides({value_nm, limit_nm, guard_nm}, unit, resolution),
        guard: (nm, decimals) => shownGuard(nm, unit, resolution, decimals),
    };
}

export function stepName(what, flat) {
    if (what === "crimp_diameter" && flat) return say("page.bench.step_flat", {flat});
    return whatName(what);
}

const measures = {
    skive_outer: "page.bench.do_skive_outer",
    skive_inner: "page.bench.do_skive_inner",
    depth: "page.bench.do_depth",
    mark_before: "page.bench.do_mark_before_measured",
    mark_after: "page.bench.do_mark_after_measured",
};

function crimpSentence(bench) {
    const {step, row} = bench;
    const first = !(bench.assembly?.[step.end]?.readings ?? []).some((r) => r.what === "crimp_diameter");
    return {
        sentence: say(first ? "page.bench.do_crimp_first" : "page.bench.do_crimp", {flat: step.flat}),
        hint: say(first ? "page.bench.hint_crimp_first" : "page.bench.hint_crimp", {die: row.die_set, setting: row.setting}),
    };
}

// Advice stands for a set-up piece that did not sit well, until the next one's first reading.
export function adviceOf(bench) {
    const judged = bench.last_setup;
    if (!judged || judged.passed || (bench.setup_key && judged.key !== bench.setup_key)) return null;
    const length = lengths(bench);
    const {off_nm, over, under} = setupAdvice(judged, resolutionOf(bench));
    const off = length.one(off_nm);
    if (over) return {sentence: say("page.bench.setup_close", {off}), hint: say("page.bench.setup_over", {off})};
    if (under) return {sentence: say("page.bench.setup_open", {off}), hint: say("page.bench.setup_under", {off})};
    return {sentence: say("page.bench.setup_uneven"), hint: say("page.bench.setup_uneven_do")};
}

function setupSentence(bench) {
    const begun = (bench.setup ?? []).length > 0;
    const advice = begun ? null : adviceOf(bench);
    if (advice) return advice;
    return {
        sentence: say(begun ? "page.bench.do_setup" : "page.bench.do_setup_first", {flat: bench.step.flat}),
        hint: say("page.bench.hint_setup", {setting: bench.row.setting}),
    };
}

function returnedTold(bench) {
    const {step} = bench;
    const end = (step.end ?? "a").toUpperCase();
    if (step.what === "mark_after") return {sentence: say("page.bench.returned_mark", {end}), hint: say("page.bench.returned_mark_do")};
    return {
        sentence: say("page.bench.returned_crimp", {end, flat: step.flat}),
        hint: say(bench.row ? "page.bench.returned_crimp_do" : "page.bench.returned_unknown_do"),
    };
}

export function told(bench) {
    const {step, row} = bench;
    switch (step.ask) {
        case "setup":
            return setupSentence(bench);
        case "measure":
            if (step.what === "crimp_diameter") return crimpSentence(bench);
            return {sentence: say(measures[step.what] ?? "page.bench.do_measure", {what: whatName(step.what)}), hint: measureHint(bench)};
        case "again":
            return {sentence: say("page.bench.do_again", {what: stepName(step.what, step.flat)}), hint: say("page.bench.hint_again")};
        case "confirm":
            if (step.what === "lubricant") return {sentence: say("page.bench.do_lubricant"), hint: row.lubricant};
            if (step.what === "mark_before") return {sentence: say("page.bench.do_mark_before"), hint: say("page.bench.hint_mark")};
            if (step.what === "mark_after") return {sentence: say("page.bench.do_mark_after"), hint: say("page.bench.hint_mark")};
            return {sentence: say("page.bench.do_bore_pin", {size: lengths(bench).one(row.bore_pin_nm ?? 0)}), hint: say("page.bench.hint_bore_pin")};
        case "sample":
            return {sentence: say("page.bench.sample_measure", {serial: step.serial, end: step.end.toUpperCase(), flat: step.flat}), hint: say("page.bench.sample_do")};
        case "returned":
            return returnedTold(bench);
        case "proof_reading":
            return {sentence: say("page.bench.do_proof_reading", {reference: step.reference, gauge: step.gauge}), hint: say("page.bench.hint_as_found")};
        default:
            return {sentence: "", hint: ""};
    }
}

function measureHint(bench) {
    const {step, order} = bench;
    if (step.what === "depth" && step.begins && order?.cut_length_nm)
        return say("page.bench.hint_cut", {length: lengths(bench).one(order.cut_length_nm)});
    if (step.what === "depth") return say("page.bench.hint_depth");
    if (isMark(step.what)) return say("page.bench.hint_mark_measured");
    return say("page.bench.hint_measure");
}
