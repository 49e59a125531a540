// Who is here? Lies over every place until somebody has proved who they are.
//
// What its person knows at that moment and wants next:
//   sign_in  an operator comes to the bench, badge in hand, gloves on, somebody calling: scan, six digits, work. Nothing
//            else is to be read. If a colleague still stands at the bench, they must know that the order stays in work.
//            A lead or a setter at a desk has a keyboard and a passphrase.
//   again    somebody walked away and comes back: the page is as they left it, once they prove that it is they.
//   nobody   a lead looks at a bench where nobody is signed in: that is all there is to know.
//   first    somebody has just installed the station, with its terminal in view and no idea what a "setter" is.

import {post} from "../kit/api.js";
import {refusalBox} from "../kit/dialog.js";
import {el, newId, redraw, svg} from "../kit/dom.js";
import {onMain, onScan} from "../kit/keys.js";
import {pinField} from "../kit/pin.js";
import {language, languages, say} from "../kit/words.js";

// PIN or passphrase: what worked on this page last is what its person has at hand.
let lastKind = null;

export function show(root, context) {
    if (context.covered === "first") return showFirst(root, context);
    if (context.covered === "nobody") return showNobody(root, context);
    return showSignIn(root, context, {again: context.covered === "again"});
}

function languageSwitch(context) {
    return el(
        "div",
        {class: "signin-languages", role: "group", aria: {label: say("page.self.language")}},
        languages.map((l) =>
            el(
                "button",
                {
                    type: "button",
                    class: "office",
                    lang: l.language,
                    aria: {pressed: String(l.language === language())},
                    data: {test: `language-${l.language}`},
                    on: {click: () => context.changeLanguage(l.language)},
                },
                l.name,
            ),
        ),
    );
}

// A badge on its clip: what to hold before the scanner.
function badge() {
    const line = {fill: "none", stroke: "currentColor", "stroke-width": 3};
    return svg(
        "svg",
        {class: "signin-badge", viewBox: "0 0 64 84", "aria-hidden": "true"},
        svg("path", {...line, d: "M26 14V3h12v11"}),
        svg("rect", {...line, x: 4, y: 14, width: 56, height: 66, rx: 4}),
        svg("circle", {...line, cx: 32, cy: 34, r: 9}),
        svg("path", {...line, d: "M16 56c3-10 29-10 32 0"}),
        svg("path", {...line, "stroke-width": 2.5, d: "M15 65v8M20 65v8M24 65v8M31 65v8M35 65v8M42 65v8M48 65v8"}),
    );
}

