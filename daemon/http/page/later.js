// What the sheets are made of, and what is said while an answer is missing.
import {element, said} from "./dom.js";

export function notKnown(answer, what) {
  const texts = {reading: "Reading \u2026", absent: `This daemon does not ${what} yet.`};
  return element("p", {class: "nothing"}, texts[answer.state] ?? said(answer.detail));
}

// A part of a sheet under a title of its own; nothing where there is nothing to hold.
export function part(title, key, ...content) {
  const held = content.flat().filter(Boolean);
  return held.length ? element("section", {"data-key": key, "aria-label": title}, element("h3", {}, title), held) : null;
}

// A table that a narrow screen lays out as cards: each cell knows its column's name.
export function ledger(heads, rows, caption) {
  return element(
    "table",
    {class: "ledger"},
    element("caption", {class: "unseen"}, caption),
    element(
      "thead",
      {},
      element(
        "tr",
        {},
        heads.map((head) => element("th", {scope: "col"}, head))
      )
    ),
    element(
      "tbody",
      {},
      rows.map(({key, cells}) =>
        element(
          "tr",
          {"data-key": key},
          cells.map((cell, index) =>
            element(index ? "td" : "th", index ? {"data-head": heads[index]} : {scope: "row"}, cell ?? "")
          )
        )
      )
    )
  );
}
