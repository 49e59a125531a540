// What the set-up pages have in common: head, what the last action was written down as, lists, and how a refusal of a
// list is told.
//
//   const page = setupPage(root, context, {title, lead})
//   page.body                         where the page draws
//   page.receipt(answer, words)       "Entry 57: ..." after an action; spoken as well
//   page.may("setter")                whether this person may do what a setter may
//   loader(get, draw)                 one load at a time; draw(body | null, why | null)

import {el, newId, redraw} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";

export function setupPage(root, context, {title, lead}) {
    const receipt = el("div", {class: "setup-receipt", hidden: true, data: {test: "receipt"}});
    const body = el("div", {class: "setup-body"});
    root.replaceChildren(
        el(
            "div",
            {class: "setup office"},
            el("div", {class: "setup-head"}, el("h1", {}, title), lead ? el("p", {class: "setup-lead"}, lead) : null),
            receipt,
            body,
        ),
    );
    return {
        body,
        may: (...roles) => roles.includes(context.session()?.role),
        receipt(answer, words) {
            const number = entryNumbers(answer);
            receipt.hidden = false;
            redraw(
                receipt,
                number ? el("b", {class: "number", data: {test: "receipt-number"}}, say("page.setup.entry", {number})) : null,
                el("span", {}, words),
            );
            context.speak(words);
            receipt.scrollIntoView({block: "nearest"});
        },
        forget() {
            receipt.hidden = true;
        },
    };
}

// "57" or "57 – 59": the numbers under which the journal has what was done.
export function entryNumbers(answer) {
    const seqs = (answer?.body?.entries ?? []).map((e) => e.seq);
    if (seqs.length === 0) return "";
    const first = Math.min(...seqs);
    const last = Math.max(...seqs);
    return first === last ? String(first) : `${first} \u2013 ${last}`;
}

export function section(title, test, ...children) {
    const id = newId("section");
    return el("section", {class: "panel setup-section", aria: {labelledby: id}, data: {test}}, el("h2", {id}, title), children);
}

// A sentence set apart: what this person may not do here, or what a choice brings about.
export const note = (words, test) => el("p", {class: "setup-note", data: {test}}, words);

export function trouble(why, again) {
    return el(
        "div",
        {class: "refusal setup-trouble", role: "alert", data: {test: "trouble"}},
        el("p", {}, sayMessage(why)),
        again ? el("button", {type: "button", class: "office", data: {test: "again"}, on: {click: again}}, say("page.setup.again")) : null,
    );
}

// columns [{head, cell(row) -> text or nodes, number?, rowhead?}]; more(row) -> nodes of a row of its own below, or null
export function listTable({caption, columns, rows, empty, more, test, rowTest}) {
    if (rows.length === 0) return el("p", {class: "muted", data: {test: `${test}-empty`}}, empty);
    const id = newId("list");
    const line = (row) => {
        const below = more?.(row);
        return [
            el(
                "tr",
                {data: {test: rowTest?.(row)}},
                columns.map((c) =>
                    el(c.rowhead ? "th" : "td", {class: c.number ? "number" : null, scope: c.rowhead ? "row" : null}, c.cell(row)),
                ),
            ),
            below ? el("tr", {class: "setup-more"}, el("td", {colspan: columns.length}, below)) : null,
        ];
    };
    return el(
        "div",
        {class: "scrolls", role: "group", tabindex: "0", aria: {labelledby: id}},
        el(
            "table",
            {class: "setup-list", data: {test}},
            el("caption", {id, class: "unseen"}, caption),
            el("thead", {}, el("tr", {}, columns.map((c) => el("th", {scope: "col", class: c.number ? "number" : null}, c.head)))),
            el("tbody", {}, rows.map(line)),
        ),
    );
}

// Reads a list again and again without one answer overtaking another.
export function loader(read, draw) {
    let turn = 0;
    let gone = false;
    async function load() {
        const mine = (turn += 1);
        const answer = await read();
        if (gone || mine !== turn) return answer;
        draw(answer.ok ? answer.body : null, answer.why);
        return answer;
    }
    load.stop = () => (gone = true);
    return load;
}

// Several reads as one answer: the bodies in a list; the first refusal is the refusal of all.
export async function together(...reads) {
    const answers = await Promise.all(reads);
    const bad = answers.find((a) => !a.ok);
    return bad ?? {ok: true, status: 200, body: answers.map((a) => a.body), why: null};
}

// A message's details as an object, whichever of its two forms they came in.
export const detailsOf = (details) => (Array.isArray(details) ? Object.fromEntries(details.map((d) => [d.name, d.text])) : (details ?? {}));

export const yesNo = (is) => say(is ? "page.setup.yes" : "page.setup.no");

// A day out of a time in UTC milliseconds or an ISO text; days are written as ISO 8601 has them, in either language.
export function dayText(time) {
    if (typeof time === "string") return time.slice(0, 10);
    return typeof time === "number" ? new Date(time).toISOString().slice(0, 10) : "";
}

// YYYY-MM-DD, and a day that the calendar has.
export function isDay(text) {
    const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
    if (!parts) return false;
    const day = new Date(Date.UTC(Number(parts[1]), Number(parts[2]) - 1, Number(parts[3])));
    return day.toISOString().slice(0, 10) === text;
}
