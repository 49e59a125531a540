// Proving a gauge: which one, on which reference. Where there is one of each it is the one large button. After a proof
// that failed this says so first, with what follows from it.

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {proofPicture} from "./drawing.js";
import {lengths} from "./sentences.js";

function pairs(bench) {
    const gauges = (bench.gauges ?? []).filter((g) => g.connected);
    // Those that cannot measure come first.
    gauges.sort((a, b) => Number(a.ready) - Number(b.ready));
    return gauges.flatMap((g) => (bench.references ?? []).map((r) => ({gauge: g, reference: r})));
}

// A gauge failed and was not proved since: told by the entries, or by what it said last.
function failure(bench, desk) {
    const event = desk.event;
    if (event?.kind === "proved" && !event.passed) {
        const length = lengths(bench, event.gauge);
        const g = (bench.gauges ?? []).find((x) => x.gauge === event.gauge);
        const options = length.besides(Math.abs(event.error_nm), event.limit_nm);
        if (g && !g.ready) return {gauge: event.gauge, off: length.one(event.error_nm, {plus: true, ...options}), limit: length.one(event.limit_nm, options)};
    }
    return null;
}

function failed(bench, desk, f) {
    const suspects = bench.suspects ?? 0;
    return el(
        "div",
        {class: "proof-failed", data: {test: "proof-failed"}},
        el("p", {class: "proof-failed-what"}, el("span", {class: "verdict fails"}, sign("fails"), say("page.bench.proof_bad")), " ", say("page.bench.proof_failed", {gauge: f.gauge, off: f.off, limit: f.limit})),
        el("p", {class: "proof-failed-then"}, suspects > 0 ? say("page.bench.suspects", {count: suspects}) : say("page.bench.suspects_none")),
        desk.memory.suspects?.length > 0 ? el("p", {class: "serials number", data: {test: "suspects"}}, desk.memory.suspects.join("   ")) : null,
    );
}

// Dropped, broken, lost, or failed its proof. Where there are several it is asked which one.
export async function withdraw(bench, desk, gauge) {
    const which = gauge ? [gauge] : (bench.gauges ?? []).map((g) => g.gauge);
    const one = which.length === 1 ? which[0] : null;
    const title = one ? say("page.bench.withdraw", {gauge: one}) : say("page.bench.withdraw_which");
    const values = await ask({
        title,
        body: say("page.bench.withdraw_why"),
        danger: true,
        fields: [
            one ? null : {name: "gauge", label: say("page.bench.gauge"), type: "choice", options: which.map((id) => ({value: id, text: id}))},
            {name: "reason", label: say("page.bench.reason"), type: "text", required: true},
        ].filter(Boolean),
        yes: say("page.bench.withdraw_go"),
    });
    if (!values) return null;
    const id = one ?? values.gauge;
    return desk.lead(say("page.bench.withdraw", {gauge: id}), values.reason, say("page.bench.withdraw_go"), "/api/gauges/withdraw", {gauge: id, reason: values.reason});
}

export function proofView(bench, desk) {
    const all = pairs(bench);
    const length = lengths(bench);
    const f = failure(bench, desk);
    if (f) desk.fetchSuspects();
    const prove = (p) => desk.act("/api/gauges/prove", {gauge: p.gauge.gauge, reference: p.reference.reference});
    const words = (p) => say("page.bench.prove_on", {gauge: p.gauge.gauge, reference: p.reference.reference});
    const one = all.length === 1 ? all[0] : null;
    const none = all.length === 0;
    const sentence = f
        ? say("page.bench.proof_failed_do", {gauge: f.gauge})
        : none
          ? say((bench.references ?? []).length === 0 ? "page.bench.no_reference" : "page.bench.gauge_ask")
          : say(one ? "page.bench.proof_one" : "page.bench.proof_many", {gauge: one?.gauge.gauge ?? "", reference: one?.reference.reference ?? ""});
    return {
        sentence,
        hint: f ? say("page.bench.proof_failed_hint") : say("page.bench.hint_as_found"),
        alarm: Boolean(f),
        body: el(
            "div",
            {class: "ask-body"},
            f ? failed(bench, desk, f) : null,
            one
                ? f
                    ? null
                    : el(
                          "div",
                          {class: "bench-two"},
                          el("div", {class: "picture"}, proofPicture(one.reference.kind, sentence)),
                          el(
                              "dl",
                              {class: "check-list"},
                              el("dt", {}, one.reference.kind),
                              el("dd", {class: "figure number"}, length.number(one.reference.size_nm), el("span", {class: "unit"}, ` ${length.unit}`)),
                              el("dt", {}, say("page.bench.gauge")),
                              el("dd", {}, one.gauge.gauge, one.gauge.why ? el("span", {class: "check-why"}, sayMessage(one.gauge.why)) : null),
                          ),
                      )
                : el(
                      "div",
                      {class: "choices"},
                      all.map((p) =>
                          el(
                              "button",
                              {class: "choice", data: {test: `prove-${p.gauge.gauge}-${p.reference.reference}`}, on: {click: () => prove(p)}},
                              el("b", {}, p.gauge.gauge, " \u2192 ", p.reference.reference),
                              el("span", {}, `${p.reference.kind} \u00b7 ${length.one(p.reference.size_nm)}`),
                          ),
                      ),
                  ),
        ),
        main: one ? {key: `${one.gauge.gauge}-${one.reference.reference}`, text: words(one), run: () => prove(one)} : null,
        others: f ? [{test: "withdraw", text: say("page.bench.withdraw", {gauge: f.gauge}), run: () => withdraw(bench, desk, f.gauge)}] : [],
        scan(text) {
            const p = all.find((x) => x.reference.reference === text) ?? all.find((x) => x.gauge.gauge === text);
            return p ? prove(p) : false;
        },
    };
}
