#!/usr/bin/python3
"""net-snmp's snmpd with SNMPv3 users of every pair of algorithms is read as it is by community.

One snmpd on many loopback addresses, one device of the daemon for each, each with a user of its own: 24 pairs,
6 without privacy, 1 without authentication. What the daemon says of each must equal what it says of the same snmpd
by community (which snmpd_test.py holds against snmpbulkwalk). Then what goes wrong: an unknown user, a wrong password
of either kind, a level that is not allowed. Then snmpd starts again, once as the same engine and once as a new one.
"""
import pathlib
import shutil
import sys

import agents
import harness

# Our word -> snmpd.conf(5)'s.
AUTHENTICATIONS = {"md5": "MD5", "sha": "SHA", "sha-224": "SHA-224", "sha-256": "SHA-256", "sha-384": "SHA-384",
                   "sha-512": "SHA-512"}
PRIVACIES = {"des": "DES", "aes-128": "AES", "aes-192": "AES-192", "aes-256": "AES-256"}
KEY, OTHER_KEY = "moss and fern", "liverwort or hornwort"


def users():
    """name -> (authentication or none, privacy or none)"""
    found = {"open": ("none", "none")}
    for authentication in AUTHENTICATIONS:
        for privacy in ("none", *PRIVACIES):
            found[f"{authentication}.{privacy}"] = (authentication, privacy)
    return found


def snmpd_lines():
    lines = ["createUser open", "rouser open noauth"]
    for name, (authentication, privacy) in users().items():
        if authentication == "none":
            continue
        line = f'createUser {name} {AUTHENTICATIONS[authentication]} "{KEY}"'
        if privacy != "none":
            line += f' {PRIVACIES[privacy]} "{OTHER_KEY}"'
        lines += [line, f"rouser {name} {'auth' if privacy == 'none' else 'priv'}"]
    return "\n".join(lines) + "\n"


def credential(folder, name, user, authentication, privacy, key=KEY, other_key=OTHER_KEY):
    text = f'[[credential]]\nname = "{name}"\nversion = "3"\nuser = "{user}"\nauthentication = "{authentication}"\nprivacy = "{privacy}"\n'
    for word, used, secret in (("authentication", authentication, key), ("privacy", privacy, other_key)):
        if used == "none":
            continue
        file = folder / f"{name}.{word}"
        file.write_text(secret + "\n", encoding="utf-8")
        file.chmod(0o600)
        text += f'{word}_password_file = "{file}"\n'
    return text


# device -> user, authentication, privacy, password of each, reach, and a word of the detail
WRONG = {
    "nobody": ("nobody", "sha-256", "aes-128", KEY, OTHER_KEY, "unknown-user", 'no SNMPv3 user "nobody"'),
    "wrong-key": ("sha-256.aes-128", "sha-256", "aes-128", KEY + "s", OTHER_KEY, "wrong-key", "authentication or password"),
    "wrong-hash": ("sha-256.aes-128", "sha-512", "aes-128", KEY, OTHER_KEY, "wrong-key", "authentication or password"),
    "wrong-privacy-key": ("sha-256.aes-128", "sha-256", "aes-128", KEY, OTHER_KEY + "s", "wrong-key", "password"),
    "wrong-des-key": ("md5.des", "md5", "des", KEY, OTHER_KEY + "s", "wrong-key", "password"),
}


def what_is_said(device):
    """All but what is of the device's entry and of the moment."""
    gone = {"name", "address", "port", "last_reading_at", "changed_at", "incidents", "location", "conditions"}
    return {key: value for key, value in harness.without_forecasts(device).items() if key not in gone}


def main():
    faults = []
    good = users()
    where = {name: f"127.0.3.{i}" for i, name in enumerate([*good, *WRONG], start=1)}
    with harness.scratch() as folder:
        folder.chmod(0o755)
        record = pathlib.Path(folder) / "device.snmprec"
        shutil.copy(agents.HERE / "records/loganberry.snmprec", record)
        port = harness.free_port(agents.socket.SOCK_DGRAM, "127.0.3.1")
        extra = "".join(credential(folder, name, name, *pair) for name, pair in good.items())
        extra += "".join(credential(folder, name, *row[:5]) for name, row in WRONG.items())
        tables = [harness.device_table(name, address, port, credentials=f'["{name}"]') for name, address in where.items()]
        tables.append(harness.device_table("by-community", "127.0.0.3", port))
        polling = '[polling]\ntimeout = "500ms"\nattempts = 2\nsilent_after = 1\n'

        def serving(persist):
            return agents.snmpd(folder, record, port=port, more_addresses=where.values(), lines=snmpd_lines(), persist=persist)

        def compare(what):
            expected = what_is_said(daemon.device("by-community"))
            if expected["serial"] != "LB40-00731":
                faults.append(f"{what}: by community: {expected}")
            for name in good:
                found = what_is_said(daemon.device(name))
                faults.extend(f"{what}: {name}: {key}: by community {value!r}, by user {found.get(key)!r} ({found['detail']})"
                              for key, value in expected.items() if found.get(key) != value)

        def polled_again(times):
            asked = daemon.health()["polls"]["finished"]
            harness.wait_for(lambda: daemon.health()["polls"]["finished"] >= asked + times * len(tables))

        with harness.daemon(folder, harness.basic_config(folder, tables, extra, polling)) as daemon:
            with serving("persist"):
                harness.wait_for(lambda: all(daemon.device(name)["reach"] == "answered" for name in good)
                                 and all(daemon.device(name)["reach"] == row[5] for name, row in WRONG.items()))
                polled_again(2)
                compare("as served")
                for name, row in WRONG.items():
                    device = daemon.device(name)
                    if device["reach"] != row[5] or row[6] not in device["detail"]:
                        faults.append(f"{name}: {device['reach']}: {device['detail']}")
                    kinds = [i["kind"] for i in daemon.items("/v1/incidents?state=raised") if i["device"] == name]
                    if kinds != [f"device-{row[5]}"]:
                        faults.append(f"{name}: raised {kinds}")
            for persist, what in (("persist", "started again"), ("persist-2", "started as another engine")):
                harness.wait_for(lambda: all(daemon.device(name)["reach"] == "silent" for name in good))
                with serving(persist):
                    harness.wait_for(lambda: all(daemon.device(name)["reach"] == "answered" for name in [*good, "by-community"]))
                    polled_again(1)
                    compare(what)
            told = "\n".join(daemon.lines(""))
            faults.extend("the log has a password" for secret in (KEY, OTHER_KEY) if secret in told)
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(good)} users read, {len(WRONG)} refused, {len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
