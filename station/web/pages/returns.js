// Hoses that came back: the list, a new one, and one of them from the first question to the report.
//
//   #/returns                  the list, and opening one
//   #/returns/RT-4             one: record and ranking            (returns/result.js)
//   #/returns/RT-4/questions   the guided questions               (returns/questions.js)
//   #/returns/RT-4/figures     figures of the use                 (returns/figures.js)
//   #/returns/RT-4/measure     measuring it at the bench          (returns/measure.js)
//   #/returns/RT-4/conclude    cause, actions, report             (returns/conclude.js)
//
// The cautions stand on every one of them, before anything else (R13).

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {concludePart} from "../returns/conclude.js";
import {figuresPart} from "../returns/figures.js";
import {measurePart} from "../returns/measure.js";
import {openForm} from "../returns/open.js";
import {questionsPart} from "../returns/questions.js";
import {resultPart} from "../returns/result.js";
import {listTable, loader, section, setupPage, trouble} from "../setup/parts.js";

const PATIENCE_MS = 60000; // siblings are counted in the whole journal
const STEPS = ["questions", "figures", "measure", "result", "conclude"];
const PARTS = {questions: questionsPart, figures: figuresPart, measure: measurePart, result: resultPart, conclude: concludePart};

export function show(root, context) {
    return context.rest[0] ? one(root, context, context.rest[0]) : list(root, context);
}

// Before anything is known of who was hurt: as if somebody was.
const always = ["returned.caution.injection", "returned.caution.whip", "returned.caution.evidence_maybe", "returned.caution.burns", "returned.caution.pinch", "returned.caution.makers_first"];

function cautions(messages, hurt, test = "cautions") {
    const all = messages ? messages.map(sayMessage) : always.map((code) => say(code));
    if (all.length === 0) return null;
    return el(
        test === "cautions" ? "section" : "div",
        {class: `returns-caution${hurt ? " hurt" : ""}`, aria: {label: test === "cautions" ? say("page.returns.cautions") : null}, data: {test}},
        el("b", {}, say("page.returns.cautions")),
        el("ul", {}, all.map((words) => el("li", {}, words))),
    );
}

const to = (number, step) => `#/returns/${encodeURIComponent(number)}${step && step !== "result" ? `/${step}` : ""}`;

function list(root, context) {
    const page = setupPage(root, context, {title: say("page.place.returns"), lead: say("page.returns.lead")});
    const known = el("div", {class: "setup-body"});
    const form = page.may("operator", "lead") ? openForm(context, (answer) => context.go(to(answer.body.return, "questions"))) : null;
    page.body.append(cautions(null, false), known, form ? section(say("page.returns.open"), "open", form) : "");
    const load = loader(
        () => get("/api/returns"),
        (body, why) => redraw(known, why ? trouble(why, load) : section(say("page.returns.known"), "known", table(body.returns))),
    );
    load();
    return {
        entry(entry) {
            if (entry.type.startsWith("return.")) load();
        },
        leave: () => load.stop(),
    };
}

function table(returns) {
    return listTable({
        caption: say("page.returns.known"),
        test: "returns",
        rowTest: (r) => `return-${r.return}`,
        rows: returns.toSorted((a, b) => b.opened_ms - a.opened_ms),
        empty: say("page.returns.none"),
        columns: [
            {head: say("page.returns.number"), rowhead: true, cell: (r) => el("a", {class: "returns-link", href: to(r.return)}, r.return)},
            {head: say("page.returns.serial"), cell: (r) => r.serial || say("page.returns.unknown_hose")},
            {head: say("page.returns.customer"), cell: (r) => r.customer || say("page.returns.not_told")},
            {head: say("page.returns.received"), cell: (r) => r.received},
            {head: say("page.returns.reported"), cell: (r) => r.reported},
            {head: say("page.returns.state"), cell: (r) => (r.concluded ? say("page.returns.concluded") : r.open > 0 ? say("page.returns.open_questions", {count: r.open}) : say("page.returns.answered"))},
        ],
    });
}

function one(root, context, number) {
    const page = setupPage(root, context, {title: say("page.returns.title", {return: number})});
    const top = el("div", {class: "setup-body"});
    const steps = el("nav", {aria: {label: say("page.returns.steps")}});
    const body = el("div", {class: "setup-body", data: {test: "return-body"}});
    const below = el("div");
    page.body.append(top, steps, body, below);
    let part = null;
    let shownStep = null;
    let data = null;
    const step = () => (STEPS.includes(context.rest[1]) ? context.rest[1] : "result");

    const load = loader(
        () => get(`/api/returns/${encodeURIComponent(number)}`, PATIENCE_MS),
        (known, why) => {
            if (why) return redraw(body, trouble(why, load));
            data = known;
            draw();
            return null;
        },
    );

    function draw() {
        const now = step();
        const {about, ranking} = data;
        // While questions are asked the drawing needs the room: the first two stand above it, the others below it.
        const brief = now === "questions" || now === "figures";
        const hurt = about.hurt || ranking.cautions[0]?.code === "returned.caution.evidence";
        redraw(
            top,
            el("p", {class: "setup-lead", data: {test: "return-head"}}, headline(data)),
            cautions(brief ? ranking.cautions.slice(0, 2) : ranking.cautions, hurt),
            data.notices.map((m) => el("p", {class: "returns-notice", role: "note", data: {test: "notice", code: m.code}}, sayMessage(m))),
        );
        redraw(
            steps,
            el("ol", {class: "returns-steps"}, STEPS.map((s) => el("li", {}, el("a", {href: to(number, s), aria: {current: s === now ? "step" : null}, data: {test: `step-${s}`}}, say(stepNames[s]))))),
        );
        if (now !== shownStep) {
            part?.leave?.();
            shownStep = now;
            part = PARTS[now]({context, page, number, reload: load, go: (s) => context.go(to(number, s))});
            redraw(body, part.node);
        }
        part.draw(data);
        redraw(below, brief ? cautions(ranking.cautions.slice(2), false, "cautions-more") : null);
    }

    load();
    return {
        update() {
            if (data && step() !== shownStep) draw();
            part?.update?.();
        },
        entry(entry) {
            if (entry.type.startsWith("return.") && entry.body?.return === number) load();
        },
        leave() {
            part?.leave?.();
            load.stop();
        },
    };
}

const stepNames = {questions: "page.returns.step_questions", figures: "page.returns.step_figures", measure: "page.returns.step_measure", result: "page.returns.step_result", conclude: "page.returns.step_conclude"};

function headline({about, assembly}) {
    if (!assembly) return say("page.returns.head_unknown", {customer: about.customer || say("page.returns.not_told"), received: about.received});
    return say("page.returns.head", {serial: about.serial, hose: `${assembly.hose} -${assembly.dash}`, order: assembly.order, customer: about.customer || say("page.returns.not_told"), received: about.received});
}
