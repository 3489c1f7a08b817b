"""What the tests of the hooks share: a printer whose tray is pulled, hooks that tell of it, certificates.

The receivers are other people's: Python's http.server and smtplib's counterpart aiosmtpd, sockets and ssl.
"""
import contextlib
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "system"))
import fleet  # noqa: E402
import harness  # noqa: E402


class Faults(list):
    def expect(self, true, what):
        if not true:
            self.append(what)

    def told(self, name):
        """Prints them; the exit status."""
        for fault in self:
            print("FAULT:", fault)
        print(f"{name}: {len(self)} faults")
        return 1 if self else 0


def certificates(folder):
    """(authority's file, server's chain and key in one file) for localhost and 127.0.0.1."""
    folder = pathlib.Path(folder)

    def openssl(*arguments):
        subprocess.run(["openssl", *map(str, arguments)], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    authority, server = folder / "authority.pem", folder / "server.pem"
    openssl("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", 2, "-subj",
            "/CN=Garden authority", "-keyout", folder / "authority.key", "-out", authority)
    openssl("req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-subj", "/CN=localhost",
            "-keyout", folder / "server.key", "-out", folder / "server.csr")
    (folder / "server.ext").write_text("subjectAltName=DNS:localhost,IP:127.0.0.1\n")
    openssl("x509", "-req", "-in", folder / "server.csr", "-CA", authority, "-CAkey", folder / "authority.key",
            "-CAcreateserial", "-days", 2, "-extfile", folder / "server.ext", "-out", folder / "server.crt")
    server.write_text((folder / "server.crt").read_text() + (folder / "server.key").read_text())
    return authority, server


def secret(folder, name, text):
    file = pathlib.Path(folder) / name
    file.write_text(text + "\n", encoding="utf-8")
    file.chmod(0o600)
    return file


def hook(name, kind, **keys):
    """A [[hook]] table; values are TOML already, or texts, numbers, truths and lists of texts."""
    def toml(value):
        if isinstance(value, bool):
            return "true" if value else "false"
        if isinstance(value, int):
            return str(value)
        if isinstance(value, (list, tuple)):
            return "[" + ", ".join(toml(each) for each in value) + "]"
        return '"' + str(value) + '"'
    lines = [f"{key} = {toml(value)}" for key, value in keys.items()]
    return "\n".join(["[[hook]]", f'name = "{name}"', f'type = "{kind}"', *lines]) + "\n"


class Garden:
    """A daemon that watches one printer."""

    def __init__(self, daemon, printers):
        self.daemon, self.printers = daemon, printers

    def pull(self):
        self.printers.do("sim-00001", "pull 2")
        harness.wait_for(lambda: any(kind == "input-tray-missing" for kind, _, _ in self.daemon.raised()))

    def insert(self):
        self.printers.do("sim-00001", "insert 2")
        harness.wait_for(lambda: not self.daemon.raised())


@contextlib.contextmanager
def garden(folder, hooks, address="127.18.3.1", location="Potting shed"):
    with fleet.fleet(folder, 1, address) as printers:
        table = harness.device_table("lodge-1", address, printers.port, location=location)
        config = harness.basic_config(folder, [table], "\n".join(hooks)).replace(
            str(folder / "community"), str(folder / "fleet.toml.community-1"))
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: daemon.device("lodge-1")["reach"] == "answered")
            yield Garden(daemon, printers)
