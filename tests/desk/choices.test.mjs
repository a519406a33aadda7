// What is chosen beside the text: figures within their ranges, words, a body out of a table.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

const value = (page, name) => page.evaluate((name) => desk.view.choices.find((one) => one.name === name).value, name);

test("a choice is moved within its range, and the drawing with it, the text untouched", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  const breadth = () => page.evaluate(() => document.querySelector('#paper [data-layer="sew"] path[data-name="hem"], #paper path[data-name="hem_on"]').getBBox().width);
  const narrow = await breadth();
  const slider = page.getByRole("slider", { name: "hip ease, moved" });
  assert.equal(await slider.getAttribute("min"), "2");
  assert.equal(await slider.getAttribute("max"), "25");
  await slider.focus();
  for (let count = 0; count < 5; count++) await page.keyboard.press("ArrowRight");
  await settled(page);
  assert.equal(await value(page, "hip_ease"), "8.5 cm");
  const figure = page.getByRole("spinbutton", { name: "hip ease" });
  await figure.fill("20");
  await figure.press("Enter");
  await figure.blur();
  await settled(page);
  assert.equal(await value(page, "hip_ease"), "20 cm");
  assert.equal(await slider.inputValue(), "20");
  assert.ok((await breadth()) > narrow, `${await breadth()} of ${narrow}`);
  assert.equal(await text(page), before);
  await look(page, "choice");
  await page.getByRole("button", { name: "hip ease: as written" }).click();
  await settled(page);
  assert.equal(await value(page, "hip_ease"), "8 cm");
  assert.deepEqual(faults, []);
  await context.close();
});

test("what was chosen is written into the draft by one click, and undone by one", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  const figure = page.getByRole("spinbutton", { name: "bust ease" });
  await figure.fill("14.5");
  await figure.blur();
  await settled(page);
  await page.getByRole("button", { name: "Write bust ease into the draft" }).click();
  await settled(page);
  assert.equal(await text(page), before.replace("bust_ease = 10cm between", "bust_ease = 14.5cm between"));
  assert.equal(await value(page, "bust_ease"), "14.5 cm");
  assert.equal(await page.evaluate(() => desk.values.size), 0);
  await page.click("#undo");
  await settled(page);
  assert.equal(await text(page), before);
  await context.close();
});

test("words are chosen in the draft's own words", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "tape level\"\n");
  await page.evaluate(() => desk.editor.view.dispatch(desk.editor.view.state.replaceSelection(
    'choose foot = "long" of "long", "short" "where it ends"\n')));
  await page.evaluate(() => desk.editor.replace(desk.editor.text.replace("for 42cm", "for foot_length")
    .replace("\npanel back", '\nif foot = "long" {\n  length foot_length = 42cm\n} otherwise {\n  length foot_length = 30cm\n}\n\npanel back')));
  await settled(page);
  const select = page.getByRole("combobox", { name: "foot" });
  assert.deepEqual(await select.locator("option").allTextContents(), ["long", "short"]);
  const foot = () => page.evaluate(() => document.querySelector('#paper [data-layer="sew"] path[data-name="side"]').getBBox().height);
  const long = await foot();
  await select.selectOption({ label: "short" });
  await settled(page);
  assert.equal(await page.textContent("#trouble"), "");
  assert.ok(Math.abs(long - (await foot()) - 120) < 0.01, `${await foot()} of ${long}`);
  await page.getByRole("button", { name: "Write foot into the draft" }).click();
  await settled(page);
  assert.match(await text(page), /choose foot = "short" of "long", "short"/);
  await context.close();
});

test("a choice that the draft has no more takes nothing away, and says so", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const figure = page.getByRole("spinbutton", { name: "ease" });
  await figure.fill("14");
  await figure.blur();
  await settled(page);
  await page.evaluate(() => desk.editor.replace(desk.editor.text.replaceAll("ease", "room")));
  await settled(page);
  assert.match(await page.textContent("#trouble"), /ease=14cm/);
  assert.ok(await page.locator('#paper path[data-name="armhole"]').count() > 0);
  await context.close();
});

test("a body is taken out of a table", async (t) => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  if (!(await page.evaluate(() => desk.asked.has("bodies")))) return t.skip("the engine reads no tables yet");
  await page.getByText("Body from a table").click();
  await page.getByRole("combobox", { name: "Table" }).selectOption("sizes.csv");
  await page.waitForFunction(() => document.querySelector("#body").options.length > 1);
  await page.getByRole("combobox", { name: "Body" }).selectOption("44");
  await settled(page);
  // The table's own figure of that column, in its first row.
  assert.equal(await value(page, "bust_girth"), "100 cm");
  assert.equal(await page.textContent("#whose"), "for body 44 of sizes.csv");
  await look(page, "body-44");
  await page.getByRole("combobox", { name: "Body" }).selectOption("");
  await settled(page);
  assert.equal(await value(page, "bust_girth"), "92 cm");
  assert.equal(await page.textContent("#whose"), "");
  await context.close();
});

test("what a choice does is told as the text says it now", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.evaluate(() => desk.editor.replace(desk.editor.text.replace("unit cm\n", 'unit cm\nchoose room = 3cm between 1cm and 9cm "r"\n')));
  await settled(page);
  assert.equal(await page.textContent("#choice-room-text"), "r");
  await caretBehind(page, '9cm "r');
  await page.keyboard.type("ound the chest");
  await settled(page);
  assert.equal(await page.textContent("#choice-room-text"), "round the chest");
  await context.close();
});
