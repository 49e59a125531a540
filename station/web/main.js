// The start of every page: words, who is here, what the bench is doing, and which place is shown. A page's module is
// imported when it is first wanted and gives show(root, context) -> {update(bench), entry(entry, {fresh}), leave()}.
// fresh: it has just happened, so it may be heard; entries that come after a break are not.
//
// What a page gets (context):
//   bench()  the latest GET /api/bench, or null      session()  {person, name, role, language}
//   alive()  false while the picture may be old      mine()     this person is the one who works at the bench
//   here     the page runs on the station's own machine
//   rest     what stands behind the place in the address: #/holds/K1-0007 -> ["K1-0007"]
//   query()  what stands behind its question mark, as URLSearchParams; update() is called when it changes
//   act(path, body)  post; then the bench is read anew; a refusal is said in the frame. Answers as kit/api.js does.
//   refresh(), go("#/order"), tell(why | null), speak(text), alarm(text)

import {get, onSignedOut, post, sessionLives} from "./kit/api.js";
import {callOff} from "./kit/dialog.js";
import {el} from "./kit/dom.js";
import {makeFrame} from "./kit/frame.js";
import {live} from "./kit/live.js";
import {allowed, firstPlace, moduleOf, nameOf, queryOf, readHash} from "./kit/places.js";
import {aboutMyself} from "./kit/self.js";
import {soundByStation, soundFor, unlock} from "./kit/sounds.js";
import {makeStore} from "./kit/store.js";
import {known, language, languages, loadWords, say} from "./kit/words.js";

const PICTURE_MS = 3000; // an entry that the picture does not have after this long makes the picture old

const FRESH_MS = 10000;

const here = ["localhost", "127.0.0.1", "[::1]"].includes(location.hostname);

const state = {
    people: true, // somebody is known to the station
    session: null,
    locked: false, // the page is hidden until its person proves themselves again
    worked: false, // its person has worked at this bench since signing in
    streaming: false,
    current: false, // the picture is as new as the stream
    fetched: false, // GET /api/bench answers
    newest: 0, // seq of the last entry heard of
    ahead: 0, // the station's clock less this machine's, ms
    used: Date.now(),
};

const frame = makeFrame(document.getElementById("frame"), {signOut, hide, self});
const store = makeStore({changed: benchChanged, trouble: benchTrouble});
const stream = live({entry: entryCame, beat: beatCame, again: pictureOld, state: streamState});

let shown = null; // {key, page, root, person, language}
let kept = null; // the page that was hidden: it comes back as it was when its person does
let failures = 0; // of pages that could not be loaded
let showing = 0; // counts changes of place, so that a slow import does not draw over a later one

const alive = () => state.streaming && state.current && state.fetched;
const mine = () => Boolean(state.session) && store.bench?.person === state.session.person;

// ---- the picture and the stream

let late = 0;
function pictureOld(seq = 0) {
    state.newest = Math.max(state.newest, seq);
    store.refresh();
    late ||= setTimeout(() => {
        late = 0;
        if ((store.bench?.seq ?? 0) < state.newest) {
            state.current = false;
            draw();
            store.refresh();
        }
    }, PICTURE_MS);
}

function entryCame(entry) {
    pictureOld(entry.seq);
    if (!state.people) get("/api/health").then((health) => (state.people = health.body.people !== false) && draw());
    if (entry.withheld) return;
    if (["person.signed_out", "session.ended"].includes(entry.type)) ended(entry.body.person);
    // After a break the stream brings what was missed: those are news for the eye, and too old for the ear.
    const age = Date.now() + state.ahead - Date.parse(entry.time);
    guarded(() => shown?.page?.entry?.(entry, {fresh: age < FRESH_MS}));
}

function beatCame(seq) {
    if (seq < (store.bench?.seq ?? 0) && seq < state.newest) state.newest = seq; // another journal
    if (seq !== (store.bench?.seq ?? -1)) pictureOld(seq);
}

function streamState(open) {
    state.streaming = open;
    // A station that was started anew knows no session of before: that is told now, not at the next press of a button.
    if (open && state.session) get("/api/session");
    // A page that could not be had while the station was away is asked for again, under another address: a browser may
    // keep what failed.
    if (open && shown?.failed) {
        failures += 1;
        shown.key = null;
    }
    if (!open) state.current = false; // and is current again with the first bench after the stream is open again
    draw();
}

