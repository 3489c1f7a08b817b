// One incident as a job ticket: how bad and since when, what and where, who and with what.
import {element, said} from "./dom.js";
import {severities, severityWord, whoWord, howLong, wallTime} from "./words.js";

export function isOpen(incident) {
  return incident.state === "raised" && incident.operator !== "shelved" && incident.operator !== "closed";
}

// Worst first, then the one that has waited longest.
export function inOrder(a, b) {
  const worse = severities.indexOf(a.severity) - severities.indexOf(b.severity);
  if (worse !== 0) return worse;
  if (a.raised_at !== b.raised_at) return a.raised_at < b.raised_at ? -1 : 1;
  return a.id < b.id ? -1 : 1;
}

function where(incident, device) {
  const parts = [];
  if (incident.place) parts.push(element("strong", {}, said(incident.place)));
  for (const text of [incident.device ?? incident.queue, device?.location, incident.site]) {
    if (text) parts.push(said(text));
  }
  return element("p", {class: "where"}, ...parts.flatMap((part, index) => (index === 0 ? [part] : [", ", part])));
}

function carry(parts) {
  if (parts.length === 0) return null;
  const texts = parts.map((part) => {
    const number = part.count > 1 ? `${part.count} x ` : "";
    return number + [part.maker, part.part, part.colorant].filter(Boolean).join(" ");
  });
  return element("p", {}, element("b", {}, "Carry"), " ", said(texts.join("; ")));
}

// Cautions stand before the steps, always.
function remedy(incident, open) {
  const {cautions, steps} = incident.remedy;
  if (cautions.length === 0 && steps.length === 0) return null;
  const details = element("details", {open}, element("summary", {}, "How to mend it"));
  if (cautions.length > 0) {
    details.append(element("div", {class: "cautions"}, element("h4", {}, "Caution"),
      element("ul", {}, ...cautions.map((text) => element("li", {}, said(text))))));
  }
  details.append(element("ol", {class: "steps"}, ...steps.map((text) => element("li", {}, said(text)))));
  return details;
}

function evidence(incident, zone) {
  if (incident.evidence.length === 0) return null;
  const lines = incident.evidence.flatMap((condition) => {
    const words = (witness) => witness.contradicts ? `against it: ${witness.says}` : witness.says;
    const heard = condition.witnesses.map(words).join("; ");
    return element("li", {}, `${condition.keyword}, since ${wallTime(condition.since, zone)}: `, said(heard));
  });
  return element("details", {}, element("summary", {}, "What says so"), element("ul", {class: "evidence"}, ...lines));
}

// `device` may be missing; `old` is the ticket this one takes the place of. Only a `first` ticket
// shows its remedy unasked: the others must stay in sight.
export function ticket(incident, device, zone, now, first, old) {
  const wasOpen = old ? [...old.querySelectorAll("details")].map((details) => details.open) : null;
  const since = element("time", {datetime: incident.raised_at}, `for ${howLong(now - new Date(incident.raised_at))}`);
  const node = element("article", {
    class: "ticket", "data-severity": incident.severity, "aria-label": `${incident.severity}: ${incident.summary}`,
  },
  element("div", {class: "stub"},
    element("span", {class: `bad ${incident.severity}`}, severityWord(incident.severity)),
    since,
    element("time", {datetime: incident.raised_at}, `since ${wallTime(incident.raised_at, zone)}`),
    incident.operator === "none" ? null : element("span", {}, incident.operator),
    incident.times_raised > 1 ? element("span", {}, `came back, raised ${incident.times_raised} times`) : null,
    element("span", {class: "number"}, said(incident.id))),
  element("div", {class: "job"},
    element("h3", {}, said(incident.summary)),
    where(incident, device),
    element("div", {class: "meta"},
      element("p", {class: "who"}, element("b", {}, "For"), ` ${whoWord(incident.training)}`),
      carry(incident.remedy.carry)),
    remedy(incident, first),
    evidence(incident, zone)));
  if (wasOpen) {
    [...node.querySelectorAll("details")].forEach((details, index) => {
      if (index < wasOpen.length) details.open = wasOpen[index];
    });
  }
  return node;
}
