// From one thing in doubt to every assembly that shares it, to whoever has them, and to the letters.
//
//   #/recall?hose_lot=H-1&from=2026-11-01      the criteria stand in the address; without any, what is asked
//   #/recall                                   and the recalls that were drawn

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {askForm, asked, queryText} from "../recall/ask.js";
import {drawing, letters} from "../recall/draw.js";
import {customersTable, rowsTable, summary} from "../recall/list.js";
import {stamp} from "../holds/texts.js";
import {listTable, loader, section, setupPage, trouble} from "../setup/parts.js";

const ROWS = 500;
const PATIENCE_MS = 120000; // a million assemblies on a slow machine

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.place.recall"), lead: say("page.recall.lead")});
    const form = el("div");
    const found = el("div", {class: "setup-body"});
    const drawn = el("div", {class: "setup-body"});
    page.body.append(form, found, drawn);
    let key = null;
    let search = null;
    let number = null; // of the recall that was drawn from what is shown

    const past = loader(
        () => get("/api/recalls"),
        (known, why) => redraw(drawn, why ? trouble(why, past) : history(known.recalls)),
    );

    function history(list) {
        return section(
            say("page.recall.drawn_before"),
            "recalls",
            listTable({
                caption: say("page.recall.drawn_before"),
                test: "recall-list",
                rowTest: (r) => `recall-${r.recall}`,
                rows: list,
                empty: say("page.recall.none_drawn"),
                columns: [
                    {head: say("page.recall.number"), rowhead: true, cell: (r) => r.recall},
                    {head: say("page.recall.drawn_at"), cell: (r) => stamp(r.time, context.bench()?.time_zone)},
                    {head: say("page.recall.reason"), cell: (r) => r.reason},
                    {head: say("page.recall.assemblies"), number: true, cell: (r) => String(r.assemblies)},
                    {head: say("page.recall.delivered"), number: true, cell: (r) => String(r.delivered)},
                    {head: say("page.recall.letters"), cell: (r) => letters(r.recall, r.customers)},
                ],
            }),
        );
    }

    function open() {
        const criteria = asked(context.query());
        const next = queryText(criteria);
        if (next === key) return;
        key = next;
        number = null;
        search?.stop();
        redraw(form, section(say("page.recall.ask"), "ask", askForm(criteria, (c) => context.go(`#/recall?${queryText(c)}`))));
        if (next === "") return redraw(found);
        redraw(found, el("p", {class: "muted", aria: {live: "polite"}}, say("page.recall.searching")));
        search = loader(
            () => get(`/api/recall?${next}&limit=${ROWS}`, PATIENCE_MS),
            (body, why) => redraw(found, why ? trouble(why, null) : result(body, criteria, next)),
        );
        search();
    }

    function result(body, criteria, query) {
        const zone = context.bench()?.time_zone;
        const unit = context.bench()?.limits?.shown_unit;
        return [
            section(
                say("page.recall.found"),
                "found",
                summary(body),
                customersTable(body.customers),
                el("ul", {class: "recall-files"}, el("li", {}, el("a", {href: `/api/recall.csv?${query}`, download: "", data: {test: "csv"}}, say("page.recall.csv")))),
            ),
            body.assemblies > 0 && page.may("lead")
                ? section(
                      say("page.recall.draw"),
                      "draw",
                      drawing(criteria, body, (answer) => {
                          number = answer.body.recall;
                          page.receipt(answer, say("page.recall.drawn", {recall: number, count: body.assemblies}));
                          past();
                      }),
                  )
                : null,
            body.assemblies > 0 ? section(say("page.recall.list", {shown: body.rows.length, count: body.assemblies}), "rows", rowsTable(body, {zone, unit})) : null,
        ];
    }

    open();
    past();
    return {
        update: open,
        entry(entry) {
            if (entry.type === "recall.drawn") past();
        },
        leave() {
            search?.stop();
            past.stop();
        },
    };
}
