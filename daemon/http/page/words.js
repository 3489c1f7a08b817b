// How things are said on the page.

// Worst first. A shape for each, since colours alone say nothing.
export const severities = ["critical", "major", "minor", "warning"];
const severityShapes = {critical: "\u25A0", major: "\u25B2", minor: "\u25C6", warning: "\u25CB"};
const stateShapes = {
  ready: "\u2713", busy: "\u21BB", attention: "\u25C6", stopped: "\u25A0", silent: "\u2205", unknown: "?",
};
const queueWords = {
  idle: "\u2713 idle", processing: "\u21BB printing", stopped: "\u25A0 stopped", absent: "\u2715 not on its spooler",
  silent: "\u2205 does not answer", refused: "\u25B2 may not be asked", nonsense: "\u25B2 answers nonsense",
  unknown: "? unknown",
};
const training = {
  "untrained": "anyone at hand",
  "trained": "somebody trained on it",
  "field-service": "field service",
};

export const severityWord = (severity) => `${severityShapes[severity] ?? ""} ${severity}`.trim();
export const stateWord = (state) => `${stateShapes[state] ?? ""} ${state}`.trim();
export const queueWord = (state) => queueWords[state] ?? state;
export const whoWord = (value) => training[value] ?? value;

// What happened to an incident, for the line of news.
export function noticeWord(notice) {
  const incident = notice.incident;
  if (notice.notice === "operator-action") return incident.operator === "none" ? "taken back" : incident.operator;
  if (notice.notice === "proved") return incident.proof === "held" ? "proved by printed pages" : "nothing printed since";
  return notice.notice;
}

export function count(number, one, many = one + "s") {
  return `${number} ${number === 1 ? one : many}`;
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

const formats = new Map();
// The time on the wall where the device stands.
export function wallTime(instant, zone) {
  if (!formats.has(zone)) {
    const options = {weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit"};
    let format;
    try {
      format = new Intl.DateTimeFormat(undefined, {...options, timeZone: zone});
    } catch {
      format = new Intl.DateTimeFormat(undefined, options);  // a zone this browser does not know
    }
    formats.set(zone, format);
  }
  return formats.get(zone).format(new Date(instant));
}

// "42 %", "some left", "unknown". For a receptacle the device tells the room left, people
// ask how full it is.
export function levelWord(supply) {
  if (supply.percent !== null) {
    return supply.class === "filled" ? `${Math.round(100 - supply.percent)} % full` : `${Math.round(supply.percent)} %`;
  }
  if (supply.level === "some") return supply.class === "filled" ? "some room" : "some left";
  if (supply.level === "unlimited") return "no limit";
  if (supply.level === "known") return `${supply.remaining} ${supply.unit}`;
  return "not said";
}

export function supplyName(supply) {
  if (supply.description) return supply.description;
  return [supply.colorant, supply.type].filter(Boolean).join(" ");
}
