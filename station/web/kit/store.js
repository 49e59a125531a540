// The bench as the station last told it: GET /api/bench, never put together here. One question is under way at a time
// and at most one waits behind it.
//
//   const store = makeStore({changed(bench), trouble(why|null)})
//   store.bench          the latest, or null
//   await store.refresh()   true when the answer is younger than the call

import {get} from "./api.js";

export function makeStore({changed, trouble}) {
    let running = null;
    let waiting = null;

    const store = {
        bench: null,
        why: null,

        refresh() {
            if (!running) {
                running = once().finally(() => {
                    running = null;
                });
                return running;
            }
            // What is under way may have been answered before that which we want to see happened.
            waiting ??= running.then(() => {
                waiting = null;
                return store.refresh();
            });
            return waiting;
        },

        forget() {
            store.bench = null;
        },
    };

    async function once() {
        const answer = await get("/api/bench", 6000);
        store.why = answer.why;
        if (!answer.ok) {
            if (answer.status === 401) store.bench = null;
            trouble(answer.why, answer.status);
            return false;
        }
        store.bench = answer.body;
        trouble(null, answer.status);
        changed(store.bench);
        return true;
    }

    return store;
}
