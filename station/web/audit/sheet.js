// One sheet of an audit as a table: a caption that is its name, a header in every column, the sentences that belong
// beside it, and its file. Long ones show their first rows and give the others when asked.
//
//   sheetNode(sheet, told, {open, hide, title})
//   told: {query, zone, people, csv(id) -> address}

import {el, newId} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {cellNode, columnTitle, isFigure, sheetTitle, withNames} from "./cells.js";

const AT_ONCE = 60;

const notesOf = (sheet, told) => (sheet.notes ?? []).map((n) => el("p", {class: "audit-note"}, sayMessage(withNames(n, told.people))));

function line(sheet, columns, row, told) {
    const head = columns.find(([, c]) => !["count", "percent", "number", "length", "seconds"].includes(c.kind))?.[0] ?? -1;
    return el(
        "tr",
        {},
        columns.map(([i, column]) =>
            el(
                i === head ? "th" : "td",
                {scope: i === head ? "row" : null, class: isFigure(column) ? "number" : column.kind === "message" || column.kind === "text" ? "audit-words" : null},
                cellNode(row[i] ?? "", column, told),
            ),
        ),
    );
}

export function tableOf(sheet, told, {hide = []} = {}) {
    const id = newId("sheet");
    const columns = sheet.columns.map((c, i) => [i, c]).filter(([, c]) => !hide.includes(c.id));
    const body = el("tbody", {});
    let shown = 0;
    const more = el("button", {type: "button", class: "office", on: {click: () => grow(shown + 400)}});
    function grow(to) {
        const next = sheet.rows.slice(shown, to);
        body.append(...next.map((row) => line(sheet, columns, row, told)));
        shown += next.length;
        more.hidden = shown >= sheet.rows.length;
        more.textContent = say("page.audit.more_rows", {count: sheet.rows.length - shown});
    }
    grow(AT_ONCE);
    return el(
        "div",
        {class: "audit-table"},
        el(
            "div",
            {class: "scrolls", tabindex: "0", role: "group", aria: {labelledby: id}},
            el(
                "table",
                {data: {test: `sheet-${sheet.id}`}},
                el("caption", {id}, sheetTitle(sheet)),
                el("thead", {}, el("tr", {}, columns.map(([, c]) => el("th", {scope: "col", class: isFigure(c) ? "number" : null}, columnTitle(c))))),
                body,
            ),
        ),
        more,
    );
}

export function sheetNode(sheet, told, options = {}) {
    const csv = el("a", {class: "audit-link", href: told.csv(sheet.id), download: "", data: {test: `csv-${sheet.id}`}, aria: {label: say("page.audit.csv_of", {sheet: sheetTitle(sheet)})}}, "CSV");
    if (sheet.rows.length === 0)
        return el("div", {class: "audit-sheet empty", data: {sheet: sheet.id}}, el("p", {}, el("b", {}, sheetTitle(sheet)), " ", say("page.audit.nothing")), notesOf(sheet, told));
    const inside = [tableOf(sheet, told, options), el("div", {class: "audit-sheet-foot"}, csv, notesOf(sheet, told))];
    if (!options.folded) return el("div", {class: "audit-sheet", data: {sheet: sheet.id}}, inside);
    return el(
        "details",
        {class: "audit-sheet", id: `audit-fold-${sheet.id}`, data: {sheet: sheet.id}},
        el("summary", {data: {test: `open-${sheet.id}`}}, sheetTitle(sheet), el("span", {class: "muted"}, ` ${say("page.audit.rows", {count: sheet.rows.length})}`)),
        inside,
    );
}
