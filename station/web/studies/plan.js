// A lead plans a gauge study: what it finds out, of which gauge, who measures which pieces how often. The order of the
// turns is the station's to draw.
//
//   planForm({kinds, gauges, references, people, done})     a node

import {post} from "../kit/api.js";
import {el} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

const kinds = ["repeatability", "type1", "linearity"];
const names = {
    repeatability: "page.studies.kind_repeatability",
    type1: "page.studies.kind_type1",
    linearity: "page.studies.kind_linearity",
};
const abouts = {
    repeatability: "page.studies.about_repeatability",
    type1: "page.studies.about_type1",
    linearity: "page.studies.about_linearity",
};
const usual = {repeatability: 3, type1: 50, linearity: 10};

export const kindName = (kind) => say(names[kind]);

function ticks(name, legend, list) {
    const boxes = list.map(({value, text}) => ({value, input: el("input", {type: "checkbox", value, data: {test: `${name}-${value}`}}), text}));
    return {
        node: el("fieldset", {class: "study-people", data: {test: name}}, el("legend", {}, legend), boxes.map((b) => el("label", {}, b.input, b.text))),
        values: () => boxes.filter((b) => b.input.checked).map((b) => b.value),
    };
}

export function planForm({gauges, references, people, done}) {
    const who = ticks("plan-people", say("page.studies.people"), people.map((p) => ({value: p.person, text: p.name})));
    const which = ticks("plan-references", say("page.studies.references"), references.map((r) => ({value: r.reference, text: `${r.reference} (${shownWithUnit(r.size_nm, "mm", 1000)})`})));
    const explained = el("p", {class: "setup-note", data: {test: "plan-kind"}});
    const form = makeForm({
        test: "plan-form",
        go: say("page.studies.plan_go"),
        fields: [
            {name: "kind", type: "choice", label: say("page.studies.kind"), options: kinds.map((k) => ({value: k, text: kindName(k)})), value: "repeatability"},
            {name: "gauge", type: "choice", label: say("page.studies.gauge"), options: gauges.map((g) => ({value: g.gauge, text: g.gauge}))},
            {node: explained},
            {name: "pieces", type: "text", label: say("page.studies.pieces"), hint: say("page.studies.pieces_hint"), value: "P1, P2, P3, P4, P5, P6, P7, P8, P9, P10", wide: true},
            {node: which.node},
            {node: who.node},
            {name: "trials", type: "whole", label: say("page.studies.trials"), hint: say("page.studies.trials_hint"), value: "3"},
            {name: "lower", type: "length", label: say("page.studies.lower"), hint: say("page.studies.limits_hint")},
            {name: "upper", type: "length", label: say("page.studies.upper")},
        ],
        submit: async (values) => {
            const pieces =
                values.kind === "repeatability"
                    ? values.pieces.split(/[,;\n]/).map((p) => p.trim()).filter(Boolean).map((piece) => ({piece}))
                    : which.values().map((id) => ({piece: id, size_nm: references.find((r) => r.reference === id).size_nm}));
            const answer = await post("/api/studies/plan", {
                kind: values.kind,
                gauge: values.gauge,
                pieces,
                people: who.values(),
                trials: values.trials,
                lower_nm: values.lower,
                upper_nm: values.upper,
            });
            if (answer.ok) done(answer);
            return answer;
        },
    });
    function look() {
        const kind = form.input("kind").value;
        form.field("pieces").node.hidden = kind !== "repeatability";
        which.node.parentElement.hidden = kind === "repeatability";
        explained.textContent = say(abouts[kind]);
    }
    form.input("kind").addEventListener("change", () => {
        form.set("trials", String(usual[form.input("kind").value]));
        look();
    });
    look();
    return form.node;
}
