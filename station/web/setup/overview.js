// What is still missing before the first assembly can be made, in the order in which one thing needs the other.
// A person with an afternoon sees how much of it is left; later it shows at a glance that everything stands.
import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {allowed} from "../kit/places.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {setupPage, trouble} from "./parts.js";

// Each gives {done, words}; a body is null when the station did not give it to this person.
function steps([people, gauges, references, tables, orders, printers], bench) {
    const here = (people?.people ?? []).filter((p) => !p.retired);
    const has = (...roles) => here.some((p) => roles.includes(p.role));
    const signers = here.filter((p) => p.role === "lead" || p.role === "setter");
    const registered = (gauges?.gauges ?? []).filter((g) => !g.withdrawn_yn && !g.withdrawn);
    const connected = (bench?.gauges ?? []).filter((g) => g.connected);
    const today = new Date().toISOString().slice(0, 10);
    const inDate = (thing) => !thing.calibration_due || thing.calibration_due >= today;
    const good = (references?.references ?? []).filter(inDate);
    const rows = tables?.in_force ?? [];
    const waiting = tables?.proposals ?? [];
    const open = (orders?.orders ?? []).filter((o) => (o.passed ?? 0) < o.quantity);
    const lostQueue = printers?.in_use?.printer && !(printers.printers ?? []).includes(printers.in_use.printer);
    const locked = here.filter((p) => p.locked);
    return [
        {
            part: "people",
            name: say("page.place.people"),
            known: people,
            done: has("operator", "lead") && has("lead") && signers.length > 1,
            words: !has("operator", "lead")
                ? say("page.setup.overview.no_operator")
                : !has("lead")
                  ? say("page.setup.overview.no_lead")
                  : signers.length < 2
                    ? say("page.setup.overview.no_second")
                    : say("page.setup.overview.people", {count: here.length}),
            more: locked.length > 0 ? say("page.setup.overview.locked", {names: locked.map((p) => p.name).join(", ")}) : "",
        },
        {
            part: "gauges",
            name: say("page.place.gauges"),
            known: gauges,
            done: registered.some(inDate),
            words: registered.length === 0 ? say("page.setup.overview.no_gauge") : !registered.some(inDate) ? say("page.setup.overview.gauge_over") : say("page.setup.overview.gauges", {count: registered.length}),
            more: registered.length > 0 && connected.length === 0 ? say("page.setup.overview.gauge_off") : "",
        },
        {
            part: "references",
            name: say("page.place.references"),
            known: references,
            done: good.length > 0,
            words: good.length > 0 ? say("page.setup.overview.references", {count: good.length}) : (references?.references ?? []).length > 0 ? say("page.setup.overview.reference_over") : say("page.setup.overview.no_reference"),
        },
        {
            part: "tables",
            name: say("page.place.tables"),
            known: tables,
            done: rows.length > 0,
            words: rows.length > 0 ? say("page.setup.overview.rows", {count: rows.length}) : waiting.length > 0 ? say("page.setup.overview.waiting") : say("page.setup.overview.no_table"),
            more: rows.length > 0 && waiting.length > 0 ? say("page.setup.overview.also_waiting", {count: waiting.length}) : "",
        },
        {
            part: "orders",
            name: say("page.place.orders"),
            known: orders,
            done: open.length > 0,
            words: open.length > 0 ? say("page.setup.overview.orders", {count: open.length}) : say("page.setup.overview.no_order"),
        },
        {
            part: "printer",
            name: say("page.place.printer"),
            known: printers,
            done: Boolean(printers?.in_use?.printer) && !lostQueue,
            optional: true,
            words: lostQueue ? say("page.setup.printer.gone", {printer: printers.in_use.printer}) : printers?.in_use?.printer ? say("page.setup.overview.printer", {printer: printers.in_use.printer}) : say("page.setup.overview.no_printer"),
        },
    ];
}

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.overview.title"), lead: null});
    const verdict = el("p", {class: "setup-verdict", role: "status", data: {test: "overview-verdict"}});
    const list = el("ol", {class: "setup-steps", data: {test: "overview"}});
    page.body.append(verdict, list);
    let gone = false;
    let turn = 0;

    async function load() {
        const mine = (turn += 1);
        const answers = await Promise.all(["/api/people", "/api/gauges", "/api/references", "/api/tables", "/api/orders", "/api/printers"].map((path) => get(path)));
        if (gone || mine !== turn) return;
        const role = context.session()?.role;
        const all = steps(answers.map((a) => (a.ok ? a.body : null)), context.bench());
        const missing = all.filter((s) => s.known && !s.done && !s.optional);
        const unknown = all.filter((s, i) => !s.known && answers[i].status !== 403);
        if (unknown.length > 0) redraw(verdict, say("page.setup.overview.unknown"));
        else redraw(verdict, missing.length === 0 ? say("page.setup.overview.ready") : missing.length === 1 ? say("page.setup.overview.one_missing") : say("page.setup.overview.missing", {count: missing.length}));
        redraw(
            list,
            all.map((s, i) => {
                const may = allowed({place: "setup", part: s.part}, role);
                const why = answers[i].why;
                const state = !s.known ? "off" : s.done ? "conforms" : s.optional ? "off" : "uncertain";
                const words = s.known ? s.words : answers[i].status === 403 ? say("page.setup.overview.setter_sees") : sayMessage(why);
                return el(
                    "li",
                    {class: s.known && !s.done && !s.optional ? "setup-step missing" : "setup-step", data: {test: `step-${s.part}`, done: s.known ? (s.done ? "yes" : "no") : "unknown"}},
                    sign(state),
                    el("div", {}, el("h2", {}, may ? el("a", {href: `#/setup/${s.part}`}, s.name) : s.name), el("p", {}, words), s.more ? el("p", {class: "setup-more-words"}, s.more) : null),
                );
            }),
        );
        if (answers.every((a) => !a.ok)) redraw(list, el("li", {}, trouble(answers[0].why, load)));
    }
    load();
    return {
        update() {},
        entry() {
            clearTimeout(load.timer);
            load.timer = setTimeout(load, 300);
        },
        leave() {
            gone = true;
            clearTimeout(load.timer);
        },
    };
}
