#!/usr/bin/python3
"""Webhooks of the real daemon against Python's http.server: refusals, stalls, certificates, signatures.

Statuses: RFC 9110 section 15; Retry-After: RFC 9110 section 10.2.3; HMAC: Python's own.
"""
import collections
import http.server
import json
import socket
import ssl
import subprocess
import sys
import threading
import time

import hook_peers
import harness

SECRET = "moss under the bench"
SAMPLE = harness.SOURCE / "docs/samples/verify_notice.py"


class Receiver(http.server.ThreadingHTTPServer):
    """Does what its plan says for each path, the last step for ever; remembers every request."""
    daemon_threads = True

    def __init__(self, plans, certificate=None):
        super().__init__(("127.0.0.1", 0), Handler)
        self.plans = {path: collections.deque(plan) for path, plan in plans.items()}
        self.requests = []
        self.lock = threading.Lock()
        self.ending = threading.Event()
        if certificate:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(certificate)
            self.socket = context.wrap_socket(self.socket, server_side=True, do_handshake_on_connect=False)  # but in the thread of each
        threading.Thread(target=self.serve_forever, daemon=True).start()

    def handle_error(self, *_):
        pass  # a client that refuses the certificate

    def step(self, path):
        with self.lock:
            plan = self.plans[path]
            return plan.popleft() if len(plan) > 1 else plan[0]

    def at(self, path):
        with self.lock:
            return [r for r in self.requests if r["path"] == path]


class Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def log_message(self, *_):
        pass

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        step = self.server.step(self.path)
        with self.server.lock:
            self.server.requests.append(
                {"path": self.path, "at": time.monotonic(), "step": step, "headers": dict(self.headers), "body": body})
        if step == "stall":
            self.server.ending.wait(harness.GUARD)
            self.close_connection = True
        elif step == "drop":
            self.wfile.write(b"HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\nhalf")
            self.wfile.flush()
            self.connection.shutdown(socket.SHUT_RDWR)
            self.close_connection = True
        else:
            status, *more = step.split()
            self.send_response(int(status))
            for header in more:
                self.send_header(*header.split(":"))
            words = b"" if status == "204" else b"not \x1b[31mtoday"  # RFC 9110 section 15.3.5: no content
            if words:
                self.send_header("Content-Length", str(len(words)))
            self.end_headers()
            self.wfile.write(words)


def told(request):
    return json.loads(request["body"])["notice"]


def verdict(folder, request, secret=SECRET, body=None, at=None):
    """Exit status of the sample program of docs/hooks.md."""
    headers = request["headers"]
    file = hook_peers.secret(folder, "receiver.secret", secret)
    return subprocess.run([sys.executable, SAMPLE, file, at or headers["Frisket-Time"], headers["Frisket-Signature"]],
                          input=request["body"] if body is None else body, stdout=subprocess.DEVNULL, timeout=60).returncode


def check_signature(folder, request, faults):
    faults.expect(verdict(folder, request) == 0, "the sample program does not believe a true notice")
    faults.expect(verdict(folder, request, secret=SECRET + "!") == 1, "a wrong secret was believed")
    faults.expect(verdict(folder, request, body=request["body"] + b" ") == 1, "a changed body was believed")
    faults.expect(verdict(folder, request, at=str(int(request["headers"]["Frisket-Time"]) - 1)) == 1, "a changed time was believed")
    old = int(time.time()) - 3600
    import hashlib
    import hmac
    signed = "v1=" + hmac.new(SECRET.encode(), str(old).encode() + b"." + request["body"], hashlib.sha256).hexdigest()
    replay = dict(request, headers=dict(request["headers"], **{"Frisket-Time": str(old), "Frisket-Signature": signed}))
    faults.expect(verdict(folder, replay) == 1, "a notice of an hour ago was believed")


def check_order(requests, faults, what):
    """All attempts of a notice before the first of the next, under one id; raised, then cleared."""
    kinds = [told(r) for r in requests]
    faults.expect(kinds == sorted(kinds, key=["raised", "changed", "cleared"].index), f"{what}: told in the order {kinds}")
    ids = [(told(r), r["headers"]["Frisket-Notice"]) for r in requests]
    faults.expect(len(set(ids)) == 2, f"{what}: attempts do not keep their ids: {ids}")
    faults.expect(all(json.loads(r["body"])["id"] == r["headers"]["Frisket-Notice"] for r in requests), f"{what}: two ids in one")


def check_tests(tests, requests, faults):
    """`frisket hook-test`: one that is told, one that is refused, one whose receiver is not there, one that is not configured."""
    said = {name: (run.returncode, (run.stdout + run.stderr).strip()) for name, run in tests.items()}
    faults.expect(said["tested"] == (0, "tested told: HTTP status 200: not [31mtoday"), f"hook-test: {said['tested']}")
    faults.expect([told(r) for r in requests] == ["test"], f"a hook was told {[told(r) for r in requests]} instead of its test")
    faults.expect(said["no"][0] == 3 and said["no"][1].startswith("no not told: HTTP status 404"), f"hook-test: {said['no']}")
    faults.expect(said["nobody"][0] == 3 and "not told" in said["nobody"][1], f"hook-test: {said['nobody']}")
    faults.expect(said["unheard-of"][0] == 2 and "no hook of this name" in said["unheard-of"][1], f"hook-test: {said['unheard-of']}")


