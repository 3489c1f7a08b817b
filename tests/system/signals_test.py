#!/usr/bin/python3
"""The real daemon: reload by SIGHUP, a wrong file that changes nothing, --check, SIGTERM in time, exit statuses."""
import signal
import subprocess
import sys
import time

import fleet
import harness

faults = []


def expect(true, what):
    if not true:
        faults.append(what)


def names(daemon):
    return [device["name"] for device in daemon.items("/v1/devices")]


def reload(daemon, text, said):
    """Writes the file, sends SIGHUP, and waits for the log line that the reload ends with."""
    before = len(daemon.lines(said))
    daemon.config.write_text(text, encoding="utf-8")
    daemon.child.send_signal(signal.SIGHUP)
    harness.wait_for(lambda: len(daemon.lines(said)) > before)


def main():
    with harness.scratch() as folder, fleet.fleet(folder, 3) as printers:
        tables = [harness.device_table(f"lodge-{i}", f"127.18.0.{i}", printers.port) for i in (1, 2, 3)]
        harness.community_file(folder, "public")

        def config(*rows, extra=""):
            return harness.basic_config(folder, [tables[i - 1] for i in rows], extra).replace(
                str(folder / "community"), str(folder / "fleet.toml.community-1"))

        with harness.daemon(folder, config(1, 2)) as daemon:
            listen = f"127.0.0.1:{daemon.port}"
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            printers.do("sim-00001", "pull 2")
            harness.wait_for(lambda: daemon.raised())
            incident = daemon.items("/v1/incidents?state=raised")[0]
            expect(incident["kind"] == "input-tray-missing", f"pulled tray gave {incident['kind']}")

            # A file that is wrong: the running one stays, the log and /v1/health say so, incidents go on.
            wrong = config(1, 2, extra='[unknown]\nkey = 1\n').replace("{listen}", listen)
            reload(daemon, wrong, "[reload-refused]")
            expect(names(daemon) == ["lodge-1", "lodge-2"], f"after a refused reload: {names(daemon)}")
            expect(daemon.health()["configuration"] != "ok", "health does not say that the reload was refused")
            expect(len(daemon.lines("[config-error]", "frisket.toml:")) == 1, "the log does not say what is wrong, and where")

            # A device comes, one goes; the incident of the one that stays goes on under its id.
            reload(daemon, config(1, 3).replace("{listen}", listen), "[reloaded]")
            expect(names(daemon) == ["lodge-1", "lodge-3"], f"after a reload: {names(daemon)}")
            expect(daemon.health()["configuration"] == "ok", "health still says that the reload was refused")
            harness.wait_for(lambda: daemon.device("lodge-3")["reach"] == "answered")
            again = daemon.items("/v1/incidents?state=raised")
            expect([i["id"] for i in again] == [incident["id"]], f"after a reload: incidents {again}")

            # The device with the incident goes: its incident is cleared, not left standing.
            reload(daemon, config(3).replace("{listen}", listen), "[reloaded]")
            left = harness.settled(daemon.raised, [])
            expect(left == [], f"incidents of a device that is gone: {left}")

            # The UNIX socket answers as well, and is gone afterwards.
            told = harness.client("devices", "--json", "--server", f"unix:{folder}/frisket.sock")
            expect(told.returncode == 0 and "lodge-3" in told.stdout, f"over the UNIX socket: {told}")

            began = time.monotonic()
            daemon.child.send_signal(signal.SIGTERM)
            status = daemon.child.wait(harness.GUARD)
            expect(status == 0, f"SIGTERM: exit status {status}")
            expect(time.monotonic() - began < 10, "SIGTERM took more than 10 s")
            expect(not (folder / "frisket.sock").exists(), "the UNIX socket was left behind")

        # A device that never answers does not hold up the end.
        silent = harness.device_table("void", "127.18.9.9", printers.port, interval="1s")
        with harness.daemon(folder, harness.basic_config(folder, [silent])) as daemon:
            harness.wait_for(lambda: daemon.health()["snmp"]["sent"] > 0)
            began = time.monotonic()
            daemon.child.send_signal(signal.SIGINT)
            expect(daemon.child.wait(harness.GUARD) == 0, "SIGINT: exit status")
            expect(time.monotonic() - began < 10, "SIGINT took more than 10 s while a device was silent")

        # --check says everything at once and uses its own exit status; so does a start with a wrong file.
        file = folder / "wrong.toml"
        file.write_text('[daemon]\nlisten = 7\nspeed = "fast"\n\n[[device]]\nname = "x"\naddress = "not an address"\n', encoding="utf-8")
        checked = subprocess.run([harness.BUILD / "frisketd", "--config", file, "--check"], capture_output=True, text=True, timeout=60)
        expect(checked.returncode == 2, f"--check of a wrong file: {checked.returncode}")
        for place, word in (("wrong.toml:2:", "listen"), ("wrong.toml:3:", "speed"), ("wrong.toml:7:", "address")):
            expect(any(place in line and word in line for line in checked.stdout.splitlines()),
                   f"--check does not say what is wrong at {place}: {checked.stdout}")
        started = subprocess.run([harness.BUILD / "frisketd", "--config", file], capture_output=True, text=True, timeout=60)
        expect(started.returncode == 2, f"a start with a wrong file: {started.returncode}")
        good = folder / "good.toml"
        good.write_text(harness.basic_config(folder, tables).replace("{listen}", "127.0.0.1:0"), encoding="utf-8")
        checked = subprocess.run([harness.BUILD / "frisketd", "--config", good, "--check"], capture_output=True, text=True, timeout=60)
        expect(checked.returncode == 0 and "3 devices" in checked.stdout, f"--check of a good file: {checked}")

        # Nobody there, and wrong words.
        told = harness.client("status", "--server", f"http://127.0.0.1:{harness.free_port()}")
        expect(told.returncode == 3, f"client without a daemon: {told.returncode}")
        expect(harness.client("polish").returncode == 2, "client with a verb that does not exist")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
