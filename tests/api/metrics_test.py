#!/usr/bin/python3
"""GET /metrics of the real daemon is OpenMetrics 1.0, whatever a device calls itself, and tells what the lists tell.

The judge parses by the grammar of draft-ietf-opsawg-openmetrics (openmetrics.abnf) with npm's apg-js, a parser of ABNF
in general. To show that it can refuse, it gets texts that are broken in one place each.
"""
import json
import sys
import urllib.request

import npm_packages
import harness  # found by way of npm_packages
import fleet

SERIAL = "1.3.6.1.2.1.43.5.1.1.17.1"  # prtGeneralSerialNumber.1 (RFC 3805)
HOSTILE = 'a"} 1\\n# EOF \\ "{x="é'  # without a line break: control characters end at the decoding


def metrics(daemon):
    with urllib.request.urlopen(daemon.url + "/metrics", timeout=harness.GUARD) as answer:
        kind, text = answer.headers["Content-Type"], answer.read().decode()
    assert kind == "application/openmetrics-text; version=1.0.0; charset=utf-8", kind
    return text


def broken(text):
    """Each of these is one step away from the text."""
    sample = 'frisket_incidents_set_aside 0\n'
    assert sample in text
    return [text.replace("# EOF\n", ""), text + "frisket_more 1\n", text.replace(sample, sample[:-1] + " x\n"),
            text.replace(sample, "frisket_incidents_set_aside \n"), text.replace(sample, 'frisket_incidents_set_aside{a="b} 0\n'),
            text.replace(sample, "frisket incidents 0\n"), text.replace(" gauge\n", " gouge\n", 1), text.replace("\n", "\r\n"),
            text.replace(sample, 'frisket_incidents_set_aside{a="b",} 0\n'), text.replace("# TYPE", "# type", 1)]


def value(samples, name, **labels):
    found = [s["value"] for s in samples if s["name"] == name and labels.items() <= s["labels"].items()]
    assert len(found) == 1, (name, labels, found)
    return found[0]


def compare(daemon, samples):
    """The figures against what the JSON of the same daemon has."""
    fleet_now = daemon.get("/v1/fleet")[1]
    for state, count in fleet_now["devices"].items():
        if state != "total":
            assert value(samples, "frisket_devices", state=state) == count, state
    for incident in daemon.items("/v1/incidents?state=raised"):
        assert value(samples, "frisket_incidents_open", severity=incident["severity"], kind=incident["kind"]) >= 1
    supplies = 0
    for device in daemon.items("/v1/devices"):
        name = device["name"]
        assert value(samples, "frisket_device_state", device=name, frisket_device_state=device["state"]) == 1
        info = [s["labels"] for s in samples if s["name"] == "frisket_device_info" and s["labels"]["device"] == name][0]
        assert info == {"device": name, **{key: device[key] for key in ("site", "location", "maker", "model", "serial")}}, info
        if device["impressions"] is not None:
            assert value(samples, "frisket_device_impressions_total", device=name) == device["impressions"]
        for supply in device["supplies"]:
            if supply["percent"] is None:
                continue
            supplies += 1
            ratio = value(samples, "frisket_supply_remaining_ratio", device=name, supply=str(supply["index"]))
            assert abs(ratio * 100 - supply["percent"]) <= 0.05 + 1e-9, (name, supply, ratio)
    assert supplies > 0
    assert value(samples, "frisket_polls_total", outcome="answered") > 0


def main():
    with harness.scratch() as folder, fleet.fleet(folder, count=3) as printers:
        tables = [harness.device_table(f"sim-{n:05}", f"127.18.0.{n}", printers.port, "1s", location="Potting shed, back")
                  for n in range(1, 4)]
        config = harness.basic_config(folder, tables)
        harness.community_file(folder, "public")
        printers.do("sim-00001", f"set {SERIAL} text {HOSTILE}")
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            printers.do("sim-00002", "jam 2")
            assert daemon.device("sim-00001")["serial"] == HOSTILE, daemon.device("sim-00001")["serial"]
            harness.wait_for(lambda: any(i["kind"] == "media-jam" for i in daemon.items("/v1/incidents?state=raised")))
            text = metrics(daemon)
            bad = broken(text)
            answer = npm_packages.judge("openmetrics_judge.mjs", json.dumps({"good": text, "bad": bad}).encode(),
                                        npm_packages.HERE / "openmetrics.abnf")
            for fault in answer["faults"]:
                print("FAULT", fault)
            assert not answer["faults"]
            assert answer["refused"] == [True] * len(bad), answer["refused"]
            compare(daemon, answer["samples"])
            print(f"{answer['families']} families, {len(answer['samples'])} samples, {len(bad)} broken texts refused")
    return 0


if __name__ == "__main__":
    sys.exit(main())
