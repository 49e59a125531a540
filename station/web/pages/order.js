// The order: picked or scanned, then everything that goes into it scanned one thing at a time, then the set-up piece.
// One sentence says what is wanted now; what was accepted stands beside it with its tick; what was wrong stays on the
// screen, with what was scanned and what is needed, until the right thing comes.

import {get} from "../kit/api.js";
import {applicationOf} from "../kit/application.js";
import {el, redraw} from "../kit/dom.js";
import {onMain, onScan} from "../kit/keys.js";
import {shownWithUnit} from "../kit/lengths.js";
import {sign} from "../kit/signs.js";
import {good, refused} from "../kit/sounds.js";
import {say, sayMessage} from "../kit/words.js";
import {fieldsOf, judge, lotNames, wantedOf} from "../order/fields.js";
import {keyPanel} from "../order/keys.js";
import {pickList} from "../order/pick.js";
import {progress} from "../order/progress.js";
import {advice, lastPiece, piece} from "../order/setup_piece.js";

const partName = {
    hose: "page.order.part_hose",
    fitting_a: "page.order.part_fitting_a",
    fitting_b: "page.order.part_fitting_b",
    die: "page.order.part_die",
    setting: "page.order.part_setting",
};
const wanted = {
    hose: "page.order.scan_hose",
    fitting_a: "page.order.scan_fitting_a",
    fitting_b: "page.order.scan_fitting_b",
    die: "page.order.scan_die",
    setting: "page.order.set_crimper",
};
// What the bench asks for before any order can be worked.
const before = {
    clock: "page.order.first_clock",
    quarantine: "page.order.first_quarantine",
    shift: "page.order.first_shift",
    proof: "page.order.first_proof",
    proof_reading: "page.order.first_proof",
    gauge: "page.order.first_gauge",
};
const beforePicking = ["clock", "quarantine", "shift"];

