// The operator's screen: one sentence of what to do, where, what is expected, what came, and one large button for what
// no gauge measures. Everything comes from GET /api/bench; the entries only make sounds and tell of what has just
// passed. Parts: station/web/bench/.
//
// Besides what is asked a person may open a view of their own (menu, a reason, another proof); it goes as soon as the
// bench moves on, and never hides a stop.

import {askPerson} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {get, post} from "../kit/api.js";
import {endName} from "../kit/names.js";
import {onMain, onScan} from "../kit/keys.js";
import {bad, good, refused, uncertain} from "../kit/sounds.js";
import {say} from "../kit/words.js";
import {askView} from "../bench/asks.js";
import {lotsView} from "../bench/ask_lots.js";
import {orderView} from "../bench/ask_order.js";
import {proofView} from "../bench/ask_proof.js";
import {returnedButtons} from "../bench/ask_returned.js";
import {blindSaid, leave, otherView, takeBackView} from "../bench/ask_study.js";
import {answers} from "../bench/answers.js";
import {drawing, proofPicture} from "../bench/drawing.js";
import {driftPanel, driftSentence} from "../bench/drift.js";
import {expected, scaleOf} from "../bench/expected.js";
import {facts} from "../bench/facts.js";
import {asideView, lastRecord, menuView, voidView} from "../bench/menu.js";
import {notice} from "../bench/notices.js";
import {makePress} from "../bench/press.js";
import {readings} from "../bench/readings.js";
import {saidPlace, spokenOf} from "../bench/said.js";
import {makeScale} from "../bench/scale.js";
import {told} from "../bench/sentences.js";
import {numberOf} from "../bench/steps.js";
import {stopView} from "../bench/stop.js";

const YES = /^(CRIMPGATE-)?YES$/i; // the code that a scan confirms with
const VIEWS = {menu: menuView, void: voidView, aside: asideView, proof: proofView, order: orderView, lots: lotsView, other: otherView, take_back: takeBackView};

// Of the entries of one moment the worst is heard.
function makeSounds() {
    const rank = {good: 1, refused: 2, uncertain: 3, bad: 4};
    const play = {good, refused, uncertain, bad};
    let worst = null;
    return (kind) => {
        if (worst === null) setTimeout(() => (play[worst](), (worst = null)), 30);
        if (worst === null || rank[kind] > rank[worst]) worst = kind;
    };
}

function soundOf({type, body}) {
    if (type === "reading.refused") return "refused";
    if (type === "reading.taken" && body.purpose !== "proof") {
        if (body.verdict === "conforms") return "good";
        return body.verdict === "fails" && body.purpose === "assembly" ? "bad" : "uncertain";
    }
    if (type === "gauge.proved" || type === "setup.judged") return body.passed ? "good" : type === "setup.judged" ? "uncertain" : "bad";
    if (type === "assembly.held") return "bad";
    if (type === "assembly.passed") return "good";
    if (type === "gauge.lost" || type === "tag.failed" || type === "tag.in_doubt") return "uncertain";
    if (type === "drift.warned") return "uncertain";
    if (type === "clock.stepped" && body.stops_line) return "bad";
    return null;
}

function eventOf({type, seq, body}) {
    if (type === "assembly.passed") return {seq, kind: "passed", serial: body.serial};
    if (type === "gauge.proved")
        return {seq, kind: "proved", gauge: body.gauge, value_nm: body.value_nm, error_nm: body.error_nm, limit_nm: body.limit_nm, passed: body.passed};
    if (type === "reading.voided") return {seq, kind: "voided"};
    return null;
}

