// Typing with gloves: a line and keys of 15 mm, for a label that no scanner reads.
//
//   const typing = keyPanel({label, yes, onDone(text), onCancel})
//   typing.node, typing.focus()

import {el, newId} from "../kit/dom.js";
import {language, say} from "../kit/words.js";

const rows = {
    en: ["1234567890", "QWERTYUIOP", "ASDFGHJKL-", "ZXCVBNM./"],
    de: ["1234567890", "QWERTZUIOP", "ASDFGHJKL-", "YXCVBNM./"],
};

export function keyPanel({label, yes, onDone, onCancel}) {
    const id = newId("typed");
    const input = el("input", {
        id,
        type: "text",
        class: "order-typed",
        autocomplete: "off",
        autocapitalize: "characters",
        spellcheck: "false",
        maxlength: 64,
        data: {test: "typed", scan: "here"},
    });
    const put = (text) => {
        input.value += text;
        input.focus();
    };
    const key = (text) => el("button", {type: "button", class: "order-key", data: {test: `type-${text}`}, on: {click: () => put(text)}}, text);
    const back = el(
        "button",
        {
            type: "button",
            class: "order-key",
            aria: {label: say("page.order.key_back")},
            data: {test: "type-back"},
            on: {
                click: () => {
                    input.value = input.value.slice(0, -1);
                    input.focus();
                },
            },
        },
        "\u232b",
    );
    const lines = rows[language()] ?? rows.en;
    const form = el(
        "form",
        {
            class: "order-typing",
            novalidate: true,
            data: {test: "typing"},
            on: {
                submit: (event) => {
                    event.preventDefault();
                    const text = input.value.trim();
                    if (text !== "") onDone(text);
                },
            },
        },
        el("label", {for: id}, label),
        input,
        el(
            "div",
            {class: "order-keys", role: "group", aria: {label: say("page.order.keys")}},
            lines.map((line, i) => el("div", {class: "order-key-row"}, [...line].map(key), i === lines.length - 1 ? back : null)),
        ),
        el(
            "div",
            {class: "order-typing-buttons"},
            el("button", {type: "button", data: {test: "typing-no"}, on: {click: onCancel}}, say("page.ask.no")),
            el("button", {type: "submit", class: "main", data: {test: "typing-yes"}}, yes),
        ),
    );
    input.addEventListener("scan", () => form.requestSubmit());
    return {node: form, focus: () => input.focus()};
}