def main():
    faults = hook_peers.Faults()
    plans = {"/good": ["204"], "/shaky": ["503 Retry-After:3", "drop", "429", "200"], "/no": ["404"], "/moved": ["302 Location:/good"],
             "/slow": ["stall", "200"], "/foreign": ["200"], "/tested": ["200"]}
    with harness.scratch() as folder:
        authority, certificate = hook_peers.certificates(folder)
        secret = hook_peers.secret(folder, "signature", SECRET)
        safe, plain = Receiver(plans, certificate), Receiver(plans)
        https, http_url = f"https://127.0.0.1:{safe.server_port}", f"http://127.0.0.1:{plain.server_port}"
        nobody = harness.free_port()
        common = {"secret_file": secret, "time_limit": "2s", "give_up_after": "1h"}
        hooks = [hook_peers.hook("good", "webhook", url=f"{https}/good", ca_file=authority, **common),
                 hook_peers.hook("foreign", "webhook", url=f"{https}/foreign", **common),
                 hook_peers.hook("nobody", "webhook", url=f"http://127.0.0.1:{nobody}/", **common)]
        hooks += [hook_peers.hook(name, "webhook", url=f"{http_url}/{name}", **common) for name in ("shaky", "no", "moved", "slow")]
        hooks += [hook_peers.hook("tested", "webhook", url=f"{http_url}/tested", kinds=["media-jam"], **common)]
        with hook_peers.garden(folder, hooks) as garden:
            garden.pull()
            harness.wait_for(lambda: len(safe.at("/good")) == 1)
            garden.insert()
            harness.wait_for(lambda: len(safe.at("/good")) == 2)
            harness.wait_for(lambda: len(plain.at("/slow")) == 3)
            harness.wait_for(lambda: len(plain.at("/shaky")) == 5)
            harness.wait_for(lambda: garden.daemon.lines("[hook-given-up]", " no:") and garden.daemon.lines("[hook-given-up]", " moved:"))
            tests = {name: garden.daemon.client("hook-test", name) for name in ("tested", "no", "nobody", "unheard-of")}
            health = garden.daemon.health()
            log = garden.daemon.log.read_text(errors="replace")
            failed = garden.daemon.lines("[hook-failed]", " good:")
            # A receiver that was not there, and then is.
            late = Receiver.__new__(Receiver)
            http.server.HTTPServer.allow_reuse_address = True
            http.server.ThreadingHTTPServer.__init__(late, ("127.0.0.1", nobody), Handler)
            late.plans, late.requests, late.lock, late.ending = {"/": collections.deque(["200"])}, [], threading.Lock(), threading.Event()
            threading.Thread(target=late.serve_forever, daemon=True).start()
            harness.wait_for(lambda: len(late.at("/")) == 2, 120)
        check_order(safe.at("/good"), faults, "good")
        check_order(plain.at("/slow"), faults, "slow")
        check_order(plain.at("/shaky"), faults, "shaky")
        check_order(late.at("/"), faults, "down at first")
        first, second = plain.at("/shaky")[:2]
        faults.expect(second["at"] - first["at"] >= 3, f"Retry-After: 3 was kept for {second['at'] - first['at']:.2f} s")
        check_signature(folder, safe.at("/good")[0], faults)
        faults.expect(not safe.at("/foreign"), "a notice went to a server whose authority is not known")
        faults.expect(len(plain.at("/no")) == 4, f"a permanent refusal was tried {len(plain.at('/no')) - 1} times")
        faults.expect(len(plain.at("/moved")) == 3, f"a redirect was tried {len(plain.at('/moved'))} times")
        faults.expect(health["polls"]["late"] == 0, "polls were late while receivers stalled")
        faults.expect(SECRET not in log, "the secret is in the log")
        faults.expect("\x1b" not in log, "the receiver's escape sequence is in the log")
        check_tests(tests, plain.at("/tested"), faults)
        counted = health["each_hook"]
        faults.expect(counted["good"] == {"waiting": 0, "told": 2, "failed": 0, "parked": 0}, f"counters of good: {counted['good']} {failed}")
        faults.expect(counted["no"] == {"waiting": 0, "told": 0, "failed": 3, "parked": 1}, f"counters of no: {counted['no']}")
        faults.expect(counted["nobody"]["waiting"] == 2 and counted["nobody"]["failed"] >= 1, f"counters of nobody: {counted['nobody']}")
        for server in (safe, plain, late):
            server.ending.set()
    return faults.told("webhook")


sys.exit(main())
