// One order by hand. It goes to the station as a file of one row, so that it is read and checked as every other order
// (specs/ORDER_FORMAT.md) and all that is wrong with it comes back at once; each error is put at its field.
import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {applicationColumns, applicationFields} from "./application_fields.js";
import {csvRow} from "./csv_file.js";
import {makeForm} from "./form.js";
import {detailsOf} from "./parts.js";
import {fittingText, hoseText} from "./rows.js";

// The field that an error of the file or of the application check is about.
const ofColumn = {
    order_id: "order",
    overall_length_mm: "overall",
    overall_length_in: "overall",
    pressure_bar: "pressure",
    pressure_mpa: "pressure",
    orientation_deg: "orientation",
};
const ofCode = {
    "bench.order_known": "order",
    "order.hoses_differ": "spec_b",
    "order.no_room": "overall",
    "assembly.too_short": "overall",
    "order.pressure_too_low": "pressure",
    "hose.too_old": "hose_lots",
    "hose.made_later": "hose_lots",
};

export function orderErrorAt(error, values) {
    if (error.column) return ofColumn[error.column] ?? error.column;
    if (ofCode[error.code]) return ofCode[error.code];
    const detail = (name) => detailsOf(error.details)[name];
    if (error.code === "order.no_spec") return detail("spec") === values.spec_a ? "spec_a" : "spec_b";
    if (error.code.startsWith("length.") || error.code.startsWith("tolerance.")) return "length_rule";
    const member = detail("member") ?? "";
    return {customer: "customer", customer_part: "customer_part", notes: "notes", order: "order"}[member] ?? null;
}

// The same for a file of orders: the column in which the station's application check found an order wanting.
export function placedIn(rows, errors) {
    const header = rows[0]?.fields.map((f) => f.text.trim()) ?? [];
    const cell = (row, name) => row?.fields[header.indexOf(name)]?.text.trim() ?? "";
    return errors.map((e) => {
        if (e.column || e.order === undefined) return e;
        const row = rows.find((r, i) => i > 0 && cell(r, "order_id") === e.order);
        const field = orderErrorAt(e, {spec_a: cell(row, "spec_a")});
        const columns = [field, ...Object.keys(ofColumn).filter((c) => ofColumn[c] === field)];
        return {...e, column: columns.find((c) => header.includes(c)) ?? ""};
    });
}

// A lot's own sentence may not name it.
function lotFirst(e) {
    const {lot} = detailsOf(e.details);
    const words = say(e.code, {line: e.line, column: e.column, found: e.found, expected: e.expected, ...detailsOf(e.details)});
    return lot && !words.includes(lot) ? `${lot}: ${words}` : words;
}

const decimal = (text) => text.trim().replace(",", ".");

