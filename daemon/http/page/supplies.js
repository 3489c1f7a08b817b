// A supply of one device: how much there is, when it is expected to run out, and its course.
import {element, said} from "./dom.js";
import {levelWord, supplyName, count, day} from "./words.js";
import {gauge, lowMark} from "./inks.js";
import {levelPlot, levelTable} from "./plot.js";

const dayLength = 24 * 3600e3;

function expectation(supply, now, zone) {
  const days = supply.days_left;
  if (!days) return null;
  const when = `${day(now + days.p10 * dayLength, zone)} to ${day(now + days.p90 * dayLength, zone)}`;
  return element(
    "p",
    {class: "expected"},
    `likely ${supply.class === "filled" ? "full" : "empty"} in ${count(Math.round(days.p50), "day")}, `,
    element("span", {}, when)
  );
}

// `history`: the answer of /v1/devices/{name}/history, or null.
export function supplyItem(supply, history, now, zone) {
  const points = history?.series?.find((each) => each.name === `supply:${supply.index}`)?.points ?? [];
  const level = supply.percent;
  const drawing = {
    points,
    level,
    days: supply.days_left,
    now,
    zone,
    name: supplyName(supply),
    filled: supply.class === "filled",
  };
  const plotted = level !== null && (points.length > 1 || supply.days_left);
  return element(
    "li",
    {"data-key": `supply ${supply.index}`, class: "supply"},
    element(
      "p",
      {class: "head"},
      element("span", {}, said(supplyName(supply))),
      element("span", {}, lowMark(supply), " ", element("b", {}, levelWord(supply)))
    ),
    gauge(supply),
    expectation(supply, now, zone),
    plotted
      ? element(
          "details",
          {"data-key": "plot", open: true},
          element("summary", {}, "Course and forecast"),
          levelPlot(drawing),
          element("details", {"data-key": "table"}, element("summary", {}, "The same as a table"), levelTable(drawing))
        )
      : null
  );
}
