// Everything that is stopped, oldest first; what one failed proof made suspect as one.

import {el} from "../kit/dom.js";
import {causeName, settlementName} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {batchesOf, choicesOf, filtered, isOpen} from "./sorting.js";
import {ago, doubtSentence, endText, goodSentence, nameOf, timeNode} from "./texts.js";

const kinds = {failed: "fails", uncertain: "uncertain", suspect: "uncertain", person: "off"};

export function causeMark(hold) {
    return el("span", {class: `holds-cause ${hold.cause}`}, sign(kinds[hold.cause] ?? "off"), el("span", {}, causeName(hold.cause)));
}

// Where the part is, as far as the station knows.
export function whereMark(hold) {
    if (!isOpen(hold)) return null;
    if (hold.delivery) return el("a", {class: "holds-left", href: `#/deliveries/${encodeURIComponent(hold.delivery)}`, data: {test: `left-${hold.serial}`}}, say("page.holds.has_left", {delivery: hold.delivery, date: hold.delivered}));
    if (hold.tags_printed > 0) return el("span", {class: "holds-left"}, say("page.holds.may_have_left"));
    return hold.quarantined ? el("span", {}, say("page.holds.in_quarantine")) : el("span", {class: "muted"}, say("page.holds.not_in_quarantine"));
}

export function filterBar(holds, filters, set) {
    const there = choicesOf(holds);
    const choice = (name, label, all, options) =>
        el(
            "div",
            {class: "field"},
            el("label", {for: `holds-filter-${name}`}, label),
            el(
                "select",
                {id: `holds-filter-${name}`, data: {test: `filter-${name}`, keep: "no"}, on: {change: (event) => set({[name]: event.target.value})}},
                el("option", {value: "", selected: filters[name] === ""}, all),
                options.map(([value, text]) => el("option", {value, selected: filters[name] === value}, text)),
            ),
        );
    return el(
        "div",
        {class: "holds-filters", role: "search", aria: {label: say("page.holds.filters")}},
        choice("order", say("page.holds.order"), say("page.holds.all_orders"), there.orders.map((o) => [o, o])),
        choice("cause", say("page.holds.cause"), say("page.holds.all_causes"), there.causes.map((c) => [c, causeName(c)])),
        choice("shift", say("page.holds.shift"), say("page.holds.all_shifts"), there.shifts.map((s) => [s, s])),
        el(
            "div",
            {class: "field check"},
            el("input", {type: "checkbox", id: "holds-filter-all", checked: filters.all, data: {test: "filter-all", keep: "no"}, on: {change: (event) => set({all: event.target.checked})}}),
            el("label", {for: "holds-filter-all"}, say("page.holds.settled_too")),
        ),
    );
}

// What has already left, for the customers concerned: each with its deliveries and the serials that went with them.
export function leftList(holds) {
    const out = holds.filter((h) => h.delivery);
    if (out.length === 0) return null;
    const customers = [...new Set(out.map((h) => h.customer))].sort();
    const deliveries = (customer) => [...new Set(out.filter((h) => h.customer === customer).map((h) => h.delivery))];
    const line = (customer, number) => {
        const of = out.filter((h) => h.customer === customer && h.delivery === number);
        return el(
            "li",
            {data: {test: `left-delivery-${number}`}},
            el("a", {href: `#/deliveries/${encodeURIComponent(number)}`}, number),
            " ",
            say("page.holds.left_line", {date: of[0].delivered, to: of[0].to, serials: of.map((h) => h.serial).join(", ")}),
        );
    };
    return el(
        "div",
        {class: "holds-gone refusal", role: "group", data: {test: "left"}},
        el("p", {}, el("b", {}, say("page.holds.left_title", {count: out.length}))),
        customers.map((customer) => [el("h3", {}, customer), el("ul", {}, deliveries(customer).map((number) => line(customer, number)))]),
    );
}

export function batchBox(batch, told, {working = false} = {}) {
    const left = batch.open.filter((h) => h.tags_printed > 0 && !h.delivery).length;
    return el(
        "section",
        {class: "holds-batch", data: {test: `batch-${batch.doubt.seq}`}},
        el("h2", {}, sign("uncertain"), el("span", {}, say("page.holds.batch_title", {gauge: batch.doubt.gauge, count: batch.open.length}))),
        el("p", {}, doubtSentence(batch.doubt, told), " ", goodSentence(batch.doubt, told)),
        leftList(batch.open),
        left > 0 ? el("p", {}, el("b", {class: "holds-left"}, say("page.holds.batch_left", {count: left}))) : null,
        working
            ? null
            : el("a", {class: "button", href: `#/holds/batch/${batch.doubt.seq}`, data: {test: "open-batch"}}, say("page.holds.work_off", {count: batch.open.length})),
    );
}

function row(hold, {people, zone, now, go}, link, batch) {
    const open = isOpen(hold);
    const href = link(hold);
    return el(
        "tr",
        {class: open ? "holds-row" : "holds-row settled", data: {test: `hold-${hold.serial}`}, on: {click: (event) => event.target.closest("a") || go(href)}},
        el("th", {scope: "row"}, el("a", {class: "holds-serial", href}, hold.serial)),
        batch ? null : el("td", {}, causeMark(hold), hold.end ? el("span", {class: "holds-end"}, endText(hold.end)) : null, hold.reason ? el("span", {class: "holds-reason"}, hold.reason) : null),
        el("td", {class: "holds-whole"}, hold.order),
        el("td", {class: "holds-whole"}, hold.shift),
        el("td", {}, timeNode(hold.time, zone), open ? el("span", {class: "muted holds-ago"}, ago(hold.time, now)) : null),
        el("td", {}, (hold.measured_by ?? [hold.made_by]).map((id) => nameOf(people, id)).join(", ")),
        el(
            "td",
            {},
            open
                ? whereMark(hold)
                : hold.how
                  ? el("span", {}, say("page.holds.settled_as", {how: settlementName(hold.how), name: nameOf(people, hold.settled_by)}))
                  : el("span", {class: "muted"}, say("page.holds.covered")),
        ),
    );
}

// batch: all have the one cause that stands above the table.
export function holdTable(holds, told, {label, batch = false, link = (hold) => `#/holds/${encodeURIComponent(hold.serial)}`}) {
    const head = ["page.holds.serial", "page.holds.cause", "page.holds.order", "page.holds.shift", "page.holds.held_at", "page.holds.measured_by", "page.holds.where"].filter((code) => !batch || code !== "page.holds.cause");
    return el(
        "div",
        {class: "scrolls holds-table", tabindex: "0", role: "region", aria: {label}},
        el("table", {}, el("thead", {}, el("tr", {}, head.map((code) => el("th", {scope: "col"}, say(code))))), el("tbody", {}, holds.map((hold) => row(hold, told, link, batch)))),
    );
}

export function listParts(data, filters, told) {
    const list = filtered(data.holds, filters);
    const batches = filters.all ? [] : batchesOf(list, data.doubts);
    const batched = new Set(batches.flatMap((b) => b.holds));
    const single = list.filter((h) => !batched.has(h));
    return {shown: list.length, batches, single};
}
