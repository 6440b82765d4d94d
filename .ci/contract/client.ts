// What a stranger writes who has nothing but the OpenAPI document: .ci/outside makes contract.d.ts of it, compiles this file with
// --strict, and runs it against the service. Arguments: the address of the service and a request document.
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./contract.js";

type Request = components["schemas"]["Request"];
type Amount = components["schemas"]["QuantityAmount"];

const [address, file] = process.argv.slice(2);
if (address === undefined || file === undefined) throw new Error("give an address and a file");
const client = createClient<paths>({ baseUrl: address });

function check(good: boolean, what: string): void {
  if (!good) throw new Error(what);
}

// A unit that does not exist, or a misspelt member, is a mistake of the compiler's to find.
const good: Amount = { value: 3.5, unit: "lb" };
// @ts-expect-error stone is no unit
const noUnit: Amount = { value: 1, unit: "stone" };
// @ts-expect-error per is missing
const noPer: Request = { recipe: { ingredients: [{ item: "cucumber", amount: good }] } };
// @ts-expect-error ingredeints is misspelt
const misspelt: Request = { recipe: { ingredeints: [] } };
void [noUnit, noPer, misspelt];

const document = JSON.parse(readFileSync(file, "utf8")) as Request;
const judged = await client.POST("/v1/reports", { body: document });
check(judged.response.status === 200 && judged.data !== undefined, `report: status ${judged.response.status}`);
// The same report is also offered as text, so that the answer may be a string as far as the compiler knows.
if (judged.data !== undefined && typeof judged.data === "object" && "disposition" in judged.data) {
  const disposition: "shelf" | "refrigerate" | "hold" | "reprocess" | "discard" = judged.data.disposition;
  check(judged.data.rules.length > 0, "the report has no rules");
  for (const finding of judged.data.findings) check(finding.rule.includes("."), "a finding without a rule");
  console.log(`typescript client: ${file}: ${disposition}, ${judged.data.findings.length} findings`);
} else {
  throw new Error("the answer is no report");
}

const card = await client.POST("/v1/cards", { body: { recipe: document.recipe } });
check(card.response.status === 200, `card: status ${card.response.status}`);
if (card.data !== undefined && typeof card.data === "object" && "disposition" in card.data) {
  for (const line of card.data.ingredients) check(line.item.length > 0, "a line of a card without a food");
} else {
  throw new Error("the answer is no card");
}

const plan = await client.POST("/v1/plans", { body: { recipe: document.recipe, target: { factor: 2 } } });
if (plan.data !== undefined) check(plan.data.shopping.length > 0, "a plan without anything to buy");
else check(plan.error?.code === "invalid_document", `plan: code ${plan.error?.code}`);

const draft = await client.POST("/v1/drafts", {
  body: { "@type": "Recipe", name: "Beets", recipeIngredient: ["2 lb beets", "2 cups vinegar (5%)"] },
  headers: { "Content-Type": "application/ld+json" },
});
if (draft.data === undefined || typeof draft.data === "string") throw new Error(`draft: status ${draft.response.status}`);
const drafted: Request = draft.data.request;
check(drafted.recipe.ingredients.length === 2, "the draft has lost a line");

const broken = await client.POST("/v1/reports", { body: { recipe: { ingredients: [] } } });
check(broken.data === undefined && broken.error !== undefined, "a document without ingredients was taken");
if (broken.error !== undefined) check(broken.error.code === "invalid_document", `code ${broken.error.code}`);

const food = await client.GET("/v1/foods/{id}", { params: { path: { id: "green-bean" } } });
check(food.data?.id === "green-bean", "there is no green bean");
const none = await client.GET("/v1/foods/{id}", { params: { path: { id: "gren-bean" } } });
check(none.error?.errors?.[0]?.params?.nearest === "green-bean", "the nearest name is not given");
