// The shapes of a judgement and of a state, drawn by us: a full disc with a tick, a square with a cross, a diamond with
// a wave. Each is told apart by its outline alone, without colour.
//
//   sign("conforms" | "fails" | "uncertain")     the shape
//   verdict("fails", words?)                      shape and word; carries .verdict, so it goes when the picture is old
//   sign("on"), sign("off")                       a dot: there; a broken ring: nothing there

import {el, svg} from "./dom.js";
import {verdictName} from "./names.js";

export function sign(kind) {
    const box = {class: `sign sign-${kind}`, viewBox: "0 0 20 20", "aria-hidden": "true", focusable: "false"};
    const line = {fill: "none", "stroke-width": 2.6, "stroke-linecap": "square"};
    if (kind === "conforms")
        return svg("svg", box, svg("circle", {cx: 10, cy: 10, r: 9.5, fill: "currentColor"}), svg("path", {...line, d: "M5.6 10.4l3 3 5.6-6.4", stroke: "#fff"}));
    if (kind === "fails")
        return svg("svg", box, svg("rect", {x: 1, y: 1, width: 18, height: 18, fill: "none", stroke: "currentColor", "stroke-width": 2}), svg("path", {...line, d: "M6 6l8 8M14 6l-8 8", stroke: "currentColor"}));
    if (kind === "uncertain")
        return svg("svg", box, svg("path", {d: "M10 .8L19.2 10 10 19.2.8 10z", fill: "none", stroke: "currentColor", "stroke-width": 2}), svg("path", {...line, "stroke-width": 2, d: "M6.3 10.6c1.2-1.8 2.4-1.8 3.7 0s2.5 1.8 3.7 0", stroke: "currentColor"}));
    if (kind === "on") return svg("svg", box, svg("circle", {cx: 10, cy: 10, r: 5.5, fill: "currentColor"}));
    return svg("svg", box, svg("circle", {cx: 10, cy: 10, r: 8, fill: "none", stroke: "currentColor", "stroke-width": 2.5, "stroke-dasharray": "6 4"}));
}

export function verdict(kind, words, props = {}) {
    return el("span", {...props, class: `verdict ${kind} ${props.class ?? ""}`.trim()}, sign(kind), el("span", {}, words ?? verdictName(kind)));
}
