// Every error of a file at once and in place: on the left what is wrong, line by line, each with what was found, what was
// expected and what to do; on the right the file as the spreadsheet shows it, with the wrong cells marked. Either leads
// to the other.
//
//   fileErrors({rows, errors, name})     rows of csv_file.js; errors [{line, column, found, expected, code, details}],
//                                        also {order, code, details} of what does not fit the rows in force

import {el, newId} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say, sayValue} from "../kit/words.js";
import {letters} from "./csv_file.js";
import {detailsOf} from "./parts.js";

const MOST_ROWS = 300; // shown; a file may have thousands, and what is wrong is shown whatever its line

// Which cell of the file an error is about: {row, column} as indices, column -1 for the whole line.
function placeOf(error, rows) {
    const header = rows[0]?.fields.map((f) => f.text.trim()) ?? [];
    if (error.line === undefined && error.order !== undefined) {
        const at = header.indexOf("order_id");
        const row = rows.findIndex((r, i) => i > 0 && r.fields[at]?.text.trim() === error.order);
        const column = header.indexOf(error.column || "order_id");
        return {row, column: row < 0 ? -1 : column < 0 ? at : column};
    }
    const twice = /(^|\.)column_twice$/.test(error.code);
    const column = error.column ? (twice ? header.lastIndexOf(error.column) : header.indexOf(error.column)) : -1;
    // A quoted cell may hold line breaks, so a cell can begin below the line on which its row began.
    let row = rows.findIndex((r) => column >= 0 && r.fields[column]?.line === error.line);
    if (row < 0) row = rows.findLastIndex((r) => r.line <= error.line);
    return {row, column};
}

export function fileErrors({rows, errors, name}) {
    const id = newId("file");
    const placed = errors.map((error, n) => ({error, n, ...placeOf(error, rows)}));
    placed.sort((a, b) => a.row - b.row || a.column - b.column || a.n - b.n);
    const bad = new Map(); // "row/column" -> the errors there
    for (const p of placed) {
        const key = `${p.row}/${p.column}`;
        bad.set(key, [...(bad.get(key) ?? []), p]);
    }
    const cellId = (row, column) => `${id}-${row}-${column}`;
    const itemId = (n) => `${id}-error-${n}`;

    const lead = (target) => {
        const node = document.getElementById(target);
        node?.scrollIntoView({block: "center", inline: "center"});
        (node?.matches("button") ? node : node?.querySelector("button"))?.focus({preventScroll: true});
    };
    // A jump without a focus ring would leave the eye searching.
    const go = (label, target, test) =>
        el("button", {type: "button", class: "setup-jump", data: {test}, on: {click: () => lead(target)}}, label);

    const where = ({error, row, column}) => {
        const line = error.line ?? rows[row]?.line;
        const parts = [line === undefined ? say("page.setup.file.order", {order: error.order}) : say("page.setup.file.line", {line})];
        if (error.column) parts.push(error.column);
        if (row >= 0 && column >= 0) parts.push(say("page.setup.file.cell", {cell: `${letters(column)}${row + 1}`}));
        return parts.join(" \u00b7 ");
    };

    const list = el(
        "ol",
        {class: "setup-errors", data: {test: "file-errors"}},
        placed.map((p) =>
            el(
                "li",
                {id: itemId(p.n), data: {test: `file-error-${p.error.line ?? p.error.order}-${p.error.column ?? ""}`}},
                p.row >= 0 ? go(where(p), cellId(p.row, p.column), "to-cell") : el("b", {}, where(p)),
                p.error.found || p.error.expected
                    ? el(
                          "dl",
                          {},
                          el("dt", {}, say("page.setup.file.found")),
                          el("dd", {class: "setup-found"}, p.error.found?.trim() ? p.error.found : say("page.setup.file.nothing")),
                          p.error.expected ? [el("dt", {}, say("page.setup.file.expected")), el("dd", {}, sayValue("expected", p.error.expected))] : null,
                      )
                    : null,
                el("p", {}, say(p.error.code, {line: p.error.line, column: p.error.column, found: p.error.found, expected: p.error.expected, ...detailsOf(p.error.details)})),
            ),
        ),
    );

    const wrongRows = new Set(placed.map((p) => p.row).filter((r) => r >= 0));
    const body = el("tbody");
    const width = Math.max(0, ...rows.map((r) => r.fields.length));
    function cell(row, column, text) {
        const wrong = bad.get(`${row}/${column}`);
        if (!wrong) return el("td", {}, short(text));
        const expected = [...new Set(wrong.map((w) => sayValue("expected", w.error.expected)).filter(Boolean))].join("; ");
        return el(
            "td",
            {id: cellId(row, column), class: "setup-wrong", data: {test: `cell-${rows[row].line}-${wrong[0].error.column}`}},
            go([sign("fails"), text.trim() === "" ? say("page.setup.file.nothing") : short(text)], itemId(wrong[0].n), "to-error"),
            expected ? el("span", {class: "setup-expected"}, say("page.setup.file.expected_is", {expected})) : null,
        );
    }
    function line(row, r) {
        const whole = bad.get(`${r}/-1`);
        return el(
            "tr",
            {class: whole ? "setup-wrong-line" : null},
            el(
                "th",
                {scope: "row", id: whole ? cellId(r, -1) : null, class: whole ? "setup-wrong number" : "number", data: {test: whole ? `line-${row.line}` : null}},
                whole ? go([sign("fails"), String(r + 1)], itemId(whole[0].n), "to-error") : String(r + 1),
            ),
            Array.from({length: width}, (_, c) => (c < row.fields.length ? cell(r, c, row.fields[c].text) : el("td", {class: "setup-none"}))),
        );
    }
    function fill(all) {
        const shown = rows.map((row, r) => ({row, r})).filter(({r}) => r === 0 || wrongRows.has(r) || (all && r < MOST_ROWS));
        body.replaceChildren(...shown.map(({row, r}) => line(row, r)));
    }
    fill(false);
    const others = rows.length - new Set([0, ...wrongRows]).size;
    const every = el("input", {id: `${id}-all`, type: "checkbox", data: {test: "all-rows"}, on: {change: () => fill(every.checked)}});

    return el(
        "div",
        {class: "setup-file", data: {test: "file-view"}},
        el(
            "div",
            {class: "setup-file-list"},
            el("h3", {}, errors.length === 1 ? say("page.setup.file.one_error") : say("page.setup.file.errors", {count: errors.length})),
            el("p", {class: "hint"}, say("page.setup.file.refused_whole")),
            list,
        ),
        rows.length === 0
            ? null
            : el(
                  "div",
                  {class: "setup-file-sheet"},
                  el("h3", {}, name),
                  others > 0
                      ? el("div", {class: "field check"}, every, el("label", {for: `${id}-all`}, say("page.setup.file.all_rows", {count: others})))
                      : null,
                  el(
                      "div",
                      {class: "scrolls", role: "group", tabindex: "0", aria: {label: say("page.setup.file.sheet", {name})}},
                      el(
                          "table",
                          {class: "setup-sheet"},
                          el("thead", {}, el("tr", {}, el("td"), Array.from({length: width}, (_, c) => el("th", {scope: "col"}, letters(c))))),
                          body,
                      ),
                  ),
              ),
    );
}

// A cell of thousands of characters is cut on the screen; its error says what is wrong with it.
const short = (text) => (text.length > 60 ? `${text.slice(0, 57)}\u2026` : text);
