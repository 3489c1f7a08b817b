#!/usr/bin/python3
"""Writes the octets of tests/facts/ipp-examples.tsv into a folder, one file each: seeds for ipp_decode_fuzz."""
import pathlib
import sys

facts = pathlib.Path(__file__).resolve().parents[1] / "facts/ipp-examples.tsv"
folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
for line in facts.read_text(encoding="utf-8").splitlines():
    if line and not line.startswith(("#", "name\t")):
        name, _, octets = line.split("\t")
        (folder / name.split(" ")[0]).write_bytes(bytes.fromhex(octets))
