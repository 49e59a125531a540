#!/usr/bin/python3
"""Checks what a crimping shop handed out, with nothing but the shop's public key.

    verify_evidence.py FILE --key KEY [--witness KEY]...        a certificate (PDF) or an evidence file (JSON)
    verify_evidence.py FILE --key KEY --record ENTRY            a .tlog-proof and the bytes of its entry
    verify_evidence.py --tag CODE --key TAG-KEY                 the code of a tag

A KEY is one line, name+id+base64, or @FILE that holds it. Ends with 0 when everything that was asked is proved, with 1
when anything is not, with 2 when it was called wrongly.

Written from reports/EVIDENCE.md alone, as a stranger would: the standard library and one library for Ed25519. The PDF
is taken apart with zlib only.
"""
import argparse
import base64
import hashlib
import json
import re
import sys
import time
import zlib
from pathlib import Path

import nacl.exceptions
import nacl.signing

MOST = 2**53 - 1
MARKER = b"%crimpgate-paper/1"


class NotProved(Exception):
    """The first thing that is wrong, in words; `what` is a short name for it."""

    def __init__(self, what, words):
        super().__init__(words)
        self.what = what


def sha256(data):
    return hashlib.sha256(data).digest()


def from_base64(text):
    """None unless it is the one canonical spelling."""
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return None
    return data if base64.b64encode(data).decode() == text else None


def number(text):
    return int(text) if re.fullmatch("0|[1-9][0-9]{0,15}", text, re.ASCII) and int(text) <= MOST else None


def good_signature(public, data, signature):
    try:
        nacl.signing.VerifyKey(public).verify(data, signature)
        return True
    except (nacl.exceptions.BadSignatureError, ValueError):
        return False


# --- section 1

class Key:
    def __init__(self, text):
        parts = text.split("+", 2)
        data = from_base64(parts[2]) if len(parts) == 3 else None
        if data is None or len(data) != 33 or data[0] not in (1, 4):
            raise NotProved("key", f"This is no public key: {text!r}")
        self.text, self.name, self.type, self.public = text, parts[0], data[0], data[1:]
        self.id = key_id(self.name, data)
        if not self.name or re.search(r"[\s\x00-\x1f\x7f]", self.name) or parts[1] != self.id.hex():
            raise NotProved("key", f"Name and id of this public key do not fit it: {text!r}")

    def __eq__(self, other):
        return self.text == other.text


def key_id(name, typed_key):
    return sha256(name.encode() + b"\n" + typed_key)[:4]


# --- section 2

class Note:
    def __init__(self, data, of):
        def broken(why):
            return NotProved("note", f"The {of} is no signed text: {why}")
        try:
            whole = data.decode()
        except UnicodeDecodeError:
            raise broken("it is not UTF-8") from None
        if any(c < " " and c != "\n" for c in whole):
            raise broken("it holds a control character")
        at = whole.rfind("\n\n")
        if not whole.endswith("\n") or at < 0:
            raise broken("its end or its separator is missing")
        self.text = whole[:at + 1]
        self.signatures = []
        for line in whole[at + 2:-1].split("\n"):
            found = re.fullmatch(r"— ([^ +]+) (\S+)", line)
            data = from_base64(found[2]) if found else None
            if data is None or len(data) < 5:
                raise broken(f"the signature line {line!r}")
            self.signatures.append((found[1], data[:4], data[4:]))
        self.lines = self.text[:-1].split("\n")
        self.of = of

    def signed_by(self, key):
        """How often and, for a countersignature, when: [] when not at all. A bad one refuses the whole."""
        signed = []
        for name, its_id, field in self.signatures:
            if (name, its_id) != (key.name, key.id):
                continue
            text, at = self.text.encode(), None
            if key.type == 4:
                at, field = int.from_bytes(field[:8], "big"), field[8:]
                text = b"cosignature/v1\ntime %d\n" % at + text
            if len(field) != 64 or not good_signature(key.public, text, field):
                raise NotProved("signature", f"The signature of {name} under the {self.of} is false: the text was "
                                             "changed, or that key never signed it.")
            signed.append(at)
        return signed


