// The picture beside the sentence: where on the hose or shell, drawn from the spec row. A calm line drawing; only what
// the hand is needed for stands out.
//
//   drawing(bench, {number})          an svg for the step, or null when the step has none
//   markCase("at_edge" | "gap" | "hidden")     the three ways in which a mark stands, for the answers
//   proofPicture(kind)                the jaws in a ring, or over a pin or block
//   diePicture(segments)              a die set, open

import {svg} from "../kit/dom.js";
import {section} from "./section.js";
import {makeSide} from "./side.js";

const WIDTH = 260;
const HEIGHT = 100;

function frame(name, ...children) {
    return svg("svg", {class: "drawing", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", "aria-label": name}, ...children);
}

const WIDE = {x: 6, y: 2, width: WIDTH - 12, height: HEIGHT - 6};

// Which flats have a reading that counts.
function done(bench) {
    if (bench.step.ask === "setup") return (bench.setup ?? []).map((r) => r.flat);
    const end = bench.step.end;
    return (bench.assembly?.[end]?.readings ?? []).filter((r) => r.what === "crimp_diameter" && r.verdict === "conforms").map((r) => r.flat);
}

// A mark whose distance from the shell's edge is measured. What is allowed is a hair at this size, so that it is drawn
// wider than true.
const OFF_PX = 18;
function standsOff(row, name, number, crimped) {
    const s = makeSide(row, {...WIDE, tall: 0.48});
    const mark = s.m.depth + OFF_PX / s.scale;
    return frame(name, s.hose(), s.fitting({crimped}), s.mark(mark), s.depthJaws(s.m.depth, mark, {over: s.m.shell}), s.size(s.m.depth, mark, number));
}

const pictures = {
    skive_outer(row, bench, {name, number}) {
        const s = makeSide(row, {...WIDE, left: 14, right: 40, tall: 0.5});
        const end = s.m.skiveOuter;
        return frame(name, s.hose({skiveOuter: end}), s.depthJaws(0, end), s.size(0, end, number));
    },
    skive_inner(row, bench, {name, number}) {
        const s = makeSide(row, {...WIDE, left: 14, right: 40, tall: 0.5});
        const end = s.m.skiveInner;
        return frame(name, s.hose({skiveOuter: s.m.skiveOuter, skiveInner: end}), s.rod(end), s.size(0, end, number));
    },
    depth(row, bench, {name, number}) {
        const s = makeSide(row, {...WIDE, left: 14, right: 44, tall: 0.5});
        return frame(name, s.hose({skiveOuter: s.m.skiveOuter}), s.mark(s.m.depth), s.depthJaws(0, s.m.depth), s.size(0, s.m.depth, number));
    },
    lubricant(row, bench, {name}) {
        const s = makeSide(row, {...WIDE, right: 58});
        return frame(name, s.fitting({cut: true}), s.film(), s.hose({from: s.m.depth + 12, skiveOuter: s.m.skiveOuter}), s.mark(s.m.depth * 2 + 12));
    },
    mark_before(row, bench, {name, number}) {
        if (bench.step.ask !== "confirm") return standsOff(row, name, number, false);
        const s = makeSide(row, WIDE);
        return frame(name, s.hose(), s.fitting(), s.mark(s.m.depth + 0.7), s.ring(s.m.depth), s.push(s.m.depth + 6));
    },
    mark_after(row, bench, {name, number}) {
        if (bench.step.ask !== "confirm") return standsOff(row, name, number, true);
        const s = makeSide(row, WIDE);
        return frame(name, s.hose(), s.fitting({crimped: true}), s.mark(s.m.depth + 0.7), s.ring(s.m.depth));
    },
    crimp_diameter(row, bench, {name}) {
        const s = makeSide(row, {x: 2, y: 2, width: 146, height: HEIGHT - 4, left: 32, right: 18});
        return frame(
            name,
            s.hose(),
            s.fitting({crimped: true}),
            s.mark(s.m.depth + 0.7),
            s.jawsAcross(s.m.depth / 2),
            section({segments: row.die_segments, flats: row.flats, now: bench.step.flat, done: done(bench), cx: 205, cy: 50, r: 36}),
        );
    },
    bore_pin(row, bench, {name, number}) {
        const s = makeSide(row, {...WIDE, left: 46, right: 34});
        return frame(name, s.hose(), s.fitting({crimped: true}), s.pin(number));
    },
};

export function drawing(bench, words) {
    const make = pictures[bench.step.what];
    return make && bench.row ? make(bench.row, bench, words) : null;
}

// Shell edge and mark, close up: the mark meets the edge; the mark stands off it; no mark to be seen.
export function markCase(seen) {
    const edge = 26;
    const mark = seen === "gap" ? edge + 15 : edge + 1.6;
    return svg(
        "svg",
        {class: "mark-case", viewBox: "0 0 60 36", "aria-hidden": "true"},
        svg("rect", {class: "d-rubber d-edge", x: edge - 6, y: 9, width: 44, height: 18}),
        svg("rect", {class: "d-metal d-edge", x: -4, y: 4, width: edge + 4, height: 28}),
        seen === "hidden"
            ? svg("path", {class: "d-mark-hidden", d: `M${edge - 12} 10v16`})
            : [svg("path", {class: "d-mark-rim", d: `M${mark} 8v20`}), svg("path", {class: "d-mark", d: `M${mark} 8v20`})],
    );
}

export function proofPicture(kind, name) {
    const ring = /ring|bush/i.test(kind ?? "");
    const parts = ring
        ? [
              svg("circle", {class: "d-metal d-edge", cx: 115, cy: 52, r: 42}),
              svg("circle", {class: "d-hole d-edge", cx: 115, cy: 52, r: 27}),
              svg("path", {class: "d-tool", d: "M88 46l7 2v8l-7 2v-12ZM142 46l-7 2v8l7 2v-12Z"}),
              svg("path", {class: "d-tool", d: "M95 48h7v-40h-7ZM128 48h7v-40h-7Z"}),
              svg("path", {class: "d-tool", d: "M86 4h78v7h-78Z"}),
              svg("path", {class: "d-here", d: "M88 45v14M142 45v14"}),
              svg("path", {class: "d-axis", d: "M88 52H142"}),
          ]
        : [
              /block/i.test(kind ?? "")
                  ? svg("rect", {class: "d-metal d-edge", x: 88, y: 28, width: 54, height: 54})
                  : svg("circle", {class: "d-metal d-edge", cx: 115, cy: 55, r: 27}),
              svg("path", {class: "d-tool", d: "M88 70l-7 -4v-58h7ZM142 70l7 -4v-58h-7Z"}),
              svg("path", {class: "d-tool", d: "M76 4h98v7h-98Z"}),
              svg("path", {class: "d-here", d: "M88 46v18M142 46v18"}),
              svg("path", {class: "d-axis", d: "M88 55H142"}),
          ];
    return frame(name, svg("g", {transform: `translate(${WIDTH / 2 - 115} 0)`}, parts));
}

// The segments stand apart, as they do when the crimper is open.
export function diePicture(row, name) {
    const cx = 130;
    const cy = 50;
    const step = (2 * Math.PI) / row.die_segments;
    const p = (r, a) => `${(cx + r * Math.cos(a)).toFixed(1)} ${(cy + r * Math.sin(a)).toFixed(1)}`;
    const segments = [];
    for (let i = 0; i < row.die_segments; i += 1) {
        const a = -Math.PI / 2 + i * step;
        const h = step * 0.4;
        segments.push(svg("path", {class: "d-metal d-edge", d: `M${p(24, a - h)}A24 24 0 0 1 ${p(24, a + h)}L${p(46, a + h * 1.1)}A46 46 0 0 0 ${p(46, a - h * 1.1)}Z`}));
    }
    return frame(name, segments, svg("text", {class: "d-die", x: cx, y: cy + 5, "text-anchor": "middle"}, row.die_set));
}
