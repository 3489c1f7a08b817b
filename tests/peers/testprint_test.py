#!/usr/bin/python3
"""The test print, from the client to the paper: the daemon against the reference IPP printer, a private spooler, and a
port that takes what it is sent.

What a printer got is kept by its own command and read by pdftotext. The page counter is the simulated printer's: it
moves when the test says that the sheet is out.
"""
import concurrent.futures
import contextlib
import json
import pathlib
import socket
import subprocess
import sys
import threading
import urllib.request

import ipp_peers
import harness  # found by way of ipp_peers
import fleet  # beside harness

# Keeps the document, and prints until the gate is gone.
COMMAND = """#!/bin/sh
cp "$1" "{folder}/got.pdf"
n=0
while [ -e "{folder}/gate" ] && [ $n -lt 600 ]; do sleep 0.1; n=$((n+1)); done
"""


class Port:
    """Takes one connection, and all that comes."""

    def __init__(self):
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        self.got = None
        self.thread = threading.Thread(target=self.take)
        self.thread.start()

    def take(self):
        connection, _ = self.listener.accept()
        with connection:
            octets = b""
            while piece := connection.recv(4096):
                octets += piece
        self.got = octets

    def close(self):
        self.thread.join(harness.GUARD)
        self.listener.close()


def testprint(daemon, device, *more, status=0):
    said = daemon.client("testprint", device, "--json", *more)
    assert said.returncode == status, (said, daemon.lines())
    return json.loads(said.stdout) if said.stdout else said.stderr


def words_of(file):
    done = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, text=True, timeout=harness.GUARD)
    assert done.returncode == 0, done.stderr
    return done.stdout


def audit(daemon):
    return daemon.items("/v1/audit")[0]


def counted(daemon, printers, folder):
    """Job and counter: the verdict is printed, and it is the proof of a fix."""
    harness.wait_for(lambda: daemon.device("potting-shed")["reach"] == "answered")
    printers.do("all", "jam 2")
    jam = harness.wait_for(lambda: [i for i in daemon.items("/v1/incidents") if i["kind"] == "media-jam"])[0]
    printers.do("all", "unjam")
    harness.wait_for(lambda: daemon.get(f"/v1/incidents/{jam['id']}")[1]["proof"] == "awaited")
    before = daemon.device("potting-shed")["impressions"]

    dry = testprint(daemon, "potting-shed", "--incident", jam["id"], "--dry-run")
    assert (dry["verdict"], dry["way"], dry["format"]) == (None, "own-service", "application/pdf"), dry
    assert not (folder / "got.pdf").exists()

    (folder / "gate").write_text("")
    with concurrent.futures.ThreadPoolExecutor() as pool:
        waiting = pool.submit(testprint, daemon, "potting-shed", "--incident", jam["id"])
        harness.wait_for((folder / "got.pdf").exists)
        assert "followed already" in testprint(daemon, "potting-shed", status=2)
        assert not waiting.done()
        printers.do("all", "print 1")
        (folder / "gate").unlink()
        outcome = waiting.result(harness.GUARD)
    assert outcome["verdict"] == "printed", outcome
    assert (outcome["impressions_before"], outcome["impressions_after"]) == (before, before + 1), outcome
    assert outcome["proved"] == [jam["id"]], outcome
    assert daemon.get(f"/v1/incidents/{jam['id']}")[1]["proof"] == "held"
    words = words_of(folder / "got.pdf")
    for word in ("potting-shed", jam["id"], outcome["page"], "Europe/Dublin", "Where the spades are"):
        assert word in words, words
    record = audit(daemon)
    assert (record["what"], record["target"], record["outcome"]) == ("device.testprint", "potting-shed", "done"), record
    assert (record["detail"]["verdict"], record["detail"]["page"]) == ("printed", outcome["page"]), record
    assert daemon.lines("[test-print]", "potting-shed", "printed")


def by_ipp_alone(daemon, folder):
    (folder / "got.pdf").unlink(missing_ok=True)
    outcome = testprint(daemon, "ipp-only")
    # Whether it counts its pages is the printer's affair.
    assert outcome["verdict"] in ("printed", "completed-uncounted"), outcome
    assert (outcome["way"], outcome["format"]) == ("own-service", "application/pdf") and outcome["job"] > 0, outcome
    words = words_of(folder / "got.pdf")
    assert "ipp-only" in words and outcome["page"] in words, words


