// A chart of an audit on a canvas, by Chart.js: points from it, and band, limits, restarts and letters drawn by us
// behind and over them. Nothing moves. Signals are told by shape and letter, not by colour.
//
//   const drawn = drawChart(Chart, canvas, chart, {open(point)})     drawn.destroy()

import {say} from "../kit/words.js";
import {figure, valueWord} from "./cells.js";
import {letterOf} from "./rules.js";
import {decimalsOf, lineThrough, rangeOf, valueOf} from "./scaling.js";

const INK = "#1b2226";
const MUTED = "#4a555c";
const LINE = "#9aa5ab";
const OUTSIDE = "#dfe3e5";
const POINT = "#005387";
const SIGNAL = "#a4161a";
const RANKS_DRAWN = 1000;
const FONT = '12px "DejaVu Sans", "Liberation Sans", "Segoe UI", Roboto, sans-serif';

const ticks = (decimals) => ({color: MUTED, font: {family: FONT.slice(5), size: 12}, callback: (value) => figure(Number(value).toFixed(decimals))});

function line(ctx, x0, y0, x1, y1, color, width, dash = []) {
    ctx.strokeStyle = color;
    ctx.lineWidth = width;
    ctx.setLineDash(dash);
    ctx.beginPath();
    ctx.moveTo(x0, y0);
    ctx.lineTo(x1, y1);
    ctx.stroke();
    ctx.setLineDash([]);
}

// Band and limits behind the points, with their figures at the right.
const behind = (chart, range) => ({
    id: "behind",
    beforeDatasetsDraw({ctx, chartArea: a, scales: {x, y}}) {
        ctx.save();
        ctx.font = FONT;
        const at = (text) => y.getPixelForValue(Number(text));
        if (range.bandShown) {
            ctx.fillStyle = OUTSIDE;
            ctx.fillRect(a.left, a.top, a.width, Math.max(0, at(chart.band_upper) - a.top));
            ctx.fillRect(a.left, at(chart.band_lower), a.width, Math.max(0, a.bottom - at(chart.band_lower)));
            for (const text of [chart.band_lower, chart.band_upper]) line(ctx, a.left, at(text), a.right, at(text), INK, 2);
        }
        for (const index of chart.restarts ?? []) {
            if (index <= 0 || index >= chart.points.length) continue;
            const px = (x.getPixelForValue(index - 1) + x.getPixelForValue(index)) / 2;
            line(ctx, px, a.top, px, a.bottom, MUTED, 1, [2, 3]);
        }
        ctx.textBaseline = "middle";
        ctx.textAlign = "left";
        const named = [];
        for (const [text, word, dash] of [
            [chart.upper, say("page.audit.limit_upper_short"), [6, 4]],
            [chart.centre, say("page.audit.centre_short"), []],
            [chart.lower, say("page.audit.limit_lower_short"), [6, 4]],
        ]) {
            if (!text) continue;
            line(ctx, a.left, at(text), a.right, at(text), dash.length > 0 ? INK : LINE, 1.5, dash);
            named.push([at(text), `${word} ${figure(text)}`, INK]);
        }
        if (range.bandShown)
            for (const text of [chart.band_lower, chart.band_upper]) named.push([at(text), `${say("page.audit.band_short")} ${figure(text)}`, INK]);
        // Where two would stand on each other, the later one gives way; the text beneath has all of them.
        const taken = [];
        for (const [py, words, color] of named) {
            if (taken.some((t) => Math.abs(t - py) < 13)) continue;
            taken.push(py);
            ctx.fillStyle = color;
            ctx.fillText(words, a.right + 6, py);
        }
        ctx.restore();
    },
});

// Letters over the points that rules fire at; of a crowd every one that has room.
const letters = (chart) => ({
    id: "letters",
    afterDatasetsDraw({ctx, scales: {x, y}}) {
        ctx.save();
        ctx.font = `bold ${FONT}`;
        ctx.fillStyle = SIGNAL;
        ctx.textAlign = "center";
        ctx.textBaseline = "bottom";
        let free = -Infinity;
        for (const [i, point] of chart.points.entries()) {
            if (!(point.signals?.length > 0)) continue;
            const px = x.getPixelForValue(i);
            const words = point.signals.map(letterOf).sort().join("");
            const half = ctx.measureText(words).width / 2;
            if (px - half < free) continue;
            free = px + half + 3;
            ctx.fillText(words, px, y.getPixelForValue(valueOf(point)) - 7);
        }
        ctx.restore();
    },
});

const plain = {animation: false, responsive: true, maintainAspectRatio: false, normalized: true, events: ["mousemove", "mouseout", "click"]};
const tip = {animation: false, displayColors: false, backgroundColor: INK, titleFont: {size: 13}, bodyFont: {size: 13}, padding: 8, cornerRadius: 2};

export const pointName = (point) => (point.end ? `${point.serial} ${point.end.toUpperCase()}` : point.serial);

