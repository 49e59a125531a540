// The station's entries as they are committed. Says at once when nothing comes any more: a picture that may be old is
// worse than none.
//
//   const stream = live({entry(e), beat(last_seq), again(), state(open)})
//   stream.start(); stream.stop()
//
// entry   one entry: {seq, time, type, who, body}, each seq once, in order
// again   whatever was shown may be old: read everything anew (after opening, and when the station says resync)
// state   true: the stream is open and beats; false: it is not

const SILENCE_MS = 12000; // the station beats every 5 s
const WAITS_MS = [500, 1000, 2000, 4000, 5000];

export function live({entry, beat, again, state}) {
    let source = null;
    let open = false;
    let last = 0; // the last entry seen: nothing is told twice
    let heard = 0;
    let failures = 0;
    let retry = 0;
    let watch = 0;

    function became(now) {
        if (now === open) return;
        open = now;
        state(open);
    }

    function sign() {
        heard = Date.now();
        failures = 0;
        became(true);
    }

    function numbered(event, read) {
        let data = null;
        try {
            data = JSON.parse(event.data);
        } catch {
            return;
        }
        sign();
        read(data);
    }

    function connect() {
        retry = 0;
        source?.close();
        // After a break the station sends what was missed; if that is too much it says resync.
        source = new EventSource(`/api/events?names=no${last > 0 ? `&from=${last + 1}` : ""}`);
        heard = Date.now();
        source.addEventListener("open", () => {
            sign();
            again();
        });
        source.addEventListener("entry", (event) =>
            numbered(event, (data) => {
                if (data.seq <= last) return;
                last = data.seq;
                entry(data);
            }),
        );
        source.addEventListener("beat", (event) =>
            numbered(event, (data) => {
                const seq = data.last_seq ?? 0;
                beat(seq);
            }),
        );
        source.addEventListener("resync", (event) =>
            numbered(event, (data) => {
                last = data.last_seq ?? 0; // may be smaller: another journal
                again();
            }),
        );
        source.addEventListener("error", broken);
    }

    function broken() {
        became(false);
        source?.close(); // the browser's own waiting is not ours to watch
        if (retry !== 0 || watch === 0) return;
        retry = setTimeout(connect, WAITS_MS[Math.min(failures, WAITS_MS.length - 1)]);
        failures += 1;
    }

    return {
        start() {
            if (watch !== 0) return;
            watch = setInterval(() => {
                if (Date.now() - heard > SILENCE_MS) {
                    heard = Date.now();
                    broken();
                }
            }, 1000);
            connect();
        },
        stop() {
            clearInterval(watch);
            clearTimeout(retry);
            watch = 0;
            retry = 0;
            source?.close();
            source = null;
            became(false);
        },
        // What GET /api/bench already told need not be told again.
        seen(seq) {
            last = Math.max(last, seq);
        },
    };
}