# --- section 3

class Checkpoint:
    def __init__(self, data, key, witnesses):
        note = Note(data, "checkpoint")
        size = number(note.lines[1]) if len(note.lines) >= 3 else None
        self.root = from_base64(note.lines[2]) if size is not None else None
        if self.root is None or len(self.root) != 32:
            raise NotProved("checkpoint", "The checkpoint cannot be read.")
        if note.lines[0] != key.name:
            raise NotProved("checkpoint", f"The checkpoint is of {note.lines[0]}, not of {key.name}.")
        if not note.signed_by(key):
            raise NotProved("checkpoint", "The checkpoint bears no signature by the shop's key.")
        self.size = size
        self.countersigned = sorted((at, w.name) for w in witnesses if w.type == 4 for at in note.signed_by(w))


def included(index, size, leaf, proof, root):
    if not 0 <= index < size:
        return False
    f, s, r = index, size - 1, leaf
    for p in proof:
        if s == 0:
            return False
        if f % 2 == 1 or f == s:
            r = sha256(b"\x01" + p + r)
            while f % 2 == 0 and f != 0:
                f, s = f // 2, s // 2
        else:
            r = sha256(b"\x01" + r + p)
        f, s = f // 2, s // 2
    return s == 0 and r == root


# --- section 4

def canonical_object(data, what, of):
    """The object when the bytes are its canonical spelling."""
    def members(pairs):
        if len({name for name, _ in pairs}) != len(pairs):
            raise ValueError("a name stands twice")
        return dict(pairs)

    def whole(text):
        if abs(int(text)) > MOST:
            raise ValueError("a number is too large")
        return int(text)

    def no(text):
        raise ValueError(f"{text} has no place here")

    def spelled(value):
        """Members by the UTF-16 code units of their names."""
        if isinstance(value, dict):
            return {name: spelled(value[name]) for name in sorted(value, key=lambda n: n.encode("utf-16-be"))}
        return [spelled(each) for each in value] if isinstance(value, list) else no("null") if value is None else value

    try:
        value = json.loads(data.decode(), object_pairs_hook=members, parse_int=whole, parse_float=no, parse_constant=no)
        again = json.dumps(spelled(value), ensure_ascii=False, separators=(",", ":")).encode()
    except (ValueError, RecursionError) as why:
        raise NotProved(what, f"{of} cannot be read: {why}") from None
    if not isinstance(value, dict) or again != data:
        raise NotProved(what, f"{of} is not in its one spelling: something was changed in it.")
    return value


def texts(value):
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def follow(key, handovers, wanted):
    """Section 5: the key that is reached, and in how many steps. Stops at `wanted`; no wanted key: yields all."""
    steps = 0
    for text in handovers:
        if wanted is not None and key == wanted:
            break
        note = Note(text.encode(), "hand-over")
        if not note.signed_by(key):
            continue
        if len(note.lines) != 3 or note.lines[0] != "crimpgate-key/1 " + key.name:
            raise NotProved("handover", "A hand-over of the key cannot be read.")
        following, tag_key = Key(note.lines[1]), from_base64(note.lines[2])
        if following.name != key.name or following.type != 1 or tag_key is None or len(tag_key) != 32:
            raise NotProved("handover", "A hand-over of the key cannot be read.")
        key, steps = following, steps + 1
    return key, steps


