#!/usr/bin/python3
"""The layer table holds: each layer sees the headers of the layers it may use, and no others.

Argument: a file that the build writes, one line per layer: name|folder|include roots. The table
below is the one in DEVELOPERS.md; the check reads it from there, so that the page cannot drift.
"""
import pathlib
import re
import sys


def table_from(page):
    """Rows of the 'Layer map' table: folder -> set of folders it may include."""
    allowed = {}
    section = page.read_text(encoding="utf-8").split("\n## Layer map\n")[1].split("\n## ")[0]
    for line in section.splitlines():
        row = re.match(r"\| `([a-z/]+)` \| [^|]* \|([^|]*)\|$", line)
        if row:
            allowed[row[1]] = set(re.findall(r"`([a-z/]+)`", row[2]))
    return allowed


def main():
    source = pathlib.Path(__file__).resolve().parents[2]
    layers = {}
    for line in pathlib.Path(sys.argv[1]).read_text(encoding="utf-8").splitlines():
        name, folder, roots = line.split("|")
        # The build's own library targets bring system folders along; only ours matter.
        layers[folder] = [pathlib.Path(root) for root in roots.split(";") if "/layers/" in root]
    allowed = table_from(source / "DEVELOPERS.md")
    faults = []
    if set(allowed) != set(layers):
        faults.append(f"DEVELOPERS.md lists {sorted(allowed)}, the build has {sorted(layers)}")
    headers = {folder: sorted((source / folder).glob("**/*.h")) for folder in layers}
    checked = 0
    for folder, roots in layers.items():
        for other, files in headers.items():
            for header in files:
                wanted = str(header.relative_to(source))
                visible = any((root / wanted).exists() for root in roots)
                permitted = other == folder or other in allowed.get(folder, set())
                checked += 1
                if visible and not permitted:
                    faults.append(f"{folder} can include {wanted}, which the table forbids")
                if permitted and not visible:
                    faults.append(f"{folder} cannot include {wanted}, which the table allows")
        for file in list((source / folder).glob("**/*.h")) + list((source / folder).glob("**/*.cpp")):
            text = file.read_text(encoding="utf-8")
            if re.search(r'#include "\.\./', text):
                faults.append(f"{file.relative_to(source)} includes by '../', around the layers")
            # A source file that begins with its own header proves that the header compiles alone.
            own = file.with_suffix(".h")
            first = re.search(r'#include ["<](.*)[">]', text)
            if file.suffix == ".cpp" and own.exists() and (not first or first[1] != str(own.relative_to(source))):
                faults.append(f"{file.relative_to(source)} does not include its own header first")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{checked} pairs of layer and header checked, {len(faults)} faults")
    return 1 if faults or checked == 0 else 0


sys.exit(main())
