#!/usr/bin/python3
"""Holds a file of QIF 3.0 results (ISO 23952:2020) against the standard's schema, and against what that lets pass.

    tests/outside/qif.py FILE [--record JSON] [--schema TAR.GZ] [--xmldsig XSD]

The schema is other people's file and no part of this project: it is read from ../shared/reference beside it, packed as
QIFApplications/ and QIFLibrary/, with a stand-in for the schema of signatures that it fetches by its address; where that
is not there the schema's part is left out. `--record` is the same assembly's record as the customer's page has it: every
value, limit, verdict and time must be the same there. Ends with 0 when all is well, with 1 when anything is wrong, with
77 when all that was checked is well but the schema was not there. Every kind of fault is tried on the file itself first:
a check that would let it pass is a fault of the checks.
Called by its path with Debian's Python; xmllint comes with libxml2-utils.
"""
import argparse
import copy
import datetime
import json
import re
import subprocess
import sys
import tarfile
import tempfile
import xml.etree.ElementTree as tree
from decimal import Decimal
from pathlib import Path

DATA = Path(__file__).resolve().parents[2] / "../shared/reference/data"
SPACE = "{http://qifstandards.org/xsd/qif3}"
# An id of something is only ever named by these (read off the schema's QIFReferenceType elements in use here), and each
# must be of the right kind.
REFERENCES = {
    "FormalStandardId": r"Standard",
    "CharacteristicDefinitionId": r"\w+CharacteristicDefinition",
    "CharacteristicNominalId": r"\w+CharacteristicNominal",
    "CharacteristicItemId": r"\w+CharacteristicItem",
    "ActualComponentId": r"ActualComponent",
    "MeasurementDeviceIds": r"MeasurementDevice",
    "NotedEventIds": r"NotedEvent",
    "ActualComponentIds": r"ActualComponent",
    "ReferencedStandardIds": r"Standard",
}
STATUS = {"conforms": "PASS", "fails": "FAIL", "uncertain": "INDETERMINATE"}


def kind(element):
    return element.tag.removeprefix(SPACE)


def find(element, path):
    return element.find("/".join(SPACE + name for name in path.split("/")))


def text(element, path):
    found = find(element, path)
    return None if found is None else found.text or ""


def attribute(element, name):
    for one in element.findall(f"{SPACE}Attributes/*"):
        if one.get("name") == name:
            return one.get("value")
    return None


def millimetres(words):
    return None if words is None else Decimal(words.removesuffix(" mm"))