function showSignIn(root, context, {again}) {
    const session = context.session();
    const id = newId("who");
    let place = context.here && !again ? "bench" : "office"; // what the main button does
    const secret = pinField({
        onEnter: () => form.requestSubmit(),
        kind: lastKind ?? (context.here ? "pin" : "passphrase"),
        onKind: () => kindNow(),
    });
    const who = el("input", {
        id,
        type: "text",
        autocomplete: "username",
        autocapitalize: "off",
        spellcheck: "false",
        maxlength: 64,
        data: {test: "who", scan: "here"},
    });
    // Who was here need not say it again, when a passphrase proves it. A PIN is worth something with its badge only.
    function kindNow() {
        const name = session?.person ?? "";
        if (secret.kind === "passphrase" && who.value === "") who.value = name;
        if (secret.kind === "pin" && who.value === name) who.value = "";
        redrawSentence();
    }

    const sentence = el("h1", {class: "sentence", data: {test: "signin-sentence"}});
    const busy = el("div", {class: "signin-busy", hidden: true, data: {test: "busy"}});
    const go = el("button", {type: "submit", class: "main", data: {test: "go"}});
    const aside = el("button", {
        type: "button",
        data: {test: "go-aside"},
        hidden: true,
        on: {
            click: () => {
                place = "office";
                form.requestSubmit();
            },
        },
    });
    const refusal = refusalBox(go);

    function sentenceNow() {
        if (again) return say("page.signin.again", {name: session.name});
        if (who.value.trim() === "") return say(context.here ? "page.signin.scan" : "page.signin.say_who");
        return say(secret.kind === "pin" ? "page.signin.now_pin" : "page.signin.now_passphrase");
    }
    function redrawSentence() {
        const text = sentenceNow();
        if (sentence.textContent !== text) sentence.textContent = text;
    }

    function came(text) {
        who.value = text;
        refusal.clear();
        secret.clear();
        redrawSentence();
        secret.focus();
    }
    who.addEventListener("input", redrawSentence);
    who.addEventListener("scan", (event) => came(event.detail));

    async function submit(event) {
        event.preventDefault();
        if (go.disabled) return;
        const where = place;
        place = context.here && !again ? "bench" : "office";
        if (who.value.trim() === "") {
            refusal.text(say("page.signin.who_first"));
            who.focus();
            return;
        }
        if (secret.value === "") {
            refusal.text(say("page.signin.secret_first"));
            secret.focus();
            return;
        }
        refusal.clear();
        go.disabled = true;
        const body = {person: who.value.trim(), ...secret.member(), cookie: true};
        if (where === "office") body.at_bench = false;
        else if (occupied()) body.at_bench = true;
        const answer = await post("/api/sign-in", body);
        go.disabled = false;
        secret.clear();
        if (answer.ok) {
            lastKind = secret.kind;
            await context.signedIn(answer.body);
            return;
        }
        if (answer.why.code === "people.pin_only_here") secret.use("passphrase");
        refusal.show(answer.why);
        kindNow();
        secret.focus();
    }

    const form = el(
        "form",
        {class: "signin", novalidate: true, on: {submit}},
        el(
            "div",
            {class: "signin-who"},
            el("div", {class: "signin-head"}, badge(), sentence),
            busy,
            el("div", {class: "field"}, el("label", {for: id}, say("page.signin.who")), who),
            secret.box,
            refusal.node,
            el(
                "div",
                {class: "signin-foot"},
                again
                    ? el("button", {type: "button", class: "office", data: {test: "not-me"}, on: {click: context.signOut}}, say("page.signin.not_me", {name: session.name}))
                    : languageSwitch(context),
                el("a", {class: "signin-help", href: "#/help", data: {test: "signin-help"}}, say("page.signin.help")),
            ),
        ),
        el("div", {class: "signin-keys"}, secret.pad, go, aside),
    );
    root.replaceChildren(form);

    // Somebody who works here stays in the entries until now; from now on it is whoever signs in. The order stays.
    function occupied() {
        const bench = context.bench();
        return !again && context.here && bench?.person && bench.person !== who.value.trim() ? bench : null;
    }
    function drawBusy() {
        const bench = again || !context.here ? null : context.bench();
        const taken = bench?.person && bench.person !== session?.person ? bench : null;
        busy.hidden = !taken;
        aside.hidden = !taken;
        go.textContent = say(taken ? "page.signin.take_over" : again ? "page.signin.show_again" : "page.signin.go");
        aside.textContent = say("page.signin.without_bench");
        if (!taken) return;
        redraw(
            busy,
            el("p", {}, el("b", {}, say("page.signin.busy", {name: taken.person_name ?? taken.person}))),
            el("p", {}, taken.order ? say("page.signin.busy_order", {order: taken.order.order}) : say("page.signin.busy_none")),
        );
    }

    const offScan = onScan(came);
    const offMain = onMain(() => go);
    kindNow();
    drawBusy();
    (who.value === "" ? who : root.querySelector("[data-test=secret]")).focus();

    return {
        update: drawBusy,
        leave() {
            offScan();
            offMain();
            refusal.clear();
            secret.clear();
        },
    };
}

function showNobody(root, context) {
    const works = context.here && ["operator", "lead"].includes(context.session()?.role);
    let inner = null;
    root.replaceChildren(
        el(
            "div",
            {class: "signin-nobody stack"},
            el("h1", {class: "sentence", data: {test: "nobody"}}, say("page.signin.nobody")),
            el("p", {}, say("page.signin.nobody_do")),
            works
                ? el(
                      "button",
                      {
                          class: "main",
                          data: {test: "work-here"},
                          on: {click: () => (inner = showSignIn(root, context, {again: false}))},
                      },
                      say("page.signin.work_here"),
                  )
                : null,
        ),
    );
    return {
        update: () => inner?.update(),
        leave: () => inner?.leave(),
    };
}

