// The place where the last judgement stands: always the same one. Word, shape, number; good is quiet, wrong and too
// close to call are loud; a refused reading is no judgement and looks like none. What may be old is not shown at all.
//
//   saidPlace(bench, {alive, event})    a node
//   event: what the entries told since (assembly.passed, gauge.proved), newer than the last reading
//   spokenOf(bench, event)              the same in one sentence for those who listen, or ""

import {el} from "../kit/dom.js";
import {endName, verdictName} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {adviceOf, lengths, stepName} from "./sentences.js";
import {gaugeById, stillCounts} from "./steps.js";

// A notice beside the work says it then.
const noTag = (bench, serial) => [...(bench.tags_failed ?? []), ...(bench.tags_in_doubt ?? [])].includes(serial);

// What stands there: {kind, word, value, where, text}; kind is a judgement, "refused", "gone", "none".
export function lastSaid(bench, event) {
    const {last} = bench;
    if (event && event.seq > (last?.seq ?? 0)) {
        if (event.kind === "passed") return {kind: "conforms", word: say("page.bench.passed"), where: event.serial, text: noTag(bench, event.serial) ? "" : say("page.bench.passed_tag")};
        if (event.kind === "proved" && (!event.passed || gaugeById(bench, event.gauge)?.ready)) return proved(bench, event);
        if (event.kind === "voided") return {kind: "none", text: say("page.bench.voided")};
    }
    if (!last) return {kind: "none", text: say("page.bench.nothing_yet")};
    const gauge = gaugeById(bench, last.gauge);
    if (gauge && !gauge.connected) return {kind: "gone", word: say("page.bench.gauge_gone"), where: last.gauge, text: say("page.bench.gauge_gone_do")};
    if (!gauge && last.kind === "taken") return {kind: "gone", word: say("page.bench.gauge_out"), where: last.gauge, text: ""};
    // Back after it was gone, or past its time: until it has proved itself again its last word is not shown as one (R1).
    // A proof that failed is told by its entry; a page that was not there for it says no more than what it knows.
    if (gauge && !gauge.ready && last.kind === "taken") return {kind: "gone", word: say("page.bench.not_proved"), where: last.gauge, text: gauge.why ? sayMessage(gauge.why) : ""};
    // Refused for the clock's sake, and the clock has been accepted since: that stop is over.
    if (last.kind === "refused" && last.why?.code === "bench.clock_in_doubt" && bench.step.ask !== "clock") return {kind: "none", text: say("page.bench.nothing_yet")};
    if (last.kind === "refused") return {kind: "refused", word: say("page.bench.refused"), where: last.gauge, text: sayMessage(last.why)};
    if (!stillCounts(bench, last)) return {kind: "none", text: say("page.bench.voided")};
    const length = lengths(bench, last.gauge);
    const value = length.one(last.value_nm);
    if (last.purpose === "proof") return {kind: "conforms", word: say("page.bench.proof_good"), value, where: last.gauge, text: ""};
    if (last.purpose === "setup") return setUp(bench, last, value);
    const where = `${stepName(last.what, last.flat)} \u00b7 ${endName(last.end)}`;
    const options = besideLimit(last, length);
    return {kind: last.verdict, word: verdictName(last.verdict), value: length.one(last.value_nm, options), where, text: beside(last, length, options), serial: last.serial};
}

const limitOf = (last) => (last.side === "below" ? last.lower_nm : last.upper_nm);

function besideLimit(last, length) {
    const limit = limitOf(last);
    return last.verdict === "conforms" || limit === undefined ? {} : length.besides(last.value_nm, limit, last.verdict === "uncertain" ? last.guard_nm : 0);
}

// How the reading lies to the limit that it is too near to, or beyond: short, in the shop's unit.
function beside(last, length, options) {
    if (last.verdict === "conforms" || last.upper_nm === undefined) return "";
    const nm = limitOf(last);
    if (nm === undefined) return "";
    const distance = length.one(Math.abs(last.value_nm - nm), options);
    const limit = length.one(nm, options);
    if (last.verdict === "uncertain") return say("page.bench.said_uncertain", {distance, limit, guard: length.guard(last.guard_nm ?? 0, options.decimals)});
    return say(last.side === "below" ? "page.bench.said_below" : "page.bench.said_above", {distance, limit});
}

function proved(bench, event) {
    const length = lengths(bench, event.gauge);
    const options = length.besides(Math.abs(event.error_nm), event.limit_nm);
    const off = length.one(event.error_nm, {plus: true, ...options});
    const limit = length.one(event.limit_nm, options);
    return {
        kind: event.passed ? "conforms" : "fails",
        word: say(event.passed ? "page.bench.proof_good" : "page.bench.proof_bad"),
        value: length.one(event.value_nm),
        where: event.gauge,
        text: say("page.bench.proof_off", {off, limit}),
    };
}

// A set-up piece is no product: off the middle is a matter of the setting, not a fault.
function setUp(bench, last, value) {
    const where = stepName(last.what, last.flat);
    const whole = (bench.setup ?? []).length === 0;
    if (whole && bench.last_setup?.passed)
        return {kind: "conforms", word: say("page.bench.setup_good"), value, where, text: say("page.bench.setup_mean", {mean: roundedMean(bench)})};
    const advice = whole ? adviceOf(bench) : null;
    if (advice) return {kind: "uncertain", word: say("page.bench.setup_again"), value, where, text: advice.hint};
    const inside = last.verdict === "conforms";
    return {
        kind: inside ? "conforms" : "uncertain",
        word: say(inside ? "page.bench.setup_in" : "page.bench.setup_off"),
        value,
        where,
        text: "",
    };
}

function roundedMean(bench) {
    const length = lengths(bench);
    const step = (bench.gauges ?? []).find((g) => g.ready)?.resolution_nm || 10000;
    return length.one(Math.round(bench.last_setup.mean_nm / step) * step);
}

export function saidPlace(bench, {alive, event}) {
    if (!alive) return el("section", {class: "said none", aria: {label: say("page.bench.last")}, data: {test: "said", kind: "old"}}, el("p", {class: "said-text"}, say("page.bench.not_live")));
    const s = lastSaid(bench, event);
    const judgement = ["conforms", "fails", "uncertain"].includes(s.kind);
    // Of a part that is no longer here its number is told, and not what to do about it.
    const other = s.serial && s.serial !== (bench.assembly ?? bench.stopped)?.serial ? s.serial : null;
    return el(
        "section",
        {class: `said ${judgement ? `verdict ${s.kind}` : s.kind}`, aria: {label: say("page.bench.last")}, data: {test: "said", kind: s.kind}},
        s.word ? el("p", {class: "said-word"}, sign(judgement ? s.kind : "off"), el("b", {}, s.word)) : null,
        s.value ? el("p", {class: `said-value number${s.value.length > 9 ? " long" : ""}`, data: {test: "said-value"}}, s.value) : null,
        s.where ? el("p", {class: "said-where"}, s.where, other ? ` \u00b7 ${other}` : null) : null,
        s.text && !other ? el("p", {class: "said-text", data: {test: "said-text"}}, s.text) : null,
    );
}

export function spokenOf(bench, event) {
    const {last} = bench;
    if (last?.kind === "taken" && last.message && !(event && event.seq > last.seq)) return `${verdictName(last.verdict)}. ${sayMessage(last.message)}`;
    const s = lastSaid(bench, event);
    return [s.word, s.value, s.where, s.text].filter(Boolean).join(". ");
}
