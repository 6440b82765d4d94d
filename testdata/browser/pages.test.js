// A real browser on the pages. Run by .ci/run:
//
//   node --test pages.test.js
//
// with BASE_URL of a running server, BROWSER of a Chromium, TOP of the repository and, if wished, SHOTS of a folder for
// pictures of the pages.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { chromium } from "playwright-core";

const base = process.env.BASE_URL;
const top = process.env.TOP;
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser;
let page;
let elsewhere; // requests that leave the server
let broken; // errors of the page, refusals of its policy among them

before(async () => {
  browser = await chromium.launch({
    executablePath: process.env.BROWSER,
    args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
});
after(() => browser.close());

beforeEach(() => {
  elsewhere = [];
  broken = [];
});
afterEach(async () => {
  if (page) await page.context().close();
  page = null;
  assert.deepEqual(elsewhere, [], "no request leaves the server");
  assert.deepEqual(broken, [], "no error on the page");
});

async function open(options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  page = await context.newPage();
  watch(page);
  context.on("page", watch);
  return page;
}

function watch(each) {
  each.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(base) && !url.startsWith("data:") && !url.startsWith("blob:")) elsewhere.push(url);
  });
  each.on("pageerror", (error) => broken.push(String(error)));
  each.on("console", (message) => {
    if (message.type() === "error") broken.push(message.text());
  });
}

async function shot(name) {
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/${name}.png`, fullPage: true });
}

// accessible runs axe. The page's own policy would refuse a script that is put into it, so the check is evaluated by the
// browser's debugger instead. Serious and critical issues fail.
async function accessible(what, within = "body") {
  await page.evaluate(axe);
  const found = await page.evaluate(
    (selector) => window.axe.run(selector, { resultTypes: ["violations"], runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
    within,
  );
  const grave = found.violations.filter((each) => ["serious", "critical"].includes(each.impact));
  const told = grave.map((each) => `${each.id}: ${each.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")}`);
  assert.deepEqual(told, [], `${what}: serious issues`);
}

async function fitsWidth(what) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(over <= 0, `${what} is ${over} px wider than the window`);
}

// show puts an answer to a POST into the browser as the page that it is.
async function show(path, file, accept = "text/html") {
  const answer = await page.request.post(base + path, {
    headers: { "Content-Type": "application/json", Accept: accept },
    data: readFileSync(`${top}/${file}`),
  });
  assert.equal(answer.status(), 200);
  const body = await answer.text();
  await page.route("**/shown", (route) => route.fulfill({ body, headers: answer.headers() }));
  await page.goto(`${base}/shown`);
}

const beans = [
  ["green bean", "4", "lb", "batch", "whole, trimmed, 4 in"],
  ["white vinegar", "5", "cup", "batch", ""],
  ["water", "5", "cup", "batch", ""],
  ["salt", "1/2", "cup", "batch", ""],
];

async function fillIn() {
  await page.fill("#name", "Dilled beans");
  await page.selectOption("#kind", "brined");
  await page.selectOption("#jar", "pint");
  await page.fill("#jars", "8");
  await page.selectOption("#pack", "raw");
  await page.fill("#headspace", "1/2");
  await page.selectOption("#preparation", "sterilized");
  for (const [index, [item, amount, unit, per, form]] of beans.entries()) {
    await page.fill(`#item-${index}`, item);
    await page.fill(`#amount-${index}`, amount);
    await page.selectOption(`#unit-${index}`, unit);
    await page.selectOption(`#per-${index}`, per);
    await page.fill(`#form-${index}`, form);
  }
  for (const index of [1, 3]) await page.locator(`fieldset:has(#item-${index}) summary`).click();
  await page.fill("#acidity-1", "5");
  await page.check("#bottled-1");
  await page.selectOption("#salt-3", "canning");
  await page.fill("#time", "5");
  await page.fill("#water", "1");
  await page.fill("#elevation", "800");
}

