// The record's proof: how far it is under a signature, who countersigned, with which keys; signing now, bringing a
// countersignature, witnesses, the recovery page and a new key.
//
//   seal/state.js      how far, and signing            seal/checkpoints.js   the list, files and countersignatures
//   seal/keys.js       keys, recovery page, hand-over  seal/witnesses.js     who countersigns

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {checkpointsPart} from "../seal/checkpoints.js";
import {keysPart} from "../seal/keys.js";
import {statePart} from "../seal/state.js";
import {witnessesPart} from "../seal/witnesses.js";
import {loader, setupPage, together, trouble} from "../setup/parts.js";

const AT_MOST = 50;
const concerns = (type) => /^(key|witness|checkpoint)\./.test(type);

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.seal.title"), lead: say("page.seal.lead")});
    const places = {state: el("div"), checkpoints: el("div"), keys: el("div"), witnesses: el("div")};
    const failed = el("div");
    page.body.append(failed, places.state, places.checkpoints, places.witnesses, places.keys);
    // Forms are made once: what was typed stays when the lists are drawn anew.
    const parts = [
        statePart(places.state, page, context),
        checkpointsPart(places.checkpoints, page, context),
        witnessesPart(places.witnesses, page, context),
        keysPart(places.keys, page, context),
    ];
    const load = loader(
        () => together(get("/api/keys"), get(`/api/checkpoints?limit=${AT_MOST}`)),
        (bodies, why) => {
            redraw(failed, why ? trouble(why, load) : null);
            if (!why) for (const part of parts) part.draw({...bodies[0], checkpoints: bodies[1].checkpoints}, load);
        },
    );
    load();
    return {
        entry(entry, {fresh}) {
            if (concerns(entry.type)) load();
            else if (fresh) parts[0].grown?.();
        },
        leave: () => load.stop(),
    };
}
