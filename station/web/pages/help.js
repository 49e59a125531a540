// Help: one page for each role, two screens at most, and the cautions in full before anything else.
//
// What its person knows at that moment and wants next: something does not go on, and they stand in front of it. Nobody
// reads a manual then. So each line begins with what they see or want, and says what to do; whatever the bench already
// says in its own sentence is not told again here.

import {alertSign} from "../kit/frame.js";
import {el, redraw} from "../kit/dom.js";
import {roleName} from "../kit/names.js";
import {say} from "../kit/words.js";

// Panel: signal word, hazard, consequence, avoidance, in that order.
const cautions = [
    ["page.help.injection", "page.help.injection_then", "page.help.injection_avoid"],
    ["page.help.whip", "page.help.whip_then", "page.help.whip_avoid"],
    ["page.help.crush", "page.help.crush_then", "page.help.crush_avoid"],
    ["page.help.burns", "page.help.burns_then", "page.help.burns_avoid"],
];

const lines = {
    operator: [
        ["page.help.op_start", "page.help.op_start_do"],
        ["page.help.op_prove", "page.help.op_prove_do"],
        ["page.help.op_measure", "page.help.op_measure_do"],
        ["page.help.op_confirm", "page.help.op_confirm_do"],
        ["page.help.op_refused", "page.help.op_refused_do"],
        ["page.help.op_uncertain", "page.help.op_uncertain_do"],
        ["page.help.op_stop", "page.help.op_stop_do"],
        ["page.help.op_aside", "page.help.op_aside_do"],
        ["page.help.op_gauge", "page.help.op_gauge_do"],
        ["page.help.op_tag", "page.help.op_tag_do"],
        ["page.help.op_end", "page.help.op_end_do"],
    ],
    lead: [
        ["page.help.lead_settle", "page.help.lead_settle_do"],
        ["page.help.lead_recrimp", "page.help.lead_recrimp_do"],
        ["page.help.lead_concession", "page.help.lead_concession_do"],
        ["page.help.lead_own", "page.help.lead_own_do"],
        ["page.help.lead_suspect", "page.help.lead_suspect_do"],
        ["page.help.lead_clock", "page.help.lead_clock_do"],
        ["page.help.lead_table", "page.help.lead_table_do"],
        ["page.help.lead_trace", "page.help.lead_trace_do"],
        ["page.help.lead_lobes", "page.help.lead_lobes_do"],
    ],
    setter: [
        ["page.help.set_people", "page.help.set_people_do"],
        ["page.help.set_table", "page.help.set_table_do"],
        ["page.help.set_order", "page.help.set_order_do"],
        ["page.help.set_gauge", "page.help.set_gauge_do"],
        ["page.help.set_found", "page.help.set_found_do"],
        ["page.help.set_printer", "page.help.set_printer_do"],
        ["page.help.set_rules", "page.help.set_rules_do"],
        ["page.help.set_screen", "page.help.set_screen_do"],
        ["page.help.set_backup", "page.help.set_backup_do"],
    ],
    auditor: [
        ["page.help.aud_read", "page.help.aud_read_do"],
        ["page.help.aud_rule", "page.help.aud_rule_do"],
        ["page.help.aud_change", "page.help.aud_change_do"],
        ["page.help.aud_verify", "page.help.aud_verify_do"],
        ["page.help.aud_limits", "page.help.aud_limits_do"],
    ],
};

export function show(root, context) {
    let role = Object.hasOwn(lines, context.rest[0]) ? context.rest[0] : (context.session()?.role ?? "operator");

    function draw() {
        redraw(
            root,
            el(
                "div",
                {class: "help"},
                el(
                    "header",
                    {class: "help-head"},
                    el("h1", {}, say("page.help.title", {role: roleName(role)})),
                    el(
                        "div",
                        {class: "help-roles", role: "group", aria: {label: say("page.help.roles")}},
                        Object.keys(lines).map((r) =>
                            el(
                                "button",
                                {
                                    class: "office",
                                    aria: {pressed: String(r === role)},
                                    data: {test: `help-${r}`},
                                    on: {
                                        click: () => {
                                            role = r;
                                            draw();
                                        },
                                    },
                                },
                                roleName(r),
                            ),
                        ),
                        context.session()
                            ? null
                            : el("a", {class: "button office", href: "#/bench", data: {test: "help-back"}}, say("page.help.back")),
                    ),
                ),
                el(
                    "section",
                    {class: "help-cautions", aria: {label: say("page.caution.signal")}},
                    cautions.map(([hazard, then, avoid]) =>
                        el(
                            "div",
                            {class: "caution-panel", data: {test: "caution-panel"}},
                            el("p", {class: "caution-panel-word"}, alertSign(), say("page.caution.signal")),
                            el("h2", {}, say(hazard)),
                            el("p", {}, say(then)),
                            el("p", {}, el("b", {}, say(avoid))),
                        ),
                    ),
                    el("p", {class: "help-first"}, say("page.help.first"), " ", say("page.help.records")),
                ),
                el(
                    "dl",
                    {class: "help-lines"},
                    lines[role].map(([what, answer]) => el("div", {}, el("dt", {}, say(what)), el("dd", {}, say(answer)))),
                ),
                role === "operator" || role === "lead"
                    ? el("p", {class: "muted small help-keys"}, say("page.help.keys"))
                    : null,
            ),
        );
    }
    draw();
    return {update() {}, leave() {}};
}
