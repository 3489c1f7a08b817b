// One device, as its own sheet.
import {element, said, way} from "./dom.js";
import {severityMark, stateMark, levelWord, figure, moment, howLong, count, day, wallTime} from "./words.js";
import {supplyItem} from "./supplies.js";
import {evidenceList} from "./sheet.js";
import {part} from "./later.js";
import {complaintLines, complaintsOf, symptoms} from "./complaints.js";
import {inOrder} from "./mend.js";

function tray(input) {
  const level = input.empty ? "empty" : input.percent === null ? levelWord(input) : `${Math.round(input.percent)} %`;
  return element(
    "tr",
    {},
    element("th", {scope: "row"}, said(input.name)),
    element("td", {}, said(input.media ?? "")),
    element("td", {}, level),
    element("td", {}, said(input.status))
  );
}

function bin(output) {
  const level = output.full ? "none: full" : output.percent === null ? levelWord(output) : `${Math.round(output.percent)} %`;
  return element(
    "tr",
    {},
    element("th", {scope: "row"}, said(output.name)),
    element("td", {}, level),
    element("td", {}, said(output.status))
  );
}

function table(heads, rows) {
  return rows.length === 0
    ? null
    : element(
        "div",
        {class: "wide"},
        element(
          "table",
          {},
          element(
            "thead",
            {},
            element(
              "tr",
              {},
              heads.map((head) => element("th", {scope: "col"}, head))
            )
          ),
          element("tbody", {}, rows)
        )
      );
}

function incidentLines(incidents, zone, now) {
  return incidents.length === 0
    ? null
    : element(
        "ul",
        {class: "short"},
        incidents.map((incident) =>
          element(
            "li",
            {"data-key": incident.id},
            severityMark(incident.severity),
            " ",
            way(["mend", incident.id], {}, said(incident.summary)),
            " ",
            incident.state === "raised"
              ? `for ${howLong(now - new Date(incident.raised_at))}`
              : `${wallTime(incident.raised_at, zone)}, over after ${howLong(new Date(incident.cleared_at) - new Date(incident.raised_at))}`,
            incident.outcome ? element("span", {}, "; ", said(incident.outcome)) : null
          )
        )
      );
}

// Jams per 10,000 sheets, with the limits between which the true rate lies with 95 %.
function jamRate(answer) {
  const item = answer.value?.items?.[0];
  if (!item) return null;
  const seen = `${count(item.jams, "jam")} in ${count(item.sheets, "sheet")}`;
  if (!item.rate) return element("p", {}, `${seen}.`);
  const {value, low, high} = item.rate;
  const trend = item.worse ? " More often than before." : item.better ? " Less often than before." : "";
  return element(
    "p",
    {},
    `${seen}: ${figure(value)} in 10,000, in truth between ${figure(low)} and ${figure(high)}.${trend}`
  );
}

function facts(device, zone) {
  const row = (term, text) =>
    text === null || text === undefined || text === ""
      ? null
      : element("div", {}, element("dt", {}, term), element("dd", {}, text));
  return element(
    "dl",
    {class: "label"},
    row("stands in", said([device.location, device.site].filter(Boolean).join(", "))),
    row("made as", said([device.maker, device.model].filter(Boolean).join(" "))),
    row("serial", said(device.serial ?? "")),
    row("address", said(device.address)),
    row("firmware", said(device.firmware ?? "")),
    row("impressions", device.impressions === null ? null : figure(device.impressions)),
    row("last heard", device.last_reading_at ? moment(device.last_reading_at, zone) : "never")
  );
}

function alertTable(device) {
  return table(
    ["says", "severity", "who", "part"],
    device.alerts.map((alert) =>
      element(
        "tr",
        {},
        element("th", {scope: "row"}, said(alert.description || alert.code)),
        element("td", {}, said(alert.severity)),
        element("td", {}, said(alert.training)),
        element("td", {}, said(alert.subunit ?? alert.group))
      )
    )
  );
}

