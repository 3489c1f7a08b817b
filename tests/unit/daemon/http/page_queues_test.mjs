// The page's slips for print queues, and how the event stream keeps them up, in a document that knows text and elements and nothing that parses markup.
//
//   node page_queues_test.mjs FOLDER_OF_THE_PAGE
import assert from "node:assert/strict";
import {cpSync, mkdtempSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import test, {after} from "node:test";

// A copy, since the page's files are modules to a browser but not to every Node.js.
const folder = mkdtempSync(join(tmpdir(), "page-"));
after(() => rmSync(folder, {recursive: true}));
cpSync(process.argv[2], folder, {recursive: true});
writeFileSync(join(folder, "package.json"), '{"type": "module"}');

class Element {
  constructor(tag) {
    this.tag = tag;
    this.attributes = {};
    this.children = [];
  }
  setAttribute(name, value) { this.attributes[name] = value; }
  append(...children) { this.children.push(...children); }
  get text() { return this.children.map((child) => (typeof child === "string" ? child : child.text)).join(""); }
  get tags() { return [this.tag, ...this.children.flatMap((child) => (typeof child === "string" ? [] : child.tags))]; }
  find(name) {
    if (this.attributes.class?.split(" ").includes(name)) return this;
    return this.children.filter((child) => typeof child !== "string").map((child) => child.find(name)).find(Boolean);
  }
}
globalThis.sessionStorage = {getItem: () => null};
globalThis.document = {createElement: (tag) => new Element(tag)};

const queues = await import(join(folder, "queues.js"));
const {inOrder} = queues;
const slip = (queue, at) => queues.slip(queue, at, false, null);

const now = Date.parse("2026-01-05T08:10:00Z");
function queue(more = {}) {
  return {
    name: "herbarium", device: "herbarium-copier", location: "Herbarium, first floor", site: "glasshouse",
    spooler: null, state: "processing", accepting: true, reasons: [], message: "", detail: "",
    last_reading_at: "2026-01-05T08:08:00.000Z",
    jobs: {known: true, queued: 3, waiting: 2, held: 1, oldest_waiting_seconds: 600, head: null}, ...more,
  };
}

test("a slip names the queue, its device, its place and what waits, with an age that goes on", () => {
  const made = slip(queue(), now);
  assert.equal(made.find("stands").text, "Herbarium, first floor, glasshouse");
  assert.match(made.text, /prints on herbarium-copier/);
  assert.equal(made.find("waits").text, "2 jobs wait, the oldest for 12 min; 1 held");
  assert.equal(made.find("state").text, "\u21BB printing");
  assert.equal(made.find("notes"), undefined);
});

test("no list of jobs is not the same as no jobs", () => {
  const waits = (jobs) => slip(queue({jobs: {...queue().jobs, ...jobs}}), now).find("waits").text;
  assert.equal(waits({waiting: 0, held: 0, oldest_waiting_seconds: null}), "nothing waits");
  assert.equal(waits({waiting: 1, held: 0, oldest_waiting_seconds: null}), "1 job waits");
  const unknown = {known: false, waiting: null, held: null, oldest_waiting_seconds: null};
  assert.equal(waits({...unknown, queued: null}), "does not list its jobs");
  assert.equal(waits({...unknown, queued: 1}), "1 job");
});

test("why a queue does not print stands on its slip", () => {
  const said = {accepting: false, reasons: [{keyword: "paused", mark: ""}, {keyword: "media-empty", mark: "error"}],
    message: "Paused by robin", detail: "no answer"};
  const notes = slip(queue(said), now).find("notes");
  assert.deepEqual(notes.children.map((item) => item.text),
    ["takes no jobs", "paused", "media-empty, error", "Paused by robin", "no answer"]);
});

test("every state has a shape and words, and the worst comes first", () => {
  const states = ["stopped", "silent", "absent", "refused", "nonsense", "unknown", "processing", "idle"];
  const words = states.map((state) => slip(queue({state}), now).find("state").text);
  for (const each of words) assert.match(each, /^[^a-z ] [a-z]/);
  assert.equal(new Set(words).size, states.length);
  const mixed = [...states].sort();
  assert.deepEqual(mixed.sort((a, b) => inOrder(queue({state: a}), queue({state: b}))), states);
});

test("hostile texts stay text", () => {
  const hostile = "</h4><script>alert(1)</script><img src=x onerror=alert(1)>\u202E\"'";
  const made = slip(queue({name: hostile, device: hostile, location: hostile, site: hostile, message: hostile,
    detail: hostile, reasons: [{keyword: hostile, mark: hostile}]}), now);
  assert.deepEqual(new Set(made.tags), new Set(["li", "a", "strong", "span", "bdi", "p", "ul"]));
  assert.equal(made.children[0].children[0].text, hostile);
  assert.equal(made.children[0].attributes.href, `#/queues/${encodeURIComponent(hostile)}`);
  assert.equal(made.find("notes").children.length, 3);
  assert.equal(made.find("state").attributes.class, "state processing");
});

test("the event stream brings a queue, changes it and takes it away", async () => {
  const served = {"/v1/fleet": {sites: []}, "/v1/devices?limit=250": {items: [], next: null}, "/v1/queues": {items: [], next: null},
    "/v1/incidents?state=raised&limit=500": {items: [], next: null}};
  const timers = new Map();  // milliseconds to what is to be done then
  let stream = null;
  globalThis.fetch = async (path) => path === "/v1/events"
    ? {ok: true, body: new ReadableStream({start: (controller) => (stream = controller)})}
    : {ok: path in served, json: async () => served[path] ?? {}};
  globalThis.setInterval = () => 0;
  const {Fleet} = await import(join(folder, "fleet.js"));
  let changes = 0;
  const waits = [];
  const fleet = new Fleet(() => {
    changes++;
    for (const go of waits.splice(0)) go();
  }, () => {}, () => {});
  const changed = async (what) => {
    while (!what()) await new Promise((go) => waits.push(go));
  };
  globalThis.setTimeout = (later, after) => (timers.set(after, later), 0);
  fleet.start();
  await changed(() => fleet.live && !fleet.reading);
  assert.equal(fleet.queues.size, 0);

  const tell = (data) => stream.enqueue(new TextEncoder().encode(`event: queue\nid: run-1\ndata: ${JSON.stringify(data)}\n\n`));
  const seen = async (what) => {  // the stream is read in turns of the event loop, of which nobody tells
    for (let turn = 0; turn < 1000 && !what(); turn++) await new Promise((go) => setImmediate(go));
    assert.ok(what());
  };
  served["/v1/queues/seeds%2Flabel"] = queue({name: "seeds/label"});
  tell({name: "seeds/label", state: "processing"});
  tell({name: "gone", state: "idle"});  // not served any more when it is asked for
  await seen(() => timers.has(400));
  await timers.get(400)();
  assert.deepEqual([...fleet.queues.keys()], ["seeds/label"]);
  tell({name: "seeds/label", state: null});
  await seen(() => fleet.queues.size === 0);
  assert.ok(changes > 0);
});
