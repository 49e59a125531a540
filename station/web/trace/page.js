// What a customer sees through a link. What the link shows first stands in the page (JSON in #shown); one assembly's
// record, an order and a lot are fetched from below the page's own address, and nothing else is asked of anybody.
//
//   #                 everything of the link
//   #S/<serial>       one assembly's record
//   #O/<order>        an order's assemblies      #L/<lot>   a lot's

import {at, base, count, el, facts, languageNow, otherLanguage, panel, say, shown, time} from "./kit.js";
import {certificates, recordView} from "./record.js";

const node = (id) => document.getElementById(id);
const here = {view: null, data: null}; // what is drawn, to be drawn again in another language
const link = (kind, name) => el("a", {href: `#${kind}/${encodeURIComponent(name)}`, "data-test": `${kind}-${name}`}, name);
// Opened by a tag there is one assembly, and nothing leads away from it.
const links = shown.by_tag ? {order: (order) => order, lot: (lot) => lot} : {order: (order) => link("O", order), lot: (lot) => link("L", lot)};

function list(assemblies) {
    const row = (a) =>
        el(
            "tr",
            {"data-test": `row-${a.serial}`},
            el("th", {scope: "row"}, link("S", a.serial)),
            el("td", {class: "wide-only"}, a.customer_part),
            el("td", {class: ["passed", "conceded"].includes(a.state) ? null : "loud"}, say(`state.${a.state}`)),
            el("td", {class: "wide-only"}, a.delivered ?? say("not_sent")),
        );
    return el("table", {}, el("tbody", {}, assemblies.map(row)));
}

function search() {
    const input = el("input", {id: "serial", name: "serial", autocomplete: "off", autocapitalize: "characters", spellcheck: "false", "aria-describedby": "serial-hint", "data-test": "find"});
    const go = (event) => {
        event.preventDefault();
        const serial = input.value.replace(/[\s-]/g, "").toUpperCase();
        if (serial) location.hash = `S/${encodeURIComponent(serial)}`;
    };
    return el("form", {class: "panel", on: {submit: go}}, el("label", {for: "serial"}, say("find")), input, el("p", {class: "hint", id: "serial-hint"}, say("find_hint")), el("button", {type: "submit", "data-test": "find-go"}, say("find_go")));
}

const grouped = (groups, kind, name) => el("ul", {class: "links"}, groups.map((g) => el("li", {}, link(kind, g[name]), ` ${count(g.assemblies)}`)));

function overview(data) {
    const {counts} = data;
    const delivery = data.delivery ? counts.deliveries[0] : null;
    const doubt = counts.in_question === 1 ? say("question_one") : say("question_many", {count: counts.in_question});
    const lots = [...counts.hose_lots, ...counts.fitting_lots];
    const file = (name, kind) => el("li", {}, el("a", {href: `${base()}/${name}`, download: "", "data-test": `file-${kind}`}, say(`file.${kind}`)));
    return [
        counts.in_question > 0 ? el("section", {class: "state in_question", "data-test": "in-question"}, el("h2", {}, doubt)) : null,
        el(
            "section",
            {class: "panel", "data-test": "about"},
            facts([
                [say("for"), data.customer, "customer"],
                [say("delivery"), delivery ? [delivery.delivery, delivery.note_number, delivery.date, delivery.to].filter(Boolean).join(", ") : ""],
                [say("list"), counts.assemblies === 0 ? say("none") : count(counts.assemblies), "count"],
                ["", delivery && delivery.assemblies < delivery.sent ? say("taken_back", {out: delivery.assemblies, sent: delivery.sent}) : ""],
                [say("until"), data.valid_until ?? say("until_revoked")],
            ]),
        ),
        search(),
        counts.assemblies === 0 ? null : panel(say("list"), "list", data.list.length < counts.assemblies ? el("p", {class: "small"}, say("list_more", {count: data.list.length})) : null, list(data.list)),
        panel(say("certificates"), "certificates", certificates(data.certificates, data.zone)),
        counts.orders.length === 0 ? null : panel(say("orders"), "orders", grouped(counts.orders, "O", "order")),
        lots.length === 0 ? null : panel(say("lots"), "lots", grouped(lots, "L", "lot")),
        el("section", {class: "panel no-print", "data-test": "files"}, el("h2", {}, say("files")), el("ul", {class: "links"}, file("list.csv", "csv"), file("list.json", "json"), file("events.jsonld", "events"))),
    ];
}

