#!/usr/bin/python3
"""The daemon and its service manager: what goes to NOTIFY_SOCKET at the start, at reloads, while it lives, at its end.

The words are those of sd_notify(3). The manager is a socket of this test's own.
"""
import os
import signal
import socket
import sys
import time

import harness

BEAT = 0.02  # seconds: half of what the watchdog allows here


class Manager:
    """The other end of NOTIFY_SOCKET."""

    def __init__(self, path):
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(str(path))
        self.socket.settimeout(harness.GUARD)
        self.told = []

    def until(self, wanted):
        """What is told up to the first message that has a line that begins so, that one included."""
        began = len(self.told)
        while True:
            message = self.socket.recv(8192).decode("utf-8")
            self.told.append(message)
            if any(line.startswith(wanted) for line in message.splitlines()):
                return self.told[began:]


def states(messages):
    """Without signs of life and texts for people."""
    return [message for message in messages if not message.startswith(("WATCHDOG=", "STATUS="))]


def main():
    with harness.scratch() as folder:
        manager = Manager(folder / "notify")
        os.environ["NOTIFY_SOCKET"] = str(folder / "notify")
        os.environ["WATCHDOG_USEC"] = str(int(BEAT * 2 * 1_000_000))
        device = harness.device_table("potting-shed", "127.18.0.1", harness.free_port(socket.SOCK_DGRAM))
        config = harness.basic_config(folder, [device])
        with harness.daemon(folder, config) as daemon:
            assert states(manager.until("READY=1")) == ["READY=1"], manager.told
            assert manager.until("STATUS=")[-1] == "STATUS=watching 1 devices at 1 sites", manager.told
            for _ in range(3):
                manager.until("WATCHDOG=1")
            health = daemon.health()  # it serves meanwhile
            assert health["status"], health

            # A reload says when it began, by the clock that the manager compares with, and that it is over.
            before = time.clock_gettime_ns(time.CLOCK_MONOTONIC) // 1000
            daemon.child.send_signal(signal.SIGHUP)
            lines = manager.until("RELOADING=1")[-1].splitlines()
            assert lines[0] == "RELOADING=1" and lines[1].startswith("MONOTONIC_USEC="), lines
            at = int(lines[1].split("=")[1])
            assert before <= at <= time.clock_gettime_ns(time.CLOCK_MONOTONIC) // 1000, (before, at)
            manager.until("READY=1")

            # A wrong file, and a long one: the reload is over all the same, and the status says that it was refused. While
            # it is read the thread that everything needs does nothing else, so nobody may say meanwhile that it is alive.
            listen = f"127.0.0.1:{daemon.port}"
            many = "\n".join(device.replace("potting-shed", f"shed-{number}") for number in range(20_000))
            wrong = config.replace("{listen}", listen) + many + '\n[[hook]]\nname = "nothing else"\n'
            daemon.config.write_text(wrong, encoding="utf-8")
            began = time.monotonic()
            daemon.child.send_signal(signal.SIGHUP)
            manager.until("RELOADING=1")
            during = manager.until("READY=1")
            took = time.monotonic() - began
            assert took > 3 * BEAT, f"{took} s is too short to prove anything: make the file longer"
            assert during == ["READY=1"], during
            assert "refused" in manager.until("STATUS=")[-1], manager.told[-1]

            daemon.config.write_text(config.replace("{listen}", listen), encoding="utf-8")
            daemon.child.send_signal(signal.SIGHUP)
            assert "refused" not in manager.until("STATUS=watching")[-1]
            daemon.child.send_signal(signal.SIGTERM)
            manager.until("STOPPING=1")
            assert daemon.child.wait(harness.GUARD) == 0

        # Nobody listens any more: the daemon is as well without.
        manager.socket.close()
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: daemon.lines("[service-manager]"))
            assert daemon.health()["status"], daemon.health()
    print("ready, alive, reloaded, refused, stopped")
    return 0


sys.exit(main())
