// Supplies as a printer's colour bar: a patch for each colour with its letter, filled as high as the supply is.
import {element, said, sign, drawn} from "./dom.js";
import {levelWord, supplyName} from "./words.js";

const letters = {black: "K", cyan: "C", magenta: "M", yellow: "Y"};

const isInk = (supply) =>
  ["toner", "toner-cartridge", "ink", "ink-cartridge", "ink-ribbon", "solid-wax"].includes(supply.type);
const share = (supply) =>
  supply.percent === null || supply.percent === undefined
    ? null
    : Math.min(100, Math.max(0, supply.class === "filled" ? 100 - supply.percent : supply.percent));

const step = 20;

function patch(supply, place) {
  const level = share(supply);
  const height = level === null ? 0 : level * 0.22;
  const x = place * step;
  return [
    height > 0
      ? drawn("path", {
          class: `fill ${letters[supply.colorant] ?? "other"}`,
          d: `M${x + 1} 23v-${height.toFixed(1)}h16v${height.toFixed(1)}z`,
        })
      : null,
    drawn("text", {x: x + 9, y: 16}, level === null ? "?" : (letters[supply.colorant] ?? "\u2022")),
    supply.low ? drawn("path", {class: "notch", d: `M${x + 11} 0h7v7z`}) : null,
  ];
}

// One drawing for the whole bar: a hundred lines of them have to be quick.
function patches(inks) {
  const wide = inks.length * step;
  const words = inks.map((supply) => `${supplyName(supply)}: ${levelWord(supply)}${supply.low ? ", low" : ""}`).join("; ");
  const cans = inks.map((_, place) => `M${place * step + 1} 1h16v22h-16z`).join("");
  return drawn(
    "svg",
    {class: "bar", viewBox: `0 0 ${wide} 24`, width: wide, height: 24, role: "img", "aria-label": words},
    drawn("path", {class: "can", d: cans}),
    inks.map(patch)
  );
}

// The row's bar; what is low is said in words beside it.
export function colourBar(supplies) {
  const inks = supplies.filter(isInk);
  const low = supplies.filter((supply) => supply.low);
  return [
    inks.length ? patches(inks) : null,
    low.length
      ? element(
          "span",
          {class: "low"},
          low.map((supply, index) => [
            index ? "; " : "",
            said(supplyName(supply)),
            ` ${supply.class === "filled" ? "fills up" : "low"}, ${levelWord(supply)}`,
          ])
        )
      : null,
  ];
}

// A long gauge that repeats the figure beside it; `percent` of it is filled.
export function filled(percent, kind = "other") {
  return drawn(
    "svg",
    {class: "gauge", viewBox: "0 0 100 6", preserveAspectRatio: "none", "aria-hidden": "true"},
    drawn("rect", {class: "can", x: 0, y: 0, width: 100, height: 6}),
    drawn("rect", {class: `fill ${kind}`, x: 0, y: 0, width: percent, height: 6})
  );
}

// One supply; the notch says "low" by its shape, the word says it too.
export function gauge(supply) {
  const level = share(supply);
  if (level === null) return null;
  return filled(level, letters[supply.colorant]);
}

export function lowMark(supply) {
  return supply.low
    ? element("span", {class: "low"}, sign("\u25E5 "), supply.class === "filled" ? "fills up" : "low")
    : null;
}
