// What a person confirms where no gauge measures: the good answer is the large button; every other one is smaller, stands
// apart, and is asked once more, since it stops the part.
//
//   answers(bench, desk)   {main, others} for the step in work

import {ask} from "../kit/dialog.js";
import {markCase} from "./drawing.js";
import {isMark} from "./steps.js";
import {say} from "../kit/words.js";

const good = {lubricant: "page.bench.lubricant_yes", bore_pin: "page.bench.bore_pin_yes"};
const bad = {lubricant: "page.bench.lubricant_no", bore_pin: "page.bench.bore_pin_no"};
const badThen = {lubricant: "page.bench.lubricant_no_then", bore_pin: "page.bench.bore_pin_no_then", gap: "page.bench.gap_then", hidden: "page.bench.hidden_then"};

export function answers(bench, desk) {
    const {step} = bench;
    const {what} = step;
    const send = (answer) => desk.act("/api/steps/confirm", {what, ...answer});
    const stop = (name, then, answer) =>
        ask({title: name, body: say(then), danger: true, yes: say("page.bench.stop_it"), no: say("page.bench.look_again"), use: () => desk.quiet("/api/steps/confirm", {what, ...answer})});
    const markAnswer = (seen, code) => ({
        test: `answer-${seen}`,
        class: "answer-bad",
        text: say(code),
        picture: markCase(seen),
        run: () => stop(say(code), badThen[seen], {seen}),
    });
    if (step.ask === "measure" && isMark(what)) return {main: null, others: [markAnswer("hidden", "page.bench.seen_hidden_long")]};
    if (step.ask !== "confirm") return {main: null, others: []};
    if (isMark(what))
        return {
            main: {text: say("page.bench.seen_at_edge_long"), run: () => send({seen: "at_edge"})},
            others: [markAnswer("gap", "page.bench.seen_gap_long"), markAnswer("hidden", "page.bench.seen_hidden_long")],
        };
    return {
        main: {text: say(good[what]), run: () => send({yes: true})},
        others: [{test: "answer-no", class: "answer-bad", text: say(bad[what]), run: () => stop(say(bad[what]), badThen[what], {yes: false})}],
    };
}
