// The page: what is broken first, then the print queues, then every device by site.
import {element, said, arrange} from "./dom.js";
import {Fleet} from "./fleet.js";
import * as plates from "./plates.js";
import * as queues from "./queues.js";
import * as tickets from "./tickets.js";
import {count, severities} from "./words.js";

const at = (id) => document.getElementById(id);
const ticketNodes = new Map();  // id to {incident, minute, node}
const plateNodes = new Map();   // name to {device, node}
const slipNodes = new Map();    // name to {queue, minute, node}
const bedNodes = new Map();     // site to {node, row, note}

let drawing = false;
const fleet = new Fleet(drawSoon, (text) => (at("news").textContent = text));

function drawSoon() {
  if (drawing) return;
  drawing = true;
  requestAnimationFrame(() => {
    drawing = false;
    draw();
  });
}

const zoneOf = (site) => fleet.sites.get(site) ?? "UTC";

function fits(site, texts) {
  const wanted = at("site").value;
  if (wanted && site !== wanted) return false;
  const find = at("find").value.trim().toLowerCase();
  return !find || texts.some((text) => text && text.toLowerCase().includes(find));
}

function incidentFits(incident) {
  const device = fleet.devices.get(incident.device);
  return fits(incident.site, [incident.summary, incident.kind, incident.device, incident.queue,
    incident.place, device?.location,
    ...incident.remedy.carry.flatMap((part) => [part.part, part.colorant])]);
}

function deviceFits(device) {
  return fits(device.site, [device.name, device.location, device.maker, device.model, device.serial, device.state,
    ...device.supplies.flatMap((supply) => [supply.description, supply.part])]);
}

function queueFits(queue) {
  return fits(queue.site, [queue.name, queue.device, queue.spooler, queue.location, queue.info, queue.state,
    ...queue.reasons.map((reason) => reason.keyword)]);
}

function ticketNode(incident, now, first) {
  const minute = Math.floor(now / 60000);
  const device = fleet.devices.get(incident.device);
  const known = ticketNodes.get(incident.id);
  if (known && known.incident === incident && known.device === device && known.minute === minute) return known.node;
  const held = known?.node.contains(document.activeElement);
  const node = tickets.ticket(incident, device, zoneOf(incident.site), now, first, known?.node);
  if (held) {
    // Only the time moves while somebody stands on the ticket with the keyboard.
    const before = [...known.node.querySelectorAll("summary")].indexOf(document.activeElement);
    requestAnimationFrame(() => node.querySelectorAll("summary")[before]?.focus());
  }
  ticketNodes.set(incident.id, {incident, device, minute, node});
  return node;
}

function plateNode(device) {
  const known = plateNodes.get(device.name);
  if (known && known.device === device) return known.node;
  const node = plates.plate(device);
  plateNodes.set(device.name, {device, node});
  return node;
}

function slipNode(queue, now) {
  const minute = Math.floor(now / 60000);
  const known = slipNodes.get(queue.name);
  if (known && known.queue === queue && known.minute === minute) return known.node;
  const node = queues.slip(queue, now);
  slipNodes.set(queue.name, {queue, minute, node});
  return node;
}

function bed(site) {
  if (!bedNodes.has(site)) {
    const note = element("small", {});
    const row = element("div", {class: "row"});
    bedNodes.set(site, {row, note, node: element("section", {class: "bed"}, element("h3", {}, said(site), note), row)});
  }
  return bedNodes.get(site);
}

function drawTickets(now) {
  const shown = [...fleet.incidents.values()].filter(tickets.isOpen).filter(incidentFits).sort(tickets.inOrder);
  arrange(at("tickets"), shown.map((incident, place) => ticketNode(incident, now, place === 0)));
  for (const id of ticketNodes.keys()) if (!fleet.incidents.has(id)) ticketNodes.delete(id);
  at("no-tickets").hidden = shown.length > 0 || fleet.since === null;
  const numbers = severities.map((severity) => [shown.filter((each) => each.severity === severity).length, severity]);
  const some = numbers.filter(([number]) => number > 0).map(([number, severity]) => `${number} ${severity}`);
  return some.length ? `${some.join(", ")} to mend` : "nothing to mend";
}

function drawPlates() {
  const shown = [...fleet.devices.values()].filter(deviceFits);
  const bySite = new Map();
  for (const device of shown) {
    if (!bySite.has(device.site)) bySite.set(device.site, []);
    bySite.get(device.site).push(device);
  }
  const beds = [];
  for (const site of [...bySite.keys()].sort()) {
    const devices = bySite.get(site).sort(plates.inOrder);
    const {node, row, note} = bed(site);
    note.textContent = ` ${count(devices.length, "device")}`;
    arrange(row, devices.map(plateNode));
    beds.push(node);
  }
  arrange(at("plates"), beds);
  for (const name of plateNodes.keys()) if (!fleet.devices.has(name)) plateNodes.delete(name);
  at("no-plates").hidden = shown.length > 0 || fleet.since === null;
  const silent = shown.filter((device) => device.state === "silent").length;
  return silent ? `${count(shown.length, "device")}, ${silent} silent` : count(shown.length, "device");
}

function drawQueues(now) {
  at("queues-part").hidden = fleet.queues.size === 0;
  const shown = [...fleet.queues.values()].filter(queueFits).sort(queues.inOrder);
  arrange(at("queues"), shown.map((queue) => slipNode(queue, now)));
  for (const name of slipNodes.keys()) if (!fleet.queues.has(name)) slipNodes.delete(name);
  at("no-queues").hidden = shown.length > 0;
}

function drawSites() {
  const select = at("site");
  const names = ["", ...fleet.sites.keys()];
  if ([...select.options].map((option) => option.value).join("\n") === names.join("\n")) return;
  const chosen = select.value;
  select.replaceChildren(...names.map((name) => element("option", {value: name}, name || "all sites")));
  select.value = names.includes(chosen) ? chosen : "";
}

function draw() {
  const link = at("link");
  const word = fleet.live ? "live" : fleet.since ? `not live; as of ${fleet.since.toLocaleTimeString()}` : "connecting";
  if (link.textContent !== word) link.textContent = word;
  link.dataset.live = fleet.live || !fleet.since ? "yes" : "no";
  if (fleet.since === null) return;
  drawSites();
  drawQueues(Date.now());
  const standing = `${drawTickets(Date.now())}; ${drawPlates()}.`;
  at("standing").textContent = standing[0].toUpperCase() + standing.slice(1);
  document.title = `${standing.split(";")[0]} \u00B7 Frisket`;
}

at("narrow").addEventListener("submit", (event) => event.preventDefault());
at("narrow").addEventListener("input", drawSoon);
setInterval(drawSoon, 30000);
fleet.start();
