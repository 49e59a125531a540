// Can the gauges be trusted, and what was passed with them? Gauge studies and samples, for whoever answers for the
// shift: planned and drawn by a lead, measured at the bench, read by the office.
//
//   #/audit/studies      the studies, and planning one        #/audit/studies/GS-1    one of them   (studies/study.js)
//   #/audit/samples      the samples, and drawing one         #/audit/samples/RM-1    one of them   (studies/sample.js)

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {listTable, loader, section, setupPage, together, trouble} from "../setup/parts.js";
import {drawForm} from "../studies/draw_sample.js";
import {bar} from "../studies/parts.js";
import {kindName, planForm} from "../studies/plan.js";
import {showSample} from "../studies/sample.js";
import {showStudy} from "../studies/study.js";

export function show(root, context) {
    const [which, id] = context.rest;
    if (which === "samples") return id ? showSample(root, context, id) : samples(root, context);
    return id ? showStudy(root, context, id) : studies(root, context);
}

// A list that is read anew whenever something of its kind happens, beside a form that is not.
function listPage(root, context, {title, lead, kind, reads, list, form}) {
    const page = setupPage(root, context, {title, lead});
    const place = el("div", {class: "setup-body"});
    const below = el("div", {class: "setup-body"});
    let made = false;
    const load = loader(reads, (bodies, why) => {
        if (why) return redraw(place, trouble(why, load));
        redraw(place, list(bodies));
        // What somebody types into it stays.
        if (!made && page.may("lead")) redraw(below, form(bodies, page, () => ((made = false), load())));
        made = true;
    });
    page.body.append(el("a", {class: "audit-link audit-back", href: "#/audit", data: {test: "back"}}, `‹ ${say("page.audit.title")}`), place, below);
    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type.startsWith(kind)) load();
        },
        leave: () => load.stop(),
    };
}

function stateOf(s) {
    if (s.dropped) return say("page.studies.state_dropped");
    if (s.complete) return say("page.studies.state_complete");
    return say(s.running ? "page.studies.state_running" : "page.studies.state_waiting");
}

function studies(root, context) {
    const mayPlan = context.session()?.role === "lead";
    return listPage(root, context, {
        title: say("page.place.studies"),
        lead: say("page.studies.lead"),
        kind: "study.",
        reads: () => together(get("/api/studies"), ...(mayPlan ? [get("/api/references"), get("/api/people")] : [])),
        list: ([known]) =>
            section(
                say("page.studies.all"),
                "studies",
                listTable({
                    caption: say("page.studies.all"),
                    test: "study-list",
                    rowTest: (s) => `study-${s.study}`,
                    rows: [...known.studies].reverse(),
                    empty: say("page.studies.none"),
                    columns: [
                        {head: say("page.studies.study_no"), rowhead: true, cell: (s) => el("a", {href: `#/audit/studies/${encodeURIComponent(s.study)}`}, s.study)},
                        {head: say("page.studies.kind"), cell: (s) => kindName(s.kind)},
                        {head: say("page.studies.gauge"), cell: (s) => s.gauge},
                        {head: say("page.studies.people"), cell: (s) => s.people.map((p) => p.name).join(", ")},
                        {head: say("page.studies.progress"), cell: (s) => bar(s.measured, s.turns)},
                        {head: say("page.studies.state"), cell: stateOf},
                    ],
                }),
            ),
        form: ([, references, people], page, again) =>
            section(
                say("page.studies.plan_one"),
                "plan-study",
                planForm({
                    gauges: context.bench()?.gauges ?? [],
                    references: references.references,
                    people: people.people.filter((p) => !p.retired && ["operator", "lead"].includes(p.role)),
                    done: (answer) => {
                        page.receipt(answer, say("page.studies.planned"));
                        again();
                    },
                }),
            ),
    });
}

function samples(root, context) {
    return listPage(root, context, {
        title: say("page.place.samples"),
        lead: say("page.studies.samples_lead"),
        kind: "sample.",
        reads: () => together(get("/api/samples"), get("/api/shifts")),
        list: ([known]) =>
            section(
                say("page.studies.all_samples"),
                "samples",
                listTable({
                    caption: say("page.studies.all_samples"),
                    test: "sample-list",
                    rowTest: (s) => `sample-${s.sample}`,
                    rows: [...known.samples].reverse(),
                    empty: say("page.studies.no_samples"),
                    columns: [
                        {head: say("page.studies.sample_no"), rowhead: true, cell: (s) => el("a", {href: `#/audit/samples/${encodeURIComponent(s.sample)}`}, s.sample)},
                        {head: say("page.studies.shift"), cell: (s) => s.shift},
                        {head: say("page.studies.serials"), number: true, cell: (s) => say("page.bench.blind_count", {done: s.serials.length, all: s.lot_size})},
                        {head: say("page.studies.progress"), cell: (s) => bar(s.measured, s.places)},
                        {head: say("page.studies.state"), cell: (s) => (s.judged ? say(s.accepted ? "page.studies.accepted_short" : "page.studies.rejected_short") : say(s.running ? "page.studies.state_running" : "page.studies.state_waiting"))},
                    ],
                }),
            ),
        form: ([, shifts], page, again) =>
            section(
                say("page.studies.draw_one"),
                "draw-sample",
                drawForm({
                    shifts: [...shifts.shifts].sort((a, b) => (b.seq ?? 0) - (a.seq ?? 0)).map((s) => s.shift),
                    done: (answer) => {
                        page.receipt(answer, say("page.studies.drawn_now"));
                        again();
                    },
                }),
            ),
    });
}
