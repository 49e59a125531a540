// What is scanned before an order is worked, one field after the other, and what a scan means. Pure: the bench's picture
// and a text in, a decision out.
//
//   fieldsOf(bench, scanned) -> [{name, state: "done" | "wanted" | "later" | "unknown", value, needed: [text]}]
//   judge(field, fields, text) -> {ok} | {wrong: "other_field", field} | {wrong: "mismatch"}
//
// Names: hose, fitting_a, fitting_b, die, setting. scanned: {name: text} of what was scanned and is not yet with the
// station, which takes the three lots in one go, and the die set together with the crimper's setting.

export const lotNames = ["hose", "fitting_a", "fitting_b"];

// What the station asks once die set and setting are with it.
const behindTheDie = ["setup", "measure", "again", "confirm"];

export function fieldsOf(bench, scanned) {
    const order = bench.order;
    if (!order) return [];
    const ask = bench.step?.ask;
    const row = bench.row;
    const lotsIn = Boolean(order.hose_lot);
    const fields = lotNames.map((name) => ({
        name,
        needed: order.lots?.[name] ?? [],
        value: lotsIn ? order[`${name}_lot`] : (scanned[name] ?? null),
        state: lotsIn || scanned[name] ? "done" : "later",
    }));
    const dieIn = lotsIn && behindTheDie.includes(ask);
    const dieAsked = lotsIn && ask === "die";
    const dieUnknown = lotsIn && !dieIn && !dieAsked; // the bench asks for something else first
    const needed = row ? [row.die_set] : [];
    const dieScanned = dieAsked && scanned.die === row?.die_set;
    const later = dieUnknown ? "unknown" : "later";
    fields.push({name: "die", needed, value: dieIn || dieScanned ? row.die_set : null, state: dieIn || dieScanned ? "done" : later});
    fields.push({
        name: "setting",
        needed: row ? [row.setting] : [],
        crimper: row?.crimper,
        value: null,
        state: dieIn ? "done" : later,
    });
    const next = fields.find((f) => f.state === "later");
    if (next) next.state = "wanted";
    return fields;
}

export const wantedOf = (fields) => fields.find((f) => f.state === "wanted") ?? null;

export function judge(field, fields, text) {
    if (field.needed.includes(text)) return {ok: true};
    if (field.name === "setting" && field.crimper === text) return {ok: true};
    const other = fields.find((f) => f !== field && (f.needed.includes(text) || f.value === text));
    return other ? {wrong: "other_field", field: other.name} : {wrong: "mismatch"};
}

// Where the order's assemblies stand. A scrapped one is made once more, so it does not count towards the quantity.
export function progressOf(order) {
    const held = (order.on_hold ?? 0) + (order.to_be_taken_up ?? 0);
    const work = order.in_work ?? 0;
    const toGo = Math.max(0, order.quantity - order.passed - held - work);
    return {passed: order.passed, work, held, scrapped: order.scrapped, toGo, quantity: order.quantity};
}

// "worked": begun or taken; "open": not begun; "complete".
export function groupOf(order, taken) {
    if (order.passed >= order.quantity) return "complete";
    return order.order === taken || order.started > 0 ? "worked" : "open";
}
