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
import printer_view

ADDRESS = "127.0.0.3"


def main():
    faults = []
    with harness.scratch() as folder:
        folder.chmod(0o755)
        record = pathlib.Path(folder) / "device.snmprec"
        shutil.copy(agents.HERE / "records/loganberry.snmprec", record)
        with agents.snmpd(folder, record, ADDRESS) as port:
            table = harness.device_table("packing-shed", ADDRESS, port)
            with harness.daemon(folder, harness.basic_config(folder, [table])) as daemon:
                for (what, changes, gone, kinds), bits in zip(printer_view.STEPS, printer_view.BITS):
                    changes = dict(changes, **{"1.3.6.1.2.1.25.3.5.1.2.1": bits})
                    printer_view.rewrite(record, changes, gone)
                    rows = printer_view.of_walk(agents.walk(ADDRESS, port, "garden"))
                    wanted = printer_view.expected(rows)
                    asked = daemon.health()["polls"]["finished"]
                    harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= asked + 2)
                    found = printer_view.seen(daemon.device("packing-shed"))
                    for key, value in wanted.items():
                        if found[key] != value:
                            faults.append(f"{what}: {key}: snmpbulkwalk has {value!r}, the daemon {found[key]!r}")
                    raised = harness.settled(lambda: sorted(i["kind"] for i in daemon.items("/v1/incidents?state=raised")), kinds)
                    if raised != kinds:
                        faults.append(f"{what}: raised {raised}, expected {kinds}")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(printer_view.STEPS)} steps, {len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
