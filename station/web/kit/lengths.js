// Lengths on the screen. They arrive as whole nanometres and are shown by whole-number arithmetic only (R4).
//
// Millimetres always hold a length whole. Inches hold few of the lengths that a millimetre gauge or table gives, so
// there what is shown may be rounded. Why that judges nothing: the verdict came from the exact length before anything
// was written out, and rounding keeps the order: a value that lies inside its limit is never shown outside of it, as
// long as both are rounded in the same way to the same number of places. All that can go wrong is that a value outside
// looks the same as its limit; so a band, and whatever is shown beside one, takes as many places more as it needs to
// be told apart. The station says its findings by the same rules (specs/shown_length.h; both tests read the cases in
// tests/data/shown_lengths.csv).
//
// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

import {language} from "./words.js";

const PER_UNIT = {mm: 1000000n, in: 25400000n};
const MOST_DECIMALS = 6; // a nanometre in mm; enough for every inch gauge
const MOST_APART = 8; // 10^-8 in is a quarter of a nanometre: there no two lengths look alike

// The limits' shown_unit is "inch", a reading's unit "in".
export const unitOf = (name) => (name === "inch" || name === "in" ? "in" : "mm");

// Decimals that a gauge of that resolution shows: as many as hold it exactly (10000 nm in mm: 2; 12700 nm, 0.0005 in,
// in inches: 4), or where none do, as many as just resolve it (0.01 mm is 0.000394 in: 4).
export function decimalsOf(resolution_nm, unit) {
    const per = PER_UNIT[unitOf(unit)];
    const step = BigInt(resolution_nm || 0);
    if (step <= 0n) return unitOf(unit) === "in" ? 4 : 2;
    const first = (fits) => {
        for (let decimals = 0; decimals < MOST_DECIMALS; decimals += 1) if (fits(step * 10n ** BigInt(decimals))) return decimals;
        return MOST_DECIMALS;
    };
    const whole = first((steps) => steps % per === 0n);
    return (step * 10n ** BigInt(whole)) % per === 0n ? whole : first((steps) => steps >= per);
}

// nm * 10^decimals / unit as a whole number, the nearest, half to even; and whether it is exact.
function scaled(nm, unit, decimals) {
    const top = BigInt(nm) * 10n ** BigInt(decimals);
    const per = PER_UNIT[unit];
    let whole = top / per;
    if (top < 0n && whole * per !== top) whole -= 1n; // towards minus infinity
    const twice = (top - whole * per) * 2n;
    if (twice > per || (twice === per && whole % 2n !== 0n)) whole += 1n;
    return {whole, exact: whole * per === top};
}

function text(whole, decimals, separator, plus) {
    const minus = whole < 0n;
    const digits = (minus ? -whole : whole).toString().padStart(decimals + 1, "0");
    const cut = digits.length - decimals;
    const sign = minus ? "\u2212" : plus && whole !== 0n ? "+" : "";
    return sign + digits.slice(0, cut) + (decimals > 0 ? separator + digits.slice(cut) : "");
}

// Decimals with which `nm` is shown, `least` or more: as many as hold it exactly; where none up to six do, `least`.
function decimalsFor(nm, u, least) {
    for (let decimals = least; decimals <= MOST_DECIMALS; decimals += 1) if (scaled(nm, u, decimals).exact) return decimals;
    return least;
}

// Decimals, `least` or more, with which two lengths that are not the same do not look the same.
export function decimalsApart(a_nm, b_nm, unit, least) {
    const u = unitOf(unit);
    if (a_nm === b_nm) return least;
    let decimals = least;
    while (decimals < MOST_APART && scaled(a_nm, u, decimals).whole === scaled(b_nm, u, decimals).whole) decimals += 1;
    return decimals;
}

