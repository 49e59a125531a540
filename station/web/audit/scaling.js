// Where things lie on a chart: positions only; whatever is written beside them is the audit's own text. Pure.
//
//   rangeOf(chart)      {low, high, bandShown} of the vertical axis
//   windowOf(chart, from, count)   the chart with `count` of its points from index `from` on; `first` is that index
//   decimalsOf(texts)   the most decimals among figures
//   lineThrough(points)            the straight line that a probability plot is held against

const number = (text) => (text === "" || text === undefined || text === null ? null : Number(text));

export const valueOf = (point) => Number(point.value);

export function decimalsOf(texts) {
    return Math.max(0, ...texts.map((t) => (String(t).split(".")[1] ?? "").length));
}

// Points and limits fill the height; the band is in it too unless it is so wide that nothing else could be told apart.
const WIDEST = 5;

export function rangeOf(chart) {
    const values = chart.points.map(valueOf);
    for (const text of [chart.centre, chart.lower, chart.upper]) if (number(text) !== null) values.push(number(text));
    let low = values.reduce((a, b) => Math.min(a, b), Infinity);
    let high = values.reduce((a, b) => Math.max(a, b), -Infinity);
    if (!(high >= low)) [low, high] = [0, 1];
    const [bandLow, bandHigh] = [number(chart.band_lower), number(chart.band_upper)];
    let bandShown = false;
    if (bandLow !== null && bandHigh !== null) {
        bandShown = high > low && bandHigh - bandLow <= WIDEST * (high - low);
        if (low < bandLow || high > bandHigh) bandShown = true; // beyond it is what matters
        if (bandShown) [low, high] = [Math.min(low, bandLow), Math.max(high, bandHigh)];
    }
    const room = high > low ? (high - low) * 0.08 : Math.abs(high) * 0.001 || 1;
    return {low: low - room, high: high + room, bandShown};
}

export function windowOf(chart, from, count) {
    const first = Math.max(0, Math.min(from, chart.points.length - count));
    const points = chart.points.slice(first, first + count);
    return {...chart, points, first, restarts: (chart.restarts ?? []).map((i) => i - first).filter((i) => i > 0 && i < points.length)};
}

// Two ends of the straight line through the quarter points of {x, y} sorted by x; none where those are alike.
export function lineThrough(points) {
    const [a, b] = [0.25, 0.75].map((part) => points[Math.round(part * (points.length - 1))]);
    if (!a || !b || a.x === b.x) return [];
    const at = (y) => a.x + ((y - a.y) * (b.x - a.x)) / (b.y - a.y);
    return [points[0].y, points.at(-1).y].map((y) => ({x: at(y), y}));
}
