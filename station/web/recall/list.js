// What a recall found: how many and who has them, then each one with how close it was.

import {el} from "../kit/dom.js";
import {causeName, endName, whatName} from "../kit/names.js";
import {shown} from "../kit/lengths.js";
import {say} from "../kit/words.js";
import {nameOf, stamp} from "../holds/texts.js";
import {listTable} from "../setup/parts.js";

const stages = {
    passed: "page.recall.stage_passed",
    in_work: "page.recall.stage_in_work",
    on_hold: "page.recall.stage_on_hold",
    to_be_taken_up: "page.recall.stage_to_be_taken_up",
    scrapped: "page.recall.stage_scrapped",
};
export const stageName = (stage) => (stages[stage] ? say(stages[stage]) : stage);

export const summary = (body) =>
    el("p", {class: "recall-sum", aria: {live: "polite"}, data: {test: "sum"}}, body.assemblies === 0 ? say("page.recall.nothing") : say("page.recall.sum", {count: body.assemblies, delivered: body.delivered}));

export function customersTable(customers) {
    return listTable({
        caption: say("page.recall.by_customer"),
        test: "recall-customers",
        rows: customers,
        empty: "",
        columns: [
            {head: say("page.recall.customer"), rowhead: true, cell: (c) => c.customer},
            {head: say("page.recall.assemblies"), number: true, cell: (c) => String(c.assemblies)},
            {head: say("page.recall.delivered"), number: true, cell: (c) => el("span", {class: c.delivered > 0 ? "recall-out" : null}, String(c.delivered))},
        ],
    });
}

function margin(row, unit) {
    if (row.margin_nm === undefined) return "\u2013";
    const place = row.margin_place > 0 ? say("page.holds.place", {what: whatName(row.margin_what), flat: row.margin_place}) : whatName(row.margin_what);
    return [el("span", {class: "recall-near number"}, `${shown(row.margin_nm, unit === "inch" ? "in" : "mm", unit === "inch" ? 1000 : 10000)} ${unit === "inch" ? "in" : "mm"}`), el("span", {class: "muted"}, ` ${endName(row.margin_end)}, ${place}`)];
}

const left = (row) => (row.delivery ? [el("a", {href: `#/deliveries/${encodeURIComponent(row.delivery)}`}, row.delivery), ` ${row.delivered}, ${row.to}`] : el("span", {class: "muted"}, say("page.recall.in_house")));

function state(row) {
    const out = [stageName(row.stage)];
    if (row.hold_cause) out.push(`: ${causeName(row.hold_cause)}`);
    if (row.concession_reference) out.push(el("span", {class: "setup-tag"}, say("page.deliveries.concession", {reference: row.concession_reference})));
    if (row.recrimps > 0) out.push(`, ${say("page.recall.recrimps", {count: row.recrimps})}`);
    return out;
}

export function rowsTable(body, {zone, unit}) {
    const made = (row) => `${stamp(new Date(row.passed_ms || row.started_ms).toISOString(), zone)}, ${nameOf(body.people, row.passed_by || row.started_by)}`;
    return el(
        "div",
        {class: "recall-table"},
        listTable({
            caption: say("page.recall.list", {shown: body.rows.length, count: body.assemblies}),
            test: "recall-rows",
            rowTest: (r) => `row-${r.serial}`,
            rows: body.rows,
            empty: say("page.recall.nothing"),
            columns: [
                {head: say("page.holds.serial"), rowhead: true, cell: (r) => el("a", {href: `#/holds/${encodeURIComponent(r.serial)}`}, r.serial)},
                {head: say("page.recall.customer"), cell: (r) => r.customer},
                {head: say("page.holds.order"), cell: (r) => r.order},
                {head: say("page.recall.lots"), cell: (r) => [r.hose_lot, el("br"), el("span", {class: "muted"}, `${r.fitting_a_lot} / ${r.fitting_b_lot}`)]},
                {head: say("page.recall.spec_row"), cell: (r) => (r.spec_a === r.spec_b ? `${r.spec_a} ${r.revision_a}` : `${r.spec_a} ${r.revision_a} / ${r.spec_b} ${r.revision_b}`)},
                {head: say("page.recall.made"), cell: made},
                {head: say("page.recall.stage"), cell: state},
                {head: say("page.recall.margin"), cell: (r) => margin(r, unit)},
                {head: say("page.recall.where"), cell: left},
            ],
        }),
    );
}
