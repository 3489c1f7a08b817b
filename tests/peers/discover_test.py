#!/usr/bin/python3
"""net-snmp's snmpd, once as a printer and once as the host it is: discovery tells them apart."""
import json
import pathlib
import shutil
import subprocess
import sys

import agents
import harness

PRINTER = "127.0.0.5"
HOST = "127.0.0.6"
PRT = "1.3.6.1.2.1.43"


def discover(address, port, community):
    done = subprocess.run([harness.BUILD / "frisketd", "discover", address, "--port", str(port), "--community-file", community,
                           "--rate", "1000", "--json"], capture_output=True, text=True, timeout=harness.GUARD)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def value(rows, oid):
    """What snmpbulkwalk prints for one object; octets come in hexadecimal, in the record's Latin-1."""
    kind, printed = rows[oid]
    if kind == "Hex-STRING":
        return bytes.fromhex(printed.replace(" ", "")).decode("latin-1").strip()
    return printed.strip('"')


def main():
    with harness.scratch() as folder:
        folder.chmod(0o755)
        community = harness.community_file(folder)
        for place in ("printer", "host"):
            (folder / place).mkdir()
            (folder / place).chmod(0o755)
        record = pathlib.Path(folder) / "device.snmprec"
        shutil.copy(agents.HERE / "records/loganberry.snmprec", record)
        with agents.snmpd(folder / "printer", record, PRINTER) as port:
            rows = agents.walk(PRINTER, port, "garden")
            found = discover(PRINTER, port, community)
        assert len(found["items"]) == 1 and not found["others"], found
        item = found["items"][0]
        paths = [int(rows[oid][1]) for oid in rows if oid.startswith(f"{PRT}.13.4.1.9.1.")]
        colorants = [int(rows[oid][1]) for oid in rows if oid.startswith(f"{PRT}.10.2.1.6.1.")]
        expected = {
            "name": "loganberry-40",
            "location": "the packing shed",
            "serial": value(rows, f"{PRT}.5.1.1.17.1"),
            "description": value(rows, "1.3.6.1.2.1.25.3.2.1.3.1"),
            # PrtMediaPathTypeTC: 3 and 4 turn the sheet, 5 does not; 1 and 2 do not say.
            "duplex": True if {3, 4} & set(paths) else False if 5 in paths else None,
        }
        if colorants:
            expected["process_colorants"] = max(colorants)
        assert {key: item[key] for key in expected} == expected, (expected, item)
        assert item["serial"], item

        with agents.snmpd(folder / "host", None, HOST) as port:
            described = value(agents.walk(HOST, port, "garden", "1.3.6.1.2.1.1"), "1.3.6.1.2.1.1.1.0")
            found = discover(HOST, port, community)
        assert not found["items"], found
        assert [(other["address"], other["kind"]) for other in found["others"]] == [(HOST, "other")], found
        assert described.startswith(found["others"][0]["description"][:20]), (described, found)
    print("a printer and a host told apart")
    return 0


sys.exit(main())
