// What stands beside the drawing: seams and checks as they are judged, the walk of a seam, steps, and what changed.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, launch, look, serve, settled, sit, isSite } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

const lacks = async (page, form) => !(await page.evaluate((form) => desk.asked.has(form), form));

test("seams and checks turn with the edit", async () => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  assert.equal(await page.textContent("#seams-count"), "all 2 fit");
  const side = page.locator('#seams details[data-key="side"]');
  await side.locator("summary").click();
  assert.match(await side.textContent(), /fits18 cm to 18 cm/);
  assert.match(await side.locator(".notes").textContent(), /sections 9 cm to 9 cm, 9 cm to 9 cm/);
  await look(page, "seams");
  // Ease that the side does not have, and a width that it cannot be.
  await caretBehind(page, "notch single at 9cm from back.underarm\n");
  await page.keyboard.type("ease 5mm on front.side\n");
  await page.evaluate(() => desk.editor.replace(desk.editor.text.replace("and 24cm\n", "and 18cm\n")));
  await settled(page);
  assert.equal(await page.textContent("#seams-count"), "1 fits, 1 does not fit");
  assert.equal(await page.textContent("#checks-count"), "0 hold, 1 fails");
  assert.ok(await side.evaluate((details) => details.classList.contains("fails")));
  // An opened seam stays open.
  assert.ok(await side.evaluate((details) => details.open));
  await look(page, "seam-fails");
  await context.close();
});

test("a seam is seen walked", async (t) => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  if (await lacks(page, "walk")) return t.skip("the engine draws no walks yet");
  await page.locator('#seams details[data-key="armhole"] summary').click();
  await page.getByRole("button", { name: "See it walked: armhole" }).click();
  await page.waitForSelector("dialog .shown svg path", { state: "attached" });
  assert.ok(await page.locator("dialog .shown svg path").count() > 5);
  await look(page, "walk");
  await page.keyboard.press("Escape");
  await page.locator("dialog").waitFor({ state: "detached" });
  await context.close();
});

test("steps lead to their sentences, and the drawing stands as after the one chosen", async (t) => {
  const { page, context } = await sit(browser, served, "house-block.draft");
  const steps = page.locator("#steps button");
  assert.ok(await steps.count() > 2);
  await steps.nth(1).click();
  await settled(page);
  const { line, step } = await page.evaluate(() => ({ line: desk.editor.view.state.doc.lineAt(desk.editor.caret).text, step: desk.view.steps[1].name }));
  assert.ok(line.includes(`step "${step}"`), `${line} for ${step}`);
  if (await lacks(page, "after")) return t.skip("the engine draws no step by itself yet");
  await page.waitForSelector("#after:not([hidden])");
  assert.match(await page.textContent("#after"), /As it stands after step 2/);
  const paths = () => page.locator("#paper svg path[data-name]").count();
  const second = await paths();
  await look(page, "after-step");
  await steps.last().click();
  await page.waitForFunction(() => !document.querySelector("#after-words").textContent.includes("step 2,"));
  assert.ok((await paths()) > second, `${await paths()} of ${second}`);
  await page.click("#whole");
  await page.waitForSelector("#after", { state: "hidden" });
  await context.close();
});

test("what changed, in words and laid over", async (t) => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  if (await lacks(page, "compare")) return t.skip("the engine compares nothing yet");
  await caretBehind(page, "choose ease = 12");
  await page.keyboard.type(".5");
  await settled(page);
  await page.click("#compare");
  await page.waitForFunction(() => document.querySelector("dialog .words")?.textContent.length > 0);
  assert.match(await page.textContent("dialog .words"), /ease: 12 cm → 12\.5 cm/);
  assert.ok(await page.locator("dialog .shown svg path").count() > 0);
  if (!isSite) assert.ok(await page.getByRole("button", { name: /^Against [0-9a-f]{7}/ }).count() === 1);
  await look(page, "compared");
  await context.close();
});

test("what is not judged is counted, and an unfinished draft never has all its seams fit", async (t) => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  // Both seams want lines of the back, which is not outlined while its side bears another name.
  await page.evaluate(() => desk.editor.replace(desk.editor.text.replace("line side", "line sidx")));
  await settled(page);
  assert.equal(await page.evaluate(() => desk.view.unfinished !== null), true);
  const listed = await page.evaluate(() => desk.view.seams.length);
  if (listed === 0) return t.skip("the engine does not list yet what it cannot judge");
  assert.equal(await page.textContent("#seams-count"), "0 fit, 2 not judged");
  assert.deepEqual(await page.locator("#seams .verdict").allTextContents(), ["not judged", "not judged"]);
  assert.equal(await page.textContent("#checks-count"), "1 holds, the draft is unfinished");
  assert.doesNotMatch(await page.textContent("#checks-count"), /^all/);
  await look(page, "not-judged");
  await context.close();
});

test("a word that cannot be read leaves what stood before it, and the seams that are not judged now", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const seams = await page.locator("#seams details").count();
  const lines = () => page.locator("#paper svg path[data-name]").count();
  const all = await lines();
  await caretBehind(page, "panel shirt = folded_stand");
  await page.keyboard.press("Backspace");
  await settled(page);
  assert.match(await page.textContent("#unfinished"), /line 21 cannot be drawn/);
  assert.ok((await lines()) > 60, `${await lines()} of ${all}`);
  assert.equal(await page.locator("#seams details").count(), seams);
  assert.match(await page.textContent("#seams-count"), /^0 fit, \d+ not judged$/);
  await look(page, "blank");
  await page.keyboard.type("d");
  await settled(page);
  assert.equal(await page.textContent("#seams-count"), `all ${seams} fit`);
  assert.equal(await lines(), all);
  assert.deepEqual(faults, []);
  await context.close();
});
