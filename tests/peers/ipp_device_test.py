#!/usr/bin/python3
"""The reference IPP printer as a device that is known by IPP alone: what it is given is what the daemon's API shows, over
ipp and over ipps, and what is wrong with it is an incident that closes by itself.

Supplies, media and alerts are changed at the printer, over its own pages and by what its command says during a job. What
is expected is what was set there; ipp_printer_test.py holds the probe against an independent reader.
"""
import sys

import ipp_peers
import harness  # found by way of ipp_peers

WASTE, TONER = 1, 2


def device(name, uri):
    return f"""
[[device]]
name = "{name}"
address = "127.0.0.1"
site = "garden"
ipp = "{uri}"
poll_interval = "1s"
"""


def shows(daemon, name, what):
    """Waits until the device is shown so; fails with how it is shown instead."""
    try:
        return harness.wait_for(lambda: what(daemon.device(name)), 20)
    except AssertionError:
        raise AssertionError(daemon.device(name)) from None


def open_kinds(daemon, name):
    return {i["kind"] for i in daemon.items("/v1/incidents?state=raised") if i["device"] == name}


def supplies(printer, daemon):
    for waste, toner in ((20, 3), (0, 100), (95, 50), (20, 75)):
        printer.page(f"/supplies?supply0={waste}&supply1={toner}")
        # A receptacle's level is the room left, here and there (PWG 5100.13 printer-supply, RFC 3805 prtMarkerSuppliesLevel).
        for name in ("plain", "encrypted"):
            shows(daemon, name, lambda d: [(s["index"], s["type"], s["class"], s["colorant"], s["description"], s["percent"])
                                           for s in d["supplies"]] == [
                (WASTE, "waste-toner", "filled", "", "Toner Waste Tank", waste),
                (TONER, "toner", "consumed", "black", "Black Toner", toner)])


def trays(printer, daemon):
    names = [i["name"] for i in daemon.device("plain")["inputs"]]
    printer.load(names, "iso_a4_210x297mm", 0)
    for name in ("plain", "encrypted"):
        main = shows(daemon, name, lambda d: next(i for i in d["inputs"] if i["name"] == "main" and i["media"] == "iso_a4_210x297mm"
                                                  and i["empty"]) if any(i["empty"] for i in d["inputs"]) else None)
        assert main["percent"] == 0 and main["capacity"] == 250, main
        harness.wait_for(lambda: "media-empty" in open_kinds(daemon, name), 20)
    printer.load(names, "na_letter_8.5x11in", 250)
    for name in ("plain", "encrypted"):
        shows(daemon, name, lambda d: next(i for i in d["inputs"] if i["name"] == "main")["percent"] == 100)
        harness.wait_for(lambda: "media-empty" not in open_kinds(daemon, name), 20)


def alerts(printer, daemon, talker):
    with ipp_peers.probe(printer.uri()) as probe:
        talker.open_cover(probe, last="ATTR: printer-alert=''\nATTR: printer-alert-description=''\n")
        rows = shows(daemon, "plain", lambda d: [a for a in d["alerts"] if a["code"] == "cover-open"])
        assert (rows[0]["group"], rows[0]["description"]) == ("cover", "Close the front cover"), rows
        shows(daemon, "plain", lambda d: "cover-open" in [c["keyword"] for c in d["conditions"]])
        harness.wait_for(lambda: "cover-open" in open_kinds(daemon, "plain"), 20)
        talker.let_go()
        harness.wait_for(lambda: "cover-open" not in open_kinds(daemon, "plain"), 30)


def main():
    with harness.scratch() as folder, ipp_peers.bus(folder) as bus:
        talker = ipp_peers.Talker(folder)
        with ipp_peers.printer(folder, bus, talker.command) as printer:
            config = harness.basic_config(folder, [device("plain", printer.uri()), device("encrypted", printer.uri("ipps"))],
                                          "[rules]\ncover_grace = \"0s\"\n")
            with harness.daemon(folder, config) as daemon:
                for name in ("plain", "encrypted"):
                    shows(daemon, name, lambda d: d["reach"] == "answered")
                assert daemon.device("plain")["model"], daemon.device("plain")
                supplies(printer, daemon)
                trays(printer, daemon)
                alerts(printer, daemon, talker)
                printer.child.kill()
                printer.child.wait()
                shows(daemon, "plain", lambda d: d["state"] == "silent")
    print("the reference printer is shown as it was set up")


sys.exit(main())