export function show(root, context) {
    const opened = context.bench()?.seq ?? 0; // what was there before makes no sound
    const sounds = makeSounds();
    const scale = makeScale();
    const press = makePress();
    let view = null; // {name, ask, seq} opened by hand
    let event = null;
    let heard = opened;
    let spoken = context.bench()?.last?.seq ?? 0;
    let spokenEvent = 0;
    let alarmed = "";
    let scanNow = () => false;

    // A study or a sample: how far it is, and up to where what the gauges said belongs to what was before.
    let counted = null;
    let quietUpTo = 0;

    const sentence = el("h1", {class: "sentence bench-sentence", data: {test: "sentence"}});
    const hint = el("p", {class: "bench-hint", data: {test: "hint"}});
    const which = el("div", {class: "bench-which"});
    const warned = el("div", {class: "bench-notice"});
    const picture = el("div", {class: "bench-picture picture"});
    const numbers = el("div", {class: "bench-numbers"});
    const scalePlace = el("div", {class: "bench-scale"}, scale.node);
    const strip = el("div", {class: "bench-strip"});
    const known = el("div", {class: "bench-facts"});
    const body = el("div", {class: "bench-body"});
    const said = el("div", {class: "bench-said"});
    const side = el("div", {class: "bench-side"});
    const answerPlace = el("div", {class: "bench-answer"}, press.node);
    const frame = el(
        "div",
        {class: "bench"},
        el("header", {class: "bench-head"}, el("div", {class: "bench-told"}, sentence, hint), which),
        warned,
        picture,
        numbers,
        scalePlace,
        body,
        said,
        strip,
        known,
        el("div", {class: "bench-acts"}, side, answerPlace),
    );
    root.replaceChildren(frame);
    scale.follow();

    const desk = {
        context,
        memory: {},
        get event() {
            return event;
        },
        act: (path, command) => context.act(path, command),
        // The dialog that asked shows the refusal itself.
        async quiet(path, command) {
            const answer = await post(path, command);
            await context.refresh();
            return answer;
        },
        lead: (title, words, yes, path, command) => askPerson({title, body: words, yes, use: (by) => desk.quiet(path, {...command, by})}),
        open(name) {
            const bench = context.bench();
            view = {name, ask: bench.step.ask, seq: bench.last?.seq ?? 0, serial: bench.assembly?.serial};
            draw(bench);
        },
        close() {
            view = null;
            if (context.bench()) draw(context.bench());
        },
        redraw() {
            if (context.bench()) draw(context.bench());
        },
        refusedSound: refused,
        fetchSuspects() {
            const bench = context.bench();
            if (desk.memory.suspectsAt === bench.seq) return;
            desk.memory.suspectsAt = bench.seq;
            get("/api/holds").then((answer) => {
                if (!answer.ok) return;
                desk.memory.suspects = answer.body.holds.filter((h) => h.cause === "suspect").map((h) => h.serial);
                desk.redraw();
            });
        },
    };

    // A view of one's own stays while the bench asks the same and no gauge has spoken.
    function ownView(bench) {
        if (!view) return null;
        const moved = view.ask !== bench.step.ask || view.seq !== (bench.last?.seq ?? 0) || view.serial !== bench.assembly?.serial;
        if (moved || bench.stopped || ["clock", "sign_in", "quarantine"].includes(bench.step.ask)) {
            view = null;
            return null;
        }
        if (view.name === "die") return askView({...bench, step: {...bench.step, ask: "die"}}, desk);
        return VIEWS[view.name]?.(bench, desk) ?? null;
    }

    function workView(bench) {
        const t = driftSentence(bench) ?? told(bench);
        return {...t, work: true, ...answers(bench, desk)};
    }

    function viewOf(bench) {
        if (bench.stopped && bench.step.ask === "quarantine") return stopView(bench, desk, {scale: stopScale(bench)});
        const own = ownView(bench);
        if (own) return {...own, own: true};
        return askView(bench, desk) ?? workView(bench);
    }

    // The scale moves into the stop; the same element, so that nothing is drawn twice.
    function stopScale(bench) {
        return (bench.stopped.findings ?? []).some((f) => f.value_nm !== undefined) ? scalePlace : null;
    }

    function drawWhich(bench) {
        const number = numberOf(bench);
        const end = bench.stopped ? bench.stopped.hold?.end : bench.step.end;
        const asked = ["measure", "again", "confirm", "setup", "die", "sample", "returned"].includes(bench.step.ask);
        redraw(
            which,
            bench.step.ask === "setup"
                ? el("p", {class: "which-end", data: {test: "which-end"}}, say("page.bench.setup_short"))
                : end && asked
                  ? el("p", {class: "which-end", data: {test: "which-end"}}, el("span", {class: "which-letter", aria: {hidden: "true"}}, end.toUpperCase()), el("span", {class: "unseen"}, endName(end)))
                  : null,
            bench.order && !bench.study && !bench.sample && !bench.returned
                ? el(
                      "p",
                      {class: "which-of", data: {test: "which-of"}},
                      number && bench.step.ask !== "setup" ? el("b", {class: "number"}, say("page.bench.piece_of", {number, quantity: bench.order.quantity})) : null,
                      el("span", {}, number ? say("page.bench.passed_count", {passed: bench.order.passed}) : say("page.bench.order_progress", {passed: bench.order.passed, quantity: bench.order.quantity})),
                      bench.assembly ? el("span", {class: "number"}, bench.assembly.serial) : null,
                  )
                : null,
        );
    }

    // Measured blind, a reading is heard, and nothing more: the next turn is asked for.
    function heed(bench) {
        const {step} = bench;
        const now = step.ask === "study" ? {of: step.study, done: step.turn} : step.ask === "sample" ? {of: step.sample, done: step.measured} : step.ask === "returned" ? {of: step.return, done: step.measured ?? step.places} : null;
        if (now && now.of === counted?.of && now.done === counted.done) return false;
        const further = now && counted?.of === now.of && now.done > counted.done;
        counted = now;
        quietUpTo = bench.last?.seq ?? 0;
        if (further) sounds("good");
        return Boolean(further);
    }

    function sideButtons(bench, v) {
        const buttons = (v.others ?? []).map((b) => el("button", {class: b.class ?? "", data: {test: b.test}, aria: {label: b.label}, on: {click: () => b.run()}}, b.picture ?? null, el("span", {}, b.text)));
        if (v.own || v.stop) return buttons;
        const quiet = [];
        if (bench.returned) return [...returnedButtons(bench, desk), ...buttons];
        if (bench.study || bench.sample) {
            if (bench.step.ask === "study" && bench.step.turn > 1) quiet.push(el("button", {class: "quiet", data: {test: "take-back"}, on: {click: () => desk.open("take_back")}}, say("page.bench.study_void")));
            quiet.push(el("button", {class: "quiet", data: {test: "leave"}, on: {click: () => leave(bench, desk)}}, say(bench.study ? "page.bench.study_leave" : "page.bench.sample_leave")));
            return [...quiet, ...buttons];
        }
        if (v.work && lastRecord(bench)) quiet.push(el("button", {class: "quiet", data: {test: "void"}, on: {click: () => desk.open("void")}}, say("page.bench.void")));
        if (bench.assembly && v.work) quiet.push(el("button", {class: "quiet", data: {test: "aside"}, on: {click: () => desk.open("aside")}}, say("page.bench.aside")));
        if (bench.shift) quiet.push(el("button", {class: "quiet", data: {test: "menu"}, on: {click: () => desk.open("menu")}}, say("page.bench.more")));
        return [...quiet, ...buttons];
    }

    function draw(bench) {
        const mine = context.mine();
        const alive = context.alive();
        const v = viewOf(bench);
        const work = Boolean(v.work);
        const further = heed(bench);
        const blind = ["study", "sample", "returned"].includes(bench.step.ask) && !v.own;
        frame.dataset.seq = bench.seq;
        frame.dataset.mode = v.stop ? "stop" : v.alarm ? "alarm" : work ? "work" : "ask";
        frame.dataset.ask = v.own ? view.name : bench.step.ask;
        if (sentence.textContent !== v.sentence) sentence.textContent = v.sentence;
        hint.textContent = v.hint ?? "";
        drawWhich(bench);
        redraw(warned, v.stop ? null : mine ? notice(bench, desk) : el("p", {class: "notice calm"}, say("page.bench.looking", {name: bench.person_name ?? ""})));
        const proofAsk = bench.step.ask === "proof_reading" && !v.own;
        const showsWork = work || proofAsk;
        picture.hidden = numbers.hidden = !showsWork;
        scalePlace.hidden = !showsWork && !(v.stop && stopScale(bench)); // beside a stop without figures it would take room
        body.hidden = showsWork;
        if (showsWork) {
            if (scalePlace.parentElement !== frame) {
                frame.insertBefore(scalePlace, body);
                scale.follow();
            }
            redraw(body, null);
            const now = expected(bench);
            redraw(picture, proofAsk ? proofPicture(referenceKind(bench), v.sentence) : drawing(bench, {name: v.sentence, number: now?.drawn ?? ""}));
            const said = blind ? blindSaid(bench, {alive, upTo: quietUpTo}) : saidPlace(bench, {alive, event});
            // What went wrong needs the room, and so does what waits beside the work.
            const quiet = ["conforms", "none"].includes(said.dataset.kind) && !blind && warned.childElementCount === 0;
            redraw(numbers, now ? now.node : null, bench.step.ask === "returned" && said.dataset.kind === "blind" ? null : said, quiet && !proofAsk ? driftPanel(bench) : null);
        } else {
            redraw(picture, null);
            redraw(numbers, null); // what stood there would be old when it is seen again
            redraw(body, v.body ?? null);
            if (v.stop && scalePlace.isConnected) scale.follow();
        }
        const withScale = scaleOf(bench, {stop: v.stop});
        scalePlace.classList.toggle("empty", !withScale);
        scale.draw(withScale);
        // Off the work the last judgement stands in a line of its own, and not at all beside a stop, which says it.
        redraw(said, showsWork || v.stop ? null : blind ? blindSaid(bench, {alive, upTo: quietUpTo}) : !bench.last && !event ? null : saidPlace(bench, {alive, event}));
        said.hidden = said.childElementCount === 0;
        redraw(strip, work ? readings(bench) : null);
        redraw(known, v.stop ? null : facts(bench));
        redraw(side, mine ? sideButtons(bench, v) : null);
        press.set(mine && v.main ? {...v.main, key: `${v.own ? view.name : bench.step.ask}:${v.main.key ?? ""}:${bench.step.serial ?? ""}:${bench.step.end ?? ""}:${bench.step.what ?? ""}`} : null);
        const forGauge = (work || v.waits) && !v.main && mine;
        answerPlace.dataset.waits = forGauge ? "gauge" : "";
        redraw(waits, forGauge ? say("page.bench.press_gauge") : null);
        scanNow = v.scan ?? (() => false);
        if (further) context.speak(v.sentence);
        else speak(bench, v);
    }
    const waits = el("p", {class: "bench-waits"});
    answerPlace.append(waits);

    const referenceKind = (bench) => (bench.references ?? []).find((r) => r.reference === bench.step.reference)?.kind;

    // A judgement is spoken once, with what to do next; a stop interrupts.
    function speak(bench, v) {
        if (v.stop) {
            const key = `${bench.stopped.serial}-${bench.stopped.hold?.seq}`;
            if (alarmed !== key) {
                alarmed = key;
                context.alarm(`${v.sentence} ${[...frame.querySelectorAll(".stop-lines li")].map((n) => n.textContent).join(" ")}`);
            }
        }
        const seq = bench.last?.seq ?? 0;
        const news = event && event.seq > spokenEvent && event.seq > seq;
        if (seq <= spoken && !news) return;
        spoken = Math.max(spoken, seq);
        if (news) spokenEvent = event.seq;
        if (!v.stop) context.speak(`${spokenOf(bench, event)} ${v.sentence}`);
    }

    function confirmByKey(text) {
        if (!YES.test(text)) return false;
        press.go();
        return true;
    }

    const offMain = onMain(() => press.button());
    const offScan = onScan((text) => {
        if (!root.isConnected) return false;
        if (confirmByKey(text)) return true;
        if (scanNow(text) === false) {
            context.tell({code: "page.bench.scan_unasked", details: [{name: "scanned", text}]});
            refused();
        }
        return true;
    });

    return {
        update(bench) {
            draw(bench);
        },
        entry(entry, {fresh}) {
            if (entry.seq <= heard) return;
            heard = entry.seq;
            const happened = eventOf(entry);
            if (happened) event = happened;
            // How old something is that a jumped clock wrote, nobody knows; that stop stands, and is heard.
            const kind = fresh || entry.type === "clock.stepped" ? soundOf(entry) : null;
            if (kind) sounds(kind);
        },
        leave() {
            offMain();
            offScan();
            scale.leave();
            press.leave();
        },
    };
}