function benchChanged(bench) {
    state.fetched = true;
    if (mine()) state.worked = true;
    if (bench.now_utc_ms) state.ahead = bench.now_utc_ms - Date.now();
    if (state.streaming && bench.seq >= state.newest) state.current = true;
    stream.seen(bench.seq);
    soundByStation(bench.screen?.sound);
    const size = bench.screen?.um_per_pixel;
    if (size > 0) document.documentElement.style.setProperty("--mm", `${1000 / size}px`);
    draw();
}

function benchTrouble(why, status) {
    if (!why) return;
    state.fetched = false;
    if (status === 401) stream.stop(); // from another machine everything needs a session
    draw();
}

// ---- which page

// What lies over the place: nothing, or the reason why it cannot be shown.
function cover(where) {
    if (!state.people) return "first";
    if (where?.place === "help" && !state.locked) return null; // help and cautions are for everybody
    if (!state.session) return "sign_in";
    const works = where && (where.place === "bench" || where.place === "order");
    const operator = state.session.role === "operator";
    // Nothing lies hidden for whoever comes back to the bench to work: they sign in at it, which to prove who they are
    // would not do.
    const comes = here && works && store.bench && !mine() && (operator || (state.locked && state.worked));
    if (comes) return "sign_in";
    if (state.locked) return "again";
    if (!works || !store.bench) return null;
    if (store.bench.step?.ask === "sign_in") return "nobody";
    if (operator && !mine()) return "sign_in";
    return null;
}

function draw() {
    const role = state.session?.role ?? "operator";
    let where = readHash(location.hash, role);
    if (where && state.session && !allowed(where, role)) where = null;
    if (!where) where = readHash(firstPlace(role, here), role);
    const covered = cover(where);
    // From another machine nothing comes before somebody is signed in; that is no broken link.
    // Nor while the page is hidden there: the desk stands in a room of its own, and who passes by is nobody of the bench's.
    const told = here || (Boolean(state.session) && !state.locked);
    frame.draw({session: state.session, bench: told ? store.bench : null, where, alive: alive(), expected: told, covered, locked: state.locked});
    const key = covered ? `cover:${covered}` : [where.place, where.part ?? "", ...where.rest].join("/");
    if (shown?.key !== key || shown.language !== language()) open(key, where, covered);
    else if (store.bench || covered) guarded(() => shown.page?.update?.(store.bench));
}

// A page that breaks must not go on showing what it showed before (R10): it says that it is broken.
function guarded(run) {
    try {
        return run();
    } catch (error) {
        const broken = shown;
        missing(broken.root, error);
        broken.page = null;
        return null;
    }
}

async function open(key, where, covered) {
    const turn = ++showing;
    const before = shown;
    const person = state.session?.person;
    frame.tell(null);
    if (covered) {
        callOff();
        frame.hush();
    }
    if (covered === "again" && before?.page) {
        kept = before;
        before.page.hidden?.();
    } else before?.page?.leave?.();
    const back = kept && kept.key === key && kept.person === person && kept.language === language() ? kept : null;
    if (kept && !back && covered !== "again") kept.page.leave?.();
    if (covered !== "again") kept = null;
    if (back) {
        shown = back;
        frame.place.replaceChildren(back.root);
        if (store.bench) guarded(() => back.page.update?.(store.bench));
        return;
    }
    const root = el("div", {class: `page page-${covered ? covered : where.place}`, data: {page: key}});
    shown = {key, language: language(), page: null, root, person};
    frame.place.replaceChildren(root);
    frame.place.scrollTop = 0;
    let module = null;
    const path = covered ? "./pages/sign_in.js" : moduleOf(where).replace("../", "./");
    try {
        module = await import(failures > 0 ? `${path}?${failures}` : path);
    } catch (error) {
        if (turn !== showing) return;
        shown.failed = true;
        missing(root, error);
        return;
    }
    if (turn !== showing) return;
    const context = contextFor(where, covered);
    guarded(() => {
        shown.page = module.show(root, context);
        if (store.bench) shown.page?.update?.(store.bench);
    });
    document.title = `${covered ? say("page.signin.title") : say(nameOf(where))} \u2013 ${store.bench?.station ?? "crimpgate"}`;
    if (!root.contains(document.activeElement)) frame.main.focus({preventScroll: true});
}

