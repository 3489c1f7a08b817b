// What changes something: always after a dialog that says what will happen, and with the token where one is needed.
import {element, said, become} from "./dom.js";
import {send, token, Refusal} from "./wire.js";

const at = (id) => document.getElementById(id);
const byName = "frisket-by";

const incidentActs = {
  ack: [
    "Acknowledge",
    ["Everybody sees that you have seen it and are at it.", "It stays raised until the device says that it is over."],
  ],
  shelve: [
    "Shelve",
    [
      "It leaves the list of what is to be mended for the time below, and nobody is told of it.",
      "If it gets worse, it comes back before.",
    ],
  ],
  close: [
    "Close",
    [
      "It leaves the list: it needs nobody any more.",
      "If it gets worse or is raised again, it is open again. The device is not changed.",
    ],
  ],
  "take-back": ["Take back", ["What was said of it no longer holds: it stands in the list as if nobody had seen it."]],
};
const spans = [
  ["1h", "1 hour"],
  ["4h", "4 hours"],
  ["8h", "8 hours"],
  ["24h", "1 day"],
  ["72h", "3 days"],
  ["168h", "a week"],
];

const queueActs = {
  pause: ["Pause", "pause", {}],
  resume: ["Let go on", "resume", {}],
  "cancel-head": ["Cancel the first job", "cancel", {head: true}],
  "cancel-waiting": ["Cancel all that wait", "cancel", {waiting: true}],
  restart: ["Restart its spooler", "restart", {}],
};

function field(id, text, input, note) {
  return element(
    "p",
    {class: "field"},
    element("label", {for: id}, text),
    input,
    note ? element("small", {id: `${id}-note`}, note) : null
  );
}

const clear = (id) => (at(id) ? at(id).value.trim() : "");

let running = null; // what the open dialog is for: {act}

// heading and lines say what will happen; fields are nodes; act({by, note}, token) does it and gives what to say of it,
// or the next dialog.
function ask({heading, lines, fields = [], button, act}) {
  running = {act};
  const held = token.get();
  become(at("ask-body"), [
    element("h2", {id: "ask-title"}, heading),
    element(
      "ul",
      {id: "ask-what", class: "what"},
      lines.map((text) => element("li", {}, said(text)))
    ),
    ...fields,
    field(
      "ask-by",
      "Your name",
      element("input", {id: "ask-by", autocomplete: "name", maxlength: 120, value: localStorage.getItem(byName) ?? ""}),
      "It is written down with what was done."
    ),
    field(
      "ask-token",
      "Token",
      element("input", {
        id: "ask-token",
        type: "password",
        autocomplete: "off",
        spellcheck: "false",
        value: held,
        "aria-describedby": "ask-token-note",
      }),
      "One with the right to operate; kept in this tab only. Leave it empty where this daemon has no tokens."
    ),
    element("p", {id: "ask-trouble", role: "alert", class: "trouble"}),
    element(
      "p",
      {class: "acts"},
      element("button", {type: "submit", id: "ask-do"}, button),
      element("button", {type: "button", "data-act": "leave"}, "Leave it")
    ),
  ]);
  at("ask-by").value = localStorage.getItem(byName) ?? "";
  at("ask-token").value = held;
  at("ask-do").disabled = false;
  if (!at("ask").open) at("ask").showModal();
}

export function leave() {
  running = null;
  at("ask").close();
}

async function confirmed(done) {
  const mine = running;
  if (!mine) return;
  const by = clear("ask-by");
  if (by) localStorage.setItem(byName, by);
  const held = clear("ask-token");
  at("ask-do").disabled = true;
  at("ask-trouble").textContent = "";
  try {
    const said = await mine.act({by: by || undefined, note: clear("ask-note") || undefined}, held);
    token.set(held); // only now: one that is wrong would spoil reading too
    if (running !== mine) return done(said); // left meanwhile, or the next dialog is open
    if (typeof said === "object") return ask(said);
    leave();
    done(said);
  } catch (error) {
    if (running !== mine) return done(error.message);
    const wants = error instanceof Refusal && (error.status === 401 || error.status === 403);
    at("ask-trouble").textContent = `${wants ? "It was not done: " : "It could not be done: "}${error.message}`;
    at("ask-do").disabled = false;
    (wants ? at("ask-token") : at("ask-do")).focus();
  }
}

// done(text) when something was done and the dialog is closed.
export function listen(done) {
  at("ask-form").addEventListener("submit", (event) => {
    event.preventDefault();
    confirmed(done);
  });
  at("ask").addEventListener("close", () => (running = null));
}

const note = () =>
  field("ask-note", "A note, if you like", element("input", {id: "ask-note", autocomplete: "off", maxlength: 400}));

export function incidentAct(verb, incident) {
  const [word, lines] = incidentActs[verb];
  const path = `/v1/incidents/${encodeURIComponent(incident.id)}/${verb}`;
  const span = field(
    "ask-for",
    "For",
    element(
      "select",
      {id: "ask-for"},
      spans.map(([key, text]) => element("option", {value: key, selected: key === "8h"}, text))
    )
  );
  ask({
    heading: `${word}: ${incident.summary}`,
    lines: [
      ...lines,
      `This concerns ${[incident.place, incident.device ?? incident.queue].filter(Boolean).join(" of ") || incident.kind}; it is written down as done by you.`,
    ],
    fields: verb === "shelve" ? [span, note()] : [note()],
    button: word,
    act: async (words, held) => {
      await send(path, {...words, by: words.by ?? "", ...(verb === "shelve" ? {for: at("ask-for").value} : {})}, held);
      return `${word}: done`;
    },
  });
}

export function serviceAct(item, changed) {
  const title = item.title ?? item.task;
  ask({
    heading: `It is done: ${title}`,
    lines: [
      `It is written down that this was done on ${item.device} just now, by you.`,
      "The next time is reckoned from today. Nothing is sent to the device.",
    ],
    fields: [note()],
    button: "Write it down",
    act: async (words, held) => {
      await send(`/v1/upkeep/${encodeURIComponent(item.id)}/done`, {...words, by: words.by ?? ""}, held);
      changed();
      return `${title}: written down`;
    },
  });
}

// First it is asked what would be done; only the second dialog does it.
function twice({heading, path, body, first, button, tell}) {
  ask({
    heading,
    lines: [first, "Nothing is done yet: this asks what would be."],
    button: "See what would happen",
    act: async (words, held) => {
      const dry = await send(path, {...words, ...body, dry_run: true}, held);
      const jobs = (dry.jobs ?? []).map((job) => `job ${job.id}, ${job.state}`);
      return {
        heading,
        lines: [dry.said, ...jobs],
        button,
        act: async (again, still) => tell(await send(path, {...again, ...body}, still)),
      };
    },
  });
}

export function queueAct(verb, name) {
  const [word, route, body] = queueActs[verb];
  twice({
    heading: `${word}: queue ${name}`,
    path: `/v1/queues/${encodeURIComponent(name)}/${route}`,
    body,
    first: `The print spooler of ${name} would be asked for this.`,
    button: word,
    tell: (answer) => [answer.said, answer.afterwards].filter(Boolean).join(" "),
  });
}

export function testprint(name) {
  twice({
    heading: `Print a test page on ${name}`,
    path: `/v1/devices/${encodeURIComponent(name)}/testprint`,
    body: {},
    first: "One sheet would be printed and followed for up to six minutes.",
    button: "Print it now",
    tell: (answer) => answer.said,
  });
}
