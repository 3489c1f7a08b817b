#!/usr/bin/python3
"""Syslog of the real daemon against Python's sockets and ssl: UDP, TCP, TLS.

The message is taken apart by the grammar of RFC 5424 section 6, the frames by RFC 6587 section 3.4.1 and
RFC 5425 section 4.3.
"""
import re
import socket
import socketserver
import ssl
import sys
import threading

import hook_peers
import harness

HEADER = re.compile(r"<(\d{1,3})>1 (\S+) (\S{1,255}) (\S{1,48}) (\S{1,128}) (\S{1,32}) ", re.ASCII)
NAME = r'[^\x00-\x20\x7f-\uffff= \]"]{1,32}'
PARAMETER = re.compile(rf' ({NAME})="((?:[^"\\\]]|\\["\\\]])*)"')
ELEMENT = re.compile(rf'\[({NAME})((?: {NAME}="(?:[^"\\\]]|\\["\\\]])*")*)\]')


def taken_apart(octets):
    """(priority, time, host, app, process, message id, {element: {name: value}}, text)"""
    text = octets.decode("utf-8")
    header = HEADER.match(text)
    assert header, text
    rest, elements = text[header.end():], {}
    while found := ELEMENT.match(rest):
        elements[found[1]] = {name: re.sub(r"\\(.)", r"\1", value) for name, value in PARAMETER.findall(found[2])}
        rest = rest[found.end():]
    assert elements and rest.startswith(" \ufeff"), rest
    return int(header[1]), *header.groups()[1:], elements, rest[2:]


def frames(octets):
    messages = []
    while octets:
        count, _, octets = octets.partition(b" ")
        messages.append(octets[:int(count)])
        assert len(messages[-1]) == int(count), "a frame is cut short"
        octets = octets[int(count):]
    return messages


class Stream(socketserver.ThreadingTCPServer):
    """Keeps the messages of every connection that was ended well."""
    daemon_threads, allow_reuse_address = True, True

    def __init__(self, port=0, certificate=None, drops=0):
        self.messages, self.drops, self.lock, self.context = [], drops, threading.Lock(), None
        if certificate:
            self.context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            self.context.load_cert_chain(certificate)
        super().__init__(("127.0.0.1", port), Talk)
        threading.Thread(target=self.serve_forever, daemon=True).start()

    def handle_error(self, *_):
        pass  # a client that refuses the certificate


class Talk(socketserver.BaseRequestHandler):
    def handle(self):
        with self.server.lock:
            self.server.drops -= 1
            dropped = self.server.drops >= 0
        if dropped:  # nothing is read, so the client gets RST
            self.request.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
            self.request.close()
            return
        channel = self.server.context.wrap_socket(self.request, server_side=True, suppress_ragged_eofs=False) if self.server.context else self.request
        octets = b""
        while piece := channel.recv(4096):
            octets += piece
        if self.server.context:
            channel.unwrap()  # fails unless the client said close_notify (RFC 5425 section 4.4)
        with self.server.lock:
            self.server.messages += frames(octets)


def check(messages, facility, faults, what):
    faults.expect(len(messages) == 2, f"{what}: {len(messages)} messages")
    # RFC 5674 section 2 (from memory): major is 2, cleared is 5.
    for octets, severity, word, perceived in zip(messages, (2, 5), ("raised", "cleared"), ("major", "cleared")):
        priority, at, host, app, process, message_id, elements, text = taken_apart(octets)
        faults.expect(priority == facility * 8 + severity, f"{what}: priority {priority}")
        faults.expect(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z", at), f"{what}: time {at}")
        faults.expect((app, process, message_id) == ("frisketd", "-", word), f"{what}: {app} {process} {message_id}")
        faults.expect(host == socket.gethostname(), f"{what}: host {host}")
        alarm = {"resource": "lodge-1", "probableCause": "inputDeviceError", "perceivedSeverity": perceived}
        faults.expect(elements["alarm"] == alarm, f"{what}: alarm {elements['alarm']}")
        own = elements["frisket@32473"]
        faults.expect((own["kind"], own["device"], own["site"], own["reason"]) == ("input-tray-missing", "lodge-1", "garden", word), f"{what}: {own}")
        faults.expect(text.startswith("Tray 2"), f"{what}: text {text!r}")
        faults.expect(len(octets) <= 2048, f"{what}: {len(octets)} octets")


def main():
    faults = hook_peers.Faults()
    with harness.scratch() as folder:
        authority, certificate = hook_peers.certificates(folder)
        datagrams = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        datagrams.bind(("127.0.0.1", 0))
        datagrams.settimeout(harness.GUARD)
        plain, shaky, safe, foreign = Stream(), Stream(drops=2), Stream(certificate=certificate), Stream(certificate=certificate)
        nobody = harness.free_port()

        def hook(name, transport, port, **more):
            return hook_peers.hook(name, "syslog", server="127.0.0.1", port=port, transport=transport, **more)

        hooks = [hook("datagrams", "udp", datagrams.getsockname()[1], facility="lpr"), hook("plain", "tcp", plain.server_address[1]),
                 hook("shaky", "tcp", shaky.server_address[1]), hook("safe", "tls", safe.server_address[1], ca_file=authority, facility="local7"),
                 hook("foreign", "tls", foreign.server_address[1]), hook("late", "tcp", nobody)]
        with hook_peers.garden(folder, hooks, "127.18.3.3") as garden:
            garden.pull()
            first = datagrams.recv(65536)
            garden.insert()
            told = [first, datagrams.recv(65536)]
            for server in (plain, shaky, safe):
                harness.wait_for(lambda: len(server.messages) == 2)
            late = Stream(nobody)
            harness.wait_for(lambda: len(late.messages) == 2, 120)
            harness.wait_for(lambda: garden.daemon.lines("[hook-failed]", "foreign", "certificate"))
            faults.expect(garden.daemon.health()["polls"]["late"] == 0, "polls were late")
        check(told, 6, faults, "udp")
        check(plain.messages, 16, faults, "tcp")
        check(shaky.messages, 16, faults, "tcp that drops connections")
        check(safe.messages, 23, faults, "tls")
        check(late.messages, 16, faults, "tcp that was not there")
        faults.expect(not foreign.messages, "a message went to a server whose authority is not known")
    return faults.told("syslog")


sys.exit(main())
