// A gauge study or a sample at the bench, in place of the work. Whoever measures must not know what was read before, so
// nothing of it is shown: not the last value, no band that it is held against. What they need is whose turn it is, what
// to take up, and how far it is.
//
//   studyView(bench, desk)      for step.ask "study": as asks.js gives them
//   progress(done, all)         "3 of 12" with its bar
//   blindSaid(bench, {alive, upTo})   the place of the last judgement: a refusal newer than upTo, else that it is kept
//   otherView(bench, desk)      what may be begun beside the work
//   takeBackView(bench, desk)   the last turn does not count
//   leave(bench, desk)          back to the work

import {post} from "../kit/api.js";
import {askPerson} from "../kit/dialog.js";
import {el, svg} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {reasons} from "./menu.js";
import {saidPlace} from "./said.js";

export function progress(done, all) {
    const share = all > 0 ? (100 * done) / all : 0;
    return el(
        "section",
        {class: "expected blind-progress", aria: {label: say("page.bench.blind_progress")}, data: {test: "blind-progress"}},
        el("p", {class: "expected-name"}, say("page.bench.blind_progress")),
        el("p", {class: "figure number", data: {test: "blind-count"}}, say("page.bench.blind_count", {done, all})),
        svg(
            "svg",
            {class: "blind-bar", viewBox: "0 0 100 6", preserveAspectRatio: "none", "aria-hidden": "true"},
            svg("rect", {class: "blind-all", x: 0, y: 0, width: 100, height: 6}),
            svg("rect", {class: "blind-done", x: 0, y: 0, width: share, height: 6}),
        ),
    );
}

// The next one signs in where they stand; the study stays as it is.
function comes(bench, desk) {
    const {step} = bench;
    return askPerson({
        title: say("page.bench.study_comes", {name: step.person_name}),
        body: say("page.bench.study_comes_do", {name: step.person_name}),
        yes: say("page.bench.study_comes_go"),
        use: async (by) => {
            const answer = await post("/api/sign-in", {...by, cookie: true, at_bench: true});
            if (answer.ok) await desk.context.signedIn(answer.body);
            return answer;
        },
    });
}

export function studyView(bench, desk) {
    const {step} = bench;
    const theirs = step.person === bench.person;
    return {
        sentence: say("page.bench.study_measure", {name: step.person_name, piece: step.piece}),
        hint: say(theirs ? "page.bench.study_do" : "page.bench.study_other", {name: step.person_name, gauge: step.gauge}),
        body: el(
            "div",
            {class: "blind", data: {test: "blind"}},
            el(
                "section",
                {class: "blind-piece", aria: {label: say("page.bench.study_piece")}},
                el("p", {class: "expected-name"}, say("page.bench.study_piece")),
                el("p", {class: "figure", data: {test: "study-piece"}}, step.piece),
                el("p", {class: "blind-who", data: {test: "study-person"}}, step.person_name),
            ),
            progress(step.turn - 1, step.turns),
        ),
        waits: theirs,
        main: theirs ? null : {key: `${step.study}:${step.person}`, text: say("page.bench.study_sign_in", {name: step.person_name}), run: () => comes(bench, desk)},
    };
}

export function blindSaid(bench, {alive, upTo}) {
    const refused = bench.last?.kind === "refused" && bench.last.seq > upTo;
    if (!alive || refused) return saidPlace(bench, {alive, event: null});
    return el("section", {class: "said none", aria: {label: say("page.bench.last")}, data: {test: "said", kind: "blind"}}, el("p", {class: "said-text"}, say("page.bench.blind_kept")));
}

export function otherView(bench, desk) {
    const begin = async (path, command) => {
        const answer = await desk.act(path, command);
        if (answer.ok) desk.close();
    };
    const one = (test, name, what, done, all, run) =>
        el("button", {class: "choice", data: {test}, on: {click: run}}, el("b", {}, name), el("span", {}, what), el("span", {class: "number"}, say("page.bench.blind_count", {done, all})));
    const studies = bench.open_studies ?? [];
    const samples = bench.open_samples ?? [];
    const returns = bench.open_returns ?? [];
    return {
        sentence: say("page.bench.other_ask"),
        hint: say("page.bench.other_do"),
        body: el(
            "div",
            {class: "choices"},
            studies.map((s) => one(`begin-${s.study}`, s.study, say("page.bench.other_study", {gauge: s.gauge}), s.measured, s.turns, () => begin("/api/studies/begin", {study: s.study}))),
            samples.map((s) => one(`begin-${s.sample}`, s.sample, say("page.bench.other_sample", {shift: s.shift}), s.measured, s.places, () => begin("/api/samples/begin", {sample: s.sample}))),
            returns.map((r) => el("button", {class: "choice", data: {test: `begin-${r.return}`}, on: {click: () => begin("/api/returns/begin", {return: r.return})}}, el("b", {}, r.return), el("span", {}, say(r.serial ? "page.bench.other_return" : "page.bench.other_return_unknown", {serial: r.serial, customer: r.customer})), r.hurt ? el("span", {}, say("page.bench.other_return_hurt")) : null)),
        ),
        main: null,
        others: [{test: "back", text: say("page.bench.back"), run: () => desk.close()}],
    };
}

export function takeBackView(bench, desk) {
    if (bench.step.ask !== "study") return null;
    const use = async (reason) => {
        const answer = await desk.act("/api/studies/void-turn", {reason});
        if (answer.ok) desk.close();
    };
    return {
        sentence: say("page.bench.study_void_ask"),
        hint: say("page.bench.study_void_do"),
        body: reasons(["page.bench.void_slipped", "page.bench.void_place", "page.bench.study_void_piece", "page.bench.void_by_mistake"], use, {other: say("page.bench.study_void_ask")}),
        main: null,
        others: [{test: "back", text: say("page.bench.back"), run: () => desk.close()}],
    };
}

export const leave = (bench, desk) => desk.act(bench.study ? "/api/studies/leave" : "/api/samples/leave", {});
