// A lead draws a sample of what a shift passed: by a published plan, or by one that accepts on none bad.
//
//   drawForm({shifts, done})     a node

import {post} from "../kit/api.js";
import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

// The AQLs of MIL-STD-105E up to 10 %, which are shares; as parts per million.
const aqls = ["0.010", "0.015", "0.025", "0.040", "0.065", "0.10", "0.15", "0.25", "0.40", "0.65", "1.0", "1.5", "2.5", "4.0", "6.5", "10"];
const ppmOf = (percent) => {
    const [whole, part = ""] = percent.split(".");
    return Number(whole + part.padEnd(4, "0"));
};
const same = (values) => values.map((v) => ({value: v, text: v}));

export const planName = (plan) => say(`audit.value.${plan}`);

export function drawForm({shifts, done}) {
    const form = makeForm({
        test: "draw-form",
        go: say("page.studies.draw_go"),
        fields: [
            {name: "shift", type: "choice", label: say("page.studies.shift"), options: same(shifts)},
            {name: "plan", type: "choice", label: say("page.studies.sample_plan"), options: ["zero_acceptance", "mil_std_105e"].map((p) => ({value: p, text: planName(p)})), value: "zero_acceptance"},
            {node: el("p", {class: "setup-note"}, say("page.studies.sample_about"))},
            {name: "share", type: "whole", label: say("page.studies.share"), hint: say("page.studies.share_hint"), value: "5", check: (v) => (v < 1 || v > 99 ? say("page.setup.limits.range", {least: 1, most: 99}) : null)},
            {name: "confidence", type: "whole", label: say("page.studies.confidence"), hint: say("page.studies.confidence_hint"), value: "90", check: (v) => (v < 50 || v > 99 ? say("page.setup.limits.range", {least: 50, most: 99}) : null)},
            {name: "aql", type: "choice", label: say("page.studies.aql"), options: same(aqls), value: "1.0"},
            {name: "level", type: "choice", label: say("page.studies.level"), options: same(["S-1", "S-2", "S-3", "S-4", "I", "II", "III"]), value: "II"},
            {name: "severity", type: "choice", label: say("page.studies.severity"), options: ["normal", "tightened", "reduced"].map((s) => ({value: s, text: planName(s)})), value: "normal"},
        ],
        submit: async (v) => {
            const body =
                v.plan === "zero_acceptance"
                    ? {shift: v.shift, plan: v.plan, quality_ppm: v.share * 10000, confidence_permille: v.confidence * 10}
                    : {shift: v.shift, plan: v.plan, quality_ppm: ppmOf(v.aql), level: v.level, severity: v.severity};
            const answer = await post("/api/samples/draw", body);
            if (answer.ok) done(answer);
            return answer;
        },
    });
    const own = {zero_acceptance: ["share", "confidence"], mil_std_105e: ["aql", "level", "severity"]};
    function look() {
        for (const [plan, names] of Object.entries(own)) for (const name of names) form.field(name).node.hidden = form.input("plan").value !== plan;
    }
    form.input("plan").addEventListener("change", look);
    look();
    return form.node;
}
