#!/usr/bin/python3
"""The life of the Debian package: install, run, upgrade over an older store, remove, purge.

In a root of its own: an overlay over this machine's, or over the one that FRISKET_CLEAN_ROOT names (a debootstrap with
what the package depends on), in name spaces of its own for mounts, processes and network. What happens there goes away
with it; this machine is only read. Needs root and Linux's overlay file system; without them it is skipped, and says why.

    lifecycle_test.py              the packages are made of the build in FRISKET_BUILD
"""
import contextlib
import ctypes
import fcntl
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import sqlite3
import struct
import subprocess
import sys
import tempfile
import time
import traceback
import urllib.request

SOURCE = pathlib.Path(__file__).resolve().parents[2]
GUARD = 60.0  # seconds that no wait exceeds
SKIPPED = 77  # SKIP_RETURN_CODE of the test
CLONE_NEWNS, CLONE_NEWPID, CLONE_NEWNET = 0x20000, 0x20000000, 0x40000000

CONFIGURATION = """
[[site]]
name = "garden"

[[credential]]
name = "read"
community_file = "read"

[[device]]
name = "potting-shed"
address = "127.0.0.1"
port = 16161
site = "garden"
credentials = ["read"]
poll_interval = "1s"

[polling]
timeout = "100ms"
attempts = 1
silent_after = 1
"""

FILES = """/usr/sbin/frisketd /usr/bin/frisket /lib/systemd/system/frisketd.service /usr/lib/sysusers.d/frisket.conf
/usr/lib/tmpfiles.d/frisket.conf /etc/frisket/frisket.toml /etc/frisket/tokens /usr/share/man/man8/frisketd.8.gz
/usr/share/man/man1/frisket.1.gz /usr/share/man/man5/frisket.toml.5.gz /usr/share/bash-completion/completions/frisket
/usr/share/zsh/vendor-completions/_frisket /usr/share/fish/vendor_completions.d/frisket.fish
/usr/share/doc/frisket/copyright /usr/share/doc/frisket/changelog.gz /usr/share/doc/frisket/installing.md""".split()


def run(*command, ok=True, **options):
    done = subprocess.run([str(c) for c in command], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                          stdin=subprocess.DEVNULL, timeout=600, **options)
    assert done.returncode == 0 or not ok, f"{command}: status {done.returncode}\n{done.stdout}"
    return done


def wait_for(what):
    end = time.monotonic() + GUARD
    while not (found := what()):
        assert time.monotonic() < end, f"did not happen within {GUARD} s: {what}"
        time.sleep(0.02)
    return found


# Outside: the packages.

def make_packages(folder):
    """The package of this build, and the same as a lower version with another configuration file."""
    build = pathlib.Path(os.environ["FRISKET_BUILD"])
    packing = ["-D", "CPACK_DEBIAN_COMPRESSION_TYPE=none"] if is_sanitized() else []
    run("cpack", "-G", "DEB", *packing, "--config", build / "CPackConfig.cmake", "-B", folder / "made", cwd=folder)
    [new] = (folder / "made").glob("*.deb")
    tree = folder / "older"
    run("dpkg-deb", "-R", new, tree)
    control = tree / "DEBIAN/control"
    text, count = re.subn(r"(?m)^Version: .*$", "Version: 0.0.9", control.read_text())
    assert count == 1, text
    control.write_text(text)
    with open(tree / "etc/frisket/frisket.toml", "a", encoding="utf-8") as file:
        file.write("\n# of an older version\n")
    old = folder / "frisket_0.0.9.deb"
    run("dpkg-deb", "-Znone", "-b", tree, old)
    shutil.rmtree(tree)
    return old, new


def is_sanitized():
    """Then the programs are so large that packing and lintian take minutes; and nobody ships them."""
    return "libasan" in run("objdump", "-p", pathlib.Path(os.environ["FRISKET_BUILD"]) / "frisketd").stdout


def check_with_lintian(package):
    if is_sanitized():
        print("lintian looks at the package of another build (tests/run release -R package_lifecycle)")
        return
    if not shutil.which("lintian"):
        print("lintian is not installed: the package was not looked at")
        return
    done = run("lintian", "--allow-root", "--fail-on", "error", package, ok=False)
    print(done.stdout, end="")
    assert done.returncode == 0, "lintian finds errors"


