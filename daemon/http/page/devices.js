// All devices as a register, a hundred lines at a time.
import {element, said, whenNew} from "./dom.js";
import {states, stateMark, stateWord, count} from "./words.js";
import {colourBar} from "./inks.js";
import {isOpen, inOrder as inOrderOfNeed} from "./mend.js";

const atOnce = 100;
const rank = new Map(states.map((state, place) => [state, place]));
const byName = (a, b) => (a.name < b.name ? -1 : 1);
const orders = {
  need: ["what wants somebody first", (a, b) => rank.get(a.state) - rank.get(b.state) || byName(a, b)],
  place: ["by place", (a, b) => (a.place < b.place ? -1 : a.place > b.place ? 1 : byName(a, b))],
  name: ["by name", byName],
};

// Sorting ten thousand is done once for each edition of the fleet, not for each letter that is typed.
let sorted = {edition: -1, order: "", devices: []};
function inOrder(fleet, order) {
  if (sorted.edition !== fleet.edition || sorted.order !== order) {
    sorted = {edition: fleet.edition, order, devices: [...fleet.devices.values()].sort(orders[order][1])};
  }
  return sorted.devices;
}

const line = (row, incident) => whenNew("li", row.name, [row, incident], () => made(row, incident));

function made(row, incident) {
  const why = incident?.summary ?? row.notes.join("; ");
  return element(
    "li",
    {"data-key": row.name, class: "line"},
    element(
      "a",
      {href: `#/device/${encodeURIComponent(row.name)}`},
      element("strong", {}, said(row.name)),
      stateMark(row.state),
      element(
        "span",
        {class: "there"},
        why ? element("span", {class: "notes"}, said(why)) : null,
        element("span", {class: "stands"}, said([row.location, row.site].filter(Boolean).join(", ")))
      ),
      element("span", {class: "made"}, said([row.maker, row.model].filter(Boolean).join(" "))),
      element("span", {class: "inks"}, colourBar(row.supplies))
    )
  );
}

function choice(id, text, options, value) {
  return element(
    "label",
    {},
    text,
    " ",
    element(
      "select",
      {id, "data-choice": id},
      options.map(([key, word]) => element("option", {value: key, selected: key === value}, word))
    )
  );
}

let worstOf = {edition: -1, byDevice: new Map()};
function worstByDevice(fleet) {
  if (worstOf.edition === fleet.incidentEdition) return worstOf.byDevice;
  const worst = new Map();
  for (const incident of [...fleet.incidents.values()].filter(isOpen).sort(inOrderOfNeed)) {
    if (incident.device && !worst.has(incident.device)) worst.set(incident.device, incident);
  }
  worstOf = {edition: fleet.incidentEdition, byDevice: worst};
  return worst;
}

export function devicesView({fleet, choices, fits, page}) {
  const order = orders[choices.order] ? choices.order : "need";
  const wanted = choices.state ?? "";
  const fitting = inOrder(fleet, order).filter((row) => (!wanted || row.state === wanted) && fits(row.site, row.find));
  const shown = page.slice(fitting, atOnce);
  const present = states.filter((state) => fleet.tally.has(state));
  const worst = worstByDevice(fleet);
  fleet.onScreen = new Set(shown.items.map((row) => row.name));
  return [
    element(
      "section",
      {"aria-labelledby": "view-title", "data-key": "devices"},
      element("h2", {id: "view-title", tabindex: "-1"}, "Devices"),
      element(
        "p",
        {class: "choices"},
        choice("state", "State", [["", "any"], ...present.map((state) => [state, stateWord(state)])], wanted),
        choice(
          "order",
          "In order",
          Object.entries(orders).map(([key, [word]]) => [key, word]),
          order
        ),
        element("span", {class: "count"}, `${count(fitting.length, "device")}${fleet.reading ? ", still reading" : ""}`)
      ),
      shown.items.length
        ? element(
            "ol",
            {class: "register", "data-walk": "", start: shown.from + 1},
            shown.items.map((row) => line(row, worst.get(row.name)))
          )
        : element("p", {class: "nothing"}, fleet.since === null ? "Reading \u2026" : "No device fits."),
      shown.more
    ),
  ];
}
