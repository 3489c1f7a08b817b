// An SNMP agent and notification originator by the npm package net-snmp: it serves a record file.
//
//   node agent.js MODULES RECORD ADDRESS PORT
//
// MODULES is the folder of node_modules. One JSON command a line on standard input, one JSON answer a
// line: {"do": "set", "oid": "...", "value": "..."} as the record writes values, {"do": "drop",
// "entry": "...", "index": [1, 7]} for a whole row, {"do": "tell", "how": "1", "2c", "inform", "trap3" or "inform3",
// "port": P, "oid": "..."}. Ends when its standard input ends.
"use strict";
const fs = require("fs");
const path = require("path");
const readline = require("readline");

const [modules, recordFile, address, port] = process.argv.slice(2);
const snmp = require(path.join(modules, "net-snmp"));

const types = {
  "2": snmp.ObjectType.Integer, "4": snmp.ObjectType.OctetString, "4x": snmp.ObjectType.OctetString,
  "6": snmp.ObjectType.OID, "65": snmp.ObjectType.Counter, "66": snmp.ObjectType.Gauge, "67": snmp.ObjectType.TimeTicks,
};

function valueOf(tag, text) {
  if (tag === "4") return Buffer.from(text, "latin1");
  if (tag === "4x") return Buffer.from(text, "hex");
  return tag === "6" ? text : Number(text);
}

const record = fs.readFileSync(recordFile, "ascii").trim().split("\n").map((line) => {
  const [oid, tag, ...rest] = line.split("|");
  return {oid, tag, value: valueOf(tag, rest.join("|"))};
});
const tagOf = new Map(record.map((row) => [row.oid, row.tag]));

// Conceptual tables here have their entries at ten arcs (1.3.6.1.2.1.43.G.T.1, 1.3.6.1.2.1.25.3.T.1);
// the rest is column and index.
const kEntryArcs = 10;
function place(oid) {
  const arcs = oid.split(".");
  return {entry: arcs.slice(0, kEntryArcs).join("."), column: Number(arcs[kEntryArcs]), index: arcs.slice(kEntryArcs + 1).map(Number)};
}

const agent = snmp.createAgent({port: Number(port), address, accessControlModelType: snmp.AccessControlModelType.None},
  (error) => { if (error) console.error(String(error)); });
agent.getAuthorizer().addCommunity("garden");
const user = {name: "warden", level: snmp.SecurityLevel.authPriv, authProtocol: snmp.AuthProtocols.sha256,
              authKey: "moss and fern", privProtocol: snmp.PrivProtocols.aes, privKey: "liverwort"};
agent.getAuthorizer().addUser(user);
const mib = agent.getMib();

const tables = new Map();
for (const row of record) {
  if (row.oid.endsWith(".0")) {
    const oid = row.oid.slice(0, -2);
    mib.registerProvider({name: oid, type: snmp.MibProviderType.Scalar, oid, scalarType: types[row.tag],
                          maxAccess: snmp.MaxAccess["read-only"]});
    mib.setScalarValue(oid, row.value);
    continue;
  }
  const {entry, column, index} = place(row.oid);
  if (!tables.has(entry)) tables.set(entry, {columns: new Map(), rows: new Map()});
  const table = tables.get(entry);
  table.columns.set(column, types[row.tag]);
  const key = index.join(".");
  if (!table.rows.has(key)) table.rows.set(key, {index, cells: new Map()});
  table.rows.get(key).cells.set(column, row.value);
}

// Columns that carry the index and are not accessible, as most of the Printer MIB's index columns.
const kFirstIndexColumn = 1000;
for (const [entry, table] of tables) {
  const arcs = [...table.rows.values()][0].index.length;
  const indexColumns = Array.from({length: arcs}, (_, i) => kFirstIndexColumn + i);
  const columns = [...table.columns.keys()].sort((a, b) => a - b);
  mib.registerProvider({
    name: entry, type: snmp.MibProviderType.Table, oid: entry, maxAccess: snmp.MaxAccess["not-accessible"],
    tableColumns: [
      ...columns.map((number) => ({number, name: "c" + number, type: table.columns.get(number), maxAccess: snmp.MaxAccess["read-only"]})),
      ...indexColumns.map((number) => ({number, name: "i" + number, type: snmp.ObjectType.Integer, maxAccess: snmp.MaxAccess["not-accessible"]})),
    ],
    tableIndex: indexColumns.map((number) => ({columnName: "i" + number})),
  });
  for (const row of table.rows.values()) {
    for (const number of columns) if (!row.cells.has(number)) throw new Error(`row ${row.index} of ${entry} lacks column ${number}`);
    mib.addTableRow(entry, [...columns.map((number) => row.cells.get(number)), ...row.index]);
  }
}

// RFC 3805's alert as the standard has it; the cells of the alert row itself are sent along.
function tell({how, port: to, oid}, answer) {
  const options = {trapPort: to, sourceAddress: address, retries: 1, timeout: 5000};
  const session = how.endsWith("3") ? snmp.createV3Session("127.0.0.1", user, options)
    : snmp.createSession("127.0.0.1", "garden", {...options, version: how === "1" ? snmp.Version1 : snmp.Version2c});
  const varbinds = [{oid: "1.3.6.1.2.1.43.18.1.1.2.1.7", type: snmp.ObjectType.Integer, value: 3}];
  const done = (error, acknowledged) => {
    session.close();
    answer(error ? {error: String(error)} : {ok: true, acknowledged: (acknowledged || []).length});
  };
  if (how.startsWith("inform")) session.inform(oid, varbinds, done);
  else session.trap(oid, varbinds, {agentAddr: address}, done);
}

function carryOut(command, answer) {
  if (command.do === "set") {
    const value = valueOf(tagOf.get(command.oid), command.value);
    const {entry, column, index} = place(command.oid);
    mib.setTableSingleCell(entry, column, index, value);
    answer({ok: true});
  } else if (command.do === "drop") {
    mib.deleteTableRow(command.entry, command.index);
    answer({ok: true});
  } else if (command.do === "tell") {
    tell(command, answer);
  } else {
    answer({error: "unknown command"});
  }
}

const lines = readline.createInterface({input: process.stdin});
lines.on("line", (line) => {
  const answer = (what) => console.log(JSON.stringify(what));
  try {
    carryOut(JSON.parse(line), answer);
  } catch (error) {
    answer({error: String(error)});
  }
});
lines.on("close", () => process.exit(0));
console.log(JSON.stringify({ready: true}));
