"""A simulated fleet under a test's control: one line in, one line out."""
import contextlib
import subprocess

import harness

MODEL = "tarnwick-m210"


class Fleet:
    def __init__(self, child, port):
        self.child, self.port = child, port

    def do(self, device, event):
        """Makes something happen to a device; it has happened when this returns."""
        self.child.stdin.write(f"{device} {event}\n")
        self.child.stdin.flush()
        answer = self.child.stdout.readline().strip()
        assert answer.startswith("ok"), f"{device} {event}: {answer}"


@contextlib.contextmanager
def fleet(folder, count=1, base="127.18.0.1", options=()):
    """Devices sim-00001 and so on at `base` and the addresses after it, community `public`."""
    command = [harness.BUILD / "tests/simfleet/simfleet", "--count", count, "--base", base, "--model", MODEL, "--port", 0,
               "--write-config", folder / "fleet.toml", "--until-eof", *options]
    with harness.process(command, folder / "simfleet.log", stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as child:
        ready = child.stdout.readline()
        assert ready.startswith("ready "), ready + (folder / "simfleet.log").read_text()
        printers = Fleet(child, int(ready.split()[-1]))
        for event in ("replace 1", "replace 2", "load 1 full", "load 2 full"):
            printers.do("all", event)  # nothing wrong at start
        yield printers
