// The page: which view is shown, drawn anew whenever the fleet, the clock or the reader changes something.
import {element, said, become} from "./dom.js";
import {Fleet} from "./fleet.js";
import {Shelf} from "./shelf.js";
import * as acts from "./acts.js";
import {leave, listen} from "./dialog.js";
import {token} from "./wire.js";
import {mendView, isOpen} from "./mend.js";
import {roundView} from "./round.js";
import {devicesView} from "./devices.js";
import {deviceView} from "./device.js";
import {orderView} from "./order.js";
import {serviceView} from "./service.js";
import {queuesView, targetsOf} from "./queues.js";
import {complaintsView} from "./complaints.js";
import {complaintActs} from "./complain.js";
import {loadView} from "./load.js";
import {count, severities, severityMark} from "./words.js";

const at = (id) => document.getElementById(id);
const views = {
  mend: ["To mend", mendView],
  round: ["The round", roundView],
  devices: ["Devices", devicesView],
  order: ["To order", orderView],
  service: ["Service", serviceView],
  complaints: ["Complaints", complaintsView],
  queues: ["Queues", queuesView],
  load: ["Load", loadView],
  device: ["Device", deviceView],
};
const tabs = ["mend", "round", "devices", "order", "service", "complaints", "queues", "load"];

const choices = {};
let part = 0; // which hundred of a long list is shown
let shownRoute = null;
let drawing = false;

const diagnoses = new Map(); // what was answered to complaints in this tab
const shelf = new Shelf(drawSoon);
const fleet = new Fleet(drawSoon, (text) => (at("news").textContent = text), touched);

function touched(kind, name) {
  if (kind === "all") return shelf.forget("/v1/");
  if (kind === "incident") shelf.forget("/v1/incidents", "/v1/round", "/v1/order", "/v1/fleet");
  if (kind === "device") shelf.forget(`/v1/devices/${encodeURIComponent(name)}`);
  if (kind === "queue") shelf.forget(`/v1/queues/${encodeURIComponent(name)}`);
}

// Many changes at once are drawn once, and never more than a few times a second.
function drawSoon() {
  if (drawing) return;
  drawing = true;
  setTimeout(
    () =>
      requestAnimationFrame(() => {
        drawing = false;
        draw();
      }),
    fleet.reading ? 500 : 60
  );
}

function routeNow() {
  const route = location.hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter(Boolean)
    .map((word) => {
      try {
        return decodeURIComponent(word);
      } catch {
        return word;
      }
    });
  return views[route[0]] ? route : ["mend"];
}

const onSite = (site) => !at("site").value || site === null || site === at("site").value;

function fits(site, text) {
  const find = at("find").value.trim().toLowerCase();
  return onSite(site) && (!find || text.includes(find));
}

// The shown hundred of a list, and the way to the others.
const page = {
  slice(items, most) {
    const last = Math.max(0, Math.ceil(items.length / most) - 1);
    part = Math.min(part, last);
    const from = part * most;
    const shown = items.slice(from, from + most);
    const go = (to, text) =>
      element("button", {type: "button", "data-act": "part", "data-to": to, disabled: to < 0 || to > last}, text);
    const more =
      last === 0
        ? null
        : element(
            "nav",
            {class: "parts", "aria-label": "Parts of the list", "data-key": "parts"},
            go(part - 1, "\u2190 the hundred before"),
            element("span", {}, `${from + 1} to ${from + shown.length} of ${items.length}`),
            go(part + 1, "the next hundred \u2192")
          );
    return {items: shown, from, more};
  },
};

function drawStanding() {
  const open = [...fleet.incidents.values()].filter((incident) => isOpen(incident) && onSite(incident.site));
  const counts = severities
    .map((severity) => [severity, open.filter((incident) => incident.severity === severity).length])
    .filter(([, number]) => number);
  const silent = fleet.tally.get("silent") ?? 0;
  const words = counts.map(([severity, number]) => element("span", {class: "tally"}, `${number} `, severityMark(severity)));
  become(at("standing"), [
    ...(words.length ? words : [element("span", {}, "Nothing to mend")]),
    element("span", {class: "tally"}, `${count(fleet.devices.size, "device")}${silent ? `, ${silent} silent` : ""}`),
  ]);
  document.title = `${open.length ? `${open.length} to mend` : "Nothing to mend"} \u00B7 Frisket`;
  return open.length;
}

function drawTabs(route, open) {
  const numbers = {mend: open, devices: fleet.devices.size, queues: fleet.queues.size};
  const current = route[0] === "device" ? "devices" : route[0];
  become(
    at("tabs"),
    tabs.map((name) =>
      element(
        "a",
        {href: `#/${name}`, "aria-current": name === current ? "page" : null, "data-key": name},
        views[name][0],
        numbers[name] ? element("span", {class: "number"}, ` ${numbers[name]}`) : null
      )
    )
  );
}

function drawSites() {
  const select = at("site");
  const chosen = select.value;
  become(
    select,
    ["", ...fleet.sites.keys()].map((name) =>
      element("option", {value: name, "data-key": `site ${name}`}, name || "all sites")
    )
  );
  select.value = fleet.sites.has(chosen) ? chosen : "";
}

