#!/usr/bin/python3
"""The npm package net-snmp serves a live Printer MIB and tells of each change; the daemon's view equals it."""
import sys

import agents
import telling_peers

sys.exit(telling_peers.run("npm net-snmp", ["node", agents.HERE / "node/agent.js", telling_peers.node_modules()], "127.0.0.6"))
