#!/usr/bin/python3
"""Checks that a webhook's notice is Frisket's, whole and new. Standard library only; docs/hooks.md says how.

    verify_notice.py SECRET_FILE TIME SIGNATURE < BODY

TIME and SIGNATURE are the headers Frisket-Time and Frisket-Signature, BODY the octets of the request as they
came. Exit status 0: believe it; 1: do not; the reason is printed.
"""
import hashlib
import hmac
import pathlib
import sys
import time

OLDEST = 300  # seconds; also how far the two clocks may be apart


def trouble(secret, sent_at, signature, body, now):
    """Why the notice is not to be believed; empty if it is."""
    if not (sent_at.isascii() and sent_at.isdigit()):
        return "the time is no number of seconds"
    if abs(now - int(sent_at)) > OLDEST:
        return "the time is too long ago, or yet to come"
    wanted = "v1=" + hmac.new(secret, sent_at.encode() + b"." + body, hashlib.sha256).hexdigest()
    # Not ==: how long that takes would tell how much of a guess is right.
    if not hmac.compare_digest(wanted.encode(), signature.encode()):
        return "the signature is wrong"
    return ""


def main():
    secret_file, sent_at, signature = sys.argv[1:]
    secret = pathlib.Path(secret_file).read_bytes().removesuffix(b"\n").removesuffix(b"\r")
    why = trouble(secret, sent_at, signature, sys.stdin.buffer.read(), time.time())
    if why:
        print(why)
    return 1 if why else 0


if __name__ == "__main__":
    sys.exit(main())
