#!/usr/bin/python3
"""The daemon and a real print spooler: each state that a queue can be in gives its incident, or none, and no other.

The states are those of RFC 8011 sections 5.3.7, 5.3.8, 5.4.11 and 5.4.12 as a spooler brings them about. Every case
is one queue; all of them are there at once, so that one case could be taken for another. "Within two polls" is
counted by the daemon's own passes over the spooler.
"""
import contextlib
import socket
import sys
import time

import ipp_peers
import harness  # found by way of ipp_peers
from ipp_peers import STUCK_AFTER


def config(folder, spooler, extra="", devices=()):
    return harness.basic_config(folder, devices, ipp_peers.office(spooler, extra), "[polling]\nsilent_after = 2\n")


def raised(daemon):
    """(kind, queue, device) of what is raised, in order."""
    return sorted((i["kind"], i["queue"] or "", i["device"] or "") for i in daemon.items("/v1/incidents?state=raised"))


def passes(daemon):
    return daemon.health()["queue_polls"]["finished"]


def after_passes(daemon, count):
    target = passes(daemon) + count
    harness.wait_for(lambda: passes(daemon) >= target)


class Cases:
    def __init__(self, daemon, spooler):
        self.daemon, self.spooler = daemon, spooler
        self.standing = []  # what earlier cases have left raised
        self.faults = []
        self.checked = 0

    def expect(self, what, *wanted, polls=2, seconds=0):
        """After so many polls (and seconds, where a rule waits) exactly these are raised beside those before."""
        if seconds:
            time.sleep(seconds)  # a rule's own delay, on the daemon's clock
        after_passes(self.daemon, polls)
        expected = sorted(self.standing + list(wanted))
        found = harness.settled(lambda: raised(self.daemon), expected, 2)
        if found != expected:
            self.faults.append(f"{what}: raised {found}, expected {expected}")
        self.standing = expected
        self.checked += 1

    def over(self, what, *gone):
        for each in gone:
            self.standing.remove(each)
        self.expect(what)


def incident(daemon, kind, queue):
    return next(i for i in daemon.items("/v1/incidents?state=raised") if (i["kind"], i["queue"]) == (kind, queue))


def rows_of_the_table(cases, spooler, listener, folder):
    # A healthy spooler without queues, then with two at rest.
    cases.expect("no queues")
    spooler.add("idle", "file:///dev/null")
    cases.expect("an idle queue")

    spooler.add("holding", "file:///dev/null")
    spooler.print("holding", "-H", "hold")
    cases.expect("a held job is nobody's trouble")

    spooler.add("disabled", "file:///dev/null")
    spooler.command("cupsdisable", "-r", "toner is on its way", "disabled")
    spooler.print("disabled")
    cases.expect("disabled, then a job", ("paused", "disabled@office", ""))
    paused = incident(cases.daemon, "paused", "disabled@office")
    if paused["severity"] != "major" or "toner is on its way" not in paused["summary"]:
        cases.faults.append(f"paused: {paused['severity']}, {paused['summary']}")

    gate = folder / "gate"
    gate.write_text("")
    spooler.add("interrupted", spooler.orders("interrupted", f"wait {gate}\n"))
    spooler.print("interrupted")
    cases.expect("a job that prints")
    spooler.command("cupsdisable", "interrupted")
    cases.expect("disabled while printing", ("paused", "interrupted@office", ""))

    spooler.add("rejecting", "file:///dev/null")
    spooler.command("cupsreject", "rejecting")
    cases.expect("rejecting", ("queue-rejecting", "rejecting@office", ""))

    media = folder / "media-gate"
    media.write_text("")
    spooler.add("empty", spooler.orders("empty", "say ERROR: Load paper\nsay STATE: +media-empty-warning,"
                                        f"media-needed-warning\nwait {media}\nsay STATE: -media-empty-warning,"
                                        "media-needed-warning\n"))
    spooler.print("empty")
    cases.expect("out of media", ("media-empty", "empty@office", ""))
    # It takes longer than a job may hang: that is the same trouble.
    cases.expect("out of media for long", seconds=STUCK_AFTER + 1)
    media.unlink()
    cases.over("media loaded", ("media-empty", "empty@office", ""))

    spooler.add("jammed", spooler.orders("jammed", "say STATE: +media-jam-error\nexit 4\n"))
    spooler.print("jammed")
    cases.expect("stopped by an error", ("media-jam", "jammed@office", ""))

    spooler.add("locked", spooler.orders("locked", "exit 2\n"))
    spooler.print("locked")
    cases.expect("held for a password", ("authentication-held", "locked@office", ""))

    spooler.add("refused", f"ipp://127.0.0.1:{harness.free_port()}/ipp/print")
    spooler.print("refused")
    cases.expect("the device refuses, not yet for long")
    cases.expect("the device refuses", ("job-stuck", "refused@office", ""), seconds=STUCK_AFTER)

    spooler.add("mute", f"ipp://127.0.0.1:{listener.getsockname()[1]}/ipp/print")
    spooler.print("mute")
    cases.expect("the device is mute, not yet for long")
    cases.expect("the device is mute", ("job-stuck", "mute@office", ""), seconds=STUCK_AFTER)

    # All by hand, as a person would.
    spooler.command("cupsenable", "disabled")
    gate.unlink()
    spooler.command("cupsenable", "interrupted")
    spooler.command("cupsaccept", "rejecting")
    cases.over("resumed by hand", ("paused", "disabled@office", ""), ("paused", "interrupted@office", ""),
               ("queue-rejecting", "rejecting@office", ""))
    for name in ("refused", "mute", "jammed", "locked"):
        spooler.command("lpadmin", "-x", name)
    cases.over("removed from the spooler", ("job-stuck", "refused@office", ""), ("job-stuck", "mute@office", ""),
               ("media-jam", "jammed@office", ""), ("authentication-held", "locked@office", ""))


