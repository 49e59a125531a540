// Who countersigns: keys that are kept elsewhere, entered and taken out by a lead or a setter.

import {post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";
import {listTable, section} from "../setup/parts.js";
import {keyBox} from "./keys.js";

export function witnessesPart(place, page) {
    const may = page.may("lead", "setter");
    const list = el("div", {class: "setup-body"});
    let reload = () => {};

    async function forget(witness) {
        const result = await ask({
            title: say("page.seal.forget_title", {holder: witness.holder}),
            body: say("page.seal.forget_body"),
            fields: [{name: "reason", label: say("page.seal.reason"), type: "text", required: true}],
            yes: say("page.seal.forget"),
            danger: true,
            use: (values) => post("/api/witnesses/forget", {key: witness.key, reason: values.reason}),
        });
        if (!result) return;
        page.receipt(result.answer, say("page.seal.forgotten", {holder: witness.holder}));
        reload();
    }

    const form = makeForm({
        test: "witness-form",
        go: say("page.seal.know"),
        fields: [
            {name: "holder", label: say("page.seal.holder"), hint: say("page.seal.holder_hint")},
            {name: "key", label: say("page.seal.witness_key"), hint: say("page.seal.witness_hint"), wide: true},
        ],
        where: (why) => (why.code.startsWith("key.") || why.code.startsWith("witness.") || why.code === "record.witness_known" ? "key" : null),
        submit: async (v) => {
            const answer = await post("/api/witnesses", {key: v.key, holder: v.holder});
            if (answer.ok) {
                page.receipt(answer, say("page.seal.known", {holder: v.holder}));
                form.set("key", "");
                form.set("holder", "");
                reload();
            }
            return answer;
        },
    });
    place.append(
        section(
            say("page.seal.witnesses"),
            "seal-witnesses",
            list,
            may ? el("details", {id: "seal-know", class: "seal-more", data: {test: "know"}}, el("summary", {}, say("page.seal.know_title")), form.node) : null,
        ),
    );

    return {
        draw(all, again) {
            reload = again;
            const columns = [
                {head: say("page.seal.holder"), rowhead: true, cell: (w) => w.holder},
                {head: say("page.seal.public_key"), cell: (w) => keyBox(w.key, say("page.seal.key_of", {name: w.holder}), `witness-key-${w.name}`)},
            ];
            if (may) columns.push({head: say("page.seal.forget"), cell: (w) => el("button", {type: "button", class: "office", data: {test: `forget-${w.name}`}, on: {click: () => forget(w)}}, say("page.seal.forget"))});
            redraw(list, listTable({caption: say("page.seal.witnesses"), test: "witnesses", rows: all.witnesses, empty: say("page.seal.no_witness"), columns}));
        },
    };
}
