#!/usr/bin/python3
"""What a device is: interface, device id, channels and their languages, and a firmware that changes.

Expected values come from the simulated fleet's model file.
"""
import sys
import tomllib

import fleet
import harness

NEW_FIRMWARE = "9.99"


def main():
    model = tomllib.loads((harness.SOURCE / f"tests/simfleet/models/{fleet.MODEL}.toml").read_text(encoding="utf-8"))
    with harness.scratch() as folder, fleet.fleet(folder) as printers:
        table = harness.device_table("potting-shed", "127.18.0.1", printers.port)
        config = harness.basic_config(folder, [table])
        harness.community_file(folder, "public")
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: daemon.device("potting-shed")["reach"] == "answered")
            device = daemon.device("potting-shed")
            assert (device["maker"], device["model"], device["firmware"]) == (model["maker"], model["model"], model["firmware"])
            assert device["firmware_changed_at"] is None and device["serial_changed_at"] is None, device
            assert device["device_id"]["manufacturer"] == model["maker"], device["device_id"]
            assert device["device_id"]["serial"] == device["serial"], device["device_id"]
            # langPS and chPort9100 of the model file are ps and port9100 here: IANA's names without their prefixes.
            families = [one["family"].removeprefix("lang").lower() for one in model["interpreter"]]
            assert [one["family"] for one in device["languages"]] == families, device["languages"]
            languages = [families[one["language"] - 1] if one.get("language") else None for one in model["channel"]]
            assert [one["language"] for one in device["channels"]] == languages, device["channels"]
            types = [one["type"].removeprefix("ch").lower() for one in model["channel"]]
            assert [one["type"] for one in device["channels"]] == types, device["channels"]
            assert [(one["name"], one["status"], one["speed"], one["in_errors"], one["out_errors"], one["in_discards"],
                     one["out_discards"]) for one in device["interfaces"]] == [("eth0", "up", 10**9, 0, 0, 0, 0)], device

            # What a change of the configuration counts is read again at once, the interface with it.
            printers.do("all", "link-errors 7")
            printers.do("all", "media 1 A3")
            harness.wait_for(lambda: daemon.device("potting-shed")["interfaces"][0]["in_errors"] == 7)

            # New firmware comes with a restart.
            printers.do("all", "off")
            for row in range(1, len(model["interpreter"]) + 1):
                printers.do("all", f"set 1.3.6.1.2.1.43.15.1.1.6.1.{row} text {NEW_FIRMWARE}")
            printers.do("all", "on")
            harness.wait_for(lambda: daemon.device("potting-shed")["firmware"] == NEW_FIRMWARE)
            device = daemon.device("potting-shed")
            assert device["firmware_changed_at"] and device["serial_changed_at"] is None, device
            lines = daemon.lines("[device-changed]")
            assert len(lines) == 1 and f"potting-shed: firmware {NEW_FIRMWARE}, was {model['firmware']}" in lines[0], lines
    print("inventory as the model file has it")
    return 0


sys.exit(main())