def spooler_dies_and_returns(cases, spooler):
    for kill in (False, True):
        spooler.stop(kill=kill)
        cases.expect("the spooler is gone", ("spooler-silent", "", ""), polls=3)
        spooler.start()
        cases.over("the spooler is back", ("spooler-silent", "", ""))


PRINTS = """#!/bin/sh
n=0
while [ -e {gate} ] && [ $n -lt 1200 ]; do sleep 0.1; n=$((n+1)); done
"""


def dead_device(folder, bus):
    """A device that the daemon knows dies in the middle of a job: one incident, which names the queue among its
    evidence; the device comes back, the jobs flow, and the incident ends by itself."""
    faults = []
    own = folder / "dead"
    own.mkdir()
    own.chmod(0o755)
    with ipp_peers.spooler(own) as spooler:
        gate = spooler.folder / "gate"
        gate.write_text("")
        command = spooler.folder / "prints"
        command.write_text(PRINTS.format(gate=gate))
        command.chmod(0o755)
        port = harness.free_port()
        device = f"""
[[device]]
name = "foxglove"
address = "127.0.0.1"
site = "garden"
ipp = "ipp://localhost:{port}/ipp/print"
poll_interval = "1s"
attention_interval = "1s"
silent_interval = "1s"
"""
        extra = f"""
[[queue]]
name = "foxglove-queue"
uri = "{spooler.queue_uri('killed')}"
device = "foxglove"
site = "garden"
"""
        spooler_config = config(own, spooler, extra, [device])
        with contextlib.ExitStack() as stack:
            printer = stack.enter_context(ipp_peers.printer(own, bus, command, "Foxglove", port))
            spooler.add("killed", f"ipp://localhost:{port}/ipp/print")
            with harness.daemon(own, spooler_config) as daemon:
                harness.wait_for(lambda: daemon.device("foxglove")["state"] == "ready")
                spooler.print("killed", octets=b"%PDF-1.4\n")
                harness.wait_for(lambda: daemon.device("foxglove")["state"] == "busy")
                after_passes(daemon, STUCK_AFTER + 2)
                if raised(daemon):
                    faults.append(f"a long job on a busy device raised {raised(daemon)}")
                printer.child.kill()
                printer.child.wait()
                dead = [("device-silent", "", "foxglove")]
                found = harness.settled(lambda: raised(daemon), dead, 15)
                time.sleep(STUCK_AFTER + 1)  # long enough for the job to count as stuck as well
                after_passes(daemon, 2)
                found = harness.settled(lambda: raised(daemon), dead, 2)
                if found != dead:
                    faults.append(f"dead device: raised {found}, expected {dead}")
                else:
                    evidence = [e["keyword"] for e in daemon.items("/v1/incidents?state=raised")[0]["evidence"]]
                    if "queue-waits" not in evidence:
                        faults.append(f"the dead device's incident does not name its queue: {evidence}")
                gate.unlink()
                stack.enter_context(ipp_peers.printer(own, bus, command, "Foxglove", port))
                found = harness.settled(lambda: raised(daemon), [], 60)
                if found:
                    faults.append(f"the device is back: raised {found}")
                jobs = daemon.get("/v1/queues/foxglove-queue")[1]
                flows = harness.settled(lambda: daemon.get("/v1/queues/foxglove-queue/jobs")[1]["items"], [], 30)
                if flows:
                    faults.append(f"the device is back, and jobs are left: {flows} {jobs}")
    return faults


def main():
    with harness.scratch() as folder, socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen(20)
        with ipp_peers.spooler(folder) as spooler, harness.daemon(folder, config(folder, spooler)) as daemon:
            cases = Cases(daemon, spooler)
            rows_of_the_table(cases, spooler, listener, spooler.folder)
            spooler_dies_and_returns(cases, spooler)
            ipp = daemon.health()["ipp"]
            if ipp["open"] > 2:
                cases.faults.append(f"connections left open: {ipp}")
        with ipp_peers.bus(folder) as bus:
            cases.faults += dead_device(folder, bus)
        for fault in cases.faults:
            print("FAULT:", fault)
        print(f"{cases.checked} cases and a dead device, {len(cases.faults)} faults")
        return 1 if cases.faults or cases.checked < 20 else 0


sys.exit(main())
