// Pictures beside the questions about a hose that came back: the same hose, with what may be seen on it, numbered.
// Calm lines as at the bench; each number belongs to one answer of the question (specs/return_questions.h).
//
//   drawing(id, {name, chosen})   an svg, or null for a question without one; name says what it shows, chosen are the
//                                 codes of answers to be picked out
//   numbersOf(id)                 [{number, answer}] of the drawing, so that the list of answers can carry them too
//
// Each number's group has data-answer, so that a page may let it be pressed. Words are never in the picture.

import {svg} from "../kit/dom.js";

// One drawing a line: a test holds the codes against the questions. Only places has one picture for all of its answers
// (where the number stands, and where its line points); the others have a small picture for each.
const numbers = {
    places: [["shell_lip", 128, 14, 131, 45], ["near_fitting", 158, 14, 150, 52], ["body", 210, 14, 206, 52], ["bend_outside", 306, 34, 282, 74], ["between", 130, 122, 130, 84], ["came_off", 92, 122, 92, 88], ["fitting_part", 76, 14, 76, 44], ["seat", 14, 14, 10, 50]],
    opening: [["clean_one"], ["clean_several"], ["ragged"], ["pin_hole"], ["sweating"]],
    wires: [["broken_at_lip"], ["broken_one_place"], ["broken_random"], ["rusty"], ["bright_worn"], ["crushed"]],
    cover: [["worn"], ["cut"], ["blisters"], ["lifted"], ["hard"]],
    tube: [["swollen"], ["washed_out"], ["cut_by_stem"], ["jet_hole"], ["loose_piled"]],
    layline: [["straight"], ["spiral"]],
    grip: [["deep_full"], ["shallow_full"], ["last_missing"], ["none"]],
    mark: [["at_edge"], ["gap"], ["hidden"]],
    shell: [["cracked"], ["ridges"], ["pin_stops"], ["moved"]],
    seat: [["wrong_pair"], ["damaged"], ["loose"], ["seal_gone"]],
    routing: [["bent_at_shell"], ["tight_bend"], ["pulled"], ["two_planes"], ["twisted_in"], ["rubs"], ["heat_near"], ["free"]],
};
const columns = {opening: 3, wires: 3, cover: 3, tube: 3, layline: 2, grip: 2, mark: 3, shell: 2, seat: 2, routing: 4};
const WIDE = 112;
const HIGH = 74;

// What the bench's classes do not have: a hose as a stroke, rust, heat.
const EDGE = "#3b464d";
const RUBBER = "#8d979d";
const RUST = "#8a4b1f";

const rect = (kind, x, y, width, height) => svg("rect", {class: `${kind} d-edge`, x, y, width, height});
const line = (kind, d) => svg("path", {class: kind, d, fill: kind === "d-lay" ? "none" : null});
const ink = (d, width = 1.4) => svg("path", {d, fill: "none", stroke: "#1b2226", "stroke-width": width, "stroke-linecap": "round"});
const arrow = (x, y, dx, dy) => {
    const l = Math.hypot(dx, dy);
    const [ux, uy] = [dx / l, dy / l];
    const [ex, ey] = [x + dx, y + dy];
    return [line("d-arrow-line", `M${x} ${y}L${ex - ux * 5} ${ey - uy * 5}`), line("d-arrow", `M${ex} ${ey}L${ex - ux * 8 - uy * 4} ${ey - uy * 8 + ux * 4}L${ex - ux * 8 + uy * 4} ${ey - uy * 8 - ux * 4}Z`)];
};
const hose = (x = 0, width = WIDE) => [rect("d-rubber", x, 28, width, 30), line("d-lay", `M${x + 3} 36H${x + width - 3}`)];
// A hose that bends, as one thick stroke with an edge.
const bent = (d, width = 14) => [
    svg("path", {d, fill: "none", stroke: EDGE, "stroke-width": width + 1.6}),
    svg("path", {d, fill: "none", stroke: RUBBER, "stroke-width": width}),
];
const drop = (x, y) => line("d-drop", `M${x} ${y - 7}c2.2 3.2 3 4.4 3 5.4a3 3 0 0 1 -6 0c0 -1 .8 -2.2 3 -5.4Z`);
const mark = (x, top = 26, bottom = 60) => [line("d-mark-rim", `M${x} ${top}V${bottom}`), line("d-mark", `M${x} ${top}V${bottom}`)];
const shell = (x, width) => line("d-metal d-edge", `M${x} 20h${width - 6}l6 3v40l-6 3h${6 - width}Z`);
const fitting = (x, y, flip = 1) => svg("g", {transform: `translate(${x} ${y}) scale(${flip} 1)`}, rect("d-metal", -16, -8, 9, 16), rect("d-metal", -7, -10, 18, 20));

