// Figures of how the hose was used: pressure with spikes, temperatures, bend, straight lead, slack, twist, vacuum,
// fluid; of an unknown hose its ratings too. What nobody knows stays empty and counts for nothing. They go to the
// station as whole numbers (kPa, nm, degrees), turned by whole-number arithmetic alone.

import {post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {parseLength, shown} from "../kit/lengths.js";
import {say, sayValue} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

const FLUIDS = ["mineral_oil", "hfa", "hfb", "hfc", "hfd", "ester", "water", "fuel", "other"];

// "250" or "250.5" bar to kPa; null for what is none or has more places than kPa.
function kpaOf(text) {
    const parts = /^(\d{1,6})(?:[.,](\d{1,2}))?$/.exec(text);
    return parts ? Number(parts[1]) * 100 + Number((parts[2] ?? "").padEnd(2, "0")) : null;
}
const barOf = (kpa) => (kpa % 100 === 0 ? String(kpa / 100) : (kpa / 100).toFixed(2).replace(/0$/, ""));
const signed = (text) => (/^[-+\u2212]?\d{1,4}$/.test(text) ? Number(text.replace("\u2212", "-")) : null);

export function wholeOf(kind, text) {
    if (kind === "pressure") return kpaOf(text);
    if (kind === "length") return parseLength(text, "mm");
    return signed(text);
}

export function textOf(kind, answer) {
    if (answer === undefined || answer === "not_known") return "";
    if (kind === "pressure") return barOf(Number(answer));
    if (kind === "length") return shown(Number(answer), "mm", 0);
    return answer;
}

export function figuresPart({number, page, reload, go}) {
    const node = el("section", {class: "panel setup-section", data: {test: "figures"}});
    let drawn = false;

    return {
        node,
        draw(data) {
            if (drawn) return;
            drawn = true;
            const fieldOf = (f) =>
                f.kind === "fluid"
                    ? {name: f.code, label: say(f.words), type: "choice", required: false, quiet: true, value: f.given ?? "", options: [{value: "", text: say("page.returns.not_known")}, ...FLUIDS.map((code) => ({value: code, text: sayValue("fluid", code)}))]}
                    : {name: f.code, label: say(f.words), required: false, quiet: true, value: textOf(f.kind, f.given), check: (v) => (wholeOf(f.kind, v) === null ? say("page.returns.no_figure") : null)};
            const form = makeForm({
                test: "figures-form",
                go: say("page.returns.figures_go"),
                fields: [{node: el("p", {class: "setup-note"}, say("page.returns.figures_why"))}, ...data.facts.map(fieldOf)],
                submit: async (v) => {
                    let last = {ok: true, body: {}};
                    for (const f of data.facts) {
                        const text = v[f.code] ?? "";
                        const answer = text === "" ? "not_known" : f.kind === "fluid" ? text : String(wholeOf(f.kind, text));
                        if (answer === (f.given ?? "not_known")) continue;
                        last = await post("/api/returns/answer", {return: number, question: f.code, answer});
                        if (!last.ok) return last;
                    }
                    await reload();
                    page.receipt(last, say("page.returns.figures_kept"));
                    go("measure");
                    return last;
                },
            });
            redraw(node, el("h2", {}, say("page.returns.step_figures")), data.about.concluded ? el("p", {}, say("page.returns.is_concluded")) : form.node);
        },
    };
}
