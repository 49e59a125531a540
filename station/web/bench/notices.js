// What waits beside the work, one at a time, the most pressing first: a tag that may or may not have come out, one that
// did not, a part that a lead settled and that waits to be taken up, parts that are suspect. Says what to do.
//
//   notice(bench, desk)    a node or null

import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";

function box(test, kind, words, ...buttons) {
    return el("div", {class: `notice ${kind}`, role: "group", aria: {label: words}, data: {test}}, sign(kind === "loud" ? "uncertain" : "off"), el("p", {}, words), buttons);
}

const button = (test, text, run) => el("button", {data: {test}, on: {click: run}}, text);

// Nobody looks for a tag to leave the part without one: what did not come out is printed, under its own number. If the
// printer fails again, that is the next thing told.
async function notThere(desk, serial) {
    const answer = await desk.act("/api/tags/settle-doubt", {serial, found: false});
    if (answer.ok) await desk.act("/api/tags/reprint", {serial, reason: say("page.bench.tag_doubt_reason")});
}

export function notice(bench, desk) {
    const doubt = bench.tags_in_doubt?.[0];
    if (doubt)
        return box(
            "tag-doubt",
            "loud",
            say("page.bench.tag_doubt", {serial: doubt}),
            button("tag-there", say("page.bench.tag_there"), () => desk.act("/api/tags/settle-doubt", {serial: doubt, found: true})),
            button("tag-not-there", say("page.bench.tag_not_there"), () => notThere(desk, doubt)),
        );
    const failed = bench.tags_failed?.[0];
    if (failed)
        return box(
            "tag-failed",
            "loud",
            say("page.bench.tag_failed", {serial: failed, count: bench.tags_failed.length}),
            button("tag-again", say("page.bench.tag_again"), () => desk.act("/api/tags/reprint", {serial: failed, reason: say("page.bench.tag_failed_reason")})),
        );
    const waiting = bench.to_be_taken_up?.[0];
    if (waiting && !bench.assembly && bench.step.ask !== "order_done")
        return box(
            "take-up",
            "calm",
            say("page.bench.take_up_waits", {serial: waiting}),
            button("take-up-go", say("page.bench.take_up", {serial: waiting}), () => desk.act("/api/assembly/take-up", {serial: waiting})),
        );
    if (bench.suspects > 0 && bench.step.ask !== "proof")
        return box("suspects-notice", "calm", say("page.bench.suspects_short", {count: bench.suspects}), button("suspects-see", say("page.bench.suspects_see"), () => desk.context.go("#/holds")));
    return null;
}
