"""What a shop would hand out, made without any of the station's code, with keys that everybody knows.

Entries, tree, checkpoint with a countersignature, evidence, a sealed PDF with the evidence in it, a key handed over, a
tag's code: by the formats of reports/EVIDENCE.md. As a program it writes them to tests/data/proof, where the tests of
the station's own code find them, too: both sides must make the same bytes.
"""
import base64
import hashlib
import json
import sys
import zlib
from pathlib import Path

import nacl.signing

DATA = Path(__file__).resolve().parents[1] / "data/proof"
NAME = "crimp.example/station-1"
WITNESS = "auditor.example/w1"
COUNTERSIGNED = 1_741_070_000  # 2025-03-04 06:33:20 UTC
# RFC 8032 section 7.1, TEST 1, 2 and 3: public for ever, good for tests only.
SEEDS = [bytes.fromhex(h) for h in ("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
                                    "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
                                    "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7")]


def b64(data):
    return base64.b64encode(data).decode()


def canonical(value):
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def sha256(data):
    return hashlib.sha256(data).digest()


class Signer:
    def __init__(self, name, seed, kind=1):
        self.name, self.kind, self.key = name, kind, nacl.signing.SigningKey(seed)
        self.typed = bytes([kind]) + self.key.verify_key.encode()
        self.id = sha256(name.encode() + b"\n" + self.typed)[:4]
        self.text = f"{name}+{self.id.hex()}+{b64(self.typed)}"

    def sign(self, data):
        return self.key.sign(data).signature

    def line(self, text, at=None):
        field = self.sign(text.encode()) if at is None else \
            at.to_bytes(8, "big") + self.sign(f"cosignature/v1\ntime {at}\n{text}".encode())
        return f"— {self.name} {b64(self.id + field)}\n"

    def note(self, text):
        return text + "\n" + self.line(text)


def tag_signer(seed):
    """libsodium's crypto_kdf: BLAKE2b with the seed as key, number 1 as salt, the context as person."""
    return Signer(NAME, hashlib.blake2b(key=seed, digest_size=32, salt=(1).to_bytes(16, "little"),
                                        person=b"cg-tags_".ljust(16, b"\0")).digest())


STATION, NEXT = Signer(NAME, SEEDS[0]), Signer(NAME, SEEDS[2])
COUNTER = Signer(WITNESS, SEEDS[1], 4)
TAG = tag_signer(SEEDS[0])


def entries():
    """An order, two assemblies, the second with a reading outside."""
    def entry(seq, kind, **body):
        return canonical({"body": body, "seq": seq, "time": f"2025-03-04T05:{seq:02}:00.000Z", "type": kind})
    return [entry(1, "station.started", station="K1"),
            entry(2, "order.opened", order="WO-2041", customer="Fennick Harvesters (invented) – Größe ok"),
            entry(3, "assembly.started", serial="K103", order="WO-2041"),
            entry(4, "reading.judged", serial="K103", value_nm=25_480_000, upper_nm=25_700_000, verdict="conforms"),
            entry(5, "assembly.passed", serial="K103"),
            entry(6, "assembly.started", serial="K104", order="WO-2041"),
            entry(7, "reading.judged", serial="K104", value_nm=25_712_000, upper_nm=25_700_000, verdict="does_not"),
            entry(8, "assembly.held", serial="K104"),
            entry(9, "assembly.started", serial="K105", order="WO-2041"),
            entry(10, "shift.ended", by="OP-7"),
            entry(11, "shift.started", by="OP-8")]


def root(leaves):
    if len(leaves) == 1:
        return leaves[0]
    half = 1
    while half * 2 < len(leaves):
        half *= 2
    return sha256(b"\x01" + root(leaves[:half]) + root(leaves[half:]))


def path(index, leaves):
    """RFC 9162 section 2.1.3.1, word for word."""
    if len(leaves) == 1:
        return []
    half = 1
    while half * 2 < len(leaves):
        half *= 2
    if index < half:
        return path(index, leaves[:half]) + [root(leaves[half:])]
    return path(index - half, leaves[half:]) + [root(leaves[:half])]