for (const scripted of [true, false]) {
  const how = scripted ? "with a script" : "as a plain form";
  test(`form to report, ${how}`, async () => {
    await open({ javaScriptEnabled: scripted });
    await page.goto(base + "/");
    await fillIn();
    await page.click("button.main");
    // With a script there may be a report on what was filled in before.
    await page.waitForFunction(() => /Fit for the shelf/.test(document.getElementById("disposition")?.textContent));
    assert.match(await page.textContent("#result"), /Process the jars in boiling water for 5 minutes/);
    if (scripted) {
      assert.equal(await page.evaluate(() => document.activeElement.id), "disposition");
      await page.fill("#elevation", "5500");
      await page.locator("#elevation").blur();
      await page.waitForFunction(() => /Hold/.test(document.getElementById("disposition").textContent));
      await shot("form-report");
    } else {
      await page.fill("#elevation", "5500");
      await page.click("button.main");
      await page.waitForSelector(".label.is-hold");
    }
    assert.match(await page.textContent("#result"), /5 minutes are too few/);
  });

  test(`example to report, ${how}`, async () => {
    await open({ javaScriptEnabled: scripted });
    await page.goto(base + "/");
    await page.selectOption("#example", "salsa-too-many-peppers");
    await page.click("button[value=example]");
    await page.waitForSelector(".label.is-hold");
    assert.ok((await page.locator(".finding").count()) >= 2);
    assert.notEqual(await page.inputValue("#item-0"), "");
  });

  test(`paste to report, ${how}`, async () => {
    await open({ javaScriptEnabled: scripted });
    await page.goto(base + "/");
    await page.click(".paste summary");
    await page.fill("#json", readFileSync(`${top}/examples/dill-cucumbers.json`, "utf8"));
    await page.click("button[value=paste]");
    await page.waitForSelector(".label.is-shelf");
    assert.equal(await page.inputValue("#item-0"), "pickling cucumber");
    await page.click(".paste summary");
    await page.fill("#json", '{"recipe": {"ingredients": [}}');
    await page.click("button[value=paste]");
    await page.waitForSelector("[role=alert]");
    assert.match(await page.textContent("[role=alert]"), /breaks off/);
  });
}

test("rows are added, a mistake is named, the request is downloaded", async () => {
  await open();
  await page.goto(base + "/");
  await page.selectOption("#example", "dill-cucumbers");
  await page.click("button[value=example]");
  await page.waitForSelector("#disposition");
  const rows = await page.locator(".row").count();
  await page.click("#add");
  assert.equal(await page.locator(".row").count(), rows + 1);
  assert.equal(await page.evaluate(() => document.activeElement.id), `item-${rows}`);
  await page.fill(`#item-${rows}`, "garlic");
  await page.fill(`#amount-${rows}`, "many");
  await page.click("button.main");
  await page.waitForSelector("[role=alert]");
  assert.match(await page.textContent("[role=alert]"), /“many” is not a number/);
  await page.fill(`#amount-${rows}`, "20");
  await page.selectOption(`#unit-${rows}`, "clove");
  await page.click("button.main");
  await page.waitForSelector(".label.is-hold");
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("button[value=download]")]);
  assert.equal(download.suggestedFilename(), "recipe.json");
  const saved = JSON.parse(readFileSync(await download.path(), "utf8"));
  assert.equal(saved.recipe.ingredients[rows].item, "garlic");
  assert.match(await page.textContent(".take pre"), /curl .*\/v1\/reports/);
});

test("a card from the form opens beside it", async () => {
  await open();
  await page.goto(base + "/");
  await page.selectOption("#example", "dill-cucumbers");
  await page.click("button[value=example]");
  await page.waitForSelector("#disposition");
  const [card] = await Promise.all([page.context().waitForEvent("page"), page.click("button[value=card]")]);
  await card.waitForSelector(".steps");
  assert.match(await card.textContent("h1"), /Dill cucumbers/);
});

test("keyboard only: from an example to its report, and a change", async () => {
  await open();
  await page.goto(base + "/");
  const at = () => page.evaluate(() => document.activeElement.id || document.activeElement.value || document.activeElement.textContent.trim().slice(0, 40));
  const outlined = () => page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle !== "none");
  const tabTo = async (name) => {
    const passed = [];
    for (let i = 0; i < 250; i++) {
      await page.keyboard.press("Tab");
      const now = await at();
      passed.push(now);
      if (now === name) {
        assert.ok(await outlined(), `${name} shows no focus`);
        return;
      }
    }
    assert.fail(`${name} was not reached; passed ${passed.join(" | ")}`);
  };
  await page.keyboard.press("Tab");
  assert.match(await at(), /Skip to the content/);
  await tabTo("example");
  await page.keyboard.type("Dill cucumbers, half");
  await page.keyboard.press("Tab"); // the button beside it
  await page.keyboard.press("Enter");
  await page.waitForSelector(".label.is-shelf");
  await tabTo("elevation");
  await page.keyboard.press("Control+A");
  await page.keyboard.type("5500");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".label.is-hold");
  assert.equal(await at(), "disposition");
});

