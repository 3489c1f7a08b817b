#!/usr/bin/python3
"""The page in a real browser (Debian's chromium, driven by npm playwright-core) against the real daemon and the simulated garden.

Starts them, and browser.test.mjs does the rest. Skipped where there is no chromium, unless FRISKET_NO_SKIPS is set (as .ci/run does).
"""
import contextlib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "system"))
import harness  # noqa: E402

SIMFLEET = harness.SOURCE / "tests/simfleet"
SKIPPED = 77  # known to CTest

# What a device could send to be run by a careless page. One of them in every text of the device "weeds".
WEEDS = ["<script>alert(1)</script>", "<img src=/weed onerror=alert(2)>", "<svg onload=alert(3)>", "'\\\"><iframe src=/weed>", "javascript:alert(4)//",
         "{{7*7}}${7*7}", "</title><b onmouseover=alert(5)>", "<style>@import '/weed'</style>"]


def node_modules():
    """The folder with the npm packages of package.json, installed into the build folder once."""
    modules = harness.BUILD / "tests/web/node_modules"
    wanted = json.loads((HERE / "package.json").read_text())["dependencies"]
    with contextlib.suppress(FileNotFoundError):
        if all(json.loads((modules / name / "package.json").read_text())["version"] == version for name, version in wanted.items()):
            return modules
    folder = modules.parent
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copy(HERE / "package.json", folder)
    subprocess.run(["npm", "install", "--no-package-lock", "--no-audit", "--no-fund", "--ignore-scripts", "--omit=dev"],
                   cwd=folder, check=True, timeout=300, stdout=subprocess.DEVNULL, env={**os.environ, "npm_config_loglevel": "error"})
    return modules


def overgrown(model):
    """The model with a weed in each of its texts; how many."""
    count = 0

    def grow(match):
        nonlocal count
        count += 1
        return f'{match[1]} = "{match[2]} {WEEDS[count % len(WEEDS)]}"'
    text = re.sub(r'^(maker|model|firmware|name|media|version|information) = "(.*)"$', grow, model, flags=re.M)
    return re.sub(r"^(lines|chars) = .*$", lambda match: f"{match[1]} = {8 if match[1] == 'lines' else 100}", text, flags=re.M), count


def plant(folder, weeds):
    """The garden; with weeds, it has one more device, whose every text is hostile. Gives its fleet file and folder of models."""
    if not weeds:
        return SIMFLEET / "fleets/garden.toml", SIMFLEET / "models"
    models = folder / "models"
    shutil.copytree(SIMFLEET / "models", models)
    text, count = overgrown((models / "lumenveld-c55.toml").read_text(encoding="utf-8"))
    assert count > 20, count
    (models / "weeds.toml").write_text(text, encoding="utf-8")
    fleet = folder / "fleet.toml"
    location = "Compost heap <script>alert(6)</script><img src=/weed onerror=alert(7)>"
    fleet.write_text((SIMFLEET / "fleets/garden.toml").read_text(encoding="utf-8") + f"""
[[device]]
name = "weeds"
address = "127.20.1.99"
site = "brackenholt"
location = "{location}"
model = "weeds"
serial = "<script>alert(8)</script>"
pages = 10
start = ["level 1 2", "load 1 0", "open 1", "console 1 {WEEDS[0]}", "console 2 {WEEDS[1]}",
  "alert critical input 2 2 jam trained {WEEDS[1]}", "alert warning markerSupplies 1 1 markerTonerAlmostEmpty trained {WEEDS[2]}"]
""", encoding="utf-8")
    return fleet, models


@contextlib.contextmanager
def garden(folder, weeds):
    """Simulated time stands still but for the control channel, a named pipe: what is wrong at the start stays wrong."""
    fleet, models = plant(folder, weeds)
    control = folder / "control"
    os.mkfifo(control)
    pipe = os.open(control, os.O_RDWR)
    config = folder / "written.toml"
    command = [harness.BUILD / "tests/simfleet/simfleet", "--fleet", fleet, "--models", models, "--port", "0", "--manual-time", "--write-config", config,
               "--listen", "127.0.0.1:1", "--state-dir", folder, "--poll-interval", "1s"]
    log = folder / "simfleet.log"
    try:
        with harness.process(command, log, stdin=pipe) as child:
            def ready():
                assert child.poll() is None, log.read_text()
                return "ready " in log.read_text()
            harness.wait_for(ready)
            yield config.read_text(encoding="utf-8"), control
    finally:
        os.close(pipe)


def token(folder):
    made = subprocess.run([harness.BUILD / "frisketd", "token", "desk", "operate"], capture_output=True, text=True, timeout=harness.GUARD, check=True)
    file = folder / "tokens"
    file.write_text(made.stderr, encoding="utf-8")
    file.chmod(0o600)
    return made.stdout.strip(), file


def give_past(folder, devices):
    """Two years of a past for these devices, written into the store while no daemon has it open."""
    subprocess.run([harness.BUILD / "tests/past/simpast", folder / "frisket.db"], input=json.dumps({"items": devices}), text=True,
                   check=True, timeout=harness.GUARD, stdout=subprocess.DEVNULL)


@contextlib.contextmanager
def everything(folder, weeds=True):
    """Garden with a past, daemon and token; gives the environment for the browser's side."""
    with garden(folder, weeds) as (config, control):
        secret, file = token(folder)
        config, replaced = re.subn(r'^listen = .*$', 'listen = "{listen}"\ntokens = "%s"' % file, config, count=1, flags=re.M)
        assert replaced == 1, config
        all_read = lambda: daemon.get("/v1/fleet")[1]["devices"]["unknown"] == 0
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(all_read)
            devices = daemon.items("/v1/devices")
        give_past(folder, devices)
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(all_read)
            harness.wait_for(lambda: daemon.get("/v1/order")[1]["made_at"])
            harness.wait_for(lambda: ("media-jam", "palm-house-office", "input:1") in daemon.raised())
            yield {**os.environ, "FRISKET_URL": daemon.url, "FRISKET_CONTROL": str(control), "FRISKET_TOKEN": secret,
                   "FRISKET_MODULES": str(node_modules()), "FRISKET_CHROMIUM": shutil.which("chromium"), "FRISKET_SCRATCH": str(folder)}


def main():
    if shutil.which("chromium") is None:
        print("page_test: chromium is not installed (packaging/prerequisites test), so the page is not looked at")
        return 1 if os.environ.get("FRISKET_NO_SKIPS") else SKIPPED
    with harness.scratch() as folder, everything(folder) as environment:
        return subprocess.run(["node", *sys.argv[1:], HERE / "browser.test.mjs"], env=environment, timeout=240).returncode


if __name__ == "__main__":
    sys.exit(main())
