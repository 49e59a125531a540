#!/usr/bin/python3
"""Holds a file of EPCIS 2.0 events against the public schema, and against what that schema lets pass.

    tests/outside/epcis.py FILE [--schema SCHEMA]

The schema is other people's file and no part of this project: it is read from ../shared/reference beside it, and where
that is not there the schema's part is left out. Ends with 0 when all is well, with 1 when anything is wrong, with 77 when
all that was checked is well but the schema was not there. Every kind of fault is tried on the file itself first: a check
that would let it pass is a fault of the checks.
Called by its path with Debian's Python: another one in PATH would not see python3-jsonschema.
"""
import argparse
import copy
import datetime
import json
import re
import sys
from pathlib import Path

SCHEMA = Path(__file__).resolve().parents[2] / "../shared/reference/data/third_party/EPCIS-JSON-Schema.json"
# RFC 3986: a scheme, then something, and no blank or quote anywhere.
URI = re.compile(r"[a-z][a-z0-9+.-]*:[^\s\"<>\\^`{}|]+")
TIME = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})")
# Only who holds a company prefix may make these; a shop's own names must not look like them.
GS1 = re.compile(r"id\.gs1\.org|urn:epc:|/(01|8003|8004|8010|00|414)/\d")
UNITS = {"Length": {"MMT"}, "Pressure": {"BAR"}}
IDS = {"epcClass", "bizTransaction", "deviceID", "bizRules", "component", "id"}


def faults(document):
    """What the schema does not see: an empty list of things, a wrong version, a time or unit that is none."""
    found = []

    def wrong(condition, words):
        if condition:
            found.append(words)

    wrong(document.get("schemaVersion") != "2.0", "schemaVersion is not 2.0")
    prefixes = {name for part in document.get("@context", []) if isinstance(part, dict) for name in part}

    def walk(value, name):
        if isinstance(value, dict):
            for key, inner in value.items():
                if ":" in key:
                    wrong(key.split(":")[0] not in prefixes, f"{key}: no such prefix in @context")
                walk(inner, key)
        elif isinstance(value, list):
            for inner in value:
                walk(inner, name)
        elif isinstance(value, str):
            wrong(GS1.search(value), f"{name}: {value} looks like a GS1 key")
            wrong((name in IDS or name.endswith("EPCList") or name == "epcList") and not URI.fullmatch(value), f"{name}: {value} is no URI")
            if name in ("eventTime", "creationDate", "time"):
                wrong(not TIME.fullmatch(value), f"{name}: {value} is no time with its offset")

    walk(document, "")
    events = document["epcisBody"]["eventList"]
    wrong(not events, "no events")
    made = set()
    for event in events:
        things = event.get("outputEPCList") or event.get("epcList") or []
        wrong(not things, f"{event['type']} is about nothing")
        wrong(len(set(things)) != len(things), "a thing stands twice in one event")
        offset = event.get("eventTimeZoneOffset", "")
        wrong(not re.fullmatch(r"[+-](0\d|1[0-4]):(00|15|30|45)", offset), f"{offset!r} is no offset")
        if event["type"] == "TransformationEvent":
            made.update(things)
            wrong(not event.get("inputQuantityList"), "made of nothing")
            for quantity in event.get("inputQuantityList", []):
                wrong(quantity.get("quantity", 0) <= 0, "a quantity of nothing")
        else:
            wrong(not set(things) <= made, "inspected or sent, but never made in this file")
        try:
            when = datetime.datetime.fromisoformat(event["eventTime"].replace("Z", "+00:00"))
            made_at = datetime.datetime.fromisoformat(document["creationDate"].replace("Z", "+00:00"))
            wrong(when > made_at, "an event after the file was made")
        except (ValueError, TypeError):  # none at all, or one without its offset
            found.append(f"{event['eventTime']} is no time")
        for element in event.get("sensorElementList", []):
            for report in element["sensorReport"]:
                wrong(report.get("uom") not in UNITS.get(report["type"], ()), f"{report['type']} in {report.get('uom')}")
                if "minValue" in report:
                    values = [report.get(name) for name in ("minValue", "meanValue", "maxValue")]
                    fine = all(isinstance(value, (int, float)) for value in values) and values == sorted(values)
                    wrong(not fine, "least, mean and most are out of order")
    return found


