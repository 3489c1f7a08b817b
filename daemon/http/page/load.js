// How much the fleet asks of one person.
import {element, said, way, list} from "./dom.js";
import {figure, count, moment, howLong} from "./words.js";
import {notKnown, ledger, part} from "./later.js";
import {filled} from "./inks.js";

const verdicts = {
  "very-likely-acceptable": "very likely acceptable",
  manageable: "manageable",
  "likely-over-demanding": "likely over-demanding",
  "very-likely-unacceptable": "very likely unacceptable",
  "normally-fine": "normally fine",
  "no-verdict": "no verdict",
  "difficult-to-handle": "difficult to handle",
  "definitely-excessive": "definitely excessive",
};
const word = (verdict) => verdicts[verdict] ?? verdict;

function span(name, title, figures) {
  return {
    key: name,
    cells: [
      title,
      figure(figures.raised),
      figure(figures.per_hour),
      word(figures.rate),
      `${figure(figures.peak)} in ten minutes: ${word(figures.peak_verdict)}`,
    ],
  };
}

function noisiest(load) {
  const most = Math.max(1, ...load.noisiest.map((each) => each.raised));
  return ledger(
    ["device", "what", "raised in a week"],
    load.noisiest.map((each) => ({
      key: `${each.device} ${each.kind}`,
      cells: [
        each.device ? way(["device", each.device], {}, said(each.device)) : "none",
        said(each.kind),
        [figure(each.raised), " ", filled((each.raised / most) * 100)],
      ],
    })),
    "What was raised most"
  );
}

function floodLine(flood, zone) {
  const span = flood.until ? `within ${howLong(new Date(flood.until) - new Date(flood.from))}` : "and going on";
  return [moment(flood.from, zone), `: ${figure(flood.raised)} raised `, span];
}

function bySite(sites) {
  const rows = sites.map((site) => ({
    key: site.name,
    cells: [said(site.name), figure(site.day.raised), figure(site.week.raised), word(site.week.rate)],
  }));
  return ledger(["site", "day", "week", "as a rate"], rows, "Load by site");
}

function body(load, now, zone) {
  return [
    load.in_flood ? element("p", {class: "lead"}, "More comes in now than one person can take up.") : null,
    ledger(
      ["the last", "raised", "an hour", "as a rate", "worst"],
      [span("hour", "hour", load.hour), span("day", "day", load.day), span("week", "week", load.week)],
      "Load by span"
    ),
    element(
      "p",
      {},
      `${count(load.stale, "incident stands", "incidents stand")} for more than a day; ${figure(load.chattering)} come and go.`
    ),
    part(
      "Raised most",
      "noisiest",
      load.noisiest.length
        ? [element("p", {}, `These make up ${figure(Math.round(load.noisiest_share * 100))} % of a week.`), noisiest(load)]
        : null
    ),
    part(
      "Floods",
      "floods",
      list(
        "ul",
        {},
        load.floods.map((flood) => floodLine(flood, zone))
      )
    ),
    part("By site", "sites", load.sites.length > 1 ? bySite(load.sites) : null),
  ];
}

export function loadView({shelf, zoneOf, site}, now) {
  const answer = shelf.ask("/v1/fleet", {age: 10000});
  const load = answer.value?.load;
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": "load", "aria-labelledby": "view-title"},
      element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, "The load on one person")),
      load ? body(load, now, zoneOf(site)) : notKnown(answer, "count its load")
    ),
  ];
}
