// What is to be mended: a job ticket for each incident, and the sheet that says how.
import {element, said, way, whenNew} from "./dom.js";
import {severities, severityMark, whoWord, operatorWord, proofWord, howLong, moment, partWord, stepsOf, count} from "./words.js";

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

// The parts of several remedies, the same ones counted together.
export function kitOf(carries) {
  const kit = new Map();
  for (const part of carries.flat()) {
    const key = [part.maker, part.part, part.colorant].join("\n");
    const known = kit.get(key);
    if (known) known.count += part.count ?? 1;
    else kit.set(key, {...part, count: part.count ?? 1});
  }
  return [...kit.values()];
}

function carried(incident) {
  const parts = incident.remedy.carry;
  return parts.length === 0 ? null : element("span", {class: "carry"}, element("b", {}, "carry "), said(parts.map(partWord).join("; ")));
}

function ticket(incident, row, now, chosen) {
  return whenNew("li", incident.id, [incident, row, chosen, Math.floor(now / 60000)], () => made(incident, row, now, chosen));
}

function made(incident, row, now, chosen) {
  const place = incident.summary.includes(incident.place) ? "" : incident.place;
  const where = [row?.location, incident.device ?? incident.queue, place].filter(Boolean);
  return element("li", {"data-key": incident.id, class: "ticket", "data-severity": incident.severity, "data-chosen": chosen},
    element("a", {href: `#/mend/${encodeURIComponent(incident.id)}`, "aria-current": chosen ? "true" : null},
      element("span", {class: "stub"}, severityMark(incident.severity),
        element("span", {class: "since"}, "for ", element("b", {}, howLong(now - new Date(incident.raised_at)))),
        incident.operator === "ack" ? element("span", {class: "ack"}, "acknowledged") : null),
      element("span", {class: "job"},
        element("strong", {}, said(incident.summary)),
        element("span", {class: "where"}, where.flatMap((text, index) => [index ? ", " : "", said(text)])),
        carried(incident))));
}

function fact(term, ...texts) {
  return element("div", {}, element("dt", {}, term), element("dd", {}, ...texts));
}

function label(incident, row, zone, now) {
  const at = incident.device
    ? way(["device", incident.device], {}, said(incident.device))
    : incident.queue ? way(["queues", incident.queue], {}, said(incident.queue)) : null;
  const facts = [
    incident.place ? fact("at", said(incident.place)) : null,
    at ? fact(incident.device ? "of" : "queue", at) : null,
    fact("stands in", said([row?.location, incident.site].filter(Boolean).join(", ") || "not said")),
    fact("since", moment(incident.raised_at, zone), ` (${howLong(now - new Date(incident.raised_at))})`),
    fact("for", whoWord(incident.training)),
    incident.times_raised > 1 ? fact("came back", `raised ${incident.times_raised} times`) : null,
    incident.operator !== "none" ? fact("people said", operatorWord(incident.operator)) : null,
    incident.shelved_until ? fact("shelved until", moment(incident.shelved_until, zone)) : null,
    proofWord(incident.proof) ? fact("proof", proofWord(incident.proof)) : null,
    fact("kind", said(incident.kind)), fact("number", said(incident.id)),
  ];
  return element("dl", {class: "label"}, facts);
}

export function evidenceList(conditions, zone) {
  return element("ul", {class: "evidence"}, conditions.map((condition) => element("li", {},
    element("b", {}, said(condition.keyword)), " since ", moment(condition.since, zone),
    element("ul", {}, condition.witnesses.map((witness) =>
      element("li", {}, witness.contradicts ? element("b", {}, "against it: ") : null, said(witness.says)))))));
}

function story(incident, zone) {
  const lines = [
    ...incident.changes.map((change) => [change.at, [`${change.what}: `, said(change.summary)]]),
    ...incident.actions.map((action) => [action.at, [
      `${action.operator === "none" ? "taken back" : operatorWord(action.operator)} by `, said(action.by || "the daemon"),
      action.note ? ": " : "", action.note ? said(action.note) : ""]]),
  ].sort((a, b) => (a[0] < b[0] ? -1 : 1));
  return element("ol", {class: "story"}, lines.map(([at, texts]) => element("li", {}, moment(at, zone), " ", ...texts)));
}

function acts(incident) {
  if (incident.state !== "raised") return null;
  const act = (verb, text) => element("button", {type: "button", "data-act": "incident", "data-verb": verb, "data-id": incident.id}, text);
  return element("p", {class: "acts"},
    incident.operator === "ack" ? null : act("ack", "Acknowledge \u2026"), act("shelve", "Shelve \u2026"), act("close", "Close \u2026"),
    incident.operator === "none" ? null : act("take-back", "Take back \u2026"));
}