function showFirst(root, context) {
    const id = newId("first");
    const box = (name, label, hint, more = {}) => {
        const input = el("input", {
            id: `${id}-${name}`,
            type: "text",
            autocomplete: "off",
            spellcheck: "false",
            aria: {describedby: hint ? `${id}-${name}-hint` : null},
            data: {test: `first-${name}`},
            ...more,
        });
        return {
            input,
            label,
            node: el(
                "div",
                {class: "field"},
                el("label", {for: input.id}, label),
                input,
                hint ? el("p", {id: `${id}-${name}-hint`, class: "hint"}, hint) : null,
            ),
        };
    };
    const code = box("code", say("page.first.code"), say("page.first.code_hint"), {autocapitalize: "characters"});
    const name = box("name", say("page.first.name"), "", {autocomplete: "name"});
    const person = box("person", say("page.first.person"), say("page.first.person_hint"));
    const card = box("badge", say("page.first.badge"), say("page.first.badge_hint"), {data: {test: "first-badge", scan: "here"}});
    const pin = box("pin", say("page.first.pin"), say("page.first.pin_hint"), {type: "password", inputmode: "numeric"});
    const pinAgain = box("pin-again", say("page.first.pin_again"), "", {type: "password", inputmode: "numeric"});
    const phrase = box("passphrase", say("page.first.passphrase"), say("page.first.passphrase_hint"), {
        type: "password",
        autocomplete: "new-password",
    });
    const see = el("input", {
        id: `${id}-see`,
        type: "checkbox",
        on: {change: () => (phrase.input.type = see.checked ? "text" : "password")},
    });
    const go = el("button", {type: "submit", class: "main", data: {test: "first-go"}}, say("page.first.go"));
    const refusal = refusalBox(go);

    function wrong(field, words) {
        field.input.setAttribute("aria-invalid", "true");
        field.input.focus();
        refusal.text(words);
    }

    async function submit(event) {
        event.preventDefault();
        if (go.disabled) return;
        refusal.clear();
        for (const f of [code, name, person, pin, pinAgain, phrase]) f.input.removeAttribute("aria-invalid");
        for (const f of [code, name, person])
            if (f.input.value.trim() === "") return wrong(f, say("page.ask.empty", {field: f.label}));
        if (pin.input.value === "" && phrase.input.value === "") return wrong(pin, say("page.first.secret_needed"));
        if (pin.input.value !== pinAgain.input.value) return wrong(pinAgain, say("page.self.differ"));
        const body = {
            code: code.input.value.trim(),
            name: name.input.value.trim(),
            person: person.input.value.trim(),
            role: "setter",
            language: language(),
        };
        if (card.input.value.trim() !== "") body.badge = card.input.value.trim();
        if (pin.input.value !== "") body.pin = pin.input.value;
        if (phrase.input.value !== "") body.passphrase = phrase.input.value;
        go.disabled = true;
        const answer = await post("/api/people", body);
        go.disabled = false;
        if (!answer.ok) {
            refusal.show(answer.why);
            return;
        }
        context.firstDone();
        // A name goes with a passphrase, a badge with a PIN.
        const proof = body.passphrase
            ? {person: body.person, passphrase: body.passphrase}
            : {person: body.badge ?? body.person, pin: body.pin};
        const signed = await post("/api/sign-in", {...proof, cookie: true, at_bench: false});
        if (signed.ok) await context.signedIn(signed.body);
        else refusal.show(signed.why);
    }

    root.replaceChildren(
        el(
            "form",
            {class: "first", novalidate: true, on: {submit}},
            el(
                "div",
                {class: "first-head"},
                el("h1", {}, say("page.first.title")),
                languageSwitch(context),
                el("p", {}, say("page.first.why")),
            ),
            el("div", {class: "first-fields"}, code.node, name.node, person.node, card.node),
            el(
                "div",
                {class: "first-fields"},
                pin.node,
                pinAgain.node,
                phrase.node,
                el("div", {class: "field check"}, see, el("label", {for: see.id}, say("page.signin.show_passphrase"))),
            ),
            el("div", {class: "first-foot"}, refusal.node, go),
        ),
    );
    const offScan = onScan((text) => (card.input.value = text));
    code.input.focus();
    return {update() {}, leave: offScan};
}