# Each on a copy of the document; what has to see it: the schema alone sees some, we see the others.
def spoiled(document):
    def on(change):
        copied = copy.deepcopy(document)
        change(copied, copied["epcisBody"]["eventList"])
        return copied

    def sensor(events):
        return next(report for event in events for element in event.get("sensorElementList", []) for report in element["sensorReport"])

    inspected = next(i for i, event in enumerate(document["epcisBody"]["eventList"]) if event["type"] == "ObjectEvent")
    return {
        "version": (True, on(lambda d, e: d.update(schemaVersion="3.0"))),
        "nothing in epcList": (True, on(lambda d, e: e[inspected].pop("epcList"))),
        "offset": (True, on(lambda d, e: e[0].update(eventTimeZoneOffset="1:00"))),
        "time without offset": (True, on(lambda d, e: e[0].update(eventTime="2026-11-25T08:00:00"))),
        "unit": (True, on(lambda d, e: sensor(e).update(uom="INCHES"))),
        "order of values": (True, on(lambda d, e: sensor(e).update(minValue=99))),
        "GS1 key": (True, on(lambda d, e: e[inspected].update(epcList=["https://id.gs1.org/01/09521141123454/21/1"]))),
        "no URI": (True, on(lambda d, e: e[inspected].update(epcList=["K1000017"]))),
        "foreign prefix": (True, on(lambda d, e: e[0].update({"other:word": "x"}))),
        "step": (False, on(lambda d, e: e[0].update(bizStep="crimping"))),
        "disposition": (False, on(lambda d, e: e[0].update(disposition="good"))),
        "measurement": (False, on(lambda d, e: sensor(e).update(type="Diameter"))),
        "action": (False, on(lambda d, e: e[inspected].update(action="LOOK"))),
        "no context": (False, on(lambda d, e: d.pop("@context"))),
        "member without prefix": (False, on(lambda d, e: e[0].update(serial="x"))),
        "value as text": (False, on(lambda d, e: sensor(e).update(minValue="25.5"))),
    }


def main(arguments):
    parser = argparse.ArgumentParser()
    parser.add_argument("file", type=Path)
    parser.add_argument("--schema", type=Path, default=SCHEMA)
    asked = parser.parse_args(arguments)
    document = json.loads(asked.file.read_text(encoding="utf-8"))
    wrong = faults(document)
    validator = None
    if asked.schema.is_file():
        import jsonschema
        # Formats are looked at only where somebody says how; a word of a closed list is else as good as any URI.
        formats = jsonschema.FormatChecker(formats=())
        formats.checks("uri")(lambda value: not isinstance(value, str) or bool(URI.fullmatch(value)))
        formats.checks("date-time")(lambda value: not isinstance(value, str) or bool(TIME.fullmatch(value)))
        validator = jsonschema.Draft7Validator(json.loads(asked.schema.read_text(encoding="utf-8")), format_checker=formats)
        wrong += [f"schema: {'/'.join(map(str, error.path))}: {error.message[:300]}" for error in validator.iter_errors(document)]
    if not wrong:
        for name, (ours, copied) in spoiled(document).items():
            if not (faults(copied) if ours else validator is None or not validator.is_valid(copied)):
                wrong.append(f"a spoiled file passes: {name}")
    for words in wrong:
        print(f"FAILED: {words}")
    events = document["epcisBody"]["eventList"]
    print(f"{len(events)} events, {'with' if validator else 'without'} the schema, {len(wrong)} faults")
    return 1 if wrong else 0 if validator else 77


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
