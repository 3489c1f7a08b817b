"""SNMP agents that nobody here wrote, serving the records of records/*.snmprec.

- snmpsim: serves the record file itself.
- snmpd (net-snmp): serves it by its pass_persist protocol, through pass_persist.py.
Facts about starting them: their manual pages; measured on Debian 12.
"""
import contextlib
import pathlib
import shutil
import socket
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "system"))
import harness  # noqa: E402


def answers(address, port, community):
    """Whether the agent gives its sysDescr: asked by net-snmp's own tool."""
    asked = subprocess.run(
        ["snmpget", "-v2c", "-c", community, "-r0", "-t1", "-On", f"{address}:{port}", "1.3.6.1.2.1.1.1.0"],
        capture_output=True, text=True)
    return asked.returncode == 0 and "STRING" in asked.stdout


@contextlib.contextmanager
def snmpsim(folder, records, address="127.0.0.2", more=()):
    """records: community -> record file; with SNMPv3 the community is the context's name. Gives the port."""
    data = folder / "data"
    cache = folder / "cache"
    for place in (data, cache):
        place.mkdir()
        place.chmod(0o777)
    folder.chmod(0o755)
    for community, record in records.items():
        shutil.copy(HERE / "records" / record, data / f"{community}.snmprec")
    port = harness.free_port(socket.SOCK_DGRAM, address)
    command = ["snmpsimd", "--process-user=nobody", "--process-group=nogroup", f"--data-dir={data}",
               f"--cache-dir={cache}", f"--agent-udpv4-endpoint={address}:{port}", *more]
    with harness.process(command, folder / "snmpsim.log", start_new_session=True) as child:
        def ready():
            assert child.poll() is None, (folder / "snmpsim.log").read_text(errors="replace")
            return answers(address, port, next(iter(records)))
        harness.wait_for(ready)
        yield port


@contextlib.contextmanager
def snmpd(folder, record, address="127.0.0.3", port=None, more_addresses=(), lines="", persist="persist"):
    """Serves a record file that may be rewritten while it runs; without one it is a host like any other. Gives the port.

    lines: more of its configuration, such as users. persist: folder of its engine id and count of starts; a new one
    makes it a new SNMPv3 engine.
    """
    port = port or harness.free_port(socket.SOCK_DGRAM, address)
    config = folder / "snmpd"
    config.mkdir(exist_ok=True)
    persist = folder / persist
    persist.mkdir(exist_ok=True)
    script = f"/usr/bin/python3 {HERE / 'pass_persist.py'} {record}"
    listen = ",".join(f"udp:{where}:{port}" for where in (address, *more_addresses))
    (config / "snmpd.conf").write_text(
        f"agentaddress {listen}\nrocommunity garden\n"
        f"sysname loganberry-40\nsyslocation the packing shed\nsyscontact grounds office\n"
        + (f"pass_persist .1.3.6.1.2.1.43 {script}\npass_persist .1.3.6.1.2.1.25.3 {script}\n" if record else "") + lines,
        encoding="utf-8")
    # The built-in host resources modules would answer for 25.3 themselves.
    command = ["/usr/sbin/snmpd", "-f", "-Lo", "-C", "-c", config / "snmpd.conf", "-I",
               "-smux,hr_device,hr_print,hr_disk,hr_network,hr_proc,hr_partition,hrh_filesys,hr_other"]
    environment = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "MIBS": "", "SNMPCONFPATH": f"{config}:{persist}",
                   "SNMP_PERSISTENT_DIR": str(persist)}
    with harness.process(command, folder / "snmpd.log", env=environment) as child:
        def ready():
            assert child.poll() is None, (folder / "snmpd.log").read_text(errors="replace")
            return answers(address, port, "garden")
        harness.wait_for(ready)
        yield port


def walk(address, port, community, base="1.3.6.1.2.1"):
    """What snmpbulkwalk prints: numeric OID -> (type word, value text)."""
    printed = subprocess.run(
        ["snmpbulkwalk", "-v2c", "-c", community, "-On", "-Ox", "-Oe", "-Ot", f"{address}:{port}", base],
        capture_output=True, text=True, check=True).stdout
    rows = {}
    last = None
    for line in printed.splitlines():
        if line.startswith(".1.") and " = " in line:
            oid, value = line.split(" = ", 1)
            kind, _, text = value.partition(": ")
            last = oid[1:]
            rows[last] = (kind, text)
        elif last:
            rows[last] = (rows[last][0], rows[last][1] + line)
    return rows
