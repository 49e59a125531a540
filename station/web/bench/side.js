// Hose and fitting looked at from the side, drawn from the spec row in true proportion where the row says how large
// things are (shell, hose, stem); where it does not, in the proportion that such parts have. x runs in millimetres from
// the stop inside the shell (the hose's end, once it is pushed in) along the hose.
//
//   const s = makeSide(row, {x, y, width, height})    a place on the drawing
//   s.fitting({crimped, cut}), s.hose({from, skiveOuter, skiveInner, cut}), s.mark(x_mm), s.size(from_mm, to_mm, text),
//   s.jawsAcross(x_mm), s.ring(x_mm), s.pin(text), s.film(), s.push(), s.depthJaws(from_mm, to_mm), s.rod(mm)
//                                                     groups to put into an svg

import {svg} from "../kit/dom.js";

const MM = 1000000;

export function measuresOf(row) {
    const crimp = row.crimp.nominal_nm / MM;
    const g = row.geometry;
    return {
        crimp,
        depth: row.depth.nominal_nm / MM,
        shell: g ? g.shell_od_nm / MM : crimp * 1.14,
        hose: g ? g.hose_od_nm / MM : crimp * 0.88,
        stem: g ? g.stem_od_nm / MM : crimp * 0.5,
        bore: g ? g.stem_bore_nm / MM : crimp * 0.38,
        skiveOuter: (row.skive_outer?.nominal_nm ?? 0) / MM,
        skiveInner: (row.skive_inner?.nominal_nm ?? 0) / MM,
        pin: (row.bore_pin_nm ?? 0) / MM,
    };
}

