// What speaks against a delivery: the refusal, and under it each reason with its serials.
//
//   faultsOf(answer)      nodes, or null when the answer is no refusal of that kind

import {el} from "../kit/dom.js";
import {sayMessage} from "../kit/words.js";

export function faultsOf(answer) {
    if (answer.ok || !Array.isArray(answer.body?.faults)) return null;
    return el(
        "div",
        {class: "refusal", role: "alert", tabindex: "-1", data: {test: "faults"}},
        el("p", {}, sayMessage(answer.why)),
        el("ul", {}, answer.body.faults.map((fault) => el("li", {data: {test: `fault-${fault.code}`}}, sayMessage(fault)))),
    );
}
