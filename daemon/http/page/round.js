// The round: where to go, in walking order, what to carry there and what to do. Made for paper too.
import {serviceButton} from "./acts.js";
import {element, said, way} from "./dom.js";
import {count, partWord, stepsOf, figure, day} from "./words.js";
import {notKnown} from "./later.js";

const spans = [
  ["1", "today"],
  ["3", "3 days"],
  ["7", "a week"],
  ["14", "two weeks"],
  ["30", "a month"],
];

function tick(id, ...text) {
  return element("label", {class: "tick"}, element("input", {type: "checkbox", id}), " ", element("span", {}, ...text));
}

function kit(parts, id) {
  return element(
    "ul",
    {class: "ticks"},
    parts.map((part, index) =>
      element("li", {"data-key": `${id} ${part.maker} ${part.part}`}, tick(`${id} ${index}`, said(partWord(part))))
    )
  );
}

function job(task, stop, index) {
  const id = `job ${stop.device} ${index}`;
  const carry = task.carry ?? [];
  return element(
    "li",
    {"data-key": `${id} ${task.what}`, class: "task"},
    tick(id, element("b", {}, said(task.what)), task.minutes ? ` (${figure(task.minutes)} min)` : ""),
    task.why ? element("p", {class: "why"}, said(task.why)) : null,
    carry.length ? element("p", {class: "carry"}, element("b", {}, "carry "), said(carry.map(partWord).join("; "))) : null,
    task.incident ? element("p", {class: "unprinted"}, way(["mend", task.incident], {}, "the whole ticket")) : null,
    task.task ? element("p", {class: "unprinted"}, serviceButton(task.task, task.what, stop.device)) : null,
    task.steps?.length || task.cautions?.length
      ? element("details", {"data-key": "steps", class: "how"}, element("summary", {}, "How"), ...stepsOf(task))
      : null
  );
}

function stop(each, number) {
  const place = each.location || [each.building, each.place].filter(Boolean).join(", ");
  return element(
    "li",
    {"data-key": each.device, class: "stop"},
    element("h3", {}, element("span", {class: "leaf", "aria-hidden": "true"}, String(number)), said(place || each.device)),
    element(
      "p",
      {class: "stands"},
      way(["device", each.device], {}, said(each.device)),
      each.minutes ? `, ${figure(each.minutes)} min` : ""
    ),
    element(
      "ol",
      {class: "tasks"},
      each.jobs.map((task, index) => job(task, each, index))
    )
  );
}

function plan(round, zone, now) {
  const carry = round.carry ?? [];
  const left = round.left_out ?? [];
  return [
    element(
      "p",
      {class: "lead"},
      `${day(now, zone)}: ${count(round.stops.length, "stop")}`,
      round.minutes ? `, about ${figure(round.minutes)} min of work and walking` : ""
    ),
    element(
      "section",
      {"aria-label": "Carry", class: "kit"},
      element("h3", {}, "Carry"),
      carry.length ? kit(carry, "carry") : element("p", {}, "nothing but your tools")
    ),
    element(
      "ol",
      {class: "stem"},
      round.stops.map((each, index) => stop(each, index + 1))
    ),
    left.length
      ? element(
          "section",
          {"aria-label": "Left out"},
          element("h3", {}, "Left out of this round"),
          element(
            "ul",
            {},
            left.map((each) =>
              element("li", {}, said(each.device), ": ", said(each.what), each.why ? ", " : "", said(each.why ?? ""))
            )
          )
        )
      : null,
  ];
}

export function roundView({fleet, shelf, choices, site, zoneOf}, now) {
  const wanted = site || [...fleet.sites.keys()][0] || "";
  const days = spans.some(([key]) => key === choices.days) ? choices.days : "7";
  const answer = wanted
    ? shelf.ask(`/v1/round?site=${encodeURIComponent(wanted)}&days=${days}`)
    : {state: "reading", value: null};
  const round = answer.value;
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": "round", "aria-labelledby": "view-title"},
      element(
        "header",
        {},
        element("h2", {id: "view-title", tabindex: "-1"}, "The round", wanted ? [" at ", said(wanted)] : null),
        element(
          "p",
          {class: "choices"},
          element(
            "label",
            {},
            "Look ahead ",
            element(
              "select",
              {id: "days", "data-choice": "days"},
              spans.map(([key, word]) => element("option", {value: key, selected: key === days}, word))
            )
          ),
          element("button", {type: "button", "data-act": "print"}, "Print it")
        )
      ),
      !round
        ? notKnown(answer, "plan rounds")
        : round.stops.length
          ? plan(round, zoneOf(wanted), now)
          : element(
              "div",
              {class: "nothing"},
              element("span", {class: "sprig", "aria-hidden": "true"}),
              element("p", {}, "No reason to walk.")
            )
    ),
  ];
}
