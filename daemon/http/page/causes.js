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

const question = (each) => each.question || each.observation;

function weighed(each) {
  const side = `${strengthWord(each.weight)}${each.weight > 0 ? "for" : "against"} it`;
  return [element("b", {}, `${side}: `), said(question(each)), each.so ? " Yes." : " No."];
}

// A button whose subject is told to whoever hears it alone.
const button = (facts, word, subject) =>
  element("button", {type: "button", "aria-label": `${word}: ${subject}`, ...facts}, `${word} \u2026`);

// `index`: the likeliest stands open.
function causeItem(cause, index, complaint) {
  const title = cause.title || cause.cause;
  const facts = {"data-act": "outcome", "data-id": complaint.id, "data-cause": cause.cause};
  return element(
    "li",
    {"data-key": index === 0 ? `first ${cause.cause}` : cause.cause},
    element(
      "p",
      {class: "head"},
      element("strong", {}, said(title)),
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
    complaint.cause ? null : element("p", {class: "acts"}, button(facts, "It was this", title))
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
function answer({id}, each, so, word) {
  const facts = {"data-act": "seen", "data-id": id, "data-observation": each.observation, "data-so": so ? "yes" : "no"};
  return button(facts, word, question(each));
}

const most = 3; // checks at once

// A question with its answers beside it.
const asked = (each, more, buttons) =>
  element("div", {}, element("p", {}, said(question(each)), more), buttons ? element("p", {class: "acts"}, buttons) : null);

function checkItem(each, complaint) {
  const buttons = [answer(complaint, each, true, "Yes"), answer(complaint, each, false, "No")];
  return asked(each, each.minutes ? ` (${each.minutes} min)` : "", buttons);
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
    [...known.values()].map((each) =>
      asked(
        each,
        element("b", {}, each.so ? " Yes." : " No."),
        complaint.cause ? null : answer(complaint, each, !each.so, "It is otherwise")
      )
    )
  );
}

// The words of what an observation asks, wherever the diagnosis has it.
export function questionOf(diagnosis, observation) {
  const all = [...diagnosis.checks, ...diagnosis.causes.flatMap((cause) => cause.evidence)];
  return all.find((each) => each.observation === observation)?.question || observation;
}
