"""Starts the real programs on loopback for tests, and ends them again.

Standard library only, run by Debian's python3. Every process is started by a context manager and
ended by its own process id; every wait has a bound and waits for the thing itself.
"""
import contextlib
import json
import os
import pathlib
import shutil
import signal
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ["FRISKET_BUILD"])  # set by CTest
GUARD = 60.0  # seconds that no wait exceeds; sanitizers on a busy machine are slow


def without_forecasts(device):
    """A device as the API has it, without the forecasts of its supplies: these come by themselves, some time after the start."""
    forecasts = ("days_left", "days_left_why", "runs_out")
    supplies = [{key: value for key, value in supply.items() if key not in forecasts} for supply in device["supplies"]]
    return {**device, "supplies": supplies}


def free_port(kind=socket.SOCK_STREAM, address="127.0.0.1"):
    with socket.socket(socket.AF_INET, kind) as probe:
        probe.bind((address, 0))
        return probe.getsockname()[1]


def wait_for(what, seconds=GUARD):
    """Calls what() until it gives something true, and returns that."""
    end = time.monotonic() + seconds
    while True:
        found = what()
        if found:
            return found
        if time.monotonic() > end:
            raise AssertionError(f"did not happen within {seconds} s: {getattr(what, '__name__', what)}")
        time.sleep(0.02)


def settled(what, wanted, seconds=5):
    """What it gives; if that is not what is wanted, what it gives a little later. A device's state is shown at once, what
    became of its incidents when that is written down."""
    end = time.monotonic() + seconds
    while (found := what()) != wanted and time.monotonic() < end:
        time.sleep(0.02)
    return found


@contextlib.contextmanager
def scratch():
    folder = pathlib.Path(tempfile.mkdtemp(prefix="frisket-test."))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def process(arguments, log, **options):
    """Runs a program with its output in a file; SIGTERM at the end, SIGKILL if that is ignored."""
    with open(log, "wb") as output:
        child = subprocess.Popen([str(a) for a in arguments], stdout=options.pop("stdout", output), stderr=output, **options)
    try:
        yield child
    finally:
        if child.poll() is None:
            child.terminate()
            try:
                child.wait(15)
            except subprocess.TimeoutExpired:
                child.kill()
                child.wait()
        if child.stdin:
            child.stdin.close()
        if child.stdout:
            child.stdout.close()


class Daemon:
    """A running frisketd."""

    def __init__(self, child, port, log, config):
        self.child, self.port, self.log, self.config = child, port, log, config

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}"

    def get(self, path):
        """Status and decoded body of one GET."""
        try:
            with urllib.request.urlopen(self.url + path, timeout=GUARD) as answer:
                return answer.status, json.load(answer)
        except urllib.error.HTTPError as failure:
            return failure.code, json.load(failure)

    def items(self, path):
        status, body = self.get(path)
        assert status == 200, (status, body)
        assert body["next"] is None, "more than one page: the test must follow it"
        return body["items"]

    def device(self, name):
        return self.get(f"/v1/devices/{name}")[1]

    def raised(self):
        """(kind, device, subunit) of every raised incident, in order."""
        return sorted((i["kind"], i["device"], i["subunit"] or "") for i in self.items("/v1/incidents?state=raised"))

    def health(self):
        return self.get("/v1/health")[1]

    def lines(self, *words):
        """Log lines that contain all of the words."""
        text = pathlib.Path(self.log).read_text(encoding="utf-8", errors="replace")
        return [line for line in text.splitlines() if all(word in line for word in words)]

    def client(self, *arguments):
        return client(*arguments, "--server", self.url)


def client(*arguments):
    return subprocess.run([BUILD / "frisket", *arguments], capture_output=True, text=True, timeout=GUARD)


@contextlib.contextmanager
def daemon(folder, config, ready=True):
    """frisketd with this configuration; {listen} in it becomes a free port of 127.0.0.1."""
    port = free_port()
    file = pathlib.Path(folder) / "frisket.toml"
    file.write_text(config.replace("{listen}", f"127.0.0.1:{port}"), encoding="utf-8")
    log = pathlib.Path(folder) / "frisketd.log"
    with process([BUILD / "frisketd", "--config", file], log) as child:
        running = Daemon(child, port, log, file)

        def answers():
            if child.poll() is not None:
                raise AssertionError("frisketd ended:\n" + log.read_text(errors="replace"))
            with contextlib.suppress(OSError):
                return running.get("/v1/health")[0] == 200

        if ready:
            wait_for(answers)
        yield running
        if child.poll() is None:
            child.send_signal(signal.SIGTERM)
            assert child.wait(GUARD) == 0, "frisketd did not end well:\n" + log.read_text(errors="replace")
    text = log.read_text(errors="replace")
    assert "Sanitizer" not in text and "runtime error:" not in text, text


def basic_config(folder, devices, extra="", polling=""):
    """A configuration with one site and one v2c credential; devices: list of TOML tables as text."""
    return f"""
[daemon]
listen = "{{listen}}"
state_dir = "{folder}"
socket = "{folder}/frisket.sock"

{polling}

[[site]]
name = "garden"
time_zone = "Europe/Dublin"

[[credential]]
name = "read"
version = "2c"
community_file = "{community_file(folder)}"

{extra}
""" + "\n".join(devices)


def community_file(folder, community="garden"):
    file = pathlib.Path(folder) / "community"
    file.write_text(community + "\n", encoding="utf-8")
    file.chmod(0o600)
    return file


def device_table(name, address, port, interval="1s", location="", credentials='["read"]'):
    return f"""
[[device]]
name = "{name}"
address = "{address}"
port = {port}
site = "garden"
location = "{location}"
credentials = {credentials}
poll_interval = "{interval}"
"""
