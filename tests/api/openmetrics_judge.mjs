// Parses a text by a grammar in ABNF with a general parser of ABNF, and holds what it finds against the rules that the
// grammar cannot say.
//
// Arguments: the grammar's file. Standard input: JSON {"good": text, "bad": [texts]}. Standard output: JSON {"faults": [...],
// "refused": [whether each of the bad was], "samples": [{name, labels, value}]}.
import {readFileSync} from "node:fs";
import apg from "apg-js";

const {apgApi, apgLib} = apg;
const api = new apgApi(readFileSync(process.argv[2], "utf8").replaceAll("\r\n", "\n").replaceAll("\n", "\r\n"));
api.generate();
if (api.errors.length) throw new Error(JSON.stringify(api.errors));
const grammar = api.toObject();
const {good, bad} = JSON.parse(readFileSync(0, "utf8"));

// The names of the rules whose words we want, in the order in which they come.
const wanted = ["metric-descriptor", "metricname", "metric-type", "type", "unit", "sample", "label-name", "escaped-string", "number"];
function parse(text) {
  const parser = new apgLib.parser();
  parser.ast = new apgLib.ast();
  const found = [];
  for (const rule of wanted)
    parser.ast.callbacks[rule] = (state, characters, begin, length) => {
      if (state === apgLib.ids.SEM_PRE) found.push([rule, String.fromCodePoint(...characters.slice(begin, begin + length))]);
      return apgLib.ids.SEM_OK;
    };
  const result = parser.parse(grammar, "exposition", [...text].map((c) => c.codePointAt(0)));
  if (result.success) parser.ast.translate(found);
  return {success: result.success, matched: result.maxMatched, found};
}

const faults = [];
const {success, matched, found} = parse(good);
if (!success) faults.push(`not OpenMetrics: it fits up to ${JSON.stringify([...good].slice(matched - 60, matched + 60).join(""))}`);

// Lines again, out of the tree.
const lines = [];
for (const [rule, text] of found) {
  if (rule === "metric-descriptor" || rule === "sample") lines.push({rule, parts: []});
  else lines.at(-1).parts.push([rule, text]);
}
const part = (line, rule) => line.parts.find(([name]) => name === rule)?.[1];
const parts = (line, rule) => line.parts.filter(([name]) => name === rule).map(([, text]) => text);

// Section 5.1 and 4.x of the draft: what may follow a family's name.
const suffixes = {counter: ["_total", "_created"], gauge: [""], info: ["_info"], stateset: [""],
                  histogram: ["_bucket", "_count", "_sum", "_created"]};
const families = new Map();
const samples = [];
let family = null;
for (const line of lines) {
  const name = part(line, "metricname");
  if (line.rule === "metric-descriptor") {
    if (family?.name !== name) {
      if (families.has(name)) faults.push(`the family ${name} comes twice`);
      family = {name, type: null, samples: []};
      families.set(name, family);
    }
    if (family.samples.length) faults.push(`${name} is described behind its samples`);
    if (part(line, "type")) family.type = part(line, "metric-type");
    continue;
  }
  const fits = (suffixes[family.type] ?? []).some((suffix) => name === family.name + suffix);
  if (!fits) faults.push(`${name} is no sample of the ${family.type} ${family.name}`);
  const labels = {};
  const names = parts(line, "label-name");
  parts(line, "escaped-string").forEach((text, i) => {
    if (names[i] in labels) faults.push(`${name} has the label ${names[i]} twice`);
    labels[names[i]] = text.replace(/\\(.)/g, (_, c) => (c === "n" ? "\n" : c));
  });
  const sample = {name, labels, value: Number(part(line, "number").replace(/^\+?inf.*/i, "Infinity"))};
  family.samples.push(sample);
  samples.push(sample);
}

for (const {name, type, samples: own} of families.values()) {
  const seen = new Set();
  for (const sample of own) {
    const key = JSON.stringify([sample.name, Object.entries(sample.labels).sort()]);
    if (seen.has(key)) faults.push(`${key} comes twice`);
    seen.add(key);
    if (type === "counter" && !(sample.value >= 0)) faults.push(`the counter ${key} is ${sample.value}`);
    if (type === "info" && sample.value !== 1) faults.push(`the info ${key} is ${sample.value}`);
    if (type === "stateset" && (![0, 1].includes(sample.value) || !(name in sample.labels))) faults.push(`the state ${key} is ${sample.value}`);
  }
  if (type === "histogram") {
    const buckets = own.filter((sample) => sample.name.endsWith("_bucket"));
    const bounds = buckets.map((sample) => Number(sample.labels.le.replace("+Inf", "Infinity")));
    if (bounds.at(-1) !== Infinity) faults.push(`${name} has no last bucket`);
    for (let i = 1; i < buckets.length; ++i)
      if (bounds[i] <= bounds[i - 1] || buckets[i].value < buckets[i - 1].value) faults.push(`${name}: bucket ${bounds[i]} is below the one before`);
    if (own.find((sample) => sample.name.endsWith("_count")).value !== buckets.at(-1).value) faults.push(`${name} counts otherwise than its buckets`);
  }
}
// A family's unit ends its name.
for (const line of good.split("\n"))
  if (line.startsWith("# UNIT ")) {
    const [, , name, unit] = line.split(" ");
    if (!name.endsWith("_" + unit)) faults.push(`${name} does not end with its unit ${unit}`);
  }

process.stdout.write(JSON.stringify({faults, families: families.size, samples, refused: bad.map((text) => !parse(text).success)}));
