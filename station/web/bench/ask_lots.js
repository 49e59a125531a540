// The lots of hose and fittings: three scans in any order, told apart by what the order has. What is of none of them is
// shown beside what is needed, and nothing is sent. The station decides in the end.

import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";

export const PARTS = ["hose", "fitting_a", "fitting_b"];

const names = {hose: "page.bench.part_hose", fitting_a: "page.bench.part_fitting_a", fitting_b: "page.bench.part_fitting_b"};
export const partName = (part) => say(names[part]);

// Where a scanned lot belongs: the first part without one whose lots have it, else a part that may take it in exchange.
export function partFor(text, lots, chosen) {
    const fits = PARTS.filter((p) => (lots?.[p] ?? []).includes(text));
    return fits.find((p) => !chosen[p]) ?? fits[0] ?? null;
}

function memoryOf(bench, desk) {
    const key = `${bench.order.order}`;
    if (desk.memory.lots?.key !== key) desk.memory.lots = {key, chosen: {}, wrong: null};
    return desk.memory.lots;
}

export function lotsView(bench, desk) {
    const m = memoryOf(bench, desk);
    const lots = bench.order.lots ?? {};
    const missing = PARTS.filter((p) => !m.chosen[p]);
    const send = async () => {
        const answer = await desk.act("/api/lots/confirm", {hose_lot: m.chosen.hose, fitting_a_lot: m.chosen.fitting_a, fitting_b_lot: m.chosen.fitting_b});
        if (!answer.ok) m.chosen = {};
        else desk.memory.lots = null;
        desk.redraw();
        return answer;
    };
    const choose = (part, lot) => {
        m.chosen = {...m.chosen, [part]: lot};
        m.wrong = null;
        if (PARTS.every((p) => m.chosen[p])) return send();
        desk.redraw();
        return true;
    };
    const scan = (text) => {
        const part = partFor(text, lots, m.chosen);
        if (part) return choose(part, text);
        const wanted = missing[0] ?? "hose";
        m.wrong = {part: wanted, scanned: text};
        desk.context.alarm(say("page.bench.wrong_lot", {scanned: text}));
        desk.refusedSound();
        desk.redraw();
        return true;
    };
    return {
        sentence: missing.length > 0 ? say("page.bench.lots_ask", {part: partName(missing[0])}) : say("page.bench.lots_sent"),
        hint: say("page.bench.lots_do"),
        body: el(
            "div",
            {class: "ask-body"},
            m.wrong
                ? el(
                      "div",
                      {class: "wrong-scan", role: "alert", data: {test: "wrong-scan"}},
                      sign("fails"),
                      el(
                          "p",
                          {},
                          el("b", {}, say("page.bench.wrong_lot", {scanned: m.wrong.scanned})),
                          " ",
                          say("page.bench.wrong_lot_needed", {part: partName(m.wrong.part), needed: (lots[m.wrong.part] ?? []).join(", ")}),
                      ),
                  )
                : null,
            el(
                "div",
                {class: "lot-parts"},
                PARTS.map((part) =>
                    el(
                        "section",
                        {class: `lot-part ${m.chosen[part] ? "done" : part === missing[0] ? "now" : ""}`.trim(), aria: {label: partName(part)}, data: {test: `lot-${part}`}},
                        el("h2", {}, m.chosen[part] ? sign("conforms") : null, partName(part)),
                        el("p", {class: "lot-said number"}, m.chosen[part] ?? "\u2013"),
                        el("p", {class: "hint"}, say("page.bench.lots_of_order")),
                        el(
                            "div",
                            {class: "lot-choices"},
                            (lots[part] ?? []).map((lot) => el("button", {class: "lot-choice", data: {test: `lot-${part}-${lot}`}, on: {click: () => choose(part, lot)}}, lot)),
                        ),
                    ),
                ),
            ),
        ),
        main: null,
        scan,
    };
}
