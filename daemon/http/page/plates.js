// One device as an engraved plate: its name, where it stands, how it does.
import {element, said} from "./dom.js";
import {stateWord, levelWord, supplyName} from "./words.js";

function supplyLine(supply) {
  const low = supply.class === "filled" ? "filling up" : "low";
  const item = element("li", {}, said(supplyName(supply)),
    element("span", {class: supply.low ? "low" : null}, supply.low ? `${low}, ${levelWord(supply)}` : levelWord(supply)));
  if (supply.percent !== null) {
    const bar = element("i", {});
    const shown = supply.class === "filled" ? 100 - supply.percent : supply.percent;
    bar.style.width = `${Math.min(100, Math.max(0, shown))}%`;
    item.append(element("div", {class: "gauge", "aria-hidden": "true"}, bar));
  }
  return item;
}

function notes(device) {
  const lines = [];
  for (const cover of device.covers) if (cover.open) lines.push(`${cover.name} is open`);
  for (const input of device.inputs) if (input.empty) lines.push(`${input.name} is empty`);
  for (const output of device.outputs) if (output.full) lines.push(`${output.name} is full`);
  if (device.detail) lines.push(device.detail);
  if (lines.length === 0) return null;
  return element("ul", {class: "notes"}, ...lines.map((line) => element("li", {}, said(line))));
}

export function plate(device) {
  const made = [device.maker, device.model].filter(Boolean).join(" ");
  return element("article", {class: "plate", "aria-label": `${device.name}, ${device.state}`},
    element("h4", {}, said(device.name)),
    element("p", {class: "stands"}, said([device.location, made].filter(Boolean).join(" \u00B7 "))),
    element("p", {class: `state ${device.state}`}, stateWord(device.state)),
    notes(device),
    device.supplies.length ? element("ul", {class: "supplies"}, ...device.supplies.map(supplyLine)) : null,
    device.console.length ? element("p", {class: "display"}, said(device.console.join("\n"))) : null);
}

const attention = ["stopped", "silent", "attention", "unknown", "busy", "ready"];
export function inOrder(a, b) {
  const first = attention.indexOf(a.state) - attention.indexOf(b.state);
  return first !== 0 ? first : a.name < b.name ? -1 : 1;
}