const backLink = () => el("p", {class: "no-print"}, el("a", {href: "#", "data-test": "back"}, `‹ ${say("to_all")}`));

const part = (data) =>
    [backLink(), panel(data.order ? say("of_order", {order: data.order}) : say("of_lot", {lot: data.lot}), "part", el("p", {}, count(data.list.length)), list(data.list))];

function nothing(title, ...sentences) {
    return el("section", {class: "state gone", "data-test": "nothing"}, el("h2", {}, title), sentences.map((s) => el("p", {}, s)));
}

const byTag = () => el("section", {class: "panel", "data-test": "by-tag"}, el("strong", {}, say("by_tag", {serial: shown.by_tag})), el("p", {class: "small"}, say("by_tag_note")));

const views = {
    gone: () => [nothing(say("gone"), say("gone_what"), say("gone_do"))],
    wait: (data) => [nothing(say("wait"), say("wait_do", {seconds: data.wait}))],
    overview,
    // Whether it is fit for use comes before how one got here.
    record(data) {
        const [state, ...rest] = recordView(data, links);
        return shown.by_tag ? [state, byTag(), ...rest] : [backLink(), state, ...rest];
    },
    part,
    refused: (data) => [backLink(), nothing(data.code === "trace_page.wait" ? say("wait") : say("not_there"), data.code === "trace_page.wait" ? say("wait_do", data.details) : data.words)],
};

// What may hurt stands before everything else; when to take a hose out of service, behind it all.
function caution() {
    node("caution").replaceChildren(el("strong", {id: "signal"}, say("signal")), el("b", {}, say("hazard")), " ", say("avoid.leak"));
    node("service").replaceChildren(
        el("strong", {id: "service-title"}, say("service")),
        el("ul", {}, ["pressure", "out", "first"].map((name) => el("li", {}, say(`avoid.${name}`)))),
    );
}

function draw() {
    document.documentElement.lang = languageNow();
    const title = say(shown.by_tag ? "title_one" : "title");
    document.title = title;
    node("title").textContent = title;
    node("from").textContent = shown.shop ? say("from", {shop: [shown.shop, shown.address].filter(Boolean).join(", ")}) : "";
    node("other-language").textContent = languageNow() === "de" ? "English" : "Deutsch";
    node("other-language").lang = languageNow() === "de" ? "en" : "de";
    caution();
    node("as-of").textContent = here.data?.at ? say("as_of", {time: time(here.data.at, here.data.zone)}) : "";
    node("main").replaceChildren(...views[here.view](here.data).filter(Boolean));
}

function show(view, data) {
    Object.assign(here, {view, data});
    node("told").textContent = "";
    draw();
}

// One of our own parts of the hash; a hand-written one that is none is as nothing.
function asked() {
    const [, kind, name] = /^#([SOL])\/(.+)$/.exec(location.hash) ?? [];
    try {
        return kind ? {kind, name: decodeURIComponent(name)} : null;
    } catch {
        return null;
    }
}

async function go() {
    if (!shown.counts) return;
    const wanted = asked();
    if (!wanted) {
        show("overview", shown);
        return;
    }
    const address = at({S: "record", O: "order", L: "lot"}[wanted.kind], wanted.name);
    let answer;
    let body;
    try {
        answer = await fetch(address, {cache: "no-store", referrerPolicy: "no-referrer"});
        body = await answer.json();
    } catch {
        node("told").textContent = say("offline");
        return;
    }
    if (asked()?.name !== wanted.name || asked()?.kind !== wanted.kind) return; // somewhere else by now
    if (answer.status === 404 && body.code === "trace_page.gone") show("gone", {});
    else if (!answer.ok) show("refused", body);
    else show(wanted.kind === "S" ? "record" : "part", body);
    window.scrollTo(0, 0);
    node("main").focus({preventScroll: true});
}

node("other-language").addEventListener("click", () => {
    otherLanguage();
    draw();
});
window.addEventListener("hashchange", go);
show(shown.gone ? "gone" : shown.wait ? "wait" : shown.by_tag ? "record" : "overview", shown);
go();
