#!/usr/bin/python3
"""The LPD probe against the LPD service of a real spooler, with the spooler's own client as the second witness.

The service speaks on its standard input and output, as from inetd; here a socket server of a few lines starts
one for each connection. packaging/prerequisites says where it comes from.
"""
import contextlib
import json
import pathlib
import socketserver
import subprocess
import sys
import threading

import ipp_peers
import harness  # found by way of ipp_peers

PLACES = [pathlib.Path("/usr/lib/cups/daemon/cups-lpd"), pathlib.Path("/usr/local/lib/frisket-tests/cups-lpd")]


def service():
    for place in PLACES:
        if place.exists():
            return place
    raise AssertionError("no LPD service here: packaging/prerequisites test unpacks it")


@contextlib.contextmanager
def lpd(spooler):
    """The port of the spooler's LPD service."""
    program = service()

    class Connection(socketserver.BaseRequestHandler):
        def handle(self):
            subprocess.run([program, "-n", "-h", f"127.0.0.1:{spooler.port}"], stdin=self.request, stdout=self.request,
                           stderr=subprocess.DEVNULL, timeout=harness.GUARD)

    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), Connection) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server.server_address[1]
        finally:
            server.shutdown()
            thread.join()


def read(port, queue, form="short"):
    done = subprocess.run([harness.BUILD / "tests/peers/lpd_dump", "127.0.0.1", str(port), queue, form],
                          capture_output=True, text=True, timeout=harness.GUARD)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def listed(spooler, queue):
    return len(spooler.command("lpstat", "-o", queue).splitlines())


def both(spooler, port, queue, count):
    assert listed(spooler, queue) == count
    for form in ("short", "long"):
        reading = read(port, queue, form)
        assert (reading["reach"], reading["jobs"], reading["detail"]) == ("answered", count, ""), reading
        assert reading["accepting"] is None, reading  # this service never says
        assert reading["queued"] == count, reading  # as a queue of any kind
    return reading


def main():
    with harness.scratch() as folder:
        with ipp_peers.spooler(folder) as spooler, lpd(spooler) as port:
            spooler.add("fern", "file:///dev/null")
            assert both(spooler, port, "fern", 0)["lines"] == ["fern is ready", "no entries"]
            spooler.command("cupsdisable", "fern")
            for count in range(1, 4):
                # A name that looks like a row is still one job.
                spooler.print("fern", "-t", "1st moss 7 list.txt 12 bytes")
                assert both(spooler, port, "fern", count)["lines"][0] == "fern is not ready"
            for _ in range(8):
                spooler.print("fern", "-t", "Gewächshaus Δ")
            assert any("Gewächshaus Δ" in line for line in both(spooler, port, "fern", 11)["lines"])
            spooler.command("cancel", "-a", "fern")
            both(spooler, port, "fern", 0)

            gate = folder / "gate"
            gate.write_text("")
            spooler.add("moss", spooler.orders("moss", f"wait {gate}\n"))
            spooler.print("moss")
            harness.wait_for(lambda: "now printing" in spooler.command("lpstat", "-p", "moss"))
            spooler.print("moss")
            assert "moss is ready and printing" in both(spooler, port, "moss", 2)["lines"]
            gate.unlink()
            harness.wait_for(lambda: listed(spooler, "moss") == 0, 30)
            both(spooler, port, "moss", 0)

            absent = read(port, "nettle")
            assert (absent["reach"], absent["jobs"]) == ("absent", None), absent
            spooler.stop()
            behind = read(port, "fern")
            assert (behind["reach"], behind["jobs"]) == ("silent", None), behind
        nobody = read(harness.free_port(), "fern")
        assert nobody["reach"] == "silent" and "refused" in nobody["detail"], nobody
    print("read over LPD: no jobs, waiting and printing jobs in both forms, no such queue, no spooler, nobody")


sys.exit(main())
