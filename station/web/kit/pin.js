// A person's secret: a PIN on large keys for gloves, or a passphrase on a keyboard. Nothing of it is ever shown but
// how many digits there are.
//
//   const secret = pinField({onEnter, onKind})
//   secret.box      the field with its count and the way to the other kind
//   secret.pad      the keys, 18 mm and more with 3 mm between them
//   secret.member() {pin} or {passphrase}, for the API
//   secret.value, secret.clear(), secret.focus(), secret.use("pin" | "passphrase"), secret.kind

import {el, newId} from "./dom.js";
import {say} from "./words.js";

export function pinField({onEnter, kind: first = "pin", label, choose = true, onKind} = {}) {
    let kind = first;
    const id = newId("secret");
    const input = el("input", {
        id,
        type: "password",
        autocomplete: "off",
        spellcheck: "false",
        maxlength: 256,
        class: "secret",
        aria: {describedby: `${id}-count`},
        data: {test: "secret", keep: "no"},
    });
    const name = el("label", {for: id});
    const count = el("output", {id: `${id}-count`, class: "secret-count", for: id, aria: {live: "off"}, data: {test: "secret-count"}});
    const other = el("button", {type: "button", class: "plain", data: {test: "secret-other"}, on: {click: () => {
        use(kind === "pin" ? "passphrase" : "pin");
        onKind?.(kind);
        input.focus();
    }}});
    const show = el("input", {id: `${id}-show`, type: "checkbox", on: {change: () => (input.type = show.checked ? "text" : "password")}});
    const showing = el("div", {class: "field check"}, show, el("label", {for: `${id}-show`}, say("page.signin.show_passphrase")));

    function counted() {
        const n = input.value.length;
        count.textContent =
            kind === "passphrase" || n === 0 ? "" : n === 1 ? say("page.signin.digit") : say("page.signin.digits", {count: n});
    }
    input.addEventListener("input", () => {
        if (kind === "pin") {
            const digits = input.value.replace(/\D/g, ""); // pasted with spaces, too
            if (digits !== input.value) input.value = digits;
        }
        counted();
    });

    const press = (digit) => {
        input.value += digit;
        counted();
    };
    const key = (digit) =>
        el("button", {type: "button", class: digit === "0" ? "key zero" : "key", data: {test: `key-${digit}`}, on: {click: () => press(digit)}}, digit);
    const pad = el(
        "div",
        {class: "pad", role: "group", aria: {label: say("page.signin.pad")}},
        ["1", "2", "3", "4", "5", "6", "7", "8", "9"].map(key),
        el("button", {type: "button", class: "key side", aria: {label: say("page.signin.back")}, data: {test: "key-back"}, on: {click: () => {
            input.value = input.value.slice(0, -1);
            counted();
        }}}, "\u232b"),
        key("0"),
        el("button", {type: "button", class: "key side enter", aria: {label: say("page.signin.enter")}, data: {test: "key-enter"}, on: {click: () => onEnter?.()}}, "\u21b5"),
    );

    function use(next) {
        kind = next;
        input.value = "";
        input.type = "password";
        show.checked = false;
        input.inputMode = kind === "pin" ? "numeric" : "text";
        name.textContent = label ?? say(kind === "pin" ? "page.signin.pin" : "page.signin.passphrase");
        other.textContent = say(kind === "pin" ? "page.signin.use_passphrase" : "page.signin.use_pin");
        pad.hidden = kind !== "pin";
        showing.hidden = kind === "pin";
        counted();
    }
    use(kind);

    return {
        box: el("div", {class: "field secret-field"}, name, input, count, showing, choose ? other : null),
        pad,
        get kind() {
            return kind;
        },
        get value() {
            return input.value;
        },
        member: () => ({[kind]: input.value}),
        clear() {
            input.value = "";
            counted();
        },
        focus: () => input.focus(),
        use,
    };
}