class Held:
    """What the schema does not see."""

    def __init__(self, root, record=None):
        self.root, self.found, self.by_id = root, [], {}
        self.ids_and_counts()
        self.references()
        for results in root.iter(SPACE + "MeasurementResults"):
            self.results(results)
        self.loose_ends()
        self.times()
        if record is not None:
            self.record(record)

    def wrong(self, condition, words):
        if condition:
            self.found.append(words)

    def ids_and_counts(self):
        most = 0
        for element in self.root.iter():
            own = element.get("id")
            if own is not None:
                self.wrong(own in self.by_id, f"id {own} stands twice")
                self.by_id[own] = element
                most = max(most, int(own))
            if element.get("n") is not None:
                members = [child for child in element if kind(child) != "Attributes" or kind(element) == "Attributes"]
                self.wrong(int(element.get("n")) != len(members), f"{kind(element)} says {element.get('n')}, holds {len(members)}")
            if kind(element) == "Attributes":
                names = [child.get("name") for child in element]
                self.wrong(len(set(names)) != len(names), f"an attribute stands twice: {names}")
        self.wrong(int(self.root.get("idMax")) < most, f"idMax {self.root.get('idMax')} is below {most}")

    def references(self):
        def pointed(name, id_text):
            target = self.by_id.get(id_text)
            self.wrong(target is None, f"{name} {id_text} points at nothing")
            if target is not None:
                self.wrong(not re.fullmatch(REFERENCES[name], kind(target)), f"{name} {id_text} points at a {kind(target)}")

        for element in self.root.iter():
            name = kind(element)
            if name in REFERENCES:
                for one in element.findall(SPACE + "Id") or [element]:
                    pointed(name, one.text)
            else:
                self.wrong(name.endswith("Id") and name not in ("Id", "QPId") and not name.endswith("QPId"), f"{name}: a reference that is not looked at")

    def chain(self, measurement):
        """Item, nominal and definition of a measurement, each of its own kind."""
        out, family = [], kind(measurement).removesuffix("Measurement")
        for name, of in (("CharacteristicItemId", "Item"), ("CharacteristicNominalId", "Nominal"), ("CharacteristicDefinitionId", "Definition")):
            target = self.by_id.get(text(out[-1] if out else measurement, name))
            if target is None or kind(target) != family + of:
                self.wrong(True, f"{kind(measurement)} {measurement.get('id')}: its {of.lower()} is of another kind")
                return None
            out.append(target)
        return out

    def results(self, results):
        seen, verdicts, pressures = set(), [], []
        component = text(results, "ActualComponentIds/Id")
        for one in find(results, "MeasuredCharacteristics/CharacteristicMeasurements"):
            chain = self.chain(one)
            if chain is None:
                continue
            where = f"{text(chain[0], 'Name')} of {component}"
            self.wrong(chain[0].get("id") in seen, f"{where}: measured twice")
            seen.add(chain[0].get("id"))
            self.wrong(text(one, "ActualComponentId") != component, f"{where}: of another component")
            status = text(one, "Status/CharacteristicStatusEnum")
            fair = self.fair(one, chain, where)
            self.wrong(status not in fair, f"{where}: {status}, by its figures {' or '.join(sorted(fair))}")
            (pressures if kind(one).startswith("UserDefinedPressure") else verdicts).append(status)
            conceded = attribute(one, "Conceded") == "true"
            self.wrong(conceded and status == "PASS", f"{where}: conceded and PASS")
            self.wrong(conceded != (find(one, "NotedEventIds") is not None), f"{where}: a concession without its event, or an event without one")
            self.wrong(conceded != bool(text(one, "NonConformanceDesignator")), f"{where}: a concession without its designator")
        verdicts += pressures[-1:]  # of tests that were repeated the last one
        whole = "FAIL" if "FAIL" in verdicts else "UNKNOWN" if "INDETERMINATE" in verdicts else "PASS"
        said = text(results, "InspectionStatus/InspectionStatusEnum")
        self.wrong(said != whole, f"{component}: {said}, by its measurements {whole}")
        target = self.by_id.get(component)
        if target is not None and kind(target) == "ActualComponent":
            self.wrong(text(target, "Status/InspectionStatusEnum") != whole, f"{component}: its status is not that of its results")

    def fair(self, one, chain, where):
        """The statuses that the figures allow."""
        value, definition = text(one, "Value"), chain[2]
        if kind(one).startswith("UserDefinedAttribute"):
            passing, failing = ([v.text for v in find(chain[1], name)] for name in ("PassValues", "FailValues"))
            self.wrong(value not in passing + failing, f"{where}: {value} is neither a pass nor a fail")
            return {"PASS"} if value in passing else {"FAIL"}
        upper, lower = (text(definition, f"Tolerance/{name}") for name in ("MaxValue", "MinValue"))
        self.wrong(find(definition, "Tolerance") is not None and text(definition, "Tolerance/DefinedAsLimit") != "true", f"{where}: limits that are none")
        self.wrong(upper is not None and lower is not None and Decimal(lower) > Decimal(upper), f"{where}: limits the wrong way round")
        target = text(chain[1], "TargetValue")
        self.wrong(target is not None and not Decimal(lower) <= Decimal(target) <= Decimal(upper), f"{where}: a target outside of its limits")
        value = Decimal(value)
        outside = (upper is not None and value > Decimal(upper)) or (lower is not None and value < Decimal(lower)) or (lower is None and value < 0)
        if kind(one).startswith("UserDefinedPressure"):
            short = Decimal(attribute(one, "HeldSeconds")) < Decimal(attribute(one, "HoldAskedSeconds"))
            return {"FAIL"} if outside or short or attribute(one, "Seen") != "nothing" else {"PASS"}
        uncertainty = find(one, "Value").get("combinedUncertainty")
        self.wrong((uncertainty is None) != (find(one, "Value").get("meanError") is None), f"{where}: uncertainty and mean error go together")
        self.wrong(uncertainty is not None and Decimal(uncertainty) != millimetres(attribute(one, "StandardUncertainty")), f"{where}: two uncertainties")
        guard = millimetres(attribute(one, "Guard")) or Decimal(0)
        safe = (upper is None or value <= Decimal(upper) - guard) and (lower is None or value >= Decimal(lower) + guard)
        return {"FAIL"} if outside else {"PASS"} if safe else {"INDETERMINATE"}

    def loose_ends(self):
        used = {element.text for element in self.root.iter() if kind(element) in REFERENCES or kind(element) == "Id"}
        for own, element in self.by_id.items():
            loose = re.fullmatch(r"\w+Characteristic(Definition|Nominal|Item)|MeasurementDevice|ActualComponent", kind(element))
            self.wrong(loose and own not in used, f"{kind(element)} {own} is of no use to anything")
        serials = [component.findtext(SPACE + "SerialNumber") for component in self.root.iter(SPACE + "ActualComponent")]
        self.wrong(len(set(serials)) != len(serials) or None in serials or "" in serials, f"serials: {serials}")
        if find(self.root, "FileUnits/PrimaryUnits/LinearUnit") is None or text(self.root, "FileUnits/PrimaryUnits/LinearUnit/UnitConversion/Factor") != "0.001":
            self.wrong(True, "lengths in something else than millimetres")
        bar = text(self.root, "FileUnits/PrimaryUnits/PressureUnit/UnitConversion/Factor")
        pressures = any(kind(e) == "UserDefinedPressureCharacteristicMeasurement" for e in self.root.iter())
        self.wrong(bar != ("100000" if pressures else None), "pressures in something else than bar")
        self.wrong(any("Signature" in kind(element) for element in self.root.iter()), "a signature in a file that is not signed")

    def times(self):
        made = datetime.datetime.fromisoformat(text(self.root, "Version/TimeCreated").replace("Z", "+00:00"))
        for element in self.root.iter():
            if kind(element) in ("TimeStamp", "TimeOccurred", "InspectionEnd"):
                self.wrong(not element.text.endswith("Z"), f"{kind(element)} {element.text} is not UTC")
                if element.text.endswith("Z"):
                    self.wrong(datetime.datetime.fromisoformat(element.text.replace("Z", "+00:00")) > made, f"{kind(element)} {element.text} is after the file was made")
        for calibration in self.root.iter(SPACE + "Calibration"):
            begun, ended = text(calibration, "CalibrationDate"), text(calibration, "ExpirationDate")
            self.wrong(begun is not None and begun > ended, "a calibration that ends before it begins")

    def record(self, shown):
        """Value by value what the customer's page says."""
        record = shown["record"]
        component = next(self.root.iter(SPACE + "ActualComponent"))
        wanted = {"Order": record["order"], "CustomerPart": record["customer_part"], "HoseLot": record["hose_lot"], "FittingLotEndA": record["ends"][0]["fitting_lot"],
                  "FittingLotEndB": record["ends"][1]["fitting_lot"], "SpecificationEndA": f"{record['rows'][0]['spec']} rev {record['rows'][0]['revision']}", "RecordEntry": str(record["passed_entry"]),
                  "WorkingPressure": f"{(Decimal(record['working_pressure_kpa']) / 100).normalize():f} bar", "OverallLength": f"{(Decimal(record['overall_length_nm']) / 10**6).normalize():f} mm"}
        self.wrong(text(component, "SerialNumber") != record["serial"], "another serial than the record's")
        for name, value in wanted.items():
            self.wrong((attribute(component, name) or "") != value, f"{name} is {attribute(component, name)}, the record has {value}")
        measured = [one for one in self.root.iter() if kind(one).endswith("CharacteristicMeasurement") and not kind(one).startswith("UserDefinedPressure")]
        told = [(end["end"].upper(), reading) for end in record["ends"] for reading in end["readings"]]
        self.wrong(len(measured) != len(told), f"{len(measured)} measurements, the record has {len(told)}")
        for one, (end, reading) in zip(measured, told):
            chain = self.chain(one)
            if chain is None:
                continue
            where = text(chain[0], "Name")
            self.wrong(not re.search(rf"\bend {end}\b", where), f"{where}: the record has it at end {end}")
            self.wrong("flat" in reading and not where.endswith(f"place {reading['flat']}"), f"{where}: the record has it at place {reading.get('flat')}")
            self.wrong(text(one, "Status/CharacteristicStatusEnum") != STATUS[reading["verdict"]], f"{where}: the record says {reading['verdict']}")
            nm = {name: None if reading.get(f"{name}_nm") is None else Decimal(reading[f"{name}_nm"]) / 10**6 for name in ("value", "lower", "upper", "guard", "uncertainty")}
            if nm["value"] is None:
                self.wrong(text(one, "Value") != reading.get("seen", {True: "yes", False: "no"}.get(reading.get("yes"))), f"{where}: {text(one, 'Value')}")
            else:
                ours = {"value": text(one, "Value"), "lower": text(chain[2], "Tolerance/MinValue"), "upper": text(chain[2], "Tolerance/MaxValue")}
                ours = {name: None if value is None else Decimal(value) for name, value in ours.items()}
                ours |= {"guard": millimetres(attribute(one, "Guard")), "uncertainty": millimetres(attribute(one, "StandardUncertainty"))}
                self.wrong(ours != nm, f"{where}: {ours}, the record has {nm}")
            self.wrong((attribute(one, "MeasuredBy") or "") != reading.get("by", ""), f"{where}: measured by {attribute(one, 'MeasuredBy')}, the record has {reading.get('by')}")
            self.wrong(reading.get("at") != text(one, "TimeStamp"), f"{where}: at {text(one, 'TimeStamp')}, the record has {reading.get('at')}")
            self.wrong(bool(reading.get("conceded")) != (attribute(one, "Conceded") == "true"), f"{where}: conceded or not")
            device = self.by_id.get(text(one, "MeasurementDeviceIds/Id"))
            self.wrong((text(device, "SerialNumber") if device is not None else "") != reading.get("gauge", ""), f"{where}: another gauge than {reading.get('gauge')}")
        gauges = {(g["gauge"], g["calibrated"], g["due"], g["certificate"], Decimal(g["resolution_nm"]) / 10**6) for g in record["gauges"]}
        devices = {(text(d, "SerialNumber"), attribute(d, "CalibratedOn") or "", attribute(d, "CalibrationDue") or "", attribute(d, "CalibrationCertificate") or "", millimetres(attribute(d, "Resolution")))
                   for d in self.root.iter(SPACE + "MeasurementDevice")}
        self.wrong(gauges != devices, f"gauges {devices}, the record has {gauges}")


