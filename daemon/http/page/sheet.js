// One incident as a sheet: where and since when, what to carry, how to mend it, what says so.
import {element, said, way} from "./dom.js";
import {severityMark, whoWord, operatorWord, proofWord, howLong, moment, partWord, stepsOf} from "./words.js";

export function fact(term, ...texts) {
  return element("div", {}, element("dt", {}, term), element("dd", {}, ...texts));
}

function label(incident, row, zone, now) {
  const at = incident.device
    ? way(["device", incident.device], {}, said(incident.device))
    : incident.queue
      ? way(["queues", incident.queue], {}, said(incident.queue))
      : null;
  const facts = [
    incident.place ? fact("at", said(incident.place)) : null,
    at ? fact(incident.device ? "of" : "queue", at) : null,
    fact("stands in", said([row?.location, incident.site].filter(Boolean).join(", ") || "not said")),
    fact("since", moment(incident.raised_at, zone), ` (${howLong(now - new Date(incident.raised_at))})`),
    fact("for", whoWord(incident.training)),
    incident.times_raised > 1 ? fact("came back", `raised ${incident.times_raised} times`) : null,
    incident.operator !== "none" ? fact("people said", operatorWord(incident.operator)) : null,
    incident.shelved_until ? fact("shelved until", moment(incident.shelved_until, zone)) : null,
    proofWord(incident.proof) ? fact("proof", proofWord(incident.proof)) : null,
    fact("kind", said(incident.kind)),
    fact("number", said(incident.id)),
  ];
  return element("dl", {class: "label"}, facts);
}

export function evidenceList(conditions, zone) {
  return element(
    "ul",
    {class: "evidence"},
    conditions.map((condition) =>
      element(
        "li",
        {},
        element("b", {}, said(condition.keyword)),
        " since ",
        moment(condition.since, zone),
        element(
          "ul",
          {},
          condition.witnesses.map((witness) =>
            element("li", {}, witness.contradicts ? element("b", {}, "against it: ") : null, said(witness.says))
          )
        )
      )
    )
  );
}

function story(incident, zone) {
  const lines = [
    ...incident.changes.map((change) => [change.at, [`${change.what}: `, said(change.summary)]]),
    ...incident.actions.map((action) => [
      action.at,
      [
        `${action.operator === "none" ? "taken back" : operatorWord(action.operator)} by `,
        said(action.by || "the daemon"),
        action.note ? ": " : "",
        action.note ? said(action.note) : "",
      ],
    ]),
  ].sort((a, b) => (a[0] < b[0] ? -1 : 1));
  return element(
    "ol",
    {class: "story"},
    lines.map(([at, texts]) => element("li", {}, moment(at, zone), " ", ...texts))
  );
}

function acts(incident) {
  if (incident.state !== "raised") return null;
  const act = (verb, text) =>
    element("button", {type: "button", "data-act": "incident", "data-verb": verb, "data-id": incident.id}, text);
  return element(
    "p",
    {class: "acts"},
    incident.operator === "ack" ? null : act("ack", "Acknowledge \u2026"),
    act("shelve", "Shelve \u2026"),
    act("close", "Close \u2026"),
    incident.operator === "none" ? null : act("take-back", "Take back \u2026")
  );
}

export function sheet(incident, row, zone, now, asked) {
  const {carry} = incident.remedy;
  return element(
    "article",
    {class: "sheet", "data-key": `sheet ${incident.id}`, "data-unasked": !asked, "aria-labelledby": "sheet-title"},
    asked ? element("p", {class: "back"}, element("a", {href: "#/mend"}, "\u2190 all that is to be mended")) : null,
    element(
      "header",
      {},
      element("p", {}, severityMark(incident.severity), incident.state === "raised" ? null : " \u2013 cleared"),
      element("h2", {id: "sheet-title", tabindex: "-1"}, said(incident.summary))
    ),
    label(incident, row, zone, now),
    element(
      "section",
      {"aria-label": "Parts to carry", class: "kit"},
      element("h3", {}, "Carry"),
      carry.length
        ? element(
            "ul",
            {},
            carry.map((part) => element("li", {}, said(partWord(part))))
          )
        : element("p", {}, "nothing but your hands")
    ),
    element("section", {"aria-label": "How to mend it"}, element("h3", {}, "How to mend it"), ...stepsOf(incident.remedy)),
    acts(incident),
    element(
      "details",
      {"data-key": "evidence"},
      element("summary", {}, "What says so"),
      evidenceList(incident.evidence, zone)
    ),
    element("details", {"data-key": "story"}, element("summary", {}, "What happened so far"), story(incident, zone))
  );
}
