#!/usr/bin/python3
"""net-snmp's snmpd serves a live Printer MIB; the daemon's view equals what snmpbulkwalk prints.

The record file is rewritten while snmpd serves it: the jam is pulled, the cover closed, tray 2 filled,
the cartridge replaced. After each step the walk and the daemon are compared again.
"""
import pathlib
import shutil
import sys

import agents
import harness

PRT = "1.3.6.1.2.1.43"
ADDRESS = "127.0.0.3"


def integer(rows, oid):
    return int(rows[oid][1]) if oid in rows else None


def text(rows, oid):
    """Octets are printed in hexadecimal (-Ox); the record's charset is Latin-1."""
    if oid not in rows:
        return ""
    kind, value = rows[oid]
    if kind == "Hex-STRING":
        return bytes.fromhex(value.replace(" ", "")).decode("latin-1").strip()
    return value.strip('"')


def column(rows, entry, number):
    """index -> OID of one column of a table of this printer (hrDeviceIndex 1)."""
    prefix = f"{entry}.{number}.1."
    return {int(oid[len(prefix):]): oid for oid in rows if oid.startswith(prefix)}


def expected(rows):
    supplies = {i: (text(rows, oid), integer(rows, f"{PRT}.11.1.1.8.1.{i}"), integer(rows, f"{PRT}.11.1.1.9.1.{i}"))
                for i, oid in column(rows, f"{PRT}.11.1.1", 6).items()}
    return {
        "serial": text(rows, f"{PRT}.5.1.1.17.1"),
        "impressions": integer(rows, f"{PRT}.10.2.1.4.1.1"),
        "covers": {i: integer(rows, oid) == 3 for i, oid in column(rows, f"{PRT}.6.1.1", 3).items()},
        "supplies": {i: (name, 100.0 * level / most if level >= 0 else None) for i, (name, most, level) in supplies.items()},
        "inputs": {i: (text(rows, oid), integer(rows, f"{PRT}.8.2.1.10.1.{i}") == 0)
                   for i, oid in column(rows, f"{PRT}.8.2.1", 13).items()},
        "alerts": sorted((integer(rows, f"{PRT}.18.1.1.7.1.{i}"), text(rows, oid))
                         for i, oid in column(rows, f"{PRT}.18.1.1", 8).items()),
        "console": [text(rows, oid) for _, oid in sorted(column(rows, f"{PRT}.16.5.1", 2).items())],
    }


def seen(device):
    return {
        "serial": device["serial"],
        "impressions": device["impressions"],
        "covers": {c["index"]: c["open"] for c in device["covers"]},
        "supplies": {s["index"]: (s["description"], s["percent"]) for s in device["supplies"]},
        "inputs": {i["index"]: (i["name"], i["empty"]) for i in device["inputs"]},
        "alerts": sorted((a["code_number"], a["description"]) for a in device["alerts"]),
        "console": device["console"],
    }


def rewrite(record, changes, gone=()):
    """Sets values by OID and removes whole alert rows, in one step that snmpd cannot see half done."""
    lines = []
    for line in record.read_text(encoding="ascii").splitlines():
        oid, tag, value = line.split("|", 2)
        if any(oid.startswith(f"{PRT}.18.1.1.") and oid.endswith(f".1.{row}") for row in gone):
            continue
        lines.append("|".join([oid, tag, changes.get(oid, value)]))
    beside = record.with_suffix(".new")
    beside.write_text("\n".join(lines) + "\n", encoding="ascii")
    beside.replace(record)


STEPS = [
    # what a technician does, the values that change, the alert rows that go, the incidents that stay
    ("as served", {}, (), ["media-empty", "media-jam", "toner-low"]),
    ("the jam is pulled out, the cover still open", {f"{PRT}.13.4.1.11.1.1": "0"}, (7,), ["cover-open", "media-empty", "toner-low"]),
    ("the cover is closed", {f"{PRT}.6.1.1.3.1.1": "4"}, (8,), ["media-empty", "toner-low"]),
    ("tray 2 is filled", {f"{PRT}.8.2.1.10.1.3": "480", f"{PRT}.8.2.1.11.1.3": "0",
                          "1.3.6.1.2.1.25.3.2.1.5.1": "3", "1.3.6.1.2.1.25.3.5.1.1.1": "3"}, (9,), ["toner-low"]),
    ("the cartridge is replaced", {f"{PRT}.11.1.1.9.1.1": "10000", f"{PRT}.10.2.1.4.1.1": "120400",
                                   "1.3.6.1.2.1.25.3.2.1.5.1": "2"}, (), []),
]
# The error bits go with what they stand for: hrPrinterDetectedErrorState as hexadecimal octets.
BITS = ["6c04", "6804", "6004", "2000", "0000"]


def main():
    faults = []
    with harness.scratch() as folder:
        folder.chmod(0o755)
        record = pathlib.Path(folder) / "device.snmprec"
        shutil.copy(agents.HERE / "records/loganberry.snmprec", record)
        with agents.snmpd(folder, record, ADDRESS) as port:
            table = harness.device_table("packing-shed", ADDRESS, port)
            with harness.daemon(folder, harness.basic_config(folder, [table])) as daemon:
                for (what, changes, gone, kinds), bits in zip(STEPS, BITS):
                    changes = dict(changes, **{"1.3.6.1.2.1.25.3.5.1.2.1": bits})
                    rewrite(record, changes, gone)
                    rows = agents.walk(ADDRESS, port, "garden")
                    wanted = expected(rows)
                    asked = daemon.health()["polls"]["finished"]
                    harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= asked + 2)
                    found = seen(daemon.device("packing-shed"))
                    for key, value in wanted.items():
                        if found[key] != value:
                            faults.append(f"{what}: {key}: snmpbulkwalk has {value!r}, the daemon {found[key]!r}")
                    raised = sorted(i["kind"] for i in daemon.items("/v1/incidents?state=raised"))
                    if raised != kinds:
                        faults.append(f"{what}: raised {raised}, expected {kinds}")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(STEPS)} steps, {len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
