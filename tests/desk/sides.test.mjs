// A body that differs left from right: both figures, both patterns, and what is of which side.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

async function openMeasures(page) {
  const measures = page.locator("#choices details", { hasText: "Measures of the body" });
  if (!(await measures.evaluate((one) => one.open))) await measures.locator("summary").click();
}

test("left and right are given apart: two patterns, and every list says the side", async (t) => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  assert.equal(await page.locator("#sides-part").isVisible(), false);
  await openMeasures(page);
  await page.getByRole("button", { name: "shoulder slope: left and right apart" }).click();
  const [left, right] = ["left", "right"].map((side) => page.getByRole("spinbutton", { name: `shoulder slope, ${side}` }));
  assert.equal(await left.inputValue(), await right.inputValue());
  const plain = await right.inputValue();
  await left.fill("26");
  await left.press("Enter");
  await settled(page);
  assert.deepEqual(await page.evaluate(() => [...desk.values]), [["shoulder_slope.left", "26deg"]]);
  await left.blur();
  assert.deepEqual([await left.inputValue(), await right.inputValue()], ["26", plain]);
  // Which piece and which seam is of which side.
  assert.match(await page.textContent("#sides"), /shoulder slope 26° left, 22° right.*Front is no longer a pair/);
  const seams = await page.locator("#seams summary .name").allTextContents();
  assert.ok(seams.includes("armhole, left") && seams.includes("armhole, right"), `${seams}`);
  const pieces = await page.evaluate(() => [...new Set([...document.querySelectorAll("#paper path[data-piece]")].map((one) => one.dataset.piece))]);
  assert.ok(pieces.includes("front.left") && pieces.includes("front.right"), `${pieces}`);
  await look(page, "sides");
  // A line of one side goes to the sentence that drew it, and says its side.
  const spot = await page.evaluate(() => {
    const line = document.querySelector('#paper path.sew[data-piece="front.left"][data-name="armhole"], #paper path.sew[data-piece="front.left"]');
    const at = line.getPointAtLength(line.getTotalLength() / 3).matrixTransform(line.getScreenCTM());
    return { x: at.x, y: at.y };
  });
  await page.mouse.click(spot.x, spot.y);
  assert.match(await page.textContent("#named"), / on the left, line \d+$/);
  // A seam of one side is walked.
  await page.locator("#seams details", { hasText: "armhole, left" }).locator("summary").click();
  await page.getByRole("button", { name: "See it walked: armhole, left" }).click();
  await page.waitForSelector("dialog svg.picture");
  await look(page, "sides-walk");
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "shoulder slope: as written" }).click();
  await settled(page);
  assert.equal(await page.locator("#sides-part").isVisible(), false);
  assert.equal(await page.evaluate(() => desk.values.size), 0);
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  t.diagnostic(`${seams.length} seams with sides`);
  await context.close();
});

test("a body of a table with columns for either side is shown with both figures", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  await page.evaluate(async () => {
    const { text } = await desk.asked.engine.files.read("sizes.csv");
    const row = (name, figure) => `${name}${`,${figure}`.repeat(7)}\n`;
    const both = text + row("Shoulder slope left [deg]", 25) + row("Shoulder slope right [deg]", 21);
    desk.body = { table: "sizes.csv", text: both, name: "44" };
    return desk.refresh();
  });
  await settled(page);
  const told = await page.evaluate(() => desk.view.choices.find(({ name }) => name === "shoulder_slope"));
  assert.deepEqual([told.sides.left.now, told.sides.right.now], [25, 21], JSON.stringify(told));
  await openMeasures(page);
  assert.equal(await page.getByRole("spinbutton", { name: "shoulder slope, left" }).inputValue(), "25");
  await context.close();
});
