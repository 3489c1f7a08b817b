#!/usr/bin/python3
"""The reference IPP printer, known by IPP alone: what it is given is what the probe reads.

Supplies, media and alerts are changed at the printer, over its own pages and by what its command says
during a job; ipptool, an independent reader, prints the same attributes for comparison.
"""
import re
import subprocess
import sys

import ipp_peers
import harness  # found by way of ipp_peers


def read(probe):
    reading = probe.ask("device")
    assert reading["reach"] == "answered", reading
    return reading["device"]


def by_ipptool(printer, attribute):
    """Values of one attribute as ipptool prints them."""
    done = subprocess.run(["ipptool", "-tv", printer.uri(), "get-printer-attributes.test"], capture_output=True,
                          text=True, timeout=harness.GUARD)
    found = re.search(rf"^ +{attribute} \([^)]*\) = (.*)$", done.stdout, re.MULTILINE)
    assert found, done.stdout
    return found[1]


def supplies(printer, probe):
    for waste, toner in ((20, 3), (0, 100), (95, 50)):
        printer.page(f"/supplies?supply0={waste}&supply1={toner}")
        device = read(probe)
        assert [(s["index"], s["type"], s["class"], s["description"], s["colorant"], s["unit"], s["max_capacity"],
                 s["level"]) for s in device["supplies"]] == [
            (1, "waste-toner", "receptacle-that-is-filled", "Toner Waste Tank", "", "percent", 100, waste),
            (2, "toner", "supply-that-is-consumed", "Black Toner", "black", "percent", 100, toner)], device
        rows = by_ipptool(printer, "printer-supply")
        assert re.findall(r"level=(-?\d+)", rows) == [str(waste), str(toner)], rows
    printer.page("/supplies?supply0=20&supply1=75")


def media(printer, probe):
    device = read(probe)
    trays = by_ipptool(printer, "printer-input-tray")
    names = re.findall(r"name=([^;,]*)", trays)
    levels = [int(n) for n in re.findall(r"level=(-?\d+)", trays)]
    assert [i["name"] for i in device["inputs"]] == names and "main" in names, (trays, device)

    def as_level(wire):
        return {-1: "unlimited", -2: "unknown", -3: "some"}.get(wire, wire)

    assert [i["level"] for i in device["inputs"]] == [as_level(n) for n in levels], (trays, device)
    main = next(i for i in device["inputs"] if i["name"] == "main")
    assert (main["type"], main["max_capacity"], main["media"]) == (
        "sheet-feed-auto-removable-tray", 250, "na_letter_8.5x11in"), main
    def load(size, level):
        printer.load(names, size, level)
        return read(probe)

    device = load("iso_a4_210x297mm", 0)
    main = next(i for i in device["inputs"] if i["name"] == "main")
    assert (main["level"], main["media"]) == (0, "iso_a4_210x297mm"), (main, by_ipptool(printer, "printer-input-tray"))
    assert by_ipptool(printer, "printer-state-reasons") == "media-empty-report"  # marked by its own state: idle
    assert [(a["code"], a["severity"], a["group"]) for a in device["alerts"]] == [
        ("input-media-supply-empty", "other", "input")], device
    assert load("na_letter_8.5x11in", 100)["alerts"] == [], by_ipptool(printer, "printer-state-reasons")


def alerts(printer, probe, talker):
    """What the command says during a job; the printer marks it by its own state."""
    job = talker.open_cover(probe, also=",marker-waste-almost-full")

    def seen():
        device = read(probe)
        return device if any(a["code"] == "cover-open" for a in device["alerts"]) else None

    device = harness.wait_for(seen, 30)
    said = by_ipptool(printer, "printer-state-reasons")
    assert "cover-open-warning" in said and "marker-waste-almost-full-warnin" in said, said  # its buffer has 32 octets
    rows = {a["code"]: a for a in device["alerts"]}
    assert rows["cover-open"]["group"] == "cover", device
    assert rows["subunit-almost-full"]["severity"] == "warning-binary-change-event", device
    assert rows["subunit-almost-full"]["group"] == "marker-supplies", device
    assert (device["printer_status"], device["device_status"]) == ("printing", "warning"), device
    busy = probe.ask("print", "second", "application/pdf", talker.folder / "page.pdf")
    assert busy["kind"] == "silent" and "server-error-busy" in busy["error"], busy
    talker.let_go()
    harness.wait_for(lambda: probe.do("job", job)["state"] == "completed", 30)
    harness.wait_for(lambda: not any(a["code"] == "subunit-almost-full" for a in read(probe)["alerts"]), 30)


def identity(printer, probe):
    device = read(probe)
    assert device["description"] == by_ipptool(printer, "printer-make-and-model"), device
    assert device["printer_name"] == "Loganberry", device
    assert set(device["interpreters"]) == {"pdf", "pwg-raster"}, device
    assert device["gaps"] == [], device


def encrypted(printer):
    fingerprint = printer.certificate()
    with ipp_peers.probe(printer.uri()) as plain, ipp_peers.probe(printer.uri("ipps")) as first_use:
        want = read(plain)
        got = [read(first_use) for _ in range(3)]
        for device in got:
            assert device["supplies"] == want["supplies"] and device["inputs"] == want["inputs"], device
        counters = first_use.ask("counters")
        assert counters["opened"] == 1, counters
    with ipp_peers.probe(printer.uri("ipps"), "--pin", fingerprint) as pinned:
        assert read(pinned)["supplies"] == want["supplies"]
    with ipp_peers.probe(printer.uri("ipps"), "--pin", "0" * 64) as wrong:
        reading = wrong.ask("device")
        assert reading["reach"] == "refused" and fingerprint in reading["detail"], reading


def gone(printer, probe):
    printer.child.kill()
    printer.child.wait()
    reading = probe.ask("device")
    assert (reading["reach"], reading["device"]) == ("silent", None), reading


def main():
    with harness.scratch() as folder, ipp_peers.bus(folder) as bus:
        talker = ipp_peers.Talker(folder)
        with ipp_peers.printer(folder, bus, talker.command) as printer:
            with ipp_peers.probe(printer.uri()) as probe:
                identity(printer, probe)
                supplies(printer, probe)
                media(printer, probe)
                alerts(printer, probe, talker)
                refused = probe.ask("pause")
                assert refused["kind"] == "invalid" and "does not offer" in refused["error"], refused
                encrypted(printer)
                gone(printer, probe)
    print("the reference printer reads as it was set up")


sys.exit(main())
