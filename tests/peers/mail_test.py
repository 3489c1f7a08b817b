#!/usr/bin/python3
"""Mail of the real daemon against aiosmtpd (an SMTP server in Python that nobody here wrote).

Replies: RFC 5321 section 4.2. The mails are read with Python's email package.
"""
import asyncio
import collections
import email
import email.policy
import email.utils
import ssl
import sys
import threading
import time

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword

import hook_peers
import harness

PASSWORD = "liverwort and 99 ferns"


class Handler:
    """Does what the plan of the first receiver says, step by step, the last for ever."""

    def __init__(self, plans):
        self.plans = {name: collections.deque(plan) for name, plan in plans.items()}
        self.mails = []  # (receivers, message) as they were accepted
        self.tried = collections.Counter()
        self.lock = threading.Lock()

    def step(self, address, stage):
        name = address.partition("@")[0]
        plan = self.plans.get(name, collections.deque(["250 taken"]))
        if stage == "rcpt":
            self.tried[name] += 1
        if stage == "rcpt" and not plan[0].startswith("rcpt ") or stage == "data" and plan[0].startswith("rcpt "):
            return "250 go on"
        return (plan.popleft() if len(plan) > 1 else plan[0]).removeprefix("rcpt ")

    async def handle_RCPT(self, server, session, envelope, address, options):
        answer = self.step(address, "rcpt")
        if answer.startswith("250"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server, session, envelope):
        answer = self.step(envelope.rcpt_tos[0], "data")
        if answer == "stall":
            await asyncio.sleep(harness.GUARD)
        if answer == "drop":
            server.transport.close()
            return "451 gone"
        if answer.startswith("250"):
            with self.lock:
                self.mails.append((list(envelope.rcpt_tos), envelope.content))
        return answer

    async def handle_QUIT(self, server, session, envelope):
        await asyncio.sleep(20)  # a client that waits for it stands still
        return "221 at last"

    def of(self, name):
        with self.lock:
            return [email.message_from_bytes(text, policy=email.policy.default) for to, text in self.mails
                    if any(address.startswith(name + "@") for address in to)]


def authenticator(server, session, envelope, mechanism, data):
    right = isinstance(data, LoginPassword) and (data.login, data.password) == (b"frisket", PASSWORD.encode())
    return AuthResult(success=right, handled=False)


def serve(handler, port=None, **options):
    controller = Controller(handler, hostname="127.0.0.1", port=port or harness.free_port(), **options)
    controller.start()
    return controller


def check_mail(mails, faults, what):
    """Two mails of one incident: form, words, conversation."""
    faults.expect(len(mails) == 2, f"{what}: {len(mails)} mails")
    for mail in mails:
        for name in ("Date", "From", "To", "Subject", "Message-ID", "Auto-Submitted", "MIME-Version", "References", "In-Reply-To"):
            faults.expect(len(mail.get_all(name, [])) == 1, f"{what}: {name} is there {len(mail.get_all(name, []))} times")
        faults.expect(not mail.defects and not any(mail[h].defects for h in mail.keys()), f"{what}: defects {mail.defects}")
        faults.expect(mail["Auto-Submitted"] == "auto-generated", f"{what}: {mail['Auto-Submitted']}")  # RFC 3834 section 5
        faults.expect(abs(email.utils.parsedate_to_datetime(mail["Date"]).timestamp() - time.time()) < 300, f"{what}: {mail['Date']}")
        faults.expect(mail.get_content_type() == "multipart/alternative", f"{what}: {mail.get_content_type()}")
        plain, html = mail.get_body(("plain",)), mail.get_body(("html",))
        faults.expect("lodge-1" in plain.get_content() and "lodge-1" in html.get_content(), f"{what}: no device in the text")
        faults.expect(html.get_content().startswith("<!DOCTYPE html>"), f"{what}: no HTML")
    raised, cleared = mails
    faults.expect(raised["Subject"].startswith("[major] lodge-1: "), f"{what}: subject {raised['Subject']!r}")
    faults.expect(cleared["Subject"].startswith("[cleared] lodge-1: "), f"{what}: subject {cleared['Subject']!r}")
    faults.expect("1. " in raised.get_body(("plain",)).get_content(), f"{what}: no steps")
    faults.expect(raised["References"] == cleared["References"], f"{what}: two conversations")
    faults.expect(raised["Message-ID"] != cleared["Message-ID"], f"{what}: one Message-ID for two")


