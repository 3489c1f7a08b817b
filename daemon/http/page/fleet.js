// The fleet as the daemon tells it: read once, then kept up by its event stream.

import {noticeWord} from "./words.js";

async function read(path) {
  const response = await fetch(path, {headers: {Accept: "application/json"}, cache: "no-store"});
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return response.json();
}

async function readList(path) {
  const items = [];
  let after = null;
  do {
    const mark = path.includes("?") ? "&" : "?";
    const page = await read(after === null ? path : `${path}${mark}after=${encodeURIComponent(after)}`);
    items.push(...page.items);
    after = page.next;
  } while (after !== null);
  return items;
}

// More changed devices or queues than this are read as a list rather than one by one.
const manyChanges = 25;
const readAgain = 60000;  // while there is no event stream
const comeBack = 5000;

export class Fleet {
  sites = new Map();      // name to time zone
  devices = new Map();    // name to device
  queues = new Map();     // name to queue
  incidents = new Map();  // id to incident; raised ones only
  live = false;
  since = null;  // when the lists were last read

  #changed;
  #news;
  #pending = {devices: new Set(), queues: new Set()};
  #timer = null;
  #reading = null;

  // changed() after each change; news(text) for what is worth saying aloud.
  constructor(changed, news) {
    this.#changed = changed;
    this.#news = news;
  }

  start() {
    this.#connect();
    setInterval(() => {
      if (!this.live) this.readAll();
    }, readAgain);
  }

  // The stream is opened before the lists are read, so that nothing falls between the two.
  #connect() {
    const stream = new EventSource("/v1/events");
    stream.addEventListener("open", () => {
      this.live = true;
      this.readAll();
    });
    stream.addEventListener("error", () => {
      this.live = false;
      this.#changed();
      if (stream.readyState !== EventSource.CLOSED) return;  // the browser comes back by itself
      setTimeout(() => this.#connect(), comeBack);
      if (this.since === null) this.readAll();
    });
    stream.addEventListener("notice", (event) => this.#take(JSON.parse(event.data)));
    stream.addEventListener("device", (event) => this.#look("devices", JSON.parse(event.data).name));
    stream.addEventListener("queue", (event) => this.#lookAtQueue(JSON.parse(event.data)));
    stream.addEventListener("configuration", () => this.readAll());
    stream.addEventListener("gap", () => this.readAll());
  }

  async readAll() {
    if (this.#reading) return this.#reading;
    this.#reading = this.#readLists().finally(() => (this.#reading = null));
    return this.#reading;
  }

  async #readLists() {
    try {
      const [fleet, devices, queues, incidents] = await Promise.all(
        [read("/v1/fleet"), readList("/v1/devices"), readList("/v1/queues"), readList("/v1/incidents?state=raised")]);
      this.sites = new Map(fleet.sites.map((site) => [site.name, site.time_zone ?? "UTC"]));
      this.devices = new Map(devices.map((device) => [device.name, device]));
      this.queues = new Map(queues.map((queue) => [queue.name, queue]));
      this.incidents = new Map(incidents.map((incident) => [incident.id, incident]));
      this.since = new Date();
    } catch (error) {
      console.warn("reading the fleet:", error);
    }
    this.#changed();
  }

  #take(notice) {
    const incident = notice.incident;
    if (incident.state === "raised") this.incidents.set(incident.id, incident);
    else this.incidents.delete(incident.id);
    if (notice.notice !== "changed") this.#news(`${noticeWord(notice)}: ${incident.summary}`);
    this.#changed();
  }

  #lookAtQueue(event) {
    if (event.state !== null) return this.#look("queues", event.name);
    this.#pending.queues.delete(event.name);
    this.queues.delete(event.name);
    this.#changed();
  }

  // Changes come in bursts: what they touch is read a moment later, together.
  #look(kind, name) {
    this.#pending[kind].add(name);
    this.#timer ??= setTimeout(() => this.#readPending(), 300);
  }

  async #readPending() {
    const wanted = Object.entries(this.#pending).flatMap(([kind, names]) => [...names].map((name) => ({kind, name})));
    for (const names of Object.values(this.#pending)) names.clear();
    this.#timer = null;
    if (wanted.length > manyChanges) return this.readAll();
    const readings = wanted.map(({kind, name}) => read(`/v1/${kind}/${encodeURIComponent(name)}`));
    for (const [index, reading] of (await Promise.allSettled(readings)).entries()) {
      const {kind, name} = wanted[index];
      if (reading.status === "fulfilled") this[kind].set(name, reading.value);
    }
    this.#changed();
  }
}
