#!/usr/bin/python3
"""`frisketd discover` over the garden's fleet: what it prints is what the fleet's files say, and it loads.

The garden's printers and, in the same ranges, a dead device, one that answers with random octets and many
addresses without any device. Expected values come from the fleet and model files, not from the program.
"""
import json
import pathlib
import signal
import subprocess
import sys
import tomllib

import harness

SIMFLEET = harness.SOURCE / "tests/simfleet"
COMMUNITY = "fern-and-moss"  # of the garden
RANGES = ["127.20.1.0/26", "127.20.1.64/26", "127.20.2.0/27"]
EXTRA = """
[[device]]
name = "dead"
address = "127.20.1.100"
site = "brackenholt"
model = "tarnwick-m210"
serial = "DEAD-1"
start = ["off"]

[[device]]
name = "garbage"
address = "127.20.2.20"
site = "brackenholt"
model = "tarnwick-m210"
serial = "GARBAGE-1"
start = ["fault garbage 100"]
"""


def expected(fleet_file):
    """name -> (address, location, model, serial, firmware, duplex, color, process colorants) of every living printer."""
    printers = {}
    for device in tomllib.loads(fleet_file.read_text(encoding="utf-8"))["device"]:
        start = device.get("start", [])
        if "off" in start or any(event.startswith("fault") for event in start):
            continue
        model = tomllib.loads((SIMFLEET / f"models/{device['model']}.toml").read_text(encoding="utf-8"))
        colorants = max(marker.get("process_colorants", 1) for marker in model["marker"])
        duplex = any(path.get("type", "").endswith("Duplex") for path in model["media_path"])
        printers[device["name"]] = (device["address"], device["location"], model["model"], device["serial"],
                                    model["firmware"], duplex, colorants >= 3, colorants)
    return printers


def discover(*arguments, status=0):
    done = subprocess.run([harness.BUILD / "frisketd", "discover", *map(str, arguments)], capture_output=True, text=True,
                          timeout=harness.GUARD)
    assert done.returncode == status, (done.returncode, done.stdout, done.stderr)
    return done


def seen(item):
    return (item["address"], item["location"], item["model"], item["serial"], item["firmware"], item["duplex"],
            item["color"], item["process_colorants"])


def check_garden(folder, port, wanted, community):
    ask = [*RANGES, "--port", port, "--rate", 2000]
    found = json.loads(discover(*ask, "--community-file", community, "--json").stdout)
    assert {item["name"]: seen(item) for item in found["items"]} == wanted, found["items"]
    assert [(other["address"], other["kind"]) for other in found["others"]] == [("127.20.2.20", "nonsense")], found["others"]
    assert (found["asked"], found["answered"], found["complete"]) == (62 + 62 + 30, len(wanted) + 1, True), found
    assert found["silent"] == found["asked"] - found["answered"], found
    copier = next(item for item in found["items"] if item["name"] == "herbarium-copier")
    assert [language["family"] for language in copier["languages"]] == ["ps", "pclxl", "pdf"], copier
    assert [channel["type"] for channel in copier["channels"]] == ["ipp", "port9100"], copier
    assert copier["duplex_bindings"] == ["long-edge"], copier

    # Alone it is a configuration, which then knows them all.
    first = discover(*ask, "--community-file", community, "--site", "brackenholt")
    file = folder / "found.toml"
    file.write_text(first.stdout, encoding="utf-8")
    checked = subprocess.run([harness.BUILD / "frisketd", "--config", file, "--check"], capture_output=True, text=True)
    assert checked.returncode == 0, checked.stdout + first.stdout
    assert f"usable, {len(wanted)} devices at 1 sites" in checked.stdout, checked.stdout
    written = tomllib.loads(first.stdout)["device"]
    assert {d["name"]: (d["address"], d["port"], d["location"]) for d in written} == \
        {name: (one[0], port, one[1]) for name, one in wanted.items()}

    # A second run with that configuration has its credential from there, and finds nothing new.
    again = json.loads(discover(*ask, "--config", file, "--json").stdout)
    assert (again["items"], again["skipped"]) == ([], len(wanted)), again
    assert again["asked"] == found["asked"] - len(wanted), again

    # Another port is another agent: the same addresses are not skipped then.
    other_port = json.loads(discover("127.20.1.11", "--port", harness.free_port(harness.socket.SOCK_DGRAM), "--config", file,
                                     "--json").stdout)
    assert (other_port["asked"], other_port["skipped"]) == (1, 0), other_port

    # What one run leaves out another adds, under names that the first has not taken.
    part = folder / "part.toml"
    part.write_text(discover("127.20.1.11", "--port", port, "--community-file", community).stdout, encoding="utf-8")
    rest = discover(*ask, "--config", part).stdout
    part.write_text(part.read_text(encoding="utf-8") + rest, encoding="utf-8")
    checked = subprocess.run([harness.BUILD / "frisketd", "--config", part, "--check"], capture_output=True, text=True)
    assert f"usable, {len(wanted)} devices" in checked.stdout, checked.stdout + rest

    version_1 = json.loads(discover("127.20.1.11", "--port", port, "--community-file", community, "--snmp-version", "1",
                                    "--json").stdout)
    assert [seen(item) for item in version_1["items"]] == [wanted["herbarium-copier"]], version_1


