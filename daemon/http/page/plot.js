// A supply's level over time, and the band in which it is expected to run out; a table says the same.
import {element, drawn} from "./dom.js";
import {day, figure} from "./words.js";

const hours = 3600e3;
const wide = 320;
const high = 72;
const foot = 14; // room for the days below

const beyond = 2000; // days: what stands for a quantile that is null

// points: [[time, percent], ...], oldest first; days: {p10, p50, p90} from now on, or null.
function measure(points, days, now, filled) {
  const first = points.length ? Math.min(new Date(points[0][0]).getTime(), now - 24 * hours) : now - 24 * hours;
  const back = now - first;
  const ahead = days ? Math.min(Math.max(days.p90, 1) * 24 * hours, Math.max(back * 2, 14 * 24 * hours)) : back / 12;
  const last = now + ahead;
  const x = (instant) => ((instant - first) / (last - first)) * wide;
  // Of a receptacle the room left is told, and drawn is how full it is.
  const y = (percent) => {
    const share = Math.min(100, Math.max(0, percent)) / 100;
    return (filled ? share : 1 - share) * high;
  };
  return {first, last, x, y};
}

const pair = (x, y) => `${x.toFixed(1)},${y.toFixed(1)}`;

// A line that leaves the plot ends at its edge.
function toEmpty(scale, now, level, days) {
  const end = now + days * 24 * hours;
  if (end <= scale.last) return pair(scale.x(end), scale.y(0));
  return pair(scale.x(scale.last), scale.y(level * (1 - (scale.last - now) / (end - now))));
}

function band(scale, now, level, days) {
  if (!days) return [];
  const start = pair(scale.x(now), scale.y(level));
  const late = toEmpty(scale, now, level, days.p90);
  const right = now + days.p90 * 24 * hours > scale.last ? ` ${pair(scale.x(scale.last), scale.y(0))}` : "";
  return [
    drawn("polygon", {class: "band", points: `${start} ${toEmpty(scale, now, level, days.p10)}${right} ${late}`}),
    drawn("polyline", {class: "likely", points: `${start} ${toEmpty(scale, now, level, days.p50)}`}),
  ];
}

// At most so many points are drawn: more than the plot has columns.
function thinned(points) {
  const step = Math.ceil(points.length / wide);
  return step <= 1 ? points : points.filter((_, index) => index % step === 0 || index === points.length - 1);
}

const known = (days) => days && {p10: days.p10 ?? beyond, p50: days.p50 ?? beyond, p90: days.p90 ?? beyond};
const asFigure = (days) => (days === null ? "more than can be foreseen" : figure(days));

export function levelPlot({points, level, days: told, now, zone, name, filled}) {
  const days = known(told);
  const scale = measure(points, days, now, filled);
  const seen = thinned(points).map(([at, percent]) => pair(scale.x(new Date(at).getTime()), scale.y(percent)));
  if (level !== null) seen.push(pair(scale.x(now), scale.y(level)));
  const today = scale.x(now);
  const unit = filled ? "% of room left" : "%";
  const words = days
    ? `${name}: ${figure(level)} ${unit} now, likely ${filled ? "full" : "empty"} in ${asFigure(told.p50)} days, between ${asFigure(told.p10)} and ${asFigure(told.p90)}`
    : `${name}: ${figure(level)} ${unit} now`;
  return drawn(
    "svg",
    {class: "plot", viewBox: `-2 -4 ${wide + 4} ${high + foot + 6}`, role: "img", "aria-label": words},
    drawn("path", {class: "grid", d: `M0 0H${wide}M0 ${high / 2}H${wide}M0 ${high}H${wide}`}),
    ...(level === null ? [] : band(scale, now, level, days)),
    drawn("polyline", {class: "seen", points: seen.join(" ")}),
    drawn("path", {class: "today", d: `M${today.toFixed(1)} -2V${high}`}),
    drawn("text", {x: 0, y: high + foot - 1}, day(scale.first, zone)),
    drawn("text", {x: Math.min(Math.max(today, 70), wide - 70), y: high + foot - 1, "text-anchor": "middle"}, "today"),
    wide - today > 110 ? drawn("text", {x: wide, y: high + foot - 1, "text-anchor": "end"}, day(scale.last, zone)) : null
  );
}

// The last of each day, the newest first.
export function levelTable({points, days, now, zone, filled}) {
  const byDay = new Map();
  for (const [at, value] of points) byDay.set(day(at, zone), value);
  const rows = [...byDay].slice(-31).reverse();
  const expected = days
    ? [
        ["p90", "at the latest, 9 in 10"],
        ["p50", "as likely before as after"],
        ["p10", "at the earliest, 9 in 10"],
      ]
        .filter(([key]) => days[key] !== null)
        .map(([key, word]) => [`${day(now + days[key] * 24 * hours, zone)} (${word})`, filled ? "full" : "empty"])
    : [];
  return element(
    "table",
    {},
    element(
      "thead",
      {},
      element(
        "tr",
        {},
        element("th", {scope: "col"}, "day"),
        element("th", {scope: "col"}, filled ? "% of room left" : "% left")
      )
    ),
    element(
      "tbody",
      {},
      [...expected, ...rows].map(([when, value]) =>
        element(
          "tr",
          {},
          element("th", {scope: "row"}, when),
          element("td", {}, typeof value === "number" ? figure(value) : value)
        )
      )
    )
  );
}
