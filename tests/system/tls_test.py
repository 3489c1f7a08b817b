#!/usr/bin/python3
"""The listener over TLS, with the real programs: what --check finds, what is spoken, and a certificate that is renewed.

Certificates are made by the openssl program; the peer is Python's ssl, which verifies them.
"""
import contextlib
import http.client
import json
import pathlib
import signal
import socket
import ssl
import subprocess
import sys
import warnings

import harness


def make_certificate(folder, name, days=2):
    certificate, key = folder / f"{name}.pem", folder / f"{name}.key"
    subprocess.run(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", str(days),
                    "-subj", f"/CN={name}", "-addext", "subjectAltName=IP:127.0.0.1", "-out", certificate, "-keyout", key],
                   check=True, capture_output=True)
    key.chmod(0o600)
    return certificate, key


def config(folder, certificate, key):
    lines = [f'certificate_file = "{certificate}"' if certificate else "", f'key_file = "{key}"' if key else ""]
    return harness.basic_config(folder, []).replace("[daemon]\n", "[daemon]\n" + "\n".join(lines) + "\n")


def check(folder, certificate, key):
    """Exit status and output of --check."""
    file = folder / "check.toml"
    file.write_text(config(folder, certificate, key).replace("{listen}", "127.0.0.1:0"))
    done = subprocess.run([harness.BUILD / "frisketd", "--config", file, "--check"], capture_output=True, text=True, timeout=harness.GUARD)
    return done.returncode, done.stdout + done.stderr


def check_findings(folder, first, second):
    assert check(folder, *first)[0] == 0
    for certificate, key, words in (
            (first[0], second[1], "is not the key of the first certificate"), (first[0], None, "belong together"),
            (None, first[1], "belong together"), (first[1], first[1], "no certificate in PEM"),
            (first[0], first[0], "no private key in PEM"), (folder / "none.pem", first[1], "none.pem"),
            (folder, first[1], "a regular file")):
        status, said = check(folder, certificate, key)
        assert status == 2 and words in said, (certificate, key, status, said)
    locked = folder / "locked.key"
    subprocess.run(["openssl", "ec", "-in", first[1], "-aes256", "-passout", "pass:moss", "-out", locked], check=True, capture_output=True)
    locked.chmod(0o600)
    status, said = check(folder, first[0], locked)
    assert status == 2 and "pass phrase" in said, said
    first[1].chmod(0o644)
    status, said = check(folder, *first)
    first[1].chmod(0o600)
    assert status == 2 and "chmod o-rw" in said, said


def trusting(certificate):
    return ssl.create_default_context(cafile=str(certificate))


def get(port, context, path="/v1/fleet"):
    connection = http.client.HTTPSConnection("127.0.0.1", port, context=context, timeout=harness.GUARD)
    connection.request("GET", path)
    answer = connection.getresponse()
    return connection, answer.status, answer.read()


def check_speech(port, certificate):
    connection, status, body = get(port, trusting(certificate))
    assert status == 200 and json.loads(body)["devices"]["total"] == 0
    assert connection.sock.version() == "TLSv1.3", connection.sock.version()
    for _ in range(3):  # the connection is kept
        connection.request("GET", "/v1/incidents")
        assert connection.getresponse().read() == b'{"items":[],"next":null}'
    connection.close()

    older = trusting(certificate)
    older.maximum_version = ssl.TLSVersion.TLSv1_2
    connection, status, _ = get(port, older)
    assert status == 200 and connection.sock.version() == "TLSv1.2"
    connection.close()
    too_old = trusting(certificate)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        too_old.minimum_version, too_old.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
    too_old.set_ciphers("ALL:@SECLEVEL=0")
    try:
        get(port, too_old)
        raise AssertionError("TLS 1.1 is spoken")
    except ssl.SSLError:
        pass

    # In clear there is nothing to be had.
    with socket.create_connection(("127.0.0.1", port), harness.GUARD) as plain:
        plain.sendall(b"GET /v1/fleet HTTP/1.1\r\nHost: localhost\r\n\r\n")
        heard = b""
        with contextlib.suppress(OSError):
            while piece := plain.recv(4096):
                heard += piece
        assert b"HTTP" not in heard and b"devices" not in heard, heard


def check_large_and_end(port, certificate):
    """An answer of many records, a request in two pieces, and the end of a connection, which is said (close_notify)."""
    context = trusting(certificate)
    context.options &= ~getattr(ssl, "OP_IGNORE_UNEXPECTED_EOF", 0)
    with context.wrap_socket(socket.create_connection(("127.0.0.1", port), harness.GUARD), server_hostname="127.0.0.1") as secure:
        secure.sendall(b"GET /v1/openapi.json HTTP/1.1\r\nHost: local")
        secure.sendall(b"host\r\nConnection: close\r\n\r\n")
        answer = b""
        while piece := secure.recv(65536):
            answer += piece
    body = answer.partition(b"\r\n\r\n")[2]
    assert json.loads(body)["openapi"].startswith("3.1"), answer[:200]
    assert body == (harness.SOURCE / "daemon/http/openapi/openapi.json").read_bytes()


def shown(port):
    """The certificate that a new connection is shown."""
    return ssl.get_server_certificate(("127.0.0.1", port))


def reload(daemon, word):
    before = len(daemon.lines(word))
    daemon.child.send_signal(signal.SIGHUP)
    harness.wait_for(lambda: len(daemon.lines(word)) > before)


def check_renewal(daemon, folder, first, second):
    certificate, key = first
    old, port = certificate.read_text(), daemon.port
    kept, _, _ = get(port, trusting(certificate))
    stream = http.client.HTTPSConnection("127.0.0.1", port, context=trusting(certificate), timeout=harness.GUARD)
    stream.request("GET", "/v1/events")
    events = stream.getresponse()
    assert events.readline() == b"retry: 2000\n"

    certificate.write_text(second[0].read_text())  # the certificate only: it does not fit the key
    reload(daemon, "[reload-refused]")
    assert shown(port).split() == old.split()

    key.write_text(second[1].read_text())
    reload(daemon, "[reloaded]")
    assert shown(port).split() == second[0].read_text().split()
    assert get(port, trusting(second[0]))[1] == 200
    kept.request("GET", "/v1/fleet")  # under the old one still
    assert kept.getresponse().status == 200
    lines = [events.readline() for _ in range(6)]
    assert any(line.startswith(b"event: configuration") for line in lines), lines
    kept.close()
    stream.close()


def answers(port, certificate):
    with contextlib.suppress(OSError):
        return get(port, trusting(certificate))[1] == 200


def main():
    with harness.scratch() as folder:
        first, second = make_certificate(folder, "first"), make_certificate(folder, "second")
        check_findings(folder, first, second)
        with harness.daemon(folder, config(folder, *first), ready=False) as daemon:
            harness.wait_for(lambda: answers(daemon.port, first[0]))
            check_speech(daemon.port, first[0])
            check_large_and_end(daemon.port, first[0])
            # The client's socket needs no TLS.
            with socket.socket(socket.AF_UNIX) as local:
                local.connect(f"{folder}/frisket.sock")
                local.sendall(b"GET /v1/fleet HTTP/1.1\r\nHost: localhost\r\n\r\n")
                assert local.recv(4096).startswith(b"HTTP/1.1 200 OK\r\n")
            check_renewal(daemon, folder, first, second)
            text = pathlib.Path(daemon.log).read_text()
            assert "PRIVATE KEY" not in text
    return 0


if __name__ == "__main__":
    sys.exit(main())
