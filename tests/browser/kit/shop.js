// The invented shop that the tests work in, set up through the API as a setter would.
//
//   const shop = await setUp(station)             people, gauge, reference, spec table and order are there
//   shop.setter, shop.lead, shop.operator, shop.other, shop.auditor     {person, name, role, pin, passphrase, badge}
//   const as = await api(station, shop.lead)       as.get(path), as.post(path, body): {status, body}; throws unless ok
//   as.try.get / as.try.post                       the same, refusals too
import {example} from "./places.js";

const person = (id, name, role, pin, passphrase) => ({person: id, name, role, pin, passphrase, badge: `B-${id}`});

export const people = {
    setter: person("AW", "Ana Werle", "setter", "481902", "eleven rusty couplings"),
    operator: person("MO", "Mirela Ošk", "operator", "620914", "quiet swaging thursday"),
    other: person("JV", "Jonte Valk", "operator", "305718", "seven grey hose reels"),
    lead: person("TR", "Tobin Rask", "lead", "730284", "caliper on a string"),
    auditor: person("EN", "Edda Nilan", "auditor", "914637", "paper lasts for decades"),
};

async function ask(station, method, path, body, headers = {}) {
    const answer = await fetch(station.url.replace("localhost", "127.0.0.1") + path, {
        method,
        headers: {"Content-Type": "application/json", ...headers},
        body: method === "POST" ? JSON.stringify(body ?? {}) : undefined,
    });
    const text = await answer.text();
    return {status: answer.status, ok: answer.ok, body: text === "" ? {} : JSON.parse(text)};
}

function must(answer, what) {
    if (!answer.ok) throw new Error(`${what}: ${answer.status} ${JSON.stringify(answer.body)}`);
    return answer;
}

// Without a person: as nobody. at_bench: whether this also signs in at the bench.
export async function api(station, who, {at_bench = false} = {}) {
    let headers = {};
    if (who) {
        const signed = await ask(station, "POST", "/api/sign-in", {person: who.badge, pin: who.pin, at_bench});
        must(signed, `signing in as ${who.person}`);
        headers = {Authorization: `Bearer ${signed.body.token}`};
    }
    const tried = {
        get: (path) => ask(station, "GET", path, null, headers),
        post: (path, body) => ask(station, "POST", path, body, headers),
    };
    return {
        try: tried,
        get: async (path) => must(await tried.get(path), `GET ${path}`),
        post: async (path, body) => must(await tried.post(path, body), `POST ${path}`),
    };
}

export const by = (who) => ({person: who.badge, pin: who.pin}); // a PIN goes with the badge, a passphrase with either

export async function addFirst(station) {
    const {setter} = people;
    const nobody = await api(station, null);
    await nobody.post("/api/people", {...setter, code: station.code});
    return api(station, setter);
}

export async function addPeople(station) {
    const setter = await addFirst(station);
    for (const who of [people.operator, people.other, people.lead, people.auditor]) await setter.post("/api/people", who);
    return setter;
}

export async function setUp(station, {orders = example("demo_order.csv"), table = example("demo_table.csv")} = {}) {
    const setter = await addPeople(station);
    for (const gauge of Object.keys(station.calipers))
        await setter.post("/api/gauges", {
            gauge,
            resolution_nm: 10000,
            uncertainty_nm: 12000,
            proof_limit_nm: 20000,
            calibrated: "2026-06-01",
            calibration_due: "2099-05-31",
            certificate: "CAL-0417 (invented)",
        });
    await setter.post("/api/references", {
        reference: "ring-25",
        kind: "setting ring",
        size_nm: 25000000,
        certificate: "CAL-0388 (invented)",
        calibration_due: "2099-05-31",
    });
    const proposed = await setter.post("/api/tables", {name: "demo table", csv: table, acknowledge_warnings: true});
    const seq = proposed.body.entries?.find((e) => e.type === "table.proposed")?.seq;
    if (seq !== undefined) await setter.post("/api/tables/adopt", {proposed_seq: seq, by: by(people.lead)});
    await setter.post("/api/orders", {csv: orders});
    return {...people, asSetter: setter};
}
