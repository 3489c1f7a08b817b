#!/usr/bin/python3
"""Agents that die, lie or shout: no crash, no false incident, one log line per change.

A relay stands between the daemon and snmpsim and spoils the answers, one way after the other. While answers are
spoilt, the device may only become silent or unreadable; when they pass again, it must be as before, with
the same incidents under the same ids.
"""
import random
import socket
import sys

import agents
import harness
import relay

ADDRESS = "127.0.0.9"
POLLING = '[polling]\ntimeout = "200ms"\nattempts = 2\nsilent_after = 3\n'


def udp_ports(pid):
    """Local UDP ports of a process (proc(5): its descriptors' socket inodes in /proc/net/udp)."""
    import os
    import re
    inodes = set()
    for name in os.listdir(f"/proc/{pid}/fd"):
        try:
            found = re.match(r"socket:\[(\d+)\]", os.readlink(f"/proc/{pid}/fd/{name}"))
        except OSError:
            continue
        if found:
            inodes.add(found[1])
    ports = []
    for line in open("/proc/net/udp", encoding="ascii").read().splitlines()[1:]:
        fields = line.split()
        if fields[9] in inodes:
            ports.append(int(fields[1].split(":")[1], 16))
    return ports


def shout(port, source, generator=random.Random(7)):
    """300 datagrams at the daemon's port: noise, nothing, huge, and the beginnings of messages."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sock:
        sock.bind((source, 0))
        for i in range(300):
            size = [0, 1, 2, 40, 1400, 60000][i % 6]
            start = bytes.fromhex("308205dc020101") if i % 2 else b""
            sock.sendto(start + generator.randbytes(size), ("127.0.0.1", port))


def main():
    faults = []

    def expect(true, what):
        if not true:
            faults.append(what)

    with harness.scratch() as folder, agents.snmpsim(folder, {"garden": "loganberry.snmprec"}) as port, \
            relay.Relay(("127.0.0.2", port), ADDRESS) as between:
        table = harness.device_table("packing-shed", ADDRESS, between.port)
        config = harness.basic_config(folder, [table], polling=POLLING)
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: len(daemon.raised()) == 3)
            before = daemon.items("/v1/incidents?state=raised")
            ids = sorted(i["id"] for i in before)

            # A connection that comes and goes so often is one incident that comes back, and is held open for a while.
            about_reach = {"device-silent", "device-nonsense", "device-refused", "cable-suspect"}

            def others():
                return sorted(i["id"] for i in daemon.items("/v1/incidents?state=raised") if i["kind"] not in about_reach)

            def of_reach():
                return [i["kind"] for i in daemon.items("/v1/incidents?state=raised") if i["kind"] in about_reach]

            def device_is(*states):
                return lambda: daemon.device("packing-shed")["state"] in states

            for spoil in (relay.silent, relay.noise, relay.oversized, relay.from_elsewhere, relay.truncated):
                between.spoil = spoil
                harness.wait_for(device_is("silent", "unknown"))
                extra = harness.settled(lambda: len(of_reach()), 1)
                expect(extra == 1 and others() == ids,
                       f"{spoil.__name__}: one reachability incident expected beside the old ones, found {of_reach()}")
                between.spoil = relay.passing
                harness.wait_for(device_is("stopped"))
                after = harness.settled(others, ids)
                expect(after == ids, f"after {spoil.__name__}: incidents {after}, before {ids}")

            # Answers that come twice, with bytes behind them or with flipped bits may be used or not; they
            # must never raise what the device does not say.
            for spoil in (relay.doubled, relay.padded):
                between.spoil = spoil
                asked = daemon.health()["polls"]["finished"]
                harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= asked + 3)
                kinds = {i["kind"] for i in daemon.items("/v1/incidents?state=raised") if i["id"] not in ids}
                expect(kinds <= about_reach, f"{spoil.__name__}: {kinds}")
            between.spoil = relay.passing
            harness.wait_for(device_is("stopped"))

            ports = udp_ports(daemon.child.pid)
            expect(len(ports) >= 1, "the daemon's UDP port was not found")
            for udp in ports:
                shout(udp, ADDRESS)
                shout(udp, "127.0.0.77")
            asked = daemon.health()["polls"]["finished"]
            harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= asked + 3)
            expect(harness.settled(others, ids) == ids, "after the shouting: other incidents")
            dropped = {k: v for k, v in daemon.health()["snmp"].items() if k.startswith("dropped")}
            expect(sum(dropped.values()) >= 300, f"dropped datagrams were not counted: {dropped}")

            raised_lines = daemon.lines("[incident-raised]")
            cleared_lines = daemon.lines("[incident-cleared]")
            expect(3 + 1 <= len(raised_lines) <= 3 + 5 + 2, f"{len(raised_lines)} lines for raised: {raised_lines}")
            expect(len(cleared_lines) <= len(raised_lines) - 3, f"{len(cleared_lines)} lines for cleared: {cleared_lines}")
            every = daemon.log.read_text(encoding="utf-8", errors="replace").splitlines()
            expect(len(every) < 60, f"{len(every)} lines in the log, which should have one per change")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
