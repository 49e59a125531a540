// Somebody new. The rules of PIN and passphrase are said before they are broken; the station holds them all the same.
import {roleName} from "../kit/names.js";
import {onScan} from "../kit/keys.js";
import {el} from "../kit/dom.js";
import {languages, say} from "../kit/words.js";
import {makeForm} from "./form.js";

const PIN_LEAST = 6;
const PHRASE_LEAST = 15; // characters, not bytes

export function pinWords(pin) {
    if (!/^\d+$/.test(pin)) return say("people.pin_not_digits");
    return pin.length < PIN_LEAST ? say("people.pin_too_short", {least: PIN_LEAST}) : null;
}

export const phraseWords = (text) => ([...text].length < PHRASE_LEAST ? say("people.passphrase_too_short", {least: PHRASE_LEAST}) : null);

export const roleOptions = () => [
    {value: "operator", text: `${roleName("operator")} \u2013 ${say("page.setup.people.operator_may")}`},
    {value: "lead", text: `${roleName("lead")} \u2013 ${say("page.setup.people.lead_may")}`},
    {value: "setter", text: `${roleName("setter")} \u2013 ${say("page.setup.people.setter_may")}`},
    {value: "auditor", text: `${roleName("auditor")} \u2013 ${say("page.setup.people.auditor_may")}`},
];

export function secretField(why) {
    if (why.code.startsWith("people.pin")) return "pin";
    if (why.code.startsWith("people.passphrase")) return "passphrase";
    if (why.code === "bench.badge_taken") return "badge";
    if (why.code === "bench.person_known") return "person";
    return null;
}

export function personForm({submit, cancel}) {
    const form = makeForm({
        test: "person-form",
        go: say("page.setup.people.add"),
        second: el("button", {type: "button", class: "office", data: {test: "person-cancel"}, on: {click: () => leave()}}, say("page.ask.no")),
        where: secretField,
        fields: [
            {name: "name", label: say("page.setup.people.name"), hint: say("page.setup.people.name_hint")},
            {name: "person", label: say("page.setup.people.person"), hint: say("page.setup.people.person_hint")},
            {name: "role", type: "choice", value: "operator", options: roleOptions(), label: say("page.setup.people.role"), hint: say("page.setup.people.role_hint")},
            {name: "badge", scan: true, required: false, label: say("page.setup.people.badge"), hint: say("page.setup.people.badge_hint")},
            {head: say("page.setup.people.proves")},
            {name: "pin", type: "secret", digits: true, required: false, quiet: true, check: pinWords, label: say("page.setup.people.pin"), hint: say("page.setup.people.pin_hint")},
            {name: "pin_again", type: "secret", digits: true, required: false, quiet: true, label: say("page.setup.people.pin_again")},
            {name: "passphrase", type: "secret", required: false, quiet: true, check: phraseWords, label: say("page.setup.people.passphrase"), hint: say("page.setup.people.passphrase_hint")},
            {name: "passphrase_again", type: "secret", required: false, quiet: true, label: say("page.setup.people.passphrase_again")},
            {head: say("page.setup.people.rest")},
            {
                name: "language",
                type: "choice",
                value: "en",
                options: languages.map((l) => ({value: l.language, text: l.name})),
                label: say("page.setup.people.language"),
                hint: say("page.setup.people.language_hint"),
            },
        ],
        submit: async (v) => {
            const errors = [];
            if (v.pin === "" && v.passphrase === "") errors.push({name: "pin", words: say("page.setup.people.secret_needed")});
            if (v.pin !== v.pin_again) errors.push({name: "pin_again", words: say("page.self.differ")});
            if (v.passphrase !== v.passphrase_again) errors.push({name: "passphrase_again", words: say("page.self.differ")});
            if (errors.length > 0) {
                form.show(errors);
                return null;
            }
            const body = {person: v.person, name: v.name, role: v.role, language: v.language};
            for (const name of ["pin", "passphrase", "badge"]) if (v[name] !== "") body[name] = v[name];
            const answer = await submit(body);
            if (answer.ok) leave();
            return answer;
        },
    });
    // A badge that is held before the scanner is meant for its field, wherever the cursor stands.
    let off = () => {};
    function leave() {
        off();
        off = () => {};
        form.empty();
        cancel();
    }
    return {
        node: form.node,
        focus() {
            off();
            off = onScan((text) => form.set("badge", text));
            form.input("name").focus();
        },
        leave: () => off(),
    };
}
