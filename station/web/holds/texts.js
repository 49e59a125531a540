// Pieces of text that list, batch and case share.

import {el} from "../kit/dom.js";
import {shown, shownWithUnit} from "../kit/lengths.js";
import {timeText, verdictName, whatName, endName} from "../kit/names.js";
import {language, say} from "../kit/words.js";

const ms = (time) => Date.parse(time);

// A point in time by the shop's clocks, e.g. 2026-11-25 14:03 (ISO 8601 without its T, for reading).
export function stamp(time, zone) {
    const parts = new Intl.DateTimeFormat("en-CA", {
        timeZone: zone || "UTC",
        year: "numeric",
        month: "2-digit",
        day: "2-digit",
        hour: "2-digit",
        minute: "2-digit",
        hourCycle: "h23",
    }).formatToParts(new Date(ms(time)));
    const part = (type) => parts.find((p) => p.type === type)?.value;
    return `${part("year")}-${part("month")}-${part("day")} ${part("hour")}:${part("minute")}`;
}

// Broken over lines between day and hour only.
export function timeNode(time, zone) {
    const [day, hour] = stamp(time, zone).split(" ");
    return el("time", {datetime: time, class: "holds-time"}, el("span", {}, day), " ", el("span", {}, hour));
}

export const clockText = (time, zone) => timeText(ms(time), zone, language());

// How long ago, in the largest unit that fits; for the eye, beside the exact time.
export function ago(time, now) {
    const minutes = Math.max(0, Math.floor((now - ms(time)) / 60000));
    if (minutes < 60) return say("page.holds.ago_min", {count: minutes});
    if (minutes < 48 * 60) return say("page.holds.ago_h", {count: Math.floor(minutes / 60)});
    return say("page.holds.ago_d", {count: Math.floor(minutes / 1440)});
}

// Names instead of ids; the station itself where nobody did it.
export const nameOf = (people, id) => (id ? (people?.[id] ?? id) : say("page.holds.the_station"));

// By how much a gauge was off, with its sign.
export const errorText = (nm, unit) => `${shown(nm, unit, 1000, {plus: true})}\u00a0${unit === "inch" ? "in" : "mm"}`;

export function doubtSentence(doubt, {unit, zone}) {
    const gauge = doubt.gauge;
    if (doubt.kind === "withdrawn") return say("page.holds.doubt_withdrawn", {gauge, reason: doubt.reason ?? ""});
    return say("page.holds.doubt_proof", {
        gauge,
        time: stamp(doubt.time, zone),
        error: errorText(doubt.error_nm, unit),
        limit: shownWithUnit(doubt.limit_nm, unit, unit === "inch" ? 1000 : 10000),
        reference: doubt.reference,
    });
}

export function goodSentence(doubt, {unit, zone}) {
    if (doubt.good_seq === undefined) return say("page.holds.never_proved");
    return say("page.holds.last_good", {time: stamp(doubt.good_time, zone), error: errorText(doubt.good_error_nm, unit)});
}

// "Crimp diameter, flat 3"
export const placeText = (what, flat) => (flat > 0 ? say("page.holds.place", {what: whatName(what), flat}) : whatName(what));

// A message of the history: who, which verdict and which end are words here, not codes; a refusal's own reason is
// told by its own sentence.
export function toldText(entry) {
    const message = entry.message;
    if (!message) return entry.type;
    const details = Array.isArray(message.details) ? Object.fromEntries(message.details.map((d) => [d.name, d.text])) : {...message.details};
    if (details.verdict) details.verdict = verdictName(details.verdict);
    if (entry.why) details.why = say(entry.why.code, entry.why.details);
    if (details.end === "-") details.end = "";
    return say(message.code, details);
}

export const endText = (end) => (end ? endName(end) : "");
