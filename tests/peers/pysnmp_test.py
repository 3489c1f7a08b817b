#!/usr/bin/python3
"""Debian's python3-pysnmp4 serves a live Printer MIB and tells of each change; the daemon's view equals it."""
import sys

import agents
import telling_peers

sys.exit(telling_peers.run("pysnmp", ["/usr/bin/python3", agents.HERE / "pysnmp_agent.py"], "127.0.0.7"))
