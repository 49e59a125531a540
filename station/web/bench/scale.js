// The reading against its band: a scale with both limits, the guard zones hatched ("too close to call"), the middle,
// and a pointer with the number. A reading beyond the scale is pinned at its end with an arrow. Nothing depends on
// colour: zones differ in filling, the pointer in place and shape.
//
//   const scale = makeScale()
//   scale.node
//   scale.draw(null | {lower_nm, upper_nm, guard_nm, oneSided, text: {lower, upper, middle, value}, words: {...},
//                      value_nm, verdict, others: [nm], name})
//
// value_nm is left away while nothing has been measured against this band.

import {svg} from "../kit/dom.js";

const HEIGHT = 116;
const TOP = 50; // of the bar
const BAR = 34;

// Where a value lies: {x, pinned: 0 | -1 | 1}. Pure.
export function placeOf(value_nm, at) {
    const x = at.x0 + ((value_nm - at.lower_nm) / (at.upper_nm - at.lower_nm)) * (at.x1 - at.x0);
    if (x < at.left) return {x: at.left, pinned: -1};
    if (x > at.right) return {x: at.right, pinned: 1};
    return {x, pinned: 0};
}

export function layout(width, {lower_nm, upper_nm, oneSided}) {
    const edge = 16;
    const outside = Math.max(70, width * 0.2);
    return {
        lower_nm,
        upper_nm,
        left: edge,
        right: width - edge,
        x0: oneSided ? 70 : outside,
        x1: width - outside,
    };
}

function pointer(place, verdict, text, width) {
    const {x, pinned} = place;
    const shape =
        pinned === 0
            ? svg("path", {class: "scale-pointer", d: `M${x} ${TOP + BAR}V${TOP - 2}M${x} ${TOP + 2}l-9 -13h18Z`})
            : svg("path", {class: "scale-pointer", d: pinned < 0 ? `M2 ${TOP + BAR / 2}l20 -14v28Z` : `M${width - 2} ${TOP + BAR / 2}l-20 -14v28Z`});
    const anchor = x < 70 ? "start" : x > width - 70 ? "end" : "middle";
    const at = anchor === "start" ? Math.max(2, x - 12) : anchor === "end" ? Math.min(width - 2, x + 12) : x;
    return svg("g", {class: `scale-reading ${verdict ?? ""}`}, shape, svg("text", {class: "scale-value", x: at, y: TOP - 16, "text-anchor": anchor, "data-test": "scale-value"}, text));
}

export function makeScale() {
    const root = svg("svg", {class: "scale", role: "img", height: HEIGHT, "data-test": "scale"});
    let last = null;
    let width = 0;

    function paint() {
        root.replaceChildren();
        root.toggleAttribute("hidden", !last);
        if (!last || width < 240) return; // not laid out yet
        root.setAttribute("viewBox", `0 0 ${width} ${HEIGHT}`);
        root.setAttribute("aria-label", last.name);
        const {lower_nm, upper_nm, guard_nm = 0, oneSided, text, words, others = []} = last;
        const at = layout(width, last);
        const px = (nm) => placeOf(nm, at).x;
        const hatch = svg(
            "pattern",
            {id: "scale-hatch", width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)"},
            svg("rect", {width: 8, height: 8, fill: "#fff"}),
            svg("rect", {width: 3.2, height: 8, fill: "#59646b"}),
        );
        const zone = (a, b, kind) => svg("rect", {class: `scale-${kind}`, x: a, y: TOP, width: Math.max(0, b - a), height: BAR});
        const guard = guard_nm > 0 ? Math.min(guard_nm, (upper_nm - lower_nm) / (oneSided ? 1 : 2)) : 0;
        const limit = (x, label, anchor) =>
            svg("g", {}, svg("path", {class: "scale-limit", d: `M${x} ${TOP - 7}V${TOP + BAR + 7}`}), svg("text", {class: "scale-label", x, y: TOP + BAR + 27, "text-anchor": anchor}, label));
        const middle = (at.x0 + at.x1) / 2;
        const zones = [
            oneSided ? null : zone(0, at.x0, "out"),
            zone(at.x1, width, "out"),
            zone(at.x0, at.x1, "in"),
            guard > 0 && !oneSided ? svg("rect", {x: at.x0, y: TOP, width: px(lower_nm + guard) - at.x0, height: BAR, fill: "url(#scale-hatch)"}) : null,
            guard > 0 ? svg("rect", {x: px(upper_nm - guard), y: TOP, width: at.x1 - px(upper_nm - guard), height: BAR, fill: "url(#scale-hatch)"}) : null,
        ];
        root.append(
            svg("defs", {}, hatch),
            ...zones.filter(Boolean),
            svg("path", {class: "scale-frame", d: `M0 ${TOP}H${width}M0 ${TOP + BAR}H${width}`}),
            ...(oneSided ? [] : [svg("path", {class: "scale-middle", d: `M${middle} ${TOP}v9M${middle} ${TOP + BAR}v-9`}), svg("text", {class: "scale-label quiet", x: middle, y: TOP + BAR + 27, "text-anchor": "middle"}, text.middle ?? "")]),
            limit(at.x0, text.lower, "middle"),
            limit(at.x1, text.upper, "middle"),
        );
        // The word makes room for a pointer that stands on it.
        const known = last.value_nm !== undefined && last.value_nm !== null;
        const under = known && !oneSided && last.value_nm < lower_nm;
        const over = known && last.value_nm > upper_nm;
        if (!oneSided && !under) root.append(svg("text", {class: "scale-word", x: at.x0 / 2, y: TOP + BAR / 2 + 6, "text-anchor": "middle"}, words.under));
        if (!over) root.append(svg("text", {class: "scale-word", x: (at.x1 + width) / 2, y: TOP + BAR / 2 + 6, "text-anchor": "middle"}, words.over));
        if (guard > 0) {
            const x = oneSided ? middle : at.x0 + (middle - at.x0) / 2;
            // Between the limit's figure and the middle's, where they leave it room.
            if (at.x1 - at.x0 > 420 && text.lower.length <= 6)
                root.append(
                    svg("rect", {x: x - 70, y: TOP + BAR + 13, width: 22, height: 15, fill: "url(#scale-hatch)", stroke: "#59646b"}),
                    svg("text", {class: "scale-note", x: x - 43, y: TOP + BAR + 26}, words.guard),
                );
        }
        for (const nm of others) {
            const place = placeOf(nm, at);
            if (place.pinned === 0) root.append(svg("path", {class: "scale-other", d: `M${place.x} ${TOP + 4}v${BAR - 8}`}));
        }
        if (known) root.append(pointer(placeOf(last.value_nm, at), last.verdict, text.value, width));
    }

    const sized = new ResizeObserver(() => {
        const box = root.parentElement;
        if (!box || Math.abs(box.clientWidth - width) < 1) return;
        width = box.clientWidth;
        root.setAttribute("width", width);
        paint();
    });

    return {
        node: root,
        // Told when it stands on the page, so that it follows its place.
        follow() {
            sized.disconnect();
            if (root.parentElement) sized.observe(root.parentElement);
            width = root.parentElement?.clientWidth ?? 0;
            root.setAttribute("width", width);
        },
        draw(what) {
            last = what;
            if (width === 0 && root.parentElement) width = root.parentElement.clientWidth;
            paint();
        },
        leave: () => sized.disconnect(),
    };
}
