// What a new table would change, row by row against what is in force: each changed cell as before and after, new rows
// with all their cells, and the rows that the table does not name, which stay in force. Whoever signs for a table reads
// this, not the file.
//
//   differencesView(differences)     [{spec_id, change: "new" | "changed" | "kept", cells: [{column, before, after}],
//                                    twin?: another row for the same hose, fitting and crimper that stays beside it}]
//   warningsView(warnings, boxes)    boxes: one tick for each, to be given one by one; otherwise only told

import {el, newId} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {detailsOf} from "./parts.js";

function changeName(change) {
    if (change === "new") return say("page.setup.diff.new");
    if (change === "kept") return say("page.setup.diff.kept");
    return say("page.setup.diff.changed");
}

const value = (text) => (text === "" || text === undefined || text === null ? el("span", {class: "muted"}, say("page.setup.diff.empty")) : String(text));

export function differencesView(differences) {
    if (differences.length === 0) return el("p", {data: {test: "no-differences"}}, say("page.setup.diff.none"));
    const count = (change) => differences.filter((d) => d.change === change).length;
    const one = (d) => {
        const cells = d.cells ?? [];
        const id = newId("diff");
        const table = el(
            "table",
            {class: "setup-diff-cells"},
            el("caption", {id, class: "unseen"}, `${d.spec_id}: ${changeName(d.change)}`),
            el(
                "thead",
                {},
                el(
                    "tr",
                    {},
                    el("th", {scope: "col"}, say("page.setup.diff.column")),
                    d.change === "new" ? null : el("th", {scope: "col"}, say("page.setup.diff.before")),
                    el("th", {scope: "col"}, say("page.setup.diff.after")),
                ),
            ),
            el(
                "tbody",
                {},
                cells.map((c) =>
                    el(
                        "tr",
                        {},
                        el("th", {scope: "row"}, c.column),
                        d.change === "new" ? null : el("td", {class: "setup-before"}, value(c.before)),
                        el("td", {class: "setup-after"}, value(c.after)),
                    ),
                ),
            ),
        );
        // A row that is merely kept has nothing to open.
        if (d.change === "kept")
            return el(
                "p",
                {class: "setup-diff kept", data: {test: `diff-${d.spec_id}`}},
                el("span", {class: "setup-change"}, changeName(d.change)),
                " ",
                el("b", {}, d.spec_id),
                ` ${say("page.setup.diff.kept_means")}`,
            );
        return el(
            "details",
            {id: `diff-${d.spec_id}`, class: `setup-diff ${d.change}`, open: d.change === "changed" || Boolean(d.twin), data: {test: `diff-${d.spec_id}`}},
            el("summary", {}, el("span", {class: "setup-change"}, changeName(d.change)), " ", el("b", {}, d.spec_id), d.change === "changed" ? ` ${say("page.setup.diff.cells", {count: cells.length})}` : null),
            d.twin ? el("p", {class: "setup-twin"}, say("page.setup.diff.twin", {twin: d.twin})) : null,
            cells.length > 0 ? table : null,
        );
    };
    const order = {changed: 0, new: 1, kept: 2};
    return el(
        "div",
        {class: "setup-diffs", data: {test: "differences"}},
        el("p", {}, say("page.setup.diff.count", {changed: count("changed"), new: count("new"), kept: count("kept")})),
        [...differences].sort((a, b) => order[a.change] - order[b.change]).map(one),
    );
}

export function warningsView(warnings, boxes) {
    return el(
        "ol",
        {class: "setup-warnings", data: {test: "warnings"}},
        warnings.map((w, n) => {
            const id = newId("warning");
            const {spec} = detailsOf(w.details);
            const words = [spec ? el("b", {}, `${spec}: `) : null, say(w.code, w.details)];
            if (!boxes) return el("li", {}, el("p", {}, words));
            const box = el("input", {id, type: "checkbox", data: {test: `warning-${n}`}});
            boxes.push(box);
            return el("li", {}, el("div", {class: "field check"}, box, el("label", {for: id}, words)));
        }),
    );
}
