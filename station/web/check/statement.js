// A tag's signed statement, read and verified in a browser without a network (reports/EVIDENCE.md, section 8).
//
//   readCode("CG1:...")          the bytes; or of a link, .../C/<base32>
//   parseStatement(bytes)        {keyId, serial, order, date, kpa, conceded, marginUm, station, ...}
//   parseKey("name+id+base64")   {name, id, key}
//   await verify(statement, keys)   {name, retired} of the key that signed it
//
// What is wrong is thrown as Fault(code): "form", "version", "key", "signature". Ed25519 is the browser's own where it
// has it, else tweetnacl's (global `nacl`).
const ALPHABET45 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
const ALPHABET32 = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
const SIGNATURE = 64;
const CONTEXT = new TextEncoder().encode("crimpgate-tag/1\0");
// The order of the group, little-endian (RFC 8032 section 5.1): a signature's second half is below it, or it would have
// two spellings.
const ORDER = [
    0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x10,
];

export class Fault extends Error {
    constructor(code) {
        super(code);
        this.code = code;
    }
}

function fromBase45(text) {
    const out = [];
    if (text.length % 3 === 1) throw new Fault("form");
    for (let at = 0; at < text.length; at += 3) {
        const digits = [...text.slice(at, at + 3)].map((c) => ALPHABET45.indexOf(c));
        const value = digits.reduceRight((sum, digit) => sum * 45 + digit, 0);
        if (digits.includes(-1) || value >= 256 ** (digits.length - 1)) throw new Fault("form");
        if (digits.length === 3) out.push(value >> 8);
        out.push(value & 0xff);
    }
    return Uint8Array.from(out);
}

function fromBase32(text) {
    const out = [];
    let bits = 0;
    let value = 0;
    for (const c of text) {
        const digit = ALPHABET32.indexOf(c);
        if (digit < 0) throw new Fault("form");
        value = ((value << 5) | digit) & 0xfff;
        bits += 5;
        if (bits >= 8) {
            bits -= 8;
            out.push((value >> bits) & 0xff);
        }
    }
    // One spelling: no character too many, no stray last bits.
    if (bits >= 5 || (value & ((1 << bits) - 1)) !== 0) throw new Fault("form");
    return Uint8Array.from(out);
}

// Line ends and tabs come from copying; a blank may be part of the code. Capitals are all there is.
export function readCode(text) {
    const code = text.replace(/[\r\n\t]/g, "").toUpperCase();
    const begin = code.indexOf("CG1:");
    if (begin >= 0 && code.slice(0, begin).trim() === "") return fromBase45(code.slice(begin + 4));
    const link = code.trim();
    const at = link.lastIndexOf("/C/");
    if (/^HTTPS?:\/\//.test(link) && at >= 0) return fromBase32(link.slice(at + 3));
    throw new Fault("form");
}

class Reader {
    constructor(bytes) {
        this.bytes = bytes;
        this.at = 0;
    }
    // The number that an item of that major type begins with, in its shortest spelling (RFC 8949 section 4.2.1).
    head(major) {
        const first = this.byte();
        if (first >> 5 !== major) throw new Fault("form");
        const low = first & 31;
        if (low < 24) return low;
        if (low > 27) throw new Fault("form");
        const count = 2 ** (low - 24);
        let value = 0;
        for (let i = 0; i < count; i += 1) value = value * 256 + this.byte();
        const least = low === 24 ? 24 : 256 ** (count / 2);
        if (value < least || value > Number.MAX_SAFE_INTEGER) throw new Fault("form");
        return value;
    }
    byte() {
        if (this.at >= this.bytes.length) throw new Fault("form");
        return this.bytes[this.at++];
    }
    take(count) {
        if (this.at + count > this.bytes.length) throw new Fault("form");
        this.at += count;
        return this.bytes.slice(this.at - count, this.at);
    }
    text() {
        const bytes = this.take(this.head(3));
        if (bytes.length > 64) throw new Fault("form");
        try {
            return new TextDecoder("utf-8", {fatal: true, ignoreBOM: true}).decode(bytes);
        } catch {
            throw new Fault("form");
        }
    }
    integer() {
        return this.bytes[this.at] >> 5 === 1 ? -1 - this.head(1) : this.head(0);
    }
}

const hex = (bytes) => [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");

export function parseStatement(bytes) {
    if (bytes.length <= SIGNATURE) throw new Fault("form");
    const signed = bytes.slice(0, bytes.length - SIGNATURE);
    const reader = new Reader(signed);
    const members = reader.head(4);
    if (reader.head(0) !== 1) throw new Fault("version");
    if (members !== 9) throw new Fault("form");
    if (reader.head(2) !== 4) throw new Fault("form");
    const statement = {keyId: hex(reader.take(4)), signed, signature: bytes.slice(bytes.length - SIGNATURE)};
    statement.serial = reader.text();
    statement.order = reader.text();
    statement.date = reader.head(0);
    statement.kpa = reader.head(0);
    const verdict = reader.head(0);
    statement.marginUm = reader.integer();
    statement.station = reader.text();
    if (verdict > 1 || reader.at !== signed.length) throw new Fault("form");
    statement.conceded = verdict === 1;
    return statement;
}

export function parseKey(text) {
    const [name, id, coded] = [...text.split("+", 2), text.split("+").slice(2).join("+")];
    const bytes = Uint8Array.from(atob(coded), (c) => c.charCodeAt(0));
    if (bytes.length !== 33 || bytes[0] !== 1) throw new Fault("key");
    return {name, id, key: bytes.slice(1)};
}

function belowOrder(signature) {
    for (let i = 31; i >= 0; i -= 1) {
        const digit = signature[32 + i];
        if (digit !== ORDER[i]) return digit < ORDER[i];
    }
    return false;
}

async function goodSignature(key, message, signature) {
    if (!belowOrder(signature)) return false;
    try {
        const own = await crypto.subtle.importKey("raw", key, {name: "Ed25519"}, false, ["verify"]);
        return await crypto.subtle.verify({name: "Ed25519"}, own, signature, message);
    } catch {
        // An older browser, or a page that came over plain HTTP.
        return globalThis.nacl.sign.detached.verify(message, signature, key);
    }
}

export async function verify(statement, keys) {
    const known = keys.filter((key) => key.id === statement.keyId);
    if (known.length === 0) throw new Fault("key");
    const message = new Uint8Array([...CONTEXT, ...statement.signed]);
    for (const key of known) if (await goodSignature(key.key, message, statement.signature)) return key;
    throw new Fault("signature");
}
