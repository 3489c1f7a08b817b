// The service plan: what is due on which device, and when it was done last.
import {element, said, sign, way} from "./dom.js";
import {day, figure, stepsOf, moment} from "./words.js";
import {notKnown, ledger} from "./later.js";

const marks = {
  overdue: ["\u25A0", "overdue"],
  due: ["\u25B2", "due"],
  ahead: ["\u25CB", "ahead"],
  unknown: ["?", "not known"],
};
const rank = Object.keys(marks);

function dueWord(due, zone) {
  if (!due) return "not known";
  if (!due.p10 || !due.p90 || due.p10 === due.p90) return due.p50 ? day(due.p50, zone) : "not known";
  return [element("b", {}, `about ${day(due.p50, zone)}`), element("br"), `${day(due.p10, zone)} to ${day(due.p90, zone)}`];
}

function row(item, zone) {
  const [shape, word] = marks[item.state] ?? ["?", item.state];
  const done = item.last_done;
  return {
    key: item.id,
    cells: [
      [element("b", {}, said(item.task)), element("br"), way(["device", item.device], {}, said(item.device))],
      element("span", {class: `term ${item.state}`}, sign(shape), ` ${word}`),
      dueWord(item.due_at, zone),
      done
        ? [
            moment(done.at, zone),
            done.by ? [" by ", said(done.by)] : "",
            done.count !== null && done.count !== undefined ? ` at ${figure(done.count)}` : "",
          ]
        : "never, as far as is known",
      [
        said(item.why ?? ""),
        item.remedy && (item.remedy.steps?.length || item.remedy.cautions?.length)
          ? element("details", {"data-key": "how"}, element("summary", {}, "How"), ...stepsOf(item.remedy))
          : "",
      ],
    ],
  };
}

const heads = ["task", "is", "due", "last done", "why"];

export function serviceView({fleet, shelf, fits, page, zoneOf}) {
  const answer = shelf.ask("/v1/upkeep", {list: true});
  const siteOf = (item) => fleet.devices.get(item.device)?.site;
  const fitting = (answer.value ?? [])
    .filter((item) => fits(siteOf(item), [item.task, item.device, item.why].join("\n").toLowerCase()))
    .sort(
      (a, b) => rank.indexOf(a.state) - rank.indexOf(b.state) || ((a.due_at?.p50 ?? "9") < (b.due_at?.p50 ?? "9") ? -1 : 1)
    );
  const shown = page.slice(fitting, 100);
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": "service", "aria-labelledby": "view-title"},
      element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, "Service plan")),
      !answer.value
        ? notKnown(answer, "plan service")
        : shown.items.length
          ? ledger(
              heads,
              shown.items.map((item) => row(item, zoneOf(siteOf(item)))),
              "Service plan"
            )
          : element("p", {class: "nothing"}, "No service is planned."),
      shown.more
    ),
  ];
}
