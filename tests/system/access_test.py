#!/usr/bin/python3
"""Tokens and the record of changes, with the real programs: who may do what, a reload of the file, and no token in any log."""
import json
import os
import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request

import harness


def make_token(name, right):
    made = subprocess.run([harness.BUILD / "frisketd", "token", name, right], capture_output=True, text=True, timeout=harness.GUARD)
    assert made.returncode == 0, made
    token, line = made.stdout.strip(), made.stderr
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", token), made
    assert re.fullmatch(rf"# .*\n{name} {right} [0-9a-f]{{64}}\n", line), made
    assert token not in line
    return token, line


def ask(daemon, path, token=None, body=None):
    """Status, body and challenge of a GET, or of a POST where there is a body."""
    fields = {"Content-Type": "application/json"} if body is not None else {}
    if token:
        fields["Authorization"] = f"Bearer {token}"
    request = urllib.request.Request(daemon.url + path, None if body is None else json.dumps(body).encode(), fields)
    try:
        with urllib.request.urlopen(request, timeout=harness.GUARD) as answer:
            return answer.status, json.load(answer), None
    except urllib.error.HTTPError as failure:
        return failure.code, json.load(failure), failure.headers["WWW-Authenticate"]


def reload(daemon, word):
    before = len(daemon.lines(word))
    daemon.child.send_signal(signal.SIGHUP)
    harness.wait_for(lambda: len(daemon.lines(word)) > before)


TEST = "/v1/hooks/desk/test"
HOOK = """
[[hook]]
name = "desk"
type = "exec"
program = "/bin/true"
"""


def check_rules(daemon, reader, operator, administrator):
    assert ask(daemon, "/v1/fleet")[0] == 200
    assert ask(daemon, "/v1/fleet", reader)[0] == 200
    status, problem, challenge = ask(daemon, TEST, None, {})
    assert (status, challenge) == (401, 'Bearer realm="frisket", scope="operate"'), (status, challenge)
    assert "operate" in problem["detail"] and problem["title"] == "Unauthorized", problem
    assert ask(daemon, TEST, "x" * 43, {})[0] == 401
    assert ask(daemon, "/v1/fleet", "x" * 43)[0] == 401
    assert ask(daemon, TEST, reader, {})[0] == 403
    status, told, _ = ask(daemon, TEST, operator, {})
    assert (status, told["told"]) == (200, True), told
    assert ask(daemon, "/v1/audit", operator)[0] == 403
    assert ask(daemon, "/v1/audit")[0] == 401
    assert ask(daemon, "/v1/audit", administrator)[0] == 200


def check_client(daemon, folder, reader, operator):
    for name, token in (("reader", reader), ("operator", operator)):
        (folder / f"{name}-token").write_text(token + "\n", encoding="utf-8")
    refused = daemon.client("hook-test", "desk")
    assert refused.returncode == 4 and "operate" in refused.stderr and "--token-file" in refused.stderr, refused
    small = daemon.client("hook-test", "desk", "--token-file", folder / "reader-token")
    assert small.returncode == 4 and "has the right read; this needs operate" in small.stderr, small
    assert daemon.client("hook-test", "desk", "--token-file", folder / "operator-token").returncode == 0
    assert daemon.client("status").returncode == 0
    assert daemon.client("status", "--token-file", folder / "missing").returncode == 2
    by_environment = subprocess.run([harness.BUILD / "frisket", "hook-test", "desk", "--server", daemon.url], capture_output=True,
                                    text=True, env={**os.environ, "FRISKET_TOKEN_FILE": str(folder / "operator-token")})
    assert by_environment.returncode == 0, by_environment
    by_socket = harness.client("hook-test", "desk", "--server", f"unix:{folder}/frisket.sock")
    assert by_socket.returncode == 0, by_socket


def check_audit(daemon, administrator):
    items = ask(daemon, "/v1/audit", administrator)[1]["items"]
    assert [item["number"] for item in items] == sorted((item["number"] for item in items), reverse=True)
    oldest_first = [(item["who"], item["what"], item["target"], item["outcome"]) for item in reversed(items)]
    change = ("hook.test", "desk")
    assert oldest_first == [("nobody", *change, "refused"), ("nobody", *change, "refused"), ("screen", *change, "refused"),
                            ("desk", *change, "done"), ("nobody", *change, "refused"), ("screen", *change, "refused"),
                            ("desk", *change, "done"), ("desk", *change, "done"),
                            (f"unix:{os.getuid()}", *change, "done")], oldest_first
    assert len(daemon.lines("[audit]")) == len(items), daemon.lines("[audit]")
    first = ask(daemon, "/v1/audit?limit=2", administrator)[1]
    assert first["items"] == items[:2]
    assert ask(daemon, f"/v1/audit?limit=2&after={first['next']}", administrator)[1]["items"] == items[2:4]