# Inside: a root to do as one likes in.

libc = ctypes.CDLL(None, use_errno=True)


def leave_the_machine():
    """Mounts and network from here on, and processes from the next on, are ours. False if the machine does not allow it."""
    return libc.unshare(CLONE_NEWNS | CLONE_NEWPID | CLONE_NEWNET) == 0


def bring_loopback_up():
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as any_socket:
        fcntl.ioctl(any_socket, 0x8914, struct.pack("16sh14x", b"lo", 0x41))  # SIOCSIFFLAGS: up, running


def make_root(folder):
    """An overlay; None if the machine has no such file system, or does not let us."""
    base = os.environ.get("FRISKET_CLEAN_ROOT", "/")
    if run("mount", "-t", "tmpfs", "-o", "mode=755", "layers", folder, ok=False).returncode != 0:
        return None
    for name in ("upper", "work", "root"):
        (folder / name).mkdir()
    root = folder / "root"
    options = f"lowerdir={base},upperdir={folder}/upper,workdir={folder}/work"
    if run("mount", "-t", "overlay", "-o", options, "overlay", root, ok=False).returncode != 0:
        return None
    run("mount", "-t", "proc", "proc", root / "proc")
    for place in ("run", "tmp", "dev"):
        run("mount", "-t", "tmpfs", "-o", "mode=1777" if place == "tmp" else "mode=755", place, root / place)
    for device in ("null", "zero", "urandom", "random"):
        (root / "dev" / device).touch()
        run("mount", "--bind", f"/dev/{device}", root / "dev" / device)
    return root


class Root:
    def __init__(self, path):
        self.path = path
        # In place of a running systemd: what maintainer scripts ask of it is written down.
        (path / "run/systemd/system").mkdir(parents=True)
        for name in ("systemctl", "deb-systemd-invoke"):
            stand_in = path / "usr/local/sbin" / name
            stand_in.write_text(f'#!/bin/sh\ncase "$*" in *--root=*) exec /bin/{name} "$@" ;; esac\n'
                                f'echo "{name} $*" >>/tmp/asked\n')
            stand_in.chmod(0o755)

    def __truediv__(self, name):
        return self.path / name.lstrip("/")

    def run(self, *command, ok=True):
        environment = {"PATH": "/usr/local/sbin:/usr/sbin:/usr/bin:/sbin:/bin", "LANG": "C.UTF-8", "HOME": "/root",
                       "DEBIAN_FRONTEND": "noninteractive"}
        return run("chroot", self.path, *command, ok=ok, env=environment)

    def as_daemon(self, *command, ok=True):
        return self.run("runuser", "-u", "frisket", "--", *command, ok=ok)

    def asked(self):
        """What was asked of systemd since this was last called."""
        file = self / "tmp/asked"
        lines = file.read_text().splitlines() if file.exists() else []
        file.unlink(missing_ok=True)
        return [line for line in lines if "daemon-reload" not in line]

    def install(self, package, *options):
        shutil.copy(package, self / "tmp")
        return self.run("dpkg", *options, "-i", f"/tmp/{pathlib.Path(package).name}").stdout

    @contextlib.contextmanager
    def daemon(self):
        log = open(self / "tmp/frisketd.log", "ab")
        child = subprocess.Popen(["chroot", self.path, "setpriv", "--reuid=frisket", "--regid=frisket", "--init-groups",
                                  "/usr/sbin/frisketd"], stdout=log, stderr=log, stdin=subprocess.DEVNULL)
        try:
            def answers():
                assert child.poll() is None, (self / "tmp/frisketd.log").read_text()
                with contextlib.suppress(OSError):
                    return get("/v1/health")
            wait_for(answers)
            yield
            child.send_signal(signal.SIGTERM)
            assert child.wait(GUARD) == 0, (self / "tmp/frisketd.log").read_text()
        finally:
            if child.poll() is None:
                child.kill()
                child.wait()
            log.close()


def get(path):
    with urllib.request.urlopen("http://127.0.0.1:9640" + path, timeout=GUARD) as answer:
        return json.load(answer)


