// The station's API. The session is a cookie that scripts cannot read; every write carries a header that no form of
// another site can send.
//
//   const answer = await get("/api/bench")          {ok, status, body, why}
//   const answer = await post("/api/shift/start")   why = {code, details} when not ok, body whole in either case
//
// why.code "page.api.unreachable": the station did not answer. For a write that means that nobody knows whether it was
// taken; the sentence says so, and the page shows what the station has as soon as it answers again.

const PATIENCE_MS = 10000;

let told = () => {};
// Called when the station says that nobody is signed in (any more).
export function onSignedOut(fn) {
    told = fn;
}

async function ask(method, path, body, patience, signedOut = told) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), patience);
    const options = {method, signal: stop.signal, credentials: "same-origin", cache: "no-store", headers: {}};
    if (method === "POST") {
        options.headers["Content-Type"] = "application/json";
        options.headers["X-Crimpgate"] = "page";
        options.body = JSON.stringify(body ?? {});
    }
    try {
        const answer = await fetch(path, options);
        const text = await answer.text();
        let read = {};
        try {
            read = text === "" ? {} : JSON.parse(text);
        } catch {
            return {ok: false, status: answer.status, body: {}, why: {code: "page.api.garbled", details: []}};
        }
        if (answer.ok) return {ok: true, status: answer.status, body: read, why: null};
        const why = {code: read.code ?? "page.api.garbled", details: read.details ?? []};
        if (answer.status === 401 && why.code === "api.sign_in") signedOut();
        return {ok: false, status: answer.status, body: read, why};
    } catch {
        const code = method === "POST" ? "page.api.unknown" : "page.api.unreachable";
        return {ok: false, status: 0, body: {}, why: {code, details: []}};
    } finally {
        clearTimeout(timer);
    }
}

export const get = (path, patience = PATIENCE_MS) => ask("GET", path, null, patience);
export const post = (path, body, patience = PATIENCE_MS) => ask("POST", path, body, patience);
// False only when the station says so; nobody else is told.
export const sessionLives = async () => (await ask("GET", "/api/session", null, PATIENCE_MS, () => {})).status !== 401;

// One detail of a refusal, e.g. detail(why, "seconds").
export function detail(why, name) {
    const all = why?.details ?? {};
    return Array.isArray(all) ? all.find((d) => d.name === name)?.text : all[name];
}