def by_queue(daemon):
    outcome = testprint(daemon, "by-queue")
    assert outcome["verdict"] == "completed-uncounted", outcome
    assert (outcome["way"], outcome["queue"]) == ("queue", "herbarium"), outcome


def by_port(daemon, port):
    dry = testprint(daemon, "by-port", "--dry-run")
    assert (dry["way"], dry["format"]) == ("raw-port", "text/plain"), dry
    outcome = testprint(daemon, "by-port")
    assert outcome["verdict"] == "completed-uncounted", outcome
    port.close()
    text = port.got.decode("ascii")
    assert "by-port" in text and outcome["page"] in text and text.endswith("\f"), text


def where_it_fails(daemon):
    assert "no way to print on this device is configured" in testprint(daemon, "no-way", status=2)
    outcome = testprint(daemon, "nobody-there", status=1)
    assert outcome["verdict"] == "not-taken" and "refused" in outcome["said"], outcome
    assert testprint(daemon, "nobody-there", "--dry-run", status=3)  # 504: it does not answer


@contextlib.contextmanager
def listening(daemon, event):
    """The data of every such event, as they come."""
    found = []
    request = urllib.request.urlopen(daemon.url + "/v1/events", timeout=harness.GUARD)

    def read():
        name = ""
        with contextlib.suppress(OSError, ValueError, AttributeError):
            for line in request:
                word, _, rest = line.decode().strip().partition(": ")
                name = rest if word == "event" else name
                if word == "data" and name == event:
                    found.append(json.loads(rest))

    thread = threading.Thread(target=read, daemon=True)
    thread.start()
    yield found


def main():
    with harness.scratch() as folder, contextlib.ExitStack() as peers:
        command = folder / "command"
        command.write_text(COMMAND.format(folder=folder))
        command.chmod(0o755)
        printers = peers.enter_context(fleet.fleet(folder))
        bus = peers.enter_context(ipp_peers.bus(folder))
        printer = peers.enter_context(ipp_peers.printer(folder, bus, command))
        spooler = peers.enter_context(ipp_peers.spooler(folder))
        spooler.add("herbarium", "file:///dev/null")
        port = Port()

        def device(name, keys, address="127.0.0.1"):
            return (f'[[device]]\nname = "{name}"\naddress = "{address}"\nsite = "garden"\n'
                    f'location = "Where the spades are"\npoll_interval = "1s"\n{keys}\n')

        read = 'credentials = ["read"]\n'
        devices = [
            device("potting-shed", f'{read}port = {printers.port}\nipp = "{printer.uri()}"', "127.18.0.1"),
            device("ipp-only", f'ipp = "{printer.uri()}"'),
            device("by-queue", f'{read}port = {harness.free_port()}'),
            device("by-port", f'{read}port = {harness.free_port()}\nraw_port = {port.port}'),
            device("no-way", f'{read}port = {harness.free_port()}'),
            device("nobody-there", f'ipp = "ipp://127.0.0.1:{harness.free_port()}/ipp/print"'),
            f'[[queue]]\nname = "herbarium"\nuri = "{spooler.queue_uri("herbarium")}"\ndevice = "by-queue"\n'
            f'site = "garden"\n']
        config = harness.basic_config(folder, devices, polling="[polling]\ntimeout = \"300ms\"\nattempts = 1\n")
        harness.community_file(folder, "public")
        with harness.daemon(folder, config) as daemon, listening(daemon, "testprint") as events:
            counted(daemon, printers, folder)
            by_ipp_alone(daemon, folder)
            by_queue(daemon)
            by_port(daemon, port)
            where_it_fails(daemon)
            harness.wait_for(lambda: len(events) == 5)
            assert [e["device"] for e in events] == ["potting-shed", "ipp-only", "by-queue", "by-port", "nobody-there"]
            assert [e["verdict"] for e in events][::4] == ["printed", "not-taken"], events
    print("printed: over the device's own service with a counter and without, by a queue, on a raw port; not taken")


sys.exit(main())