class Evidence:
    MEMBERS = {"format": str, "name": str, "key": str, "handovers": list, "serials": list, "checkpoint": str,
               "entries": list}

    def __init__(self, data):
        value = canonical_object(data, "form", "The evidence file")
        right = set(value) == set(self.MEMBERS) and all(isinstance(value[m], t) for m, t in self.MEMBERS.items())
        if not right or value["format"] != "crimpgate-evidence/1" or not texts(value["handovers"] + value["serials"]):
            raise NotProved("form", "This is no evidence file of the format crimpgate-evidence/1.")
        before = 0
        self.entries = []
        for each in value["entries"]:
            right = isinstance(each, dict) and set(each) == {"bytes", "proof", "seq"} and type(each["seq"]) is int \
                and isinstance(each["bytes"], str) and texts(each["proof"])
            proof = [from_base64(p) for p in each["proof"]] if right else [None]
            if not right or each["seq"] <= before or any(p is None or len(p) != 32 for p in proof):
                raise NotProved("form", "An entry in the evidence file, or its proof, cannot be read.")
            before = each["seq"]
            self.entries.append((before, each["bytes"].encode(), proof))
        self.name, self.key, self.handovers = value["name"], Key(value["key"]), value["handovers"]
        self.serials, self.checkpoint = value["serials"], value["checkpoint"]

    def check(self, trusted, witnesses):
        key, steps = follow(trusted, self.handovers, self.key)
        if key != self.key:
            raise NotProved("key", "The file is signed by another key than the shop's, and was not handed over to it.")
        if key.name != self.name:
            raise NotProved("key", "The file bears another name than its key.")
        checkpoint = Checkpoint(self.checkpoint.encode(), key, witnesses)
        if not self.entries:
            raise NotProved("entries", "The file holds no entries: there is nothing to prove.")
        for seq, data, proof in self.entries:
            if not included(seq - 1, checkpoint.size, sha256(b"\0" + data), proof, checkpoint.root):
                raise NotProved("entry", f"Entry {seq} is not what stood in the journal when it was signed, or its proof "
                                         "was changed.")
            if canonical_object(data, "entry", f"Entry {seq}").get("seq") != seq:
                raise NotProved("entry", f"Entry {seq} bears another number inside.")
        for serial in self.serials:
            if not any(json.dumps(serial, ensure_ascii=False).encode() in data for _, data, _ in self.entries):
                raise NotProved("serial", f"No entry in the file speaks of {serial}.")
        return checkpoint, steps


# --- section 6

def check_seal(data, trusted, handovers):
    """Number of the paper. Nothing inside the PDF has been believed yet but the hand-overs, which prove themselves."""
    at = data.rfind(b"\n" + MARKER + b"\n")
    if at < 0:
        raise NotProved("seal", "The PDF bears no seal. It may have been printed, or saved anew by another program.")
    at += 1
    rest = data[at + len(MARKER) + 1:].split(b"\n")
    if rest.pop() != b"" or not all(line.startswith(b"%") for line in rest):
        raise NotProved("seal", "Something stands behind the seal, or its end is missing.")
    note = Note(b"".join(line[1:] + b"\n" for line in rest), "seal")
    if len(note.lines) != 4 or len(note.signatures) != 1 or not note.lines[0].startswith("crimpgate-paper/1 "):
        raise NotProved("seal", "The seal cannot be read.")
    signed, key, left = False, trusted, list(handovers)
    while not signed:
        signed = bool(note.signed_by(key)) and note.lines[0] == "crimpgate-paper/1 " + key.name
        if not signed and not left:
            raise NotProved("seal", "The seal is by another key than the shop's.")
        if not signed:
            key, _ = follow(key, [left.pop(0)], None)
    if number(note.lines[2]) != at or from_base64(note.lines[3]) != sha256(data[:at]):
        raise NotProved("seal", f"The PDF is not the one that was sealed as {note.lines[1]}: at least one byte of it was "
                                "changed.")
    return note.lines[1]


def embedded_files(data):
    """What stands in the streams of a PDF that are embedded files, unpacked."""
    for found in re.finditer(rb"<<(?:(?!endobj|stream\r?\n).)*?/EmbeddedFile\b(?:(?!endobj).)*?>>\s*stream\r?\n", data,
                             re.DOTALL):
        begin, dictionary = found.end(), found[0]
        if b"/FlateDecode" in dictionary:
            try:
                yield zlib.decompressobj().decompress(data[begin:], 256 * 1024 * 1024)
            except zlib.error:
                yield b""
        else:
            yield re.split(rb"\r?\nendstream", data[begin:], maxsplit=1)[0]


