// A place for one CSV file: chosen in the browser's own way, or dropped. Gives the file as csv_file.js reads it.
//
//   const place = dropFile({test, label, hint, came({name, text, rows, own, size})})     own: errors of the bytes
//   place.node, place.name()

import {el, newId} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {cells, decode, ownErrors} from "./csv_file.js";

const LARGEST = 900000; // bytes; the station takes a megabyte of request

export function dropFile({test, label, hint, came}) {
    const id = newId("drop");
    let name = "";
    const chosen = el("output", {for: id, class: "setup-chosen", data: {test: `${test}-name`}});
    const error = el("p", {id: `${id}-error`, class: "setup-error", role: "alert", hidden: true, data: {test: `${test}-error`}});

    async function take(file) {
        if (!file) return;
        error.hidden = true;
        if (file.size > LARGEST) {
            error.hidden = false;
            error.textContent = say("page.setup.file.too_large", {found: Math.ceil(file.size / 1000), most: LARGEST / 1000});
            return;
        }
        const bytes = new Uint8Array(await file.arrayBuffer());
        const read = decode(bytes);
        const rows = cells(read.text);
        name = file.name;
        chosen.textContent = say("page.setup.file.chosen", {name: file.name, rows: Math.max(0, rows.length - 1)});
        came({name: file.name, text: read.text, rows, own: ownErrors(read, rows), size: bytes.length});
    }

    const input = el("input", {
        id,
        type: "file",
        class: "unseen",
        accept: ".csv,text/csv",
        aria: {describedby: `${id}-hint ${id}-error`},
        data: {test},
        on: {
            change: async () => {
                await take(input.files[0]);
                input.value = ""; // the same file, corrected, can be chosen again
            },
        },
    });
    const node = el(
        "div",
        {
            class: "setup-drop",
            data: {test: `${test}-place`},
            on: {
                dragover: (event) => {
                    event.preventDefault();
                    node.classList.add("over");
                },
                dragleave: () => node.classList.remove("over"),
                drop: (event) => {
                    event.preventDefault();
                    node.classList.remove("over");
                    take(event.dataTransfer?.files?.[0]);
                },
            },
        },
        el("p", {class: "setup-drop-label", aria: {hidden: "true"}}, label),
        el("p", {id: `${id}-hint`, class: "hint"}, hint),
        // The browser's own button speaks the browser's language, and says that no file was chosen while one was.
        el("div", {class: "row"}, el("div", {class: "setup-drop-button"}, input, el("label", {for: id, class: "button"}, el("span", {class: "unseen"}, `${label}: `), say("page.setup.file.choose"))), chosen),
        error,
    );
    return {node, name: () => name, input};
}
