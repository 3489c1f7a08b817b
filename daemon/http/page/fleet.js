// The fleet as the daemon tells it: read once, then kept up by its event stream. Of ten thousand devices only what a
// row shows is kept; a whole device is read when somebody looks at it.

import {noticeWord, stateWord, supplyName} from "./words.js";
import {read, readList, follow, Refusal} from "./wire.js";

const readAgain = 60000; // while there is no event stream
const comeBack = 4000;
const breath = 400; // changes come in bursts: what they touch is read a moment later, together
const atOnce = 12; // so many at a time; what is on the screen comes first

// What a row is made of; a daemon that does not know the parameter answers 400 and is asked for everything.
let only = "fields=name,site,location,state,maker,model,serial,supplies,inputs,outputs,covers,detail";
async function withFields(path, reader) {
  if (only === "") return reader(path);
  try {
    return await reader(`${path}${path.includes("?") ? "&" : "?"}${only}`);
  } catch (error) {
    if (!(error instanceof Refusal) || error.status !== 400) throw error;
    only = "";
    return reader(path);
  }
}

function rowOf(device) {
  const notes = [];
  for (const cover of device.covers ?? []) if (cover.open) notes.push(`${cover.name} is open`);
  for (const input of device.inputs ?? []) if (input.empty) notes.push(`${input.name} is empty`);
  for (const output of device.outputs ?? []) if (output.full) notes.push(`${output.name} is full`);
  if (device.detail) notes.push(device.detail);
  const supplies = (device.supplies ?? []).map(
    ({type, colorant, description, part, percent, low, level, remaining, unit, class: kind}) => ({
      type,
      colorant,
      description,
      part,
      percent,
      low,
      level,
      remaining,
      unit,
      class: kind,
    })
  );
  const {name, site, location, state, maker, model, serial} = device;
  const find = [
    name,
    site,
    location,
    stateWord(state),
    maker,
    model,
    serial,
    ...notes,
    ...supplies.flatMap((supply) => [supply.description, supply.part, supply.low ? `low ${supplyName(supply)}` : ""]),
  ];
  // "Bed 9" comes before "Bed 10".
  const place = `${site}\n${location}`.toLowerCase().replace(/\d+/g, (digits) => digits.padStart(6, "0"));
  return {
    name,
    site,
    location,
    place,
    state,
    maker,
    model,
    supplies,
    notes,
    find: find.filter(Boolean).join("\n").toLowerCase(),
  };
}

export class Fleet {
  sites = new Map(); // name to time zone
  devices = new Map(); // name to row
  queues = new Map(); // name to queue
  incidents = new Map(); // id to incident; raised ones only
  edition = 0; // rises whenever a device's row changed
  incidentEdition = 0; // likewise
  tally = new Map(); // state to how many devices are in it
  live = false;
  since = null; // when the lists were last read
  reading = false; // whether they are being read
  locked = ""; // why the daemon will not let this page read
  onScreen = new Set(); // names of devices that are shown

  #changed;
  #news;
  #stale = {devices: new Set(), queues: new Set()};
  #timer = null;
  #now = null;
  #lastId = null;
  #unlock = () => {};

  // changed() after each change; news(text) for what is worth saying aloud; touched(kind, name) of whatever an
  // event named: "incident", "device", "queue" or "all".
  constructor(changed, news, touched) {
    this.#changed = changed;
    this.#news = news;
    this.touched = touched;
  }

  start() {
    this.#keepFollowing();
    setInterval(() => {
      if (!this.live && !this.locked) this.readAll();
    }, readAgain);
  }

  // After a token was given; before, nothing is asked again: refused requests are counted.
  retry() {
    this.locked = "";
    this.#unlock();
  }

  // The stream is opened before the lists are read, so that nothing falls between the two.
  async #keepFollowing() {
    for (;;) {
      try {
        const before = this.#lastId;
        this.#lastId = await follow(
          "/v1/events",
          before,
          () => this.#opened(before),
          (name, data) => this.#take(name, data)
        );
      } catch (error) {
        this.#lastId = null;
        this.#refused(error);
      }
      this.live = false;
      if (this.since === null && !this.locked) this.readAll();
      this.#changed();
      await new Promise((go) => (this.locked ? (this.#unlock = go) : setTimeout(go, comeBack)));
    }
  }

  #opened(before) {
    this.live = true;
    this.locked = "";
    if (before === null) this.readAll();
    this.#changed();
  }