def schema_faults(schema, paths):
    """{path: what is wrong}; the schema is read once, which takes longer than all the files."""
    answer = subprocess.run(["xmllint", "--nonet", "--noout", "--schema", str(schema), *map(str, paths)], capture_output=True, text=True)
    out = {}
    for path in paths:
        said = [line for line in answer.stderr.splitlines() if line.startswith(f"{path}")]
        out[path] = [] if f"{path} validates" in said else [f"schema: {line[:300]}" for line in said] or ["schema: " + answer.stderr[-300:]]
    return out


# Each on a copy of the file; what has to see it: the schema sees some, we see the others.
def spoiled(root, record):
    def on(change):
        copied = copy.deepcopy(root)
        change(copied)
        return copied

    def first(copied, name):
        return next(copied.iter(SPACE + name))

    def set_text(name, words):
        return on(lambda r: setattr(first(r, name), "text", words))

    def bump(element, name, by):
        element.set(name, str(int(element.get(name)) + by))

    def unlisted(copied, name):
        parent = next(p for p in copied.iter() for child in p if kind(child) == name)
        parent.remove(next(child for child in parent if kind(child) == name))
        return parent

    def drop(name):
        return on(lambda r: unlisted(r, name))

    def twice(copied):
        ids = [e for e in copied.iter() if e.get("id")]
        ids[-1].set("id", ids[0].get("id"))

    def swapped(copied):
        tolerance = next(t for t in copied.iter(SPACE + "Tolerance") if find(t, "MinValue") is not None and find(t, "MaxValue") is not None)
        least, most = find(tolerance, "MinValue"), find(tolerance, "MaxValue")
        least.text, most.text = most.text, least.text

    def other_component(copied):
        component = first(copied, "ActualComponent")
        first(copied, "DiameterCharacteristicMeasurement").find(SPACE + "ActualComponentId").text = component.get("id") + "0"

    def end_order(copied):
        measurement = first(copied, "DiameterCharacteristicMeasurement")
        value = measurement[-1]
        del measurement[-1]
        measurement.insert(0, value)

    def half(copied):
        first(copied, "DiameterCharacteristicMeasurement").find(SPACE + "Value").attrib.pop("meanError")

    def conceded(copied):
        tree.SubElement(first(copied, "DiameterCharacteristicMeasurement").find(SPACE + "Attributes"), SPACE + "AttributeBool", name="Conceded", value="true")
        bump(first(copied, "DiameterCharacteristicMeasurement").find(SPACE + "Attributes"), "n", 1)

    def status(name, value):
        def change(copied):
            first(copied, name).find(SPACE + "Status")[0].text = value
        return on(change)

    def value(words):
        def change(copied):
            first(copied, "DiameterCharacteristicMeasurement").find(SPACE + "Value").text = words
        return on(change)

    good = text(first(root, "DiameterCharacteristicMeasurement"), "Status/CharacteristicStatusEnum") == "PASS"
    ours = {
        "idMax too small": on(lambda r: bump(r, "idMax", -1)),
        "an id twice": on(twice),
        "a count of measurements": on(lambda r: bump(first(r, "CharacteristicMeasurements"), "n", 1)),
        "a count of devices": on(lambda r: bump(first(r, "MeasurementDevices"), "n", 1)),
        "a count of attributes": on(lambda r: bump(first(r, "Attributes"), "n", 1)),
        "a dangling FormalStandardId": set_text("FormalStandardId", "999999"),
        "a FormalStandardId to a device": on(lambda r: setattr(first(r, "FormalStandardId"), "text", first(r, "MeasurementDevice").get("id"))),
        "a dangling item": set_text("CharacteristicItemId", "999999"),
        "a dangling device": on(lambda r: setattr(first(r, "MeasurementDeviceIds")[0], "text", "999999")),
        "a dangling definition": set_text("CharacteristicDefinitionId", "999999"),
        "a dangling nominal": set_text("CharacteristicNominalId", "999999"),
        "another component": on(other_component),
        "PASS turned to FAIL": status("DiameterCharacteristicMeasurement", "FAIL" if good else "PASS"),
        "a diameter outside of its limits and PASS": value("9.99"),
        "a confirmation that nobody knows": on(lambda r: setattr(find(first(r, "UserDefinedAttributeCharacteristicMeasurement"), "Value"), "text", "perhaps")),
        "limits the wrong way round": on(swapped),
        "limits as differences": set_text("DefinedAsLimit", "false"),
        "the whole better than its parts": on(lambda r: setattr(first(r, "InspectionStatus")[0], "text", "NOT_MEASURED")),
        "a component better than its results": on(lambda r: setattr(find(first(r, "ActualComponent"), "Status")[0], "text", "UNDEFINED")),
        "uncertainty without mean error": on(half),
        "a concession on a good value": on(conceded),
        "inches": set_text("Factor", "0.0254"),
        "a time after the file": set_text("TimeStamp", "2100-01-01T00:00:00.000Z"),
        "a time of no zone": set_text("TimeStamp", "2026-11-25T08:00:00"),
        "an attribute twice": on(lambda r: [bump(a, "n", 1) or a.append(copy.deepcopy(a[0])) for a in [first(r, "Attributes")]]),
        "a serial lost": on(lambda r: setattr(find(first(r, "ActualComponent"), "SerialNumber"), "text", "")),
    }
    if record is not None:
        def nudged(copied):
            element = find(first(copied, "DiameterCharacteristicMeasurement"), "Value")
            element.text = str(Decimal(element.text) + Decimal("0.000001"))
        ours |= {
            "a nanometre beside the record": on(nudged),
            "another person": on(lambda r: [a.set("value", "Nobody") for a in first(r, "DiameterCharacteristicMeasurement").iter() if a.get("name") == "MeasuredBy"]),
            "another due date": on(lambda r: [a.set("value", "2099-01-01") for a in r.iter() if a.get("name") == "CalibrationDue"]),
            "another serial": on(lambda r: setattr(find(first(r, "ActualComponent"), "SerialNumber"), "text", "X")),
            "another lot": on(lambda r: [a.set("value", "X") for a in r.iter() if a.get("name") == "HoseLot"]),
        }
    schemas = {
        "no id of the file": drop("QPId"),
        "an id of the file that is none": set_text("QPId", "CF-12"),
        "the value before all else": on(end_order),
        "a status that is none": status("DiameterCharacteristicMeasurement", "GOOD"),
        "a decimal comma": value("26,10"),
        "another version": on(lambda r: r.set("versionQIF", "2.1")),
        "no status of the whole": drop("InspectionStatus"),
        "a time that is none": set_text("TimeCreated", "yesterday"),
        "an element of our own": on(lambda r: tree.SubElement(r, SPACE + "CrimpForce")),
        "no serials' status": on(lambda r: first(r, "ActualComponent").remove(find(first(r, "ActualComponent"), "Status"))),
    }
    return ours, schemas


