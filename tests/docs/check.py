#!/usr/bin/python3
"""The documents hold: what they show exists, and what exists is in them.

Held elsewhere, by unit tests: configuration keys (unit/config), kinds of incident (unit/daemon/incidents), routes
(unit/daemon/http), verbs, options and columns in docs/client.md (unit/daemon/client). Here is the rest: ids of log
lines, links, commands that any page shows, configuration that the guide shows, lists of pages. FRISKET_BUILD names the
folder of the built programs; they are asked for --help and --check only. No network.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ["FRISKET_BUILD"])
CODE = [f for folder in ("daemon", "probes", "config") for f in sorted((SOURCE / folder).rglob("*.cpp"))]
PAGES = sorted(f for f in SOURCE.rglob("*.md") if not {"build", "node_modules", ".git"} & set(f.relative_to(SOURCE).parts))
LEVELS = {"warn": "warning", "err": "error"}
faults, checked = [], {}


def check(what, good, fault):
    checked[what] = checked.get(what, 0) + 1
    if not good:
        faults.append(f"{what}: {fault}")


def words_returned(file, function):
    body = (SOURCE / file).read_text(encoding="utf-8").split(function)[1].split("\n}\n")[0]
    return re.findall(r'return "([a-z-]+)"', body)


def ids_in_code():
    """id -> levels at which it is written; no level where the code works it out."""
    found = {}
    for file in CODE:
        text = file.read_text(encoding="utf-8")
        for call in re.finditer(r'spdlog::(log|debug|info|warn|error|critical)\(([^"]*)"([^"]*)', text):
            kind, _, line = call.groups()
            begin = re.match(r"\[([a-z{}-]+)\]", line)
            if not begin:
                check("log lines", kind == "debug", f"{file.name}: a line without an id: {line}")
                continue
            ids = [begin[1]]
            if begin[1] == "incident-{}":
                ids = ["incident-" + word for word in words_returned("daemon/incidents/incident.cpp", "to_text(What ")]
            elif begin[1] == "{}":
                ids = re.findall(r'"([a-z-]+)"', re.search(r"\* id = ([^;]*);", text)[1])
            for each in ids:
                check("log lines", "{" not in each, f"{file.name}: this test cannot tell what [{each}] stands for")
                found.setdefault(each, set()).update({LEVELS.get(kind, kind)} - {"log"})
    return found


def check_logs():
    text = (SOURCE / "docs/logs.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `\[([a-z-]+)\]` \| ([a-z, ]+) \| ([^|]+) \| ([^|]+) \|$", text, re.M)
    check("log lines", len(rows) == text.count("\n| `["), "docs/logs.md: a row that is not: id, levels, what it says, what to do")
    check("log lines", len(rows) == len({row[0] for row in rows}), "docs/logs.md: an id twice")
    in_page = {row[0]: set(row[1].split(", ")) for row in rows}
    in_code = ids_in_code()
    for each in sorted(in_code.keys() | in_page.keys()):
        check("log lines", each in in_page, f"[{each}] is written, and not in docs/logs.md")
        check("log lines", each in in_code, f"[{each}] is in docs/logs.md, and not written")
        levels, told = in_code.get(each, set()), in_page.get(each, set())
        check("log lines", levels <= told and (levels == told or not levels or "log" in levels),
              f"[{each}] is written as {sorted(levels)}, docs/logs.md says {sorted(told)}")
    # Other pages name ids too.
    for page in PAGES:
        for each in re.findall(r"`\[([a-z]+(?:-[a-z]+)+)\]`", page.read_text(encoding="utf-8")):
            check("log lines", each in in_code, f"{page.relative_to(SOURCE)} names [{each}], which is not written")


def prose(text):
    """Without fenced and indented blocks."""
    text = re.sub(r"^( *)```.*?^\1```$", "", text, flags=re.M | re.S)
    return "\n".join(line for line in text.splitlines() if not line.startswith("    "))


def anchors(page):
    """The names that headings get on the usual forges: lower case, hyphens for spaces, letters and digits."""
    names = set()
    for heading in re.findall(r"^#+ (.+)$", prose(page.read_text(encoding="utf-8")), re.M):
        name = re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-")
        # noted again: name-1, name-2
        names.add(next(n for n in [name] + [f"{name}-{i}" for i in range(1, 99)] if n not in names))
    return names


def check_links():
    for page in PAGES:
        text = re.sub(r"`[^`]*`", "", prose(page.read_text(encoding="utf-8")))
        for target in re.findall(r"\]\(([^)\s]+)\)", text):
            if re.match(r"[a-z]+:", target):
                continue
            path, _, anchor = target.partition("#")
            file = (page.parent / path).resolve() if path else page
            where = f"{page.relative_to(SOURCE)} links to {target}"
            check("links", file.exists() and file.is_relative_to(SOURCE), where + ", which is not there")
            if anchor and file.suffix == ".md" and file.exists():
                check("links", anchor in anchors(file), where + ": no such heading")


def help_of(*words):
    asked = subprocess.run([BUILD / words[0], *words[1:], "--help"], capture_output=True, text=True, timeout=60)
    assert asked.returncode == 0, (words, asked)
    return asked.stdout


def options(text):
    return set(re.findall(r"^  (?:-\w,)?(--[a-z-]+)", text, re.M))


def check_commands():
    """Every `frisket VERB --option` and `frisketd ...` in a block or in code marks of any page."""
    listed = {p: dict.fromkeys(re.findall(r"^  ([a-z-]+) {2,}\S", help_of(p).split("Subcommands:")[1], re.M))
              for p in ("frisket", "frisketd")}
    own = {p: options(help_of(p)) for p in listed}
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        blocks = [line for line in text.splitlines() if line.startswith("    ")] + re.findall(r"`([^`\n]+)`", text)
        blocks += [line for block in re.findall(r"^```\w*\n(.*?)^```", text, re.M | re.S) for line in block.splitlines()]
        for line in blocks:
            for part in re.split(r"\s#\s|[|;<>&()]", line):
                words = re.sub(r"^.*\s--\s|^\s*[#$]\s|^\s*sudo\s", "", part).split()
                program = pathlib.Path(words[0]).name if words else ""
                if program not in listed or "VERB" in words:
                    continue
                verb = words[1] if words[1:] and re.fullmatch(r"[a-z][a-z-]*", words[1]) else None
                where = f"{page.relative_to(SOURCE)} shows `{part.strip()}`"
                check("commands", verb is None or verb in listed[program], where + ": no such verb")
                known = own[program]
                if verb in listed[program]:
                    listed[program][verb] = listed[program][verb] or options(help_of(program, verb))
                    known = known | listed[program][verb]
                shown = set(re.findall(r"(?<!\S)\[?(--[a-z-]+)", " ".join(words[1:])))
                check("commands", shown <= known, f"{where}: no option {' '.join(sorted(shown - known))}")


BASE = [
    '[[site]]\nname = "office"\n',
    '[[credential]]\nname = "office-read"\ncommunity_file = "secret"\n',
    '[[device]]\nname = "second-floor"\naddress = "192.0.2.10"\nsite = "office"\ncredentials = ["office-read"]\n',
]


def check_configuration():
    """Every block of TOML in the guide is taken by `frisketd --check`, beside a site, a credential and a device."""
    for page in [p for p in PAGES if p.is_relative_to(SOURCE / "docs/guide") or p.name == "guide.md"]:
        for number, block in enumerate(re.findall(r"^```toml\n(.*?)^```", page.read_text(encoding="utf-8"), re.M | re.S), 1):
            with tempfile.TemporaryDirectory(prefix="frisket-docs.") as folder:
                secret = pathlib.Path(folder) / "secret"
                secret.write_text("a secret of the test\n", encoding="utf-8")
                secret.chmod(0o600)
                # Files that a reader makes himself: one of ours stands for each.
                block = re.sub(r'^(program|restart_program) = ".*?"', r'\1 = "/bin/true"', block, flags=re.M)
                block = re.sub(r'^(community_file|secret_file|\w*password_file) = ".*?"', r'\1 = "secret"', block, flags=re.M)
                block = re.sub(r'^tokens = ".*?"', 'tokens = "tokens"', block, flags=re.M)
                block = re.sub(r"^(certificate_file|key_file) = .*$", "", block, flags=re.M)
                (secret.parent / "tokens").write_text("", encoding="utf-8")
                text = "".join(part for part in BASE if "\n".join(part.splitlines()[:2]) not in block) + block
                file = pathlib.Path(folder) / "frisket.toml"
                file.write_text(text, encoding="utf-8")
                done = subprocess.run([BUILD / "frisketd", "--config", file, "--check"], capture_output=True, text=True, timeout=60)
                said = "\n".join(line for line in (done.stdout + done.stderr).splitlines() if "error:" in line)
                check("configuration", done.returncode == 0, f"{page.relative_to(SOURCE)}, block {number}: {said}")


def check_examples():
    """The hook programs that the guide starts from take all three forms of a notice, as docs/hooks.md has them."""
    incident = {"id": "0rk3v5t8", "kind": "toner-low", "severity": "warning", "site": "office", "device": "second-floor",
                "summary": "Black toner is low.", "remedy": {"steps": ["Order one."]}}
    raised = {"notice": "raised", "at": "2026-11-25T08:00:00.000Z", "incident": incident, "hook": "desk"}
    bodies = {"a notice": raised, "a test": raised | {"notice": "test", "incident": None},
              "a digest": {"hook": "desk", "digest": [raised, raised]}}
    with tempfile.TemporaryDirectory(prefix="frisket-docs.") as folder:
        for name, body in bodies.items():
            for program, arguments in (("tell-desk", ["--file", folder + "/desk"]), ("keep-notices", [folder + "/notices"])):
                run = subprocess.run([SOURCE / "config/examples/hooks" / program, *arguments], input=json.dumps(body) + "\n",
                                     capture_output=True, text=True, timeout=60)
                check("examples", run.returncode == 0, f"{program} does not take {name}: {run.stderr.strip()}")
        for file, lines in (("desk", 4), ("notices", 3)):
            kept = (pathlib.Path(folder) / file).read_text(encoding="utf-8").splitlines()
            check("examples", len(kept) == lines, f"{file}: {len(kept)} lines, not {lines}")


def check_acts():
    """docs/api.md names every act that the audit trail can have."""
    routes = (SOURCE / "daemon/http/routes.cpp").read_text(encoding="utf-8")
    acts = set(re.findall(r'Route\{"POST", "[^"]*", \w+, "([a-z.-]+)"', routes))
    row = re.search(r"^\| `what` \| (.*) \|$", (SOURCE / "docs/api.md").read_text(encoding="utf-8"), re.M)[1]
    named = set(re.findall(r"`([a-z.-]+)`", row))
    check("acts", acts and acts == named, f"docs/api.md and routes.cpp differ in {sorted(acts ^ named)}")


def check_lists():
    """Every page is in a list, so that somebody finds it; every folder of tests is in the developers' table."""
    for page_of_list, pages in (("README.md", "docs/*.md"), ("docs/decisions/README.md", "docs/decisions/*.md"),
                                ("docs/guide.md", "docs/guide/*.md")):
        links = re.findall(r"\]\(([^)#]+)", (SOURCE / page_of_list).read_text(encoding="utf-8"))
        listed = {(SOURCE / page_of_list).parent / link for link in links}
        for page in SOURCE.glob(pages):
            check("lists", page in listed or page == SOURCE / page_of_list, f"{page_of_list} does not list {page.name}")
    table = (SOURCE / "DEVELOPERS.md").read_text(encoding="utf-8").split("\n## Tests\n")[1].split("\n## ")[0]
    for folder in sorted((SOURCE / "tests").iterdir()):
        if folder.is_dir() and folder.name != "__pycache__":
            check("lists", f"| `tests/{folder.name}/` |" in table, f"DEVELOPERS.md does not list tests/{folder.name}/")


for each in (check_logs, check_links, check_commands, check_configuration, check_examples, check_acts, check_lists):
    each()
for fault in faults:
    print("FAULT:", fault)
print(", ".join(f"{count} checks of {what}" for what, count in checked.items()) + f": {len(faults)} faults")
sys.exit(1 if faults or min(map(checked.get, ("log lines", "links", "commands", "lists"))) == 0 else 0)