  #refused(error) {
    if (error instanceof Refusal && (error.status === 401 || error.status === 403)) this.locked = error.message;
    else console.warn("reading the fleet:", error.message);
  }

  readAll() {
    this.#now ??= this.#readLists().finally(() => (this.#now = null));
    return this.#now;
  }

  // What is broken first; then the rest, page by page.
  async #readLists() {
    this.reading = true;
    try {
      const fleet = await read("/v1/fleet");
      const fresh = {incidents: new Map(), queues: new Map(), devices: new Map()};
      await readList("/v1/incidents?state=raised&limit=500", (items) =>
        items.forEach((each) => fresh.incidents.set(each.id, each))
      );
      this.sites = new Map(fleet.sites.map((site) => [site.name, site.time_zone ?? "UTC"]));
      this.incidents = fresh.incidents;
      this.incidentEdition++;
      this.since ??= new Date();
      this.#changed();
      await readList("/v1/queues", (items) => items.forEach((each) => fresh.queues.set(each.name, each)));
      this.queues = fresh.queues;
      const first = this.devices.size === 0;
      await withFields("/v1/devices?limit=250", (path) =>
        readList(path, (items) => {
          for (const device of items) {
            if (first) this.#put(rowOf(device));
            else fresh.devices.set(device.name, rowOf(device));
          }
          this.#changed();
        })
      );
      if (!first) this.#replace(fresh.devices);
      this.since = new Date();
    } catch (error) {
      this.#refused(error);
    }
    this.reading = false;
    this.touched("all", "");
    this.#changed();
  }

  #count(row, by) {
    this.tally.set(row.state, (this.tally.get(row.state) ?? 0) + by);
    if (this.tally.get(row.state) === 0) this.tally.delete(row.state);
  }

  #put(row) {
    const before = this.devices.get(row.name);
    if (before) this.#count(before, -1);
    this.devices.set(row.name, row);
    this.#count(row, 1);
    this.edition++;
  }

  #replace(devices) {
    this.devices = devices;
    this.tally.clear();
    for (const row of devices.values()) this.#count(row, 1);
    this.edition++;
  }

  #take(name, data) {
    if (name === "notice") this.#takeNotice(data);
    else if (name === "device") this.#takeDevice(data);
    else if (name === "queue") this.#takeQueue(data);
    else if (name === "configuration" || name === "gap") this.readAll();
  }

  #takeNotice(notice) {
    const incident = notice.incident;
    if (incident.state === "raised") this.incidents.set(incident.id, incident);
    else this.incidents.delete(incident.id);
    this.incidentEdition++;
    if (notice.notice !== "changed") this.#news(`${noticeWord(notice)}: ${incident.summary}`);
    this.touched("incident", incident.device ?? "");
    this.#changed();
  }

  // The event says the state; the rest of the row follows.
  #takeDevice(event) {
    const row = this.devices.get(event.name);
    if (row && row.state !== event.state) {
      this.#put({...row, state: event.state});
    }
    this.touched("device", event.name);
    this.#look("devices", event.name);
    this.#changed();
  }

  #takeQueue(event) {
    this.touched("queue", event.name);
    if (event.state !== null) return this.#look("queues", event.name);
    this.#stale.queues.delete(event.name);
    this.queues.delete(event.name);
    this.#changed();
  }

  #look(kind, name) {
    this.#stale[kind].add(name);
    this.#timer ??= setTimeout(() => this.#readStale(), breath);
  }

  async #readStale() {
    const {devices, queues} = this.#stale;
    const wanted = [...queues]
      .map((name) => ["queues", name])
      .concat(
        [...devices].filter((name) => this.onScreen.has(name)).map((name) => ["devices", name]),
        [...devices].filter((name) => !this.onScreen.has(name)).map((name) => ["devices", name])
      )
      .slice(0, atOnce);
    for (const [kind, name] of wanted) this.#stale[kind].delete(name);
    const answers = await Promise.allSettled(
      wanted.map(([kind, name]) => {
        const path = `/v1/${kind}/${encodeURIComponent(name)}`;
        return kind === "devices" ? withFields(path, read) : read(path);
      })
    );
    for (const [index, answer] of answers.entries()) {
      const [kind, name] = wanted[index];
      if (answer.status !== "fulfilled") continue;
      if (kind === "devices") this.#put(rowOf(answer.value));
      else this.queues.set(name, answer.value);
    }
    this.#timer = devices.size + queues.size > 0 ? setTimeout(() => this.#readStale(), breath) : null;
    this.#changed();
  }
}
