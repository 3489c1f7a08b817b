"""Agents that also send notifications, which nobody here wrote: npm's net-snmp and Debian's pysnmp.

Both serve a record file and are changed and made to tell by the same commands (node/agent.js). Each is a
child process that ends when its standard input ends.
"""
import contextlib
import json
import os
import pathlib
import shutil
import socket
import subprocess

import agents
import harness
import printer_view

# RFC 3805 section 6: printerV1Alert is the enterprise of the v1 trap, printerV2Alert the name of the others.
# The user that both peers have (SHA-256: RFC 7860, AES: RFC 3826).
USER = """user = "warden"
authentication = "sha-256"
authentication_password = "moss and fern"
privacy = "aes-128"
privacy_password = "liverwort"
"""
V1_ALERT, V2_ALERT = "1.3.6.1.2.1.43.18.2", "1.3.6.1.2.1.43.18.2.0.1"


class Peer:
    def __init__(self, child, address, port, record):
        self.child, self.address, self.port, self.record = child, address, port, record

    def do(self, **command):
        """One command; its answer."""
        self.child.stdin.write(json.dumps(command) + "\n")
        self.child.stdin.flush()
        answer = json.loads(self.child.stdout.readline())
        assert answer.get("ok"), (command, answer)
        return answer

    def change(self, values, gone):
        """Sets values by OID and removes alert rows; the record file says the same afterwards."""
        for oid, value in values.items():
            self.do(do="set", oid=oid, value=value)
        for row in gone:
            self.do(do="drop", entry=f"{printer_view.PRT}.18.1.1", index=[1, row])
        printer_view.rewrite(self.record, values, gone)

    def tell(self, how, port):
        """A notification ("1", "2c", "trap3"; "inform", "inform3") to 127.0.0.1; how many variables came back acknowledged."""
        return self.do(do="tell", how=how, port=port, oid=V1_ALERT if how == "1" else V2_ALERT)["acknowledged"]


@contextlib.contextmanager
def peer(folder, command, address):
    """`command` gets the record file, the address and the port as its last arguments."""
    record = pathlib.Path(folder) / "device.snmprec"
    shutil.copy(agents.HERE / "records/loganberry.snmprec", record)
    port = harness.free_port(socket.SOCK_DGRAM, address)
    log = pathlib.Path(folder) / "peer.log"
    with harness.process([*command, record, address, port], log, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as child:
        ready = child.stdout.readline()
        assert "ready" in ready, ready + log.read_text(errors="replace")
        yield Peer(child, address, port, record)


def node_modules():
    """The folder with the npm packages of node/package.json, installed into the build folder once."""
    modules = harness.BUILD / "tests/peers/node/node_modules"
    wanted = json.loads((agents.HERE / "node/package.json").read_text())["dependencies"]
    with contextlib.suppress(FileNotFoundError):
        if all(json.loads((modules / name / "package.json").read_text())["version"] == version for name, version in wanted.items()):
            return modules
    folder = modules.parent
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copy(agents.HERE / "node/package.json", folder)
    subprocess.run(["npm", "install", "--no-package-lock", "--no-audit", "--no-fund", "--ignore-scripts", "--omit=dev"],
                   cwd=folder, check=True, timeout=300, stdout=subprocess.DEVNULL, env={**os.environ, "npm_config_loglevel": "error"})
    return modules


def differences(daemon, peer, device, kinds):
    """Where the daemon's view of the device is not what the peer's record has."""
    wanted = printer_view.expected(printer_view.of_record(peer.record))
    found = printer_view.seen(daemon.device(device))
    faults = [f"{key}: the peer has {value!r}, the daemon {found[key]!r}" for key, value in wanted.items() if found[key] != value]
    raised = harness.settled(lambda: sorted(i["kind"] for i in daemon.items("/v1/incidents?state=raised")), kinds)
    return faults if raised == kinds else faults + [f"raised {raised}, expected {kinds}"]


def follow(command, address):
    """Follows a technician's work at a peer that is polled once an hour and tells of each step; faults found."""
    faults = []
    for version, hows in (("1", ["2c", "inform", "1"]), ("2c", ["2c", "inform", "1"]), ("3", ["trap3", "inform3"])):
        listen = harness.free_port(socket.SOCK_DGRAM)
        with harness.scratch() as folder, peer(folder, command, address) as told:
            secret = USER if version == "3" else f'community_file = "{harness.community_file(folder)}"'
            extra = f'''
[[credential]]
name = "told"
version = "{version}"
{secret}

[notifications]
listen = "127.0.0.1:{listen}"
min_interval = "100ms"
'''
            table = harness.device_table("packing-shed", address, told.port, interval="1h", credentials='["told"]')
            with harness.daemon(folder, harness.basic_config(folder, [table], extra)) as daemon:
                harness.wait_for(lambda: daemon.device("packing-shed")["reach"] == "answered")
                for number, ((what, changes, gone, kinds), bits) in enumerate(zip(printer_view.STEPS, printer_view.BITS)):
                    how = hows[number % len(hows)]
                    told.change(dict(changes, **{"1.3.6.1.2.1.25.3.5.1.2.1": bits}), gone)
                    asked = daemon.health()["polls"]["finished"]
                    acknowledged = told.tell(how, listen)
                    # sysUpTime.0, snmpTrapOID.0 and the cell of the alert row.
                    if how.startswith("inform") and acknowledged != 3:
                        faults.append(f"v{version}, {what}: {acknowledged} variables of the inform came back")
                    harness.wait_for(lambda: daemon.health()["polls"]["finished"] > asked)
                    faults += [f"v{version}, {what} ({how}): {fault}" for fault in differences(daemon, told, "packing-shed", kinds)]
                harness.wait_for(lambda: daemon.health()["notifications"]["counters"]["traps"] >= 3)
                counters = daemon.health()["notifications"]["counters"]
                if (counters["traps"], counters["informs"], counters["malformed"]) != (3, 2, 0):
                    faults.append(f"v{version}: sent 3 traps and 2 informs, counted {counters}")
    return faults


def run(name, command, address):
    """The test: prints what it found; the exit status."""
    faults = follow(command, address)
    for fault in faults:
        print("FAULT:", fault)
    print(f"{name}: 3 versions, {len(printer_view.STEPS)} steps each, {len(faults)} faults")
    return 1 if faults else 0
