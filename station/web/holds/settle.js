// What may be done about a hold, by whom, and doing it. What cannot be done is shown with its reason (R7); whoever
// measured sees who may (R9).
//
//   choices(assembly, {session, limits, done(how), context})     the buttons; done after something was settled

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {roleName} from "../kit/names.js";
import {say, sayMessage} from "../kit/words.js";
import {all, standing} from "./standing.js";

const whyWords = {
    own: "page.holds.why_own",
    own_operator: "page.holds.why_own_operator",
    auditor: "page.holds.why_auditor",
    not_lead: "page.holds.why_not_lead",
    scrap_only: "page.holds.why_scrap_only",
};

const titles = {
    recrimp: "page.holds.do_recrimp",
    remeasure: "page.holds.do_remeasure",
    concession: "page.holds.do_concession",
    scrap: "page.holds.do_scrap",
};
const means = {
    recrimp: "page.holds.means_recrimp",
    remeasure: "page.holds.means_remeasure",
    concession: "page.holds.means_concession",
    scrap: "page.holds.means_scrap",
};

export function whoMay(assembly) {
    const list = assembly.may_settle ?? [];
    if (list.length === 0) return say("page.holds.nobody_may");
    return say("page.holds.who_may", {
        names: list.map((p) => (p.scrap_only ? say("page.holds.name_scrap_only", {name: p.name}) : say("page.holds.name_role", {name: p.name, role: roleName(p.role)}))).join(", "),
    });
}

async function settle(how, assembly, {limits, context}) {
    const serial = assembly.assembly.serial;
    const needsSecond = how === "concession" && limits?.concession_needs_second;
    const fields = [];
    if (how === "concession") fields.push({name: "reference", label: say("page.holds.reference"), type: "text", hint: say("page.holds.reference_hint"), required: true});
    fields.push({name: "reason", label: say("page.holds.reason"), type: "area", required: true});
    if (needsSecond)
        fields.push(
            {name: "second", label: say("page.holds.second"), type: "text", hint: say("page.holds.second_hint"), required: true, scan: true},
            {name: "secret", label: say("page.holds.second_secret"), type: "secret", required: true},
        );
    return ask({
        title: say("page.holds.settle_title", {serial, how: say(titles[how])}),
        body: say(means[how]),
        danger: how === "scrap",
        yes: say(titles[how]),
        fields,
        use: (values) => {
            const body = {serial, how, reason: values.reason};
            if (how === "concession") body.customer_reference = values.reference;
            if (needsSecond) body.second = {person: values.second, [/^\d{6,}$/.test(values.secret) ? "pin" : "passphrase"]: values.secret};
            return context.post("/api/holds/settle", body);
        },
    });
}

export function choices(assembly, options) {
    const {session} = options;
    const {can, why} = standing(assembly, session);
    const possible = new Map((assembly.may ?? []).map((m) => [m.how, m]));
    const button = (how) => {
        const choice = possible.get(how);
        const open = choice?.possible && can.has(how);
        const id = `holds-why-${how}`;
        return el(
            "li",
            {class: choice?.possible ? "holds-choice" : "holds-choice no", data: {test: `choice-${how}`}},
            el(
                "button",
                {
                    class: how === "scrap" ? "danger" : null,
                    disabled: !open,
                    aria: {describedby: id},
                    data: {test: `do-${how}`},
                    on: {
                        click: async () => {
                            const result = await settle(how, assembly, options);
                            if (result) options.done(how);
                        },
                    },
                },
                say(titles[how]),
            ),
            el("p", {id, data: {test: `why-${how}`}}, choice?.possible ? say(means[how]) : [el("b", {}, say("page.holds.not_possible")), " ", sayMessage(choice?.why)]),
        );
    };
    return el(
        "section",
        {class: "holds-choices", data: {test: "choices"}},
        el("h2", {}, say("page.holds.what_may")),
        why ? el("p", {class: "holds-standing", data: {test: "standing", why}}, say(whyWords[why]), " ", why === "scrap_only" ? null : el("b", {}, whoMay(assembly))) : null,
        el("ul", {}, [...all].sort((a, b) => Number(possible.get(b)?.possible ?? false) - Number(possible.get(a)?.possible ?? false)).map(button)), // what is possible first
    );
}