export function orderForm({context, opened}) {
    let rows = [];
    const unit = context.bench()?.limits?.shown_unit === "inch" ? "in" : "mm";
    const none = {value: "", text: say("page.setup.orders.choose")};
    const rowOption = (r) => ({value: r.spec_id, text: `${r.spec_id} \u2013 ${fittingText(r.fitting)}`});
    const bent = (id) => /elbow|bent|45|90/i.test(fittingText(rows.find((r) => r.spec_id === id)?.fitting ?? ""));
    const hoseOf = (id) => hoseText(rows.find((r) => r.spec_id === id)?.hose ?? "");

    const form = makeForm({
        test: "order-form",
        go: say("page.setup.orders.open"),
        unit,
        fields: [
            {name: "order", label: say("page.setup.orders.order"), hint: say("page.setup.orders.order_hint")},
            {name: "quantity", type: "whole", label: say("page.setup.orders.quantity"), hint: say("page.setup.orders.quantity_hint")},
            {name: "customer", label: say("page.setup.orders.customer")},
            {name: "customer_part", label: say("page.setup.orders.part"), hint: say("page.setup.orders.part_hint")},
            {head: say("page.setup.orders.both_ends")},
            {name: "spec_a", type: "choice", options: [none], label: say("page.setup.orders.end_a"), hint: say("page.setup.orders.end_a_hint")},
            {name: "spec_b", type: "choice", options: [none], label: say("page.setup.orders.end_b"), hint: say("page.setup.orders.end_b_hint")},
            {node: el("p", {class: "setup-note", hidden: true, data: {test: "no-rows"}}, say("page.setup.orders.no_rows"))},
            {name: "overall", type: "measure", label: say("page.setup.orders.overall"), hint: say("page.setup.orders.overall_hint")},
            {
                name: "length_rule",
                type: "choice",
                value: "din20066",
                options: [
                    {value: "din20066", text: say("page.setup.orders.din")},
                    {value: "sae_j517", text: say("page.setup.orders.sae")},
                ],
                label: say("page.setup.orders.rule"),
                hint: say("page.setup.orders.rule_hint"),
            },
            {name: "orientation", label: say("page.setup.orders.orientation"), hint: say("page.setup.orders.orientation_hint"), required: false},
            {name: "pressure", type: "measure", units: [{value: "bar", text: "bar"}, {value: "mpa", text: "MPa"}], label: say("page.setup.orders.pressure"), hint: say("page.setup.orders.pressure_hint"), required: false},
            {head: say("page.setup.orders.lots")},
            {name: "hose_lots", label: say("page.setup.orders.hose_lots"), hint: say("page.setup.orders.hose_lots_hint"), wide: true},
            {name: "fitting_a_lots", label: say("page.setup.orders.fitting_a_lots"), hint: say("page.setup.orders.lots_hint")},
            {name: "fitting_b_lots", label: say("page.setup.orders.fitting_b_lots"), hint: say("page.setup.orders.lots_hint")},
            {head: say("page.application.title")},
            ...applicationFields(),
            {head: say("page.setup.orders.rest")},
            {name: "due", type: "day", label: say("page.setup.orders.due"), hint: say("page.setup.form.day_hint"), required: false},
            {name: "notes", label: say("page.setup.orders.notes"), hint: say("page.setup.orders.notes_hint"), required: false},
        ],
        submit: async (v) => {
            const columns = {
                order_id: v.order,
                customer: v.customer,
                customer_part: v.customer_part,
                quantity: String(v.quantity),
                spec_a: v.spec_a,
                spec_b: v.spec_b,
                [`overall_length_${v.overall.unit}`]: decimal(v.overall.text),
                length_rule: v.length_rule,
                orientation_deg: v.orientation ?? "",
                hose_lots: v.hose_lots,
                fitting_a_lots: v.fitting_a_lots,
                fitting_b_lots: v.fitting_b_lots,
                [`pressure_${v.pressure?.unit ?? "bar"}`]: v.pressure ? decimal(v.pressure.text) : "",
                due: v.due,
                notes: v.notes,
                ...applicationColumns(v, unit),
            };
            const csv = `${csvRow(Object.keys(columns))}\r\n${csvRow(Object.values(columns))}\r\n`;
            const answer = await post("/api/orders", {csv});
            if (answer.ok) {
                form.empty();
                offer();
                await opened(answer, say("page.setup.orders.opened", {order: v.order}));
                return null;
            }
            const told = answer.body.errors ?? [];
            if (told.length === 0) return answer;
            form.show(
                told.map((e) => ({
                    name: orderErrorAt(e, v),
                    words: lotFirst(e),
                })),
            );
            return null;
        },
    });

    // End B can only be for the hose of end A; an angle is asked for only where both ends are bent.
    function offer() {
        const a = form.input("spec_a").value;
        const same = rows.filter((r) => !a || hoseText(r.hose) === hoseOf(a));
        const b = form.input("spec_b").value;
        form.field("spec_b").options([none, ...same.map(rowOption)], same.some((r) => r.spec_id === b) ? b : a);
        form.field("orientation").node.hidden = !(bent(a) && bent(form.input("spec_b").value));
    }
    form.input("spec_a").addEventListener("change", offer);
    form.input("spec_b").addEventListener("change", offer);

    const box = el("div", {}, form.node);
    const trouble = el("div");
    get("/api/tables").then((answer) => {
        rows = answer.body.in_force ?? [];
        redraw(trouble, answer.ok ? null : el("p", {class: "refusal", data: {test: "no-tables"}}, say(answer.why.code, answer.why.details)));
        form.node.querySelector("[data-test=no-rows]").hidden = !answer.ok || rows.length > 0;
        form.field("spec_a").options([none, ...rows.map(rowOption)], "");
        offer();
    });
    box.prepend(trouble);
    return box;
}
