#!/usr/bin/python3
"""Exec hooks of the real daemon: within a second of the poll that saw it, and a hanging one holds up nobody.

The time of the poll is the incident's raised_at, the time of the hook is what its program writes first.
"""
import json
import os
import pathlib
import sys
import time

import fleet
import harness

faults = []


def expect(true, what):
    if not true:
        faults.append(what)


def program(folder, name, body):
    file = pathlib.Path(folder) / name
    file.write_text("#!/bin/sh\n" + body, encoding="utf-8")
    file.chmod(0o755)
    return file


def hook_table(name, file, kinds=(), more=""):
    return f'[[hook]]\nname = "{name}"\ntype = "exec"\nprogram = "{file}"\nkinds = {json.dumps(list(kinds))}\n{more}\n'


def rfc3339(text):
    import datetime
    return datetime.datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp()


def notes(folder, name):
    """What the hook wrote: (time it began, notice) in order of time."""
    told = []
    for file in (pathlib.Path(folder) / name).glob("*.json"):
        lines = file.read_text(encoding="utf-8").splitlines()
        if len(lines) >= 2:
            told.append((float(lines[0]), json.loads(lines[1])))
    return sorted(told, key=lambda row: row[0])


def alive(pid):
    try:
        os.kill(pid, 0)
        return pathlib.Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2].split()[0] != "Z"
    except (ProcessLookupError, FileNotFoundError):
        return False


def main():
    with harness.scratch() as folder, fleet.fleet(folder, 2) as printers:
        for name in ("quick", "all"):
            (folder / name).mkdir()
        # Writes to a file of its own and renames it, so that a half-written one is never read.
        quick = program(folder, "quick.sh", f'b=$(date +%s.%N)\nf={folder}/quick/$$\n{{ echo "$b"; cat; echo; }} > $f.new\nmv $f.new $f.json\n')
        every = program(folder, "all.sh", f'b=$(date +%s.%N)\nf={folder}/all/$$\n{{ echo "$b"; cat; echo; }} > $f.new\nmv $f.new $f.json\nexit 3\n')
        hanging = program(folder, "hanging.sh", f'echo $$ >> {folder}/hanging.pids\nsleep 3600 &\necho $! >> {folder}/hanging.pids\nwait\n')
        hooks = (hook_table("quick", quick, ["toner-low", "input-tray-missing", "cover-open"])
                 + hook_table("all", every) + hook_table("hanging", hanging, more='time_limit = "2s"\nparallel = 1'))
        tables = [harness.device_table(f"lodge-{i}", f"127.18.0.{i}", printers.port) for i in (1, 2)]
        config = harness.basic_config(folder, tables, hooks).replace(
            str(folder / "community"), str(folder / "fleet.toml.community-1"))
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            polls = daemon.health()["polls"]["finished"]
            printers.do("sim-00001", "pull 2")
            told = harness.wait_for(lambda: notes(folder, "quick"))
            began, notice = told[0]
            incident = notice["incident"]
            expect(notice["notice"] == "raised" and incident["kind"] == "input-tray-missing", f"the hook was told {notice}")
            late = began - rfc3339(incident["raised_at"])
            expect(0 <= late + 0.002 and late < 1.0, f"the hook began {late:.3f} s after the poll that saw the open tray")
            print(f"from the poll that saw the tray to the hook: {1000 * late:.1f} ms")
            printers.do("sim-00002", "jam 1")
            harness.wait_for(lambda: any(n["incident"]["kind"] == "media-jam" for _, n in notes(folder, "all")))
            expect(all(n["incident"]["kind"] != "media-jam" for _, n in notes(folder, "quick")), "the filter let a jam through")

            # The hanging hook has two notices by now; polls and the other hooks went on, and go on.
            harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= polls + 8)
            expect(daemon.health()["polls"]["late"] == 0, "polls were late while a hook hung")
            printers.do("sim-00001", "insert 2")
            harness.wait_for(lambda: any(n["notice"] == "cleared" for _, n in notes(folder, "quick")))
            harness.wait_for(lambda: daemon.health()["hooks"]["timed_out"] >= 1)
            pids = [int(pid) for pid in (folder / "hanging.pids").read_text().split()]
            harness.wait_for(lambda: not alive(pids[0]) and not alive(pids[1]))
            expect(daemon.health()["hooks"]["failed"] >= 1, "exit status 3 was not counted as a failure")
            expect(daemon.lines("hanging"), "the log says nothing of the hook that was ended")
        time_limit = time.monotonic() + 10
        pids = [int(pid) for pid in (folder / "hanging.pids").read_text().split()]
        while any(alive(pid) for pid in pids) and time.monotonic() < time_limit:
            time.sleep(0.05)
        expect(not any(alive(pid) for pid in pids), "hook processes outlived the daemon")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
