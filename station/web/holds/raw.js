// The bytes that a gauge sent, as evidence: as text in which nothing is hidden, and in hex. Pure.
//
//   rawParts("2b32352e34380d0a") -> ["+25.48", {name: "CR"}, {name: "LF"}]    what cannot be seen, by its name
//   hexText("2b32...") -> "2B 32 ..."

// The control characters of ASCII (ISO/IEC 646) by their usual names, from 00 on.
const controls = "NUL SOH STX ETX EOT ENQ ACK BEL BS HT LF VT FF CR SO SI DLE DC1 DC2 DC3 DC4 NAK SYN ETB CAN EM SUB ESC FS GS RS US".split(" ");

export function bytesOf(hex) {
    const out = [];
    for (let i = 0; i + 1 < hex.length; i += 2) out.push(Number.parseInt(hex.slice(i, i + 2), 16));
    return out;
}

function nameOf(byte) {
    if (Number.isNaN(byte)) return "??";
    if (byte < 0x20) return controls[byte];
    if (byte === 0x20) return "SP";
    if (byte === 0x7f) return "DEL";
    return byte > 0x7f ? byte.toString(16).toUpperCase() : null;
}

export function rawParts(hex) {
    const out = [];
    for (const byte of bytesOf(hex)) {
        const name = nameOf(byte);
        if (name) out.push({name});
        else if (typeof out.at(-1) === "string") out[out.length - 1] += String.fromCodePoint(byte);
        else out.push(String.fromCodePoint(byte));
    }
    return out;
}

export const hexText = (hex) => bytesOf(hex).map((b) => (Number.isNaN(b) ? "??" : b.toString(16).toUpperCase().padStart(2, "0"))).join(" ");