def record_inside(data):
    records = [each for each in embedded_files(data) if b'"format":"crimpgate-evidence/' in each]
    if len(records) != 1:
        raise NotProved("attachment", f"The PDF holds {len(records)} records; one is expected.")
    return records[0]


# --- section 7

def check_tlog_proof(data, record, trusted, witnesses):
    head, _, rest = data.partition(b"\n\n")
    lines = head.decode("ascii", "replace").split("\n")
    if lines.pop(0) != "c2sp.org/tlog-proof@v1" or not lines:
        raise NotProved("form", "This is no proof file.")
    if lines[0].startswith("extra "):
        lines.pop(0)
    index = number(lines[0][6:]) if lines and lines[0].startswith("index ") else None
    proof = [from_base64(line) for line in lines[1:]]
    if index is None or any(p is None or len(p) != 32 for p in proof):
        raise NotProved("form", "The proof file cannot be read.")
    checkpoint = Checkpoint(rest, trusted, witnesses)
    if not included(index, checkpoint.size, sha256(b"\0" + record), proof, checkpoint.root):
        raise NotProved("entry", f"The record is not entry {index + 1} of the {checkpoint.size} that were signed.")
    return checkpoint, index + 1


# --- section 8

BASE45 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def from_base45(text):
    digits = [BASE45.find(c) for c in text]
    if -1 in digits or len(digits) % 3 == 1:
        return None
    out = bytearray()
    for at in range(0, len(digits), 3):
        part = digits[at:at + 3]
        value = sum(d * 45**i for i, d in enumerate(part))
        if value >= 256**(len(part) - 1):
            return None
        out += value.to_bytes(len(part) - 1, "big")
    return bytes(out)


def cbor_head(major, value):
    for code, size in ((24, 1), (25, 2), (26, 4), (27, 8)):
        if value < 24:
            return bytes([major << 5 | value])
        if value < 256**size:
            return bytes([major << 5 | code]) + value.to_bytes(size, "big")
    raise ValueError


def cbor(value):
    if isinstance(value, list):
        return cbor_head(4, len(value)) + b"".join(map(cbor, value))
    if isinstance(value, int):
        return cbor_head(0, value) if value >= 0 else cbor_head(1, -1 - value)
    data = value.encode() if isinstance(value, str) else value
    return cbor_head(3 if isinstance(value, str) else 2, len(data)) + data


def read_cbor(data):
    """Value and rest. Only what a tag holds; other spellings show when it is written again."""
    major, low = data[0] >> 5, data[0] & 31
    size = {24: 1, 25: 2, 26: 4, 27: 8}.get(low, 0)
    if low > 27 or len(data) < 1 + size:
        raise ValueError
    value, rest = (int.from_bytes(data[1:1 + size], "big") if size else low), data[1 + size:]
    if major in (0, 1):
        return (value if major == 0 else -1 - value), rest
    if major in (2, 3) and value <= len(rest):
        return (rest[:value] if major == 2 else rest[:value].decode()), rest[value:]
    if major != 4 or value > 100:
        raise ValueError
    out = []
    for _ in range(value):
        each, rest = read_cbor(rest)
        out.append(each)
    return out, rest


