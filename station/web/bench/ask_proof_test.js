// The proof test: what to do in one sentence, the pressure, the time and the liquid large, and the caution beside it,
// never behind a click (R13). A person enters what the pressure gauge showed; nothing is filled in for them.

import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {alertSign} from "../kit/frame.js";
import {say} from "../kit/words.js";

const media = {oil: "page.bench.medium_oil", water: "page.bench.medium_water", emulsion: "page.bench.medium_emulsion"};
export const mediumName = (medium) => (media[medium] ? say(media[medium]) : medium);

// Whole bar, or as many places as the kilopascals need.
export const barText = (kpa) => (kpa % 100 === 0 ? String(kpa / 100) : (kpa / 100).toFixed(2));

// Kilopascals of what was typed in bar, by its digits; null where it is no such number. No more than two places: 1 kPa.
export function kpaOf(text) {
    const found = /^(\d{1,5})(?:[.,](\d{1,2}))?$/.exec(text.trim());
    return found ? Number(found[1]) * 100 + Number((found[2] ?? "").padEnd(2, "0")) : null;
}

export function proofTestView(bench, desk) {
    const {asked, serial} = bench.step;
    const enter = (seen, title, danger) =>
        ask({
            title,
            body: danger ? say("page.bench.proof_test_bad_then", {serial}) : say("page.bench.proof_test_good_then"),
            danger,
            fields: [
                {name: "reached", label: say("page.bench.proof_test_reached"), type: "number", required: true},
                {name: "held", label: say("page.bench.proof_test_held"), type: "number", required: true},
                {name: "medium", label: say("page.bench.proof_test_medium"), type: "choice", value: asked.medium, options: Object.keys(media).map((m) => ({value: m, text: mediumName(m)}))},
                {name: "manometer", label: say("page.bench.proof_test_manometer"), type: "text", required: true},
            ],
            yes: danger ? say("page.bench.stop_it") : say("page.bench.proof_test_enter"),
            no: danger ? say("page.bench.look_again") : undefined,
            use: ({reached, held, medium, manometer}) => {
                const kpa = kpaOf(reached);
                const seconds = /^\d{1,4}$/.test(held) ? Number(held) : null;
                if (kpa === null || seconds === null) return {ok: false, why: {code: "page.bench.proof_test_number", details: []}};
                return desk.quiet("/api/assembly/proof-test", {reached_kpa: kpa, held_s: seconds, medium, seen, manometer});
            },
        });
    const bad = (seen, code) => ({test: `proof-${seen}`, class: "answer-bad", text: say(code), run: () => enter(seen, say(code), true)});
    return {
        sentence: say("page.bench.proof_test_do", {bar: barText(asked.pressure_kpa), seconds: asked.hold_s, medium: mediumName(asked.medium)}),
        hint: say("page.bench.proof_test_look"),
        body: el(
            "div",
            {class: "bench-two proof-two"},
            el(
                "dl",
                {class: "check-list", data: {test: "proof-asked"}},
                el("dt", {}, say("page.bench.proof_test_pressure")),
                el("dd", {class: "figure"}, `${barText(asked.pressure_kpa)} bar`),
                el("dt", {}, say("page.bench.proof_test_time")),
                el("dd", {class: "figure"}, `${asked.hold_s} s`),
                el("dt", {}, say("page.bench.proof_test_medium")),
                el("dd", {}, mediumName(asked.medium)),
            ),
            el(
                "div",
                {class: "proof-caution", role: "note", data: {test: "proof-caution"}},
                el("p", {class: "proof-caution-signal"}, alertSign(), el("strong", {}, say("page.caution.signal"))),
                el("p", {}, say("page.bench.proof_test_caution")),
                el("p", {}, say("page.bench.proof_test_caution_liquid")),
            ),
        ),
        main: {key: serial, text: say("page.bench.proof_test_clean"), run: () => enter("nothing", say("page.bench.proof_test_clean"), false)},
        others: [
            bad("leak", "page.bench.proof_test_leak"),
            bad("moved", "page.bench.proof_test_moved"),
            bad("burst", "page.bench.proof_test_burst"),
            {test: "aside", text: say("page.bench.aside"), run: () => desk.open("aside")},
        ],
    };
}
