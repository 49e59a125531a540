// Lengths on the screen. They arrive as whole nanometres and are shown by whole-number arithmetic only (R4): what
// stands on the screen is the value, never a rounding of it that could cross a limit.
//
// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

import {language} from "./words.js";

const PER_UNIT = {mm: 1000000n, in: 25400000n};
const MOST_DECIMALS = 6; // a nanometre in mm; enough for every inch gauge

// The limits' shown_unit is "inch", a reading's unit "in".
export const unitOf = (name) => (name === "inch" || name === "in" ? "in" : "mm");

// Decimals that a gauge of that resolution shows: 10000 nm in mm: 2; 12700 nm (0.0005 in) in inches: 4.
export function decimalsOf(resolution_nm, unit) {
    const per = PER_UNIT[unitOf(unit)];
    let step = BigInt(resolution_nm || 0);
    if (step <= 0n) return unitOf(unit) === "in" ? 4 : 2;
    let decimals = 0;
    let scale = 1n;
    while (decimals < MOST_DECIMALS && (step * scale) % per !== 0n) {
        decimals += 1;
        scale *= 10n;
    }
    return decimals;
}

// nm * 10^decimals / unit: {whole, rest}, rest 0 when it is exact.
function scaled(nm, unit, decimals) {
    const top = BigInt(nm) * 10n ** BigInt(decimals);
    const per = PER_UNIT[unit];
    let whole = top / per;
    if (top < 0n && whole * per !== top) whole -= 1n; // towards minus infinity
    return {whole, exact: whole * per === top, rest: top - whole * per, per};
}

function text(whole, decimals, separator, plus) {
    const minus = whole < 0n;
    const digits = (minus ? -whole : whole).toString().padStart(decimals + 1, "0");
    const cut = digits.length - decimals;
    const sign = minus ? "\u2212" : plus && whole !== 0n ? "+" : "";
    return sign + digits.slice(0, cut) + (decimals > 0 ? separator + digits.slice(cut) : "");
}

// The number alone, e.g. "25.48" or "25,48".
//   resolution_nm   of the gauge: at least its decimals; more where the value needs them to be exact
//   options         {plus: true} writes a + before what is above zero; {round: "down" | "up"} where six decimals do
//                   not hold the value exactly (inches of a metric limit); without it half goes to even
export function shown(nm, unit, resolution_nm, options = {}) {
    const u = unitOf(unit);
    const separator = (options.language ?? language()) === "de" ? "," : ".";
    const least = decimalsOf(resolution_nm, u);
    // As many decimals as it takes, and for a length that inches never hold exactly, two more than the gauge shows.
    const most = u === "mm" ? MOST_DECIMALS : Math.min(MOST_DECIMALS, least + 2);
    for (let decimals = least; decimals <= MOST_DECIMALS; decimals += 1) {
        const s = scaled(nm, u, decimals);
        if (s.exact) return text(s.whole, decimals, separator, options.plus);
    }
    const s = scaled(nm, u, most);
    let whole = s.whole;
    if (options.round === "up") whole += 1n;
    else if (options.round !== "down") {
        const twice = s.rest * 2n;
        if (twice > s.per || (twice === s.per && whole % 2n !== 0n)) whole += 1n;
    }
    return text(whole, most, separator, options.plus);
}

// With its unit, e.g. "25.48 mm" (a no-break space between).
export function shownWithUnit(nm, unit, resolution_nm, options) {
    return `${shown(nm, unit, resolution_nm, options)}\u00a0${unitOf(unit)}`;
}

// A band, inwards where a limit cannot be shown exactly, so that whatever reads as inside is inside.
// {lower, upper, unit, text}: text is "25.40 … 25.60 mm" with the same decimals on both sides.
export function band(lower_nm, upper_nm, unit, resolution_nm) {
    const u = unitOf(unit);
    let lower = shown(lower_nm, u, resolution_nm, {round: "up"});
    let upper = shown(upper_nm, u, resolution_nm, {round: "down"});
    const separator = language() === "de" ? "," : ".";
    const decimals = (t) => (t.includes(separator) ? t.length - t.indexOf(separator) - 1 : 0);
    const most = Math.max(decimals(lower), decimals(upper));
    const padded = (t) => {
        const missing = most - decimals(t);
        if (missing === 0) return t;
        return t + (t.includes(separator) ? "" : separator) + "0".repeat(missing);
    };
    lower = padded(lower);
    upper = padded(upper);
    return {lower, upper, unit: u, text: `${lower} \u2026 ${upper}\u00a0${u}`};
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
