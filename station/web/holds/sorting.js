// What the list of holds shows, and in which order. Pure.
//
//   filtered(holds, {order, cause, shift})       "" lets everything through
//   choicesOf(holds)                             {orders, causes, shifts}: what there is to filter by
//   batchesOf(holds, doubts)                     [{doubt, holds, open, gone}] oldest first
//   nextIn(batch, serial)                        the next of the batch that is still to be settled, or null
//   isOpen(hold)

export const isOpen = (hold) => hold.settled_seq === undefined && hold.stage === "on_hold";

// Once settled, or covered by a suspicion that came on top, a hold is history.
export function filtered(holds, {order = "", cause = "", shift = ""}) {
    return holds.filter((h) => (order === "" || h.order === order) && (cause === "" || h.cause === cause) && (shift === "" || h.shift === shift));
}

const distinct = (list) => [...new Set(list.filter((x) => x))].sort();

export const choicesOf = (holds) => ({
    orders: distinct(holds.map((h) => h.order)),
    causes: ["failed", "uncertain", "suspect", "person"].filter((c) => holds.some((h) => h.cause === c)),
    shifts: distinct(holds.map((h) => h.shift)),
});

// What has left the house first; then what may have, its tag being printed; then the oldest.
const away = (h) => (h.delivery ? 2 : h.tags_printed > 0 ? 1 : 0);
const urgent = (a, b) => away(b) - away(a) || a.first_held_seq - b.first_held_seq;

export function batchesOf(holds, doubts) {
    return doubts
        .map((doubt) => {
            const mine = holds.filter((h) => h.cause === "suspect" && h.doubt_seq === doubt.seq).sort(urgent);
            const newest = new Map(mine.map((h) => [h.serial, h])); // a serial once
            const list = [...newest.values()].sort(urgent);
            return {doubt, holds: list, open: list.filter(isOpen), gone: list.filter((h) => h.tags_printed > 0)};
        })
        .filter((b) => b.holds.length > 0)
        .sort((a, b) => a.doubt.seq - b.doubt.seq);
}

export function nextIn(batch, serial) {
    const at = batch.holds.findIndex((h) => h.serial === serial);
    const after = [...batch.holds.slice(at + 1), ...batch.holds.slice(0, Math.max(at, 0))];
    return after.find(isOpen) ?? null;
}