function control(Chart, canvas, chart, {open}) {
    const range = rangeOf(chart);
    const decimals = decimalsOf(chart.points.slice(0, 200).map((p) => p.value));
    const many = chart.points.length > 300;
    const fired = (p) => p.signals?.length > 0;
    const each = (pick) => chart.points.map(pick);
    const restarts = new Set(chart.restarts ?? []);
    // A left-out point stands apart: the limits know no moving range that it has a part in.
    const parted = (s) => restarts.has(s.p1DataIndex) || chart.points[s.p0DataIndex].left_out || chart.points[s.p1DataIndex].left_out;
    return new Chart(canvas, {
        type: "line",
        data: {
            labels: chart.points.map((_, i) => (chart.first ?? 0) + i + 1),
            datasets: [
                {
                    data: chart.points.map(valueOf),
                    borderColor: POINT,
                    borderWidth: 1.2,
                    segment: {borderColor: (s) => (parted(s) ? "transparent" : undefined)},
                    pointStyle: each((p) => (p.left_out ? "crossRot" : fired(p) ? "triangle" : "circle")),
                    pointRadius: each((p) => (p.left_out || fired(p) ? 6 : many ? 1.5 : 3)),
                    pointHoverRadius: each((p) => (fired(p) ? 8 : 5)),
                    pointBackgroundColor: each((p) => (fired(p) ? SIGNAL : POINT)),
                    pointBorderColor: each((p) => (p.left_out ? INK : fired(p) ? SIGNAL : POINT)),
                },
            ],
        },
        options: {
            ...plain,
            layout: {padding: {right: 104, top: 14}},
            interaction: {mode: "nearest", intersect: false, axis: "xy"},
            onClick: (event, hits) => hits.length > 0 && open(chart.points[hits[0].index]),
            onHover: (event, hits) => (canvas.style.cursor = hits.length > 0 ? "pointer" : "default"),
            scales: {
                x: {grid: {display: false}, ticks: {color: MUTED, maxRotation: 0, autoSkipPadding: 24}},
                y: {min: range.low, max: range.high, grid: {color: "#eceeef"}, ticks: {...ticks(decimals), maxTicksLimit: 6, includeBounds: false}},
            },
            plugins: {
                legend: {display: false},
                tooltip: {
                    ...tip,
                    callbacks: {
                        title: ([hit]) => pointName(chart.points[hit.dataIndex]),
                        label: (hit) => {
                            const p = chart.points[hit.dataIndex];
                            return [`${figure(p.value)} ${chart.unit ?? ""}`, ...(p.signals ?? []).map((rule) => `${letterOf(rule)}: ${valueWord(rule)}`), p.left_out ? say("page.audit.left_out") : ""].filter(Boolean);
                        },
                    },
                },
            },
        },
        plugins: [behind(chart, range), letters(chart)],
    });
}

// Counts as bars, the commonest first; the line is what they make up together.
function pareto(Chart, canvas, chart) {
    const counts = chart.points.map(valueOf);
    const all = counts.reduce((a, b) => a + b, 0) || 1;
    let sum = 0;
    const together = counts.map((n) => ((sum += n) / all) * 100);
    return new Chart(canvas, {
        data: {
            labels: chart.points.map((p) => valueWord(p.serial)),
            datasets: [
                {type: "line", data: together, yAxisID: "share", borderColor: INK, borderWidth: 1.5, pointRadius: 3, pointBackgroundColor: INK},
                {type: "bar", data: counts, yAxisID: "y", backgroundColor: "#8fa3ae", borderColor: MUTED, borderWidth: 1, maxBarThickness: 70},
            ],
        },
        options: {
            ...plain,
            scales: {
                x: {grid: {display: false}, ticks: {color: INK, maxRotation: 35, autoSkip: false}},
                y: {beginAtZero: true, ticks: {color: MUTED, precision: 0}, grid: {color: "#eceeef"}, title: {display: true, text: say("page.audit.count_axis"), color: MUTED}},
                share: {position: "right", min: 0, max: 100, grid: {display: false}, ticks: {color: MUTED, callback: (v) => `${v} %`}},
            },
            plugins: {legend: {display: false}, tooltip: {enabled: false}},
        },
    });
}

// Values against the scores that a normal distribution would give them, as the station reckoned both: a straight line if
// it is one. The line drawn is that of the quarter points, as the eye would lay it.
function probability(Chart, canvas, chart) {
    const all = chart.points.map((p) => ({x: valueOf(p), y: Number(p.serial)}));
    // Of many a part, evenly by rank: the eye sees the same line.
    const step = Math.max(1, Math.ceil(all.length / RANKS_DRAWN));
    const data = all.filter((_, i) => i % step === 0 || i === all.length - 1);
    const ideal = lineThrough(all);
    const decimals = decimalsOf(chart.points.slice(0, 200).map((p) => p.value));
    return new Chart(canvas, {
        type: "scatter",
        data: {
            datasets: [
                {data, pointRadius: 2.5, pointBackgroundColor: POINT, pointBorderColor: POINT},
                {type: "line", data: ideal, borderColor: INK, borderWidth: 1.2, pointRadius: 0},
            ],
        },
        options: {
            ...plain,
            scales: {
                x: {type: "linear", grid: {color: "#eceeef"}, ticks: {...ticks(decimals), maxTicksLimit: 6, maxRotation: 0}},
                y: {grid: {color: "#eceeef"}, ticks: {color: MUTED, callback: (v) => figure(String(v))}, title: {display: true, text: say("page.audit.score_axis"), color: MUTED}},
            },
            plugins: {legend: {display: false}, tooltip: {enabled: false}},
        },
    });
}

export function drawChart(Chart, canvas, chart, options) {
    if (chart.kind === "pareto") return pareto(Chart, canvas, chart);
    if (chart.kind === "probability") return probability(Chart, canvas, chart);
    return control(Chart, canvas, chart, options);
}
