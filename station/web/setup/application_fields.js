// The fields of an order that tell what the machine asks, and the proof test; all may be left empty, and what is left
// empty is not checked. They go to the station as columns of specs/ORDER_FORMAT.md.
import {values} from "../kit/values.js";
import {say} from "../kit/words.js";

const lengths = ["bend_radius", "straight_a", "straight_b", "distance", "slack"];
const plain = ["fluid", "tube", "fluid_min_c", "fluid_max_c", "ambient_min_c", "ambient_max_c", "vacuum_bar", "hose_vacuum_bar", "bend_deg", "planes", "wanted_orientation_deg", "duty", "proof_test", "proof_bar", "proof_hold_s", "proof_medium"];
const labels = {
    fluid: "page.application.fluid",
    tube: "page.application.tube",
    fluid_min_c: "page.application.fluid_min",
    fluid_max_c: "page.application.fluid_max",
    ambient_min_c: "page.application.ambient_min",
    ambient_max_c: "page.application.ambient_max",
    vacuum_bar: "page.application.vacuum",
    hose_vacuum_bar: "page.application.hose_vacuum",
    bend_radius: "page.application.bend_radius",
    bend_deg: "page.application.bend_deg",
    straight_a: "page.application.straight_a",
    straight_b: "page.application.straight_b",
    distance: "page.application.distance",
    slack: "page.application.slack",
    planes: "page.application.planes",
    wanted_orientation_deg: "page.application.wanted_orientation",
    duty: "page.application.duty",
    proof_test: "page.application.proof_test",
    proof_bar: "page.application.proof_bar",
    proof_hold_s: "page.application.proof_hold",
    proof_medium: "page.application.proof_medium",
};

const optionsOf = (table) => [{value: "", text: say("page.application.not_stated")}, ...Object.entries(table).map(([value, code]) => ({value, text: say(code)}))];

export function applicationFields() {
    const choice = {
        fluid: optionsOf(values.fluid),
        tube: optionsOf(values.tube),
        duty: optionsOf({normal: "page.application.duty_normal", hard: "page.application.duty_hard"}),
        planes: [{value: "", text: say("page.application.not_stated")}, ...["0", "1", "2", "3"].map((n) => ({value: n, text: n}))],
        proof_test: optionsOf({no: "page.application.proof_none", yes: "page.application.proof_each"}),
        proof_medium: optionsOf({oil: "page.bench.medium_oil", water: "page.bench.medium_water", emulsion: "page.bench.medium_emulsion"}),
    };
    const hints = {bend_deg: "page.application.bend_deg_hint", vacuum_bar: "page.application.vacuum_hint", planes: "page.application.planes_hint", proof_bar: "page.application.proof_bar_hint", proof_hold_s: "page.application.proof_hold_hint"};
    return Object.keys(labels).map((name) => ({
        name,
        label: say(labels[name]),
        hint: hints[name] ? say(hints[name]) : undefined,
        required: false,
        ...(choice[name] ? {type: "choice", options: choice[name]} : lengths.includes(name) ? {type: "measure"} : {}),
    }));
}

const decimal = (text) => String(text ?? "").trim().replace(",", ".");

// Only what was filled in: an order without an application has none of these columns.
export function applicationColumns(v, unit) {
    const out = {};
    for (const name of plain) if (decimal(v[name]) !== "") out[name] = decimal(v[name]);
    for (const name of lengths) if (v[name]) out[`${name}_${v[name].unit ?? unit}`] = decimal(v[name].text);
    return out;
}
