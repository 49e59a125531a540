// The first thing seen: is there something to look at, and what was made, in one line each.
//
//   summary(audit, told)     a node
//   cellsOf(sheet, row)      {column id: cell}

import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";

export const cellsOf = (sheet, row) => Object.fromEntries(sheet.columns.map((c, i) => [c.id, row[i]]));
export const sheetOf = (audit, id) => audit.sheets.find((s) => s.id === id) ?? null;

export function summary(audit) {
    const made = sheetOf(audit, "made");
    const points = sheetOf(audit, "open_points");
    const open = points?.rows.length ?? 0;
    const m = made?.rows[0] ? cellsOf(made, made.rows[0]) : null;
    // An audit that did not look for open points has not found that there are none.
    const words = !points ? say("page.audit.open_unknown") : open === 0 ? say("page.audit.nothing_open") : open === 1 ? say("page.audit.one_open") : say("page.audit.points_open", {count: open});
    return el(
        "div",
        {class: `audit-summary ${open > 0 || !points ? "open" : "calm"}`, data: {test: "summary", open}},
        sign(open > 0 || !points ? "uncertain" : "conforms"),
        el(
            "div",
            {},
            el("p", {class: "audit-summary-word"}, words),
            m ? el("p", {class: "audit-summary-made"}, say("page.audit.summary", {started: m.started, passed: m.passed, first: m.passed_first_time, hold: m.on_hold})) : null,
        ),
    );
}
