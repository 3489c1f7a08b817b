#!/usr/bin/python3
"""snmpsim, whose SNMPv3 is pysnmp's, is read by a user as it is by community.

The context's name is that of the record, as the community is.
"""
import pathlib
import sys

import agents
import harness

USER = ["--v3-user=frisket", "--v3-auth-key=moss and fern", "--v3-auth-proto=SHA256", "--v3-priv-key=liverwort",
        "--v3-priv-proto=AES256BLMT"]
ENTRY = {"name", "address", "port", "location", "last_reading_at", "conditions"}  # of the device's entry, not of the device


def credential(folder):
    for name, secret in (("authentication", "moss and fern"), ("privacy", "liverwort")):
        file = pathlib.Path(folder) / name
        file.write_text(secret + "\n", encoding="utf-8")
        file.chmod(0o600)
    return f"""
[[credential]]
name = "reader"
version = "3"
user = "frisket"
authentication = "sha-256"
authentication_password_file = "{folder}/authentication"
privacy = "aes-256"
privacy_password_file = "{folder}/privacy"
context = "garden"
"""


def main():
    faults = []
    more_port = harness.free_port(agents.socket.SOCK_DGRAM, "127.0.0.6")
    more = [f"--agent-udpv4-endpoint=127.0.0.6:{more_port}", *USER]
    with harness.scratch() as folder, agents.snmpsim(folder, {"garden": "loganberry.snmprec"}, more=more) as port:
        tables = [harness.device_table("by-community", "127.0.0.2", port),
                  harness.device_table("by-user", "127.0.0.6", more_port, credentials='["reader"]')]
        with harness.daemon(folder, harness.basic_config(folder, tables, credential(folder))) as daemon:
            harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= 6)
            expected, found = daemon.device("by-community"), daemon.device("by-user")
            if (expected["reach"], expected["serial"]) != ("answered", "LB40-00731"):
                faults.append(f"by community: {expected['reach']}, {expected['detail']}")
            faults += [f"{key}: by community {value!r}, by user {found.get(key)!r}"
                       for key, value in expected.items() if key not in ENTRY and found.get(key) != value]
            raised = {name: [(kind, place) for kind, device, place in daemon.raised() if device == name]
                      for name in ("by-community", "by-user")}
            if raised["by-community"] != raised["by-user"] or not raised["by-user"]:
                faults.append(f"raised: {raised}")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
