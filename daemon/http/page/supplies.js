// A supply of one device: how much there is, when it is expected to run out, and its course.
import {element, said} from "./dom.js";
import {levelWord, supplyName, count, day} from "./words.js";
import {gauge, lowMark} from "./inks.js";
import {levelPlot, levelTable} from "./plot.js";

const dayLength = 24 * 3600e3;

// A quantile that is null lies beyond what is looked ahead; without any, the daemon says why.
function expectation(supply, now, zone) {
  const days = supply.days_left;
  if (!days)
    return supply.days_left_why ? element("p", {class: "expected"}, said(`no forecast: ${supply.days_left_why}`)) : null;
  const over = supply.class === "filled" ? "full" : "empty";
  const on = (quantile) => day(now + quantile * dayLength, zone);
  if (days.p10 === null) return element("p", {class: "expected"}, `not ${over} within what can be foreseen`);
  if (days.p50 === null) return element("p", {class: "expected"}, `hardly ${over} before ${on(days.p10)}`);
  const span = `${on(days.p10)} ${days.p90 === null ? "or much later" : `to ${on(days.p90)}`}`;
  return element(
    "p",
    {class: "expected"},
    `likely ${over} in ${count(Math.round(days.p50), "day")}, `,
    element("span", {}, span)
  );
}

// What the device is known to have had, and when; a point may have no value.
function courseOf(history, index) {
  const series = history?.series?.find((each) => each.name === `supply:${index}`);
  return (series?.points ?? []).filter(([, value]) => value !== null);
}

// `history`: the answer of /v1/devices/{name}/history, or null.
export function supplyItem(supply, history, now, zone) {
  const points = courseOf(history, supply.index);
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