for (const width of [360, 1280]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`pages at ${width} px, ${colorScheme}: they fit, and axe finds nothing serious`, async () => {
      await open({ viewport: { width, height: 800 }, colorScheme });
      for (const path of ["/", "/docs/rules", "/docs/sources"]) {
        await page.goto(base + path);
        await fitsWidth(path);
        await accessible(`${path} at ${width}`);
      }
      for (const example of ["salsa-too-many-peppers", "dill-cucumbers", "refrigerator-radishes"]) {
        await page.goto(base + "/");
        await page.selectOption("#example", example);
        await page.click("button[value=example]");
        await page.waitForSelector("#disposition");
        for (const summary of await page.locator("#result summary").all()) await summary.click();
        await fitsWidth(example);
        await accessible(`${example} at ${width}`);
        await shot(`${example}-${width}-${colorScheme}`);
      }
      await show("/v1/reports", "examples/dill-cucumbers-in-the-mountains.json");
      await fitsWidth("the report");
      await accessible(`the report at ${width}`);
      await page.unroute("**/shown");
      await show("/v1/cards", "examples/cards/dill-cucumbers.json");
      await fitsWidth("the card");
      await accessible(`the card at ${width}`);
      await shot(`card-${width}-${colorScheme}`);
    });
  }
}

test("the check for accessibility bites", async () => {
  await open();
  await page.goto(base + "/docs/rules");
  await page.evaluate(() => {
    document.querySelector("h1").innerHTML = "<img src='data:,'>";
    document.querySelector("dd p").className = "faint";
    document.styleSheets[0].insertRule(".faint { color: #ccc }");
  });
  await assert.rejects(accessible("a spoilt page"), /image-alt[\s\S]*color-contrast|color-contrast[\s\S]*image-alt/);
});

test("the report has its pictures, with words", async () => {
  await open();
  await show("/v1/reports", "testdata/corpus/pickled-dilled-beans.json");
  for (const id of ["picture-ph", "picture-heat", "picture-jar"]) {
    const picture = page.locator(`#${id} svg[role=img]`);
    assert.equal(await picture.count(), 1, id);
    assert.ok((await picture.locator("desc").textContent()).length > 40, id);
  }
});

test("print view: the report without the form, every card on two sheets at most", async () => {
  await open();
  await page.goto(base + "/");
  await page.selectOption("#example", "dill-cucumbers-in-the-mountains");
  await page.click("button[value=example]");
  await page.waitForSelector("#disposition");
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.isVisible("#recipe"), false);
  assert.equal(await page.isVisible("header.top"), false);
  assert.equal(await page.isVisible("#disposition"), true);
  await shot("print-report");
  const pages = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) || []).length;
  assert.ok(pages(await page.pdf({ format: "A4" })) <= 3);
  const files = readdirSync(`${top}/testdata/corpus`).filter((name) => process.env.FULL || name.charCodeAt(1) % 7 === 0);
  for (const file of files) {
    await show("/v1/cards", `testdata/corpus/${file}`);
    for (const format of ["A4", "Letter"]) {
      const count = pages(await page.pdf({ format }));
      assert.ok(count >= 1 && count <= 2, `${file} prints on ${count} sheets of ${format}`);
    }
    await page.unroute("**/shown");
  }
});

test("API reference: loads, and an example runs from it", async () => {
  await open();
  await page.goto(base + "/docs");
  await page.waitForSelector(".opblock");
  assert.match(await page.textContent("#reference"), /createReport/);
  await page.locator("#operations-Reports-createReport .opblock-summary-control").click();
  await page.locator("#operations-Reports-createReport button.execute").click();
  await page.waitForSelector("#operations-Reports-createReport .live-responses-table .response");
  assert.match(await page.textContent("#operations-Reports-createReport .live-responses-table"), /disposition/);
  await accessible("the page around the reference", ".top");
  await shot("docs");
});

test("a recipe named after a script stays text", async () => {
  await open();
  await page.goto(base + "/");
  await page.fill("#name", "<script>window.caught=1</script><img src=x onerror=window.caught=1>");
  await page.fill("#item-0", '"><svg onload=window.caught=1>');
  await page.fill("#amount-0", "1");
  await page.click("button.main");
  await page.waitForSelector("#disposition");
  assert.equal(await page.evaluate(() => window.caught), undefined);
  assert.match(await page.textContent(".label-kicker"), /<script>/);
});
