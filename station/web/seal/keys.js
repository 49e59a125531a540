// The station's public keys to copy; for whoever sets the station up also its recovery page and a new key.

import {post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {language, say} from "../kit/words.js";
import {stamp} from "../holds/texts.js";
import {note, section, trouble} from "../setup/parts.js";

// A key as text to select, and a button that copies it where the browser lets a page do so.
export function keyBox(key, label, test) {
    const box = el("input", {type: "text", class: "seal-key", value: key, readonly: true, aria: {label}, data: {test, keep: "no"}});
    const told = el("span", {class: "seal-copied", role: "status"});
    const copy = async () => {
        box.focus();
        box.select();
        try {
            await navigator.clipboard.writeText(key);
            told.textContent = say("page.seal.copied");
        } catch {
            told.textContent = say("page.seal.selected");
        }
    };
    return el("div", {class: "seal-keyline"}, box, el("button", {type: "button", class: "office", aria: {label: say("page.seal.copy_of", {what: label})}, on: {click: copy}}, say("page.seal.copy")), told);
}

// The page is a file only for as long as it takes to print it: post() of kit/api.js reads JSON, this one a PDF.
async function fetchRecovery(paper) {
    const answer = await fetch("/api/keys/recovery-page", {
        method: "POST",
        credentials: "same-origin",
        cache: "no-store",
        headers: {"Content-Type": "application/json", "X-Crimpgate": "page"},
        body: JSON.stringify({paper, language: language() === "de" ? "de" : "en"}),
    });
    if (answer.ok) return {ok: true, blob: await answer.blob()};
    const body = await answer.json();
    return {ok: false, body, why: {code: body.code, details: body.details ?? []}};
}

function download(blob) {
    const address = URL.createObjectURL(blob);
    const link = el("a", {href: address, download: "recovery.pdf"});
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
}

function oneKey(key, zone) {
    const state = key.in_force ? "page.seal.in_force" : "page.seal.retired";
    return el(
        "div",
        {class: key.in_force ? "seal-one" : "seal-one seal-old", data: {test: key.in_force ? "key-in-force" : "key-retired"}},
        el("h3", {}, say(state, {time: stamp(key.since, zone), entry: key.seq})),
        el("div", {class: "seal-label"}, say("page.seal.checkpoint_key")),
        keyBox(key.key, say("page.seal.checkpoint_key"), key.in_force ? "key" : null),
        el("div", {class: "seal-label"}, say("page.seal.tag_key")),
        keyBox(key.tag_key, say("page.seal.tag_key"), key.in_force ? "tag-key" : null),
    );
}

export function keysPart(place, page, context) {
    const setter = page.may("setter");
    const list = el("div", {class: "setup-body"});
    const failed = el("div");
    let reload = () => {};

    async function recovery() {
        redraw(failed);
        const result = await ask({
            title: say("page.seal.recovery_title"),
            body: say("page.seal.recovery_body"),
            fields: [{name: "paper", label: say("page.seal.paper"), type: "choice", options: [{value: "a4", text: "A4"}, {value: "letter", text: "Letter"}], value: "a4"}],
            yes: say("page.seal.recovery_go"),
            use: (values) => fetchRecovery(values.paper),
        });
        if (!result) return;
        download(result.answer.blob);
        page.receipt(null, say("page.seal.recovery_done"));
        reload();
    }

    async function handOver() {
        redraw(failed);
        const result = await ask({
            title: say("page.seal.hand_over_title"),
            body: say("page.seal.hand_over_body"),
            fields: [{name: "reason", label: say("page.seal.reason"), hint: say("page.seal.hand_over_hint"), type: "text", required: true}],
            yes: say("page.seal.hand_over_go"),
            danger: true,
            use: (values) => post("/api/keys/hand-over", {reason: values.reason}),
        });
        if (!result) return;
        page.receipt(result.answer, say("page.seal.handed_over"));
        const [warning] = result.answer.body.warnings;
        if (warning) redraw(failed, trouble(warning));
        reload();
    }

    const buttons = setter
        ? el(
              "div",
              {class: "setup-body"},
              note(say(context.here ? "page.seal.recovery_note" : "page.seal.recovery_elsewhere"), "recovery-note"),
              failed,
              el(
                  "div",
                  {class: "row"},
                  context.here ? el("button", {type: "button", class: "office", data: {test: "recovery"}, on: {click: recovery}}, say("page.seal.recovery_button")) : null,
                  el("button", {type: "button", class: "office danger", data: {test: "hand-over"}, on: {click: handOver}}, say("page.seal.hand_over_button")),
              ),
          )
        : null;
    place.append(section(say("page.seal.keys"), "seal-keys", list, buttons));

    return {
        draw(all, again) {
            reload = again;
            const zone = context.bench()?.time_zone;
            const [first, ...older] = all.keys;
            redraw(
                list,
                el("p", {class: "hint"}, say("page.seal.keys_hint")),
                first ? oneKey(first, zone) : el("p", {class: "muted"}, say("page.seal.no_key")),
                older.length > 0 ? el("details", {id: "seal-older", class: "seal-more"}, el("summary", {}, say("page.seal.older", {count: older.length})), older.map((k) => oneKey(k, zone))) : null,
            );
        },
    };
}
