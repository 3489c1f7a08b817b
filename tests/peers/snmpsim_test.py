#!/usr/bin/python3
"""A device that snmpsim serves from a hand-made record gives exactly this device and these incidents.

The record (records/loganberry.snmprec): supplies at 4 % of 10,000 and "some left", an open cover, an empty
tray 2, a jam alert, Latin-1 text (prtLocalizationCharacterSet 4). What the numbers mean is RFC 3805's;
the expected values below were written from the record by hand, not taken from the daemon.
"""
import json
import sys

import agents
import harness

EXPECTED_DEVICE = {
    "name": "packing-shed", "address": "127.0.0.2", "site": "garden", "location": "Packing shed",
    "state": "stopped",
    "maker": "Loganberry", "model": "LP-40", "serial": "LB40-00731",
    "impressions": 120345,
    "console": ["Bourrage papier", "Ouvrir capot supérieur"],
    "reach": "answered",
}
EXPECTED_SUPPLIES = [
    {"index": 1, "type": "toner-cartridge", "class": "consumed", "colorant": "black",
     "description": "Cartouche de toner noir LB40-K", "percent": 4.0, "low": True, "level": "known", "days_left": None},
    # -3 is "some left": no percentage, and not low (RFC 3805, prtMarkerSuppliesLevel).
    {"index": 2, "type": "toner-cartridge", "class": "consumed", "colorant": "cyan",
     "description": "Cartouche de toner cyan LB40-C", "percent": None, "low": False, "level": "some", "days_left": None},
    # A receptacle's level is the room left: 60 of 100.
    {"index": 3, "type": "waste-toner", "class": "filled", "colorant": "",
     "description": "Bac de récupération LB40-W", "percent": 60.0, "low": False, "level": "known", "days_left": None},
]
EXPECTED_INPUTS = [
    {"index": 1, "name": "Bac multi", "media": "na-letter", "percent": 0.0, "empty": True},
    {"index": 2, "name": "Bac 1", "media": "iso-a4-white", "percent": None, "empty": False},
    {"index": 3, "name": "Bac 2", "media": "iso-a4-white", "percent": 0.0, "empty": True},
]
EXPECTED_COVERS = [
    {"index": 1, "name": "Capot supérieur", "open": True},
    {"index": 2, "name": "Porte arrière", "open": False},
]
# kind, subunit, place, severity, training. The bypass tray (input 1, sheetFeedManual) is empty and no incident; the
# open cover is somebody at work on the jam: evidence of that incident, not a second one (docs/incidents.md).
EXPECTED_INCIDENTS = [
    ("media-empty", "input:3", "Bac 2", "critical", "untrained"),
    ("media-jam", "media-path:1", "Trajet recto", "critical", "trained"),
    ("toner-low", "supply:1", "Cartouche de toner noir LB40-K", "warning", None),
]


def differences(expected, found, where):
    """Fields of `expected` that `found` has otherwise."""
    return [f"{where}.{key}: expected {value!r}, found {found.get(key, 'nothing')!r}"
            for key, value in expected.items() if found.get(key) != value]


def row_differences(expected, found, where):
    faults = [] if len(expected) == len(found) else [f"{where}: expected {len(expected)} rows, found {len(found)}"]
    for want, have in zip(expected, found):
        faults += differences(want, have, f"{where}[{want['index']}]")
    return faults


def device_faults(device):
    return (differences(EXPECTED_DEVICE, device, "device")
            + row_differences(EXPECTED_SUPPLIES, device["supplies"], "supplies")
            + row_differences(EXPECTED_INPUTS, device["inputs"], "inputs")
            + row_differences(EXPECTED_COVERS, device["covers"], "covers"))


def incident_faults(incidents):
    found = sorted((i["kind"], i["subunit"], i["place"], i["severity"], i["training"]) for i in incidents)
    faults = []
    for want in EXPECTED_INCIDENTS:
        match = [have for have in found if have[:4] == want[:4] and want[4] in (None, have[4])]
        if not match:
            faults.append(f"expected incident {want}")
    if len(found) != len(EXPECTED_INCIDENTS):
        faults.append(f"expected {len(EXPECTED_INCIDENTS)} incidents, found {found}")
    for incident in incidents:
        told = [condition["keyword"] for condition in incident["evidence"]]
        if incident["kind"] == "media-jam" and sorted(told) != ["cover-open", "media-jam"]:
            faults.append(f"evidence of the jam: {told}")
        if not incident["remedy"]["steps"] or not incident["evidence"] or incident["device"] != "packing-shed":
            faults.append(f"incident without remedy, evidence or device: {incident}")
    return faults


def main():
    with harness.scratch() as folder, agents.snmpsim(folder, {"garden": "loganberry.snmprec"}) as port:
        table = harness.device_table("packing-shed", "127.0.0.2", port, location="Packing shed")
        with harness.daemon(folder, harness.basic_config(folder, [table])) as daemon:
            harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= 3)  # a few polls: nothing may change by repeats
            faults = device_faults(daemon.device("packing-shed"))
            faults += incident_faults(daemon.items("/v1/incidents?state=raised"))

            # The client's --json says the same as HTTP.
            told = daemon.client("device", "packing-shed", "--json")
            assert told.returncode == 0, told
            faults += [f"client: {fault}" for fault in device_faults(json.loads(told.stdout))]
            told = daemon.client("incidents", "--json")
            assert told.returncode == 0, told
            faults += [f"client: {fault}" for fault in incident_faults(json.loads(told.stdout)["items"])]
            told = daemon.client("status", "--fail-on", "critical")
            if told.returncode != 1:
                faults.append(f"status --fail-on critical gave {told.returncode}, expected 1")
            if len(daemon.lines("[incident-raised]")) != len(EXPECTED_INCIDENTS):
                faults.append(f"log lines: {daemon.lines('[incident-')}")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
