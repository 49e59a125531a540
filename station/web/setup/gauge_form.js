// What a gauge's certificate and a day at the bench say about it: figures that every later judgement rests on. The aid
// works the standard uncertainty out of its three parts and shows each, so that nobody has to believe a number.
import {el, redraw} from "../kit/dom.js";
import {parseLength, shownWithUnit, unitOf} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {makeForm} from "./form.js";
import {standardUncertainty} from "./uncertainty.js";

const PROOF_TIMES = 2; // offered as the proof limit: two standard uncertainties and more (common practice)

export function gaugeForm({context, submit}) {
    const unit = context.bench()?.limits?.shown_unit ?? "mm";
    const sum = el("div", {class: "setup-sum", role: "status", data: {test: "uncertainty-sum"}});

    const aid = makeForm({
        test: "aid",
        go: say("page.setup.aid.use"),
        unit,
        fields: [
            {name: "expanded", type: "length", label: say("page.setup.aid.expanded"), hint: say("page.setup.aid.expanded_hint"), positive: false},
            {name: "factor", label: say("page.setup.aid.factor"), hint: say("page.setup.aid.factor_hint"), value: "2", check: (text) => (factorOf(text) === null ? say("page.setup.aid.factor_wrong") : null)},
            {name: "repeat", type: "length", label: say("page.setup.aid.repeat"), hint: say("page.setup.aid.repeat_hint"), positive: false},
            {node: sum},
        ],
        submit: async () => {
            const u = worked();
            if (!u) {
                aid.show([{words: say("page.setup.aid.resolution_first")}]);
                return null;
            }
            form.set("uncertainty", u.all);
            form.input("uncertainty").focus();
            return null;
        },
    });

    const form = makeForm({
        test: "gauge-form",
        go: say("page.setup.gauges.register"),
        unit,
        fields: [
            {name: "gauge", label: say("page.setup.gauges.gauge"), hint: say("page.setup.gauges.gauge_same")},
            {name: "resolution", type: "length", label: say("page.setup.gauges.resolution"), hint: say("page.setup.gauges.resolution_hint")},
            {name: "uncertainty", type: "length", label: say("page.setup.gauges.uncertainty"), hint: say("page.setup.gauges.uncertainty_hint")},
            {name: "proof_limit", type: "length", label: say("page.setup.gauges.proof_limit"), hint: say("page.setup.gauges.proof_limit_hint")},
            {name: "calibrated", type: "day", label: say("page.setup.gauges.calibrated"), hint: say("page.setup.form.day_hint")},
            {name: "calibration_due", type: "day", label: say("page.setup.gauges.due"), hint: say("page.setup.gauges.due_hint")},
            {name: "certificate", label: say("page.setup.gauges.certificate"), hint: say("page.setup.gauges.certificate_hint")},
        ],
        where: (why) => ({"bench.calibration_dates": "calibration_due", "api.gauge_not_configured": "gauge"})[why.code] ?? null,
        submit: (v) =>
            submit({
                gauge: v.gauge,
                resolution_nm: v.resolution,
                uncertainty_nm: v.uncertainty,
                proof_limit_nm: v.proof_limit,
                calibrated: v.calibrated,
                calibration_due: v.calibration_due,
                certificate: v.certificate,
            }),
    });

    // "2" or "1.65" as thousandths; null for anything else, and for nothing.
    function factorOf(text) {
        const parts = /^\s*(\d{1,2})(?:[.,](\d{1,3}))?\s*$/.exec(text);
        if (!parts) return null;
        const value = Number(parts[1]) * 1000 + Number((parts[2] ?? "").padEnd(3, "0"));
        return value > 0 ? value : null;
    }

    const typed = (from, name) => {
        const field = from.field(name);
        return parseLength(field.input.value, field.units.value);
    };
    function worked() {
        const parts = {
            resolution_nm: typed(form, "resolution"),
            expanded_nm: typed(aid, "expanded"),
            factor_thousandths: factorOf(aid.input("factor").value),
            repeatability_nm: typed(aid, "repeat"),
        };
        return Object.values(parts).some((p) => p === null || p < 0) ? null : standardUncertainty(parts);
    }
    function drawSum() {
        const u = worked();
        if (!u) {
            redraw(sum, el("p", {class: "muted"}, say("page.setup.aid.fill")));
            return;
        }
        const u0 = unitOf(form.field("resolution").units.value);
        const part = (words, nm) => el("div", {}, el("dt", {}, words), el("dd", {class: "number"}, shownWithUnit(nm, u0, 0)));
        redraw(
            sum,
            el(
                "dl",
                {},
                part(say("page.setup.aid.of_resolution"), u.resolution),
                part(say("page.setup.aid.of_calibration"), u.calibration),
                part(say("page.setup.aid.of_repeat"), u.repeatability),
                part(say("page.setup.aid.together"), u.all),
            ),
            el("p", {class: "hint"}, say("page.setup.aid.proof_offer", {limit: shownWithUnit(PROOF_TIMES * u.all, u0, 0)})),
        );
    }
    for (const node of [form.node, aid.node]) for (const event of ["input", "change"]) node.addEventListener(event, drawSum);
    drawSum();

    return {
        node: el(
            "div",
            {class: "setup-gauge"},
            form.node,
            el("aside", {class: "setup-aid", aria: {label: say("page.setup.aid.title")}}, el("h3", {}, say("page.setup.aid.title")), el("p", {class: "hint"}, say("page.setup.aid.lead")), aid.node),
        ),
        // What the line has told fills what is still empty.
        take({gauge, resolution_nm, unit: of}) {
            if (gauge && form.input("gauge").value === "") form.set("gauge", gauge);
            if (resolution_nm && form.input("resolution").value === "") {
                form.field("resolution").units.value = unitOf(of);
                form.set("resolution", resolution_nm);
            }
            drawSum();
        },
        edit(g) {
            form.clear();
            form.set("gauge", g.gauge);
            for (const [name, member] of [["resolution", "resolution_nm"], ["uncertainty", "uncertainty_nm"], ["proof_limit", "proof_limit_nm"]])
                if (g[member]) form.set(name, g[member]);
            for (const name of ["calibrated", "calibration_due", "certificate"]) if (g[name]) form.set(name, g[name]);
            drawSum();
            form.node.scrollIntoView({block: "nearest"});
            form.input(g.bare ? "resolution" : "calibrated").focus();
        },
    };
}