def main():
    with harness.scratch() as folder:
        reader, read_line = make_token("screen", "read")
        operator, operate_line = make_token("desk", "operate")
        administrator, administer_line = make_token("it", "administer")
        tokens = folder / "tokens"
        tokens.write_text(read_line + operate_line + administer_line, encoding="utf-8")
        tokens.chmod(0o640)
        config = harness.basic_config(folder, [], HOOK).replace("[daemon]", '[daemon]\ntokens = "tokens"\nlog_level = "debug"')
        with harness.daemon(folder, config) as daemon:
            check_rules(daemon, reader, operator, administrator)
            check_client(daemon, folder, reader, operator)
            check_audit(daemon, administrator)

            # A token that is taken out of the file holds no longer; a file that is wrong changes nothing.
            tokens.write_text(administer_line, encoding="utf-8")
            reload(daemon, "[reloaded]")
            assert ask(daemon, TEST, administrator, {})[0] == 200
            assert ask(daemon, "/v1/fleet", reader)[0] == 401
            tokens.write_text(administer_line + "desk opperate 00\n", encoding="utf-8")
            reload(daemon, "[reload-refused]")
            assert daemon.lines("[config-error]", '"tokens" line 3: found the right "opperate"'), daemon.lines("[config-error]")
            assert ask(daemon, TEST, administrator, {})[0] == 200
            tokens.write_text(administer_line, encoding="utf-8")
            tokens.chmod(0o646)
            reload(daemon, "[reload-refused]")
            assert daemon.lines("[config-error]", "everybody on this machine may change"), daemon.lines("[config-error]")
            tokens.chmod(0o640)

            # Of many wrong tries the log and the record hold no more than ten a minute, and whoever may goes on.
            seen = len(ask(daemon, "/v1/audit", administrator)[1]["items"])
            answers = [ask(daemon, TEST, f"guess-{i}", {})[0] for i in range(30)]
            assert answers[-1] == 429 and set(answers) <= {401, 429}, answers
            assert ask(daemon, TEST, administrator, {})[0] == 200
            assert len(ask(daemon, "/v1/audit", administrator)[1]["items"]) <= seen + 11

        log = (folder / "frisketd.log").read_text(encoding="utf-8", errors="replace")
        kept = b"".join(file.read_bytes() for file in folder.glob("frisket.db*"))
        for secret in (reader, operator, administrator, "guess-1"):
            assert secret not in log, "a token is in the log"
            assert secret.encode() not in kept, "a token is in the store"

        # What was done is known after a restart, and --check says who may do what.
        with harness.daemon(folder, config) as daemon:
            assert ask(daemon, "/v1/audit?limit=1", administrator)[1]["items"][0]["who"] == "it"
        for text, status, word in ((config, 0, "usable"),
                                   (config.replace('tokens = "tokens"\n', ""), 0, "warning: daemon.tokens: missing"),
                                   (config.replace("{listen}", "0.0.0.0:9640"), 0, "warning: daemon.listen: reached from beyond"),
                                   (config.replace('tokens = "tokens"\n', "").replace("{listen}", "0.0.0.0:9640"), 2,
                                    "error: daemon.listen")):
            file = folder / "checked.toml"
            file.write_text(text.replace("{listen}", "127.0.0.1:9640"), encoding="utf-8")
            checked = subprocess.run([harness.BUILD / "frisketd", "--config", file, "--check"], capture_output=True, text=True)
            assert checked.returncode == status and word in checked.stdout, checked
        for words in (("loopback", "operate"), ("a b", "operate"), ("desk", "rule")):
            made = subprocess.run([harness.BUILD / "frisketd", "token", *words], capture_output=True, text=True)
            assert made.returncode == 2 and not made.stdout, made
    print("refused, allowed, reloaded, written down")
    return 0


sys.exit(main())
