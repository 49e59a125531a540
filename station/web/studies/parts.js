// What the pages of gauge studies and samples have in common.
//
//   sheetBlocks(sheets, told)     tables with what must be said beside them; every cell as the station wrote it; told {zone,
//                                 people, csv(id) -> address, or null where there is no file yet}
//   takeAway(query)               the files of a study or a sample: {study: "GS-1"}
//   toldOf(query, names, context) what sheetBlocks is told of one that has files
//   bar(done, all)                how far something is, as words and as a bar
//   facts([[name, value]])        a list of what is known

import {el, svg} from "../kit/dom.js";
import {language, say, sayMessage} from "../kit/words.js";
import {sheetTitle, withNames} from "../audit/cells.js";
import {tableOf} from "../audit/sheet.js";

export function sheetBlocks(sheets, told) {
    const file = (sheet) => el("a", {class: "audit-link", href: told.csv(sheet.id), download: "", data: {test: `csv-${sheet.id}`}, aria: {label: say("page.audit.csv_of", {sheet: sheetTitle(sheet)})}}, "CSV");
    return sheets.map((sheet) =>
        el(
            "div",
            {class: "audit-sheet study-sheet", data: {sheet: sheet.id}},
            tableOf(sheet, {...told, query: {}}),
            told.csv ? el("p", {}, file(sheet)) : null,
            (sheet.notes ?? []).map((n) => el("p", {class: "audit-note study-notes"}, sayMessage(withNames(n, told.people)))),
        ),
    );
}

const addressOfFile = (ending, query) => `/api/audit.${ending}?${new URLSearchParams(query)}`;
export const toldOf = (query, names, context) => ({zone: context.bench()?.time_zone, people: names, csv: (sheet) => addressOfFile("csv", {...query, sheet})});

export function takeAway(query) {
    const link = (href, text, test) => el("li", {}, el("a", {class: "audit-link", href, download: "", data: {test}}, text));
    const paper = (size) => addressOfFile("pdf", {...query, paper: size, language: language()});
    return el(
        "ul",
        {class: "audit-files", aria: {label: say("page.audit.files")}},
        link(paper("a4"), say("page.audit.pdf_a4"), "pdf-a4"),
        link(paper("letter"), say("page.audit.pdf_letter"), "pdf-letter"),
        link(addressOfFile("json", query), "JSON", "json"),
    );
}

export function bar(done, all) {
    const share = all > 0 ? (100 * done) / all : 0;
    return el(
        "span",
        {class: "row"},
        el("span", {class: "number"}, say("page.bench.blind_count", {done, all})),
        svg("svg", {class: "study-bar", viewBox: "0 0 100 6", preserveAspectRatio: "none", "aria-hidden": "true"}, svg("rect", {class: "blind-done", x: 0, y: 0, width: share, height: 6})),
    );
}

export const facts = (list) =>
    el("dl", {class: "study-facts"}, list.filter(([, value]) => value !== null && value !== "").map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, value))));
