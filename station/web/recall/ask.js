// What a recall is asked for. The criteria stand in the page's address, under the API's own names.
//
//   asked(query) -> {hose_lot: "H-1", ...}      queryText(criteria) -> "hose_lot=H-1"      askForm(criteria, go) -> node

import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

// In the order of the form; each with its words.
const fields = () => [
    {name: "hose_lot", label: say("page.recall.hose_lot")},
    {name: "fitting_lot", label: say("page.recall.fitting_lot")},
    {name: "gauge", label: say("page.recall.gauge")},
    {name: "operator", label: say("page.recall.operator"), hint: say("page.recall.operator_hint")},
    {name: "die_set", label: say("page.recall.die_set")},
    {name: "crimper", label: say("page.recall.crimper")},
    {name: "spec_row", label: say("page.recall.spec_row")},
    {name: "spec_revision", label: say("page.recall.spec_revision")},
    {name: "around_serial", label: say("page.recall.around_serial"), hint: say("page.recall.around_hint"), scan: true},
    {name: "around_count", label: say("page.recall.around_count"), hint: say("page.recall.around_count_hint")},
    {name: "order", label: say("page.recall.order")},
    {name: "customer", label: say("page.recall.customer")},
    {name: "from", label: say("page.recall.from"), hint: say("page.recall.time_hint")},
    {name: "to", label: say("page.recall.to"), hint: say("page.recall.to_hint")},
];

const names = ["hose_lot", "fitting_lot", "gauge", "operator", "die_set", "crimper", "spec_row", "spec_revision", "around_serial", "around_count", "order", "customer", "from", "to"];

export function asked(query) {
    const out = {};
    for (const name of names) if (query.get(name)) out[name] = query.get(name);
    return out;
}

export const queryText = (criteria) => new URLSearchParams(names.filter((n) => criteria[n]).map((n) => [n, criteria[n]])).toString();

export function criteriaOf(criteria) {
    return names.filter((n) => criteria[n] && n !== "from" && n !== "to").map((n) => ({what: n, value: criteria[n]}));
}

export function askForm(criteria, go) {
    const form = makeForm({
        test: "recall-form",
        go: say("page.recall.search"),
        fields: [{node: el("p", {class: "setup-note"}, say("page.recall.all_hold"))}, ...fields().map((f) => ({...f, required: false, quiet: true, value: criteria[f.name] ?? ""}))],
        submit: async (v) => {
            if (queryText(v) === "") {
                form.show([{name: null, words: say("recall.nothing_asked")}]);
                return null;
            }
            go(v);
            return null;
        },
    });
    return form.node;
}
