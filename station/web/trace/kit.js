// Small parts of the customer's page: nodes, sentences in the reader's language, figures.

const data = (id) => JSON.parse(document.getElementById(id).textContent);
const words = data("words");
export const shown = data("shown");

let language = (navigator.language || "en").toLowerCase().startsWith("de") ? "de" : "en";
export const languageNow = () => language;
export function otherLanguage() {
    language = language === "de" ? "en" : "de";
}

export function say(name, details = {}) {
    const sentence = words[language][name] ?? words.en[name] ?? name;
    return sentence.replace(/\{(\w+)\}/g, (hole, key) => details[key] ?? hole);
}

// Whether there is a sentence of that name.
export const knows = (name) => name in words.en;

export const count = (n) => (n === 1 ? say("one") : say("many", {count: n}));

export function el(tag, props = {}, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(props)) {
        if (name === "on") for (const [event, listener] of Object.entries(value)) node.addEventListener(event, listener);
        else if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value);
    }
    node.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== ""));
    return node;
}

export function panel(title, name, ...children) {
    return el("section", {class: "panel", "data-test": name}, el("h2", {}, title), ...children);
}

// Pairs of a label and what stands there; what is empty is left out.
export function facts(pairs) {
    const line = ([label, value, test]) => el("div", {}, el("dt", {}, label), el("dd", {"data-test": test}, value));
    return el("dl", {}, pairs.filter(([, value]) => value !== "" && value !== null && value !== undefined).map(line));
}

const decimal = (text) => (language === "de" ? text.replace(".", ",") : text);

// Whole nanometres as millimetres with two places, or with as many as it takes to say what was measured.
export function mm(nm) {
    const places = nm % 10_000 === 0 ? 2 : nm % 1000 === 0 ? 3 : 4;
    return decimal((nm / 1e6).toFixed(places));
}
export const bar = (kpa) => decimal(kpa % 100 === 0 ? String(kpa / 100) : (kpa / 100).toFixed(2).replace(/0$/, ""));

// In the shop's time zone, which is named.
export function time(utc, zone) {
    if (!utc) return "";
    try {
        return new Intl.DateTimeFormat(language === "de" ? "de-DE" : "en-GB", {dateStyle: "medium", timeStyle: "short", timeZone: zone}).format(new Date(utc));
    } catch {
        return utc; // a zone that this browser does not know
    }
}

// "/t/<token>", which everything else is asked for under.
export const base = () => location.pathname.replace(/\/+$/, "");
export const at = (kind, subject) => `${base()}/${kind}/${encodeURIComponent(subject)}`;
