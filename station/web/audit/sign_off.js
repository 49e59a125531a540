// The lead's signature under a shift: a remark, and the lead's own word for it. What comes for the shift afterwards
// stands here too, so that nobody takes the signature to cover it.
//
//   signOff({shift, known, audit, told, people, role, context, reload})     a node
//   known: the shift as GET /api/shifts has it, with running; or undefined

import {post} from "../kit/api.js";
import {askPerson} from "../kit/dialog.js";
import {el, newId} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {localTime} from "./cells.js";
import {sheetOf} from "./summary.js";

async function ask(shift, open) {
    const id = newId("remark");
    const remark = el("textarea", {id, rows: 3, maxlength: 2000, data: {test: "sign-remark"}});
    return askPerson({
        title: say("page.audit.sign_title", {shift}),
        body: [
            el("p", {class: "ask-body"}, say("page.audit.sign_body")),
            open > 0 ? el("p", {class: "audit-sign-open", data: {test: "sign-open"}}, sign("uncertain"), say(open === 1 ? "page.audit.sign_one_open" : "page.audit.sign_open", {count: open})) : null,
            el("div", {class: "field"}, el("label", {for: id}, say("page.audit.sign_remark")), remark),
        ].filter(Boolean),
        yes: say("page.audit.sign_yes"),
        use: (by) => post("/api/shifts/sign-off", {shift, remark: remark.value.trim(), by}),
    });
}

export function signOff({shift, known, audit, told, people, role, context, reload}) {
    const s = known ?? {};
    const open = sheetOf(audit, "open_points")?.rows.length ?? 0;
    const late = s.late_entries ?? 0;
    const closed = s.ended_seq > 0;
    const signed = s.signed_off_seq > 0;
    const go = el(
        "button",
        {
            type: "button",
            class: "office",
            data: {test: "sign-off"},
            on: {
                click: async () => {
                    if (!(await ask(shift, open))) return;
                    context.speak(say("page.audit.signed_now", {shift}));
                    await context.refresh();
                    reload();
                },
            },
        },
        say(signed ? "page.audit.sign_again" : "page.audit.sign"),
    );
    return el(
        "section",
        {class: `audit-sign ${signed ? "signed" : ""}`, aria: {label: say("page.audit.signature")}, data: {test: "signature", signed: signed ? "yes" : "no"}},
        el("h2", {}, say("page.audit.signature")),
        el(
            "div",
            {class: "audit-sign-state"},
            signed
                ? [
                      el("p", {}, sign("conforms"), el("b", {data: {test: "signed-by"}}, say("page.audit.signed_by", {name: people[s.signed_off_by] ?? s.signed_off_by})), " ", el("time", {class: "number", datetime: s.signed_off}, localTime(s.signed_off, told.zone))),
                      s.remark ? el("blockquote", {data: {test: "signed-remark"}}, s.remark) : null,
                      late > 0 ? el("p", {class: "audit-late", data: {test: "late"}}, sign("uncertain"), el("b", {}, say(late === 1 ? "page.audit.one_late" : "page.audit.late", {count: late}))) : el("p", {class: "muted", data: {test: "late-none"}}, say("page.audit.none_late")),
                  ]
                : el("p", {}, say(s.running ? "page.audit.still_running" : closed ? "page.audit.not_signed" : "page.audit.never_closed")),
        ),
        role === "lead" && known && !s.running && (!signed || late > 0) ? go : null,
    );
}
