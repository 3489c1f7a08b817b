"""A private print spooler, the reference IPP printer, and our probe to read both.

Nothing of the system is touched: the spooler's configuration, spool, state and logs are in one scratch
folder, everything listens on 127.0.0.1. Needs cups-daemon, cups-client, cups-ipp-utils and dbus.
"""
import contextlib
import json
import os
import pathlib
import shutil
import socket
import subprocess
import sys
import threading
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "system"))
import harness

USER = "lp"  # whom the spooler runs its backends as, when it runs as root
SERVER_BIN = pathlib.Path("/usr/lib/cups")

# Does what the file named in the device URI says: lines for standard error, then "wait FILE" until
# that file is gone, then "exit N". Without the file it ends at once.
BACKEND = """#!/usr/bin/python3
import os, sys, time
if len(sys.argv) < 6:
    sys.exit(0)
orders = os.environ["DEVICE_URI"].split(":", 1)[1]
try:
    lines = open(orders).read().splitlines()
except OSError:
    sys.exit(0)
for line in lines:
    word, _, rest = line.partition(" ")
    if word == "say":
        print(rest, file=sys.stderr, flush=True)
    elif word == "wait":
        end = time.monotonic() + 120
        while os.path.exists(rest) and time.monotonic() < end:
            time.sleep(0.02)
    elif word == "exit":
        sys.exit(int(rest))
"""


def build(path):
    return harness.BUILD / path


class Probe:
    """tests/peers/ipp_dump, asked line by line."""

    def __init__(self, child):
        self.child = child

    def ask(self, *words):
        self.child.stdin.write(" ".join(str(w) for w in words) + "\n")
        self.child.stdin.flush()
        line = self.child.stdout.readline()
        assert line, "the probe ended"
        return json.loads(line)

    def do(self, *words):
        answer = self.ask(*words)
        assert answer["ok"], (words, answer)
        return answer["value"]


