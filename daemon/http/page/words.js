// How things are said on the page.
import {element, said, sign} from "./dom.js";

// Worst first. A shape for each, since colours alone say nothing.
export const severities = ["critical", "major", "minor", "warning"];
const severityShapes = {critical: "\u25A0", major: "\u25B2", minor: "\u25C6", warning: "\u25CB"};

// How a device or a queue does: a shape and a word. What wants somebody most comes first.
const stateWords = {
  stopped: ["\u25A0", "stopped"],
  silent: ["\u2205", "silent"],
  absent: ["\u2715", "not on its spooler"],
  refused: ["\u25B2", "may not be asked"],
  nonsense: ["\u25B2", "answers nonsense"],
  attention: ["\u25C6", "wants somebody"],
  unknown: ["?", "not known yet"],
  busy: ["\u21BB", "printing"],
  processing: ["\u21BB", "printing"],
  ready: ["\u2713", "ready"],
  idle: ["\u2713", "idle"],
};
export const states = Object.keys(stateWords);
const training = {
  untrained: "anyone at hand",
  trained: "somebody trained on it",
  "field-service": "field service",
};
const operatorWords = {ack: "acknowledged", shelved: "shelved", closed: "closed"};
const proofWords = {
  awaited: "waits for a printed page as the proof",
  held: "proved by printed pages",
  unseen: "nothing printed since",
};

// Every shape with its word.
export function severityMark(severity) {
  return element("span", {class: `bad ${severity}`}, sign(severityShapes[severity] ?? "?"), ` ${severity}`);
}
export function stateMark(state) {
  const [shape, word] = stateWords[state] ?? ["?", state];
  return element("span", {class: `state ${state}`}, sign(shape), ` ${word}`);
}
export const stateWord = (state) => stateWords[state]?.[1] ?? state;
export const whoWord = (value) => training[value] ?? value;
export const operatorWord = (value) => operatorWords[value] ?? value;
export const proofWord = (value) => proofWords[value] ?? "";

// What happened to an incident, for the line of news.
export function noticeWord(notice) {
  const incident = notice.incident;
  if (notice.notice === "operator-action")
    return incident.operator === "none" ? "taken back" : operatorWord(incident.operator);
  if (notice.notice === "proved") return incident.proof === "held" ? "proved by printed pages" : "nothing printed since";
  return notice.notice;
}

const plain = new Intl.NumberFormat("en-GB", {maximumFractionDigits: 1});
export const figure = (number) => (number === null || number === undefined ? "not said" : plain.format(number));

export function count(number, one, many = one + "s") {
  return `${figure(number)} ${number === 1 ? one : many}`;
}

// "3 min", "5 h 10 min", "2 days"
export function howLong(milliseconds) {
  const minutes = Math.max(0, Math.floor(milliseconds / 60000));
  if (minutes < 1) return "under a minute";
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 24) return minutes % 60 ? `${hours} h ${minutes % 60} min` : `${hours} h`;
  return count(Math.floor(hours / 24), "day");
}

const clock = {weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit"};
const calendar = {weekday: "short", day: "numeric", month: "short"};
const formats = new Map();
function formatOf(options, zone) {
  const key = `${options.hour ?? ""} ${zone}`;
  if (!formats.has(key)) {
    let format;
    try {
      format = new Intl.DateTimeFormat("en-GB", {...options, timeZone: zone});
    } catch {
      format = new Intl.DateTimeFormat("en-GB", options); // a zone this browser does not know
    }
    formats.set(key, format);
  }
  return formats.get(key);
}

// The time on the wall, and the day on the calendar, where the device stands.
export const wallTime = (instant, zone) => formatOf(clock, zone).format(new Date(instant));
export const day = (instant, zone) => formatOf(calendar, zone).format(new Date(instant)).replaceAll(" ", "\u00A0");
export const moment = (instant, zone) => element("time", {datetime: instant}, wallTime(instant, zone));

// "42 %", "some left", "not said". For a receptacle the device tells the room left, people ask how full it is.
export function levelWord(supply) {
  if (supply.percent !== null && supply.percent !== undefined) {
    return supply.class === "filled" ? `${Math.round(100 - supply.percent)} % full` : `${Math.round(supply.percent)} %`;
  }
  if (supply.level === "some") return supply.class === "filled" ? "some room" : "some left";
  if (supply.level === "unlimited") return "no limit";
  if (supply.level === "known") return `${supply.remaining} ${supply.unit}`;
  return "not said";
}

export function supplyName(supply) {
  return supply.description || [supply.colorant, supply.type].filter(Boolean).join(" ");
}

// "2 x Lumenveld LT-55K black"
export function partWord(part) {
  const number = part.count > 1 ? `${part.count} \u00D7 ` : "";
  return number + ([part.maker, part.part, part.colorant].filter(Boolean).join(" ") || part.description || "a part");
}

// Cautions stand before the steps, always.
export function stepsOf({cautions = [], steps = []}) {
  return [
    cautions.length
      ? element(
          "div",
          {class: "cautions"},
          element("h4", {}, sign("\u26A0 "), "Caution"),
          element(
            "ul",
            {},
            cautions.map((text) => element("li", {}, said(text)))
          )
        )
      : null,
    steps.length
      ? element(
          "ol",
          {class: "steps"},
          steps.map((text) => element("li", {}, said(text)))
        )
      : null,
  ];
}