def mode_of(path):
    status = os.lstat(path)
    return oct(status.st_mode & 0o7777), status.st_uid, status.st_gid


def store_version(store):
    with contextlib.closing(sqlite3.connect(store)) as database:
        return database.execute("PRAGMA user_version").fetchone()[0]


def make_older(store):
    """Puts what the store has into one as the first schema made it."""
    code = (SOURCE / "daemon/store/schema.cpp").read_text(encoding="utf-8")
    first = re.search(r'kFirst = R"sql\((.*?)\)sql"', code, re.S)[1]
    with contextlib.closing(sqlite3.connect(store)) as new:
        application = new.execute("PRAGMA application_id").fetchone()[0]
    old = store.with_suffix(".old")
    with contextlib.closing(sqlite3.connect(old)) as database:
        database.executescript(f"PRAGMA application_id = {application}; PRAGMA user_version = 1; {first}")
        database.execute("ATTACH ? AS new", (str(store),))
        for (table,) in database.execute("SELECT name FROM main.sqlite_master WHERE type = 'table'").fetchall():
            names = ", ".join(row[1] for row in database.execute(f"PRAGMA main.table_info({table})"))
            database.execute(f"INSERT INTO main.{table} ({names}) SELECT {names} FROM new.{table}")
        database.commit()
    owner = os.stat(store)
    os.replace(old, store)
    os.chown(store, owner.st_uid, owner.st_gid)
    os.chmod(store, 0o600)
    for suffix in ("-wal", "-shm"):
        pathlib.Path(str(store) + suffix).unlink(missing_ok=True)


def check_install(root, old):
    said = root.install(old)
    for file in FILES:
        assert os.path.lexists(root / file), f"not installed: {file}"
    asked = root.asked()
    assert asked == ["deb-systemd-invoke restart frisketd.service"], (asked, said)
    uid, gid = (int(root.run("id", option, "frisket").stdout) for option in ("-u", "-g"))
    assert mode_of(root / "etc/frisket") == ("0o750", 0, gid), mode_of(root / "etc/frisket")
    assert mode_of(root / "var/lib/frisket") == ("0o750", uid, gid), mode_of(root / "var/lib/frisket")
    enabled = root / "etc/systemd/system/multi-user.target.wants/frisketd.service"
    assert enabled.is_symlink(), "the service is not enabled"
    checked = root.as_daemon("frisketd", "--check").stdout
    # The one thing to say of it is that nobody has a token yet, which is as it should be.
    findings = [line for line in checked.splitlines() if ": warning: " in line or ": error: " in line]
    assert "usable, 0 devices" in checked, checked
    assert len(findings) == 1 and "has no token: nobody may change anything over TCP" in findings[0], checked
    for page in ("8 frisketd", "1 frisket", "5 frisket.toml"):
        section, name = page.split()
        assert (root / f"usr/share/man/man{section}/{name}.{section}.gz").stat().st_size > 500, page


def check_first_run(root):
    """A printer that is silent, an incident of it, and a person who says so over the socket: what an upgrade must keep."""
    secret = root / "etc/frisket/read"
    secret.write_text("garden\n")
    os.chown(secret, 0, os.stat(root / "etc/frisket").st_gid)
    secret.chmod(0o640)
    with open(root / "etc/frisket/frisket.toml", "a", encoding="utf-8") as file:
        file.write(CONFIGURATION)
    root.as_daemon("frisketd", "--check")
    with root.daemon():
        incident = wait_for(lambda: get("/v1/incidents?state=raised")["items"])[0]
        assert incident["kind"] == "device-silent", incident
        # As root over the socket; a stranger is refused it, and has no token for TCP.
        root.run("frisket", "ack", incident["id"], "--note", "kept")
        refused = root.run("runuser", "-u", "nobody", "--", "frisket", "close", incident["id"], ok=False)
        assert refused.returncode == 4, refused
        assert "potting-shed" in root.run("runuser", "-u", "nobody", "--", "frisket", "devices").stdout
    return incident["id"]