export function sheet(incident, row, zone, now, asked) {
  const {carry} = incident.remedy;
  return element("article", {class: "sheet", "data-key": `sheet ${incident.id}`, "data-unasked": !asked, "aria-labelledby": "sheet-title"},
    asked ? element("p", {class: "back"}, element("a", {href: "#/mend"}, "\u2190 all that is to be mended")) : null,
    element("header", {}, element("p", {}, severityMark(incident.severity), incident.state === "raised" ? null : " \u2013 cleared"),
      element("h2", {id: "sheet-title", tabindex: "-1"}, said(incident.summary))),
    label(incident, row, zone, now),
    element("section", {"aria-label": "Parts to carry", class: "kit"}, element("h3", {}, "Carry"),
      carry.length ? element("ul", {}, carry.map((part) => element("li", {}, said(partWord(part))))) : element("p", {}, "nothing but your hands")),
    element("section", {"aria-label": "How to mend it"}, element("h3", {}, "How to mend it"), ...stepsOf(incident.remedy)),
    acts(incident),
    element("details", {"data-key": "evidence"}, element("summary", {}, "What says so"), evidenceList(incident.evidence, zone)),
    element("details", {"data-key": "story"}, element("summary", {}, "What happened so far"), story(incident, zone)));
}

function kitStrip(open) {
  const kit = kitOf(open.map((incident) => incident.remedy.carry));
  if (kit.length === 0) return null;
  const parts = kit.slice(0, 40).map((part) => element("li", {}, said(partWord(part))));
  if (kit.length > 40) parts.push(element("li", {}, count(kit.length - 40, "more part")));
  return element("details", {class: "kit", open: kit.length < 5, "data-key": "kit"},
    element("summary", {}, `Carry for all of this: ${count(kit.reduce((sum, part) => sum + part.count, 0), "part")}`),
    element("ul", {}, parts));
}

const atOnce = 100;

// "#/mend", "#/mend/ID"; further tickets come by the hundred.
export function mendView({fleet, shelf, route, fits, zoneOf, page}, now) {
  const row = (incident) => fleet.devices.get(incident.device);
  const fitting = [...fleet.incidents.values()].filter((incident) => fits(incident.site, findable(incident, row(incident))));
  const open = fitting.filter(isOpen).sort(inOrder);
  const aside = fitting.filter((incident) => !isOpen(incident)).sort(inOrder);
  const asked = route[1];
  const chosen = asked ? fleet.incidents.get(asked) ?? shelf.ask(`/v1/incidents/${encodeURIComponent(asked)}`).value : open[0];
  const tickets = (incidents) => incidents.map((incident) =>
    ticket(incident, row(incident), now, incident === chosen));
  const shown = page.slice(open, atOnce);
  return [
    element("section", {class: "tickets", "aria-labelledby": "view-title", "data-key": "tickets"},
      element("h2", {id: "view-title", tabindex: "-1"}, "To mend"),
      kitStrip(open),
      open.length ? element("ol", {class: "slips", "data-walk": ""}, tickets(shown.items)) : calm(fleet),
      shown.more,
      aside.length ? element("details", {"data-key": "aside", class: "aside"}, element("summary", {}, `Set aside: ${aside.length}`),
        element("ol", {class: "slips", "data-walk": ""}, tickets(aside.slice(0, atOnce)))) : null),
    element("div", {class: "side", "data-key": "side"},
      chosen ? sheet(chosen, row(chosen), zoneOf(chosen.site), now, Boolean(asked)) : asked ? gone(fleet) : null),
  ];
}

function findable(incident, row) {
  return [incident.summary, incident.kind, incident.device, incident.queue, incident.place, row?.location, incident.id,
    ...incident.remedy.carry.flatMap((part) => [part.part, part.colorant])].filter(Boolean).join("\n").toLowerCase();
}

function calm(fleet) {
  return fleet.since === null ? element("p", {class: "nothing"}, "Reading \u2026")
    : element("div", {class: "nothing", "data-key": "calm"}, element("span", {class: "sprig", "aria-hidden": "true"}), element("p", {}, "Nothing is broken here."));
}

function gone(fleet) {
  return element("article", {class: "sheet"}, element("p", {class: "back"}, element("a", {href: "#/mend"}, "\u2190 all that is to be mended")),
    element("p", {class: "nothing"}, fleet.since === null ? "Reading \u2026" : "This one is over, and too long ago to be told of."));
}