// The number alone, e.g. "25.48" or "25,48".
//   resolution_nm   of the gauge: at least its decimals; more where the value needs them to be exact. 0, where the length
//                   is of no gauge: what inches do not hold exactly has six
//   options         {plus: true} writes a + before what is above zero; {decimals} that many at least
export function shown(nm, unit, resolution_nm, options = {}) {
    const u = unitOf(unit);
    const separator = (options.language ?? language()) === "de" ? "," : ".";
    const least = Math.max(decimalsOf(resolution_nm, u), options.decimals ?? 0);
    let decimals = decimalsFor(nm, u, least);
    if (!resolution_nm && !scaled(nm, u, decimals).exact) decimals = Math.max(decimals, MOST_DECIMALS);
    return text(scaled(nm, u, decimals).whole, decimals, separator, options.plus);
}

// With its unit, e.g. "25.48 mm" (a no-break space between).
export function shownWithUnit(nm, unit, resolution_nm, options) {
    return `${shown(nm, unit, resolution_nm, options)}\u00a0${unitOf(unit)}`;
}

// A guard, which is finer than what the gauge shows: in inches with one decimal more.
export function shownGuard(nm, unit, resolution_nm, decimals = 0) {
    const least = Math.max(decimals, decimalsOf(resolution_nm, unit));
    return shownWithUnit(nm, unit, resolution_nm, unitOf(unit) === "in" ? {decimals: least + 1} : {});
}

// {decimals} to show a value with that does not conform, its limit and the distance between them, so that the sentence
// makes sense: the value does not look like its limit, nor the distance like nothing, nor as large as the guard that it
// is too small for. Only inches need that; millimetres are shown whole.
export function besides({value_nm, limit_nm, guard_nm}, unit, resolution_nm) {
    if (unitOf(unit) === "mm") return {decimals: 0};
    const distance = Math.abs(value_nm - limit_nm);
    let decimals = decimalsApart(value_nm, limit_nm, unit, decimalsOf(resolution_nm, unit));
    decimals = decimalsApart(distance, 0, unit, decimals);
    const looksSmaller = () => scaled(distance, "in", decimals).whole * 10n < scaled(guard_nm, "in", decimals + 1).whole;
    if (guard_nm > distance) while (decimals < MOST_APART && !looksSmaller()) decimals += 1;
    return {decimals};
}

// A band: {lower, upper, unit, beside, text}: text is "25.40 … 25.60 mm" with the same decimals on both sides, and as
// many as it takes so that the first reading of that gauge beyond a limit does not look like the limit.
//   options         {value_nm}: that is told apart from the limits too; shown() wants the answer's `beside` as options
export function band(lower_nm, upper_nm, unit, resolution_nm, options = {}) {
    const u = unitOf(unit);
    const step = Math.max(0, Math.trunc(resolution_nm || 0));
    const least = decimalsOf(resolution_nm, u);
    let decimals = Math.max(decimalsFor(lower_nm, u, least), decimalsFor(upper_nm, u, least));
    const tell = (limit, other) => (decimals = decimalsApart(limit, other, u, decimals));
    if (step > 0) {
        tell(lower_nm, (Math.ceil(lower_nm / step) - 1) * step);
        tell(upper_nm, (Math.floor(upper_nm / step) + 1) * step);
    }
    for (const limit of [lower_nm, upper_nm]) if (options.value_nm !== undefined) tell(limit, options.value_nm);
    const separator = language() === "de" ? "," : ".";
    const [lower, upper] = [lower_nm, upper_nm].map((nm) => text(scaled(nm, u, decimals).whole, decimals, separator));
    return {lower, upper, unit: u, beside: {decimals: u === "mm" ? 0 : decimals}, text: `${lower} \u2026 ${upper}\u00a0${u}`};
}

// What a person typed, in that unit, as whole nanometres; null when it is no length. Comma and point both count as
// the decimal sign, and nothing else may stand in it.
export function parseLength(typed, unit) {
    const match = /^\s*([-\u2212+]?)(\d{1,6})(?:[.,](\d{1,6}))?\s*$/.exec(typed);
    if (!match) return null;
    const decimals = match[3] ?? "";
    const digits = BigInt(match[2] + decimals);
    const per = PER_UNIT[unitOf(unit)];
    const scale = 10n ** BigInt(decimals.length);
    if ((digits * per) % scale !== 0n) return null; // finer than a nanometre
    const nm = (digits * per) / scale;
    return Number(match[1] === "-" || match[1] === "\u2212" ? -nm : nm);
}