export function makeSide(row, {x, y, width, height, left = 34, right = 36, tall = 0.62}) {
    const m = measuresOf(row);
    const from = -left;
    const to = m.depth + right;
    const scale = Math.min(width / (to - from), (height * tall) / m.shell);
    const middle = y + height / 2;
    const begin = x + (width - (to - from) * scale) / 2;
    const X = (mm) => begin + (mm - from) * scale;
    const Y = (mm) => middle + mm * scale;
    const n = (v) => v.toFixed(1);
    const bar = (a, b, od, props) => svg("rect", {...props, x: n(X(a)), y: n(Y(-od / 2)), width: n((b - a) * scale), height: n(od * scale)});

    // The nut (six corners seen from the side) and the neck, then the shell.
    function fitting({crimped = false, cut = false} = {}) {
        const nut = m.shell * 1.02;
        const collar = -3;
        const flare = Math.min(5, m.depth * 0.15);
        const shellPath = crimped
            ? `M${n(X(collar))} ${n(Y(-m.shell / 2))}H${n(X(collar + 2))}C${n(X(collar + 2 + flare / 2))} ${n(Y(-m.shell / 2))} ${n(X(collar + 2 + flare / 2))} ${n(Y(-m.crimp / 2))} ${n(X(collar + 2 + flare))} ${n(Y(-m.crimp / 2))}H${n(X(m.depth - flare))}C${n(X(m.depth - flare / 2))} ${n(Y(-m.crimp / 2))} ${n(X(m.depth - flare / 2))} ${n(Y(-m.shell / 2 + 0.4))} ${n(X(m.depth))} ${n(Y(-m.shell / 2 + 0.4))}V${n(Y(m.shell / 2 - 0.4))}C${n(X(m.depth - flare / 2))} ${n(Y(m.shell / 2 - 0.4))} ${n(X(m.depth - flare / 2))} ${n(Y(m.crimp / 2))} ${n(X(m.depth - flare))} ${n(Y(m.crimp / 2))}H${n(X(collar + 2 + flare))}C${n(X(collar + 2 + flare / 2))} ${n(Y(m.crimp / 2))} ${n(X(collar + 2 + flare / 2))} ${n(Y(m.shell / 2))} ${n(X(collar + 2))} ${n(Y(m.shell / 2))}H${n(X(collar))}Z`
            : `M${n(X(collar))} ${n(Y(-m.shell / 2))}H${n(X(m.depth))}V${n(Y(m.shell / 2))}H${n(X(collar))}Z`;
        const wall = m.shell * 0.09;
        const shell = cut
            ? [
                  bar(collar, m.depth, m.shell, {class: "d-air d-edge"}),
                  svg("path", {class: "d-metal d-edge", d: `M${n(X(m.depth))} ${n(Y(-m.shell / 2))}H${n(X(collar))}V${n(Y(m.shell / 2))}H${n(X(m.depth))}V${n(Y(m.shell / 2 - wall))}H${n(X(0))}V${n(Y(-m.shell / 2 + wall))}H${n(X(m.depth))}Z`}),
                  bar(-3, m.depth - 1.5, m.stem, {class: "d-metal d-edge"}),
                  ...[0.2, 0.4, 0.6, 0.8].map((f) => svg("path", {class: "d-thin", d: `M${n(X(m.depth * f))} ${n(Y(-m.stem / 2))}V${n(Y(m.stem / 2))}`})),
              ]
            : [
                  svg("path", {class: "d-metal d-edge", d: shellPath}),
                  svg("path", {class: "d-hidden", d: `M${n(X(-3))} ${n(Y(-m.stem / 2))}H${n(X(m.depth - 1.5))}V${n(Y(m.stem / 2))}H${n(X(-3))}`}),
                  svg("path", {class: "d-hidden", d: `M${n(X(0))} ${n(Y(-m.hose / 2))}V${n(Y(m.hose / 2))}`}),
                  crimped
                      ? [-0.2, 0.2].map((f) => svg("path", {class: "d-thin", d: `M${n(X(collar + 2 + flare))} ${n(Y(m.crimp * f))}H${n(X(m.depth - flare))}`}))
                      : null,
              ];
        return svg(
            "g",
            {},
            bar(-14, -3, m.stem * 1.25, {class: "d-metal d-edge"}),
            bar(-30, -12, nut, {class: "d-metal d-edge"}),
            [-0.25, 0.25].map((f) => svg("path", {class: "d-thin", d: `M${n(X(-30))} ${n(Y(nut * f))}H${n(X(-12))}`})),
            shell,
        );
    }

    // A hose whose far end goes on; its lay line shows that it is not twisted.
    function hose({from: start = 0, skiveOuter = 0, skiveInner = 0, cut = false} = {}) {
        const wave = `c${n(2 * scale)} ${n(m.hose * scale * 0.17)} ${n(-2 * scale)} ${n(m.hose * scale * 0.33)} 0 ${n(m.hose * scale * 0.5)}s${n(-2 * scale)} ${n(m.hose * scale * 0.33)} 0 ${n(m.hose * scale * 0.5)}`;
        const cover = start + skiveOuter;
        const parts = [];
        if (skiveOuter > 0) {
            parts.push(bar(start, cover, m.hose * 0.88, {class: "d-wire d-edge"}));
            for (let i = 1; i * 2.5 < skiveOuter; i += 1)
                parts.push(svg("path", {class: "d-thin", d: `M${n(X(start + i * 2.5 - 2.5))} ${n(Y(m.hose * 0.44))}L${n(X(start + i * 2.5))} ${n(Y(-m.hose * 0.44))}`}));
        }
        parts.push(svg("path", {class: "d-rubber d-edge", d: `M${n(X(cover))} ${n(Y(-m.hose / 2))}H${n(X(to))}${wave}H${n(X(cover))}Z`}));
        if (cut || skiveInner > 0) {
            parts.push(bar(start, to - 3, m.stem, {class: "d-hole"}));
            if (skiveInner > 0) parts.push(bar(start, start + skiveInner, m.hose * 0.72, {class: "d-hole d-edge"}));
        } else parts.push(svg("path", {class: "d-lay", d: `M${n(X(cover + 1))} ${n(Y(-m.hose * 0.22))}H${n(X(to - 2))}`}));
        return svg("g", {}, parts);
    }

    // A line of paint round the hose: dark with a light rim, so that it is never taken for a gap.
    function mark(mm) {
        const d = `M${n(X(mm))} ${n(Y(-m.hose / 2) - 1)}V${n(Y(m.hose / 2) + 1)}`;
        return svg("g", {}, svg("path", {class: "d-mark-rim", d}), svg("path", {class: "d-mark", d}));
    }

    // A length between two places, with its number beneath the parts.
    function size(a, b, text, below = true) {
        const level = Y(((below ? 1 : -1) * m.shell) / 2) + (below ? 11 : -11);
        const tick = (mm) => svg("path", {class: "d-size", d: `M${n(X(mm))} ${n(Y((below ? m.hose : -m.hose) / 2))}V${n(level + (below ? 3 : -3))}`});
        return svg(
            "g",
            {},
            tick(a),
            tick(b),
            svg("path", {class: "d-size", d: `M${n(X(a))} ${n(level)}H${n(X(b))}`}),
            svg("path", {class: "d-arrow", d: `M${n(X(a))} ${n(level)}l4.5 -2v4ZM${n(X(b))} ${n(level)}l-4.5 -2v4Z`}),
            svg("text", {class: "d-number", x: n((X(a) + X(b)) / 2), y: n(level + (below ? 11 : -4)), "text-anchor": "middle"}, text),
        );
    }

    // The caliper's jaws over the middle of the crimped length.
    function jawsAcross(mm) {
        const r = (m.crimp / 2) * scale;
        const reach = (m.shell / 2) * scale + 12;
        const blade = (side) => svg("path", {class: "d-tool", d: `M${n(X(mm) - 4)} ${n(middle + side * r)}h8l-1.5 ${side * (reach - r)}h-5Z`});
        return svg(
            "g",
            {},
            blade(-1),
            blade(1),
            svg("path", {class: "d-here", d: `M${n(X(mm) - 6)} ${n(middle - r)}h12M${n(X(mm) - 6)} ${n(middle + r)}h12`}),
            svg("path", {class: "d-axis", d: `M${n(X(mm))} ${n(middle - r)}V${n(middle + r)}`}),
        );
    }

    // The caliper laid along the hose, from its end to the mark; over: the diameter on which its first jaw lies.
    function depthJaws(a, b, {over = m.hose} = {}) {
        const top = Y(-m.shell / 2) - 13;
        const blade = (mm, lean, on) => svg("path", {class: "d-tool", d: `M${n(X(mm))} ${n(top)}h${lean * 5}V${n(Y(-on / 2) + 6)}L${n(X(mm))} ${n(Y(-on / 2) + 10)}Z`});
        return svg("g", {}, svg("path", {class: "d-tool", d: `M${n(X(a) - 8)} ${n(top - 5)}H${n(X(b) + 14)}v6H${n(X(a) - 8)}Z`}), blade(a, -1, over), blade(b, 1, m.hose));
    }

    // The caliper's end set on the hose's end, its depth rod in the hose as far as the tube is taken out.
    function rod(mm) {
        const half = (m.hose / 2) * scale;
        return svg(
            "g",
            {},
            svg("path", {class: "d-tool", d: `M${n(X(0) - 12)} ${n(middle - half)}H${n(X(0))}v${n(2 * half)}h-12Z`}),
            svg("path", {class: "d-tool", d: `M${n(X(0))} ${n(middle - half * 0.68)}H${n(X(mm))}v4H${n(X(0))}Z`}),
        );
    }

    const ring = (mm) => svg("ellipse", {class: "d-look", cx: n(X(mm)), cy: n(middle), rx: n(6.5 * scale), ry: n((m.shell / 2) * scale + 6)});

    function pin(text) {
        const half = (m.pin / 2) * scale;
        return svg(
            "g",
            {},
            svg("path", {class: "d-hidden", d: `M${n(X(-30))} ${n(Y(-m.bore / 2))}H${n(X(m.depth))}M${n(X(-30))} ${n(Y(m.bore / 2))}H${n(X(m.depth))}`}),
            svg("path", {class: "d-pin", d: `M${n(X(from) - 14)} ${n(middle - half)}H${n(X(m.depth * 0.7))}l${n(half * 0.4)} ${n(half * 0.4)}v${n(half * 1.2)}l${n(-half * 0.4)} ${n(half * 0.4)}H${n(X(from) - 14)}Z`}),
            svg("path", {class: "d-arrow-line", d: `M${n(X(m.depth * 0.7) + 6)} ${n(middle)}h${n(16 * scale)}`}),
            svg("path", {class: "d-arrow", d: `M${n(X(m.depth * 0.7) + 10 + 16 * scale)} ${n(middle)}l-7 -3.4v6.8Z`}),
            svg("text", {class: "d-number", x: n(X(-21)), y: n(Y(-m.shell / 2) - 6), "text-anchor": "middle"}, text),
        );
    }

    // A thin film on the stem, and drops above it.
    function film() {
        const drop = (mm) => {
            const px = X(mm);
            const py = Y(-m.stem / 2) - 3;
            return svg("path", {class: "d-drop", d: `M${n(px)} ${n(py - 8)}c2.6 3.6 3.4 5 3.4 6.2a3.4 3.4 0 0 1 -6.8 0c0 -1.2 .8 -2.6 3.4 -6.2Z`});
        };
        return svg(
            "g",
            {},
            svg("path", {class: "d-film", d: `M${n(X(1))} ${n(Y(-m.stem / 2))}H${n(X(m.depth - 1.5))}V${n(Y(m.stem / 2))}H${n(X(1))}`}),
            [0.25, 0.55, 0.85].map((f) => drop(m.depth * f)),
        );
    }

    const push = (mm) =>
        svg(
            "g",
            {},
            svg("path", {class: "d-arrow-line", d: `M${n(X(mm) + 30)} ${n(Y(m.shell / 2) + 9)}H${n(X(mm) + 8)}`}),
            svg("path", {class: "d-arrow", d: `M${n(X(mm))} ${n(Y(m.shell / 2) + 9)}l9 -4v8Z`}),
        );

    return {m, X, Y, scale, fitting, hose, mark, size, jawsAcross, depthJaws, rod, ring, pin, film, push};
}