// Cover taken off in the middle: the braid, and where its wires are broken.
function braid(x, width, top = 28, height = 30) {
    const strands = [];
    for (let a = x - height; a < x + width; a += 6) {
        const from = Math.max(a, x);
        const to = Math.min(a + height, x + width);
        if (to <= from) continue;
        strands.push(`M${from} ${top + (from - a)}L${to} ${top + (to - a)}M${from} ${top + height - (from - a)}L${to} ${top + height - (to - a)}`);
    }
    return [rect("d-air", x, top, width, height), line("d-thin", strands.join(""))];
}
const broken = (points) => points.map(([x, y]) => [svg("circle", {cx: x, cy: y, r: 2.6, fill: "#fff"}), ink(`M${x - 4} ${y + 2}l2.6 -3.4M${x + 1.4} ${y + 1.6}l3 -4.2`)]);
const bare = (...more) => [hose(), braid(26, 62), more];

// A hose cut lengthways: wall, bore, wall.
const cutOpen = (...more) => [rect("d-rubber", 0, 16, WIDE, 50), line("d-thin", `M0 22H${WIDE}M0 60H${WIDE}`), svg("rect", {class: "d-hole", x: -1, y: 28, width: WIDE + 2, height: 26}), more];

const pictures = {
    opening: {
        clean_one: () => [hose(), svg("ellipse", {class: "d-hole", cx: 58, cy: 46, rx: 14, ry: 4})],
        clean_several: () => [hose(), [[30, 44], [60, 51], [88, 43]].map(([cx, cy]) => svg("ellipse", {class: "d-hole", cx, cy, rx: 9, ry: 2.8}))],
        ragged: () => [hose(), line("d-hole", "M40 46l8 -8l3 5l6 -8l4 7l8 -5l2 7l7 3l-8 3l-2 6l-7 -4l-5 6l-4 -7l-6 3Z"), ink("M46 42l-6 -8M52 40l-2 -9M64 40l4 -9M71 44l8 -5M48 52l-6 7M60 53l1 8M70 51l7 6", 1)],
        pin_hole: () => [hose(), svg("circle", {class: "d-hole", cx: 58, cy: 30, r: 2.2}), line("d-here", "M58 27L54 6M58 27L58 3M58 27L62 6")],
        sweating: () => [hose(), [[24, 66], [42, 70], [60, 66], [78, 70], [94, 66]].map(([x, y]) => drop(x, y)), line("d-film", "M14 58H104")],
    },
    wires: {
        broken_at_lip: () => [hose(), braid(44, 50), shell(4, 42), broken([[50, 32], [50, 38], [50, 44], [50, 50], [50, 55]])],
        broken_one_place: () => bare(broken([[50, 34], [57, 31], [64, 36], [53, 42], [60, 43], [57, 50], [65, 48], [49, 51]])),
        broken_random: () => bare(broken([[31, 34], [42, 52], [54, 33], [63, 46], [76, 36], [84, 52], [34, 46]])),
        rusty: () => bare([[34, 36, 4], [43, 47, 5], [55, 38, 6], [66, 50, 4], [74, 37, 5], [83, 46, 4]].map(([cx, cy, r]) => svg("circle", {cx, cy, r, fill: RUST, "fill-opacity": 0.75}))),
        bright_worn: () => bare(line("d-hole", "M30 28q28 11 54 0Z"), ink("M38 24l4 -6M52 23v-7M66 23l-4 -7", 1)),
        crushed: () => [hose(), braid(54, 40), shell(4, 50), line("d-hole d-edge", "M10 34h36l6 6h-42ZM10 52h36l6 -6h-42Z"), ink("M14 36l4 3l4 -3l4 3l4 -3l4 3l4 -3M14 50l4 -3l4 3l4 -3l4 3l4 -3l4 3", 1)],
    },
    cover: {
        worn: () => [hose(), svg("ellipse", {class: "d-air d-edge", cx: 58, cy: 34, rx: 22, ry: 6}), line("d-thin", "M42 32l8 7M50 29l10 10M60 28l10 10M70 30l7 7M44 38l10 -9M54 40l12 -12M66 39l9 -8"), ink("M34 22h48", 1)],
        cut: () => [hose(), line("d-hole", "M52 28l5 15l4 -15Z")],
        blisters: () => [hose(), [[30, 11], [54, 15], [82, 9]].map(([x, w]) => line("d-rubber d-edge", `M${x - w} 28q${w} ${-w * 1.3} ${2 * w} 0Z`)), [[44, 46, 5], [72, 48, 4], [92, 44, 3]].map(([cx, cy, r]) => svg("circle", {class: "d-rubber d-edge", cx, cy, r}))],
        lifted: () => [hose(), braid(40, 46), line("d-rubber d-edge", "M40 28q-4 -16 -26 -18l-2 6q18 2 22 12ZM86 28q4 -14 20 -16l2 6q-12 2 -16 10Z")],
        hard: () => [hose(), ink("M14 28l3 8l-3 7l4 8M30 30l4 9l-2 8l3 9M46 28l-2 9l4 8M62 33l3 8l-3 8l2 8M78 28l4 9l-4 10l3 8M94 31l-3 9l4 9", 1.2)],
    },
    tube: {
        swollen: () => cutOpen(line("d-rubber d-edge", "M20 28q36 20 76 0ZM20 54q36 -20 76 0Z")),
        washed_out: () => cutOpen(line("d-hole", "M24 28q4 -7 9 -1t9 0t9 -1t10 1t9 -1t9 1v4H24Z"), [[40, 40], [58, 45], [74, 37], [92, 43]].map(([x, y]) => line("d-rubber d-edge", `M${x} ${y}l6 -2l3 4l-6 3Z`))),
        cut_by_stem: () => cutOpen(rect("d-metal", -1, 30, 58, 22), line("d-rubber d-edge", "M58 28q12 2 9 10q-4 6 -8 1q-1 -5 4 -4l1 -2q-8 -2 -8 5q4 10 13 3q6 -14 -6 -15Z"), line("d-here", "M46 28h12")),
        jet_hole: () => cutOpen(line("d-hole", "M70 54q6 2 8 12h6q-2 -12 10 -12Z"), arrow(20, 36, 46, 14)),
        loose_piled: () => cutOpen(line("d-rubber d-edge", "M0 29H54q6 0 8 8q2 8 6 0t6 0t6 0t6 0t6 0t8 -8H112V24H0Z"), line("d-rubber d-edge", "M0 53H54q6 0 8 -7q2 -7 6 0t6 0t6 0t6 0t6 0t8 7H112V58H0Z")),
    },
    layline: {
        straight: () => [rect("d-rubber", 0, 28, WIDE, 30), line("d-lay", "M3 43H109")],
        spiral: () => [rect("d-rubber", 0, 28, WIDE, 30), [4, 32, 60, 88].map((x) => line("d-lay", `M${x} 57q6 -4 10 -14t10 -14`))],
    },
    grip: {
        deep_full: () => [hose(12, 100), [18, 29, 40, 51].map((x) => line("d-hole", `M${x} 28l3 6l3 -6ZM${x} 58l3 -6l3 6Z`)), [21, 32, 43, 54].map((x) => ink(`M${x} 34V52`, 1.6)), mark(64)],
        shallow_full: () => [hose(12, 100), [21, 32, 43, 54].map((x) => line("d-thin", `M${x} 28V58`)), mark(64)],
        last_missing: () => [hose(12, 100), [18, 29].map((x) => line("d-hole", `M${x} 28l3 6l3 -6ZM${x} 58l3 -6l3 6Z`)), [21, 32].map((x) => ink(`M${x} 34V52`, 1.6)), mark(64), svg("rect", {class: "d-look", x: 36, y: 22, width: 24, height: 42})],
        none: () => [hose(12, 100), mark(64), svg("rect", {class: "d-look", x: 8, y: 22, width: 52, height: 42})],
    },
    mark: {
        at_edge: () => [hose(), mark(60), shell(2, 56), svg("ellipse", {class: "d-look", cx: 59, cy: 43, rx: 8, ry: 28})],
        gap: () => [hose(), mark(80), shell(2, 56), svg("rect", {class: "d-look", x: 60, y: 20, width: 18, height: 46})],
        hidden: () => [hose(), shell(2, 56), svg("path", {d: "M46 27V59", fill: "none", stroke: "#101518", "stroke-width": 2.4, "stroke-dasharray": "4 3"}), svg("ellipse", {class: "d-look", cx: 46, cy: 43, rx: 8, ry: 28})],
    },
    shell: {
        cracked: () => [hose(), shell(10, 60), ink("M14 30l12 5l-4 6l14 4l-3 6l16 4", 2)],
        ridges: () => [line("d-metal d-edge", ridged(56, 40, 22, 34)), svg("circle", {class: "d-rubber", cx: 56, cy: 40, r: 19}), svg("circle", {class: "d-metal d-edge", cx: 56, cy: 40, r: 11}), svg("circle", {class: "d-hole", cx: 56, cy: 40, r: 8})],
        pin_stops: () => [hose(70, 42), shell(40, 44), line("d-hidden", "M40 36H58q6 3 12 3M40 50H58q6 -3 12 -3M70 39H84M70 47H84"), line("d-pin", "M6 37H58l3 2v8l-3 2H6Z"), line("d-here", "M62 34V52")],
        moved: () => [hose(), shell(2, 50), mark(76), rect("d-rubber", 53, 28, 21, 30), arrow(66, 66, 26, 0)],
    },
    seat: {
        wrong_pair: () => [line("d-metal d-edge", "M8 20H36L52 34V52L36 66H8Z"), line("d-metal d-edge", "M106 14V72H66V56L76 50V36L66 30V14Z"), line("d-here", "M37 20L52 34M66 30L76 36M37 66L52 52M66 56L76 50")],
        damaged: () => [line("d-metal d-edge", "M14 18H56L84 36V50L56 68H14Z"), ink("M62 24l-4 12M70 28l-5 13M77 33l-5 11M60 60l6 -10", 1.6)],
        loose: () => [rect("d-metal", 6, 28, 44, 30), line("d-thin", "M12 28v30M18 28v30M24 28v30M30 28v30M36 28v30M42 28v30"), rect("d-metal", 62, 20, 30, 46), line("d-thin", "M62 32H92M62 54H92"), line("d-here", "M50 20V66M62 16V70"), drop(56, 74)],
        seal_gone: () => [line("d-metal d-edge", "M6 22H60V28H70V22H96V64H70V58H60V64H6Z"), svg("circle", {class: "d-look", cx: 65, cy: 25, r: 6, "stroke-dasharray": "3 2"}), svg("circle", {class: "d-look", cx: 65, cy: 61, r: 6, "stroke-dasharray": "3 2"})],
    },
    routing: {
        bent_at_shell: () => [bent("M40 24Q50 26 48 72"), fitting(28, 24), line("d-look", "M34 12a14 14 0 0 1 20 18")],
        tight_bend: () => [bent("M30 24H66Q84 24 84 38T66 52H30"), fitting(24, 24), fitting(24, 52), line("d-look", "M80 22a20 20 0 0 1 0 32")],
        pulled: () => [bent("M24 40H90", 12), fitting(24, 40), fitting(88, 40, -1), arrow(34, 62, -26, 0), arrow(78, 62, 26, 0)],
        two_planes: () => [bent("M28 26Q54 26 56 42T84 60"), fitting(24, 26), fitting(90, 60, -1), arrow(56, 24, 0, -18), arrow(70, 66, -24, 6)],
        twisted_in: () => [bent("M28 44H88", 18), fitting(24, 44), fitting(90, 44, -1), [36, 50, 64].map((x) => line("d-lay", `M${x} 52q5 -3 8 -8t8 -8`)), line("d-here", "M76 22a14 9 0 0 1 26 6"), line("d-arrow", "M104 34l-6 -7l8 -2Z")],
        rubs: () => [bent("M28 34Q56 34 88 34"), fitting(24, 34), fitting(90, 34, -1), rect("d-metal", 50, 42, 14, 28), ink("M44 46l-6 5M70 46l6 5M44 41l-7 0M70 41l7 0", 1.6)],
        heat_near: () => [bent("M28 28H88"), fitting(24, 28), fitting(90, 28, -1), rect("d-metal", 30, 58, 52, 12), [40, 56, 72].map((x) => line("d-here", `M${x} 54q4 -4 0 -8t0 -8`))],
        free: () => [bent("M30 54Q40 20 56 20T84 54"), svg("g", {transform: "rotate(-75 28 58)"}, fitting(28, 58)), svg("g", {transform: "rotate(75 86 58)"}, fitting(86, 58, -1)), rect("d-metal", 50, 9, 12, 22)],
    },
};

