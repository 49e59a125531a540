// The QC lead's audit: what a shift made, what to look at first, whether the process drifts, whether the gauges can be
// trusted. Everything comes from GET /api/audit; what it is of stands in the address.
//
//   #/audit                          the last shift
//   #/audit?shift=2026-11-25/1       that shift; also from, to, order, customer, spec, die_set, hose_lot, gauge, person
//   #/audit/entry/57                 an entry of the journal           (audit/entry.js)
//   #/audit/watch                    the drift watch at the bench      (audit/watch.js)
//   #/audit/studies, #/audit/samples gauge studies and samples         (pages/studies.js)
//
// An audit stands still: it says up to which entry it goes, and is read anew when somebody asks for it.

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {language, say, sayMessage} from "../kit/words.js";
import {localTime, withNames} from "../audit/cells.js";
import {makeCharts} from "../audit/charts.js";
import {addressOf, apiQuery, filterBar, lastShift, readFilters} from "../audit/filters.js";
import {sections} from "../audit/sections.js";
import {signOff} from "../audit/sign_off.js";
import {summary} from "../audit/summary.js";

const PATIENCE_MS = 120000; // a year of one bench
const VERIFY_MS = 600000; // its journal, every hash and every view
const places = {watch: "page.place.watch", studies: "page.place.studies", samples: "page.place.samples"};

// Where each filter's suggestions are found: the keys of what is compared.
const suggested = {spec: "by_spec", die_set: "by_die_set", hose_lot: "by_hose_lot", gauge: "by_gauge", person: "by_person"};

