// One entry of the journal as it was written: who, when, what, and its place in the chain. For whoever asks "how do you
// know".
//
//   #/audit/entry/57

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {localTime} from "./cells.js";

// What an entry says, member by member, as text; nothing of it is left away.
function members(value, path = "") {
    if (value === null || typeof value !== "object") return [[path, String(value)]];
    const list = Array.isArray(value) ? value.map((v, i) => [`${path}[${i}]`, v]) : Object.entries(value).map(([k, v]) => [path ? `${path}.${k}` : k, v]);
    if (list.length === 0) return [[path, Array.isArray(value) ? "[]" : "{}"]];
    return list.flatMap(([name, v]) => members(v, name));
}

export function show(root, context) {
    const seq = Number(context.rest[1]);
    const body = el("div", {class: "audit-body"});
    let gone = false;
    root.replaceChildren(el("div", {class: "audit office"}, el("a", {class: "audit-link", href: "#/audit", data: {test: "back"}}, `\u2039 ${say("page.audit.title")}`), el("h1", {}, say("page.audit.entry", {seq: Number.isInteger(seq) ? seq : "?"})), body));

    const row = (name, value) => el("div", {}, el("dt", {}, name), el("dd", {}, value));
    function draw(entry) {
        const serial = entry.body?.serial;
        const near = (n) => (n > 0 ? el("a", {class: "audit-link", href: `#/audit/entry/${n}`}, say("page.audit.entry", {seq: n})) : null);
        redraw(
            body,
            el(
                "dl",
                {class: "audit-entry", data: {test: "entry"}},
                row(say("page.audit.entry_type"), el("code", {}, entry.type)),
                row(say("page.audit.entry_time"), el("time", {datetime: entry.time}, localTime(entry.time, context.bench()?.time_zone))),
                row(say("page.audit.entry_who"), entry.who || say("page.holds.the_station")),
                serial ? row(say("page.audit.entry_serial"), el("a", {href: `#/holds/${encodeURIComponent(serial)}`}, serial)) : null,
                entry.hash ? row(say("page.audit.entry_hash"), el("code", {class: "audit-hash"}, entry.hash)) : null,
            ),
            entry.withheld
                ? el("p", {class: "audit-note"}, say("page.audit.entry_withheld"))
                : el(
                      "div",
                      {class: "scrolls", tabindex: "0", role: "group", aria: {label: say("page.audit.entry_says")}},
                      el("table", {data: {test: "entry-members"}}, el("caption", {}, say("page.audit.entry_says")), el("tbody", {}, members(entry.body ?? {}).map(([name, value]) => el("tr", {}, el("th", {scope: "row"}, el("code", {}, name)), el("td", {}, value))))),
                  ),
            el("p", {class: "row"}, near(seq - 1), near(seq < (context.bench()?.seq ?? 0) ? seq + 1 : 0)),
        );
    }

    get(`/api/entries?from=${encodeURIComponent(seq)}&limit=1`).then((answer) => {
        if (gone) return;
        const entry = answer.ok ? answer.body.entries?.find((e) => e.seq === seq) : null;
        if (entry) draw(entry);
        else redraw(body, el("p", {class: "refusal", role: "alert", data: {test: "no-entry"}}, answer.ok ? say("page.audit.no_entry") : sayMessage(answer.why)));
    });
    return {update() {}, entry() {}, leave: () => (gone = true)};
}
