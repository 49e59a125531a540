// One delivery: what went with it, where and when; a lead takes back what did not go after all.

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {nameOf, stamp} from "../holds/texts.js";
import {stageName} from "../recall/list.js";
import {makeForm} from "../setup/form.js";
import {listTable, loader, note, section, setupPage, trouble} from "../setup/parts.js";
import {facts} from "../studies/parts.js";
import {faultsOf} from "./faults.js";
import {linksPart} from "./links.js";

const outWith = (count) => (count === 1 ? say("page.deliveries.out_with_one") : say("page.deliveries.out_with", {count}));

export function showOne(root, context, number) {
    const page = setupPage(root, context, {title: say("page.deliveries.one", {delivery: number})});
    const place = el("div", {class: "setup-body"});
    const refusals = el("div");
    const below = el("div", {class: "setup-body"});
    const back = new Set();
    let shown = null;

    const load = loader(
        () => get(`/api/deliveries/${encodeURIComponent(number)}`),
        (body, why) => {
            if (why) return redraw(place, trouble(why, load));
            shown = body;
            for (const serial of [...back]) if (!body.assemblies.some((a) => a.serial === serial)) back.delete(serial);
            draw();
        },
    );

    const form = makeForm({
        test: "back-form",
        go: say("page.deliveries.take_back"),
        danger: true,
        fields: [{name: "reason", label: say("page.deliveries.back_reason"), hint: say("page.deliveries.back_hint"), wide: true}],
        submit: async (v) => {
            redraw(refusals);
            const answer = await post("/api/deliveries/take-back", {delivery: number, serials: [...back], reason: v.reason});
            const faults = faultsOf(answer);
            if (faults) {
                redraw(refusals, faults);
                faults.focus();
                return null;
            }
            if (answer.ok) {
                page.receipt(answer, back.size === 1 ? say("page.deliveries.taken_back_one", {delivery: number}) : say("page.deliveries.taken_back", {count: back.size, delivery: number}));
                back.clear();
                form.set("reason", "");
                load();
            }
            return answer;
        },
    });

    function draw() {
        const d = shown.delivery;
        const zone = context.bench()?.time_zone;
        const tick = (a) =>
            page.may("lead")
                ? el("input", {type: "checkbox", checked: back.has(a.serial), aria: {label: say("page.deliveries.back_one", {serial: a.serial})}, data: {test: `back-${a.serial}`}, on: {change: (event) => (event.target.checked ? back.add(a.serial) : back.delete(a.serial))}})
                : null;
        redraw(
            place,
            section(
                say("page.deliveries.facts"),
                "facts",
                facts([
                    [say("page.deliveries.customer"), d.customer],
                    [say("page.deliveries.went_to"), d.to],
                    [say("page.deliveries.date"), d.date],
                    [say("page.deliveries.note"), d.note_number],
                    [say("page.deliveries.written_down"), stamp(d.time, zone)],
                    [say("page.deliveries.by"), nameOf(shown.people, d.who)],
                ]),
            ),
            section(
                outWith(shown.assemblies.length),
                "assemblies",
                listTable({
                    caption: outWith(shown.assemblies.length),
                    test: "out",
                    rowTest: (a) => `out-${a.serial}`,
                    rows: shown.assemblies,
                    empty: say("page.deliveries.all_back"),
                    columns: [
                        {head: say("page.deliveries.back_head"), cell: tick},
                        {head: say("page.holds.serial"), rowhead: true, cell: (a) => el("a", {class: "deliveries-link", href: `#/holds/${encodeURIComponent(a.serial)}`}, a.serial)},
                        {head: say("page.holds.order"), cell: (a) => a.order},
                        {head: say("page.deliveries.part"), cell: (a) => a.customer_part},
                        {head: say("page.recall.hose_lot"), cell: (a) => a.hose_lot},
                        {head: say("page.recall.stage"), cell: (a) => el("span", {class: a.stage === "on_hold" ? "deliveries-loud" : null}, stageName(a.stage))},
                    ],
                }),
            ),
            shown.taken_back.length === 0
                ? null
                : section(
                      say("page.deliveries.backs"),
                      "backs",
                      el("ul", {}, shown.taken_back.map((b) => el("li", {}, say("page.deliveries.back_was", {time: stamp(b.time, zone), who: nameOf(shown.people, b.who), serials: b.serials.join(", "), reason: b.reason})))),
                  ),
        );
    }

    const links = linksPart(page, context, {delivery: number});
    if (page.may("lead")) below.append(section(say("page.deliveries.take_back_title"), "take-back", note(say("page.deliveries.take_back_about"), "back-about"), form.node));
    page.body.append(el("a", {class: "audit-link audit-back", href: "#/deliveries", data: {test: "back"}}, `\u2039 ${say("page.place.deliveries")}`), refusals, place, links.node, below);
    load();
    return {
        update() {},
        entry(entry) {
            if (/^(delivery|assembly\.(passed|held)|hold)/.test(entry.type)) load();
            links.entry(entry);
        },
        leave() {
            load.stop();
            links.leave();
        },
    };
}