export function show(root, context) {
    let shifts = null;
    let people = null; // names by id
    let audit = null;
    let why = null;
    let filters = null; // what is shown, or being read
    let asked = "";
    let turn = 0;
    let gone = false;
    let charts = null;
    const seq = () => audit?.journal?.last_seq ?? 0;

    const newer = el("div", {class: "audit-newer", role: "status", hidden: true, data: {test: "newer"}});
    const bar = el("div", {});
    const body = el("div", {class: "audit-body"});
    // What else the lead keeps in order: there whether or not an audit is shown.
    const beside = ["watch", "studies", "samples"].map((place) => el("li", {}, el("a", {class: "audit-link", href: `#/audit/${place}`, data: {test: `to-${place}`}}, say(places[place]))));
    root.replaceChildren(
        el(
            "div",
            {class: "audit office"},
            el("div", {class: "audit-head"}, el("h1", {}, say("page.audit.title")), el("nav", {aria: {label: say("page.audit.beside")}}, el("ul", {class: "audit-files"}, beside)), newer),
            bar,
            body,
        ),
    );

    async function load() {
        const mine = (turn += 1);
        const [known, all] = await Promise.all([get("/api/shifts"), people ? null : get("/api/people")]);
        if (gone || mine !== turn) return;
        if (known.ok) shifts = known.body.shifts.map((s) => ({...s, running: s.shift === known.body.running}));
        if (all?.ok) people = Object.fromEntries(all.body.people.map((p) => [p.person, p.name]));
        filters = readFilters(context.query());
        // The last shift by its name, so that what is looked at can be sent.
        if (Object.keys(filters).length === 0 && shifts?.length > 0) {
            filters = {shift: lastShift(shifts)};
            history.replaceState(null, "", addressOf(filters));
        }
        asked = context.query().toString();
        drawBar();
        if (Object.keys(filters).length === 0 && known.ok) {
            redraw(body, el("p", {class: "audit-none", data: {test: "no-shifts"}}, say("page.audit.no_shifts")));
            return;
        }
        redraw(body, el("p", {class: "muted", role: "status", data: {test: "audit-loading"}}, say("page.audit.loading")));
        const answer = await get(`/api/audit?${apiQuery(filters)}`, PATIENCE_MS);
        if (gone || mine !== turn) return;
        audit = answer.ok ? answer.body : null;
        if (audit) for (const of of [audit, ...audit.charts, ...audit.sheets]) of.notes = (of.notes ?? []).map((n) => withNames(n, audit.people));
        why = answer.why;
        draw();
    }

    const told = () => ({query: filters, zone: audit.time_zone ?? context.bench()?.time_zone, people: audit.people, csv: (sheet) => `/api/audit.csv?${apiQuery(filters, {sheet})}`});

    function drawBar() {
        const suggestions = {};
        for (const [name, sheet] of Object.entries(suggested)) suggestions[name] = [...new Set((audit?.sheets.find((s) => s.id === sheet)?.rows ?? []).map((r) => r[0]).filter(Boolean))];
        redraw(bar, filterBar({filters, shifts: shifts ?? [], suggestions, go: (wanted) => context.go(addressOf(wanted))}));
    }

    function files() {
        const paper = (size) => `/api/audit.pdf?${apiQuery(filters, {paper: size, language: language()})}`;
        const link = (href, text, test) => el("li", {}, el("a", {class: "audit-link", href, download: "", data: {test}}, text));
        return el(
            "ul",
            {class: "audit-files", aria: {label: say("page.audit.files")}},
            link(paper("a4"), say("page.audit.pdf_a4"), "pdf-a4"),
            link(paper("letter"), say("page.audit.pdf_letter"), "pdf-letter"),
            link(`/api/audit.json?${apiQuery(filters)}`, "JSON", "json"),
        );
    }

    function madeText() {
        const at = localTime(audit.made_utc_ms, told().zone);
        const {verified_seq, verified_utc_ms, last_seq, damage} = audit.journal ?? {};
        if (damage) return sayMessage(damage);
        return verified_seq > 0
            ? say("page.audit.made_verified", {time: at, seq: last_seq, verified: verified_seq, when: localTime(verified_utc_ms, told().zone)})
            : say("page.audit.made_at", {time: at, seq: last_seq});
    }

    // Read through on a thread of the station's own; the bench goes on meanwhile. The audit is made anew, so that it says
    // what came of it.
    function verifyButton() {
        const button = el("button", {type: "button", class: "office", data: {test: "verify"}, on: {click: go}}, say("page.audit.verify"));
        const state = el("span", {role: "status", data: {test: "verify-state"}});
        async function go() {
            button.disabled = true;
            state.textContent = say("page.audit.verifying");
            const answer = await post("/api/journal/verify", {}, VERIFY_MS);
            if (gone) return;
            button.disabled = false;
            state.textContent = answer.ok ? "" : sayMessage(answer.why);
            if (!answer.ok) return;
            context.speak(answer.body.sound ? say("page.audit.verified", {seq: answer.body.entries}) : sayMessage(answer.body.damage));
            load();
        }
        return el("div", {class: "audit-verify"}, button, state);
    }

    function draw() {
        charts?.leave();
        charts = null;
        if (!audit) {
            redraw(
                body,
                el("div", {class: "refusal", role: "alert", data: {test: "trouble"}}, el("p", {}, sayMessage(why)), el("button", {type: "button", class: "office", data: {test: "again"}, on: {click: load}}, say("page.setup.again"))),
            );
            return;
        }
        charts = makeCharts({go: (hash) => context.go(hash)});
        drawBar();
        const here = told();
        const role = context.session()?.role;
        const parts = sections(audit, {told: here, charts, role, reload: load, context});
        redraw(
            body,
            summary(audit, here),
            el("div", {class: "audit-about"}, el("p", {class: "muted", data: {test: "made-at"}}, madeText()), verifyButton(), files()),
            (audit.notes ?? []).map((n) => el("p", {class: "audit-note"}, sayMessage(n))),
            parts.length > 1 ? contents(parts) : null,
            parts.slice(0, 1).map((p) => p.node),
            filters.shift ? signOff({shift: filters.shift, known: shifts?.find((s) => s.shift === filters.shift), audit, told: here, people: people ?? {}, role, context, reload: load}) : null,
            parts.slice(1).map((p) => p.node),
        );
        watchNewer();
    }

    function contents(parts) {
        const jump = (part) => {
            const head = part.node.querySelector("h2");
            part.node.scrollIntoView({block: "start"});
            head.focus({preventScroll: true});
        };
        return el("nav", {class: "audit-contents", aria: {label: say("page.audit.contents")}}, parts.map((part) => el("button", {type: "button", class: "plain", data: {test: `to-${part.id}`}, on: {click: () => jump(part)}}, part.title)));
    }

    // What came after the audit was made is told, and never slips into it by itself.
    function watchNewer() {
        const now = context.bench()?.seq ?? 0;
        const more = audit && now > seq() ? now - seq() : 0;
        newer.hidden = more === 0;
        if (more > 0) redraw(newer, el("span", {}, say(more === 1 ? "page.audit.one_newer" : "page.audit.newer", {count: more})), el("button", {type: "button", class: "office", data: {test: "reload"}, on: {click: load}}, say("page.audit.read_anew")));
    }

    load();
    return {
        update() {
            if (filters && context.query().toString() !== asked && location.hash.startsWith("#/audit")) load();
            else watchNewer();
        },
        entry() {},
        leave() {
            gone = true;
            charts?.leave();
        },
    };
}
