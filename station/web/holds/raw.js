// The bytes that a gauge sent, as evidence: as text in which nothing is hidden, and in hex. Pure.
//
//   rawText("2b32352e34380d0a") -> "+25.48␍␊"       control characters by Unicode's pictures for them (U+2400 and on)
//   hexText("2b32...") -> "2B 32 ..."

export function bytesOf(hex) {
    const out = [];
    for (let i = 0; i + 1 < hex.length; i += 2) out.push(Number.parseInt(hex.slice(i, i + 2), 16));
    return out;
}

export function rawText(hex) {
    return bytesOf(hex)
        .map((b) => {
            if (Number.isNaN(b)) return "\ufffd";
            if (b < 0x20) return String.fromCodePoint(0x2400 + b);
            if (b === 0x20) return "\u2423"; // a space that is seen
            if (b === 0x7f) return "\u2421";
            return b < 0x7f ? String.fromCodePoint(b) : "\ufffd";
        })
        .join("");
}

export const hexText = (hex) => bytesOf(hex).map((b) => (Number.isNaN(b) ? "??" : b.toString(16).toUpperCase().padStart(2, "0"))).join(" ");
