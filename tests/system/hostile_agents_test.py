#!/usr/bin/python3
"""Agents that lie or break: each fault of the simulated fleet, one device each, beside one that is well.

Once the fault begins after good polls (the cheap poll meets it), once it is there from the first poll on. While
it lasts nothing that was true before may be taken back, and nothing false be raised, but that the device cannot
be read; where the fault is that the device says something else about itself (other row numbers), it
is believed. When it ends, the device is read as before. The one that is well is polled on time.
"""
import sys
import time

import fleet
import harness

POLLING = '[polling]\ntimeout = "200ms"\nattempts = 2\nsilent_after = 3\n'
HEALTHY = "orchid-house"
TRUE = {("cover-open", "cover:1"), ("media-empty", "input:2"), ("opc-near-eol", "supply:2")}
BROKEN = ("subunit-unrecoverable-failure", "marker:1")
SILENT, NONSENSE, READ = "silent", "nonsense", "answered"

# Fault: how the device is reached after good polls, and from the start.
FAULTS = {
    "garbage": (NONSENSE, NONSENSE),
    "truncated": (NONSENSE, NONSENSE),
    "bad-length": (NONSENSE, NONSENSE),
    "negative-length": (NONSENSE, NONSENSE),
    "empty": (NONSENSE, NONSENSE),
    "version-1": (NONSENSE, NONSENSE),
    "wrong-types": (NONSENSE, NONSENSE),
    "nulls": (NONSENSE, NONSENSE),
    "backwards": (NONSENSE, NONSENSE),
    "wrong-id": (SILENT, SILENT),
    "mute": (SILENT, SILENT),
    "elsewhere": (SILENT, SILENT),
    "padded": (READ, READ),
    "oversized": (READ, READ),
    "duplicate": (READ, READ),
    "half-silent": (READ, READ),
    "restart": (READ, READ),
    "empty-strings": (READ, READ),
    "long-strings": (READ, READ),
    "stuck": (READ, READ),
    "endless": (READ, READ),
    "half-table": (READ, READ),
    "index-zero": (READ, READ),
    "index-huge": (READ, READ),
    "index-too-huge": (READ, READ),
    "index-pair": (READ, READ),
}
BELIEVED = {"index-zero", "index-huge"}  # well-formed, and nobody can know better
# What is read of these from the start on is less or more than there is, and said to be so.
GAPS_AT_START = {"stuck", "endless", "half-table", "index-too-huge", "index-pair", "long-strings"}
# The tables that a new alert makes the daemon read come broken: what was there stays, what is new waits.
HIDES_IT = {"stuck", "half-table", "index-too-huge", "index-pair"}
SHOWS_IT = {"padded", "oversized", "duplicate", "half-silent", "empty-strings", "endless", "restart"}
DEVICES = [*FAULTS, HEALTHY]
UNREADABLE = {NONSENSE: ("device-nonsense", ""), SILENT: ("device-silent", "")}
# Changes by itself, or is asked for again only with everything else.
MOVING = {"last_reading_at", "conditions", "impressions", "alerts"}

faults = []


def expect(true, what):
    if not true:
        faults.append(what)


def sim(name):
    return f"sim-{DEVICES.index(name) + 1:05d}"


def config(folder, fleet_folder, printers):
    tables = [harness.device_table(name, f"127.18.1.{i}", printers.port) for i, name in enumerate(DEVICES, 1)]
    return harness.basic_config(folder, tables, polling=POLLING).replace(
        str(folder / "community"), str(fleet_folder / "fleet.toml.community-1"))


def incidents(daemon):
    """Of each device: {(kind, subunit): id}."""
    raised = {name: {} for name in DEVICES}
    for incident in daemon.items("/v1/incidents?state=raised"):
        raised[incident["device"]][incident["kind"], incident["subunit"] or ""] = incident["id"]
    return raised


def devices(daemon):
    return {name: harness.without_forecasts(daemon.device(name)) for name in DEVICES}


def polls_of_healthy(daemon, count):
    """Waits for so many readings of the device that is well; how long each took."""
    began = time.monotonic()
    seen = set()
    def more():
        seen.add(daemon.device(HEALTHY)["last_reading_at"])
        return len(seen) > count
    harness.wait_for(more)
    return (time.monotonic() - began) / count


def resident_kib(daemon):
    for line in open(f"/proc/{daemon.child.pid}/status", encoding="ascii"):
        if line.startswith("VmRSS"):
            return int(line.split()[1])


def is_sanitized(daemon):
    return "libasan" in open(f"/proc/{daemon.child.pid}/maps", encoding="utf-8").read()


def wait_for_incidents(daemon, wanted):
    """Until every device has exactly these, and none has gaps; says of which it did not become so."""
    def differing():
        found = {name: sorted(one) for name, one in incidents(daemon).items() if set(one) != wanted}
        found.update((name, one["gaps"][:3]) for name, one in devices(daemon).items() if one["gaps"])
        return found
    try:
        harness.wait_for(lambda: not differing())
    except AssertionError:
        raise AssertionError(f"expected {sorted(wanted)}; otherwise: {differing()}") from None


