// A lead has the list written down, with a reason; then each customer has a letter with their own serials alone.
//
//   drawing(criteria, body, done) -> node      letters(recall, customers) -> nodes

import {post} from "../kit/api.js";
import {el} from "../kit/dom.js";
import {language, say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";
import {note} from "../setup/parts.js";
import {criteriaOf} from "./ask.js";

export function drawing(criteria, body, done) {
    const form = makeForm({
        test: "draw-recall",
        go: say("page.recall.draw_go"),
        fields: [{name: "reason", type: "area", label: say("page.recall.reason"), hint: say("page.recall.reason_hint"), wide: true}],
        submit: async (v) => {
            const asked = {criteria: criteriaOf(criteria), reason: v.reason};
            if (criteria.from) asked.from = criteria.from;
            if (criteria.to) asked.to = criteria.to;
            const answer = await post("/api/recall/draw", asked, 120000);
            if (answer.ok) done(answer);
            return answer;
        },
    });
    return [note(say("page.recall.draw_about", {delivered: body.delivered}), "draw-about"), form.node];
}

const address = (recall, customer, paper) => `/api/recall.pdf?${new URLSearchParams({recall, customer, paper, language: language()})}`;

export function letters(recall, customers) {
    if (customers.length === 0) return el("span", {class: "muted"}, say("page.recall.no_letters"));
    return el(
        "ul",
        {class: "recall-files"},
        customers.map((customer, i) =>
            el(
                "li",
                {},
                `${customer}: `,
                el("a", {href: address(recall, customer, "a4"), download: "", data: {test: `letter-${recall}-${i}`}, aria: {label: say("page.recall.letter_a4", {customer, recall})}}, "A4"),
                " ",
                el("a", {href: address(recall, customer, "letter"), download: "", data: {test: `letter-us-${recall}-${i}`}, aria: {label: say("page.recall.letter_us", {customer, recall})}}, "Letter"),
            ),
        ),
    );
}
