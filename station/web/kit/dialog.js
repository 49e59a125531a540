// Questions over the page: for reasons, for a choice, and for another person's word. The browser's own modal dialog
// keeps focus inside; Escape is "no".
//
//   const values = await ask({title, body, fields, yes, no, use})     null when it was called off
//   const result = await askPerson({title, body, yes, use})           null when it was called off
//   callOff()                                                         every open question, unanswered
//
// ask: fields [{name, label, type: "text"|"area"|"secret"|"number"|"choice"|"check", options: [{value, text}], value,
//   hint, required, scan}]; body is text or nodes; `danger: true` marks what cannot be taken back.
//   use(values) -> {ok, why} (an answer of kit/api.js): the dialog stays open and shows why until it is ok; the
//   dialog's result is then {...values, answer}. Without `use` the values themselves.
// askPerson: whoever has the right gives badge and PIN, or a passphrase; nobody is signed out by it.
//   use(by) -> an answer of post(path, {..., by}); the result is that answer.

import {detail} from "./api.js";
import {el, newId} from "./dom.js";
import {onScan} from "./keys.js";
import {pinField} from "./pin.js";
import {say, sayMessage} from "./words.js";

function fieldOf(field) {
    const id = newId("ask");
    const describes = field.hint ? `${id}-hint` : undefined;
    const common = {id, name: field.name, required: field.required ?? false, aria: {describedby: describes}, data: {test: `ask-${field.name}`}};
    if (field.scan) common.data.scan = "here";
    let input = null;
    if (field.type === "area") input = el("textarea", {...common, rows: 3, value: field.value ?? ""});
    else if (field.type === "choice")
        input = el("select", common, field.options.map((o) => el("option", {value: o.value, selected: o.value === field.value}, o.text)));
    else if (field.type === "check") input = el("input", {...common, type: "checkbox", checked: field.value === true});
    else {
        const type = field.type === "secret" ? "password" : "text";
        const mode = field.type === "number" ? "decimal" : undefined;
        input = el("input", {...common, type, inputmode: mode, autocomplete: "off", value: field.value ?? ""});
    }
    const label = el("label", {for: id}, field.label);
    const hint = field.hint ? el("p", {id: describes, class: "hint"}, field.hint) : null;
    const order = field.type === "check" ? [input, label, hint] : [label, hint, input];
    return {
        node: el("div", {class: field.type === "check" ? "field check" : "field"}, order),
        name: field.name,
        input,
        read: () => (field.type === "check" ? input.checked : input.value.trim()),
    };
}

// Whoever was asked has gone: what stands in a question, and what was typed into it, is not for who comes next.
const opened = new Set();
export function callOff() {
    for (const finish of [...opened]) finish(null);
}

// The shell of both: resolves with what `finish` was given.
function open({title, body, kind}, build) {
    return new Promise((resolve) => {
        const id = newId("dialog");
        const dialog = el("dialog", {class: `ask ${kind ?? ""}`.trim(), aria: {labelledby: id}, data: {test: "dialog"}});
        const back = document.activeElement;
        let offScan = () => {};
        function finish(result) {
            if (!opened.delete(finish)) return; // called off while the station was asked
            offScan();
            dialog.close();
            dialog.remove();
            if (back?.isConnected) back.focus({preventScroll: true});
            resolve(result);
        }
        opened.add(finish);
        dialog.addEventListener("cancel", (event) => {
            event.preventDefault();
            finish(null);
        });
        const text = typeof body === "string" ? el("p", {class: "ask-body"}, body) : body;
        const built = build(finish);
        dialog.append(el("h2", {id}, title), ...(text ? [text].flat() : []), built.form);
        document.body.append(dialog);
        offScan = onScan(built.scan ?? (() => true)); // a scan while a question is open is no answer to the page
        dialog.showModal();
        (built.first ?? dialog.querySelector("input, textarea, select, button"))?.focus();
    });
}