function body(device, {fleet, shelf, zoneOf}, now) {
  const zone = zoneOf(device.site);
  const path = encodeURIComponent(device.name);
  const open = [...fleet.incidents.values()].filter((incident) => incident.device === device.name).sort(inOrder);
  const past = (shelf.ask(`/v1/incidents?device=${path}&state=cleared`, {list: true}).value ?? []).slice().reverse();
  const history = shelf.ask(`/v1/devices/${path}/history`);
  const queues = [...fleet.queues.values()].filter((queue) => queue.device === device.name);
  return [
    facts(device, zone),
    part("To mend here", "open", incidentLines(open, zone, now) ?? element("p", {}, "nothing")),
    part(
      "On its panel",
      "console",
      device.console.length ? element("pre", {class: "panel"}, said(device.console.join("\n"))) : null
    ),
    part(
      "Supplies",
      "supplies",
      element(
        "ul",
        {class: "supplies"},
        device.supplies.map((supply) => supplyItem(supply, history.value, now, zone))
      ),
      history.state === "absent"
        ? element("p", {class: "later"}, "This daemon does not tell the course of supplies yet.")
        : null
    ),
    part("Trays", "trays", table(["tray", "holds", "filled", "says"], device.inputs.map(tray))),
    part(
      "Bins",
      "bins",
      table(
        ["bin", "room left", "says"],
        device.outputs.map((output) => bin(output))
      )
    ),
    part(
      "Covers",
      "covers",
      table(
        ["cover", "is"],
        device.covers.map((cover) =>
          element(
            "tr",
            {},
            element("th", {scope: "row"}, said(cover.name)),
            element("td", {}, cover.open ? element("b", {}, "open") : "closed")
          )
        )
      )
    ),
    part(
      "What it says of itself",
      "alerts",
      alertTable(device),
      device.conditions.length
        ? element(
            "details",
            {"data-key": "evidence"},
            element("summary", {}, "What is so, and who says so"),
            evidenceList(device.conditions, zone)
          )
        : null
    ),
    part(
      "Queues that print on it",
      "queues",
      queues.length
        ? element(
            "ul",
            {class: "short"},
            queues.map((queue) =>
              element("li", {}, stateMark(queue.state), " ", way(["queues", queue.name], {}, said(queue.name)))
            )
          )
        : null
    ),
    part("How often it jams", "jams", jamRate(shelf.ask(`/v1/reliability?device=${path}`))),
    part("Complaints", "complaints", complaintLines(complaintsOf(shelf, device.name), symptoms(shelf), zone)),
    part("Past incidents", "past", incidentLines(past.slice(0, 50), zone, now)),
    part(
      "What the reading lacks",
      "gaps",
      device.gaps.length
        ? element(
            "ul",
            {},
            device.gaps.map((gap) => element("li", {}, said(gap)))
          )
        : null
    ),
  ];
}

// "#/device/NAME"
export function deviceView(view, now) {
  const {fleet, shelf, route} = view;
  const name = route[1] ?? "";
  fleet.onScreen = new Set([name]);
  const answer = shelf.ask(`/v1/devices/${encodeURIComponent(name)}`);
  const device = answer.value;
  const back = element("p", {class: "back"}, element("a", {href: "#/devices"}, "\u2190 all devices"));
  const title = (...more) => element("header", {}, element("h2", {id: "view-title", tabindex: "-1"}, said(name)), ...more);
  if (device === null) {
    const why = answer.state === "reading" ? "Reading \u2026" : answer.detail;
    return [
      element(
        "article",
        {class: "sheet lone", "data-key": "device"},
        back,
        title(),
        element("p", {class: "nothing"}, said(why))
      ),
    ];
  }
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": `device ${name}`, "aria-labelledby": "view-title"},
      back,
      title(
        element("p", {}, stateMark(device.state), device.detail ? element("span", {}, ": ", said(device.detail)) : null),
        element(
          "p",
          {class: "acts"},
          element("button", {type: "button", "data-act": "testprint", "data-name": name}, "Print a test page \u2026"),
          symptoms(shelf).length
            ? element("button", {type: "button", "data-act": "complain", "data-name": name}, "Somebody complains \u2026")
            : null
        )
      ),
      ...body(device, view, now)
    ),
  ];
}
