// Tables that wait for a second person: what each would change, and the three things that can be done with it.
import {post} from "../kit/api.js";
import {ask, askPerson} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {differencesView, warningsView} from "./differences.js";
import {dayText, section} from "./parts.js";

export function makeProposals({context, page, changed}) {
    const list = el("div", {class: "setup-proposals"});
    const node = section(say("page.setup.proposals.title"), "proposals", list);
    node.hidden = true;

    async function done(answer, words) {
        if (!answer) return;
        page.receipt(answer, words);
        await Promise.all([changed(), context.refresh()]);
    }

    async function adopt(p) {
        const values = await ask({
            title: say("page.setup.proposals.adopt_title", {table: p.table}),
            body: say("page.setup.proposals.adopt_means"),
            yes: say("page.setup.proposals.adopt"),
            use: () => post("/api/tables/adopt", {proposed_seq: p.proposed_seq}),
        });
        await done(values?.answer, say("page.setup.proposals.adopted", {table: p.table}));
    }
    async function adoptByOther(p) {
        const answer = await askPerson({
            title: say("page.setup.proposals.adopt_title", {table: p.table}),
            body: say("page.setup.proposals.other_means", {person: p.proposed_by}),
            yes: say("page.setup.proposals.adopt"),
            use: (by) => post("/api/tables/adopt", {proposed_seq: p.proposed_seq, by}),
        });
        await done(answer, say("page.setup.proposals.adopted", {table: p.table}));
    }
    async function drop(p) {
        const values = await ask({
            title: say("page.setup.proposals.drop_title", {table: p.table}),
            body: say("page.setup.proposals.drop_means"),
            fields: [{name: "reason", label: say("page.setup.reason"), type: "area", required: true}],
            yes: say("page.setup.proposals.drop"),
            danger: true,
            use: ({reason}) => post("/api/tables/drop", {proposed_seq: p.proposed_seq, reason}),
        });
        await done(values?.answer, say("page.setup.proposals.dropped", {table: p.table}));
    }

    function one(p) {
        const signs = page.may("lead", "setter");
        const own = p.proposed_by === context.session()?.person;
        const warnings = p.warnings ?? [];
        const count = typeof p.rows === "number" ? p.rows : (p.rows?.length ?? 0);
        return el(
            "article",
            {class: "setup-proposal", data: {test: `proposal-${p.proposed_seq}`}},
            el("h3", {}, p.table),
            el("p", {class: "muted"}, say("page.setup.proposals.by", {person: p.proposed_by, day: dayText(p.proposed ?? p.utc_ms), rows: count, seq: p.proposed_seq})),
            differencesView(p.differences ?? []),
            warnings.length > 0
                ? el("details", {id: `warnings-${p.proposed_seq}`, class: "setup-diff"}, el("summary", {}, say("page.setup.proposals.warnings", {count: warnings.length})), warningsView(warnings))
                : null,
            !signs
                ? null
                : [
                      own ? el("p", {}, say("page.setup.proposals.own")) : null,
                      el(
                          "div",
                          {class: "row"},
                          own ? null : el("button", {type: "button", class: "main office", data: {test: "adopt"}, on: {click: () => adopt(p)}}, say("page.setup.proposals.adopt")),
                          el("button", {type: "button", class: own ? "main office" : "office", data: {test: "adopt-by-other"}, on: {click: () => adoptByOther(p)}}, say("page.setup.proposals.adopt_other")),
                          el("button", {type: "button", class: "office", data: {test: "drop"}, on: {click: () => drop(p)}}, say("page.setup.proposals.drop")),
                      ),
                  ],
        );
    }

    return {
        node,
        draw(proposals) {
            node.hidden = proposals.length === 0;
            redraw(list, proposals.map(one));
        },
        focus: () => node.scrollIntoView({block: "start"}),
    };
}
