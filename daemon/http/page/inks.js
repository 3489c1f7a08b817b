// Supplies as a printer's colour bar: a patch for each colour with its letter, filled as high as the supply is.
import {element, said, sign, drawn} from "./dom.js";
import {levelWord, supplyName} from "./words.js";

const letters = {black: "K", cyan: "C", magenta: "M", yellow: "Y"};

const isInk = (supply) => ["toner", "toner-cartridge", "ink", "ink-cartridge", "ink-ribbon", "solid-wax"].includes(supply.type);
const share = (supply) => supply.percent === null || supply.percent === undefined ? null
  : Math.min(100, Math.max(0, supply.class === "filled" ? 100 - supply.percent : supply.percent));

function patch(supply) {
  const level = share(supply);
  const word = `${supplyName(supply)}: ${levelWord(supply)}${supply.low ? ", low" : ""}`;
  const height = level === null ? 0 : level * 0.22;
  return drawn("svg", {class: `patch ${letters[supply.colorant] ?? "other"}`, viewBox: "0 0 18 24", width: 18, height: 24, role: "img", "aria-label": word},
    drawn("rect", {class: "can", x: 1, y: 1, width: 16, height: 22}),
    drawn("rect", {class: "fill", x: 1, y: 23 - height, width: 16, height}),
    drawn("text", {x: 9, y: 16, "text-anchor": "middle"}, level === null ? "?" : letters[supply.colorant] ?? "\u2022"),
    supply.low ? drawn("path", {class: "notch", d: "M11 0h7v7z"}) : null);
}

// The row's bar; what is low is said in words beside it.
export function colourBar(supplies) {
  const inks = supplies.filter(isInk);
  const low = supplies.filter((supply) => supply.low);
  return [
    inks.length ? element("span", {class: "bar"}, inks.map(patch)) : null,
    low.length ? element("span", {class: "low"}, low.map((supply, index) => [index ? "; " : "", said(supplyName(supply)),
      ` ${supply.class === "filled" ? "fills up" : "low"}, ${levelWord(supply)}`])) : null,
  ];
}

// One supply with a long gauge; the notch says "low" by its shape, the word says it too.
export function gauge(supply) {
  const level = share(supply);
  if (level === null) return null;
  return drawn("svg", {class: `gauge ${letters[supply.colorant] ?? "other"} ${supply.class}`, viewBox: "0 0 100 6", preserveAspectRatio: "none", "aria-hidden": "true"},
    drawn("rect", {class: "can", x: 0, y: 0, width: 100, height: 6}),
    drawn("rect", {class: "fill", x: 0, y: 0, width: level, height: 6}));
}

export function lowMark(supply) {
  return supply.low ? element("span", {class: "low"}, sign("\u25E5 "), supply.class === "filled" ? "fills up" : "low") : null;
}
