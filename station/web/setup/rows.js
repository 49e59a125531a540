// The rows in force, with a search over all their words.
import {el, newId, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {listTable, section} from "./parts.js";

const MOST = 200; // shown at once

// Hose and fitting come as a name or as the row's own members.
export const hoseText = (h) => (typeof h === "string" ? h : h ? [h.maker, h.type, h.dash === undefined ? "" : `-${h.dash}`].filter(Boolean).join(" ") : "");
export const fittingText = (f) => (typeof f === "string" ? f : f ? [f.maker, f.series, f.end_form, f.end_size].filter(Boolean).join(" ") : "");

export function makeRows() {
    const id = newId("search");
    let all = [];
    const found = el("p", {role: "status", class: "muted", data: {test: "rows-found"}});
    const list = el("div");
    const search = el("input", {id, type: "text", autocomplete: "off", data: {test: "rows-search"}, on: {input: drawList}});

    function drawList() {
        const words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
        const text = (r) => [r.spec_id, r.revision, r.table, hoseText(r.hose), fittingText(r.fitting), r.crimper, r.die_set, r.setting].join(" ").toLowerCase();
        const hits = all.filter((r) => words.every((w) => text(r).includes(w)));
        found.textContent = say("page.setup.rows.found", {found: hits.length, all: all.length});
        redraw(
            list,
            listTable({
                caption: say("page.setup.rows.title"),
                test: "rows",
                rowTest: (r) => `row-${r.spec_id}`,
                rows: hits.slice(0, MOST),
                empty: all.length === 0 ? say("page.setup.rows.none") : say("page.setup.rows.no_hit"),
                columns: [
                    {head: say("page.setup.rows.spec"), rowhead: true, cell: (r) => el("span", {class: "setup-keep"}, r.spec_id)},
                    {head: say("page.setup.rows.revision"), cell: (r) => r.revision},
                    {head: say("page.setup.rows.hose"), cell: (r) => hoseText(r.hose)},
                    {head: say("page.setup.rows.fitting"), cell: (r) => fittingText(r.fitting)},
                    {head: say("page.setup.rows.crimper"), cell: (r) => r.crimper},
                    {head: say("page.setup.rows.die"), cell: (r) => r.die_set},
                    {head: say("page.setup.rows.table"), cell: (r) => r.table ?? ""},
                ],
            }),
        );
    }

    const node = section(
        say("page.setup.rows.title"),
        "rows-section",
        el("div", {class: "setup-search"}, el("div", {class: "field"}, el("label", {for: id}, say("page.setup.rows.search")), search), found),
        list,
    );
    return {
        node,
        draw(rows) {
            all = rows;
            drawList();
        },
    };
}
