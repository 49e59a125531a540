// One gauge study: how far it is while it is measured; its sheets when it is complete; and the uncertainty that a lead
// sets from it, with what the study itself does not know.
//
//   showStudy(root, context, id) -> {update, entry, leave}

import {get, post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {figure, valueWord} from "../audit/cells.js";
import {makeForm} from "../setup/form.js";
import {note, section, setupPage, trouble} from "../setup/parts.js";
import {bar, facts, sheetBlocks, takeAway, toldOf} from "./parts.js";
import {kindName} from "./plan.js";

// "2" or "0.5" as whole thousandths; null for what is no such number.
function thousandths(text) {
    const parts = /^(\d{1,4})(?:[.,](\d{1,3}))?$/.exec(text);
    return parts ? Number(parts[1]) * 1000 + Number((parts[2] ?? "").padEnd(3, "0")) : null;
}
const aNumber = (text) => (thousandths(text) === null ? say("page.studies.no_number") : null);

export function showStudy(root, context, id) {
    const page = setupPage(root, context, {title: say("page.studies.study", {study: id})});
    const unit = () => context.bench()?.limits?.shown_unit ?? "mm";
    const length = (nm) => shownWithUnit(nm, unit(), 1000);
    const place = el("div", {class: "setup-body"});
    const budget = el("div", {class: "setup-body"});
    let gone = false;
    let stated = null; // what the lead stated of the budget
    page.body.append(el("a", {class: "audit-link audit-back", href: "#/audit/studies", data: {test: "back"}}, `‹ ${say("page.place.studies")}`), place, budget);

    async function load() {
        const list = await get("/api/studies");
        if (gone) return;
        if (!list.ok) return redraw(place, trouble(list.why, load));
        const known = list.body.studies.find((s) => s.study === id);
        if (!known) return redraw(place, note(say("page.studies.none_such", {study: id}), "no-study"));
        if (known.dropped) return redraw(place, section(say("page.studies.plan"), "study-plan", about(known)), note(say("page.studies.dropped"), "study-dropped"));
        if (!known.complete) return redraw(place, section(say("page.studies.plan"), "study-plan", about(known)), open(known));
        const answer = await get(`/api/studies/${encodeURIComponent(id)}`);
        if (gone) return;
        if (!answer.ok) return redraw(place, trouble(answer.why, load));
        const study = answer.body;
        redraw(
            place,
            section(say("page.studies.plan"), "study-plan", about(study)),
            approvals(study),
            section(say("page.studies.result"), "study-result", inShort(study.sheets), takeAway({study: id}), sheetBlocks(study.sheets.filter((s) => s.id !== "study_approved"), toldOf({study: id}, study.names, context))),
        );
        drawBudget(study);
    }

    // What the lead came to know, before the figures that it rests on; in the words and digits of the first row.
    function inShort(sheets) {
        const sheet = sheets.find((s) => s.id === "study_answer");
        if (!sheet) return null;
        const cell = (name) => sheet.rows[0][sheet.columns.findIndex((c) => c.id === name)];
        const share = cell("tolerance_pct");
        if (!share) return null;
        const kind = {gauge_good: "conforms", gauge_conditional: "uncertain", gauge_not_acceptable: "fails"}[cell("guideline")];
        return el(
            "p",
            {class: `verdict study-answer ${kind}`, data: {test: "study-answer"}},
            sign(kind),
            el("b", {}, say("page.studies.answer", {share: figure(share), categories: cell("categories"), words: valueWord(cell("guideline"))})),
        );
    }

    const about = (s) =>
        facts([
            [say("page.studies.kind"), kindName(s.kind)],
            [say("page.studies.gauge"), s.gauge],
            [say("page.studies.pieces"), s.pieces.map((p) => p.piece).join(", ")],
            [say("page.studies.people"), s.people.map((p) => p.name).join(", ")],
            [say("page.studies.trials"), String(s.trials)],
            [say("page.studies.tolerance"), `${length(s.lower_nm)} – ${length(s.upper_nm)}`],
            [say("page.studies.planned_by"), s.planned_by_name],
            [say("page.studies.seed"), s.seed],
            [say("page.studies.progress"), bar(s.measured, s.turns)],
        ]);

    function open(s) {
        const drop = () =>
            ask({
                title: say("page.studies.drop", {study: id}),
                body: say("page.studies.drop_why"),
                danger: true,
                fields: [{name: "reason", label: say("page.bench.reason"), type: "text", required: true}],
                yes: say("page.studies.drop_go"),
                use: ({reason}) => post("/api/studies/drop", {study: id, reason}),
            }).then((done) => done && load());
        return el(
            "div",
            {class: "stack"},
            note(say(s.running ? "page.studies.runs" : "page.studies.waits"), "study-blind"),
            page.may("lead") ? el("p", {}, el("button", {type: "button", class: "office", data: {test: "drop-study"}, on: {click: drop}}, say("page.studies.drop_short"))) : null,
        );
    }

    function approvals(study) {
        const sheet = study.sheets.find((s) => s.id === "study_approved");
        return sheet ? section(say("page.studies.approved"), "study-approved", sheetBlocks([sheet], toldOf({study: id}, study.names, context))) : null;
    }

    function drawBudget(study) {
        if (study.kind !== "repeatability" || !page.may("lead")) return redraw(budget, null);
        const proposal = el("div", {class: "stack", data: {test: "proposal"}});
        const form = makeForm({
            test: "budget-form",
            go: say("page.studies.reckon"),
            fields: [
                {name: "expanded", type: "length", label: say("page.studies.calibration"), hint: say("page.studies.calibration_hint")},
                {name: "k", type: "text", label: say("page.studies.k"), hint: say("page.studies.k_hint"), value: "2", check: aNumber},
                {name: "temperature", type: "text", label: say("page.studies.temperature"), hint: say("page.studies.temperature_hint"), value: "2", check: aNumber},
                {name: "length", type: "length", label: say("page.studies.length"), hint: say("page.studies.length_hint"), value: study.upper_nm},
            ],
            submit: async (v) => {
                stated = {calibration_expanded_nm: v.expanded, calibration_k_permille: thousandths(v.k), temperature_half_width_mk: thousandths(v.temperature), length_nm: v.length};
                const answer = await get(`/api/studies/${encodeURIComponent(id)}?${new URLSearchParams(stated)}`);
                if (answer.ok && !gone) propose(proposal, answer.body);
                return answer;
            },
        });
        redraw(budget, section(say("page.studies.budget"), "study-budget", el("p", {}, say("page.studies.budget_why", {now: length(study.gauge_uncertainty_nm)})), form.node, proposal));
    }

    function propose(where, study) {
        const p = study.proposed;
        const approve = () =>
            ask({
                title: say("page.studies.approve", {gauge: study.gauge}),
                body: say("page.studies.approve_why", {now: length(study.gauge_uncertainty_nm), then: length(p.uncertainty_nm)}),
                fields: [{name: "reason", label: say("page.bench.reason"), type: "text", required: true}],
                yes: say("page.studies.approve_go"),
                use: ({reason}) => post("/api/studies/approve", {study: id, ...stated, reason}),
            }).then(async (done) => {
                if (!done) return;
                page.receipt(done.answer, say("page.studies.approved_now", {gauge: study.gauge, then: length(p.uncertainty_nm)}));
                await context.refresh();
                load();
            });
        redraw(
            where,
            el("p", {class: "study-proposed", data: {test: "proposed"}}, say("page.studies.proposed", {then: length(p.uncertainty_nm), now: length(study.gauge_uncertainty_nm)})),
            sheetBlocks(p.sheets, {zone: context.bench()?.time_zone}),
            el("p", {}, el("button", {type: "button", class: "main office", data: {test: "approve"}, on: {click: approve}}, say("page.studies.approve_short"))),
        );
    }

    load();
    return {
        update() {},
        entry(entry) {
            if (["study.begun", "study.left", "study.turn_voided", "study.dropped"].includes(entry.type) && entry.body.study === id) load();
        },
        leave: () => (gone = true),
    };
}
