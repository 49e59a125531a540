// The one large button. It stays the same element, so that a foot on the switch, a finger and a focus all find it where
// it was. A new question is armed only a moment after it appears: whoever presses twice has not answered twice, and
// whoever was just measuring has not answered at all.
//
//   const press = makePress()
//   press.node
//   press.set({key, text, run, danger, arm_ms} | null)     another key is another question, and is armed anew
//   press.button()     for kit/keys.js onMain: the element while it can be pressed, else null
//   press.go()         as a press (a scanned yes); true when it counted

import {el} from "../kit/dom.js";

const ARM_MS = 600;

export function makePress() {
    let now = null;
    let armed = 0;
    let busy = false;
    let timer = 0;
    const words = el("span", {class: "press-words"});
    const bar = el("span", {class: "press-bar", aria: {hidden: "true"}});
    const node = el("button", {class: "main press", type: "button", hidden: true, data: {test: "main"}, on: {click: go}}, words, bar);

    function ready() {
        return now !== null && !busy && performance.now() >= armed;
    }

    function look() {
        const open = ready();
        node.setAttribute("aria-disabled", String(!open));
        node.dataset.armed = open ? "yes" : "no";
    }

    function go() {
        if (!ready()) return false;
        busy = true;
        look();
        const key = now.key;
        Promise.resolve(now.run()).finally(() => {
            busy = false;
            // The same question asked again (a refusal, a dialog called off) takes a moment, too.
            if (now?.key === key) arm(ARM_MS);
            look();
        });
        return true;
    }

    function arm(ms) {
        clearTimeout(timer);
        armed = performance.now() + ms;
        node.style.setProperty("--arm", `${ms}ms`);
        node.classList.remove("arming");
        if (ms > ARM_MS) {
            void node.offsetWidth; // begins the bar anew
            node.classList.add("arming");
        }
        timer = setTimeout(() => {
            node.classList.remove("arming");
            look();
        }, ms + 5);
        look();
    }

    return {
        node,
        set(what) {
            const before = now?.key;
            now = what;
            node.hidden = !what;
            if (!what) return;
            if (words.textContent !== what.text) words.textContent = what.text;
            node.classList.toggle("danger", Boolean(what.danger));
            if (what.key !== before) arm(what.arm_ms ?? ARM_MS);
            else look();
        },
        button: () => (ready() ? node : null),
        go,
        leave: () => clearTimeout(timer),
    };
}
