// The drift watch: when the bench asks for a new setting before parts fail. A lead or setter sets it; everybody in the
// office sees what is in force.

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";
import {loader, note, section, setupPage, trouble, yesNo} from "../setup/parts.js";
import {valueWord} from "./cells.js";
import {allRules, endsToFalseAlarm, letterOf} from "./rules.js";

const numbers = () => [
    {name: "points", least: 20, most: 50, label: say("page.audit.watch_points"), hint: say("page.audit.watch_points_hint")},
    {name: "weight_permille", least: 50, most: 1000, label: say("page.audit.watch_weight"), hint: say("page.audit.watch_weight_hint")},
    {name: "share_ppm", least: 100, most: 500000, label: say("page.audit.watch_share"), hint: say("page.audit.watch_share_hint")},
];

// How often a rule alone cries wolf at a process that holds still.
function alarmText(rule) {
    const count = endsToFalseAlarm(rule);
    return count ? say("page.audit.watch_alarm", {count}) : "";
}

const field = (rule) => `rule_${rule}`;

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.place.watch"), lead: say("page.audit.watch_lead")});
    const place = el("div");
    const load = loader(() => get("/api/watch"), draw);
    let drawn = false;

    function draw(body, why) {
        if (why) {
            if (!drawn) redraw(place, trouble(why, load));
            return;
        }
        if (drawn && place.contains(document.activeElement)) return; // somebody types
        drawn = true;
        const watch = body;
        const on = (rule) => watch.rules.includes(rule);
        if (!page.may("lead", "setter")) {
            const row = (name, value) => el("div", {}, el("dt", {}, name), el("dd", {}, value));
            redraw(
                place,
                note(say("page.audit.watch_reads"), "watch-reads"),
                section(
                    say("page.audit.watch_in_force"),
                    "watch-read",
                    el("dl", {class: "setup-limits-read"}, row(say("page.audit.watch_on"), yesNo(watch.on)), numbers().map((n) => row(n.label, String(watch[n.name]))), allRules().map((r) => row(`${letterOf(r)} ${valueWord(r)}`, `${yesNo(on(r))}. ${alarmText(r)}`))),
                ),
            );
            return;
        }
        const form = makeForm({
            test: "watch-form",
            go: say("page.audit.watch_set"),
            fields: [
                {name: "on", type: "check", label: say("page.audit.watch_on"), hint: say("page.audit.watch_on_hint"), value: watch.on},
                {head: say("page.audit.watch_rules")},
                ...allRules().map((r) => ({name: field(r), type: "check", label: `${letterOf(r)} \u00b7 ${valueWord(r)}`, hint: alarmText(r), value: on(r)})),
                {head: say("page.audit.watch_numbers")},
                ...numbers().map((n) => ({name: n.name, type: "whole", label: n.label, hint: n.hint, value: String(watch[n.name]), check: (v) => (v < n.least || v > n.most ? say("page.setup.limits.range", {least: n.least, most: n.most}) : null)})),
            ],
            submit: async (values) => {
                const answer = await post("/api/watch", {
                    on: values.on,
                    points: values.points,
                    rules: allRules().filter((r) => values[field(r)]),
                    weight_permille: values.weight_permille,
                    share_ppm: values.share_ppm,
                });
                if (answer.ok) {
                    page.receipt(answer, say("page.audit.watch_done"));
                    await context.refresh();
                }
                return answer;
            },
        });
        redraw(place, section(say("page.audit.watch_in_force"), "watch-set", form.node));
    }

    page.body.append(el("a", {class: "audit-link audit-back", href: "#/audit", data: {test: "back"}}, `\u2039 ${say("page.audit.title")}`), place);
    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type === "watch.set") load();
        },
        leave: () => load.stop(),
    };
}