def evidence(signer=STATION, handovers=(), size=10, shown=(2, 3, 4, 5), serials=("K103",)):
    all_entries = entries()
    leaves = [sha256(b"\0" + e.encode()) for e in all_entries[:size]]
    text = f"{NAME}\n{size}\n{b64(root(leaves))}\n"
    return {"format": "crimpgate-evidence/1", "name": NAME, "key": signer.text, "handovers": list(handovers),
            "serials": list(serials), "checkpoint": signer.note(text) + COUNTER.line(text, COUNTERSIGNED),
            "entries": [{"seq": n, "bytes": all_entries[n - 1], "proof": [b64(h) for h in path(n - 1, leaves)]}
                        for n in shown]}


def hand_over(old=STATION, new=NEXT):
    return old.note(f"crimpgate-key/1 {NAME}\n{new.text}\n{b64(tag_signer(SEEDS[2]).typed[1:])}\n")


def pdf(record, packed=False):
    """One page that says something, and a file inside it."""
    page = b"BT /F1 24 Tf 40 40 Td (Certificate CF-17: K103 passed at 25.48 mm) Tj ET"
    inside = zlib.compress(record) if packed else record
    packing = b"/Filter /FlateDecode " if packed else b""
    objects = [b"<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [(record.json) 6 0 R] >> >> >>",
               b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
               b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 120] /Contents 4 0 R "
               b"/Resources << /Font << /F1 5 0 R >> >> >>",
               b"<< /Length %d >>\nstream\n%b\nendstream" % (len(page), page),
               b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
               b"<< /Type /Filespec /F (record.json) /UF (record.json) /EF << /F 7 0 R >> >>",
               b"<< /Type /EmbeddedFile /Subtype /application#2Fjson %b/Length %d >>\nstream\n%b\nendstream"
               % (packing, len(inside), inside)]
    out, places = b"%PDF-1.7\n", []
    for n, each in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (n, each)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    return out + b"xref\n0 %d\n0000000000 65535 f \n%btrailer\n<< /Root 1 0 R /Size %d >>\nstartxref\n%d\n%%%%EOF\n" % (
        len(objects) + 1, table, len(objects) + 1, len(out))


def seal(paper, number="CF-17", signer=STATION):
    note = signer.note(f"crimpgate-paper/1 {NAME}\n{number}\n{len(paper)}\n{b64(sha256(paper))}\n")
    return paper + b"%crimpgate-paper/1\n" + "".join(f"%{line}\n" for line in note[:-1].split("\n")).encode()


def tag_bytes(serial="K103", order="WO-2041", date=20250304, kpa=27500, verdict=0, margin=120, station="K1", signer=TAG):
    def head(major, value):
        if value < 24:
            return bytes([major << 5 | value])
        code, size = next((code, size) for code, size in ((24, 1), (25, 2), (26, 4)) if value < 256**size)
        return bytes([major << 5 | code]) + value.to_bytes(size, "big")

    def text(words):
        return head(3, len(words.encode())) + words.encode()
    array = head(4, 9) + head(0, 1) + head(2, 4) + signer.id + text(serial) + text(order) + head(0, date) + \
        head(0, kpa) + head(0, verdict) + (head(0, margin) if margin >= 0 else head(1, -1 - margin)) + text(station)
    return array + signer.sign(b"crimpgate-tag/1\0" + array)


def base45(data):
    digits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
    out = ""
    for at in range(0, len(data), 2):
        part = data[at:at + 2]
        value = int.from_bytes(part, "big")
        for _ in range(len(part) + 1):
            out += digits[value % 45]
            value //= 45
    return out


def tag_code(data):
    return "CG1:" + base45(data)


def tag_link(data, shop="HTTPS://SHOP.EXAMPLE"):
    return f"{shop}/C/{base64.b32encode(data).decode().rstrip('=')}"


def files():
    good = canonical(evidence()).encode()
    handed = canonical(evidence(NEXT, [hand_over()])).encode()
    keys = {"source": "Made by tests/outside/evidence_sample.py without the station's code; keys RFC 8032 TEST 1, 2 and "
                      "3, never to be used", "station": STATION.text, "next": NEXT.text, "witness": COUNTER.text,
            "tag": TAG.text, "tag_code": tag_code(tag_bytes()), "tag_link": tag_link(tag_bytes()),
            "tag_concession": tag_code(tag_bytes("K104", verdict=1, margin=-12))}
    return {"evidence_good.json": good, "evidence_handed_over.json": handed, "certificate_good.pdf": seal(pdf(good)),
            "evidence_keys.json": (json.dumps(keys, indent=1, ensure_ascii=False) + "\n").encode()}


if __name__ == "__main__":
    for file, data in files().items():
        (DATA / file).write_bytes(data)
    sys.exit(0)