def check_tag(code, key):
    data = None
    if code.startswith("CG1:"):
        data = from_base45(code[4:])
    elif re.match("HTTPS?://", code) and "/C/" in code:
        text = code.rpartition("/C/")[2]
        try:
            data = base64.b32decode(text + "=" * (-len(text) % 8))
            data = data if base64.b32encode(data).decode().rstrip("=") == text else None
        except ValueError:
            data = None
    try:
        array, signature = data[:-64], data[-64:]
        fields, rest = read_cbor(array)
        kinds = [int, bytes, str, str, int, int, int, int, str]
        right = rest == b"" and cbor(fields) == array and [type(f) for f in fields] == kinds and fields[0] == 1 \
            and len(fields[1]) == 4 and fields[4] >= 0 and fields[5] >= 0 and fields[6] in (0, 1) \
            and all(len(f.encode()) <= 64 for f in fields if isinstance(f, str))
    except (TypeError, ValueError, IndexError, RecursionError):
        right = False
    if not right:
        raise NotProved("form", "The tag's code cannot be read.")
    if fields[1] != key.id:
        raise NotProved("key", "The tag is signed by another key.")
    if not good_signature(key.public, b"crimpgate-tag/1\0" + array, signature):
        raise NotProved("signature", "The signature on the tag is false: the shop did not issue these words.")
    return fields


# --- what is said

def say(*lines):
    print(*lines, sep="\n")


def tell(checkpoint, of):
    say(f"PROVED: {of}, exactly as it is here, not one character changed since.")
    for at, name in checkpoint.countersigned:
        when = time.strftime("%Y-%m-%d %H:%M:%S UTC", time.gmtime(at))
        say(f"PROVED: {name} countersigned the same {checkpoint.size} entries at {when}, by its own clock.")
    say("NOT PROVED: that the shop measured with care and entered the truth.",
        "NOT PROVED: that the hose in your hand is the one with this serial; tags can be copied.",
        "NOT PROVED: that no further entries were left out.")
    if not checkpoint.countersigned:
        say("NOT PROVED: when it was written; no other key has countersigned it.")


def key_from(text):
    return Key(Path(text[1:]).read_text().strip() if text.startswith("@") else text)


def check(given):
    key, witnesses = key_from(given.key), [key_from(w) for w in given.witness]
    if given.tag is not None:
        _, _, serial, order, date, kpa, verdict, margin, station = check_tag(given.tag, key)
        say(f"PROVED: {key.name} issued these words for a tag: serial {serial}, order {order}, date {date}, working "
            f"pressure {kpa} kPa, {'passed on a CONCESSION' if verdict else 'passed'}, worst margin {margin} um, station "
            f"{station}.", "NOT PROVED: that the hose in your hand is the one they were issued for; tags can be copied.")
        return
    data = Path(given.file).read_bytes()
    if given.record:
        checkpoint, seq = check_tlog_proof(data, Path(given.record).read_bytes(), key, witnesses)
        tell(checkpoint, f"the record was entry {seq} of the {checkpoint.size} that {key.name} signed")
        return
    paper = data.startswith(b"%PDF-")
    if paper:
        try:
            evidence = Evidence(record_inside(data))
            inside = None
        except NotProved as why:  # said after the seal: a changed file is a changed file first
            evidence, inside = None, why
        say("PROVED: the PDF is, byte for byte, the paper that was sealed as "
            + check_seal(data, key, evidence.handovers if evidence else []) + ".")
        if inside:
            raise inside
    else:
        evidence = Evidence(data)
    checkpoint, steps = evidence.check(key, witnesses)
    if steps:
        say(f"PROVED: the key that signed was handed over from the trusted one in {steps} signed steps.")
    numbers = ", ".join(str(seq) for seq, _, _ in evidence.entries)
    tell(checkpoint, f"{len(evidence.entries)} entries ({numbers}) about {', '.join(evidence.serials)} were in the journal "
                     f"of {checkpoint.size} entries that {key.name} signed")


def main(arguments=None):
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("file", nargs="?")
    options.add_argument("--key", required=True)
    options.add_argument("--witness", action="append", default=[])
    options.add_argument("--record")
    options.add_argument("--tag")
    given = options.parse_args(arguments)
    if (given.file is None) == (given.tag is None):
        options.error("a file or a tag's code, one of them")
    try:
        check(given)
    except NotProved as why:
        say(f"FAILED ({why.what}): {why}", "Nothing that stands in this file should be relied upon.")
        return 1
    except OSError as why:
        say(f"FAILED (file): {why}")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
