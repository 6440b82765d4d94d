// Asks another implementation of JSON Schema about the documents that the service was asked about, and about some that it wrote.
// Arguments: the folder of the schemas and the file that TestAgreement wrote.
import { createReadStream, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import Ajv from "ajv/dist/2020.js";
import formats from "ajv-formats";

const [folder, file] = process.argv.slice(2);
const ajv = new Ajv.default({ strict: true, strictRequired: false, allowUnionTypes: true, allErrors: true });
formats.default(ajv);
for (const name of readdirSync(folder).filter((name) => name.endsWith(".schema.json"))) {
  ajv.addSchema(JSON.parse(readFileSync(join(folder, name), "utf8")));
}

// The places that the service names for the same mistakes: the member itself where one is too many, else what it is in.
function places(errors) {
  const found = new Set();
  const noObject = new Set((errors ?? []).filter(({ keyword }) => keyword === "type").map(({ instancePath }) => instancePath));
  for (const { keyword, instancePath, params, schemaPath } of errors ?? []) {
    if (keyword === "if") continue; // what is wrong stands beside it
    if (keyword === "additionalProperties") {
      found.add(`${instancePath}/${params.additionalProperty.replaceAll("~", "~0").replaceAll("/", "~1")}`);
    } else if (keyword === "not") {
      // A "not" of the schemas forbids a value beside "as needed", or in a number what lies next to zero. Of what is no object
      // ajv says that too.
      if (!schemaPath.endsWith("/then/not")) found.add(instancePath);
      else if (!noObject.has(instancePath)) found.add(`${instancePath}/value`);
    } else {
      found.add(instancePath);
    }
  }
  return [...found].sort();
}

const counts = {};
let differ = 0;
let compared = 0;
let elsewhere = 0;
for await (const line of createInterface({ input: createReadStream(file) })) {
  const document = JSON.parse(line);
  const holds = ajv.getSchema(`https://jarwright.example/schemas/${document.schema}`);
  const here = holds(document.body);
  const count = (counts[document.schema] ??= { valid: 0, broken: 0 });
  if (here) count.valid++;
  else count.broken++;
  // A quantity out of range in its unit is within the schema or not, which sees no unit.
  const either = new Set(document.either ?? []);
  if (here !== document.valid && (here || either.size === 0)) {
    differ++;
    if (differ <= 10) {
      console.error(`ajv says ${here}, the service ${document.status} ${document.codes}: ${JSON.stringify(document.body)}`);
      console.error(ajv.errorsText(holds.errors));
    }
    continue;
  }
  if (here || document.places === undefined) continue;
  compared++;
  const there = JSON.stringify([...document.places].filter((place) => !either.has(place)).sort());
  const found = JSON.stringify(places(holds.errors).filter((place) => !either.has(place)));
  if (found !== there) {
    elsewhere++;
    if (elsewhere <= 10) console.error(`ajv finds ${found}, the service ${there}`);
  }
}
for (const [schema, { valid, broken }] of Object.entries(counts)) console.log(`${schema}: ${valid} valid, ${broken} broken`);
console.log(`ajv and the service differ on ${differ} documents; of ${compared} broken ones they differ on the places of ${elsewhere}`);
const request = counts["request.schema.json"];
if (differ > 0 || elsewhere > 0 || compared === 0 || !request?.valid || !request?.broken) process.exit(1);
