// What is to be mended: a job ticket for each incident, and the sheet that says how.
import {element, said, whenNew} from "./dom.js";
import {sheet} from "./sheet.js";
import {severities, severityMark, howLong, partWord, count} from "./words.js";

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
  return parts.length === 0
    ? null
    : element("span", {class: "carry"}, element("b", {}, "carry "), said(parts.map(partWord).join("; ")));
}

function ticket(incident, row, now, chosen) {
  return whenNew("li", incident.id, [incident, row, chosen, Math.floor(now / 60000)], () =>
    made(incident, row, now, chosen)
  );
}

const sinceWord = (age) => (age < 60000 ? element("b", {}, "just now") : ["for ", element("b", {}, howLong(age))]);

function made(incident, row, now, chosen) {
  const place = incident.summary.includes(incident.place) ? "" : incident.place;
  const where = [row?.location, incident.device ?? incident.queue, place].filter(Boolean);
  return element(
    "li",
    {"data-key": incident.id, class: "ticket", "data-severity": incident.severity, "data-chosen": chosen},
    element(
      "a",
      {href: `#/mend/${encodeURIComponent(incident.id)}`, "aria-current": chosen ? "true" : null},
      element(
        "span",
        {class: "stub"},
        severityMark(incident.severity),
        element("span", {class: "since"}, sinceWord(now - new Date(incident.raised_at))),
        incident.operator === "ack" ? element("span", {class: "ack"}, "acknowledged") : null
      ),
      element(
        "span",
        {class: "job"},
        element("strong", {}, said(incident.summary)),
        element(
          "span",
          {class: "where"},
          where.flatMap((text, index) => [index ? ", " : "", said(text)])
        ),
        carried(incident)
      )
    )
  );
}

function kitStrip(open) {
  const kit = kitOf(open.map((incident) => incident.remedy.carry));
  if (kit.length === 0) return null;
  const parts = kit.slice(0, 40).map((part) => element("li", {}, said(partWord(part))));
  if (kit.length > 40) parts.push(element("li", {}, count(kit.length - 40, "more part")));
  return element(
    "details",
    {class: "kit", open: kit.length < 5, "data-key": "kit"},
    element(
      "summary",
      {},
      `Carry for all of this: ${count(
        kit.reduce((sum, part) => sum + part.count, 0),
        "part"
      )}`
    ),
    element("ul", {}, parts)
  );
}

const atOnce = 100;

// "#/mend", "#/mend/ID"; further tickets come by the hundred.
export function mendView({fleet, shelf, route, fits, zoneOf, page}, now) {
  const row = (incident) => fleet.devices.get(incident.device);
  const fitting = [...fleet.incidents.values()].filter((incident) => fits(incident.site, findable(incident, row(incident))));
  const open = fitting.filter(isOpen).sort(inOrder);
  const aside = fitting.filter((incident) => !isOpen(incident)).sort(inOrder);
  const asked = route[1];
  const chosen = asked
    ? (fleet.incidents.get(asked) ?? shelf.ask(`/v1/incidents/${encodeURIComponent(asked)}`).value)
    : open[0];
  const tickets = (incidents) => incidents.map((incident) => ticket(incident, row(incident), now, incident === chosen));
  const shown = page.slice(open, atOnce);
  return [
    element(
      "section",
      {class: "tickets", "aria-labelledby": "view-title", "data-key": "tickets"},
      element("h2", {id: "view-title", tabindex: "-1"}, "To mend"),
      kitStrip(open),
      open.length ? element("ol", {class: "slips", "data-walk": ""}, tickets(shown.items)) : calm(fleet),
      shown.more,
      aside.length
        ? element(
            "details",
            {"data-key": "aside", class: "aside"},
            element("summary", {}, `Set aside: ${aside.length}`),
            element("ol", {class: "slips", "data-walk": ""}, tickets(aside.slice(0, atOnce)))
          )
        : null
    ),
    element(
      "div",
      {class: "side", "data-key": "side"},
      chosen ? sheet(chosen, row(chosen), zoneOf(chosen.site), now, Boolean(asked)) : asked ? gone(fleet) : null
    ),
  ];
}

function findable(incident, row) {
  return [
    incident.summary,
    incident.kind,
    incident.device,
    incident.queue,
    incident.place,
    row?.location,
    incident.id,
    ...incident.remedy.carry.flatMap((part) => [part.part, part.colorant]),
  ]
    .filter(Boolean)
    .join("\n")
    .toLowerCase();
}

function calm(fleet) {
  return fleet.since === null
    ? element("p", {class: "nothing"}, "Reading \u2026")
    : element(
        "div",
        {class: "nothing", "data-key": "calm"},
        element("span", {class: "sprig", "aria-hidden": "true"}),
        element("p", {}, "Nothing is broken here.")
      );
}

function gone(fleet) {
  return element(
    "article",
    {class: "sheet"},
    element("p", {class: "back"}, element("a", {href: "#/mend"}, "\u2190 all that is to be mended")),
    element(
      "p",
      {class: "nothing"},
      fleet.since === null ? "Reading \u2026" : "This one is over, and too long ago to be told of."
    )
  );
}