def main():
    faults = hook_peers.Faults()
    plans = {"grey": ["rcpt 451 not now", "250 taken"], "full": ["452 full", "250 taken"], "nobody": ["rcpt 550 unknown"],
             "wrong": ["rcpt 550 unknown"], "never": ["554 not this"], "slow": ["stall", "250 taken"], "cut": ["drop", "250 taken"]}
    with harness.scratch() as folder:
        authority, certificate = hook_peers.certificates(folder)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate)
        handler = Handler(plans)
        servers = {"none": serve(handler), "tls": serve(handler, ssl_context=context),
                   "starttls": serve(handler, tls_context=context, require_starttls=True, authenticator=authenticator, auth_required=True)}
        password = hook_peers.secret(folder, "password", PASSWORD)
        bad_password = hook_peers.secret(folder, "other", "not the " + PASSWORD)
        nobody = harness.free_port()

        def mail(name, security="none", **more):
            keys = {"server": "127.0.0.1", "port": servers[security].port, "security": security, "from": "frisket@garden.example",
                    "to": [f"{name}@garden.example"], "time_limit": "3s", "give_up_after": "1h", **more}
            return hook_peers.hook(name, "mail", **keys)

        login = {"user": "frisket", "password_file": password, "ca_file": authority}
        hooks = [mail(name) for name in ("grey", "full", "nobody", "never", "slow", "cut")]
        hooks += [mail("desk", "starttls", **login), mail("sealed", "tls", ca_file=authority), mail("foreign", "tls"),
                  mail("stripped", "starttls", port=servers["none"].port, ca_file=authority),
                  mail("locked", "starttls", **dict(login, password_file=bad_password)),
                  mail("some", to=["some@garden.example", "wrong@garden.example"], cc=["copy@garden.example"]),
                  mail("late", port=nobody)]
        with hook_peers.garden(folder, hooks, "127.18.3.2") as garden:
            garden.pull()
            harness.wait_for(lambda: handler.of("desk"))
            garden.insert()
            for name in ("desk", "sealed", "grey", "full", "slow", "cut", "some"):
                harness.wait_for(lambda: len(handler.of(name)) == 2, 90)
            harness.wait_for(lambda: garden.daemon.lines("[hook-given-up]", " nobody:") and garden.daemon.lines("[hook-given-up]", " never:"))
            servers["late"] = serve(handler, nobody)
            harness.wait_for(lambda: len(handler.of("late")) == 2, 120)
            wrong_login = harness.wait_for(lambda: garden.daemon.lines("[hook-failed]", "locked", "logging in", "535"))
            late = garden.daemon.health()["polls"]["late"]
            log = garden.daemon.log.read_text(errors="replace")
            refused = garden.daemon.lines("[hook-receiver-refused]", "some", "550 unknown")
        for name in ("desk", "sealed", "grey", "full", "slow", "cut", "some", "late"):
            check_mail(handler.of(name), faults, name)
        for name in ("foreign", "stripped", "locked", "nobody", "never", "wrong"):
            faults.expect(not handler.of(name), f"{name} got mail")
        faults.expect(handler.tried["nobody"] == 3 and handler.tried["never"] == 3, f"permanent refusals were tried {handler.tried}")
        faults.expect(len(handler.of("copy")) == 2, "who gets a copy got none")
        faults.expect(refused, "the log does not say which receiver was refused")
        faults.expect(PASSWORD not in str(wrong_login), "the log shows what the login was")
        faults.expect(late == 0, f"{late} polls were late while servers stalled")
        faults.expect(PASSWORD not in log, "the password is in the log")
        for server in servers.values():
            server.stop()
    return faults.told("mail")


sys.exit(main())