function ridged(cx, cy, r, top) {
    let d = "";
    for (let i = 0; i < 8; i += 1) {
        const a = (i * Math.PI) / 4;
        const at = (radius, angle) => `${(cx + radius * Math.cos(angle)).toFixed(1)} ${(cy + radius * Math.sin(angle)).toFixed(1)}`;
        d += `${i ? "L" : "M"}${at(r, a - 0.24)}L${at(r, a + 0.24)}Q${at(i % 3 ? top : top - 6, a + Math.PI / 8)} ${at(r, a + Math.PI / 4 - 0.24)}`;
    }
    return `${d}Z`;
}

function number(n, answer, x, y, chosen, to) {
    return svg(
        "g",
        {class: `d-flat ${chosen ? "d-flat-now" : "d-flat-open"}`, "data-answer": answer},
        to ? line("d-size", `M${x} ${y}L${to[0]} ${to[1]}`) : null,
        to ? svg("circle", {cx: to[0], cy: to[1], r: 2}) : null,
        svg("circle", {cx: x, cy: y, r: 8}),
        svg("text", {x, y: y + 3.6, "text-anchor": "middle", "font-size": 10.5}, String(n)),
    );
}

// Nut, shell, hose and a bend: everything that may fail.
function places(chosen) {
    return [
        bent("M130 68H216Q290 68 290 132", 32),
        rect("d-metal", 2, 44, 34, 48),
        line("d-thin", "M2 56H36M2 80H36"),
        rect("d-metal", 36, 54, 20, 28),
        line("d-metal d-edge", "M56 40H70q6 0 6 5H120q6 0 6 -3h6V94h-6q0 -3 -6 -3H76q0 5 -6 5H56Z"),
        line("d-thin", "M78 56H120M78 80H120"),
        line("d-lay", "M136 62H216Q296 62 296 130"),
        numbers.places.map(([answer, x, y, tx, ty], i) => number(i + 1, answer, x, y, chosen.includes(answer), [tx, ty])),
    ];
}

export function numbersOf(id) {
    return (numbers[id] ?? []).map(([answer], i) => ({number: i + 1, answer}));
}

export function drawing(id, {name, chosen = []} = {}) {
    if (!Object.hasOwn(numbers, id)) return null;
    const frame = (width, height, ...children) => svg("svg", {class: "drawing", viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": name, "data-drawing": id}, ...children);
    if (id === "places") return frame(322, 134, places(chosen));
    const across = columns[id];
    const rows = Math.ceil(numbers[id].length / across);
    const cells = numbers[id].map(([answer], i) => {
        const x = (i % across) * (WIDE + 24) + 22;
        const y = Math.floor(i / across) * (HIGH + 8) + 2;
        return svg("g", {transform: `translate(${x} ${y})`}, pictures[id][answer](), number(i + 1, answer, -11, 10, chosen.includes(answer)));
    });
    return frame(across * (WIDE + 24) + 2, rows * (HIGH + 8) + 2, cells);
}
