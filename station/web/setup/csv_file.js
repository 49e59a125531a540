// A CSV file as a person's spreadsheet wrote it, read so that an error can be shown in its very cell. The station reads
// the file itself and alone decides (specs/FORMAT.md); this reader only finds the place of a cell again, by RFC 4180 and
// with the same line numbers: of a cell, the line on which it begins.
//
//   decode(bytes)   {text, bad: [{at, byte}], utf16}: bytes that are no UTF-8 stand as U+FFFD, and are told
//   cells(text)     [{line, fields: [{line, text, from, to}]}]; empty lines are passed over
//   letters(n)      the spreadsheet's name of column n (0 is A)

// The length of the UTF-8 character at `i` (RFC 3629: no overlong forms, no surrogates), 0 when there is none.
function characterAt(bytes, i) {
    const b = bytes[i];
    if (b < 0x80) return 1;
    const size = b >= 0xc2 && b <= 0xdf ? 2 : b >= 0xe0 && b <= 0xef ? 3 : b >= 0xf0 && b <= 0xf4 ? 4 : 0;
    if (size === 0 || i + size > bytes.length) return 0;
    const second = bytes[i + 1];
    const least = b === 0xe0 ? 0xa0 : b === 0xf0 ? 0x90 : 0x80;
    const most = b === 0xed ? 0x9f : b === 0xf4 ? 0x8f : 0xbf;
    if (second < least || second > most) return 0;
    for (let k = 2; k < size; k += 1) if ((bytes[i + k] & 0xc0) !== 0x80) return 0;
    return size;
}

export function decode(bytes) {
    if (bytes.length > 1 && ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)))
        return {text: "", bad: [], utf16: true};
    const decoder = new TextDecoder("utf-8", {ignoreBOM: true});
    const bad = [];
    const parts = [];
    let length = 0;
    let from = 0;
    const take = (to) => {
        if (to > from) {
            parts.push(decoder.decode(bytes.subarray(from, to)));
            length += parts.at(-1).length;
        }
        from = to;
    };
    for (let i = 0; i < bytes.length; ) {
        const size = characterAt(bytes, i);
        if (size > 0) {
            i += size;
            continue;
        }
        take(i);
        bad.push({at: length, byte: bytes[i]});
        parts.push("\ufffd");
        length += 1;
        i += 1;
        from = i;
    }
    take(bytes.length);
    return {text: parts.join(""), bad, utf16: false};
}

export function cells(text) {
    const rows = [];
    let i = text.charCodeAt(0) === 0xfeff ? 1 : 0;
    let line = 1;
    const lineEnd = () => (text[i] === "\n" ? 1 : text[i] === "\r" && text[i + 1] === "\n" ? 2 : 0);
    const step = (size) => {
        if (text[i + size - 1] === "\n") line += 1;
        i += size;
    };
    while (i < text.length) {
        if (lineEnd() > 0) {
            step(lineEnd());
            continue;
        }
        const row = {line, fields: []};
        let another = true;
        while (another) {
            another = false;
            const field = {line, text: "", from: i, to: i};
            row.fields.push(field);
            if (text[i] === '"') {
                step(1);
                while (i < text.length) {
                    if (text[i] !== '"') {
                        field.text += text[i];
                        step(1);
                        continue;
                    }
                    step(1);
                    if (text[i] !== '"') break;
                    field.text += '"';
                    step(1);
                }
            }
            while (i < text.length && text[i] !== "," && lineEnd() === 0) {
                field.text += text[i];
                step(1);
            }
            field.to = i;
            if (i < text.length && text[i] === ",") {
                step(1);
                another = true;
            } else if (i < text.length) step(lineEnd());
        }
        rows.push(row);
    }
    return rows;
}

export function letters(n) {
    let name = "";
    for (let k = n + 1; k > 0; k = Math.floor((k - 1) / 26)) name = String.fromCharCode(65 + ((k - 1) % 26)) + name;
    return name;
}

// What the page itself must tell, since the text that goes to the station can no longer show it: bytes that are no
// UTF-8, each cell once, in the form of the station's own errors.
export function ownErrors({bad, utf16}, rows) {
    if (utf16) {
        const details = [{name: "found", text: "UTF-16"}, {name: "expected", text: "UTF-8"}];
        return [{line: 1, column: "", found: "UTF-16", expected: "UTF-8", code: "csv.utf16", details}];
    }
    const header = rows[0]?.fields ?? [];
    const seen = new Set();
    const errors = [];
    for (const {at, byte} of bad) {
        const row = rows.find((r) => r.fields.some((f) => at >= f.from && at < f.to));
        const index = row?.fields.findIndex((f) => at >= f.from && at < f.to) ?? -1;
        if (index < 0 || seen.has(row.fields[index])) continue;
        seen.add(row.fields[index]);
        const found = `\\x${byte.toString(16).padStart(2, "0")}`;
        errors.push({
            line: row.fields[index].line,
            column: header[index]?.text.trim() ?? "",
            found,
            expected: "UTF-8",
            code: "csv.invalid_utf8",
            details: [{name: "found", text: found}, {name: "expected", text: "UTF-8"}],
        });
    }
    return errors;
}

// One row as CSV: quoted wherever the text could be read otherwise.
export const csvRow = (texts) => texts.map((t) => (/[",\r\n]/.test(t) || t !== t.trim() ? `"${t.replaceAll('"', '""')}"` : t)).join(",");
