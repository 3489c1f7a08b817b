#!/usr/bin/python3
"""What the probe is told to do to a queue, the spooler's own tools see done."""
import re
import sys

import ipp_peers
import harness  # found by way of ipp_peers


def jobs(spooler, which="not-completed"):
    """Job ids by the spooler's own client."""
    return sorted(int(re.match(r"\S+-(\d+)\s", line)[1]) for line in
                  spooler.command("lpstat", "-W", which, "-o").splitlines())


def state_of(spooler, name):
    return spooler.command("lpstat", "-p", name).splitlines()[0]


def pause_and_resume(spooler, probe):
    probe.do("pause")
    assert "disabled" in state_of(spooler, "fern")
    assert probe.ask("queue")["queue"]["state"] == "stopped"
    waiting = [spooler.print("fern") for _ in range(3)]
    assert jobs(spooler) == waiting
    probe.do("resume")
    harness.wait_for(lambda: jobs(spooler) == [], 30)
    assert "idle" in state_of(spooler, "fern")


def cancel_hold_move(spooler, probe):
    probe.do("pause")
    first, second, third, fourth, fifth = (spooler.print("fern") for _ in range(5))
    probe.do("cancel", first)
    assert jobs(spooler) == [second, third, fourth, fifth]
    refused = probe.ask("cancel", first)
    assert not refused["ok"] and "client-error-not-possible" in refused["error"], refused
    assert "client-error-not-found" in probe.ask("cancel", 99999)["error"]

    probe.do("hold", second)
    read = {job["id"]: job["state"] for job in probe.ask("queue")["queue"]["jobs"]}
    assert read[second] == "pending-held" and read[third] == "pending", read
    assert probe.ask("queue")["queue"]["head"] == third
    probe.do("release", second)
    assert {job["state"] for job in probe.ask("queue")["queue"]["jobs"]} == {"pending"}

    probe.do("move", third, spooler.queue_uri("moss"))
    harness.wait_for(lambda: third not in jobs(spooler), 30)
    assert probe.do("job", third)["state"] == "completed"
    assert any(line.startswith(f"moss-{third} ") for line in
               spooler.command("lpstat", "-W", "completed", "-o", "moss").splitlines())

    # Only what is named goes.
    probe.do("cancel-all", second, fifth)
    assert jobs(spooler) == [fourth], jobs(spooler)
    probe.do("cancel-all")
    assert jobs(spooler) == [fourth], jobs(spooler)
    probe.do("resume")
    harness.wait_for(lambda: jobs(spooler) == [], 30)


def test_print(spooler, probe):
    file = spooler.folder / "page.pdf"
    file.write_bytes(b"%PDF-1.4\n")
    job = probe.do("print", "test-page", "application/octet-stream", file)
    harness.wait_for(lambda: probe.do("job", job)["state"] == "completed", 30)
    assert probe.do("job", job)["name"] == "test-page"
    refused = probe.ask("print", "test-page", "application/x-made-up", file)
    assert "client-error-document-format-not-supported" in refused["error"], refused


def events(spooler, probe):
    made = probe.do("subscribe", "printer-state-changed", "job-state-changed")
    assert made["lease"] == 600, made
    assert probe.do("fetch")["events"] == []
    spooler.command("cupsdisable", "fern")
    got = []

    def stopped():
        fetched = probe.do("fetch")
        assert not fetched["missed"] and not fetched["ended"], fetched
        got.extend(fetched["events"])
        return any(event["printer_state"] == "stopped" for event in got)

    harness.wait_for(stopped, 30)
    assert {event["printer"] for event in got} == {"fern"}, got
    assert [event["sequence"] for event in got] == list(range(1, len(got) + 1)), got
    probe.do("renew")
    probe.do("unsubscribe")
    assert probe.do("fetch")["ended"]
    spooler.command("cupsenable", "fern")


def refusals(folder):
    """A spooler that wants to know who asks before anything is changed."""
    policy = """
  <Limit Pause-Printer Resume-Printer Cancel-Job>
    AuthType Basic
    Require user @SYSTEM
    Order deny,allow
  </Limit>"""
    with ipp_peers.spooler(folder / "guarded-parent", policy=policy) as spooler:
        spooler.add("fern", "file:///dev/null")
        with ipp_peers.probe(spooler.queue_uri("fern")) as probe:
            assert probe.ask("queue")["reach"] == "answered"
            answer = probe.ask("pause")
            assert answer["kind"] == "refused" and "HTTP 401" in answer["error"], answer
            assert "idle" in state_of(spooler, "fern")
        with ipp_peers.probe(spooler.queue_uri("fern"), "--user", "nobody", "--password", "wrong") as probe:
            assert probe.ask("pause")["kind"] == "refused"
        # Over the UNIX socket the kernel says who we are: root, who is of the system group.
        with ipp_peers.probe(spooler.queue_uri("fern"), "--socket", str(spooler.socket), "--user", "root") as probe:
            assert probe.ask("queue")["reach"] == "answered"
            probe.do("pause")
            assert "disabled" in state_of(spooler, "fern")
        with ipp_peers.probe(spooler.queue_uri("fern"), "--socket", str(spooler.socket), "--user", "lp") as probe:
            assert probe.ask("resume")["kind"] == "refused"


def main():
    with harness.scratch() as folder:
        with ipp_peers.spooler(folder) as spooler:
            spooler.add("fern", "file:///dev/null")
            spooler.add("moss", "file:///dev/null")
            with ipp_peers.probe(spooler.queue_uri("fern")) as probe:
                pause_and_resume(spooler, probe)
                cancel_hold_move(spooler, probe)
                test_print(spooler, probe)
                events(spooler, probe)
                counters = probe.ask("counters")
                assert counters["open"] == 1, counters
        (folder / "guarded-parent").mkdir()
        refusals(folder)
    print("done and seen: pause, resume, cancel, hold, release, move, print, events; refused where not allowed")


sys.exit(main())