def begin(printers):
    for name in FAULTS:
        printers.do(sim(name), f"fault {name}")


def reached(daemon, place):
    return lambda: all(daemon.device(name)["reach"] == FAULTS[name][place] for name in FAULTS)


def after_good_polls(folder, printers):
    with harness.daemon(folder, config(folder, folder, printers)) as daemon:
        wait_for_incidents(daemon, TRUE)
        polls_of_healthy(daemon, 2)
        before, known = devices(daemon), incidents(daemon)
        memory = resident_kib(daemon)

        begin(printers)
        harness.wait_for(reached(daemon, 0))
        each = polls_of_healthy(daemon, 4)
        expect(each < 2.5, f"the healthy device, polled every second, was read every {each:.1f} s beside the others")
        during = incidents(daemon)
        for name, (reach, _) in FAULTS.items():
            allowed = TRUE | {UNREADABLE[reach]} if reach in UNREADABLE else TRUE
            if name not in BELIEVED:
                expect(set(during[name]) == allowed, f"{name}: raised {sorted(during[name])}")
                kept = {key: during[name].get(key) for key in TRUE}
                expect(kept == known[name], f"{name}: incidents have other ids")

        # Something happens while the fault lasts.
        printers.do("all", "break marker:1")
        harness.wait_for(lambda: all(BROKEN in incidents(daemon)[name] for name in SHOWS_IT | {HEALTHY}))
        polls_of_healthy(daemon, 2)
        for name, raised in incidents(daemon).items():
            if name in HIDES_IT or name in SHOWS_IT:
                expect(TRUE <= set(raised) <= TRUE | {BROKEN}, f"{name}: with another alert {sorted(raised)}")
                expect({key: raised.get(key) for key in TRUE} == known[name], f"{name}: with another alert other ids")
        expect(daemon.health()["status"] in ("ok", "attention"), f"health: {daemon.health()}")
        if not is_sanitized(daemon):
            grown = resident_kib(daemon) - memory
            expect(grown < 16 * 1024, f"the daemon has grown by {grown} KiB")

        printers.do("all", "fault none")
        wait_for_incidents(daemon, TRUE | {BROKEN})
        printers.do("all", "repair")
        wait_for_incidents(daemon, TRUE)
        after = devices(daemon)
        for name in DEVICES:
            for key in before[name].keys() - MOVING:
                expect(after[name][key] == before[name][key],
                       f"{name}: {key} is {after[name][key]}, before the fault {before[name][key]}")
            if name not in BELIEVED:
                ids = incidents(daemon)[name]
                expect(ids == known[name], f"{name}: afterwards {ids}, before {known[name]}")
        return before


def from_the_start(folder, fleet_folder, printers, healthy):
    folder.mkdir()
    begin(printers)
    with harness.daemon(folder, config(folder, fleet_folder, printers)) as daemon:
        harness.wait_for(reached(daemon, 1))
        each = polls_of_healthy(daemon, 4)
        expect(each < 2.5, f"the healthy device, polled every second, was read every {each:.1f} s at the start")
        now, raised = devices(daemon), incidents(daemon)
        for name, (_, reach) in FAULTS.items():
            if reach in UNREADABLE:
                expect(set(raised[name]) == {UNREADABLE[reach]}, f"{name}: at the start {sorted(raised[name])}")
            elif name in GAPS_AT_START:
                expect(now[name]["gaps"] and len(now[name]["gaps"]) <= 33, f"{name}: gaps {now[name]['gaps']}")
            elif name not in BELIEVED:
                expect(set(raised[name]) == TRUE, f"{name}: at the start {sorted(raised[name])}")
        longest = max(len(supply["description"]) for supply in now["long-strings"]["supplies"])
        expect(longest <= 255, f"a text of {longest} octets was kept")
        expect(len(now["endless"]["covers"]) == 128, f"{len(now['endless']['covers'])} rows of a table without an end")

        printers.do("all", "fault none")
        wait_for_incidents(daemon, TRUE)
        after = devices(daemon)
        for name in DEVICES:
            if name == "empty-strings":  # names that came empty are asked for again within the hour
                continue
            for key in healthy[name].keys() - MOVING:
                expect(after[name][key] == healthy[name][key],
                       f"{name}: {key} is {after[name][key]}, without the fault {healthy[name][key]}")


with harness.scratch() as scratch, fleet.fleet(scratch, len(DEVICES), base="127.18.1.1") as simulated:
    for event in ("open 1", "level 2 3", "load 2 empty"):
        simulated.do("all", event)
    good = after_good_polls(scratch, simulated)
    from_the_start(scratch / "second", scratch, simulated, good)
for fault in faults:
    print("FAULT:", fault)
print(f"{len(FAULTS)} kinds of agents, {len(faults)} faults")
sys.exit(1 if faults else 0)
