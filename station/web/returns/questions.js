// The guided questions, one at a time, with a drawing where there is one. Every question may be answered by "not
// known"; one may go back; what an answer makes senseless is not asked any more, and the station says so by not asking.
//
//   questionsPart({...}) -> {node, draw(data)}

import {post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {drawing, numbersOf} from "./drawings.js";

export const answerWords = (question, code) => (code === "not_known" ? say("page.returns.not_known") : say(question.answers.find((a) => a.code === code)?.words ?? code));

export function questionsPart({number, reload, go}) {
    const node = el("section", {class: "panel setup-section", data: {test: "questions"}});
    let at = null; // the question shown
    let picked = [];
    let data = null;
    let why = null;
    let busy = false;

    const index = () => data.questions.findIndex((q) => q.code === at);

    function stand(code) {
        at = code;
        why = null;
        picked = [...(data.questions.find((q) => q.code === code)?.given ?? [])];
        paint();
        node.querySelector("h2")?.focus?.();
    }

    // The next one without an answer; else the overview of all.
    function onwards(from) {
        const next = data.questions.slice(from + 1).find((q) => !q.given) ?? data.questions.find((q) => !q.given);
        if (next) stand(next.code);
        else {
            at = null;
            paint();
        }
    }

    async function send(question, answers) {
        if (busy) return;
        busy = true;
        const from = index();
        const answer = await post("/api/returns/answer", {return: number, question: question.code, answer: answers.join("+")});
        busy = false;
        if (!answer.ok) {
            why = answer.why;
            return paint();
        }
        why = null;
        await reload();
        onwards(from);
    }

    function press(question, code) {
        if (!question.several) return send(question, [code]);
        const alone = code === "not_known" || question.answers.find((a) => a.code === code)?.alone;
        if (alone) return send(question, [code]);
        const single = (c) => c === "not_known" || question.answers.find((a) => a.code === c)?.alone;
        picked = picked.includes(code) ? picked.filter((c) => c !== code) : [...picked.filter((c) => !single(c)), code];
        return paint();
    }

    function buttons(question) {
        const numbered = Object.fromEntries(numbersOf(question.drawing).map((n) => [n.answer, n.number]));
        const order = [...question.answers].sort((a, b) => (numbered[a.code] ?? 99) - (numbered[b.code] ?? 99));
        const one = (code, words, extra) =>
            el(
                "button",
                {type: "button", class: extra ?? "", aria: {pressed: String(picked.includes(code))}, data: {test: `answer-${code}`}, on: {click: () => press(question, code)}},
                numbered[code] ? el("span", {class: "returns-number", aria: {hidden: "true"}}, String(numbered[code])) : null,
                el("span", {}, words),
            );
        return el("div", {class: "returns-answers", role: "group", aria: {label: say(question.words)}}, order.map((a) => one(a.code, say(a.words))), one("not_known", say("page.returns.not_known"), "returns-unknown"));
    }

    function picture(question) {
        const svg = question.drawing ? drawing(question.drawing, {name: say(question.words), chosen: picked}) : null;
        if (!svg) return null;
        svg.addEventListener("click", (event) => {
            // A number, or the picture that carries just one.
            for (let place = event.target; place && place !== svg; place = place.parentElement) {
                const hits = place.dataset.answer ? [place] : [...place.querySelectorAll("[data-answer]")];
                if (hits.length === 1) return press(question, hits[0].dataset.answer);
            }
            return null;
        });
        return el("div", {class: "returns-picture", data: {test: "picture"}}, svg);
    }

    function asked(question) {
        const i = index();
        const shown = picture(question);
        return el(
            "div",
            {class: `returns-question${shown ? "" : " plain"}`, data: {test: "question", question: question.code}},
            el("h2", {tabindex: "-1"}, say(question.words)),
            shown,
            el(
                "div",
                {},
                question.several ? el("p", {class: "hint"}, say("page.returns.several")) : null,
                buttons(question),
            ),
            why ? el("p", {class: "refusal", role: "alert"}, sayMessage(why)) : null,
            el(
                "div",
                {class: "returns-go"},
                el("button", {type: "button", disabled: i <= 0, data: {test: "back"}, on: {click: () => stand(data.questions[i - 1].code)}}, say("page.returns.back")),
                question.several ? el("button", {type: "button", class: "main", disabled: picked.length === 0, data: {test: "next"}, on: {click: () => send(question, picked)}}, say("page.returns.next")) : null,
                question.given && !question.several ? el("button", {type: "button", data: {test: "keep"}, on: {click: () => onwards(i)}}, say("page.returns.keep")) : null,
                el("button", {type: "button", class: "plain", data: {test: "overview"}, on: {click: () => ((at = ""), paint())}}, say("page.returns.overview")),
                el("span", {class: "returns-count number"}, say("page.returns.count", {number: i + 1, count: data.questions.length})),
            ),
        );
    }

    function overview() {
        const open = data.questions.filter((q) => !q.given).length;
        return [
            el("p", {}, open === 0 ? say("page.returns.all_answered") : say("page.returns.open_questions", {count: open})),
            data.contradictions.length > 0 ? contradictionsView(data) : null,
            el(
                "dl",
                {class: "returns-given", data: {test: "given"}},
                data.questions.map((q) =>
                    el(
                        "div",
                        {},
                        el("dt", {}, say(q.words)),
                        el("dd", {data: {test: `given-${q.code}`}}, q.given ? q.given.map((code) => answerWords(q, code)).join("; ") : say("page.returns.no_answer")),
                        el("dd", {}, el("button", {type: "button", class: "plain", data: {test: `change-${q.code}`}, on: {click: () => stand(q.code)}}, say(q.given ? "page.returns.change" : "page.returns.answer"))),
                    ),
                ),
            ),
            el("div", {class: "returns-go"}, el("button", {type: "button", class: "main", data: {test: "to-figures"}, on: {click: () => go("figures")}}, say("page.returns.to_figures"))),
        ];
    }

    function paint() {
        const question = data.questions.find((q) => q.code === at);
        redraw(node, question && !data.about.concluded ? asked(question) : overview());
    }

    return {
        node,
        draw(fresh) {
            const first = data === null;
            data = fresh;
            if (first) return onwards(-1);
            if (at && index() < 0) at = null; // the answer that led to it was changed
            return paint();
        },
    };
}

export function contradictionsView(data) {
    return el(
        "div",
        {class: "returns-notice", data: {test: "contradictions"}},
        el("p", {}, say("returned.paper.contradictions")),
        el("ul", {}, data.contradictions.map((c) => el("li", {}, `${say(c.words_a)} / ${say(c.words_b)}`))),
    );
}