def check_interrupt(folder, port, community):
    command = [harness.BUILD / "frisketd", "discover", "127.20.1.11", "127.30.1.0/26", "--port", str(port), "--rate", "10",
               "--community-file", community]
    with harness.process(command, folder / "interrupted.log", stdout=subprocess.PIPE, text=True) as child:
        log = folder / "interrupted.log"
        harness.wait_for(lambda: "printers 1" in log.read_text())
        child.send_signal(signal.SIGINT)
        printed = child.stdout.read()
        assert child.wait(harness.GUARD) == 0
    assert "interrupted after" in log.read_text(), log.read_text()
    assert [device["name"] for device in tomllib.loads(printed)["device"]] == ["herbarium-copier"], printed


def check_usage(folder, community):
    """Refusals say what to do; nothing is asked."""
    broken = folder / "broken.toml"
    broken.write_text("[daemon]\nlisten = 7\n", encoding="utf-8")
    for arguments, words in [
            (["127.30.0.1", "--config", folder / "absent.toml"], "cannot be read"),
            (["127.30.0.1", "--config", broken], "daemon.listen"),
            (["10.0.0.0/8", "--community-file", community], "--yes"),
            (["127.30.0.1", "--community-file", folder / "absent"], "--community-file"),
            (["printer.example", "--community-file", community], "names are not looked up"),
            (["2001:db8::/64", "--community-file", community], "IPv6"),
            (["127.30.0.1", "--community-file", community, "--rate", "0"], "rate"),
            (["127.30.0.1", "--community-file", community, "--site", "a b"], "--site"),
            (["127.30.0.1", "--community-file", community, "--check"], "--check"),
            ([], "ranges"),
    ]:
        refused = discover(*arguments, status=2)
        assert words in refused.stderr + refused.stdout, (arguments, refused.stderr, refused.stdout)
    if not pathlib.Path("/etc/frisket/frisket.toml").exists():
        refused = discover("127.30.0.1", status=2)
        assert "--community-file FILE" in refused.stderr and not refused.stdout, refused


def main():
    with harness.scratch() as folder:
        fleet = folder / "fleet.toml"
        fleet.write_text((SIMFLEET / "fleets/garden.toml").read_text(encoding="utf-8") + EXTRA, encoding="utf-8")
        wanted = expected(fleet)
        community = harness.community_file(folder, COMMUNITY)
        check_usage(folder, community)
        command = [harness.BUILD / "tests/simfleet/simfleet", "--fleet", fleet, "--models", SIMFLEET / "models", "--port", 0,
                   "--manual-time", "--until-eof"]
        with harness.process(command, folder / "simfleet.log", stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as child:
            ready = child.stdout.readline()
            assert ready.startswith("ready "), ready + (folder / "simfleet.log").read_text()
            port = int(ready.split()[-1])
            check_garden(folder, port, wanted, community)
            check_interrupt(folder, port, community)
    print(f"{len(wanted)} printers found as their files say")
    return 0


sys.exit(main())
