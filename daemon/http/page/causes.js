// What a complaint may come from: the causes with what speaks for and against each, and what to look at next.
import {element, said, list} from "./dom.js";
import {count, stepsOf} from "./words.js";
import {filled} from "./inks.js";

// Intelligence Community Directive 203 (2015), D.6.e.(2)(a), from memory; as the client says it.
const chances = [
  [0.05, "almost no chance"],
  [0.2, "very unlikely"],
  [0.45, "unlikely"],
  [0.55, "roughly even chance"],
  [0.8, "likely"],
  [0.95, "very likely"],
];
export const chanceWord = (probability) => chances.find(([under]) => probability < under)?.[1] ?? "almost certain";

export function perCent(probability) {
  const whole = Math.round(probability * 100);
  return whole === 0 ? "under 1 %" : whole >= 100 ? "over 99 %" : `${whole} %`;
}

// By the factor on the odds: Kass and Raftery (1995), table of Bayes factors: 3, 20, 150.
function strengthWord(weight) {
  const factor = Math.exp(Math.min(Math.abs(weight), 50));
  return factor < 3 ? "a little " : factor < 20 ? "" : factor < 150 ? "strongly " : "very strongly ";
}

const question = (each) => said(each.question || each.observation);

function weighed(each) {
  const side = `${strengthWord(each.weight)}${each.weight > 0 ? "for" : "against"} it`;
  return [element("b", {}, `${side}: `), question(each), each.so ? " Yes." : " No."];
}

// `index`: the likeliest stands open.
function causeItem(cause, index, complaint) {
  const title = said(cause.title || cause.cause);
  const button = (text) =>
    element("button", {type: "button", "data-act": "outcome", "data-id": complaint.id, "data-cause": cause.cause}, ...text);
  return element(
    "li",
    {"data-key": index === 0 ? `first ${cause.cause}` : cause.cause},
    element(
      "p",
      {class: "head"},
      element("strong", {}, title),
      element("span", {}, element("b", {}, perCent(cause.probability)), `, ${chanceWord(cause.probability)}`)
    ),
    filled(Math.min(100, Math.max(0, cause.probability * 100))),
    list("ul", {class: "evidence"}, cause.evidence.map(weighed)) ??
      element("p", {class: "later"}, "Nothing that is known speaks for it or against it."),
    element(
      "details",
      {"data-key": "mend", open: index === 0, class: "how"},
      element("summary", {}, "How to mend it"),
      ...stepsOf(cause)
    ),
    complaint.cause
      ? null
      : element(
          "p",
          {class: "acts"},
          button(["It was this", element("span", {class: "unseen"}, ": ", title.cloneNode(true)), " \u2026"])
        )
  );
}

export function causeList(diagnosis, complaint) {
  return diagnosis.causes.length
    ? element(
        "ol",
        {class: "causes"},
        diagnosis.causes.map((cause, index) => causeItem(cause, index, complaint))
      )
    : element("p", {}, "No cause is known for this.");
}

// A button that tells the complaint what was seen.
function answer(complaint, each, so, text) {
  const facts = {
    "data-act": "seen",
    "data-id": complaint.id,
    "data-observation": each.observation,
    "data-so": so ? "yes" : "no",
  };
  return element(
    "button",
    {type: "button", ...facts},
    text,
    element("span", {class: "unseen"}, ": ", question(each)),
    " \u2026"
  );
}

const most = 3; // checks at once

function checkItem(each, complaint) {
  return element(
    "div",
    {},
    element("p", {}, question(each), each.minutes ? ` (${each.minutes} min)` : ""),
    element("p", {class: "acts"}, answer(complaint, each, true, "Yes"), answer(complaint, each, false, "No"))
  );
}

// The most telling for their time first.
export function checkList(diagnosis, complaint) {
  const items = diagnosis.checks.map((each) => checkItem(each, complaint));
  const more = items.slice(most);
  if (items.length === 0) return element("p", {}, "Nothing is left that would tell these causes apart.");
  return [
    list("ol", {class: "checks"}, items.slice(0, most)),
    more.length
      ? element(
          "details",
          {"data-key": "more checks"},
          element("summary", {}, count(more.length, "more check")),
          list("ol", {class: "checks", start: most + 1}, more)
        )
      : null,
  ];
}

// What was counted, from the daemon or a person, each once; who has looked may say that it is otherwise.
export function knownList(diagnosis, complaint) {
  const known = new Map(diagnosis.causes.flatMap((cause) => cause.evidence.map((each) => [each.observation, each])));
  return list(
    "ul",
    {class: "checks"},
    [...known.values()].map((each) => [
      element("p", {}, question(each), element("b", {}, each.so ? " Yes." : " No.")),
      complaint.cause ? null : element("p", {class: "acts"}, answer(complaint, each, !each.so, "It is otherwise")),
    ])
  );
}

// The words of what an observation asks, wherever the diagnosis has it.
export function questionOf(diagnosis, observation) {
  const asked = [...diagnosis.checks, ...diagnosis.causes.flatMap((cause) => cause.evidence)];
  return asked.find((each) => each.observation === observation)?.question || observation;
}
