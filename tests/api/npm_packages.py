"""Installs the npm packages of package.json beside this file into the build folder, once, and runs a script with them."""
import contextlib
import json
import os
import pathlib
import shutil
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "system"))
import harness  # noqa: E402

FOLDER = harness.BUILD / "tests/api/node"


def installed():
    wanted = json.loads((HERE / "package.json").read_text())["dependencies"]
    with contextlib.suppress(FileNotFoundError):
        return all(json.loads((FOLDER / "node_modules" / name / "package.json").read_text())["version"] == version
                   for name, version in wanted.items())
    return False


def judge(script, stdin, *arguments):
    """What the script (ES module, beside this file) says of its standard input, as JSON."""
    if not installed():
        FOLDER.mkdir(parents=True, exist_ok=True)
        shutil.copy(HERE / "package.json", FOLDER)
        subprocess.run(["npm", "install", "--no-package-lock", "--no-audit", "--no-fund", "--ignore-scripts", "--omit=dev"],
                       cwd=FOLDER, check=True, timeout=300, stdout=subprocess.DEVNULL,
                       env={**os.environ, "npm_config_loglevel": "error"})
    # A script finds packages beside itself, so it goes where they are.
    shutil.copy(HERE / script, FOLDER / script)
    done = subprocess.run(["node", FOLDER / script, *map(str, arguments)], input=stdin, capture_output=True, timeout=300)
    assert done.returncode == 0, done.stderr.decode()
    return json.loads(done.stdout)
