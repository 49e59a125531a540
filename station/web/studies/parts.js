// What the pages of gauge studies and samples have in common.
//
//   sheetBlocks(sheets, zone)     tables with what must be said beside them; every cell as the station wrote it
//   bar(done, all)                how far something is, as words and as a bar
//   facts([[name, value]])        a list of what is known
//   when(iso, context)            by the shop's clocks

import {el, svg} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {localTime} from "../audit/cells.js";
import {tableOf} from "../audit/sheet.js";

export function sheetBlocks(sheets, zone) {
    return sheets.map((sheet) =>
        el(
            "div",
            {class: "audit-sheet study-sheet", data: {sheet: sheet.id}},
            tableOf(sheet, {query: {}, zone}),
            (sheet.notes ?? []).map((n) => el("p", {class: "audit-note study-notes"}, sayMessage(n))),
        ),
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

export const when = (iso, context) => localTime(iso, context.bench()?.time_zone);
