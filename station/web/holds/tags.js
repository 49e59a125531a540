// Matters of tags: one that may or may not have been printed when the power went, one that failed, one that is wanted
// once more (R11).

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";

export async function reprint(serial, context, failed) {
    return ask({
        title: say(failed ? "page.holds.print_again" : "page.holds.reprint", {serial}),
        body: say(failed ? "page.holds.print_again_body" : "page.holds.reprint_body"),
        fields: [{name: "reason", label: say("page.holds.reason"), type: "area", required: true}],
        yes: say("page.holds.print"),
        use: ({reason}) => context.post("/api/tags/reprint", {serial, reason}),
    });
}

export function tagMatters(bench, may, context) {
    const doubt = bench?.tags_in_doubt ?? [];
    const failed = bench?.tags_failed ?? [];
    if (doubt.length + failed.length === 0) return null;
    const found = (serial, yes) => context.act("/api/tags/settle-doubt", {serial, found: yes});
    return el(
        "section",
        {class: "holds-tags", data: {test: "tags"}},
        el("h2", {}, say("page.holds.tags")),
        el(
            "ul",
            {},
            doubt.map((serial) =>
                el(
                    "li",
                    {data: {test: `tag-doubt-${serial}`}},
                    el("p", {}, el("b", {}, serial), " ", say("page.holds.tag_doubt")),
                    may
                        ? el(
                              "div",
                              {class: "row"},
                              el("button", {data: {test: `tag-found-${serial}`}, on: {click: () => found(serial, true)}}, say("page.holds.tag_found")),
                              el("button", {data: {test: `tag-not-found-${serial}`}, on: {click: () => found(serial, false)}}, say("page.holds.tag_not_found")),
                          )
                        : null,
                ),
            ),
            failed.map((serial) =>
                el(
                    "li",
                    {data: {test: `tag-failed-${serial}`}},
                    el("p", {}, el("b", {}, serial), " ", say("page.holds.tag_failed")),
                    may ? el("button", {data: {test: `tag-again-${serial}`}, on: {click: () => reprint(serial, context, true)}}, say("page.holds.print")) : null,
                ),
            ),
        ),
    );
}
