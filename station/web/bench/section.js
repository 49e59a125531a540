// The crimped shell looked at from its end: as many flats as the die set has segments, a ridge between two of them,
// flat 1 (the marked one) at the top, counting clockwise. Flats are numbered inside, the caliper's jaws lie across the
// one to measure now: on the flat, never on a ridge.
//
//   section({segments, flats, now, done, cx, cy, r})   an SVG group; r is the radius over the flats

import {svg} from "../kit/dom.js";

const at = (cx, cy, r, angle) => [cx + r * Math.cos(angle), cy + r * Math.sin(angle)];
const point = ([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`;

export const angleOf = (flat, segments) => -Math.PI / 2 + ((flat - 1) * 2 * Math.PI) / segments;

function outline(cx, cy, r, segments) {
    const step = (2 * Math.PI) / segments;
    const half = step * 0.39;
    let d = "";
    for (let i = 0; i < segments; i += 1) {
        const a = angleOf(i + 1, segments);
        d += `${i === 0 ? "M" : "L"}${point(at(cx, cy, r, a - half))}A${r} ${r} 0 0 1 ${point(at(cx, cy, r, a + half))}`;
        d += `Q${point(at(cx, cy, r * 1.14, a + step / 2))} ${point(at(cx, cy, r, a + step - half))}`;
    }
    return `${d}Z`;
}

// The caliper's blades across the axis that points up, before it is turned: their faces touch at r.
function jaws(cx, cy, r, angle) {
    const blade = (side) =>
        svg("path", {class: "d-tool", d: `M${cx - 6.5} ${cy + side * r}h13l-3 ${side * 10.5}h-7Z`});
    const face = (side) => svg("path", {class: "d-here", d: `M${cx - 8} ${cy + side * r}H${cx + 8}`});
    return svg("g", {transform: `rotate(${((angle + Math.PI / 2) * 180) / Math.PI} ${cx} ${cy})`}, blade(-1), blade(1), face(-1), face(1));
}

export function section({segments, flats, now, done = [], cx, cy, r}) {
    const labels = flats.map((flat) => {
        const [x, y] = at(cx, cy, r * 0.72, angleOf(flat, segments));
        const kind = flat === now ? "now" : done.includes(flat) ? "done" : "open";
        return svg(
            "g",
            {class: `d-flat d-flat-${kind}`},
            svg("circle", {cx: x, cy: y, r: flat === now ? 8.2 : 5.8}),
            svg("text", {x, y: y + (flat === now ? 4 : 2.8), "text-anchor": "middle", "font-size": flat === now ? 11.5 : 8}, String(flat)),
        );
    });
    // The line through the shell along which is measured.
    const a = now ? angleOf(now, segments) : 0;
    const axis = now
        ? svg("path", {class: "d-axis", d: `M${point(at(cx, cy, r, a))}L${point(at(cx, cy, r, a + Math.PI))}`})
        : null;
    const [mx, my] = at(cx, cy, r * 0.95, -Math.PI / 2);
    return svg(
        "g",
        {},
        svg("path", {class: "d-metal d-edge", d: outline(cx, cy, r, segments)}),
        svg("circle", {class: "d-rubber", cx, cy, r: r * 0.9}),
        svg("circle", {class: "d-wire", cx, cy, r: r * 0.52}),
        svg("circle", {class: "d-metal d-edge", cx, cy, r: r * 0.45}),
        svg("circle", {class: "d-hole", cx, cy, r: r * 0.33}),
        svg("circle", {class: "d-dot", cx: mx, cy: my, r: 1.3}),
        axis,
        now ? jaws(cx, cy, r, a) : null,
        labels,
    );
}
