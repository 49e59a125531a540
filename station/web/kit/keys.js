// What comes from the keyboard at a bench: a scanner that types very fast and ends with Enter, a foot switch that is a
// space bar or an Enter key, and now and then a person who types.
//
//   const off = onScan(text => ...)     the newest handler gets the scan; it answers false to pass it on to the one
//                                       before; off() removes it
//   const off = onMain(() => button)    space and Enter press that button, unless a field or another button has focus
//
// A scan never lands in a text box by accident: whatever box had focus is put back as it was. A box that wants scans
// says so with data-scan="here"; then its value is the scanned text, and its "input" event fires.

import {makeBurst} from "./burst.js";

const scans = [];
const mains = [];

function put(list, fn) {
    list.push(fn);
    return () => {
        const at = list.indexOf(fn);
        if (at >= 0) list.splice(at, 1);
    };
}

export const onScan = (fn) => put(scans, fn);
export const onMain = (fn) => put(mains, fn);

const burst = makeBurst();
let before = null; // the box that has focus, as it was before the burst

function box(node) {
    return node instanceof HTMLInputElement || node instanceof HTMLTextAreaElement ? node : null;
}

function remember(node) {
    const b = box(node);
    before = b && {node: b, value: b.value};
}

function deliver(text) {
    for (const handler of [...scans].reverse()) if (handler(text) !== false) return true;
    return false;
}

function scanned(event, text) {
    event.preventDefault();
    event.stopPropagation();
    const wants = box(document.activeElement);
    if (wants?.dataset.scan === "here") {
        wants.value = text;
        wants.dispatchEvent(new Event("input", {bubbles: true}));
        wants.dispatchEvent(new CustomEvent("scan", {bubbles: true, detail: text}));
        return;
    }
    if (before && before.node.isConnected && before.node.value !== before.value) {
        before.node.value = before.value;
        before.node.dispatchEvent(new Event("input", {bubbles: true}));
    }
    deliver(text);
}

const takesKeys = "input, textarea, select, button, a[href], summary, [contenteditable], [role=button], [role=tab]";

document.addEventListener(
    "keydown",
    (event) => {
        if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
        if (event.repeat) {
            if (event.key === " " || event.key === "Enter") event.preventDefault(); // a foot that stays on the switch
            return;
        }
        const length = burst.length;
        const text = burst.key(event.key, event.timeStamp);
        if (text !== null) {
            scanned(event, text);
            return;
        }
        if (event.key.length === 1 && (burst.length === 1 || length === 0)) remember(document.activeElement);
        // A scanner's second and later characters would press buttons (a space) or search in the page.
        if (burst.length > 1 && !box(document.activeElement)) event.preventDefault();
        if (event.key !== " " && event.key !== "Enter") return;
        if (document.activeElement?.matches?.(takesKeys) || document.querySelector("dialog[open]")) return;
        if (burst.length > 1) return;
        const button = mains.at(-1)?.();
        if (button && !button.disabled && button.isConnected && !button.closest("[inert]")) {
            event.preventDefault();
            button.click();
        }
    },
    true,
);
