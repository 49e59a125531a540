// A lead picks what goes to one customer: ticks, a whole order at once, or the tags scanned one after the other; then
// where it goes, on which day, with which paper.

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {onScan} from "../kit/keys.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";
import {loader, note, section, setupPage, trouble} from "../setup/parts.js";
import {faultsOf} from "./faults.js";

const groups = (list) => {
    const out = new Map();
    for (const a of list) out.set(a.order, [...(out.get(a.order) ?? []), a]);
    return [...out];
};

export function showPicking(root, context, customer) {
    const page = setupPage(root, context, {title: say("page.deliveries.for", {customer}), lead: say("page.deliveries.pick_lead")});
    const refusals = el("div");
    const list = el("div", {class: "setup-body"});
    const picked = new Set();
    let there = [];
    let gone = false;

    const load = loader(
        () => get(`/api/sendable?customer=${encodeURIComponent(customer)}`),
        (body, why) => {
            if (why) return redraw(list, trouble(why, load));
            there = body.assemblies;
            // What has gone meanwhile is no longer picked.
            for (const serial of [...picked]) if (!there.some((a) => a.serial === serial && a.tag_valid)) picked.delete(serial);
            draw();
        },
    );

    const form = makeForm({
        test: "send-form",
        go: say("page.deliveries.send"),
        fields: [
            {name: "to", label: say("page.deliveries.to"), hint: say("page.deliveries.to_hint")},
            {name: "note_number", label: say("page.deliveries.note"), hint: say("page.deliveries.note_hint"), required: false},
            {name: "date", type: "day", label: say("page.deliveries.date"), hint: say("page.deliveries.date_hint"), required: false},
        ],
        submit: async (v) => {
            redraw(refusals);
            const body = {customer, to: v.to, serials: there.map((a) => a.serial).filter((s) => picked.has(s))};
            if (v.note_number) body.note_number = v.note_number;
            if (v.date) body.date = v.date;
            const answer = await post("/api/deliveries", body);
            if (gone) return answer;
            const faults = faultsOf(answer);
            if (faults) {
                redraw(refusals, faults);
                faults.focus();
                load();
                return null; // the reasons stand above
            }
            if (answer.ok) {
                picked.clear();
                page.receipt(answer, body.serials.length === 1 ? say("page.deliveries.sent_now_one", {customer}) : say("page.deliveries.sent_now", {count: body.serials.length, customer}));
                form.set("note_number", "");
                load();
            }
            return answer;
        },
    });

    const count = el("p", {class: "deliveries-count", aria: {live: "polite"}, data: {test: "picked"}});

    function toggle(serials, on) {
        for (const serial of serials) (on ? picked.add(serial) : picked.delete(serial));
        draw();
    }

    // Ticked is what is picked, by whatever way: a redraw must not put back what the box showed before a scan.
    function row(a) {
        const id = `pick-${a.serial}`;
        return el(
            "li",
            {},
            el("input", {type: "checkbox", id, disabled: !a.tag_valid, checked: picked.has(a.serial), data: {test: id, keep: "no"}, on: {change: (event) => toggle([a.serial], event.target.checked)}}),
            el(
                "label",
                {for: id},
                el("b", {}, a.serial),
                " ",
                el("span", {}, a.customer_part),
                a.concession_reference ? el("span", {class: "setup-tag"}, say("page.deliveries.concession", {reference: a.concession_reference})) : null,
                a.tag_valid ? null : el("span", {class: "muted"}, ` ${say("page.deliveries.no_tag")}`),
            ),
        );
    }

    function group([order, assemblies]) {
        const free = assemblies.filter((a) => a.tag_valid).map((a) => a.serial);
        const all = free.length > 0 && free.every((s) => picked.has(s));
        return el(
            "fieldset",
            {class: "deliveries-order", data: {test: `order-${order}`}},
            el("legend", {}, order),
            el("button", {type: "button", class: "office", disabled: free.length === 0, data: {test: `all-${order}`}, on: {click: () => toggle(free, !all)}}, all ? say("page.deliveries.none_of", {order}) : say("page.deliveries.all_of", {count: free.length, order})),
            el("ul", {class: "deliveries-list"}, assemblies.map(row)),
        );
    }

    function draw() {
        count.textContent = say("page.deliveries.picked", {count: picked.size, all: there.length});
        redraw(list, there.length === 0 ? note(say("page.deliveries.nothing_for"), "nothing") : groups(there).map(group));
    }

    // A tag's code may hold more than the serial.
    const offScan = onScan((text) => {
        const code = text.toUpperCase();
        const hit = there.find((a) => code.includes(a.serial));
        if (!hit) {
            context.alarm(say("page.deliveries.scan_unknown", {code: text.slice(0, 40)}));
            redraw(refusals, el("div", {class: "refusal", role: "alert", data: {test: "scan-unknown"}}, el("p", {}, say("page.deliveries.scan_unknown", {code: text.slice(0, 40)}))));
            return true;
        }
        redraw(refusals);
        if (hit.tag_valid) toggle([hit.serial], true);
        context.speak(say("page.deliveries.scanned", {serial: hit.serial, count: picked.size}));
        return true;
    });

    page.body.append(
        el("a", {class: "audit-link audit-back", href: "#/deliveries", data: {test: "back"}}, `\u2039 ${say("page.place.deliveries")}`),
        refusals,
        section(say("page.deliveries.what_goes"), "pick", note(say("page.deliveries.scan_hint"), "scan-hint"), list),
        page.may("lead") ? section(say("page.deliveries.where"), "send", count, form.node) : note(say("page.deliveries.lead_only"), "lead-only"),
    );
    load();
    return {
        entry(entry) {
            if (/^(delivery|assembly\.(passed|held)|tag\.|hold)/.test(entry.type)) load();
        },
        leave() {
            gone = true;
            offScan();
            load.stop();
        },
    };
}
