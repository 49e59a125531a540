// What leaves the house: passed assemblies that have not gone yet, by customer; sent by a lead with ticks or scans; what
// was sent, and taken back where it did not go after all.
//
//   #/deliveries                     what may go, and the deliveries
//   #/deliveries?customer=NAME       picking for that customer      (deliveries/pick.js)
//   #/deliveries/DL-7                one of them                    (deliveries/one.js)

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {linksPart} from "../deliveries/links.js";
import {showOne} from "../deliveries/one.js";
import {showPicking} from "../deliveries/pick.js";
import {listTable, loader, section, setupPage, trouble} from "../setup/parts.js";

export function show(root, context) {
    if (context.rest[0]) return showOne(root, context, context.rest[0]);
    let inner = null;
    let shownFor = null;
    const open = () => {
        const customer = context.query().get("customer") ?? "";
        if (customer === shownFor) return;
        shownFor = customer;
        inner?.leave();
        inner = customer ? showPicking(root, context, customer) : overview(root, context);
    };
    open();
    return {
        update: open,
        entry: (entry) => inner.entry(entry),
        leave: () => inner.leave(),
    };
}

const to = (customer) => `#/deliveries?customer=${encodeURIComponent(customer)}`;

function overview(root, context) {
    const page = setupPage(root, context, {title: say("page.place.deliveries"), lead: say("page.deliveries.lead")});
    const body = el("div", {class: "setup-body"});
    const links = linksPart(page, context, {});
    page.body.append(body, links.node);
    const load = loader(
        () => get("/api/deliveries"),
        (known, why) => redraw(body, why ? trouble(why, load) : [customers(known.customers, page.may("lead")), sent(known.deliveries)]),
    );
    load();
    return {
        entry(entry) {
            links.entry(entry);
            if (["delivery.sent", "delivery.taken_back", "assembly.passed", "assembly.held", "tag.printed"].includes(entry.type)) load();
        },
        leave() {
            load.stop();
            links.leave();
        },
    };
}

function customers(list, mayYou) {
    return section(
        say("page.deliveries.to_send"),
        "to-send",
        listTable({
            caption: say("page.deliveries.to_send"),
            test: "customers",
            rows: list,
            empty: say("page.deliveries.nothing_to_send"),
            columns: [
                {head: say("page.deliveries.customer"), rowhead: true, cell: (c) => c.customer},
                {head: say("page.deliveries.assemblies"), number: true, cell: (c) => String(c.assemblies)},
                {head: say("page.deliveries.pick"), cell: (c) => (mayYou ? el("a", {class: "button", href: to(c.customer), data: {test: "pick"}}, say("page.deliveries.pick")) : "")},
            ],
        }),
    );
}

function sent(list) {
    return section(
        say("page.deliveries.sent"),
        "sent",
        listTable({
            caption: say("page.deliveries.sent"),
            test: "deliveries",
            rowTest: (d) => `delivery-${d.delivery}`,
            rows: list,
            empty: say("page.deliveries.none"),
            columns: [
                {head: say("page.deliveries.delivery"), rowhead: true, cell: (d) => el("a", {class: "deliveries-link", href: `#/deliveries/${encodeURIComponent(d.delivery)}`}, d.delivery)},
                {head: say("page.deliveries.date"), cell: (d) => d.date},
                {head: say("page.deliveries.customer"), cell: (d) => d.customer},
                {head: say("page.deliveries.note"), cell: (d) => d.note_number || "\u2013"},
                {head: say("page.deliveries.went_to"), cell: (d) => d.to},
                {head: say("page.deliveries.assemblies"), number: true, cell: (d) => (d.out === d.sent ? String(d.sent) : say("page.deliveries.out_of", {out: d.out, sent: d.sent}))},
            ],
        }),
    );
}