def check_upgrade(root, new, incident):
    store = root / "var/lib/frisket/frisket.db"
    newest = store_version(store)
    make_older(store)
    assert store_version(store) == 1 < newest, (store_version(store), newest)
    edited = (root / "etc/frisket/frisket.toml").read_text()
    root.install(new, "--force-confdef", "--force-confold")
    assert root.asked() == ["deb-systemd-invoke restart frisketd.service"]
    assert (root / "etc/frisket/frisket.toml").read_text() == edited, "the edited configuration is not kept"
    offered = root / "etc/frisket/frisket.toml.dpkg-dist"
    assert "# of an older version" not in offered.read_text(), "the new configuration is not offered beside it"
    with root.daemon():
        [found] = [i for i in get("/v1/incidents")["items"] if i["id"] == incident]
        assert found["operator"] == "ack" and found["state"] == "raised", found
        assert get("/v1/health")["store"]["trouble"] is None, get("/v1/health")
        copy = root.as_daemon("frisketd", "backup", "/var/lib/frisket/copy.db")
        assert copy.returncode == 0, copy
    assert store_version(store) == newest, "the store was not brought up"
    assert store_version(root / "var/lib/frisket/copy.db") == newest


def check_wrong_configuration(root, new):
    """An upgrade does not end a daemon that would not come again."""
    file = root / "etc/frisket/frisket.toml"
    good = file.read_text()
    file.write_text(good + "\n[unknown]\n")
    said = root.install(new)
    assert root.asked() == [], "it was started again with a configuration that cannot be used"
    assert "unknown" in said and "was not started again" in said, said
    file.write_text(good)


def check_remove_and_purge(root):
    root.run("dpkg", "-r", "frisket")
    assert root.asked() == ["deb-systemd-invoke stop frisketd.service"]
    assert not (root / "usr/sbin/frisketd").exists() and not (root / "lib/systemd/system/frisketd.service").exists()
    assert (root / "var/lib/frisket/frisket.db").exists(), "removing took the state"
    assert "[[device]]" in (root / "etc/frisket/frisket.toml").read_text(), "removing took the configuration"
    assert (root / "etc/frisket/read").exists(), "removing took a secret"
    root.run("dpkg", "-P", "frisket")
    for place in ("var/lib/frisket", "etc/frisket", "run/frisket",
                  "etc/systemd/system/multi-user.target.wants/frisketd.service"):
        assert not os.path.lexists(root / place), f"purging left {place}"
    left = run("find", root.path, "-xdev", "-newer", root / "tmp/began", "-iname", "*frisket*", "-not", "-path",
               f"{root.path}/tmp/*").stdout
    assert not left.strip(), f"purging left:\n{left}"
    assert root.run("dpkg-query", "-W", "frisket", ok=False).returncode != 0
    root.run("getent", "passwd", "frisket")  # on purpose: its number must not become somebody else's


def live(root, old, new):
    (root / "tmp/began").touch()
    check_install(root, old)
    incident = check_first_run(root)
    check_upgrade(root, new, incident)
    check_wrong_configuration(root, new)
    check_remove_and_purge(root)
    print("installed, run, upgraded, not restarted for nothing, removed, purged")


def skip(why):
    print(f"SKIPPED: {why}")
    return SKIPPED


def main():
    if os.geteuid() != 0:
        return skip("a root of its own needs root")
    for program in ("cpack", "dpkg-deb", "dpkg-shlibdeps", "systemd-sysusers", "unshare"):
        if not shutil.which(program):
            return skip(f"{program} is not here")
    folder = pathlib.Path(tempfile.mkdtemp(prefix="frisket-package."))
    try:
        old, new = make_packages(folder)
        check_with_lintian(new)
        if not leave_the_machine():
            return skip("this machine gives nobody name spaces of his own")
        child = os.fork()  # the first process of the new name space; when it ends, all of them do
        if child == 0:
            os._exit(inside(folder, old, new))
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def inside(folder, old, new):
    try:
        run("mount", "--make-rprivate", "/")
        bring_loopback_up()
        (folder / "layers").mkdir()
        root = make_root(folder / "layers")
        if root is None:
            return skip("this machine has no overlay file system for us")
        live(Root(root), old, new)
        return 0
    except BaseException as failure:  # the exit status is all that gets out
        traceback.print_exception(failure)
        print(f"FAULT: {type(failure).__name__}: {failure}")
        return 1
    finally:
        sys.stdout.flush()


sys.exit(main())
