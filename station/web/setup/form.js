// Forms for a desk: labels above the fields, two columns, errors at the field and in a summary that leads to it. What
// was typed stays whatever is refused.
//
//   const form = makeForm({test, go, fields, submit, where})
//     fields    [{name, label, hint, type, value, options, required, quiet, check(value) -> words | null, scan, wide}
//                | {head: words} | {node}]
//               type: text, area, secret, whole, length, measure, choice, check, day
//     submit    async (values) -> an answer of kit/api.js, or null when it was called off; a length's value is whole nm
//     where     (why) -> name of the field that a refusal is about, or null
//   form.node, form.values() -> values | null (errors are shown then), form.set(name, value), form.clear(),
//   form.input(name), form.show([{name | null, words}]), form.refuse(why)

import {detail} from "../kit/api.js";
import {el, newId, redraw} from "../kit/dom.js";
import {parseLength, shown, unitOf} from "../kit/lengths.js";
import {say, sayMessage} from "../kit/words.js";
import {isDay} from "./parts.js";

function optionsOf(select, options, value) {
    select.replaceChildren(...options.map((o) => el("option", {value: o.value, selected: o.value === value}, o.text)));
}

function makeField(field, unit) {
    const id = newId("f");
    const errorId = `${id}-error`;
    const hintId = field.hint ? `${id}-hint` : null;
    const common = {
        id,
        name: field.name,
        aria: {describedby: [hintId, errorId].filter(Boolean).join(" "), required: field.required === false || field.type === "check" ? null : "true"},
        data: {test: `field-${field.name}`, scan: field.scan ? "here" : null},
    };
    const box = (more) => el("input", {...common, type: "text", autocomplete: "off", spellcheck: "false", value: field.value ?? "", ...more});
    let input = null;
    let inner = null;
    let units = null;
    switch (field.type) {
        case "area":
            input = el("textarea", {...common, rows: 2, value: field.value ?? ""});
            break;
        case "choice":
            input = el("select", common);
            optionsOf(input, field.options, field.value);
            break;
        case "check":
            input = el("input", {...common, type: "checkbox", checked: field.value === true});
            break;
        case "secret":
            input = box({type: "password", autocomplete: "new-password", inputmode: field.digits ? "numeric" : null});
            break;
        case "whole":
            input = box({inputmode: "numeric"});
            break;
        case "length":
            input = box({inputmode: "decimal", value: ""});
            units = el("select", {aria: {label: say("page.setup.form.unit_of", {field: field.label})}, data: {test: `unit-${field.name}`}});
            optionsOf(units, [{value: "mm", text: "mm"}, {value: "in", text: "in"}], unitOf(unit));
            inner = el("div", {class: "setup-length"}, input, units);
            break;
        // A figure that goes on as it was typed, with its unit: {text, unit}.
        case "measure":
            input = box({inputmode: "decimal"});
            units = el("select", {aria: {label: say("page.setup.form.unit_of", {field: field.label})}, data: {test: `unit-${field.name}`}});
            optionsOf(units, field.units ?? [{value: "mm", text: "mm"}, {value: "in", text: "in"}], field.units ? field.units[0].value : unitOf(unit));
            inner = el("div", {class: "setup-length"}, input, units);
            break;
        case "day":
            input = box({placeholder: "YYYY-MM-DD", maxlength: 10});
            break;
        default:
            input = box();
    }
    const label = el("label", {for: id}, field.label, field.required === false && !field.quiet ? el("span", {class: "hint"}, ` ${say("page.setup.form.optional")}`) : null);
    const hint = hintId ? el("p", {id: hintId, class: "hint"}, field.hint) : null;
    const error = el("p", {id: errorId, class: "setup-error", hidden: true, data: {test: `error-${field.name}`}});
    const body = inner ?? input;
    const classes = ["field", field.type === "check" ? "check" : "", field.wide ? "wide" : ""].filter(Boolean).join(" ");
    const node = el("div", {class: classes}, field.type === "check" ? [input, label, hint, error] : [label, hint, el("div", {class: "setup-box"}, body, error)]);

    // {value} or {words}: what is wrong with it.
    function read() {
        if (field.type === "check") return {value: input.checked};
        const text = field.type === "secret" ? input.value : input.value.trim();
        if (text === "") {
            if (field.required !== false) return {words: say("page.setup.form.empty")};
            return {value: ["whole", "length", "measure"].includes(field.type) ? null : ""};
        }
        let value = text;
        if (field.type === "whole") {
            if (!/^\d{1,15}$/.test(text)) return {words: say("page.setup.form.not_whole")};
            value = Number(text);
        }
        if (field.type === "length") {
            value = parseLength(text, units.value);
            if (value === null) return {words: say("page.setup.form.not_length")};
            if (value <= 0 && field.positive !== false) return {words: say("page.setup.form.not_positive")};
        }
        if (field.type === "measure") value = {text, unit: units.value};
        if (field.type === "day" && !isDay(text)) return {words: say("page.setup.form.not_day")};
        const words = field.check?.(value);
        return words ? {words} : {value};
    }

    function set(value) {
        if (field.type === "check") input.checked = value === true;
        else if (field.type === "length") input.value = typeof value === "number" ? shown(value, units.value, 0).replace("\u2212", "-") : "";
        else input.value = value ?? "";
    }
    if (field.type === "length" && typeof field.value === "number") set(field.value);

    return {
        ...field,
        node,
        input,
        units,
        read,
        set,
        options: (list, value) => optionsOf(input, list, value ?? input.value),
        tell(words) {
            error.hidden = !words;
            error.textContent = words ?? "";
            if (words) input.setAttribute("aria-invalid", "true");
            else input.removeAttribute("aria-invalid");
        },
    };
}

