#!/usr/bin/python3
"""From the poll that shows a fault to the exec hook's first instruction, while a fleet is being polled.

    tests/bench/hook_latency/hook_latency.py [--devices 1000] [--interval 10s] [--faults 600] [--rate 10] [--build build/release]

The time of the poll is the incident's raised_at (milliseconds), the other the program's clock at its main(). Between them are
the rules, a synced commit of the store, and the start of a process. Beside it: the start of a process alone, and
a synced write alone, from this script. Loopback only; ends what it started.
"""
import argparse
import datetime
import json
import os
import pathlib
import random
import subprocess
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent


def figures(name, milliseconds):
    milliseconds.sort()
    at = lambda share: milliseconds[min(len(milliseconds) - 1, int(share * len(milliseconds)))]
    print(f"{name:<46} {len(milliseconds):5} p50 {at(.5):7.2f} ms  p90 {at(.9):7.2f} ms  p99 {at(.99):7.2f} ms  most {milliseconds[-1]:7.2f} ms")


def starts(program, count, file):
    taken = []
    for _ in range(count):
        began = time.time()
        subprocess.run([program, file], input=b"{}\n", check=True)
        taken.append(int(file.read_text().split()[0]) / 1000 - began * 1000)
        file.unlink()
    return taken


def syncs(folder, count):
    taken = []
    with open(folder / "synced", "wb", buffering=0) as file:
        for _ in range(count):
            began = time.perf_counter()
            file.write(b"x" * 8192)
            os.fsync(file.fileno())
            taken.append(1000 * (time.perf_counter() - began))
    return taken


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--devices", type=int, default=1000)
    words.add_argument("--interval", default="10s")
    words.add_argument("--faults", type=int, default=600)
    words.add_argument("--rate", type=float, default=10, help="faults a second")
    words.add_argument("--build", default="build/release")
    wanted = words.parse_args()
    os.environ["FRISKET_BUILD"] = str(pathlib.Path(wanted.build).resolve())
    sys.path.insert(0, str(HERE.parents[1] / "system"))
    import harness

    stamp = harness.BUILD / "tests/bench/hook_latency/hook_stamp"
    with harness.scratch() as folder:
        fleet_log, told = folder / "simfleet.log", folder / "told"
        port = harness.free_port()
        command = [harness.BUILD / "tests/simfleet/simfleet", "--count", wanted.devices, "--poll-interval", wanted.interval,
                   "--write-config", folder / "frisket.toml", "--listen", f"127.0.0.1:{port}", "--state-dir", folder, "--until-eof"]
        with harness.process(command, fleet_log, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as fleet:
            assert fleet.stdout.readline().startswith("ready ")

            def do(device, event):
                fleet.stdin.write(f"sim-{device:05d} {event}\n")
                fleet.stdin.flush()
                answer = fleet.stdout.readline()
                assert answer.startswith("ok"), answer

            with open(folder / "frisket.toml", "a", encoding="utf-8") as file:
                file.write(f'\n[[hook]]\nname = "stamp"\ntype = "exec"\nprogram = "{stamp}"\narguments = ["{told}"]\nkinds = ["media-jam"]\n')
            log = folder / "frisketd.log"
            with harness.process([harness.BUILD / "frisketd", "--config", folder / "frisket.toml"], log) as child:
                running = harness.Daemon(child, port, log, None)

                def finished():
                    try:
                        return running.health()["polls"]["finished"] >= wanted.devices
                    except OSError:
                        return False

                harness.wait_for(finished, 120)
                chance = random.Random(1)
                jammed = chance.sample(range(1, wanted.devices + 1), min(wanted.faults, wanted.devices))
                for device in jammed:
                    do(device, "jam 2")
                    time.sleep(1 / wanted.rate)
                seconds = int(wanted.interval.rstrip("s"))
                time.sleep(2 * seconds + 2)
                health = running.health()
        taken = []
        for line in told.read_text(encoding="utf-8").splitlines():
            began, _, notice = line.partition(" ")
            notice = json.loads(notice)
            if notice["notice"] != "raised":
                continue
            raised = datetime.datetime.fromisoformat(notice["incident"]["raised_at"].replace("Z", "+00:00"))
            taken.append(int(began) / 1000 - raised.timestamp() * 1000)
        print(f"{wanted.devices} devices every {wanted.interval}, {wanted.rate} faults a second; polls finished {health['polls']['finished']}, "
              f"late {health['polls']['late']}; commits {health['store']['counters']['commits']}; load {os.getloadavg()[0]:.1f}")
        figures("from the poll to the hook's main()", taken)
        figures("the start of that program alone", starts(stamp, 200, folder / "alone"))
        figures("a synced write of 8 KiB alone", syncs(folder, 200))
        if len(taken) < len(jammed):
            print(f"only {len(taken)} of {len(jammed)} faults were told")
        return 0 if len(taken) == len(jammed) else 1


sys.exit(main())
