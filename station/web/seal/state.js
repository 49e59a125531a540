// How far the record is under a signature, since when, and the button that signs now.

import {post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {stamp} from "../holds/texts.js";
import {note, section, trouble} from "../setup/parts.js";
import {facts} from "../studies/parts.js";

export function statePart(place, page, context) {
    let known = null;
    let reload = () => {};
    let refused = null;

    async function signNow() {
        const answer = await post("/api/checkpoints");
        refused = answer.ok ? null : answer.why;
        if (answer.ok) {
            const {checkpoint, fresh, unwritten} = answer.body;
            page.receipt(answer, say(fresh ? "page.seal.signed_now" : "page.seal.nothing_new", {size: checkpoint.size}));
            if (unwritten.length > 0) refused = unwritten[0];
        }
        paint();
        reload();
    }

    function paint() {
        const zone = context.bench()?.time_zone;
        const {signed_size: signed, entries, unsigned: open} = known;
        const countersigned = known.countersigned_size;
        redraw(
            place,
            section(
                say("page.seal.state"),
                "seal-state",
                el("p", {class: signed === 0 ? "seal-sum seal-open seal-never" : open ? "seal-sum seal-open" : "seal-sum", data: {test: "seal-sum"}}, say(signed === 0 ? "page.seal.never" : open ? "page.seal.open" : "page.seal.closed", {entries, signed})),
                facts([
                    [say("page.seal.signed_at"), signed > 0 ? stamp(known.signed_time, zone) : say("page.seal.not_yet")],
                    [say("page.seal.countersigned_to"), countersigned > 0 ? say("page.seal.to_entry", {entry: countersigned}) : say("page.seal.by_nobody")],
                    [say("page.seal.recovery_state"), say(known.recovery_printed ? "page.seal.recovery_is" : "page.seal.recovery_not")],
                ]),
                countersigned === 0 ? note(say("page.seal.why_countersign"), "why-countersign") : null,
                refused ? trouble(refused) : null,
                el("div", {class: "row"}, el("button", {type: "button", class: "main office", data: {test: "sign-now"}, on: {click: signNow}}, say("page.seal.sign_now"))),
            ),
        );
    }

    return {
        draw(all, again) {
            known = all;
            reload = again;
            paint();
        },
        grown() {
            if (!known || known.unsigned) return;
            known = {...known, unsigned: true};
            reload();
        },
    };
}