export function makeForm({test, go, fields, submit, where, danger = false, unit = "mm", second}) {
    const built = [];
    const nodes = fields.map((f) => {
        if (f.head) return el("h3", {class: "wide"}, f.head);
        if (f.node) return el("div", {class: "wide"}, f.node);
        const made = makeField(f, unit);
        built.push(made);
        return made.node;
    });
    const named = (name) => built.find((f) => f.name === name);
    const summary = el("div", {class: "setup-summary refusal", role: "alert", tabindex: "-1", hidden: true, data: {test: "form-errors"}});
    const button = el("button", {type: "submit", class: danger ? "main danger office" : "main office", data: {test: `${test}-go`}}, go);

    function clear() {
        for (const f of built) f.tell(null);
        summary.hidden = true;
        summary.replaceChildren();
    }

    // errors [{name, words}]: a name of no field here stands in the summary alone.
    function show(errors) {
        clear();
        const at = new Map();
        for (const e of errors) if (named(e.name)) at.set(e.name, [...(at.get(e.name) ?? []), e.words]);
        for (const [name, words] of at) named(name).tell(words.join(" "));
        summary.hidden = false;
        redraw(
            summary,
            el("p", {}, errors.length === 1 ? say("page.setup.form.one_error") : say("page.setup.form.errors", {count: errors.length})),
            el(
                "ul",
                {},
                errors.map((e) =>
                    el(
                        "li",
                        {},
                        named(e.name)
                            ? el("button", {type: "button", class: "plain", on: {click: () => named(e.name).input.focus()}}, `${named(e.name).label}: ${e.words}`)
                            : e.words,
                    ),
                ),
            ),
        );
        summary.focus();
    }

    function refuse(why) {
        const name = where?.(why) ?? detail(why, "field") ?? detail(why, "member");
        show([{name: named(name) ? name : named(name?.replace(/_nm$/, ""))?.name, words: sayMessage(why)}]);
    }

    function values() {
        const out = {};
        const errors = [];
        for (const f of built) {
            if (f.node.hidden) continue;
            const one = f.read();
            if (one.words) errors.push({name: f.name, words: one.words});
            else out[f.name] = one.value;
        }
        if (errors.length > 0) {
            show(errors);
            return null;
        }
        clear();
        return out;
    }

    const form = el(
        "form",
        {
            class: "setup-form",
            novalidate: true,
            data: {test},
            on: {
                submit: async (event) => {
                    event.preventDefault();
                    if (button.disabled) return;
                    const read = values();
                    if (!read) return;
                    button.disabled = true;
                    try {
                        const answer = await submit(read);
                        if (answer && !answer.ok && answer.why) refuse(answer.why);
                    } finally {
                        button.disabled = false;
                    }
                },
            },
        },
        el("div", {class: "wide"}, summary),
        nodes,
        el("div", {class: "wide buttons"}, second ?? null, button),
    );
    return {
        node: form,
        values,
        show,
        refuse,
        clear,
        button,
        field: named,
        input: (name) => named(name).input,
        set: (name, value) => named(name).set(value),
        empty() {
            clear();
            for (const f of built) f.set(f.type === "check" ? f.value === true : f.type === "length" ? f.value : (f.value ?? (f.type === "choice" ? f.input.options[0]?.value : "")));
        },
    };
}
