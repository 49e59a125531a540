// The run rules of control charts, in the order in which their letters stand on the charts. Codes are those of the
// station (reports/statistics/run_rules.h); words are in the catalogue.

// Of each rule: how many ends it takes on average until it signals at a process that holds still, for normal values
// with known centre and sigma. What reports/statistics/run_length.h gives for the rule alone; the steady move and the
// alternation from the simulation that tests/statistics/run_length_test.cpp repeats.
const runLength = {
    beyond_three_sigma: 370,
    nine_on_one_side: 511,
    six_steadily_moving: 422,
    fourteen_alternating: 601,
    two_of_three_beyond_two_sigma: 511,
    four_of_five_beyond_one_sigma: 291,
    fifteen_within_one_sigma: 963,
    eight_beyond_one_sigma: 14251,
    eight_on_one_side: 255,
};
export const endsToFalseAlarm = (rule) => runLength[rule] ?? null;

const order = [
    "beyond_three_sigma",
    "nine_on_one_side",
    "six_steadily_moving",
    "fourteen_alternating",
    "two_of_three_beyond_two_sigma",
    "four_of_five_beyond_one_sigma",
    "fifteen_within_one_sigma",
    "eight_beyond_one_sigma",
    "eight_on_one_side",
];

export const allRules = () => [...order];

// A for the first; a rule that is not among them is told by its name alone.
export function letterOf(rule) {
    const at = order.indexOf(rule);
    return at < 0 ? "?" : String.fromCodePoint(65 + at);
}

// [{rule, letter, points: [point]}] of the points that rules fire at, in the order of the letters. Pure.
export function signalsOf(points) {
    const found = new Map();
    for (const point of points)
        for (const rule of point.signals ?? []) {
            if (!found.has(rule)) found.set(rule, []);
            found.get(rule).push(point);
        }
    return [...found].map(([rule, of]) => ({rule, letter: letterOf(rule), points: of})).sort((a, b) => order.indexOf(a.rule) - order.indexOf(b.rule));
}
