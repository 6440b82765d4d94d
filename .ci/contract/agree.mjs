// Asks another implementation of JSON Schema about the documents that the service was asked about. Arguments: the folder of the
// schemas and the file that TestAgreement wrote.
import { createReadStream, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import Ajv from "ajv/dist/2020.js";
import formats from "ajv-formats";

const [folder, file] = process.argv.slice(2);
const ajv = new Ajv.default({ strict: true, strictRequired: false, allowUnionTypes: true });
formats.default(ajv);
for (const name of readdirSync(folder).filter((name) => name.endsWith(".schema.json"))) {
  ajv.addSchema(JSON.parse(readFileSync(join(folder, name), "utf8")));
}
const request = ajv.getSchema("https://jarwright.example/schemas/request.schema.json");

let valid = 0;
let broken = 0;
let differ = 0;
for await (const line of createInterface({ input: createReadStream(file) })) {
  const document = JSON.parse(line);
  const here = request(document.body);
  if (here) valid++;
  else broken++;
  if (here !== document.valid) {
    differ++;
    if (differ <= 10) {
      console.error(`ajv says ${here}, the service ${document.status} ${document.codes}: ${JSON.stringify(document.body)}`);
      console.error(ajv.errorsText(request.errors));
    }
  }
}
console.log(`${valid + broken} documents: ${valid} valid, ${broken} broken; ajv and the service differ on ${differ}`);
if (differ > 0 || valid === 0 || broken === 0) process.exit(1);
