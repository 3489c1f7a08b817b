// What people complain of: the open complaints, and the sheet of each with what it probably is.
import {element, said, way} from "./dom.js";
import {moment} from "./words.js";
import {fact} from "./sheet.js";
import {ledger, notKnown, part} from "./later.js";
import {causeList, checkList, knownList} from "./causes.js";

const heads = ["complaint", "device", "since", "said by", "note"];

const listOf = (shelf, path, age) => shelf.ask(path, {list: true, age});
export const symptoms = (shelf) => listOf(shelf, "/v1/symptoms", 3600000).value ?? [];
const complaints = (shelf) => listOf(shelf, "/v1/complaints?limit=500", 30000);
export const complaintsOf = (shelf, device) =>
  listOf(shelf, `/v1/complaints?limit=500&device=${encodeURIComponent(device)}`, 30000).value ?? [];

export const titleOf = (complaint, known) =>
  known.find((each) => each.symptom === complaint.symptom)?.title || complaint.symptom;

const causeWord = (complaint) => (complaint.cause ? ["it was ", said(complaint.cause)] : element("b", {}, "open"));

// The complaints of one device, for its sheet.
export function complaintLines(mine, known, zone) {
  return mine.length === 0
    ? null
    : element(
        "ul",
        {class: "short"},
        mine
          .slice(0, 20)
          .map((each) =>
            element(
              "li",
              {"data-key": each.id},
              moment(each.at, zone),
              " ",
              way(["complaints", each.id], {}, said(titleOf(each, known))),
              ": ",
              causeWord(each)
            )
          )
      );
}

function row(complaint, known, zone) {
  return {
    key: complaint.id,
    cells: [
      [way(["complaints", complaint.id], {}, element("b", {}, said(titleOf(complaint, known)))), ", ", causeWord(complaint)],
      way(["device", complaint.device], {}, said(complaint.device)),
      moment(complaint.at, zone),
      said(complaint.by || "nobody named"),
      said(complaint.note),
    ],
  };
}

function facts(complaint, place, zone) {
  return element(
    "dl",
    {class: "label"},
    fact("of", way(["device", complaint.device], {}, said(complaint.device))),
    place ? fact("stands in", said(place)) : null,
    fact("since", moment(complaint.at, zone)),
    fact("said by", said(complaint.by || "nobody named")),
    complaint.note ? fact("note", said(complaint.note)) : null,
    complaint.cause ? fact("it was", said(complaint.cause)) : null,
    complaint.closed_at ? fact("over", moment(complaint.closed_at, zone)) : null,
    fact("number", said(complaint.id))
  );
}

// The daemon weighs causes when it is told something, so a complaint that was told elsewhere is asked about first.
function unweighed(complaint) {
  if (complaint.cause) return element("p", {}, "It is over.");
  const button = element(
    "button",
    {type: "button", "data-act": "weigh", "data-id": complaint.id},
    "Ask what it may be \u2026"
  );
  return [element("p", {}, "What it may be was not asked in this tab yet."), element("p", {class: "acts"}, button)];
}

function sheet(complaint, {diagnosis, known, place, zone}) {
  return element(
    "article",
    {class: "sheet lone", "data-key": `complaint ${complaint.id}`, "aria-labelledby": "view-title"},
    element("p", {class: "back"}, element("a", {href: "#/complaints"}, "\u2190 all complaints")),
    element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, said(titleOf(complaint, known)))),
    facts(complaint, place, zone),
    diagnosis
      ? [
          complaint.cause ? null : part("Look at this next", "checks", checkList(diagnosis, complaint)),
          part("What it may be", "causes", causeList(diagnosis, complaint)),
          part("What was counted", "known", knownList(diagnosis, complaint)),
        ]
      : unweighed(complaint)
  );
}

function noSheet(answer) {
  return element(
    "article",
    {class: "sheet lone", "data-key": "complaint", "aria-labelledby": "view-title"},
    element("p", {class: "back"}, element("a", {href: "#/complaints"}, "\u2190 all complaints")),
    element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, "A complaint")),
    answer.value
      ? element("p", {class: "nothing"}, "No complaint of this number is known.")
      : notKnown(answer, "keep complaints")
  );
}

const listed = (items, known, zone, caption) =>
  ledger(
    heads,
    items.map((each) => row(each, known, zone(each))),
    caption
  );

// The complaint of this id, if it is known by now; what was answered here may be newer than the list.
export function complaintIn(shelf, diagnoses, id) {
  const answered = diagnoses.get(id);
  return answered?.cause ? answered : (complaints(shelf).value?.find((each) => each.id === id) ?? answered);
}

// "#/complaints", "#/complaints/ID"; `diagnoses`: what was answered in this tab, by id.
export function complaintsView({fleet, shelf, route, fits, page, zoneOf, diagnoses}) {
  const answer = complaints(shelf);
  const known = symptoms(shelf);
  const siteOf = (complaint) => fleet.devices.get(complaint.device)?.site;
  const zone = (complaint) => zoneOf(siteOf(complaint));
  if (route[1]) {
    const complaint = complaintIn(shelf, diagnoses, route[1]);
    if (!complaint) return [noSheet(answer)];
    const {location, site} = fleet.devices.get(complaint.device) ?? {};
    const place = [location, site].filter(Boolean).join(", ");
    return [sheet(complaint, {diagnosis: diagnoses.get(route[1]), known, place, zone: zone(complaint)})];
  }
  const text = (each) => [titleOf(each, known), each.device, each.by, each.note, each.cause].join("\n").toLowerCase();
  const fitting = (answer.value ?? []).filter((each) => fits(siteOf(each), text(each)));
  const shown = page.slice(
    fitting.filter((each) => !each.cause),
    100
  );
  const over = fitting.filter((each) => each.cause).slice(0, 100);
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": "complaints", "aria-labelledby": "view-title"},
      element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, "Complaints")),
      !answer.value
        ? notKnown(answer, "keep complaints")
        : shown.items.length
          ? listed(shown.items, known, zone, "Open complaints")
          : element("p", {class: "nothing"}, "Nobody complains. What is complained of is told at its device."),
      shown.more,
      over.length
        ? element(
            "details",
            {"data-key": "over"},
            element("summary", {}, `Over: the last ${over.length}`),
            listed(over, known, zone, "Complaints that are over")
          )
        : null
    ),
  ];
}
