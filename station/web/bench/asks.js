// What the bench asks when nothing is measured: each ask gives what to say, what to show, and what may be pressed.
//
//   askView(bench, desk)  {sentence, hint, body, main: {text, run, danger}, others: [{test, text, run}], scan(text)}
//   desk: {context, memory, act(path, body), open(view), close(), redraw(), lead(title, body, yes, path, command)}
//
// scan(text) answers false when that code is nothing to this ask.

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {lotsView} from "./ask_lots.js";
import {orderView} from "./ask_order.js";
import {proofView} from "./ask_proof.js";
import {proofTestView} from "./ask_proof_test.js";
import {returnedView} from "./ask_returned.js";
import {studyView} from "./ask_study.js";
import {diePicture} from "./drawing.js";
import {stationClock} from "./station_clock.js";

function clockView(bench, desk) {
    return {
        sentence: say("page.bench.clock"),
        hint: say("page.bench.clock_do"),
        alarm: true,
        body: el("div", {class: "ask-body"}, stationClock(desk.context)),
        main: {
            text: say("page.bench.clock_accept"),
            run: () => {
                const compare = el("div", {}, el("p", {class: "ask-body"}, say("page.bench.clock_compare")), stationClock(desk.context));
                return desk.lead(say("page.bench.clock_accept"), compare, say("page.bench.clock_yes"), "/api/clock/accept", {});
            },
        },
    };
}

function shiftView(bench, desk) {
    return {
        sentence: say("page.bench.shift"),
        hint: say("page.bench.shift_do"),
        main: {text: say("page.bench.shift_start"), run: () => desk.act("/api/shift/start", {})},
        // A study is no part of a shift.
        others: bench.open_studies || bench.open_returns ? [{test: "other-work", text: say("page.bench.menu_other"), run: () => desk.open("other")}] : [],
    };
}

function gaugeView(bench) {
    const gauges = bench.gauges ?? [];
    return {
        sentence: gauges.length > 0 ? say("page.bench.gauge_ask") : say("page.bench.gauge_none"),
        hint: gauges.length > 0 ? say("page.bench.gauge_do") : say("page.bench.gauge_none_do"),
        body: el(
            "ul",
            {class: "gauge-list"},
            gauges.map((g) => el("li", {}, sign(g.connected ? "uncertain" : "off"), el("b", {}, g.gauge), " ", g.why ? sayMessage(g.why) : null)),
        ),
    };
}

function orderDoneView(bench, desk) {
    const {order} = bench;
    const complete = order.passed >= order.quantity;
    const waiting = bench.to_be_taken_up ?? [];
    const take = waiting[0];
    return {
        sentence: say(complete ? "page.bench.order_complete" : take ? "page.bench.take_up_ask" : "page.bench.order_waits", {order: order.order, serial: take ?? ""}),
        hint: say("page.bench.order_counts", {passed: order.passed, quantity: order.quantity, open: order.open, scrapped: order.scrapped}),
        main: take
            ? {key: take, text: say("page.bench.take_up", {serial: take}), run: () => desk.act("/api/assembly/take-up", {serial: take})}
            : {text: say("page.bench.next_order"), run: () => desk.open("order")},
        others: take ? [{test: "next-order", text: say("page.bench.next_order"), run: () => desk.open("order")}] : [],
    };
}

function dieView(bench, desk) {
    const {row} = bench;
    const send = (die_set, setting) => desk.act("/api/die/confirm", {die_set, crimper: row.crimper, setting});
    const kept = row.setting;
    return {
        sentence: say("page.bench.die_ask", {die: row.die_set}),
        hint: say("page.bench.die_do", {crimper: row.crimper}),
        body: el(
            "div",
            {class: "bench-two"},
            el("div", {class: "picture"}, diePicture(row, say("page.bench.die_picture", {die: row.die_set, segments: row.die_segments}))),
            el(
                "dl",
                {class: "check-list"},
                el("dt", {}, say("page.bench.die_set")),
                el("dd", {class: "figure"}, row.die_set),
                el("dt", {}, say("page.bench.setting_is")),
                el("dd", {class: "figure"}, kept),
                el("dt", {}, say("page.bench.crimper")),
                el("dd", {}, row.crimper),
            ),
        ),
        main: {text: say("page.bench.die_confirm", {die: row.die_set, setting: kept}), run: () => send(row.die_set, kept)},
        others: [
            {
                test: "other-setting",
                text: say("page.bench.other_setting"),
                run: () =>
                    ask({
                        title: say("page.bench.other_setting_ask"),
                        body: say("page.bench.other_setting_why", {setting: row.setting}),
                        fields: [{name: "setting", label: say("page.bench.setting_is"), type: "text", value: row.setting, required: true}],
                        yes: say("page.bench.die_confirm_short", {die: row.die_set}),
                        use: ({setting}) => desk.quiet("/api/die/confirm", {die_set: row.die_set, crimper: row.crimper, setting}),
                    }),
            },
        ],
        // What is in the crimper says itself; the station answers whether it is the right one.
        scan: (text) => send(text, row.setting),
    };
}

const views = {
    clock: clockView,
    shift: shiftView,
    gauge: gaugeView,
    proof: proofView,
    proof_test: proofTestView,
    order: orderView,
    order_done: orderDoneView,
    lots: lotsView,
    die: dieView,
    study: studyView,
    returned: returnedView,
};

export function askView(bench, desk) {
    const view = views[bench.step.ask]?.(bench, desk) ?? null;
    // A study waits for its own gauge, whatever the others are.
    if (view && bench.study && ["gauge", "proof"].includes(bench.step.ask)) return {...view, hint: say("page.bench.study_gauge", {study: bench.study, gauge: bench.step.gauge ?? ""})};
    return view;
}
