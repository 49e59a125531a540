// Where things lie on a chart: positions only; whatever is written beside them is the audit's own text. Pure.
//
//   rangeOf(chart)      {low, high, bandShown} of the vertical axis
//   windowOf(chart, from, count)   the chart with `count` of its points from index `from` on; `first` is that index
//   decimalsOf(texts)   the most decimals among figures
//   normalScore(p)      standard normal quantile, for the positions on a probability plot

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

// P. J. Acklam's rational approximation (2003), relative error below 1.2e-9; coefficients from memory, held against a
// table in the tests. For positions on the paper only.
const A = [-3.969683028665376e1, 2.209460984245205e2, -2.759285104469687e2, 1.38357751867269e2, -3.066479806614716e1, 2.506628277459239];
const B = [-5.447609879822406e1, 1.615858368580409e2, -1.556989798598866e2, 6.680131188771972e1, -1.328068155288572e1];
const C = [-7.784894002430293e-3, -3.223964580411365e-1, -2.400758277161838, -2.549732539343734, 4.374664141464968, 2.938163982698783];
const D = [7.784695709041462e-3, 3.224671290700398e-1, 2.445134137142996, 3.754408661907416];
const poly = (c, x) => c.reduce((sum, k) => sum * x + k, 0);

export function normalScore(p) {
    if (p < 0.02425) {
        const q = Math.sqrt(-2 * Math.log(p));
        return poly(C, q) / (poly(D, q) * q + 1);
    }
    if (p > 1 - 0.02425) return -normalScore(1 - p);
    const q = p - 0.5;
    const r = q * q;
    return (poly(A, r) * q) / (poly(B, r) * r + 1);
}
