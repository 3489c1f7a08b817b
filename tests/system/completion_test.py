#!/usr/bin/python3
"""What the shells offer behind `frisket`: all verbs and options of its help, what the daemon knows, and nothing run by it.

The scripts are the ones that the package installs, written by `frisket --completion SHELL`. A stand-in for the client
answers them as a daemon would whose spooler gives its queues hostile names.
"""
import os
import re
import shutil
import subprocess
import sys

import harness

QUEUES = ["herbarium", "seed store", "late@office", "$(touch PWNED)", "`touch PWNED`", "a;touch PWNED", "*"]

STAND_IN = """#!/bin/sh
case "$1" in
  queues) printf 'name\\tstate\\n'; cat <<'END'
%s
END
  ;;
  devices) printf 'name\\tstate\\nherbarium-copier\\tready\\nhothouse\\tsilent\\n' ;;
  incidents) printf 'id\\tseverity\\n1a2b\\tmajor\\n1a3c\\tminor\\n' ;;
esac
"""

faults = []


def expect(true, what):
    if not true:
        faults.append(what)


def run(command, folder, **options):
    path = f"{folder}/bin:{os.environ['PATH']}"
    return subprocess.run(command, capture_output=True, text=True, timeout=harness.GUARD, cwd=folder,
                          env={"PATH": path, "HOME": str(folder), "TERM": "dumb", "LANG": "C.UTF-8"}, **options)


def script(shell):
    done = harness.client("--completion", shell)
    assert done.returncode == 0 and done.stdout, done
    return done.stdout


def bash_offers(folder, line):
    """As bash does it: the words that the function leaves in COMPREPLY."""
    asked = run(["bash", "--norc", "-c", """
        source "$1"; compopt() { :; }
        COMP_LINE=$2 COMP_POINT=${#2}
        _frisket
        for word in "${COMPREPLY[@]}"; do printf '%s\\n' "$word"; done
        """, "bash", folder / "frisket.bash", line], folder)
    expect(asked.returncode == 0 and not asked.stderr, f"bash, {line!r}: {asked}")
    return asked.stdout.splitlines()


def helped(*words):
    """The options of a help text."""
    return sorted(set(re.findall(r"^  (?:-\w,)?(--[a-z-]+)", harness.client(*words, "--help").stdout, re.M)))


def verbs():
    text = harness.client("--help").stdout.split("Subcommands:")[1]
    return re.findall(r"^  ([a-z-]+) ", text, re.M)


def check_bash(folder, known):
    offers = lambda line: bash_offers(folder, line)
    expect(offers("frisket ") == known, f"verbs: {offers('frisket ')}")
    expect(offers("frisket dev") == ["devices", "device"], f"dev: {offers('frisket dev')}")
    for verb in known:
        offered = sorted(offers(f"frisket {verb} --"))
        expect(offered == helped(verb), f"options of {verb}: {offered}, the help has {helped(verb)}")
    expect(offers("frisket status --fail-on m") == ["major", "minor"], "severities")
    expect(offers("frisket device h") == ["herbarium-copier", "hothouse"], "devices")
    expect(offers("frisket --json device he") == ["herbarium-copier"], "an option in front of the verb is no verb")
    expect(offers("frisket incidents --device ho") == ["hothouse"], "a device as the value of an option")
    expect(offers("frisket shelve --for 8h 1a") == ["1a2b", "1a3c"], "the value of an option is no place")
    expect(offers("frisket queue late@off") == ["office"], "of a word that bash divides, the last part")
    expect(offers("frisket queue herbarium re") == ["resume", "restart"], "acts")
    hostile = offers("frisket queue ")
    expect(len(hostile) == len(QUEUES), f"queues: {hostile}")
    # What is offered goes onto a command line: there, too, it is one word and nothing more.
    echoed = run(["bash", "--norc", "-c", "printf '%s\\n' " + " ".join(hostile)], folder)
    expect(echoed.stdout.splitlines() == QUEUES, f"queues on a command line: {echoed}")
    expect(not (folder / "PWNED").exists(), "a queue's name was run")


def check_text(shell, text, known):
    for verb in known:
        expect(re.search(rf"\b{verb}\b", text), f"{shell} lacks {verb}")
        for option in helped(verb):
            expect(option[2:] in text, f"{shell} lacks {option} of {verb}")


def check_fish(folder):
    """fish itself says what it would offer."""
    offers = lambda line: [said.split("\t")[0] for said in run(
        ["fish", "--no-config", "-c", f"source {folder}/frisket.fish; complete -C $argv[1]", line], folder).stdout.splitlines()]
    expect(offers("frisket test") == ["testprint"], f"fish, test: {offers('frisket test')}")
    expect(offers("frisket status --fail-on m") == ["major", "minor"], "fish, severities")
    expect(offers("frisket device h") == ["herbarium-copier", "hothouse"], "fish, devices")
    expect(offers("frisket shelve --for 8h 1a") == ["1a2b", "1a3c"], "fish, incidents")
    expect(len(offers("frisket queue ")) >= len(QUEUES), "fish, queues")
    expect(not (folder / "PWNED").exists(), "fish ran a queue's name")


def main():
    with harness.scratch() as folder:
        (folder / "bin").mkdir()
        client = folder / "bin" / "frisket"
        client.write_text(STAND_IN % "\n".join(f"{name}\tidle" for name in QUEUES), encoding="utf-8")
        client.chmod(0o755)
        known = verbs()
        assert "status" in known, known
        for shell in ("bash", "zsh", "fish"):
            file = folder / f"frisket.{shell}"
            file.write_text(script(shell), encoding="utf-8")
            check_text(shell, file.read_text(encoding="utf-8"), known)
            if not shutil.which(shell):
                print(f"{shell} is not installed: only the script's words were looked at")
                continue
            parsed = run([shell, "-n", file], folder)
            expect(parsed.returncode == 0 and not parsed.stderr, f"{shell} does not take the script: {parsed}")
        check_bash(folder, known)
        if shutil.which("fish"):
            check_fish(folder)
        expect("completion" not in harness.client("--help").stdout, "the package's own option is in the help")
        expect(harness.client("--completion", "csh").returncode == 2, "a shell that nothing is written for")
    for fault in faults:
        print("FAULT:", fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
