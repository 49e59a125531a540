// One sample: what its plan promises, how far it is, and when all is measured again how the gauges agree and which
// verdicts did not stand.
//
//   showSample(root, context, id) -> {update, entry, leave}

import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {note, section, setupPage, trouble} from "../setup/parts.js";
import {bar, facts, sheetBlocks, takeAway, toldOf} from "./parts.js";

export function showSample(root, context, id) {
    const page = setupPage(root, context, {title: say("page.studies.sample", {sample: id})});
    const place = el("div", {class: "setup-body"});
    let gone = false;
    page.body.append(el("a", {class: "audit-link audit-back", href: "#/audit/samples", data: {test: "back"}}, `‹ ${say("page.place.samples")}`), place);

    function result(s) {
        if (!s.judged) return note(say(s.running ? "page.studies.runs_sample" : "page.studies.waits_sample"), "sample-open");
        return el(
            "p",
            {class: `verdict ${s.accepted ? "conforms" : "fails"}`, data: {test: "sample-verdict"}},
            sign(s.accepted ? "conforms" : "fails"),
            el("b", {}, say(s.accepted ? "page.studies.accepted" : "page.studies.rejected", {count: s.overturned.length})),
        );
    }

    async function load() {
        const answer = await get(`/api/samples/${encodeURIComponent(id)}`);
        if (gone) return;
        if (!answer.ok) return redraw(place, trouble(answer.why, load));
        const s = answer.body;
        redraw(
            place,
            section(
                say("page.studies.drawn"),
                "sample-plan",
                facts([
                    [say("page.studies.shift"), el("a", {href: `#/audit?shift=${s.shift}`}, s.shift)],
                    [say("page.studies.serials"), s.serials.join(", ")],
                    [say("page.studies.drawn_by"), s.drawn_by_name],
                    [say("page.studies.progress"), bar(s.measured, s.places)],
                ]),
                result(s),
            ),
            section(say("page.studies.result"), "sample-result", takeAway({sample: id}), sheetBlocks(s.sheets, toldOf({sample: id}, s.names, context))),
        );
    }

    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type.startsWith("sample.") && entry.body.sample === id) load();
        },
        leave: () => (gone = true),
    };
}
