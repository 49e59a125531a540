// The cells of an audit as a person reads them. Their text is the figure: nothing is reckoned or rounded here, only the
// decimal sign and the time of day are the reader's, and codes become words.
//
//   cellNode(cell, column, told)      a node or text; told {query, zone, people}
//   cellText(cell, column, told)      the same as text
//   named("MO", people)               "Mara Olsen (MO)"; an id that has no name stays one
//   withNames(message, people)        the message with its people's names
//   figure("25.480")                  "25,480" in German
//   sheetTitle(sheet), columnTitle(column), isFigure(column)

import {el} from "../kit/dom.js";
import {known, language, say, sayMessage} from "../kit/words.js";
import {addressOf} from "./filters.js";

export const figure = (text) => (language() === "de" ? String(text).replace(".", ",") : String(text));

// Codes of the audit have their words in the catalogue; what has none is told as it is, legibly.
export function wordFor(code, otherwise) {
    return known(code) ? say(code) : String(otherwise).replaceAll("_", " ");
}

export const sheetTitle = (sheet) => wordFor(`audit.sheet.${sheet.id}`, sheet.id);
export const columnTitle = (column) => wordFor(`audit.column.${column.id}`, column.id);
export const valueWord = (value) => wordFor(`audit.value.${value}`, value);

const figures = ["count", "number", "percent", "length", "seconds", "seq"];
export const isFigure = (column) => figures.includes(column.kind);

// By the shop's clocks, to the second: 2026-11-25 08:12:03.
export function localTime(iso, zone) {
    const at = new Date(iso);
    if (Number.isNaN(at.getTime())) return iso;
    const parts = new Intl.DateTimeFormat("en-CA", {
        timeZone: zone || "UTC",
        year: "numeric",
        month: "2-digit",
        day: "2-digit",
        hour: "2-digit",
        minute: "2-digit",
        second: "2-digit",
        hourCycle: "h23",
    }).formatToParts(at);
    const part = (type) => parts.find((p) => p.type === type)?.value;
    return `${part("year")}-${part("month")}-${part("day")} ${part("hour")}:${part("minute")}:${part("second")}`;
}

export function messageIn(cell) {
    try {
        const read = JSON.parse(cell);
        return read && typeof read.code === "string" ? read : {code: cell, details: []};
    } catch {
        return {code: cell, details: []};
    }
}

export const named = (id, people) => (people?.[id] && people[id] !== id ? `${people[id]} (${id})` : id);

// In every sentence that has them these two are people's ids; as a list from an answer, as an object from a cell.
const ofPeople = ["person", "who"];
export function withNames(message, people) {
    const {details} = message;
    if (!details) return message;
    if (Array.isArray(details)) return {...message, details: details.map((d) => (ofPeople.includes(d.name) ? {...d, text: named(d.text, people)} : d))};
    return {...message, details: Object.fromEntries(Object.entries(details).map(([name, text]) => [name, ofPeople.includes(name) ? named(text, people) : text]))};
}

const said = (cell, people) => {
    const message = withNames(messageIn(cell), people);
    return known(message.code) ? sayMessage(message) : wordFor(`audit.value.${message.code}`, message.code);
};

export function cellText(cell, column, told) {
    if (cell === "" || cell === undefined || cell === null) return "\u2013";
    switch (column.kind) {
        case "number":
        case "percent":
        case "length":
        case "seconds":
            return figure(cell);
        case "code":
            return valueWord(cell);
        case "message":
            return said(cell, told.people);
        case "person":
            return named(cell, told.people);
        case "time":
            return localTime(cell, told.zone);
        default:
            return cell;
    }
}

const link = (href, text) => el("a", {href}, text);

export function cellNode(cell, column, told) {
    const text = cellText(cell, column, told);
    if (cell === "") return text;
    switch (column.kind) {
        case "serial":
            return link(`#/holds/${encodeURIComponent(cell)}`, text);
        case "shift":
            return link(addressOf({shift: cell}), text);
        case "gauge":
            return link(addressOf({...told.query, gauge: cell}), text);
        case "order":
            return link(addressOf({...told.query, order: cell}), text);
        case "seq":
            return link(`#/audit/entry/${encodeURIComponent(cell)}`, text);
        case "time":
            return el("time", {datetime: cell, class: "number"}, text);
        default:
            return text;
    }
}