export function show(root, context) {
    let orders = null;
    let asked = -1; // seq of the bench when the orders were asked for
    let picking = false;
    let typing = null; // {field: name | "order", panel}
    let wrong = null; // {title, scanned, needed, words}
    let scanned = {};
    let scannedFor = "";
    let busy = false;
    let gone = false;

    const unit = () => context.bench()?.limits?.shown_unit ?? "mm";
    const resolution = () => Math.min(...(context.bench()?.gauges ?? []).map((g) => g.resolution_nm).filter((r) => r > 0), 10000);

    async function loadOrders(seq) {
        asked = seq;
        const answer = await get("/api/orders");
        if (gone) return;
        if (answer.ok) orders = answer.body.orders;
        else context.tell(answer.why);
        draw();
    }

    // ---- what a scan or a typed text does

    function refuse(words, told = {}) {
        wrong = {words, ...told};
        refused();
        context.alarm([told.title, words].filter(Boolean).join(" "));
        draw();
    }

    async function post(path, body) {
        if (busy) return false;
        busy = true;
        wrong = null; // the bench may have moved on before this answer is back, and the last refusal is not about that
        draw();
        const answer = await context.act(path, body);
        busy = false;
        if (answer.ok) return true;
        context.tell(null); // said here, large, instead
        refuse(sayMessage(answer.why), answer.why.code === "bench.application_stops" ? {stopped: body.order} : {});
        return false;
    }

    async function take(number) {
        typing = null;
        if (await post("/api/orders/take", {order: number})) {
            good();
            picking = false;
            scanned = {};
        }
        draw();
    }

    async function accept(text) {
        const bench = context.bench();
        const fields = fieldsOf(bench, scanned);
        const field = wantedOf(fields);
        typing = null;
        if (!field) return draw();
        const verdict = judge(field, fields, text);
        if (verdict.wrong) {
            if (field.name !== "setting" && orders?.some((o) => o.order === text)) return take(text);
            const needed = field.name === "setting" ? field.crimper : field.needed.join(say("page.order.or"));
            const what = say(partName[field.name]);
            const words =
                verdict.wrong === "other_field"
                    ? say("page.order.wrong_other", {what, other: say(partName[verdict.field])})
                    : say(lotNames.includes(field.name) ? "page.order.wrong_lot" : "page.order.wrong_die", {what});
            return refuse(words, {title: say("page.order.wrong_title", {what}), scanned: text, needed});
        }
        wrong = null;
        if (field.name === "setting") return setCrimper(field.needed[0]);
        scanned[field.name] = text;
        good();
        const lots = lotNames.every((name) => scanned[name]);
        if (lotNames.includes(field.name) && lots) {
            const {hose, fitting_a, fitting_b} = scanned;
            const done = await post("/api/lots/confirm", {hose_lot: hose, fitting_a_lot: fitting_a, fitting_b_lot: fitting_b});
            for (const name of lotNames) delete scanned[name]; // with the station now, or refused: scanned anew
            if (!done) return draw();
        }
        const next = wantedOf(fieldsOf(context.bench(), scanned));
        context.speak(say("page.order.accepted", {what: say(partName[field.name]), value: text, next: next ? say(wanted[next.name], {value: next.needed[0]}) : ""}));
        draw();
    }

    async function setCrimper(setting) {
        typing = null;
        const row = context.bench().row;
        if (await post("/api/die/confirm", {die_set: row.die_set, crimper: row.crimper, setting})) {
            good();
            scanned = {};
        }
        draw();
    }

    // ---- the picture

    function type(field) {
        const done = field === "order" ? take : field === "new_setting" ? setCrimper : accept;
        const asks = {order: "page.order.type_order", setting: "page.order.type_setting", new_setting: "page.order.type_setting"};
        const panel = keyPanel({
            label: asks[field] ? say(asks[field]) : say("page.order.type_what", {what: say(partName[field])}),
            yes: say("page.order.type_yes"),
            onDone: field === "setting" ? setCrimper : done,
            onCancel: () => {
                typing = null;
                draw();
            },
        });
        typing = {field, panel};
        wrong = null;
        draw();
        panel.focus();
    }

    const typeButton = (field) =>
        el("button", {disabled: busy, data: {test: "type"}, on: {click: () => type(field)}}, say("page.order.type"));

    function wrongBox() {
        if (!wrong) return null;
        return el(
            "div",
            {class: "order-wrong", data: {test: "wrong"}},
            el("p", {class: "order-wrong-title"}, sign("fails"), el("span", {}, wrong.title ?? say("page.order.refused"))),
            wrong.scanned !== undefined
                ? el(
                      "dl",
                      {class: "order-wrong-both"},
                      el("div", {}, el("dt", {}, say("page.order.scanned")), el("dd", {data: {test: "scanned"}}, wrong.scanned)),
                      el("div", {}, el("dt", {}, say("page.order.needed")), el("dd", {data: {test: "needed"}}, wrong.needed)),
                  )
                : null,
            el("p", {}, wrong.words),
            wrong.stopped ? (wrong.view ??= applicationOf(wrong.stopped, context, {brief: true, answered: () => take(wrong.stopped)})) : null,
        );
    }

    function notMine() {
        const bench = context.bench();
        return el(
            "p",
            {class: "order-note", id: "order-locked", data: {test: "not-mine"}},
            bench.person_name ? say("page.order.not_mine", {name: bench.person_name}) : say("page.order.nobody"),
        );
    }

    function blockedBy(bench) {
        const code = before[bench.step.ask];
        if (!code) return null;
        return el(
            "div",
            {class: "order-first", data: {test: "first"}},
            el("p", {class: "order-first-what"}, say(code)),
            el("a", {class: "button", href: "#/bench", data: {test: "to-bench"}}, say("page.order.to_bench")),
        );
    }

    function drawPick(bench) {
        const inWork = Boolean(bench.assembly);
        const mine = context.mine();
        const early = beforePicking.includes(bench.step.ask);
        const locked = inWork || !mine || early || busy;
        const today = new Date(bench.now_utc_ms).toLocaleDateString("sv-SE", {timeZone: bench.time_zone || "UTC"});
        return el(
            "div",
            {class: "order-pick"},
            el(
                "div",
                {class: "order-pick-head"},
                el("h1", {class: "sentence", data: {test: "sentence"}}, bench.step.ask === "order_done" ? say("page.order.pick_next") : say("page.order.pick")),
                el(
                    "div",
                    {class: "row"},
                    bench.order && picking ? el("button", {data: {test: "stay"}, on: {click: () => ((picking = false), (wrong = null), draw())}}, say("page.order.stay", {order: bench.order.order})) : null,
                    locked ? null : typeButton("order"),
                ),
            ),
            wrongBox(),
            !mine ? notMine() : null,
            mine && early ? blockedBy(bench) : null,
            mine && inWork ? el("p", {class: "order-note", id: "order-locked", data: {test: "in-work"}}, say("page.order.in_work_now", {serial: bench.assembly.serial})) : null,
            orders === null
                ? el("p", {class: "muted"}, say("page.order.loading"))
                : orders.length === 0
                  ? el("p", {class: "order-note", data: {test: "no-orders"}}, say("page.order.none"))
                  : pickList(orders, {today, taken: bench.order?.order, locked, take}),
        );
    }

    function step(field, i) {
        const value = field.value ?? (field.state === "wanted" ? "\u2026" : "");
        return el(
            "li",
            {class: `order-step ${field.state}`, aria: {current: field.state === "wanted" ? "step" : null}, data: {test: `field-${field.name}`, state: field.state}},
            field.state === "done" ? sign("conforms") : el("span", {class: "order-step-number", aria: {hidden: "true"}}, String(i + 1)),
            el(
                "span",
                {class: "order-step-text"},
                el("span", {}, say(partName[field.name])),
                field.state === "done"
                    ? el("b", {}, field.name === "setting" ? say("page.order.confirmed") : value, el("span", {class: "unseen"}, ` ${say("page.order.done")}`))
                    : el("b", {class: "muted"}, value),
            ),
        );
    }

    function facts(bench) {
        const order = bench.order;
        const rows = [
            ["page.order.hose", bench.row ? `${bench.row.hose.maker} ${bench.row.hose.type}, \u2212${bench.row.hose.dash}` : null],
            ["page.order.cut", order.cut_length_nm ? shownWithUnit(order.cut_length_nm, unit(), unit() === "mm" ? 1000000 : 0) : null],
            ["page.order.overall", order.overall_length_nm ? shownWithUnit(order.overall_length_nm, unit(), unit() === "mm" ? 1000000 : 0) : null],
            ["page.order.angle", order.orientation_deg !== undefined ? `${order.orientation_deg}\u00b0` : null],
            ["page.order.due_fact", order.due || null],
            ["page.order.notes", order.notes || null],
        ].filter(([, value]) => value);
        return el("dl", {class: "order-facts"}, rows.map(([code, value]) => el("div", {class: code === "page.order.cut" ? "order-cut" : null}, el("dt", {}, say(code)), el("dd", {}, value))));
    }

    function now(bench, fields) {
        if (!context.mine()) return notMine();
        const field = wantedOf(fields);
        const blocked = before[bench.step.ask];
        if (field && field.name !== "setting" && !(blocked && !lotNames.includes(field.name)))
            return [
                el("h2", {class: "sentence", data: {test: "sentence"}}, say(wanted[field.name])),
                wrong?.scanned !== undefined ? null : el(
                    "p",
                    {class: "order-needed", data: {test: "needs"}},
                    el("span", {}, say("page.order.needs")),
                    el("b", {}, field.needed.map((text, i) => [i > 0 ? el("span", {class: "order-or"}, say("page.order.or")) : null, el("span", {class: "order-code"}, text)])),
                ),
                wrongBox(),
                el("div", {class: "order-now-buttons"}, typeButton(field.name)),
            ];
        if (field && field.name === "setting")
            return [
                el("h2", {class: "sentence", data: {test: "sentence"}}, say("page.order.set_crimper", {value: field.needed[0]})),
                el("p", {class: "order-needed"}, el("span", {}, field.crimper), el("b", {class: "figure"}, field.needed[0])),
                wrongBox(),
                el(
                    "div",
                    {class: "order-now-buttons"},
                    typeButton("setting"),
                    el("button", {class: "main", disabled: busy, data: {test: "set"}, on: {click: () => setCrimper(field.needed[0])}}, say("page.order.stands_at", {value: field.needed[0]})),
                ),
            ];
        if (blocked) return blockedBy(bench);
        if (bench.step.ask === "setup") {
            const begun = (bench.setup ?? []).length > 0;
            const last = begun ? null : lastPiece(bench);
            return [
                el("h2", {class: "sentence", data: {test: "sentence"}}, begun ? say("page.order.measure_flat", {flat: bench.step.flat}) : last && !last.passed ? say("page.order.piece_again") : say("page.order.make_piece")),
                begun ? null : advice(bench, unit(), resolution()),
                piece(bench, unit(), resolution()),
                wrongBox(),
                last && !last.passed
                    ? el("div", {class: "order-now-buttons"}, el("button", {disabled: busy, data: {test: "new-setting"}, on: {click: () => type("new_setting")}}, say("page.order.new_setting")))
                    : null,
            ];
        }
        return [
            el("h2", {class: "sentence", data: {test: "sentence"}}, say("page.order.ready")),
            advice(bench, unit(), resolution()),
            el("div", {class: "order-now-buttons"}, el("a", {class: "button order-go", href: "#/bench", data: {test: "to-bench"}}, say("page.order.to_bench"))),
        ];
    }

    function drawWork(bench) {
        const fields = fieldsOf(bench, scanned);
        const listed = orders?.find((o) => o.order === bench.order.order) ?? {...bench.order, in_work: bench.order.open, on_hold: 0};
        return el(
            "div",
            {class: "order-work"},
            el(
                "div",
                {class: "order-head"},
                el("div", {class: "order-title"}, el("h1", {data: {test: "order"}}, bench.order.order), el("p", {}, `${bench.order.customer_part}, ${bench.order.customer}`)),
                progress(listed),
                el("button", {data: {test: "another"}, on: {click: () => ((picking = true), (typing = null), (wrong = null), draw())}}, say("page.order.another")),
            ),
            typing ? typing.panel.node : el("div", {class: "order-columns"}, el("div", {class: "order-left"}, el("ol", {class: "order-steps"}, fields.map(step)), facts(bench)), el("div", {class: "order-now"}, now(bench, fields))),
        );
    }

    function draw() {
        const bench = context.bench();
        if (gone || !bench) return;
        if (bench.order && scannedFor !== bench.order.order) {
            scannedFor = bench.order.order;
            scanned = {};
        }
        if (typing?.field === "order" && (!bench.order || picking)) {
            redraw(root, el("div", {class: "order-pick"}, el("h1", {class: "sentence"}, say("page.order.type_order")), typing.panel.node));
            return;
        }
        const list = picking || !bench.order || bench.step.ask === "order_done";
        redraw(root, list ? drawPick(bench) : drawWork(bench));
    }

    const offScan = onScan((text) => {
        if (!context.mine() || busy) return true;
        const bench = context.bench();
        const list = picking || !bench?.order || bench.step.ask === "order_done";
        if (list) take(text);
        else accept(text);
        return true;
    });
    const offMain = onMain(() => root.querySelector("button.main"));

    return {
        update(bench) {
            if (bench.seq !== asked) loadOrders(bench.seq);
            draw();
        },
        entry() {},
        leave() {
            gone = true;
            offScan();
            offMain();
        },
    };
}
