// Spec tables. Once a year somebody comes with a file from the fitting's maker. What they know: the file. What they want:
// it in force, without a wrong figure in it. So: the file is checked and nothing is written; every error is shown in its
// cell; each warning is read and ticked; what would change is shown row by row; then it waits for a second person, who
// signs here or at their own place. Whoever looks for a row finds it at the bottom.
//
// Proposing is a setter's; adopting and dropping a lead's or a setter's who did not propose it (R: two people).

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {differencesView, warningsView} from "./differences.js";
import {dropFile} from "./drop_file.js";
import {fileErrors} from "./file_errors.js";
import {makeForm} from "./form.js";
import {loader, note, section, setupPage, trouble} from "./parts.js";
import {makeProposals} from "./proposals.js";
import {makeRows} from "./rows.js";

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.tables.title"), lead: say("page.setup.tables.lead")});
    const sets = page.may("setter");
    const checked = el("div", {class: "setup-checked", data: {test: "checked"}});
    const proposals = makeProposals({context, page, changed: () => load()});
    const rows = makeRows();
    const listTrouble = el("div");

    const load = loader(
        () => get("/api/tables"),
        (body, why) => {
            redraw(listTrouble, why ? trouble(why, load) : null);
            if (!body) return;
            proposals.draw(body.proposals ?? []);
            rows.draw(body.in_force ?? []);
        },
    );

    let turn = 0;
    async function came(file) {
        const mine = (turn += 1);
        page.forget();
        redraw(checked, el("p", {role: "status"}, say("page.setup.tables.checking")));
        const name = file.name.replace(/\.csv$/i, "");
        const answer = await post("/api/tables/check", {name, csv: file.text}, 30000);
        if (mine !== turn) return;
        const errors = [...file.own, ...(answer.body.errors ?? [])];
        if (errors.length > 0) {
            redraw(checked, fileErrors({rows: file.rows, errors, name: file.name}));
            context.speak(say("page.setup.file.errors", {count: errors.length}));
            return;
        }
        if (!answer.ok) {
            redraw(checked, trouble(answer.why, () => came(file)));
            return;
        }
        drawSound(file, name, answer.body);
    }

    function drawSound(file, name, found) {
        const boxes = [];
        const warnings = found.warnings ?? [];
        const count = typeof found.rows === "number" ? found.rows : (found.rows?.length ?? 0);
        const form = makeForm({
            test: "propose",
            go: say("page.setup.tables.propose"),
            fields: [
                ...(warnings.length > 0
                    ? [
                          {
                              node: el(
                                  "div",
                                  {class: "stack"},
                                  el("h3", {}, warnings.length === 1 ? say("page.setup.tables.one_warning") : say("page.setup.tables.warnings", {count: warnings.length})),
                                  el("p", {}, say("page.setup.tables.warnings_read")),
                                  warningsView(warnings, boxes),
                              ),
                          },
                      ]
                    : []),
                {name: "name", label: say("page.setup.tables.name"), hint: say("page.setup.tables.name_hint"), value: name},
            ],
            submit: async (values) => {
                const open = boxes.filter((b) => !b.checked);
                if (open.length > 0) {
                    form.show([{words: say("page.setup.tables.unread", {count: open.length})}]);
                    open[0].focus();
                    return null;
                }
                const body = {name: values.name, csv: file.text};
                if (warnings.length > 0) body.acknowledge_warnings = true;
                const answer = await post("/api/tables", body, 30000);
                if (!answer.ok) return answer;
                redraw(checked);
                page.receipt(answer, say("page.setup.tables.proposed", {name: values.name}));
                await Promise.all([load(), context.refresh()]);
                proposals.focus();
                return answer;
            },
        });
        redraw(
            checked,
            el(
                "div",
                {class: "stack", data: {test: "sound"}},
                el("p", {}, el("b", {}, say("page.setup.tables.sound", {rows: count}))),
                el("h3", {}, say("page.setup.tables.changes")),
                differencesView(found.differences ?? []),
                form.node,
            ),
        );
    }

    const place = dropFile({test: "table-file", label: say("page.setup.tables.file"), hint: say("page.setup.tables.file_hint"), came});
    page.body.append(
        proposals.node,
        section(
            say("page.setup.tables.new"),
            "table-new",
            sets ? [place.node, checked] : note(say("page.setup.tables.setter_only"), "setter-only"),
        ),
        listTrouble,
        rows.node,
    );
    load();

    return {
        update() {},
        entry(entry) {
            if (entry.type.startsWith("table.")) load();
        },
        leave: () => load.stop(),
    };
}
