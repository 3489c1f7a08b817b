#!/usr/bin/python3
"""An SNMP agent and notification originator by Debian's python3-pysnmp4: it serves a record file.

    pysnmp_agent.py RECORD ADDRESS PORT

The commands on standard input and the answers are those of node/agent.js. One thread serves the agent,
notifications are sent by the library's synchronous high-level API from this one.
"""
import json
import sys
import threading

from pysnmp import hlapi
from pysnmp.carrier.asyncore.dgram import udp
from pysnmp.entity import config, engine
from pysnmp.entity.rfc3413 import cmdrsp, context
from pysnmp.proto import rfc1902
from pysnmp.smi import exval, instrum

KINDS = {"2": rfc1902.Integer32, "65": rfc1902.Counter32, "66": rfc1902.Gauge32, "67": rfc1902.TimeTicks}

USER, AUTHENTICATION, PRIVACY = "warden", "moss and fern", "liverwort"


def key_of(oid):
    return tuple(int(arc) for arc in oid.split("."))


def value_of(tag, text):
    if tag == "4":
        return rfc1902.OctetString(text.encode("latin-1"))
    if tag == "4x":
        return rfc1902.OctetString(hexValue=text)
    if tag == "6":
        return rfc1902.ObjectIdentifier(text)
    return KINDS[tag](int(text))


class Served(instrum.AbstractMibInstrumController):
    """The record as the library asks for it; replaced as a whole, so that no request sees half a change."""

    def __init__(self, file):
        self.tags, rows = {}, {}
        with open(file, encoding="ascii") as lines:
            for line in lines:
                oid, tag, value = line.rstrip("\n").split("|", 2)
                self.tags[oid] = tag
                rows[key_of(oid)] = value_of(tag, value)
        self.take(rows)

    def take(self, rows):
        self.state = (rows, sorted(rows))

    def readVars(self, varBinds, acInfo=(None, None)):
        rows, _ = self.state
        return [(name, rows.get(tuple(name), exval.noSuchInstance)) for name, _ in varBinds]

    def readNextVars(self, varBinds, acInfo=(None, None)):
        rows, order = self.state
        answer = []
        for name, _ in varBinds:
            after = next((key for key in order if key > tuple(name)), None)
            answer.append((name, exval.endOfMib) if after is None else (rfc1902.ObjectName(after), rows[after]))
        return answer

    def change(self, command):
        rows = dict(self.state[0])
        if command["do"] == "set":
            rows[key_of(command["oid"])] = value_of(self.tags[command["oid"]], command["value"])
        else:
            entry, index = key_of(command["entry"]), tuple(command["index"])
            for key in [key for key in rows if key[:len(entry)] == entry and key[len(entry) + 1:] == index]:
                del rows[key]
        self.take(rows)


def serve(served, address, port):
    snmp = engine.SnmpEngine()
    config.addTransport(snmp, udp.domainName, udp.UdpTransport().openServerMode((address, port)))
    config.addV1System(snmp, "area", "garden")
    for model in (1, 2):
        config.addVacmUser(snmp, model, "area", "noAuthNoPriv", (1, 3, 6))
    config.addV3User(snmp, USER, config.usmHMAC192SHA256AuthProtocol, AUTHENTICATION, config.usmAesCfb128Protocol, PRIVACY)
    config.addVacmUser(snmp, 3, USER, "authPriv", (1, 3, 6))
    about = context.SnmpContext(snmp)
    about.unregisterContextName(rfc1902.OctetString(""))
    about.registerContextName(rfc1902.OctetString(""), served)
    for responder in (cmdrsp.GetCommandResponder, cmdrsp.NextCommandResponder, cmdrsp.BulkCommandResponder):
        responder(snmp, about)
    snmp.transportDispatcher.jobStarted(1)
    threading.Thread(target=snmp.transportDispatcher.runDispatcher, daemon=True).start()


def tell(command, address):
    target = hlapi.UdpTransportTarget(("127.0.0.1", command["port"]), timeout=5, retries=1)
    target.setLocalAddress((address, 0))
    told = hlapi.NotificationType(hlapi.ObjectIdentity(command["oid"]))
    told.addVarBinds(("1.3.6.1.2.1.43.18.1.1.2.1.7", rfc1902.Integer32(3)))
    if command["how"].endswith("3"):
        sender = hlapi.UsmUserData(USER, AUTHENTICATION, PRIVACY, hlapi.usmHMAC192SHA256AuthProtocol, hlapi.usmAesCfb128Protocol)
    else:
        sender = hlapi.CommunityData("garden", mpModel=0 if command["how"] == "1" else 1)
    kind = "inform" if command["how"].startswith("inform") else "trap"
    error, status, _, variables = next(hlapi.sendNotification(
        hlapi.SnmpEngine(), sender, target, hlapi.ContextData(), kind, told))
    if error or status:
        return {"error": f"{error} {status}"}
    return {"ok": True, "acknowledged": len(variables)}


def main():
    record, address, port = sys.argv[1], sys.argv[2], int(sys.argv[3])
    served = Served(record)
    serve(served, address, port)
    print(json.dumps({"ready": True}), flush=True)
    for line in sys.stdin:
        command = json.loads(line)
        if command["do"] == "tell":
            answer = tell(command, address)
        else:
            served.change(command)
            answer = {"ok": True}
        print(json.dumps(answer), flush=True)


main()
