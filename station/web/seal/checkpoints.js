// The checkpoints as files to keep, what proves that one extends another, and a countersignature brought back.

import {post} from "../kit/api.js";
import {el, newId, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {stamp} from "../holds/texts.js";
import {makeForm} from "../setup/form.js";
import {listTable, section} from "../setup/parts.js";

const fileOf = (size) => `/api/checkpoints/${size}`;
const proofOf = (from, to) => `/api/consistency?${new URLSearchParams({from, to})}`;

const causes = {
    asked: "page.seal.cause_asked",
    hour: "page.seal.cause_hour",
    shift_end: "page.seal.cause_shift_end",
    certificate: "page.seal.cause_certificate",
    start: "page.seal.cause_start",
    key: "page.seal.cause_key",
};

// A name and when, by that witness's own clock.
function countersigners(checkpoint, zone) {
    if (checkpoint.countersignatures.length === 0) return say("page.seal.by_nobody");
    return checkpoint.countersignatures.map((c) => el("div", {}, el("b", {}, c.holder || c.name), ` ${stamp(c.signed, zone)}`));
}

// From which to which: two choices and the file between them.
function proofChoice(list) {
    if (list.length < 2) return null;
    const ids = {from: newId("proof"), to: newId("proof")};
    const choice = (id, chosen, test) =>
        el("select", {id, data: {test}, on: {change: follow}}, list.map((c) => el("option", {value: String(c.size), selected: c.size === chosen}, String(c.size))));
    const link = el("a", {class: "button", download: "proof.txt", data: {test: "proof-file"}}, say("page.seal.proof_file"));
    // The one that was countersigned last is where a witness goes on from.
    const since = list.slice(1).find((c) => c.countersignatures.length > 0) ?? list[1];
    const from = choice(ids.from, since.size, "proof-from");
    const to = choice(ids.to, list[0].size, "proof-to");
    function follow() {
        const [a, b] = [Number(from.value), Number(to.value)].sort((x, y) => x - y);
        link.setAttribute("href", proofOf(a, b));
        link.setAttribute("download", `proof-${a}-${b}.txt`);
    }
    follow();
    return el(
        "div",
        {class: "seal-proof"},
        el("h3", {}, say("page.seal.proof")),
        el("p", {class: "hint"}, say("page.seal.proof_hint")),
        el("div", {class: "row"}, el("label", {for: ids.from}, say("page.seal.from")), from, el("label", {for: ids.to}, say("page.seal.to")), to, link),
    );
}

export function checkpointsPart(place, page, context) {
    const list = el("div", {class: "setup-body"});
    let reload = () => {};

    const file = el("input", {
        type: "file",
        accept: ".txt,text/plain",
        aria: {label: say("page.seal.choose_file")},
        data: {test: "countersigned-file"},
        on: {
            change: async () => {
                const text = await file.files[0]?.text();
                if (text) form.set("line", text);
            },
        },
    });
    const form = makeForm({
        test: "bring-form",
        go: say("page.seal.bring"),
        fields: [
            {node: el("p", {class: "hint"}, say("page.seal.bring_how"))},
            {node: el("div", {class: "field"}, el("span", {}, say("page.seal.choose_file")), file)},
            {name: "line", label: say("page.seal.line"), hint: say("page.seal.line_hint"), type: "area", wide: true},
            {name: "size", label: say("page.seal.size"), hint: say("page.seal.size_hint"), type: "whole", required: false},
        ],
        submit: async (v) => {
            const size = String(v.size ?? "").trim();
            const answer = await post("/api/checkpoints/countersignature", size === "" ? {line: v.line} : {line: v.line, size: Number(size)});
            if (answer.ok) {
                page.receipt(answer, say("page.seal.brought", {size: answer.body.size, names: answer.body.witnesses.join(", ")}));
                form.set("line", "");
                form.set("size", "");
                file.value = "";
                reload();
            }
            return answer;
        },
    });
    place.append(section(say("page.seal.checkpoints"), "seal-checkpoints", list, el("details", {id: "seal-bring", class: "seal-more", data: {test: "bring"}}, el("summary", {}, say("page.seal.bring_title")), form.node)));

    return {
        draw(all, again) {
            reload = again;
            const zone = context.bench()?.time_zone;
            redraw(
                list,
                listTable({
                    caption: say("page.seal.checkpoints"),
                    test: "checkpoints",
                    rowTest: (c) => `checkpoint-${c.size}`,
                    rows: all.checkpoints,
                    empty: say("page.seal.no_checkpoint"),
                    columns: [
                        {head: say("page.seal.entries"), rowhead: true, number: true, cell: (c) => String(c.size)},
                        {head: say("page.seal.signed"), cell: (c) => stamp(c.time, zone)},
                        {head: say("page.seal.because"), cell: (c) => (causes[c.cause] ? say(causes[c.cause]) : c.cause)},
                        {head: say("page.seal.by"), cell: (c) => c.who_name ?? (c.who || "\u2013")},
                        {head: say("page.seal.countersigned"), cell: (c) => countersigners(c, zone)},
                        {head: say("page.seal.file"), cell: (c) => el("a", {class: "deliveries-link", href: fileOf(c.size), download: `checkpoint-${c.size}.txt`, data: {test: `file-${c.size}`}}, say("page.seal.file_of", {size: c.size}))},
                    ],
                }),
                proofChoice(all.checkpoints),
            );
        },
    };
}
