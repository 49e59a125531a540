// The changes to one person, each a question that says what it brings about. Each gives [answer, words] when it was done
// and null when it was called off.
import {post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {roleName} from "../kit/names.js";
import {say} from "../kit/words.js";
import {phraseWords, pinWords, roleOptions} from "./person_form.js";

// A refusal of the page's own, in the form of the station's.
const refused = (code, details = {}) => ({ok: false, why: {code, details: Object.entries(details).map(([name, text]) => ({name, text: String(text)}))}});

export async function giveBadge(p) {
    const values = await ask({
        title: say("page.setup.people.badge_title", {name: p.name}),
        body: say("page.setup.people.badge_means", {badge: p.badge || p.person}),
        fields: [{name: "badge", label: say("page.setup.people.badge"), scan: true, required: true}],
        yes: say("page.setup.people.badge_new"),
        use: ({badge}) => post("/api/people/badge", {person: p.person, badge}),
    });
    return values && [values.answer, say("page.setup.people.badge_given", {name: p.name, badge: values.badge})];
}

export async function giveRole(p) {
    const values = await ask({
        title: say("page.setup.people.role_title", {name: p.name}),
        body: say("page.setup.people.role_means", {role: roleName(p.role)}),
        fields: [{name: "role", label: say("page.setup.people.role"), type: "choice", options: roleOptions(), value: p.role}],
        yes: say("page.setup.people.role_new"),
        use: ({role}) => post("/api/people/role", {person: p.person, role}),
    });
    return values && [values.answer, say("page.setup.people.role_given", {name: p.name, role: roleName(values.role)})];
}

export async function giveSecret(p, kind) {
    const pin = kind === "pin";
    const rules = pin ? say("page.setup.people.pin_hint") : say("page.setup.people.passphrase_hint");
    const values = await ask({
        title: pin ? say("page.setup.people.pin_title", {name: p.name}) : say("page.setup.people.passphrase_title", {name: p.name}),
        body: p.locked ? say("page.setup.people.secret_lets_in") : say("page.setup.people.secret_means"),
        fields: [
            {name: "secret", label: pin ? say("page.setup.people.pin") : say("page.setup.people.passphrase"), type: "secret", hint: rules, required: true},
            {name: "again", label: say("page.self.secret_again"), type: "secret", required: true},
        ],
        yes: pin ? say("page.setup.people.pin_new") : say("page.setup.people.passphrase_new"),
        use: async ({secret, again}) => {
            if (secret !== again) return refused("page.self.differ");
            if (pin && pinWords(secret)) return /^\d+$/.test(secret) ? refused("people.pin_too_short", {least: 6}) : refused("people.pin_not_digits");
            if (!pin && phraseWords(secret)) return refused("people.passphrase_too_short", {least: 15});
            return post("/api/people/secret", {person: p.person, [kind]: secret});
        },
    });
    return values && [values.answer, pin ? say("page.setup.people.pin_given", {name: p.name}) : say("page.setup.people.passphrase_given", {name: p.name})];
}

export async function retire(p) {
    const values = await ask({
        title: say("page.setup.people.retire_title", {name: p.name}),
        body: say("page.setup.people.retire_means"),
        fields: [{name: "reason", label: say("page.setup.reason"), type: "area", required: true, hint: say("page.setup.people.retire_hint")}],
        yes: say("page.setup.people.retire"),
        danger: true,
        use: ({reason}) => post("/api/people/retire", {person: p.person, reason}),
    });
    return values && [values.answer, say("page.setup.people.retired_now", {name: p.name})];
}
