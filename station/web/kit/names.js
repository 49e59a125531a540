// The names of the trade's things as a person reads them: one place, so that every page calls them the same.
// Each gives a word or short phrase in the reader's language; an unknown code gives itself.

import {values} from "./values.js";
import {say} from "./words.js";

const tables = {
    role: values.role,
    what: values.what,
    verdict: values.verdict,
    end: {a: "page.end.a", b: "page.end.b"},
    cause: {
        failed: "page.cause.failed",
        uncertain: "page.cause.uncertain",
        suspect: "page.cause.suspect",
        person: "page.cause.person",
        overturned: "page.cause.overturned",
        proof_test: "page.cause.proof_test",
    },
    settlement: {
        recrimp: "page.settlement.recrimp",
        scrap: "page.settlement.scrap",
        remeasure: "page.settlement.remeasure",
        concession: "page.settlement.concession",
    },
};

function named(table, value) {
    const code = tables[table][value];
    return code ? say(code) : String(value ?? "");
}

export const roleName = (role) => named("role", role);
export const whatName = (what) => named("what", what);
export const verdictName = (verdict) => named("verdict", verdict);
export const endName = (end) => named("end", end);
export const causeName = (cause) => named("cause", cause);
export const settlementName = (how) => named("settlement", how);

// A point in time as the shop's clocks show it. Entries are UTC; zone is the station's IANA name (bench.time_zone).
export function timeText(utc_ms, zone, language, withDay = false) {
    const options = {hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: zone || "UTC"};
    if (withDay) Object.assign(options, {year: "numeric", month: "2-digit", day: "2-digit"});
    return new Intl.DateTimeFormat(language === "de" ? "de-DE" : "en-GB", options).format(new Date(utc_ms));
}
