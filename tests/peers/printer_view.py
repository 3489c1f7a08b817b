"""What a device of records/*.snmprec is, from its record and from the daemon, in one form.

A test compares the two; what the numbers mean is RFC 3805's.
"""
PRT = "1.3.6.1.2.1.43"


def of_record(file):
    """OID -> integer or text, as the record file has them; its charset is Latin-1."""
    rows = {}
    for line in file.read_text(encoding="ascii").splitlines():
        oid, tag, value = line.split("|", 2)
        if tag == "4x":
            value = bytes.fromhex(value).decode("latin-1")
        rows[oid] = value if tag in ("4", "4x", "6") else int(value)
    return rows


def of_walk(rows):
    """The same from what snmpbulkwalk prints (agents.walk); octets are printed in hexadecimal (-Ox)."""
    def value(kind, text):
        if kind == "Hex-STRING":
            return bytes.fromhex(text.replace(" ", "")).decode("latin-1")
        try:
            return int(text)
        except ValueError:
            return text.strip('"')
    return {oid: value(*printed) for oid, printed in rows.items()}


def column(rows, entry, number):
    """index -> value of one column of a table of this printer (hrDeviceIndex 1)."""
    prefix = f"{entry}.{number}.1."
    return {int(oid[len(prefix):]): value for oid, value in rows.items() if oid.startswith(prefix)}


def expected(rows):
    most, level = column(rows, f"{PRT}.11.1.1", 8), column(rows, f"{PRT}.11.1.1", 9)
    input_level = column(rows, f"{PRT}.8.2.1", 10)
    code = column(rows, f"{PRT}.18.1.1", 7)
    return {
        "serial": rows[f"{PRT}.5.1.1.17.1"].strip(),
        "impressions": rows[f"{PRT}.10.2.1.4.1.1"],
        "covers": {i: status == 3 for i, status in column(rows, f"{PRT}.6.1.1", 3).items()},
        "supplies": {i: (name.strip(), 100.0 * level[i] / most[i] if level[i] >= 0 else None)
                     for i, name in column(rows, f"{PRT}.11.1.1", 6).items()},
        "inputs": {i: (name.strip(), input_level[i] == 0) for i, name in column(rows, f"{PRT}.8.2.1", 13).items()},
        "alerts": sorted((code[i], text.strip()) for i, text in column(rows, f"{PRT}.18.1.1", 8).items()),
        "console": [text.strip() for _, text in sorted(column(rows, f"{PRT}.16.5.1", 2).items())],
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


# A technician at work on records/loganberry.snmprec.
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
