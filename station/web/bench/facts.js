// What does not change from piece to piece: hose, fitting of this end, die set and setting, order, gauge. One row, to be
// checked against what lies on the bench.
//
//   facts(bench)     a list, or null before anything of it is known

import {el} from "../kit/dom.js";
import {endName, timeText} from "../kit/names.js";
import {sign} from "../kit/signs.js";
import {language, say} from "../kit/words.js";
import {lengths} from "./sentences.js";

function fact(test, name, first, second, more = {}) {
    return el(
        "div",
        {class: `fact ${more.class ?? ""}`.trim(), data: {test: `fact-${test}`}},
        el("dt", {}, name),
        el("dd", {title: [first, second].filter(Boolean).join(" \u00b7 ")}, el("b", {}, more.sign ? sign(more.sign) : null, el("span", {}, first)), second ? el("span", {}, ` ${second}`) : null),
    );
}

function gaugeFact(bench, id) {
    const g = (bench.gauges ?? []).find((x) => x.gauge === id) ?? (bench.gauges ?? []).find((x) => x.ready) ?? bench.gauges?.[0];
    if (!g) return null;
    const kind = !g.connected ? "off" : g.ready ? "conforms" : "uncertain";
    const words = !g.connected
        ? say("page.bench.gauge_gone")
        : g.ready
          ? say("page.bench.proved_until", {time: timeText(g.proved_until_utc_ms, bench.time_zone, language())})
          : say("page.bench.not_proved");
    return fact("gauge", say("page.bench.gauge"), g.gauge, words, {sign: kind, class: kind === "conforms" ? "" : "attention"});
}

export function facts(bench) {
    const {row, order} = bench;
    if (!row || !order || bench.study || bench.sample || bench.returned) return null;
    const end = bench.step.end ?? "a";
    const {hose, fitting} = row;
    const lot = end === "b" ? order.fitting_b_lot : order.fitting_a_lot;
    return el(
        "dl",
        {class: "facts", data: {test: "facts"}},
        fact("order", say("page.bench.order"), order.order, order.customer_part),
        fact("hose", say("page.bench.hose"), `${hose.type} -${hose.dash}`, [order.hose_lot && say("page.bench.lot", {lot: order.hose_lot}), hose.standard].filter(Boolean).join(" \u00b7 "), {class: "gives"}),
        fact("fitting", say("page.bench.fitting_of", {end: endName(end)}), `${fitting.series} ${fitting.end_size}`, [lot && say("page.bench.lot", {lot}), fitting.end_form].filter(Boolean).join(" \u00b7 "), {class: "gives"}),
        fact("die", say("page.bench.die_set"), row.die_set, say("page.bench.setting", {setting: row.setting})),
        order.cut_length_nm ? fact("cut", say("page.bench.cut_length"), lengths(bench).one(order.cut_length_nm), order.orientation_deg !== undefined ? say("page.bench.orientation", {degrees: order.orientation_deg}) : null) : null,
        gaugeFact(bench, bench.last?.gauge),
    );
}
