#!/usr/bin/python3
"""net-snmp's pass_persist protocol (snmpd.conf(5)) over a .snmprec file.

The file is read again whenever it has changed, so that a test changes the device by
rewriting it.
"""
import os
import sys

KINDS = {"2": "integer", "4": "string", "4x": "octet", "6": "objectid", "65": "counter", "66": "gauge", "67": "timeticks"}


class Record:
    def __init__(self, file):
        self.file, self.stamp, self.rows, self.order = file, None, {}, []

    def refresh(self):
        stamp = os.stat(self.file).st_mtime_ns
        if stamp == self.stamp:
            return
        self.stamp, self.rows = stamp, {}
        with open(self.file, encoding="ascii") as lines:
            for line in lines:
                oid, tag, value = line.rstrip("\n").split("|", 2)
                key = tuple(int(part) for part in oid.split("."))
                if tag == "4x":
                    value = " ".join(value[i:i + 2] for i in range(0, len(value), 2))
                self.rows[key] = (KINDS[tag], value)
        self.order = sorted(self.rows)

    def after(self, key):
        return next((row for row in self.order if row > key), None)


def main():
    record = Record(sys.argv[1])
    while True:
        command = sys.stdin.readline()
        if not command:
            return
        command = command.strip()
        if command == "PING":
            print("PONG", flush=True)
            continue
        key = tuple(int(part) for part in sys.stdin.readline().strip().strip(".").split("."))
        record.refresh()
        if command == "getnext":
            key = record.after(key)
        if key is None or key not in record.rows:
            print("NONE", flush=True)
            continue
        kind, value = record.rows[key]
        print("." + ".".join(map(str, key)), kind, value, sep="\n", flush=True)


main()
