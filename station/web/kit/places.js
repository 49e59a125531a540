// The places of the station and who goes where. A page's module is loaded when somebody first goes there.

// live: this place shows work in progress, so it is greyed and locked while the picture may be old.
export const places = {
    bench: {module: "../pages/bench.js", name: "page.place.bench", live: true, roles: ["operator", "lead", "setter", "auditor"]},
    order: {module: "../pages/order.js", name: "page.place.order", live: true, roles: ["operator", "lead"]},
    holds: {module: "../pages/holds.js", name: "page.place.holds", live: true, roles: ["operator", "lead", "setter", "auditor"]},
    audit: {module: "../pages/audit.js", name: "page.place.audit", live: false, roles: ["lead", "setter", "auditor"]},
    deliveries: {module: "../pages/deliveries.js", name: "page.place.deliveries", live: false, roles: ["lead", "setter", "auditor"]},
    recall: {module: "../pages/recall.js", name: "page.place.recall", live: false, roles: ["lead", "setter", "auditor"]},
    seal: {module: "../pages/seal.js", name: "page.place.seal", live: false, roles: ["lead", "setter", "auditor"]},
    returns: {module: "../pages/returns.js", name: "page.place.returns", live: false, roles: ["operator", "lead", "setter", "auditor"]},
    setup: {name: "page.place.setup", live: false, roles: ["lead", "setter", "auditor"]},
    help: {module: "../pages/help.js", name: "page.place.help", live: false, roles: ["operator", "lead", "setter", "auditor"]},
};

export const setups = {
    overview: {module: "../setup/overview.js", name: "page.place.overview", roles: ["setter", "lead", "auditor"]},
    people: {module: "../setup/people.js", name: "page.place.people", roles: ["setter", "lead", "auditor"]},
    tables: {module: "../setup/tables.js", name: "page.place.tables", roles: ["setter", "lead", "auditor"]},
    orders: {module: "../setup/orders.js", name: "page.place.orders", roles: ["setter", "lead", "auditor"]},
    gauges: {module: "../setup/gauges.js", name: "page.place.gauges", roles: ["setter"]},
    references: {module: "../setup/references.js", name: "page.place.references", roles: ["setter", "lead", "auditor"]},
    printer: {module: "../setup/printer.js", name: "page.place.printer", roles: ["setter"]},
    limits: {module: "../setup/limits.js", name: "page.place.limits", roles: ["setter", "lead", "auditor"]},
    screen: {module: "../setup/screen.js", name: "page.place.screen", roles: ["setter"]},
};

// Pages of their own within a place that has a page itself: "#/audit/entry/57".
const within = {
    audit: {
        entry: {module: "../audit/entry.js", name: "page.place.entry"},
        watch: {module: "../audit/watch.js", name: "page.place.watch"},
        studies: {module: "../pages/studies.js", name: "page.place.studies"},
        samples: {module: "../pages/studies.js", name: "page.place.samples"},
    },
};
const inner = ({place, rest}) => (Object.hasOwn(within, place) && Object.hasOwn(within[place], rest?.[0] ?? "") ? within[place][rest[0]] : null);

export const placesOf = (role) => Object.keys(places).filter((p) => places[p].roles.includes(role));
export const setupsOf = (role) => Object.keys(setups).filter((p) => setups[p].roles.includes(role));

export function firstPlace(role, here) {
    if (role === "setter") return "#/setup";
    if (role === "auditor" || !here) return "#/holds";
    return "#/bench";
}

// An address that somebody typed may be anything.
function decoded(part) {
    try {
        return decodeURIComponent(part);
    } catch {
        return part;
    }
}

// What stands behind the question mark of an address, "#/audit?shift=2026-11-25/1", as URLSearchParams; it does not
// change the place.
export const queryOf = (hash) => new URLSearchParams(hash.includes("?") ? hash.slice(hash.indexOf("?") + 1) : "");

// "#/setup/tables" -> {place: "setup", part: "tables", rest: []}; "#/holds/K1-0007" -> {place: "holds", rest: ["K1-0007"]}
export function readHash(hash, role) {
    const [place, ...rest] = hash.split("?")[0].replace(/^#\/?/, "").split("/").map(decoded);
    if (!Object.hasOwn(places, place)) return null;
    if (place !== "setup") return {place, part: null, rest};
    const [part, ...more] = rest;
    if (part && Object.hasOwn(setups, part)) return {place, part, rest: more};
    return {place, part: setupsOf(role)[0] ?? null, rest: []};
}

export const moduleOf = (where) => (where.place === "setup" ? setups[where.part]?.module : (inner(where) ?? places[where.place]).module);
export const nameOf = (where) => (where.place === "setup" && where.part ? setups[where.part].name : (inner(where) ?? places[where.place]).name);
export const allowed = ({place, part}, role) =>
    places[place].roles.includes(role) && (place !== "setup" || (part !== null && setups[part].roles.includes(role)));
