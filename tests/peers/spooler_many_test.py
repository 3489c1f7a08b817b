#!/usr/bin/python3
"""500 queues on one spooler: one pass reads them all with their jobs, within 2 s, over one connection."""
import sys

import ipp_peers
import harness  # found by way of ipp_peers

QUEUES = 500
PASSES = 20
LIMIT = 2000.0  # milliseconds; not held against builds with sanitizers, which are slower by far


def printers_conf():
    rows = []
    for i in range(QUEUES):
        state = "Stopped" if i % 10 == 3 else "Idle"
        rows.append(f"""<Printer bed{i:03}>
UUID urn:uuid:00000000-0000-4000-8000-{i:012}
Info Flower bed {i}
Location Garden, bed {i}
DeviceURI file:///dev/null
State {state}
StateTime 1700000000
Accepting {"No" if i % 10 == 7 else "Yes"}
Shared No
</Printer>
""")
    return "".join(rows)


def main():
    with harness.scratch() as folder, ipp_peers.spooler(folder, printers_conf()) as spooler:
        for i in range(3, 43, 10):  # jobs in stopped queues stay
            for _ in range(2):
                spooler.print(f"bed{i:03}")
        took = []
        with ipp_peers.probe(spooler.uri) as probe:
            for _ in range(PASSES):
                reading = probe.ask("spooler")
                took.append(reading["took_ms"])
                queues = reading["queues"]
                assert [q["name"] for q in queues] == [f"bed{i:03}" for i in range(QUEUES)]
                for i, queue in enumerate(queues):
                    assert queue["state"] == ("stopped" if i % 10 == 3 else "idle"), queue
                    assert queue["accepting"] == (i % 10 != 7), queue
                    assert queue["location"] == f"Garden, bed {i}", queue
                    assert len(queue["jobs"]) == (2 if i % 10 == 3 and i < 43 else 0), queue
            counters = probe.ask("counters")
        assert counters["opened"] == 1 and counters["open"] == 1, counters
        sanitized = "-fsanitize" in (harness.BUILD / "build.ninja").read_text(errors="replace")
        took.sort()
        print(f"{QUEUES} queues, {PASSES} passes: median {took[PASSES // 2]:.0f} ms, longest {took[-1]:.0f} ms")
        assert sanitized or took[PASSES // 2] < LIMIT, took


sys.exit(main())
