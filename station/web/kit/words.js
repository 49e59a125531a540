// Sentences by code, in the reader's language. Codes and numbers come from the station; words only from the catalogue.
//
//   await loadWords("de")
//   say(code, {lower: "24", upper: "26"})                    details as an object,
//   say(why.code, why.details)                               or as the station sends them, [{name, text}] or an object
//
// Only codes that stand here as literals are sentences of the pages: "page.<area>.<what>" in quotes, whole, so that a
// test can find each in the catalogue.

import {phrases, values} from "./values.js";

let english = {};
let chosen = {};
let now = "en";

export const languages = [
    {language: "en", name: "English"},
    {language: "de", name: "Deutsch"},
];

// Throws when the station has no catalogue to give: nothing can be said then.
export async function loadWords(language) {
    const wanted = languages.some((l) => l.language === language) ? language : "en";
    if (Object.keys(english).length === 0) english = await fetched("en");
    chosen = wanted === "en" ? english : await fetched(wanted);
    now = wanted;
    if (typeof document !== "undefined") document.documentElement.lang = wanted;
}

async function fetched(language) {
    const answer = await fetch(new URL(`../words/${language}.json`, import.meta.url));
    if (!answer.ok) throw new Error(`no words: ${language}`);
    return answer.json();
}

export function language() {
    return now;
}

// For tests without a browser, and for the harness.
export function useWords(all, language) {
    english = all.en;
    chosen = all[language] ?? all.en;
    now = language;
}

export const known = (code) => code in chosen || code in english;

// "25.48" reads "25,48" in German; only whole numbers with decimals, or such with a unit behind them, so that a lot
// "1.5" or a file's text stays what it is: the hole must be followed by a unit, or the text itself must end in one.
const number = /^[-+−]?\d+\.\d+$/;
const numberWithUnit = /^[-+−]?\d+\.\d+ (mm|in|µm|bar|MPa|psi|%|°C|s|min|h)$/;
const unitBehind = /^\s?(mm|in|µm|bar|MPa|psi|%|°C|s|min|h)\b|^\s?%/;

function details(list) {
    if (Array.isArray(list)) return Object.fromEntries(list.map((d) => [d.name, d.text]));
    return list ?? {};
}

export function fillHoles(sentence, list, language) {
    const texts = details(list);
    return sentence.replace(/\{([^}]*)\}/g, (_, name, at) => {
        const text = texts[name];
        if (text === undefined || text === null) return "";
        const plain = String(text);
        if (language !== "de") return plain;
        const behind = sentence.slice(at + name.length + 2);
        // "{lower} to {upper} mm": the first of two numbers shares the unit of the second.
        const shared = behind.match(/^ (?:to|bis|and|und|\/) \{[^}]*\}(.*)/);
        const unit = unitBehind.test(behind) || (shared && unitBehind.test(shared[1]));
        return (number.test(plain) && unit) || numberWithUnit.test(plain) ? plain.replace(".", ",") : plain;
    });
}

// "a whole number from {least} to {most}" finds its figures again in what the station says; a hole is one word.
function phraseIn(sentence, text) {
    const parts = sentence.split(/\{([^}]*)\}/).map((part, i) => (i % 2 ? `(?<${part}>\\S+)` : part.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")));
    return new RegExp(`^${parts.join("")}$`).exec(text);
}

// What the station put into a hole as a code or in English, in the reader's language: kit/values.js has them all.
export function sayValue(hole, text, area = "") {
    const plain = String(text ?? "");
    const code = values[hole] && Object.hasOwn(values[hole], plain) ? values[hole][plain] : null;
    if (code && known(code)) return chosen[code] ?? english[code];
    if (now === "en") return plain;
    for (const phrase of phrases[`${area}.${hole}`] ?? phrases[hole] ?? []) {
        const found = english[phrase] && chosen[phrase] ? phraseIn(english[phrase], plain) : null;
        if (found) return fillHoles(chosen[phrase], Object.entries(found.groups ?? {}).map(([name, part]) => ({name, text: sayValue(name, part)})), now);
    }
    return plain;
}

// A code without a sentence says itself, so that nobody stands before an empty screen.
export function say(code, list) {
    let sentence = chosen[code] ?? english[code];
    if (sentence !== undefined) {
        // The catalogue's findings are in millimetres; in a shop that shows inches the station says so beside the figures.
        if (details(list).unit === "in") sentence = sentence.replaceAll("} mm", "} in");
        const area = code.split(".")[0];
        const said = Object.entries(details(list)).map(([hole, text]) => [hole, text === undefined || text === null ? text : sayValue(hole, text, area)]);
        return fillHoles(sentence, Object.fromEntries(said), now);
    }
    const rest = Object.entries(details(list)).map(([name, text]) => ` ${name}=${text}`);
    return code + rest.join("");
}

// A message as the station sends it: {code, details}.
export function sayMessage(message) {
    return message ? say(message.code, message.details) : "";
}
