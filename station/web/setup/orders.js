// Orders. They come as a file from the office, many at once, or one by telephone. What the person wants to know at once:
// whether the bench may begin them, and which were opened before.
//
// Opening orders is for leads and setters; an auditor reads the list.

import {get, post} from "../kit/api.js";
import {applicationOf, findingsView} from "../kit/application.js";
import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {dropFile} from "./drop_file.js";
import {fileErrors} from "./file_errors.js";
import {orderForm, placedIn} from "./order_form.js";
import {listTable, loader, note, section, setupPage, trouble} from "./parts.js";

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.orders.title"), lead: say("page.setup.orders.lead")});
    const opens = page.may("lead", "setter");
    const checked = el("div", {data: {test: "checked"}});
    const list = el("div");
    const shown = el("div", {data: {test: "application-shown"}});
    function showApplication(order) {
        redraw(shown, el("h3", {}, order), applicationOf(order, context));
        shown.scrollIntoView({block: "nearest"});
    }
    const load = loader(() => get("/api/orders"), drawList);

    async function opened(answer, words) {
        const undated = answer.body.undated_hose_lots ?? [];
        page.receipt(answer, words);
        const findings = answer.body.findings ?? [];
        const found = [...new Set(findings.map((f) => f.order))];
        redraw(
            checked,
            found.map((order) => {
                const own = findings.filter((f) => f.order === order);
                const count = (severity) => own.filter((f) => f.severity === severity).length;
                // What stops is answered for here; what nobody has to look at is folded away, and counted.
                return el(
                    "details",
                    {class: "setup-note", open: count("stop") + count("warn") > 0, data: {test: `found-${order}`}},
                    el("summary", {}, say("page.application.counts", {order, stop: count("stop"), warn: count("warn"), note: count("note"), holds: count("holds")})),
                    count("stop") > 0 ? applicationOf(order, context) : findingsView(own),
                );
            }),
            undated.length > 0
                ? el(
                      "div",
                      {class: "setup-note", role: "status", data: {test: "undated"}},
                      el("p", {}, say("page.setup.orders.undated")),
                      el("ul", {}, undated.map((u) => el("li", {}, say("page.setup.orders.undated_lot", {order: u.order, lot: u.lot})))),
                  )
                : null,
        );
        await Promise.all([load(), context.refresh()]);
    }

    let turn = 0;
    async function came(file) {
        const mine = (turn += 1);
        page.forget();
        if (file.own.length > 0) {
            redraw(checked, fileErrors({rows: file.rows, errors: file.own, name: file.name}));
            return;
        }
        redraw(checked, el("p", {role: "status"}, say("page.setup.orders.checking")));
        const answer = await post("/api/orders", {csv: file.text}, 30000);
        if (mine !== turn) return;
        if (answer.ok) {
            await opened(answer, say("page.setup.orders.opened_many", {count: (answer.body.entries ?? []).length}));
            return;
        }
        const told = placedIn(file.rows, answer.body.errors ?? []);
        redraw(checked, told.length > 0 ? fileErrors({rows: file.rows, errors: told, name: file.name}) : trouble(answer.why));
        if (told.length > 0) context.speak(say("page.setup.file.errors", {count: told.length}));
    }

    function drawList(body, why) {
        if (why) {
            redraw(list, trouble(why, load));
            return;
        }
        const unit = context.bench()?.limits?.shown_unit ?? "mm";
        redraw(
            list,
            listTable({
                caption: say("page.setup.orders.list"),
                test: "orders",
                rowTest: (o) => `order-${o.order}`,
                rows: [...body.orders].reverse(),
                empty: say("page.setup.orders.none"),
                columns: [
                    {head: say("page.setup.orders.order"), rowhead: true, cell: (o) => o.order},
                    {head: say("page.setup.orders.customer"), cell: (o) => [el("div", {}, o.customer), el("div", {class: "muted small"}, o.customer_part)]},
                    {head: say("page.setup.orders.ends"), cell: (o) => (o.spec_a === o.spec_b ? o.spec_a : `${o.spec_a} / ${o.spec_b}`)},
                    {head: say("page.setup.orders.length"), number: true, cell: (o) => (o.overall_length_nm ? shownWithUnit(o.overall_length_nm, unit, 0) : "")},
                    {head: say("page.setup.orders.progress"), number: true, cell: (o) => say("page.setup.orders.of", {passed: o.passed ?? 0, quantity: o.quantity})},
                    {head: say("page.setup.orders.due"), cell: (o) => o.due ?? ""},
                    {head: say("page.application.title"), cell: (o) => el("button", {class: "office", data: {test: `application-${o.order}`}, on: {click: () => showApplication(o.order)}}, say("page.application.show"), el("span", {class: "unseen"}, ` ${o.order}`))},
                ],
            }),
        );
    }

    if (opens) {
        const place = dropFile({test: "order-file", label: say("page.setup.orders.file"), hint: say("page.setup.orders.file_hint"), came});
        page.body.append(
            section(say("page.setup.orders.from_file"), "orders-file", place.node, checked),
            section(say("page.setup.orders.one"), "order-new", orderForm({context, opened})),
        );
    } else page.body.append(note(say("page.setup.orders.office_only"), "office-only"));
    page.body.append(section(say("page.setup.orders.list"), "orders-list", list, shown));
    load();

    return {
        update() {},
        entry(entry) {
            if (entry.type.startsWith("order.") || entry.type === "assembly.passed") load();
        },
        leave: () => load.stop(),
    };
}
