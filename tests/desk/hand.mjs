// What the tests of hands on the drawing have in common: a draft of known truth, where its things are on the screen, what is said.
import assert from "node:assert/strict";
import { settled, sit } from "./table.mjs";

/** By construction: `low` hangs on `depth`, `mouth` on the body alone, `flap` on a figure of its own. */
export const POCKET = `edition 1
draft "A patch pocket"
unit cm
body wrist = 16cm between 12cm and 22cm "round the wrist"
choose depth = 17cm between 12cm and 20cm "how deep"

panel pocket {
  point corner = origin
  point mouth = corner right wrist
  point low = corner down depth  # as deep as the hand
  point far = mouth down depth
  point flap = corner right 40mm down 3cm
  line top = from corner to mouth
  line side = from mouth to far
  line foot = from far to low
  line back = from low to corner
}

piece pocket "Pocket" {
  outline top, side, foot, back
  cut 1
  grain along back
  allow 1cm
}
`;

export async function pocket(browser, served, options) {
  const sitting = await sit(browser, served, "first-steps.draft", options);
  const { page } = sitting;
  await page.evaluate((text) => desk.editor.replace(text), POCKET);
  await settled(page);
  assert.equal(await page.evaluate(() => desk.view.well), true, await page.textContent("#messages"));
  return sitting;
}

/** Where a named point is on the screen, and pixels a millimetre. */
export const where = (page, name, piece) => page.evaluate(([name, piece]) => {
  const of = piece ? `[data-piece="${piece}"]` : "";
  const dot = document.querySelector(`#paper :is(.dot, .construction-dot)[data-name="${name}"]${of}`);
  const { x, y, width, height } = dot.getBoundingClientRect();
  // A hand is on whole pixels.
  return { x: Math.round(x + width / 2), y: Math.round(y + height / 2), scale: dot.getScreenCTM().a };
}, [name, piece]);

export const tip = (page) => page.textContent("#hand");
export const tipSays = (page, words) => page.waitForFunction((words) => {
  const hand = document.querySelector("#hand");
  return !hand.hidden && new RegExp(words).test(hand.textContent);
}, words);
export const reads = (page, words) => page.waitForFunction((words) => desk.editor.text.includes(words), words);
