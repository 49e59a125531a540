// References: the rings and pins on which gauges are proved. From the certificate in the box to the station, exactly.
import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {makeForm} from "./form.js";
import {listTable, loader, note, section, setupPage, trouble} from "./parts.js";

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.references.title"), lead: say("page.setup.references.lead")});
    const list = el("div");
    const unit = context.bench()?.limits?.shown_unit ?? "mm";
    const load = loader(
        () => get("/api/references"),
        (body, why) => {
            if (why) {
                redraw(list, trouble(why, load));
                return;
            }
            const today = new Date().toISOString().slice(0, 10);
            redraw(
                list,
                listTable({
                    caption: say("page.setup.references.here"),
                    test: "references",
                    rowTest: (r) => `reference-${r.reference}`,
                    rows: body.references,
                    empty: say("page.setup.references.none"),
                    columns: [
                        {head: say("page.setup.references.reference"), rowhead: true, cell: (r) => r.reference},
                        {head: say("page.setup.references.kind"), cell: (r) => r.kind},
                        {head: say("page.setup.references.size"), number: true, cell: (r) => shownWithUnit(r.size_nm, unit, 1000)},
                        {head: say("page.setup.references.certificate"), cell: (r) => r.certificate},
                        {head: say("page.setup.gauges.due"), cell: (r) => [r.calibration_due, r.calibration_due < today ? el("span", {class: "setup-tag"}, say("page.setup.references.over")) : null]},
                    ],
                }),
            );
        },
    );
    const form = makeForm({
        test: "reference-form",
        go: say("page.setup.references.register"),
        unit,
        fields: [
            {name: "reference", label: say("page.setup.references.reference"), hint: say("page.setup.references.reference_hint")},
            {name: "kind", label: say("page.setup.references.kind"), hint: say("page.setup.references.kind_hint")},
            {name: "size", type: "length", label: say("page.setup.references.size"), hint: say("page.setup.references.size_hint")},
            {name: "certificate", label: say("page.setup.references.certificate")},
            {name: "calibration_due", type: "day", label: say("page.setup.gauges.due"), hint: say("page.setup.form.day_hint")},
        ],
        submit: async (v) => {
            const answer = await post("/api/references", {
                reference: v.reference,
                kind: v.kind,
                size_nm: v.size,
                certificate: v.certificate,
                calibration_due: v.calibration_due,
            });
            if (!answer.ok) return answer;
            form.empty();
            page.receipt(answer, say("page.setup.references.registered", {reference: v.reference}));
            await Promise.all([load(), context.refresh()]);
            return null;
        },
    });
    page.body.append(
        section(say("page.setup.references.here"), "references-here", list),
        page.may("setter")
            ? section(say("page.setup.references.new"), "reference-new", el("p", {}, say("page.setup.references.new_lead")), form.node)
            : note(say("page.setup.references.setter_only"), "setter-only"),
    );
    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type.startsWith("reference.")) load();
        },
        leave: () => load.stop(),
    };
}
