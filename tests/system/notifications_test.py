#!/usr/bin/python3
"""A printer that tells of a jam is asked at once; whoever else tells something changes nothing.

The devices are polled once an hour here, so what shows soon shows because of a trap.
"""
import signal
import socket
import time

import fleet
import harness

faults = []
# SNMPv2-Trap-PDU of coldStart, community "public", put together by hand from RFC 3416 section 4.2.6
# and RFC 3418: request id 1, sysUpTime.0 = 0, snmpTrapOID.0 = 1.3.6.1.6.3.1.1.5.1.
COLD_START = bytes.fromhex("3040" "020101" "04067075626c6963" "a733" "020101" "020100" "020100" "3028"
                           "300d" "06082b06010201010300" "430100"
                           "3017" "060a2b06010603010104" "0100" "06092b0601060301010501")
FLOOD = 50_000
MIN_INTERVAL = 2


def expect(true, what):
    if not true:
        faults.append(what)


def config(folder, printers, port, extra=""):
    tables = [harness.device_table(f"lodge-{i}", f"127.18.0.{i}", printers.port, interval="1h") for i in (1, 2)]
    return harness.basic_config(folder, tables, f'''
[notifications]
listen = "127.0.0.1:{port}"
min_interval = "{MIN_INTERVAL}s"
{extra}
''').replace(str(folder / "community"), str(folder / "fleet.toml.community-1"))


def heard(daemon):
    return daemon.health()["notifications"]


def polls(daemon):
    return daemon.health()["polls"]["finished"]


def send(source, port, datagrams):
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        sender.bind((source, 0))
        for datagram in datagrams:
            sender.sendto(datagram, ("127.0.0.1", port))


def settled(daemon, port, address):
    """Returns when what was sent before has been dealt with: a datagram after it has been."""
    def seen():
        send(address, port, [b"last"])
        return any(s["address"] == address for s in heard(daemon)["unknown_senders"])
    harness.wait_for(seen)


def trap_becomes_incident(version):
    port = harness.free_port(socket.SOCK_DGRAM)
    options = ["--traps", f"127.0.0.1:{port}", "--trap-version", version]
    with harness.scratch() as folder, fleet.fleet(folder, 2, options=options) as printers:
        with harness.daemon(folder, config(folder, printers, port)) as daemon:
            expect(heard(daemon)["listening"] == f"127.0.0.1:{port}", f"health: {heard(daemon)}")
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            before = polls(daemon)
            began = time.monotonic()
            printers.do("sim-00002", "open 1")
            harness.wait_for(daemon.raised)
            took = time.monotonic() - began
            expect(took < 2, f"version {version}: the incident took {took:.1f} s")
            raised = daemon.raised()
            expect([(kind, device) for kind, device, _ in raised] == [("cover-open", "lodge-2")], f"raised: {raised}")
            expect(polls(daemon) == before + 1, f"{polls(daemon) - before} polls for one trap")
            counters = heard(daemon)["counters"]
            expect(counters["traps"] == 1 and counters["polls"] == 1, f"counters: {counters}")
            print(f"version {version}: a cover opened was an incident after {took * 1000:.0f} ms")


def forged_and_flooded():
    port = harness.free_port(socket.SOCK_DGRAM)
    with harness.scratch() as folder, fleet.fleet(folder, 2) as printers:
        with harness.daemon(folder, config(folder, printers, port)) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))

            before = polls(daemon)
            send("127.0.0.99", port, [COLD_START] * 3)
            settled(daemon, port, "127.0.0.98")
            listed = {s["address"]: s["count"] for s in heard(daemon)["unknown_senders"]}
            expect(listed.get("127.0.0.99") == 3, f"the forged ones are listed as {listed}")
            expect(polls(daemon) == before, "a forged trap caused a poll")

            began = time.monotonic()
            datagrams = [COLD_START, b"\x30\x82\xff\xff", b"", COLD_START[:40], bytes(1400)]
            for start in range(0, FLOOD, 1000):
                source = ("127.18.0.1", "127.0.0.97")[start // 1000 % 2]
                send(source, port, [datagrams[i % len(datagrams)] for i in range(1000)])
                if start == FLOOD // 2:
                    asked = time.monotonic()
                    daemon.health()
                    expect(time.monotonic() - asked < 2, "no answer about its health within 2 s in the flood")
            settled(daemon, port, "127.0.0.96")
            counters = heard(daemon)["counters"]
            # What is still due of the flood comes at the end of the interval.
            harness.wait_for(lambda: heard(daemon)["counters"]["waiting"] == 0)
            took = time.monotonic() - began
            caused = heard(daemon)["counters"]["polls"]
            allowed = 2 + int(took / MIN_INTERVAL)
            expect(1 <= caused <= allowed, f"{caused} polls caused, {allowed} allowed in {took:.1f} s")
            harness.wait_for(lambda: polls(daemon) >= before + caused)
            expect(polls(daemon) == before + caused, f"{polls(daemon) - before} polls, {caused} caused")
            expect(counters["traps"] > 0 and counters["malformed"] > 0 and counters["unknown_sender"] > 0, f"counters: {counters}")
            parts = sum(counters[name] for name in ("traps", "informs", "malformed", "refused", "reports", "unknown_sender"))
            expect(counters["received"] == parts, f"counters do not add up: {counters}")
            expect(daemon.health()["status"] == "ok", f"health: {daemon.health()}")
            expect(daemon.raised() == [], f"raised: {daemon.raised()}")
            print(f"{FLOOD} datagrams: {counters['received']} taken, {caused} polls ({allowed} allowed)")


def port_that_is_taken():
    with harness.scratch() as folder, fleet.fleet(folder, 2) as printers:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as holder:
            holder.bind(("127.0.0.1", 0))
            port = holder.getsockname()[1]
            with harness.daemon(folder, config(folder, printers, port)) as daemon:
                harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
                health = daemon.health()
                expect(health["status"] == "attention", f"health: {health}")
                expect(f"127.0.0.1:{port}" in (health["notifications"]["trouble"] or ""), f"trouble: {health}")
                expect(len(daemon.lines("[notifications-off]", f"127.0.0.1:{port}")) == 1, "the log does not say it once")
                holder.close()
                daemon.child.send_signal(signal.SIGHUP)
                harness.wait_for(lambda: heard(daemon)["listening"])
                expect(daemon.health()["status"] == "ok", "the port is free again, and the reload did not help")

                # Only what is sent with a credential that is asked for counts.
                text = daemon.config.read_text(encoding="utf-8").replace("min_interval", 'credentials = ["read"]\nmin_interval')
                daemon.config.write_text(text, encoding="utf-8")
                before = len(daemon.lines("[reloaded]"))
                daemon.child.send_signal(signal.SIGHUP)
                harness.wait_for(lambda: len(daemon.lines("[reloaded]")) > before)
                send("127.18.0.1", port, [COLD_START.replace(b"public", b"wicked"), COLD_START])
                harness.wait_for(lambda: heard(daemon)["counters"]["traps"] == 1)
                expect(heard(daemon)["counters"]["refused"] == 1, f"counters: {heard(daemon)}")


for version in ("1", "2c"):
    trap_becomes_incident(version)
forged_and_flooded()
port_that_is_taken()
for fault in faults:
    print("FAULT:", fault)
print(f"{len(faults)} faults")
raise SystemExit(1 if faults else 0)