// Honest: this build has no such page, or it is broken.
function missing(root, error) {
    console.error("page", error);
    root.replaceChildren(
        el("h1", {}, say("page.frame.missing")),
        el("p", {data: {test: "missing"}}, say("page.frame.missing_do")),
        el("p", {class: "muted small"}, String(error?.message ?? error)),
    );
}

function contextFor(where, covered) {
    return {
        here,
        covered,
        rest: where.rest,
        query: () => queryOf(location.hash),
        bench: () => store.bench,
        session: () => state.session,
        alive,
        mine,
        refresh: () => store.refresh(),
        go: (hash) => (location.hash = hash),
        tell: frame.tell,
        speak: frame.speak,
        alarm: frame.alarm,
        async act(path, body) {
            const answer = await post(path, body);
            frame.tell(answer.ok ? null : answer.why);
            await store.refresh();
            return answer;
        },
        signedIn,
        firstDone: () => (state.people = true),
        signOut,
        changeLanguage,
    };
}

// ---- who

async function signedIn(session) {
    state.session = {person: session.person, name: session.name, role: session.role, language: session.language};
    state.locked = false;
    state.worked = false;
    state.used = Date.now();
    soundFor(session.person);
    if (session.language && session.language !== language()) await loadWords(session.language);
    stream.start();
    await store.refresh();
    const at = readHash(location.hash, session.role);
    if (!at || !allowed(at, session.role)) location.hash = firstPlace(session.role, here);
    draw();
}

async function signOut() {
    const answer = await post("/api/sign-out", {});
    if (!answer.ok && answer.status !== 401) {
        frame.tell(answer.why);
        return;
    }
    state.session = null;
    state.locked = false;
    if (!here) {
        store.forget();
        stream.stop();
    }
    location.hash = "#/bench";
    await store.refresh();
    draw();
}

function hide() {
    if (!state.session) return;
    state.locked = true;
    draw();
}

// The station has ended a session of this person, for want of use: was it this page's? Then nobody is named as signed in
// any more. What they had begun to write waits for them under the question who is here.
async function ended(person) {
    const asked = state.session;
    if (!asked || state.locked || asked.person !== person) return;
    if (!(await sessionLives()) && state.session === asked) hide();
}

async function self() {
    await aboutMyself({session: state.session, changeLanguage, mine: mine()});
    draw();
}

async function changeLanguage(next) {
    await loadWords(next);
    try {
        localStorage.setItem("language", next);
    } catch {
        // a browser that keeps nothing: the language is asked for again next time
    }
    if (state.session) {
        state.session.language = next;
        const answer = await post("/api/people/language", {language: next});
        if (!answer.ok) frame.tell(answer.why);
    }
    draw();
}

onSignedOut(() => {
    if (!state.session) return;
    state.session = null;
    state.locked = false;
    draw();
});

// Whoever works at the bench measures without touching the screen, so there the station itself ends the session. A page
// that a lead, a setter or an auditor looks at hides itself.
for (const kind of ["pointerdown", "keydown", "wheel"])
    addEventListener(kind, () => {
        state.used = Date.now();
        unlock();
    }, {capture: true, passive: true});
setInterval(() => {
    const minutes = store.bench?.limits?.sign_out_after_min ?? 0;
    if (minutes > 0 && state.session && !state.locked && !mine() && Date.now() - state.used > minutes * 60000) hide();
}, 1000);

addEventListener("hashchange", draw);

// ---- start

function firstLanguage() {
    let kept = null;
    try {
        kept = localStorage.getItem("language");
    } catch {
        kept = null;
    }
    if (languages.some((l) => l.language === kept)) return kept;
    return (navigator.languages ?? []).some((l) => l.toLowerCase().startsWith("de")) ? "de" : "en";
}

async function start() {
    await loadWords(firstLanguage());
    const [health, session] = await Promise.all([get("/api/health"), get("/api/session")]);
    state.people = health.body.people !== false;
    if (session.ok) {
        state.session = session.body;
        soundFor(session.body.person);
        if (session.body.language && known("page.place.bench") && session.body.language !== language())
            await loadWords(session.body.language);
    }
    await store.refresh();
    if (store.bench || state.session) stream.start();
    draw();
}

start().catch((error) => {
    // Without words there is only this one sentence, in both languages.
    document.getElementById("frame").textContent =
        `The station does not answer. Load the page again. / Die Station antwortet nicht. Seite neu laden. (${error.message})`;
});
