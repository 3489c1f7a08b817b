// The service plan: what is due on which device, and when it was done last.
import {serviceButton} from "./acts.js";
import {element, said, sign, way} from "./dom.js";
import {day, figure, stepsOf, moment} from "./words.js";
import {notKnown, ledger} from "./later.js";

const marks = {
  overdue: ["\u25A0", "overdue"],
  due: ["\u25B2", "due"],
  soon: ["\u25C6", "soon"],
  later: ["\u25CB", "later"],
  unknown: ["?", "not known"],
};
const rank = Object.keys(marks);

// due_at is a time; one that is told with its limits has p10, p50 and p90.
const dueOf = (item) => item.due_at?.p50 ?? (typeof item.due_at === "string" ? item.due_at : null);
function dueWord(item, zone) {
  const due = dueOf(item);
  if (due === null) return "not known";
  const {p10, p90} = item.due_at;
  if (!p10 || !p90) return element("b", {}, `about ${day(due, zone)}`);
  return [element("b", {}, `about ${day(due, zone)}`), element("br"), `${day(p10, zone)} to ${day(p90, zone)}`];
}

function doneWord(done, zone) {
  if (!done) return "never, as far as is known";
  return [
    moment(done.at, zone),
    done.by ? [" by ", said(done.by)] : "",
    typeof done.count === "number" ? `, counter at ${figure(done.count)}` : "",
  ];
}

function row(item, zone) {
  const [shape, word] = marks[item.state] ?? ["?", item.state];
  return {
    key: item.id,
    cells: [
      [element("b", {}, said(item.title ?? item.task)), element("br"), way(["device", item.device], {}, said(item.device))],
      element("span", {class: `term ${item.state}`}, sign(shape), ` ${word}`),
      dueWord(item, zone),
      doneWord(item.last_done, zone),
      [
        said(item.why ?? ""),
        item.remedy && (item.remedy.steps?.length || item.remedy.cautions?.length)
          ? element("details", {"data-key": "how"}, element("summary", {}, "How"), ...stepsOf(item.remedy))
          : "",
      ],
      serviceButton(item.id, item.title ?? item.task, item.device),
    ],
  };
}

const heads = ["task", "is", "due", "last done", "why", "say so"];

export function serviceView({fleet, shelf, fits, page, zoneOf}) {
  const answer = shelf.ask("/v1/upkeep", {list: true});
  const siteOf = (item) => fleet.devices.get(item.device)?.site;
  const fitting = (answer.value ?? [])
    .filter((item) => fits(siteOf(item), [item.title ?? item.task, item.device, item.why].join("\n").toLowerCase()))
    .sort((a, b) => rank.indexOf(a.state) - rank.indexOf(b.state) || ((dueOf(a) ?? "9") < (dueOf(b) ?? "9") ? -1 : 1));
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
