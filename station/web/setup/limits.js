// The shop's own rules. Each says what it means and what loosening it risks, because a year later nobody remembers, and
// an auditor asks. Before anything changes the page says from what to what.
import {get, post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "./form.js";
import {loader, note, section, setupPage, trouble} from "./parts.js";

const units = () => [
    {value: "mm", text: say("page.setup.limits.mm")},
    {value: "inch", text: say("page.setup.limits.inch")},
];

// least and most: what the station takes. looser(before, after): whether the change lets more through than before.
const rules = () => [
    {name: "proof_interval_min", type: "whole", least: 5, most: 1440, label: say("page.setup.limits.proof_interval"), means: say("page.setup.limits.proof_interval_means"), risk: say("page.setup.limits.proof_interval_risk"), looser: (b, a) => a > b},
    {name: "repeats_allowed", type: "whole", least: 0, most: 5, label: say("page.setup.limits.repeats"), means: say("page.setup.limits.repeats_means"), risk: say("page.setup.limits.repeats_risk"), looser: (b, a) => a > b},
    {name: "hose_age_years", type: "whole", least: 1, most: 10, label: say("page.setup.limits.hose_age"), means: say("page.setup.limits.hose_age_means"), risk: say("page.setup.limits.hose_age_risk"), looser: (b, a) => a > b},
    {name: "sign_out_after_min", type: "whole", least: 0, most: 480, label: say("page.setup.limits.sign_out"), means: say("page.setup.limits.sign_out_means"), risk: say("page.setup.limits.sign_out_risk"), looser: (b, a) => (a === 0 ? b !== 0 : b !== 0 && a > b)},
    {name: "prove_after_reconnect", type: "check", label: say("page.setup.limits.reconnect"), means: say("page.setup.limits.reconnect_means"), risk: say("page.setup.limits.reconnect_risk"), looser: (b, a) => b && !a},
    {name: "simple_acceptance_allowed", type: "check", label: say("page.setup.limits.simple"), means: say("page.setup.limits.simple_means"), risk: say("page.setup.limits.simple_risk"), looser: (b, a) => !b && a},
    {name: "own_hold_may_be_settled", type: "check", label: say("page.setup.limits.own_hold"), means: say("page.setup.limits.own_hold_means"), risk: say("page.setup.limits.own_hold_risk"), looser: (b, a) => !b && a},
    {name: "scrap_by_operator", type: "check", label: say("page.setup.limits.scrap"), means: say("page.setup.limits.scrap_means"), risk: say("page.setup.limits.scrap_risk"), looser: (b, a) => !b && a},
    {name: "concession_needs_second", type: "check", label: say("page.setup.limits.second"), means: say("page.setup.limits.second_means"), risk: say("page.setup.limits.second_risk"), looser: (b, a) => b && !a},
    {name: "shown_unit", type: "choice", options: units(), label: say("page.setup.limits.unit"), means: say("page.setup.limits.unit_means"), risk: say("page.setup.limits.unit_risk"), looser: () => false},
];

function shownValue(rule, value) {
    if (rule.type === "check") return say(value ? "page.setup.yes" : "page.setup.no");
    if (rule.type === "choice") return rule.options.find((o) => o.value === value)?.text ?? String(value);
    return String(value);
}

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.limits.title"), lead: say("page.setup.limits.lead")});
    const all = rules();
    let inForce = null;
    const place = el("div");
    const load = loader(() => get("/api/limits"), draw);

    function differing(values) {
        return all.filter((r) => values[r.name] !== inForce[r.name]);
    }

    async function submit(form, values) {
        const changed = differing(values);
        if (changed.length === 0) {
            form.show([{words: say("page.setup.limits.nothing")}]);
            return null;
        }
        const asked = await ask({
            title: say("page.setup.limits.ask"),
            body: el(
                "ul",
                {class: "setup-changes", data: {test: "limits-changes"}},
                changed.map((r) =>
                    el(
                        "li",
                        {},
                        el("b", {}, r.label),
                        el("p", {}, say("page.setup.limits.from_to", {before: shownValue(r, inForce[r.name]), after: shownValue(r, values[r.name])})),
                        r.looser(inForce[r.name], values[r.name]) ? el("p", {class: "setup-risk"}, r.risk) : null,
                    ),
                ),
            ),
            yes: say("page.setup.limits.set"),
            use: () => post("/api/limits", {...inForce, ...values}),
        });
        if (!asked) return null;
        page.receipt(asked.answer, say("page.setup.limits.done", {names: changed.map((r) => r.label).join("; ")}));
        inForce = null;
        await Promise.all([load(), context.refresh()]);
        return null;
    }

    function draw(body, why) {
        if (why) {
            if (!inForce) redraw(place, trouble(why, load));
            return;
        }
        const before = inForce;
        inForce = body.limits ?? body;
        // Somebody who types is not interrupted; what they change is compared with what is in force by then.
        if (before && place.contains(document.activeElement)) return;
        if (!page.may("setter")) {
            redraw(
                place,
                note(say("page.setup.limits.setter_only"), "setter-only"),
                section(say("page.setup.limits.in_force"), "limits-read", el("dl", {class: "setup-limits-read"}, all.map((r) => el("div", {data: {test: `limit-${r.name}`}}, el("dt", {}, r.label), el("dd", {}, el("b", {}, shownValue(r, inForce[r.name])), el("p", {class: "hint"}, r.means)))))),
            );
            return;
        }
        const form = makeForm({
            test: "limits-form",
            go: say("page.setup.limits.look"),
            fields: all.map((r) => ({
                name: r.name,
                type: r.type,
                options: r.options,
                label: r.label,
                hint: [r.means, el("span", {class: "setup-risk-hint"}, r.risk)],
                value: r.type === "whole" ? String(inForce[r.name]) : inForce[r.name],
                check: r.type === "whole" ? (n) => (n < r.least || n > r.most ? say("page.setup.limits.range", {least: r.least, most: r.most}) : null) : undefined,
            })),
            submit: (values) => submit(form, values),
        });
        redraw(place, section(say("page.setup.limits.in_force"), "limits-set", form.node));
    }

    page.body.append(place);
    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type === "limits.set") load();
        },
        leave: () => load.stop(),
    };
}