@contextlib.contextmanager
def probe(uri, *options):
    child = subprocess.Popen([build("tests/peers/ipp_dump"), *options, uri], stdin=subprocess.PIPE,
                             stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    guard = threading.Timer(240, child.kill)
    guard.start()
    try:
        yield Probe(child)
    finally:
        guard.cancel()
        _, errors = child.communicate(timeout=harness.GUARD)
    assert child.returncode == 0, f"the probe ended with {child.returncode}:\n{errors}"


class Spooler:
    def __init__(self, folder, port):
        self.folder, self.port = folder, port
        self.uri = f"ipp://127.0.0.1:{port}/"
        self.socket = folder / "spooler.sock"
        self.child = None

    def queue_uri(self, name):
        return f"ipp://127.0.0.1:{self.port}/printers/{name}"

    def command(self, *arguments):
        done = subprocess.run([str(a) for a in arguments], capture_output=True, text=True, timeout=harness.GUARD,
                              env={**os.environ, "CUPS_SERVER": f"127.0.0.1:{self.port}", "LC_ALL": "C"})
        assert done.returncode == 0, (arguments, done.stdout, done.stderr)
        return done.stdout

    def add(self, name, device, *more):
        self.command("lpadmin", "-p", name, "-E", "-v", device, *more)

    def orders(self, name, text):
        """What the scripted backend of that queue is to do with the next job."""
        file = self.folder / f"{name}.orders"
        file.write_text(text)
        file.chmod(0o644)
        return f"scripted:{file}"

    def print(self, name, *more, octets=b"a page\n"):
        file = self.folder / "page.txt"
        file.write_bytes(octets)
        file.chmod(0o644)
        said = self.command("lp", "-d", name, *more, file)  # "request id is fern-3 (1 file(s))"
        return int(said.split(" is ")[1].split(" ")[0].rsplit("-", 1)[1])

    def start(self):
        log = open(self.folder / "spooler.out", "ab")
        self.child = subprocess.Popen(["/usr/sbin/cupsd", "-f", "-c", self.folder / "cupsd.conf", "-s",
                                       self.folder / "cups-files.conf"], stdout=log, stderr=log)
        log.close()
        harness.wait_for(self.answers)

    def answers(self):
        assert self.child.poll() is None, "the spooler ended:\n" + self.log()
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
            return True

    def log(self):
        file = self.folder / "error_log"
        return file.read_text(errors="replace")[-4000:] if file.exists() else ""

    def stop(self, kill=False):
        if self.child and self.child.poll() is None:
            if kill:
                self.child.kill()
            else:
                self.child.terminate()
            try:
                self.child.wait(30)
            except subprocess.TimeoutExpired:
                self.child.kill()
                self.child.wait()


@contextlib.contextmanager
def spooler(folder, printers_conf="", policy=""):
    folder = pathlib.Path(folder) / "spooler"
    port = harness.free_port()
    folder.mkdir()
    folder.parent.chmod(0o755)
    root = os.getuid() == 0
    for name in ("etc", "state", "cache", "spool", "tmp", "ssl", "doc", "bin", "bin/backend", "bin/daemon"):
        (folder / name).mkdir()
    for name in ("backend/ipp", "daemon/cups-exec"):
        shutil.copy(SERVER_BIN / name, folder / "bin" / name)
        (folder / "bin" / name).chmod(0o755)
    scripted = folder / "bin/backend/scripted"
    scripted.write_text(BACKEND)
    scripted.chmod(0o755)
    (folder / "etc/printers.conf").write_text(printers_conf)
    (folder / "cups-files.conf").write_text(f"""
FileDevice Yes
{"User lp" if root else ""}
{"Group lp" if root else ""}
SystemGroup root
ServerRoot {folder}/etc
StateDir {folder}/state
CacheDir {folder}/cache
RequestRoot {folder}/spool
TempDir {folder}/tmp
ServerKeychain {folder}/ssl
DocumentRoot {folder}/doc
ServerBin {folder}/bin
DataDir /usr/share/cups
ErrorLog {folder}/error_log
AccessLog {folder}/access_log
PageLog {folder}/page_log
Printcap {folder}/printcap
""")
    (folder / "cupsd.conf").write_text(f"""
LogLevel info
Listen 127.0.0.1:{port}
Listen {folder}/spooler.sock
Browsing No
WebInterface No
DefaultAuthType None
DefaultEncryption Never
IdleExitTimeout 0
MaxClients 50
JobRetryInterval 1
<Location />
  Order allow,deny
  Allow 127.0.0.0/8
</Location>
<Policy default>
  JobPrivateAccess all
  JobPrivateValues none
  SubscriptionPrivateAccess all
  SubscriptionPrivateValues none
  {policy}
  <Limit All>
    AuthType None
    Order allow,deny
    Allow 127.0.0.0/8
  </Limit>
</Policy>
""")
    if root:
        for name in ("spool", "tmp", "etc", "cache"):
            shutil.chown(folder / name, group=USER)
        (folder / "spool").chmod(0o710)
        (folder / "tmp").chmod(0o1770)
        (folder / "cache").chmod(0o770)
    running = Spooler(folder, port)
    running.start()
    try:
        yield running
    finally:
        running.stop()


STUCK_AFTER = 3  # seconds until a job is stuck; five minutes is the default, and too long for a test


def office(spooler, more=""):
    """Of frisketd's configuration: the spooler as "office", passed over every second. `more` goes into its table."""
    return f"""
[rules]
job_stuck_after = "{STUCK_AFTER}s"

[[spooler]]
name = "office"
uri = "{spooler.uri}"
site = "garden"
poll_interval = "1s"
{more}"""


TALKER = """#!/bin/sh
# Says what the file says, then prints until the gate is gone.
cat "{folder}/say" >&2
n=0
while [ -e "{folder}/gate" ] && [ $n -lt 600 ]; do sleep 0.1; n=$((n+1)); done
cat "{folder}/say-last" >&2
"""


class Talker:
    """The command of a reference printer, which says during a job what the test wants."""

    def __init__(self, folder):
        self.folder = folder
        self.command = folder / "command"
        self.says("", "")
        self.command.write_text(TALKER.format(folder=folder))
        self.command.chmod(0o755)

    def says(self, first, last):
        (self.folder / "say").write_text(first)
        (self.folder / "say-last").write_text(last)

    def open_cover(self, probe, also="", last=""):
        """A job during which the front cover is open, until let_go(); `also` are further state reasons. Gives the job."""
        self.says(f"STATE: +cover-open{also}\n"
                  "ATTR: printer-alert='code=coverOpen;severity=critical;training=untrained;group=cover;groupindex=1;'\n"
                  "ATTR: printer-alert-description='Close the front cover'\n", f"STATE: -cover-open{also}\n{last}")
        (self.folder / "gate").write_text("")
        page = self.folder / "page.pdf"
        page.write_bytes(b"%PDF-1.4\n")
        return probe.do("print", "alerts", "application/pdf", page)

    def let_go(self):
        (self.folder / "gate").unlink()


class Printer:
    """The reference IPP printer."""

    def __init__(self, child, port, folder):
        self.child, self.port, self.folder = child, port, folder

    def uri(self, scheme="ipp"):
        return f"{scheme}://localhost:{self.port}/ipp/print"

    def load(self, names, size, level):
        """Plain paper of that size into the tray "main" of those; envelopes into the by-pass tray."""
        main, by_pass = names.index("main"), names.index("by-pass-tray")
        self.page(f"/media?size{main}={size}&type{main}=stationery&level{main}={level}"
                  f"&size{by_pass}=na_number-10_4.125x9.5in&type{by_pass}=envelope&level{by_pass}=25")

    def page(self, path):
        with urllib.request.urlopen(f"http://localhost:{self.port}{path}", timeout=harness.GUARD) as answer:
            return answer.read()

    def certificate(self):
        """SHA-256 of the certificate as the TLS library of Python sees it."""
        import hashlib
        import ssl
        context = ssl.create_default_context()
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
        with socket.create_connection(("localhost", self.port), harness.GUARD) as plain:
            with context.wrap_socket(plain, server_hostname="localhost") as secure:
                return hashlib.sha256(secure.getpeercert(binary_form=True)).hexdigest()


BUS = """<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>system</type><listen>unix:path={socket}</listen><auth>EXTERNAL</auth>
<policy context="default"><allow user="*"/><allow own="*"/>
<allow send_type="method_call"/><allow send_type="signal"/>
<allow send_requested_reply="true" send_type="method_return"/><allow send_requested_reply="true" send_type="error"/>
<allow receive_type="method_call"/><allow receive_type="method_return"/><allow receive_type="error"/>
<allow receive_type="signal"/></policy></busconfig>
"""


@contextlib.contextmanager
def bus(folder):
    """The printer wants a D-Bus to announce itself on; a private one, where nobody listens."""
    folder = pathlib.Path(folder)
    (folder / "bus.conf").write_text(BUS.format(socket=folder / "bus.sock"))
    with harness.process(["dbus-daemon", f"--config-file={folder}/bus.conf", "--nofork"], folder / "bus.log"):
        harness.wait_for((folder / "bus.sock").exists)
        yield f"unix:path={folder}/bus.sock"


@contextlib.contextmanager
def printer(folder, bus_address, command="/bin/cat", name="Loganberry", port=None):
    folder = pathlib.Path(folder) / f"printer-{name}"
    for each in (folder, folder / "ssl", folder / "spool"):
        each.mkdir(exist_ok=True)
    port = port or harness.free_port()
    environment = {**os.environ, "DBUS_SYSTEM_BUS_ADDRESS": bus_address}
    with harness.process(["ippeveprinter", "-p", port, "-n", "localhost", "-K", folder / "ssl", "-d", folder / "spool",
                          "-c", command, "-f", "application/pdf,image/pwg-raster", "-r", "off", name],
                         folder / "printer.log", env=environment) as child:
        running = Printer(child, port, folder)

        def answers():
            assert child.poll() is None, (folder / "printer.log").read_text(errors="replace")
            with contextlib.suppress(OSError), socket.create_connection(("localhost", port), 1):
                return True

        harness.wait_for(answers)
        yield running
