#!/usr/bin/python3
"""kill -9 at random moments under load: nothing lost, no id changed, nothing left unsent.

What was shown over HTTP or told to a receiver must be there after the restart, under its id; at the end every
notice in the outbox is settled, and the receiver has every one that counts as delivered.

    crashes_test.py [--kills 12] [--seed 1]     1,000 kills take about 25 minutes
"""
import argparse
import collections
import http.server
import json
import pathlib
import random
import signal
import sqlite3
import sys
import threading
import time

import fleet
import harness

DEVICES = 20


class Receiver:
    """Takes notices over HTTP; refuses now and then, so that something always waits."""

    def __init__(self, seed):
        self.told = []  # notices in the order of arrival, repeats included
        self.refused = 0
        self.gentle = False
        chance, lock = random.Random(seed), threading.Lock()
        owner = self

        class Handler(http.server.BaseHTTPRequestHandler):
            def do_POST(self):
                body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                with lock:
                    takes = owner.gentle or chance.random() > 0.1
                    if takes:
                        owner.told.append(body)
                    else:
                        owner.refused += 1
                self.send_response(204 if takes else 503)
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_):
                pass

        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.port = self.server.server_address[1]


def trouble(chance, printers, wrong):
    """One thing goes wrong at a printer, or is put right."""
    name = f"sim-{chance.randint(1, DEVICES):05d}"
    if name in wrong:
        printers.do(name, wrong.pop(name))
    else:
        begin, end = chance.choice([("jam 2", "unjam"), ("pull 2", "insert 2"), ("offline", "online"), ("level 1 3", "replace 1")])
        printers.do(name, begin)
        wrong[name] = end


def shown(daemon):
    return {i["id"]: i for i in daemon.items("/v1/incidents?limit=10000")}


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--kills", type=int, default=12)
    options.add_argument("--seed", type=int, default=1)
    options = options.parse_args()
    chance = random.Random(options.seed)
    faults = []
    receiver = Receiver(options.seed)
    with harness.scratch() as folder, fleet.fleet(folder, DEVICES) as printers:
        hook = f'[[hook]]\nname = "desk"\ntype = "webhook"\nurl = "http://127.0.0.1:{receiver.port}/"\n'
        tables = [harness.device_table(f"lodge-{i}", f"127.18.0.{i}", printers.port) for i in range(1, DEVICES + 1)]
        config = harness.basic_config(folder, tables, hook)
        harness.community_file(folder, "public")
        wrong, seen, restarts = {}, {}, 0
        while restarts < options.kills:
            with harness.daemon(folder, config, ready=False) as daemon:
                # From before it answers to well after its first polls.
                end = time.monotonic() + chance.uniform(0.02, 2.5)
                known = None
                while time.monotonic() < end:
                    trouble(chance, printers, wrong)
                    time.sleep(min(0.05, max(0, end - time.monotonic())))
                    try:
                        now = shown(daemon)
                    except (OSError, ValueError):
                        continue
                    if known is None:
                        known = now
                        for incident, before in seen.items():
                            after = now.get(incident)
                            if after is None:
                                faults.append(f"{incident} ({before['kind']} of {before['device']}) is lost")
                            elif after["raised_at"] != before["raised_at"] or after["device"] != before["device"]:
                                faults.append(f"{incident} is another incident after a restart")
                    seen.update(now)
                assert daemon.child.poll() is None, pathlib.Path(daemon.log).read_text(errors="replace")
                daemon.child.send_signal(signal.SIGKILL)
                daemon.child.wait()
                restarts += 1
        # Once more, in peace, until nothing waits.
        receiver.gentle = True
        with harness.daemon(folder, config) as daemon:
            for name, end in wrong.items():
                printers.do(name, end)
            # Jams that came again and again, and what chatters, are held for a while on purpose.
            def left():
                return [(i["kind"], i["device"], i["subunit"]) for i in daemon.items("/v1/incidents?state=raised")
                        if i["kind"] != "jam-recurring" and not i["chattering"]]
            try:
                harness.wait_for(lambda: not left(), 60)
            except AssertionError:
                faults.append(f"still raised though all is well: {left()}")
            harness.wait_for(lambda: daemon.health()["hooks"]["waiting"] == 0, 90)
            last = shown(daemon)
        database = sqlite3.connect(folder / "frisket.db")
        rows = database.execute("SELECT id, number, incident, reason, state FROM notices ORDER BY number").fetchall()
        raisings = database.execute("SELECT incident FROM transitions WHERE what = 'raised'").fetchall()
        database.close()

    for incident in seen:
        if incident not in last:
            faults.append(f"{incident} was shown and is lost")
    told = collections.OrderedDict()
    for notice in receiver.told:
        told.setdefault(notice["id"], notice)
    for notice, number, incident, reason, state in rows:
        if state not in ("delivered", "dropped"):
            faults.append(f"notice {notice} ({reason}) is {state}")
        if state == "delivered" and notice not in told:
            faults.append(f"notice {notice} ({reason}) counts as delivered, and nobody got it")
    kept = {row[0]: row for row in rows}
    order = collections.defaultdict(list)
    openings = collections.Counter()
    for identity, notice in told.items():
        if identity not in kept:
            faults.append(f"{identity} was told and is not in the outbox")
            continue
        incident = notice["incident"]["id"]
        order[incident].append(kept[identity][1])
        if incident not in last:
            faults.append(f"{incident} was told and is lost")
        if notice["reason"] == "raised":
            openings[incident, notice["times_raised"]] += 1
    for incident, numbers in order.items():
        if numbers != sorted(numbers):
            faults.append(f"{incident} was told out of order: {numbers}")
    for (incident, times), count in openings.items():
        if count > 1:
            faults.append(f"raising {times} of {incident} was told {count} times under different ids")
    unsent = {row[0] for row in raisings} - {notice["incident"]["id"] for notice in told.values()}
    for incident in unsent:
        if not any(row[2] == incident and row[4] == "dropped" for row in rows):
            faults.append(f"nobody was told of {incident}")
    repeats = len(receiver.told) - len(told)
    print(f"{restarts} kills, {len(last)} incidents, {len(raisings)} raisings, {len(rows)} notices, {repeats} told again under "
          f"the same id, {receiver.refused} refused; {len(unsent)} incidents unsent")
    for fault in faults[:40]:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