def main(arguments):
    parser = argparse.ArgumentParser()
    parser.add_argument("file", type=Path)
    parser.add_argument("--record", type=Path)
    parser.add_argument("--schema", type=Path, default=DATA / "third_party/qif3_xsd.tar.gz")
    parser.add_argument("--xmldsig", type=Path, default=DATA / "qif3_xmldsig_stub.xsd")
    asked = parser.parse_args(arguments)
    tree.register_namespace("", SPACE[1:-1])
    root = tree.fromstring(asked.file.read_bytes())
    record = json.loads(asked.record.read_text(encoding="utf-8")) if asked.record else None
    wrong = Held(root, record).found
    with_schema, tried = asked.schema.is_file(), 0
    with tempfile.TemporaryDirectory() as folder:
        xsd = Path(folder) / "xsd/QIFApplications/QIFDocument.xsd"
        if with_schema:
            with tarfile.open(asked.schema) as packed:
                packed.extractall(folder)
            (Path(folder) / "xsd/QIFLibrary/xmldsig-core-schema.xsd").write_bytes(asked.xmldsig.read_bytes())
            wrong += schema_faults(xsd, [asked.file])[asked.file]
        if not wrong:
            ours, schemas = spoiled(root, record)
            for name, copied in ours.items():
                tried += 1
                if not Held(copied, record).found:
                    wrong.append(f"a spoiled file passes: {name}")
            if with_schema:
                paths = {}
                for name, copied in schemas.items():
                    tried += 1
                    path = paths[name] = Path(folder) / f"spoiled{tried}.qif"
                    path.write_bytes(tree.tostring(copied, encoding="UTF-8", xml_declaration=True))
                seen = schema_faults(xsd, list(paths.values()))
                wrong += [f"a spoiled file passes the schema: {name}" for name, path in paths.items() if not seen[path]]
    for words in wrong:
        print(f"FAILED: {words}")
    count = sum(1 for element in root.iter() if kind(element).endswith("CharacteristicMeasurement"))
    print(f"{count} measurements, spoiled in {tried} ways, {'with' if with_schema else 'without'} the schema, {len(wrong)} faults")
    return 1 if wrong else 0 if with_schema else 77


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
