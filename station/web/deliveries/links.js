// Customers' links: who sees what of their own assemblies without an account, until when, and how often they looked. A
// lead makes one, for all of a customer or for one delivery, and takes one back. Its address is shown this one time.
//
//   linksPart(page, context, {delivery})    {node, entry(entry), leave()}; with a delivery: its links alone

import {get, post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw, svg} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {nameOf, stamp} from "../holds/texts.js";
import {makeForm} from "../setup/form.js";
import {listTable, loader, note, section, trouble} from "../setup/parts.js";

// Rows of "0" and "1", quiet zone and all.
function picture(rows) {
    const dark = rows.flatMap((row, y) => [...row].map((bit, x) => (bit === "1" ? svg("rect", {x, y, width: 1, height: 1}) : null)));
    return svg("svg", {class: "links-code", viewBox: `0 0 ${rows.length} ${rows.length}`, role: "img", "shape-rendering": "crispEdges", aria: {label: say("page.links.code")}, data: {test: "link-code"}}, dark);
}

function shownOnce(made, done) {
    const copied = el("span", {aria: {live: "polite"}});
    const copy = async () => {
        try {
            await navigator.clipboard.writeText(made.address);
            copied.textContent = say("page.links.copied");
        } catch {
            copied.textContent = say("page.links.not_copied"); // a browser that does not let pages do so
        }
    };
    return el(
        "div",
        {class: "links-made", role: "status", tabindex: "-1", data: {test: "link-made"}},
        el("h3", {}, say("page.links.made", {link: made.link})),
        el("p", {}, say("page.links.once")),
        el("output", {class: "links-address number", data: {test: "link-address"}}, made.address),
        made.for_customers ? null : el("p", {class: "deliveries-loud", data: {test: "link-local"}}, say("page.links.local")),
        made.code.length > 0 ? picture(made.code) : null,
        el(
            "div",
            {class: "links-buttons"},
            el("button", {type: "button", class: "office", data: {test: "link-copy"}, on: {click: copy}}, say("page.links.copy")),
            el("button", {type: "button", class: "office", data: {test: "link-done"}, on: {click: done}}, say("page.links.done")),
            copied,
        ),
    );
}

function howItStands(link, zone, people) {
    if (link.revoked_seq) return say("page.links.revoked_by", {time: stamp(link.revoked, zone), name: nameOf(people, link.revoked_by), reason: link.revoke_reason});
    if (!link.open) return say("page.links.run_out", {day: link.valid_until});
    return link.valid_until ? say("page.links.until", {day: link.valid_until}) : say("page.links.until_revoked");
}

export function linksPart(page, context, {delivery}) {
    const node = el("div", {class: "setup-body", data: {test: "links"}});
    const once = el("div");
    const making = el("div");
    const list = el("div");
    const mayMake = page.may("lead");
    let form = null;
    let customer = null; // of the delivery that this part is about

    async function revoke(link) {
        const result = await ask({
            title: say("page.links.revoke_title", {link: link.link}),
            body: say("page.links.revoke_about", {customer: link.customer}),
            danger: true,
            fields: [{name: "reason", label: say("page.links.reason"), type: "text", required: true}],
            yes: say("page.links.revoke"),
            use: (values) => post("/api/links/revoke", {link: link.link, reason: values.reason}),
        });
        if (!result) return;
        page.receipt(result.answer, say("page.links.revoked", {link: link.link}));
        load();
    }

    const load = loader(
        async () => {
            const answer = await get("/api/links?limit=1000");
            if (!answer.ok || customer !== null || !delivery) return answer;
            const one = await get(`/api/deliveries/${encodeURIComponent(delivery)}`);
            if (one.ok) customer = one.body.delivery.customer;
            return one.ok ? answer : one;
        },
        (body, why) => {
            if (why) return redraw(list, trouble(why, load));
            if (mayMake && !form) makeOne(body.customers.map((c) => c.customer), body.for_customers);
            draw(body);
        },
    );

    function makeOne(customers, forCustomers) {
        const tagsHint = [say("page.links.by_tag_hint"), forCustomers ? "" : say("page.links.by_tag_no_address")].filter(Boolean).join(" ");
        const who = {name: "customer", type: "choice", label: say("page.links.customer"), options: customers.map((c) => ({value: c, text: c})), value: customers[0] ?? ""};
        form = makeForm({
            test: "link-form",
            go: say("page.links.make"),
            fields: [
                ...(delivery ? [] : [who, {name: "delivery", label: say("page.links.delivery"), hint: say("page.links.delivery_hint"), required: false}]),
                {name: "valid_until", type: "day", label: say("page.links.last_day"), hint: say("page.links.last_day_hint"), required: false},
                {name: "opens_by_tag", type: "check", label: say("page.links.by_tag"), hint: tagsHint},
            ],
            submit: async (v) => {
                const body = {customer: delivery ? customer : v.customer};
                const of = delivery ?? v.delivery;
                if (of) body.delivery = of;
                if (v.valid_until) body.valid_until = v.valid_until;
                if (v.opens_by_tag) body.opens_by_tag = true;
                const answer = await post("/api/links", body);
                if (answer.ok) {
                    page.receipt(answer, say("page.links.made_for", {link: answer.body.link, customer: body.customer}));
                    redraw(once, shownOnce(answer.body, () => redraw(once)));
                    once.firstChild.focus();
                    load();
                }
                return answer;
            },
        });
        redraw(making, customers.length === 0 ? note(say("page.links.nobody"), "links-nobody") : form.node);
    }

    function draw(body) {
        const zone = context.bench()?.time_zone;
        const mine = delivery ? body.links.filter((l) => l.delivery === delivery) : body.links;
        redraw(
            list,
            listTable({
                caption: say("page.links.title"),
                test: "link-list",
                rowTest: (l) => `link-${l.link}`,
                rows: mine,
                empty: say("page.links.none"),
                columns: [
                    {head: say("page.links.link"), rowhead: true, cell: (l) => l.link},
                    {head: say("page.links.customer"), cell: (l) => l.customer},
                    {head: say("page.links.shows"), cell: (l) => [l.delivery || say("page.links.everything"), l.certificate ? say("page.links.printed_on", {certificate: l.certificate}) : ""].filter(Boolean).join(", ")},
                    {head: say("page.links.good"), cell: (l) => el("span", {class: l.open ? null : "muted"}, howItStands(l, zone, body.people))},
                    {head: say("page.links.by_tag_head"), cell: (l) => (l.opens_by_tag ? say("page.links.by_tag_yes") : "\u2013")},
                    {head: say("page.links.looks"), number: true, cell: (l) => (l.looked ? say("page.links.looks_last", {count: l.looks, time: stamp(l.looked, zone)}) : "0")},
                    {head: say("page.links.by"), cell: (l) => nameOf(body.people, l.who)},
                    ...(mayMake ? [{head: say("page.links.revoke"), cell: (l) => (l.open ? el("button", {type: "button", class: "office", data: {test: `revoke-${l.link}`}, on: {click: () => revoke(l)}}, say("page.links.revoke")) : "")}] : []),
                ],
            }),
        );
    }

    node.append(section(say("page.links.title"), "links-section", note(say("page.links.about"), "links-about"), once, list, making));
    load();
    return {
        node,
        entry(entry) {
            if (entry.type.startsWith("link.") || entry.type === "delivery.sent") load();
        },
        leave: () => load.stop(),
    };
}
