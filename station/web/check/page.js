// The page that checks a tag: a code is scanned, pasted or opened as a link, and what it says stands there in words,
// with what that proves and what not. It asks nobody: keys and sentences stand in the page (JSON in #given), which may
// be a file on a phone.
import {Fault, parseKey, parseStatement, readCode, verify} from "./statement.js";

const given = JSON.parse(document.getElementById("given").textContent);
const keys = given.keys.map((one) => ({...parseKey(one.key), retired: one.retired}));
const at = (id) => document.getElementById(id);
let language = (navigator.language || "en").toLowerCase().startsWith("de") ? "de" : "en";
let shown = null; // what to draw again in another language

function say(name, details = {}) {
    const sentence = given.words[language][`page.check.${name}`] ?? given.words.en[`page.check.${name}`] ?? name;
    return sentence.replace(/\{(\w+)\}/g, (hole, key) => details[key] ?? hole);
}

function el(tag, props, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(props)) node.setAttribute(name, value);
    node.append(...children);
    return node;
}

const decimal = (text) => (language === "de" ? text.replace(".", ",") : text);
const bar = (kpa) => decimal(kpa % 100 === 0 ? String(kpa / 100) : (kpa / 100).toFixed(2).replace(/0$/, ""));
const millimetres = (um) => decimal((um / 1000).toFixed(3));

function date(number) {
    const text = String(number);
    return text.length === 8 ? `${text.slice(0, 4)}-${text.slice(4, 6)}-${text.slice(6)}` : text;
}

function list(title, sentences) {
    return [el("h3", {}, title), el("ul", {}, ...sentences.map((sentence) => el("li", {}, sentence)))];
}

function fields(statement) {
    const rows = [
        ["serial", statement.serial],
        ["verdict", say(statement.conceded ? "conceded" : "passed")],
        ["pressure", `${bar(statement.kpa)} bar`],
        ["date", date(statement.date)],
        ["order", statement.order],
        ["margin", say(statement.marginUm < 0 ? "margin_outside" : "margin_inside", {margin: millimetres(Math.abs(statement.marginUm))})],
        ["station", statement.station],
    ];
    const line = ([name, value]) => el("div", {}, el("dt", {}, say(name)), el("dd", {"data-test": name}, value));
    return el("dl", {}, ...rows.map(line));
}

function draw() {
    document.documentElement.lang = language;
    document.title = say("title");
    for (const node of document.querySelectorAll("[data-say]")) node.textContent = say(node.dataset.say);
    at("keys").textContent = say("keys", {list: keys.map((key) => `${key.name} (${key.id})`).join(", ")});
    at("no-scanner").hidden = "BarcodeDetector" in globalThis;
    at("picture-field").hidden = !("BarcodeDetector" in globalThis);
    at("other-language").textContent = language === "de" ? "English" : "Deutsch";
    at("other-language").lang = language === "de" ? "en" : "de";
    const place = at("result");
    if (shown === null) return place.replaceChildren();
    const {statement, key, fault} = shown;
    place.className = fault ? "bad" : statement.conceded ? "unsure" : "good";
    if (fault) {
        place.replaceChildren(el("h2", {"data-test": "verdict-line"}, say(`fault.${fault}`)), el("p", {}, say(`fault.${fault}.do`)));
        return undefined;
    }
    const proved = [say("proved.issued", {name: key.name})];
    const record = recordAddress(shown.code);
    if (key.retired) proved.push(say("proved.retired"));
    place.replaceChildren(
        el("h2", {"data-test": "verdict-line"}, say(statement.conceded ? "good_conceded" : "good")),
        fields(statement),
        ...(record ? [el("p", {}, el("a", {class: "button", href: record, rel: "noreferrer", "data-test": "open-record"}, say("open_record"))), el("p", {class: "hint"}, say("open_record_note"))] : []),
        ...list(say("proved"), proved),
        ...list(say("not_proved"), [say("not.copied"), say("not.honest"), say("not.since")]),
    );
    return undefined;
}

// Where the shop's station, if this page comes from it, shows the record to whoever has the tag: beside /C/, under /t/.
// Nothing is asked there before somebody presses the button. A handed-out page has no station to lead to.
function recordAddress(code) {
    const linked = /\/C\/([A-Z2-7]+)$/.exec(code.trim().toUpperCase());
    if (!given.served || !linked) return null;
    return `${location.pathname.replace(/\/C(\/[^/]*)?$/i, "")}/t/${linked[1]}`;
}

async function check(text) {
    try {
        const statement = parseStatement(readCode(text));
        shown = {statement, code: text, key: await verify(statement, keys)};
    } catch (error) {
        if (!(error instanceof Fault)) throw error;
        shown = {fault: error.code};
    }
    draw();
}

async function readPicture(file) {
    try {
        const found = await new BarcodeDetector({formats: ["qr_code"]}).detect(await createImageBitmap(file));
        if (found.length === 0) throw new Error("none");
        at("code").value = found[0].rawValue;
        await check(found[0].rawValue);
    } catch {
        shown = {fault: "picture"};
        draw();
    }
}

at("form").addEventListener("submit", (event) => {
    event.preventDefault();
    check(at("code").value);
});
at("picture").addEventListener("change", () => {
    if (at("picture").files.length > 0) readPicture(at("picture").files[0]);
});
at("other-language").addEventListener("click", () => {
    language = language === "de" ? "en" : "de";
    draw();
});
draw();
// Opened by the tag's own link, or handed on by the shop's page behind a "#".
const linked = /\/C\/([A-Z2-7]+)$/.exec(location.pathname.toUpperCase()) ? location.origin + location.pathname : decodeURIComponent(location.hash.slice(1));
if (linked !== "") {
    at("code").value = linked;
    check(linked);
}