// Shows a refusal in the form, and counts a wait down while the button rests.
export function refusalBox(button) {
    const box = el("p", {class: "refusal", role: "alert", hidden: true, data: {test: "refusal"}});
    let timer = 0;
    function clear() {
        clearInterval(timer);
        timer = 0;
        box.hidden = true;
        box.textContent = "";
        if (button) button.disabled = false;
    }
    function show(why) {
        clear();
        box.hidden = false;
        const seconds = Number(detail(why, "seconds"));
        if (why.code !== "people.wait" || !(seconds > 0)) {
            box.textContent = sayMessage(why);
            box.scrollIntoView({block: "nearest"}); // in a long form on a small screen it stands below the edge
            return;
        }
        const until = Date.now() + seconds * 1000;
        if (button) button.disabled = true;
        const count = el("strong", {aria: {hidden: "true"}, data: {test: "wait-count"}});
        box.replaceChildren(sayMessage(why), " ", count);
        const tick = () => {
            const left = Math.ceil((until - Date.now()) / 1000);
            if (left <= 0) {
                clear();
                box.hidden = false;
                box.textContent = say("page.signin.wait_over");
            } else count.textContent = say("page.signin.wait_left", {seconds: left});
        };
        tick();
        timer = setInterval(tick, 250);
    }
    return {node: box, show, clear, text: (words) => ((box.hidden = false), (box.textContent = words))};
}

export function ask({title, body, fields = [], yes, no, danger = false, use}) {
    return open({title, body, kind: danger ? "danger" : null}, (finish) => {
        const built = fields.map(fieldOf);
        const go = el("button", {type: "submit", class: danger ? "main danger" : "main", data: {test: "dialog-yes"}}, yes ?? say("page.ask.yes"));
        const refusal = refusalBox(go);
        const form = el(
            "form",
            {
                method: "dialog",
                novalidate: true,
                on: {
                    submit: async (event) => {
                        event.preventDefault();
                        if (go.disabled) return;
                        const empty = built.find((f, i) => fields[i].required && f.read() === "");
                        for (const f of built) f.input.removeAttribute("aria-invalid");
                        if (empty) {
                            empty.input.setAttribute("aria-invalid", "true");
                            empty.input.focus();
                            refusal.text(say("page.ask.empty", {field: fields[built.indexOf(empty)].label}));
                            return;
                        }
                        const values = Object.fromEntries(built.map((f) => [f.name, f.read()]));
                        if (!use) {
                            finish(values);
                            return;
                        }
                        refusal.clear();
                        go.disabled = true;
                        const answer = await use(values);
                        go.disabled = false;
                        if (answer.ok) finish({...values, answer});
                        else refusal.show(answer.why);
                    },
                },
            },
            built.map((f) => f.node),
            refusal.node,
            el(
                "div",
                {class: "buttons"},
                el("button", {type: "button", data: {test: "dialog-no"}, on: {click: () => finish(null)}}, no ?? say("page.ask.no")),
                go,
            ),
        );
        return {form, first: built[0]?.input};
    });
}

export function askPerson({title, body, yes, use}) {
    return open({title, body, kind: "person"}, (finish) => {
        const go = el("button", {type: "submit", class: "main", data: {test: "dialog-yes"}}, yes ?? say("page.ask.yes"));
        const refusal = refusalBox(go);
        const id = newId("who");
        const who = el("input", {id, type: "text", autocomplete: "off", spellcheck: "false", data: {test: "ask-person", scan: "here"}});
        const secret = pinField({onEnter: () => form.requestSubmit()});
        who.addEventListener("scan", () => secret.focus());
        const form = el(
            "form",
            {
                method: "dialog",
                novalidate: true,
                class: "ask-person",
                on: {
                    submit: async (event) => {
                        event.preventDefault();
                        if (go.disabled) return;
                        if (who.value.trim() === "") {
                            who.focus();
                            refusal.text(say("page.signin.who_first"));
                            return;
                        }
                        if (secret.value === "") {
                            secret.focus();
                            refusal.text(say("page.signin.secret_first"));
                            return;
                        }
                        refusal.clear();
                        go.disabled = true;
                        const answer = await use({person: who.value.trim(), ...secret.member()});
                        go.disabled = false;
                        if (answer.ok) {
                            finish(answer);
                            return;
                        }
                        secret.clear();
                        refusal.show(answer.why);
                        secret.focus();
                    },
                },
            },
            el(
                "div",
                {class: "ask-person-who"},
                el("div", {class: "field"}, el("label", {for: id}, say("page.signin.who")), who),
                secret.box,
                refusal.node,
                el(
                    "div",
                    {class: "buttons"},
                    el("button", {type: "button", data: {test: "dialog-no"}, on: {click: () => finish(null)}}, say("page.ask.no")),
                    go,
                ),
            ),
            secret.pad,
        );
        const scan = (text) => {
            who.value = text;
            secret.focus();
        };
        return {form, first: who, scan};
    });
}