function drawLink() {
  const word = fleet.locked
    ? "wants a token"
    : fleet.live
      ? "live"
      : fleet.since
        ? `not live; as of ${fleet.since.toLocaleTimeString("en-GB")}`
        : "connecting";
  if (at("link").textContent !== word) at("link").textContent = word;
  at("link").dataset.live = fleet.live || (!fleet.since && !fleet.locked) ? "yes" : "no";
}

function locked() {
  return element(
    "form",
    {id: "unlock", class: "sheet lone", "data-key": "locked"},
    element("h2", {id: "view-title", tabindex: "-1"}, "A token, please"),
    element("p", {}, said(fleet.locked)),
    element(
      "p",
      {class: "field"},
      element("label", {for: "read-token"}, "Token"),
      element("input", {id: "read-token", type: "password", autocomplete: "off"})
    ),
    element("p", {class: "acts"}, element("button", {type: "submit"}, "Read with it"))
  );
}

function draw() {
  const route = routeNow();
  const moved = route.join("/") !== shownRoute?.join("/");
  if (moved && route[0] !== shownRoute?.[0]) part = 0;
  drawLink();
  drawSites();
  drawTabs(route, drawStanding());
  const zoneOf = (site) => fleet.sites.get(site) ?? [...fleet.sites.values()][0] ?? "UTC";
  const view = {fleet, shelf, diagnoses, route, choices, fits, zoneOf, page, site: at("site").value};
  const nodes = fleet.locked && fleet.since === null ? [locked()] : views[route[0]][1](view, Date.now());
  at("main").dataset.view = route[0];
  at("main").dataset.asked = route.length > 1 ? "yes" : "no";
  become(at("main"), nodes.filter(Boolean));
  if (moved) arrive(route);
}

// The reader is taken to what was asked for; coming back, to where they were.
function arrive(route) {
  const before = shownRoute;
  shownRoute = route;
  if (before === null) return;
  window.scrollTo(0, 0);
  const back =
    before[0] === route[0] && before.length > route.length
      ? at("main").querySelector(`a[href="#/${CSS.escape(route[0])}/${CSS.escape(encodeURIComponent(before[1]))}"]`)
      : null;
  (back ?? (route.length > 1 ? at("sheet-title") : null) ?? at("view-title"))?.focus({preventScroll: !back});
}

const does = {
  incident: ({verb, id}) => {
    const incident = fleet.incidents.get(id);
    if (incident) acts.incidentAct(verb, incident);
  },
  queue: ({verb, name}) => {
    const queue = fleet.queues.get(name);
    if (verb === "move") acts.queueMove(name, queue ? targetsOf(queue, fleet.queues) : []);
    else acts.queueAct(verb, name);
  },
  ...complaintActs(shelf, diagnoses, drawSoon),
  service: ({id, title, device}) =>
    acts.serviceAct({id, title, device}, () => {
      shelf.forget("/v1/upkeep", "/v1/round");
      drawSoon();
    }),
  testprint: ({name}) => acts.testprint(name),
  leave,
  print: () => window.print(),
  part: ({to}) => {
    part = Number(to);
    draw();
    at("view-title").focus();
  },
};

document.addEventListener("click", (event) => {
  if (event.target.closest(".skip")) {
    // a place, not a route
    event.preventDefault();
    at("main").focus();
  }
  const button = event.target.closest("button[data-act]");
  if (button) does[button.dataset.act]?.(button.dataset);
});
document.addEventListener("submit", (event) => {
  if (event.target.id === "narrow") event.preventDefault();
  if (event.target.id !== "unlock") return;
  event.preventDefault();
  token.set(at("read-token").value.trim());
  fleet.retry();
});
document.addEventListener("change", (event) => {
  const name = event.target.dataset?.choice;
  if (!name) return;
  choices[name] = event.target.value;
  part = 0;
  drawSoon();
});
at("narrow").addEventListener("input", () => {
  part = 0;
  drawSoon();
});

// Within a list the arrows go from line to line.
document.addEventListener("keydown", (event) => {
  const steps = {ArrowDown: 1, ArrowUp: -1};
  const walked = event.target.closest?.("[data-walk]");
  if (!walked || !(event.key in steps) || event.target.tagName !== "A" || event.altKey || event.ctrlKey || event.metaKey)
    return;
  const links = [...walked.querySelectorAll(":scope > li > a")];
  const next = links[links.indexOf(event.target.closest("li > a")) + steps[event.key]];
  if (!next) return;
  event.preventDefault();
  next.focus();
});

window.addEventListener("hashchange", draw);
// On paper every step is shown: nobody can unfold paper.
let folded = [];
window.addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("details.how:not([open]), details.kit:not([open])")];
  for (const details of folded) details.open = true;
});
window.addEventListener("afterprint", () => {
  for (const details of folded) details.open = false;
});
listen((text) => (at("news").textContent = text));
setInterval(drawSoon, 30000);
draw();
fleet.start();
