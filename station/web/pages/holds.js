// The holds: everything that is stopped, one of them in full, or what one failed proof made suspect, worked off one
// after the other.
//
//   #/holds                      the list
//   #/holds/SERIAL               one assembly, on hold or not
//   #/holds/batch/SEQ            the suspects of the doubt that entry SEQ cast
//   #/holds/batch/SEQ/SERIAL     one of them; when it is settled, the next

import {get, post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {onScan} from "../kit/keys.js";
import {settlementName} from "../kit/names.js";
import {say, sayMessage} from "../kit/words.js";
import {caseView} from "../holds/case.js";
import {issue, issued} from "../holds/certificate.js";
import {batchBox, filterBar, holdTable, listParts} from "../holds/list.js";
import {batchesOf, isOpen, nextIn} from "../holds/sorting.js";
import {reprint, tagMatters} from "../holds/tags.js";

// They outlast a visit to one assembly and back.
const filters = {order: "", cause: "", shift: "", all: false};
let settledNow = null; // what was just settled: told on the next page

const to = (...parts) => `#/holds${parts.map((p) => `/${encodeURIComponent(p)}`).join("")}`;

export function show(root, context) {
    const [first, second, third] = context.rest;
    const batchSeq = first === "batch" ? Number(second) : null;
    const serial = first === "batch" ? third : first;
    let list = null; // GET /api/holds
    let assembly = null; // GET /api/assemblies/SERIAL
    let certificates = []; // GET /api/certificates?serial=SERIAL
    let missing = null;
    let asked = -1;
    let loading = null;
    let gone = false;

    const told = () => {
        const bench = context.bench();
        return {
            people: assembly?.people ?? list?.people ?? {},
            zone: bench?.time_zone,
            now: Date.now(),
            unit: bench?.limits?.shown_unit ?? "mm",
            go: (hash) => context.go(hash),
        };
    };
    const role = () => context.session()?.role;
    const works = () => role() === "operator" || role() === "lead";

    // Settling and printing: the refusal is shown where the question was asked.
    const doing = {
        ...context,
        post: async (path, body) => {
            const answer = await post(path, body);
            if (answer.ok) await context.refresh();
            return answer;
        },
    };

    async function load() {
        const wantsList = serial === undefined || batchSeq !== null;
        const [holds, one, papers] = await Promise.all([
            wantsList ? get(`/api/holds${filters.all || batchSeq !== null ? "?all=true" : ""}`) : null,
            serial !== undefined ? get(`/api/assemblies/${encodeURIComponent(serial)}`) : null,
            serial !== undefined && role() !== "operator" ? get(`/api/certificates?serial=${encodeURIComponent(serial)}`) : null,
        ]);
        if (gone) return;
        if (papers?.ok) certificates = papers.body.certificates;
        if (holds?.ok) list = holds.body;
        else if (holds) context.tell(holds.why);
        if (one?.ok) {
            assembly = one.body;
            missing = null;
        } else if (one) missing = one.why;
        draw();
    }

    // One question under way, one behind it.
    let again = false;
    function reload() {
        if (loading) {
            again = true;
            return;
        }
        loading = load().finally(() => {
            loading = null;
            if (again) {
                again = false;
                reload();
            }
        });
    }

    async function holdBySerial() {
        const result = await ask({
            title: say("page.holds.put_title"),
            body: say("page.holds.put_body"),
            fields: [
                {name: "serial", label: say("page.holds.serial"), type: "text", required: true, scan: true, value: serial ?? ""},
                {name: "reason", label: say("page.holds.reason"), type: "area", required: true},
            ],
            yes: say("page.holds.put"),
            danger: true,
            use: (values) => doing.post("/api/assembly/hold", {serial: values.serial, reason: values.reason}),
        });
        if (result) context.go(to(result.serial));
    }

    function set(change) {
        Object.assign(filters, change);
        if ("all" in change) reload();
        draw();
    }

    function note() {
        if (!settledNow) return null;
        return el("p", {class: "holds-note", role: "status", data: {test: "note"}}, settledNow);
    }

    const lookUp = () =>
        el(
            "form",
            {
                class: "holds-look",
                role: "search",
                aria: {label: say("page.holds.look_up")},
                on: {
                    submit: (event) => {
                        event.preventDefault();
                        const text = event.target.elements.serial.value.trim();
                        if (text !== "") context.go(to(text));
                    },
                },
            },
            el("label", {for: "holds-look"}, say("page.holds.look_label")),
            el("input", {id: "holds-look", name: "serial", type: "text", autocomplete: "off", spellcheck: "false", maxlength: 64, data: {test: "look"}}),
            el("button", {type: "submit", class: "office", data: {test: "look-go"}}, say("page.holds.look")),
        );

    function drawList() {
        const t = told();
        const bench = context.bench();
        const head = el(
            "div",
            {class: "holds-head"},
            el("h1", {}, say("page.holds.title")),
            lookUp(),
            works() ? el("button", {class: "office", data: {test: "put"}, on: {click: holdBySerial}}, say("page.holds.put_open")) : null,
        );
        if (!list) return [head, el("p", {class: "muted"}, say("page.holds.loading"))];
        const parts = listParts(list, filters, t);
        const open = list.holds.filter(isOpen).length;
        const none = list.holds.length === 0 || (!filters.all && open === 0);
        return [
            head,
            note(),
            tagMatters(bench, works(), doing),
            none && !filters.all
                ? null
                : el("p", {class: "unseen", role: "status"}, say("page.holds.shown", {count: parts.shown})),
            filterBar(list.holds, filters, set),
            none && !filters.all
                ? el("p", {class: "holds-none", data: {test: "none"}}, say("page.holds.none"))
                : parts.shown === 0
                  ? el("p", {class: "holds-none", data: {test: "none-match"}}, say("page.holds.none_match"), " ", el("button", {class: "office", data: {test: "clear"}, on: {click: () => set({order: "", cause: "", shift: ""})}}, say("page.holds.clear")))
                  : null,
            parts.batches.map((batch) => batchBox(batch, t)),
            parts.single.length > 0 ? holdTable(parts.single, t, {label: say("page.holds.title")}) : null,
        ];
    }

    const theBatch = () => (list ? batchesOf(list.holds, list.doubts).find((b) => b.doubt.seq === batchSeq) : null);
    const back = (href, text) => el("a", {class: "holds-back", href, data: {test: "back"}}, `\u2039 ${text}`);

    function drawBatch() {
        const t = told();
        const batch = theBatch();
        if (!list) return [el("h1", {}, say("page.holds.title")), el("p", {class: "muted"}, say("page.holds.loading"))];
        if (!batch) return [back(to(), say("page.holds.back")), el("h1", {}, say("page.holds.no_batch"))];
        const next = batch.open[0];
        return [
            back(to(), say("page.holds.back")),
            el(
                "div",
                {class: "holds-head"},
                el("h1", {}, say("page.holds.batch_h1", {gauge: batch.doubt.gauge})),
                next ? el("a", {class: "button holds-go", href: to("batch", String(batchSeq), next.serial), data: {test: "begin-batch"}}, say("page.holds.begin", {serial: next.serial})) : null,
            ),
            note(),
            batchBox(batch, t, {working: true}),
            el("p", {class: "holds-progress", data: {test: "batch-progress"}}, say("page.holds.batch_progress", {done: batch.holds.length - batch.open.length, count: batch.holds.length})),
            holdTable(batch.holds, t, {batch: true, label: say("page.holds.batch_h1", {gauge: batch.doubt.gauge}), link: (hold) => to("batch", String(batchSeq), hold.serial)}),
        ];
    }

    function batchBar(batch) {
        if (!batch) return null;
        const at = batch.holds.findIndex((h) => h.serial === serial);
        const next = nextIn(batch, serial);
        return el(
            "nav",
            {class: "holds-batch-bar", aria: {label: say("page.holds.batch_h1", {gauge: batch.doubt.gauge})}},
            el("span", {data: {test: "batch-at"}}, say("page.holds.batch_at", {at: at + 1, count: batch.holds.length, open: batch.open.length})),
            next && next.serial !== serial ? el("a", {class: "button", href: to("batch", String(batchSeq), next.serial), data: {test: "skip"}}, say("page.holds.skip", {serial: next.serial})) : null,
        );
    }

    function done(how) {
        settledNow = say("page.holds.note", {serial, how: settlementName(how)});
        context.speak(settledNow);
        if (batchSeq !== null) {
            const batch = theBatch();
            const next = batch ? nextIn(batch, serial) : null;
            context.go(next && next.serial !== serial ? to("batch", String(batchSeq), next.serial) : to("batch", String(batchSeq)));
        } else reload();
    }
    function tools() {
        const a = assembly.assembly;
        if (!works()) return null;
        return el(
            "div",
            {class: "row holds-tools"},
            a.stage === "passed" && role() === "lead" ? el("button", {class: "office", data: {test: "issue-certificate"}, on: {click: async () => (await issue(assembly)) && reload()}}, say("page.certificate.open")) : null,
            a.stage === "passed" ? el("button", {class: "office", data: {test: "reprint"}, on: {click: async () => (await reprint(serial, doing, false)) && reload()}}, say("page.holds.reprint_open")) : null,
            a.stage !== "on_hold" && a.stage !== "scrapped" ? el("button", {class: "office", data: {test: "put"}, on: {click: holdBySerial}}, say("page.holds.put_this")) : null,
        );
    }

    function drawCase() {
        const batch = batchSeq !== null ? theBatch() : null;
        const bar = el(
            "div",
            {class: "holds-top"},
            batchSeq !== null ? back(to("batch", String(batchSeq)), say("page.holds.back_batch")) : back(to(), say("page.holds.back")),
            batchBar(batch),
        );
        if (missing) return [bar, el("h1", {data: {test: "no-serial"}}, say("page.holds.no_serial", {serial})), el("p", {}, sayMessage(missing))];
        if (!assembly) return [bar, el("h1", {}, serial), el("p", {class: "muted"}, say("page.holds.loading"))];
        return [bar, note(), caseView(assembly, told(), {session: context.session(), limits: context.bench()?.limits, context: doing, done, tools: tools()}), issued(certificates)];
    }

    function draw() {
        if (gone || !context.session()) return;
        redraw(root, el("div", {class: "holds office"}, serial !== undefined ? drawCase() : batchSeq !== null ? drawBatch() : drawList()));
    }

    // A serial scanned anywhere here opens that assembly.
    const offScan = onScan((text) => {
        context.go(to(text));
        return true;
    });

    return {
        update(bench) {
            if (bench.seq !== asked) {
                asked = bench.seq;
                reload();
            }
            draw();
        },
        entry() {},
        leave() {
            gone = true;
            settledNow = shownNote(settledNow);
            offScan();
        },
    };
}

// A note is told on one page more than that on which it arose.
let toldOnce = null;
function shownNote(note) {
    if (note !== null && toldOnce !== note) {
        toldOnce = note;
        return note;
    }
    return null;
}
