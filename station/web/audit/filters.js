// What the audit is of: shift, days, order and so on, as they stand in the address and as the bar asks for them.
//
//   readFilters(query)          {shift: "2026-11-25/1"}, only what is known and not empty
//   addressOf(filters)          "#/audit?shift=2026-11-25/1"
//   apiQuery(filters, more)     "shift=2026-11-25%2F1&..."
//   filterBar({filters, shifts, suggestions, go})
//   lastShift(shifts)           the one that began last, or null

import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {isDay} from "../setup/parts.js";

const names = ["shift", "from", "to", "order", "customer", "spec", "die_set", "hose_lot", "gauge", "person"];

export function readFilters(query) {
    const out = {};
    for (const name of names) {
        const value = (query.get(name) ?? "").trim();
        if (value !== "") out[name] = value;
    }
    return out;
}

// Slashes stay readable: a shift is called 2026-11-25/1, and people read addresses to each other.
const escaped = (text) => encodeURIComponent(text).replaceAll("%2F", "/");

export function addressOf(filters) {
    const parts = names.filter((n) => filters[n]).map((n) => `${n}=${escaped(filters[n])}`);
    return parts.length > 0 ? `#/audit?${parts.join("&")}` : "#/audit";
}

export function apiQuery(filters, more = {}) {
    const query = new URLSearchParams();
    for (const name of names) if (filters[name]) query.set(name, filters[name]);
    for (const [name, value] of Object.entries(more)) query.set(name, value);
    return query.toString();
}

const newestFirst = (shifts) => [...shifts].sort((a, b) => (b.seq ?? 0) - (a.seq ?? 0));
export const lastShift = (shifts) => newestFirst(shifts)[0]?.shift ?? null;

const labels = () => ({
    order: say("page.audit.filter_order"),
    customer: say("page.audit.filter_customer"),
    spec: say("page.audit.filter_spec"),
    die_set: say("page.audit.filter_die_set"),
    hose_lot: say("page.audit.filter_hose_lot"),
    gauge: say("page.audit.filter_gauge"),
    person: say("page.audit.filter_person"),
});

// suggestions: {order: [texts], ...}: offered while somebody types, and binding nobody.
export function filterBar({filters, shifts, suggestions, go}) {
    const box = (name, label, more = {}) => {
        const list = suggestions[name] ?? [];
        const id = `audit-${name}`;
        return el(
            "div",
            {class: "field"},
            el("label", {for: id}, label),
            el("input", {id, name, type: "text", autocomplete: "off", spellcheck: "false", maxlength: 200, value: filters[name] ?? "", list: list.length > 0 ? `${id}-list` : null, data: {test: `filter-${name}`, keep: "no"}, ...more}),
            list.length > 0 ? el("datalist", {id: `${id}-list`}, list.map((value) => el("option", {value}))) : null,
        );
    };
    const known = newestFirst(shifts);
    const listed = filters.shift && !known.some((s) => s.shift === filters.shift) ? [{shift: filters.shift}, ...known] : known;
    const shift = el(
        "select",
        {id: "audit-shift", name: "shift", data: {test: "filter-shift", keep: "no"}, on: {change: () => shift.value !== "" && ((from.value = ""), (to.value = ""))}},
        el("option", {value: "", selected: !filters.shift}, say("page.audit.any_shift")),
        listed.map((s) => el("option", {value: s.shift, selected: s.shift === filters.shift}, shiftText(s))),
    );
    // Days and a shift together would nearly always find nothing.
    const day = (name, label) => {
        const input = el("input", {id: `audit-${name}`, name, type: "text", inputmode: "numeric", placeholder: "YYYY-MM-DD", maxlength: 10, autocomplete: "off", value: filters[name] ?? "", data: {test: `filter-${name}`, keep: "no"}, on: {input: () => (shift.value = "")}});
        return [input, el("div", {class: "field"}, el("label", {for: `audit-${name}`}, label), input)];
    };
    const [from, fromField] = day("from", say("page.audit.from"));
    const [to, toField] = day("to", say("page.audit.to"));
    const refusal = el("p", {class: "refusal audit-more", role: "alert", hidden: true, data: {test: "filter-wrong"}}, say("page.setup.form.not_day"));
    const more = labels();
    const narrowed = Object.keys(more).some((name) => filters[name]);
    return el(
        "form",
        {
            class: "audit-filters",
            role: "search",
            aria: {label: say("page.audit.filters")},
            data: {test: "filters"},
            on: {
                submit: (event) => {
                    event.preventDefault();
                    const wrong = [from, to].find((day) => day.value.trim() !== "" && !isDay(day.value.trim()));
                    for (const day of [from, to]) day.toggleAttribute("aria-invalid", day === wrong);
                    refusal.hidden = !wrong;
                    if (wrong) {
                        wrong.setAttribute("aria-invalid", "true");
                        wrong.focus();
                        return;
                    }
                    const wanted = {};
                    for (const name of names) {
                        const value = event.target.elements[name]?.value.trim() ?? "";
                        if (value !== "") wanted[name] = value;
                    }
                    go(wanted);
                },
            },
        },
        el("div", {class: "field"}, el("label", {for: "audit-shift"}, say("page.audit.shift")), shift),
        fromField,
        toField,
        el("div", {class: "audit-filters-go"}, el("button", {type: "submit", class: "office", data: {test: "filter-go"}}, say("page.audit.show")), el("a", {href: "#/audit", class: "audit-link", data: {test: "filter-last"}}, say("page.audit.last_shift"))),
        el(
            "details",
            {class: "audit-more", open: narrowed},
            el("summary", {data: {test: "filter-more"}}, say("page.audit.narrow")),
            el("div", {class: "audit-more-fields"}, Object.entries(more).map(([name, label]) => box(name, label))),
        ),
        refusal,
    );
}

function shiftText(s) {
    if (s.running) return say("page.audit.shift_running", {shift: s.shift});
    if (s.signed_off_by) return say("page.audit.shift_signed", {shift: s.shift});
    return s.shift;
}
