// What changes something: always after a dialog that says what will happen, and with the token where one is needed.
import {send} from "./wire.js";
import {ask, twice, clear, choice, note} from "./dialog.js";
import {element} from "./dom.js";

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

export function incidentAct(verb, incident) {
  const [word, lines] = incidentActs[verb];
  const path = `/v1/incidents/${encodeURIComponent(incident.id)}/${verb}`;
  const span = choice("ask-for", "For", spans, "8h");
  ask({
    heading: `${word}: ${incident.summary}`,
    lines: [
      ...lines,
      `This concerns ${[incident.place, incident.device ?? incident.queue].filter(Boolean).join(" of ") || incident.kind}; it is written down as done by you.`,
    ],
    fields: verb === "shelve" ? [span, note()] : [note()],
    button: word,
    act: async (words, held) => {
      await send(path, {...words, by: words.by ?? "", ...(verb === "shelve" ? {for: clear("ask-for")} : {})}, held);
      return `${word}: done`;
    },
  });
}

// Opens the dialog for one task of one device.
export function serviceButton(id, title, device) {
  const task = {"data-id": id, "data-title": title, "data-device": device};
  return element("button", {type: "button", "data-act": "service", ...task}, "It is done \u2026");
}

export function serviceAct({id, title, device}, changed) {
  ask({
    heading: `It is done: ${title}`,
    lines: [
      `It is written down that this was done on ${device} just now, by you.`,
      "The next time is reckoned from today. Nothing is sent to the device.",
    ],
    fields: [note()],
    button: "Write it down",
    act: async (words, held) => {
      await send(`/v1/upkeep/${encodeURIComponent(id)}/done`, {...words, by: words.by ?? ""}, held);
      changed();
      return `${title}: written down`;
    },
  });
}

const seen = (answer) => [answer.said, answer.afterwards].filter(Boolean).join(" ");

export function queueAct(verb, name) {
  const [word, route, body] = queueActs[verb];
  twice({
    heading: `${word}: queue ${name}`,
    path: `/v1/queues/${encodeURIComponent(name)}/${route}`,
    body: () => body,
    first: `The print spooler of ${name} would be asked for this.`,
    button: word,
    tell: seen,
  });
}

// `targets`: [name, word] of each queue that could take the jobs.
export function queueMove(name, targets) {
  twice({
    heading: `Move all that wait: queue ${name}`,
    path: `/v1/queues/${encodeURIComponent(name)}/move`,
    body: () => ({to: clear("ask-to")}),
    fields: [choice("ask-to", "To the queue", targets)],
    first: `The jobs that wait in ${name} would be moved to the queue below, and come out at its printer.`,
    button: "Move them",
    tell: seen,
  });
}

export function testprint(name) {
  twice({
    heading: `Print a test page on ${name}`,
    path: `/v1/devices/${encodeURIComponent(name)}/testprint`,
    first: "One sheet would be printed and followed for up to six minutes.",
    button: "Print it now",
    tell: (answer) => answer.said,
  });
}
