// A returned hose at the bench, in place of the work: what to measure next, across the flats of either end and from the
// shell's edge to the mark. It is written down and never judged: no band, no verdict, no sound of a stop.
//
//   returnedView(bench, desk)   when everything is measured, as asks.js gives them; null before
//   returnedNumbers(bench)      how far it is, and what was read last
//   returnedButtons(bench, desk)   the quiet buttons: leave, no such place on this part, this end anew

import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {progress} from "./ask_study.js";
import {lengths, stepName} from "./sentences.js";

const answer = (desk, bench, question, given) => desk.act("/api/returns/answer", {return: bench.step.return, question, answer: given});
const leave = (desk) => desk.act("/api/returns/leave", {});

function lastRead(bench) {
    const {last} = bench.step;
    if (!last) return null;
    const length = lengths(bench, last.gauge);
    return el(
        "section",
        {class: "expected", aria: {label: say("page.bench.returned_last")}, data: {test: "returned-last"}},
        el("p", {class: "expected-name"}, `${last.end.toUpperCase()}, ${stepName(last.what, last.flat)}`),
        el("p", {class: "figure number long"}, length.number(last.value_nm), el("span", {class: "unit"}, ` ${length.unit}`)),
        el("p", {class: "expected-band"}, say("page.bench.returned_kept")),
    );
}

export function returnedNumbers(bench) {
    const {step} = bench;
    return [progress(step.measured ?? step.places, step.places), lastRead(bench)];
}

export function returnedView(bench, desk) {
    if (!bench.step.done) return null;
    return {
        sentence: say("page.bench.returned_done", {return: bench.step.return}),
        hint: say("page.bench.returned_done_do"),
        body: el("div", {class: "ask-body returned-done"}, lastRead(bench)),
        main: {key: bench.step.return, text: say("page.bench.returned_leave"), run: () => leave(desk)},
    };
}

export function returnedButtons(bench, desk) {
    const {step} = bench;
    const quiet = (test, text, run) => el("button", {class: "quiet", data: {test}, on: {click: run}}, text);
    const out = [];
    if (!step.done) {
        out.push(quiet("not-possible", say(step.what === "mark_after" ? "page.bench.returned_no_mark" : "page.bench.returned_no_crimp"), () => answer(desk, bench, `measure.${step.end}.${step.what}`, "not_possible")));
        out.push(quiet("leave", say("page.bench.returned_leave"), () => leave(desk)));
    }
    if (step.last) out.push(quiet("again", say("page.bench.returned_again", {end: step.last.end.toUpperCase()}), () => answer(desk, bench, `measure.${step.last.end}`, "again")));
    return out;
}
