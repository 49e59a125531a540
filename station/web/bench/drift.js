// How the running set-up goes: the means of the last ends, small, in the band, with the limits of the chart. Beside the
// work, never in its way: where something is wrong or a notice stands, it gives way. When the station warns, the panel
// says so and marks the ends that made it, by shape; the sentence above says what to do.
//
//   driftPanel(bench)        a node, or null while there are no two ends
//   driftSentence(bench)     {sentence, hint} of the set-up piece that a warning asks for, or null
//   placesOf(watch, band)    where things lie, 0 at the top to 1: pure

import {el, svg} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {adviceOf, lengths} from "./sentences.js";
import {resolutionOf} from "./steps.js";

const WIDTH = 300;
const HEIGHT = 74;
const LEFT = 4;
const RIGHT = 56; // for the figures
const EDGE = 8;

const bandOf = (row) => ({lower_nm: row.crimp.nominal_nm - row.crimp.minus_nm, upper_nm: row.crimp.nominal_nm + row.crimp.plus_nm});

export function placesOf(watch, band) {
    const values = watch.points.map((p) => p.mean_nm);
    const low = Math.min(band.lower_nm, ...values);
    const high = Math.max(band.upper_nm, ...values);
    const at = (nm) => (high - nm) / (high - low);
    return {
        at,
        points: watch.points.map((p, i) => ({x: watch.points.length > 1 ? i / (watch.points.length - 1) : 1, y: at(p.mean_nm), seq: p.seq})),
    };
}

// An end mean is finer than the gauge; it is shown to the gauge's last place.
function meanText(bench, nm) {
    const step = resolutionOf(bench);
    return lengths(bench).one(Math.round(nm / step) * step);
}

function picture(bench, watch) {
    const band = bandOf(bench.row);
    const {at, points} = placesOf(watch, band);
    const y = (part) => EDGE + part * (HEIGHT - 2 * EDGE);
    const x = (part) => LEFT + 4 + part * (WIDTH - LEFT - RIGHT - 12);
    const right = WIDTH - RIGHT;
    const marked = new Set((watch.warned?.signals ?? []).flatMap((s) => s.seqs));
    const length = lengths(bench);
    const limits = length.band(band.lower_nm, band.upper_nm);
    const last = points.at(-1);
    const level = (nm, kind) => (nm === undefined || at(nm) < 0 || at(nm) > 1 ? null : svg("path", {class: `drift-${kind}`, d: `M${LEFT} ${y(at(nm))}H${right}`}));
    return svg(
        "svg",
        {
            class: "drift-chart",
            role: "img",
            viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
            "aria-label": say("page.bench.drift_name", {count: points.length, value: meanText(bench, watch.points.at(-1).mean_nm), band: limits.text}),
        },
        svg("rect", {class: "drift-out", x: LEFT, y: 0, width: right - LEFT, height: HEIGHT}),
        svg("rect", {class: "drift-in", x: LEFT, y: y(at(band.upper_nm)), width: right - LEFT, height: y(at(band.lower_nm)) - y(at(band.upper_nm))}),
        svg("path", {class: "drift-band", d: `M${LEFT} ${y(at(band.upper_nm))}H${right}M${LEFT} ${y(at(band.lower_nm))}H${right}`}),
        level(watch.centre_nm, "centre"),
        level(watch.lower_nm, "limit"),
        level(watch.upper_nm, "limit"),
        svg("path", {class: "drift-line", d: points.map((p, i) => `${i > 0 ? "L" : "M"}${x(p.x)} ${y(p.y)}`).join("")}),
        points.map((p) => (marked.has(p.seq) ? svg("path", {class: "drift-mark", d: `M${x(p.x)} ${y(p.y) - 6}l5.5 9.5h-11Z`}) : svg("circle", {class: "drift-point", cx: x(p.x), cy: y(p.y), r: 1.8}))),
        marked.has(last.seq) ? null : svg("circle", {class: "drift-last", cx: x(last.x), cy: y(last.y), r: 4.2}),
        svg("text", {class: "drift-text", x: right + 6, y: y(at(band.upper_nm)) + 5}, limits.upper),
        svg("text", {class: "drift-text", x: right + 6, y: y(at(band.lower_nm)) + 5}, limits.lower),
    );
}

export function driftPanel(bench) {
    const {watch, row} = bench;
    if (!watch?.points || watch.points.length < 2 || !row) return null;
    const warned = Boolean(watch.warned);
    return el(
        "section",
        {class: warned ? "drift warned" : "drift", aria: {label: say("page.bench.drift_ends", {count: watch.points.length})}, data: {test: "drift", warned: warned ? "yes" : "no"}},
        el("p", {class: "drift-head"}, el("span", {}, say("page.bench.drift_ends", {count: watch.points.length})), warned ? el("b", {data: {test: "drift-word"}}, say(bench.step.ask === "setup" ? "page.bench.drift_warned" : "page.bench.drift_next")) : el("span", {class: "drift-value number"}, meanText(bench, watch.points.at(-1).mean_nm))),
        picture(bench, watch),
    );
}

// Until its first reading; then it is a set-up piece like every other, and so is the next one if it sits badly.
export function driftSentence(bench) {
    const {watch, row, step} = bench;
    if (step.ask !== "setup" || !watch?.warned || (bench.setup ?? []).length > 0 || adviceOf(bench)) return null;
    const resolution = resolutionOf(bench);
    const by = Math.round(watch.warned.correction_nm / resolution) * resolution;
    const length = lengths(bench);
    const off = length.one(Math.abs(by));
    const middle = length.one(row.crimp.nominal_nm + Math.round((row.crimp.plus_nm - row.crimp.minus_nm) / 2));
    return {
        sentence: by < 0 ? say("page.bench.drift_close", {off}) : by > 0 ? say("page.bench.drift_open", {off}) : say("page.bench.drift_uneven"),
        hint: say("page.bench.drift_do", {level: meanText(bench, watch.warned.level_nm), middle}),
    };
}
