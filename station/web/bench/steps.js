// What an end asks for, in the order of the work, and what is expected of each step: read from the spec row and from
// GET /api/bench, decided nowhere here. Pure: no elements, so that tests can hold it to the rows.
//
//   stepsOf(row)            [{what, flat}] of one end; the spread is computed and never asked for
//   recordOf(end, step)     the reading or confirmation that counts for that step, or undefined
//   target(bench)           {what, flat, nominal_nm, lower_nm, upper_nm, guard_nm, oneSided} of the step, or null
//   shownUnit(bench), resolutionOf(bench, gauge)     how lengths are written at this bench
//   gaugeById(bench, id)

export const isMark = (what) => what === "mark_before" || what === "mark_after";

export function stepsOf(row) {
    const steps = [];
    if (row.skive !== "none") steps.push({what: "skive_outer"});
    if (row.skive === "inner_and_outer") steps.push({what: "skive_inner"});
    steps.push({what: "depth"});
    if (row.lubricant) steps.push({what: "lubricant"});
    steps.push({what: "mark_before"});
    for (const flat of row.flats) steps.push({what: "crimp_diameter", flat});
    steps.push({what: "mark_after"});
    if (row.bore_pin_nm) steps.push({what: "bore_pin"});
    return steps;
}

export const sameStep = (a, b) => Boolean(a && b) && a.what === b.what && (a.flat ?? 0) === (b.flat ?? 0);

export function recordOf(end, step) {
    return (end?.readings ?? []).filter((r) => sameStep(r, step)).at(-1);
}

function nominal(row, what) {
    if (what === "crimp_diameter") return row.crimp.nominal_nm;
    if (what === "depth") return row.depth.nominal_nm;
    if (what === "skive_outer") return row.skive_outer?.nominal_nm;
    if (what === "skive_inner") return row.skive_inner?.nominal_nm;
    return undefined;
}

export function target(bench) {
    const {step, row} = bench;
    if (step.ask === "proof_reading")
        return {
            what: "proof",
            nominal_nm: step.size_nm,
            lower_nm: step.size_nm - step.limit_nm,
            upper_nm: step.size_nm + step.limit_nm,
            guard_nm: 0,
            oneSided: false,
        };
    if (!["setup", "measure", "again"].includes(step.ask) || step.upper_nm === undefined || !row) return null;
    return {
        what: step.what,
        flat: step.flat,
        nominal_nm: nominal(row, step.what),
        lower_nm: step.lower_nm,
        upper_nm: step.upper_nm,
        guard_nm: step.ask === "setup" ? 0 : (step.guard_nm ?? 0),
        oneSided: isMark(step.what) || step.what === "spread",
    };
}

export const shownUnit = (bench) => bench.limits?.shown_unit ?? "mm";

export const gaugeById = (bench, id) => (bench.gauges ?? []).find((g) => g.gauge === id);

// Lengths are written with the places of the gauge that took them, else of one that is ready.
export function resolutionOf(bench, id) {
    const gauges = bench.gauges ?? [];
    const gauge = gaugeById(bench, id) ?? gauges.find((g) => g.ready) ?? gauges[0];
    return gauge?.resolution_nm || 10000;
}

// The number that this assembly has, or will have, among those of its order.
export function numberOf(bench) {
    if (bench.assembly) return bench.assembly.number;
    if (bench.stopped) return bench.stopped.number;
    if (bench.order && bench.step.begins) return bench.order.passed + bench.order.open + bench.order.scrapped + 1;
    return null;
}

// The end in work and what is known of it.
export function endInWork(bench) {
    const end = bench.step.end;
    return end ? {end, known: bench.assembly?.[end]} : {end: null, known: undefined};
}

// The last reading still counts for what is shown: not voided, not of an assembly that went on without it.
export function stillCounts(bench, last) {
    if (!last || last.kind !== "taken" || last.purpose !== "assembly") return true;
    const a = [bench.assembly, bench.stopped].find((x) => x?.serial === last.serial);
    if (!a) return true;
    return [...a.a.readings, ...a.b.readings].some((r) => r.seq === last.seq);
}

// How the crimp diameter should change, to the gauge's last place: {off_nm, over} of the mean from the middle; 0 when
// the mean sits in the middle and something else is off.
export function setupAdvice(judged, resolution_nm) {
    const step = resolution_nm || 10000;
    const off = Math.round(-judged.correction_nm / step) * step;
    return {off_nm: Math.abs(off), over: off > 0, under: off < 0};
}
