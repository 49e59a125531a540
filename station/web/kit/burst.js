// Tells a scanner from a person by how fast the keys come. Pure: keys and times in, a scanned text out.

const GAP_MS = 50; // people type slower, scanners faster
const LEAST = 3; // characters

// Feed it every key; it answers the text when a burst has just been ended by Enter.
export function makeBurst(gap = GAP_MS, least = LEAST) {
    let text = "";
    let at = -Infinity;
    return {
        get length() {
            return text.length;
        },
        key(key, now) {
            const quick = now - at < gap;
            at = now;
            if (key === "Enter") {
                const whole = quick && text.length >= least ? text : null;
                text = "";
                return whole;
            }
            if (key.length !== 1) return null; // Shift and its kind belong to the burst
            text = quick ? text + key : key;
            return null;
        },
    };
}
