// What a hand does on the drafts of the examples, by mouse and by arrow keys; what it adds, with its sentence.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { POCKET, pocket, reads, tip, tipSays, where } from "./hand.mjs";
import { axe, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser, lacks;
before(async () => {
  served = await serve();
  browser = await launch();
  const { page, context } = await sit(browser, served, "first-steps.draft");
  lacks = await page.evaluate(() => !desk.asked.has("add")) && "the engine of this page has no hands yet";
  await context.close();
});
after(async () => { await browser?.close(); await served?.close(); });

const has = (t) => !lacks || t.skip(lacks);

const pull = async (page, { x, y }, right, down) => {
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + right, y + down, { steps: 6 });
};

/** Picks a thing by its full name, as N and P do, and gives the drawing the keyboard. */
const pick = async (page, words) => {
  await page.focus("#paper");
  for (let count = 0; count < 900; count++) {
    await page.keyboard.press("n");
    if ((await page.textContent("#named")).startsWith(words)) return;
  }
  assert.fail(`${words} is not reached`);
};

const newsSays = (page, words) => page.waitForFunction((words) => new RegExp(words).test(document.querySelector("#news").textContent), words);

async function found(page) {
  await page.evaluate(readFileSync(axe, "utf8"));
  const { violations } = await page.evaluate(() => axe.run());
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html, failureSummary }) => `${html} ${failureSummary}`).join(" | ")}`);
}

/** The same change by hand and by keys: `done` says what is read then. */
async function both(draft, { name, piece, spoken, far: [right, down], keys, writes, by, shot }) {
  const { page, faults, context } = await sit(browser, served, draft);
  const before = await text(page);
  await pull(page, await where(page, name, piece), right, down);
  await page.waitForFunction(([before, writes]) => desk.editor.text !== before && new RegExp(writes).test(desk.editor.text), [before, writes]);
  await tipSays(page, by);
  await look(page, `grips-${shot}`);
  await page.mouse.up();
  await settled(page);
  const after = await text(page);
  assert.match(after, new RegExp(writes));
  // One figure, in one line.
  const lines = after.split("\n");
  assert.equal(before.split("\n").filter((line, at) => line !== lines[at]).length, 1);
  await look(page, `grips-${shot}-let-go`);
  await page.click("#undo");
  await settled(page);
  assert.equal(await text(page), before);
  await pick(page, spoken);
  await page.keyboard.press("h");
  await newsSays(page, "Arrows move it");
  for (const key of keys) await page.keyboard.press(key);
  await page.waitForFunction(([before, writes]) => desk.editor.text !== before && new RegExp(writes).test(desk.editor.text), [before, writes]);
  await look(page, `grips-${shot}-keys`);
  await page.keyboard.press("Enter");
  await settled(page);
  assert.match(await text(page), new RegExp(writes));
  await page.click("#undo");
  await settled(page);
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  await context.close();
}

test("the ferry shirt's hem at centre back writes the back's length", async (t) => has(t) && both("ferry-shirt.draft", {
  name: "cb_hem", piece: "back", spoken: "cb hem of back", far: [0, 14], keys: ["ArrowDown", "ArrowDown", "ArrowDown"],
  writes: "choose back_length = 7[2-9]\\.\\dcm between", by: "choose back_length", shot: "hem",
}));

test("the women's shirt's neck at centre front offers the option for its depth", async (t) => has(t) && both("womens-crew-shirt.draft", {
  name: "cf_neck", piece: "front", spoken: "cf neck of shirt front", far: [0, 12], keys: ["ArrowDown", "ArrowDown"],
  writes: "shirt_body on shirt with ease bust_ease, front_neck_lower \\d+mm", by: "front neck lower of shirt_body", shot: "neck",
}));

test("the bust point says what holds it", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  await pull(page, await where(page, "bust_point", "front"), 20, 10);
  await tipSays(page, "held by .*, a measure of the body");
  await look(page, "grips-bust");
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await pick(page, "bust point of shirt front");
  await page.keyboard.press("h");
  await newsSays(page, "bust point of shirt front: .*held by neck shoulder to bust point, a measure of the body");
  await page.keyboard.press("Escape");
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  await context.close();
});

const strokeOf = (page, query) => page.evaluate((query) => {
  const path = document.querySelector(query);
  const { x, y } = path.getPointAtLength(path.getTotalLength() / 2).matrixTransform(path.getScreenCTM());
  return { x, y, scale: path.getScreenCTM().a };
}, query);

test("a notch is dragged along its edge, and stepped by arrows", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await sit(browser, served, "deck-vest.draft");
  const before = await text(page);
  assert.match(before, /notch single at 9cm from back\.underarm/);
  const where = () => strokeOf(page, "#paper path.notch[data-piece='back'][data-name='side']");
  const { x, y, scale } = await where();
  await page.mouse.move(x, y);
  await page.mouse.down();
  // A finger that rests takes it.
  await tipSays(page, "9cm");
  await page.mouse.move(x, y + 20 * scale, { steps: 6 });
  await page.waitForFunction(() => /notch single at 1[01](\.\d)?cm from back\.underarm/.test(desk.editor.text));
  await look(page, "grips-notch");
  await page.mouse.up();
  await settled(page);
  assert.match(await text(page), /notch single at 1[01](\.\d)?cm from back\.underarm/);
  await page.click("#undo");
  await settled(page);
  assert.equal(await text(page), before);
  await pick(page, "seam side");
  await page.keyboard.press("h");
  await newsSays(page, "^notch on seam side: 9cm, notch single at 9cm from back.underarm");
  await page.keyboard.press("ArrowDown");
  await reads(page, "notch single at 9.1cm from back.underarm");
  await page.keyboard.press("Escape");
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a curve that is picked shows its handles: one is dragged, and stepped by arrows", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await sit(browser, served, "ferry-shirt.draft");
  const before = await text(page);
  const hem = await strokeOf(page, "#paper [data-layer='sew'] path[data-name='hem'][data-piece='back']");
  await page.mouse.click(hem.x, hem.y);
  await page.waitForSelector("#paper .handle[data-end='end']");
  const handle = await page.evaluate(() => {
    const { x, y, width, height } = document.querySelector("#paper .handle[data-end='end']").getBoundingClientRect();
    return { x: x + width / 2, y: y + height / 2 };
  });
  await look(page, "grips-handles");
  await pull(page, handle, -10, 0);
  await reads(page, "length level_at_side = 0.");
  await page.waitForFunction(() => !desk.editor.text.includes("= 0.35 * hip_quarter"));
  await look(page, "grips-handle");
  await page.keyboard.press("Escape");
  await page.mouse.up();
  assert.equal(await text(page), before);
  await settled(page);
  await pick(page, "hem of back");
  await page.waitForSelector("#paper .handle[data-end='end']");
  for (let count = 0; count < 6 && !/^last handle of/.test(await page.textContent("#news")); count++) {
    await page.keyboard.press("h");
    await page.waitForTimeout(400);
  }
  assert.match(await page.textContent("#news"), /^last handle of hem of back/);
  await page.keyboard.press("ArrowLeft");
  await reads(page, "length level_at_side = 0.36 * hip_quarter");
  await page.keyboard.press("Enter");
  await settled(page);
  await page.click("#undo");
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  await context.close();
});

test("the corner of a pocket is added on the ferry shirt: its sentence and its ghost first", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await sit(browser, served, "ferry-shirt.draft", { bypassCSP: true });
  const before = await text(page);
  await page.click("#add-point");
  const neck = await where(page, "cf_neck", "front");
  const [right, down] = [-70 * neck.scale, 150 * neck.scale];
  await page.mouse.move(neck.x + right, neck.y + down, { steps: 3 });
  await tipSays(page, "point point_1 = ");
  await page.waitForSelector("#paper .ghost circle");
  await look(page, "grips-corner-ghost");
  await page.mouse.click(neck.x + right, neck.y + down);
  await page.waitForSelector("#adding:not([hidden])");
  await look(page, "grips-corner-said");
  assert.deepEqual(await found(page), []);
  await page.fill("#adding-name", "pocket_corner");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => /point pocket_corner = /.test(desk.editor.text));
  await settled(page);
  assert.equal(await page.evaluate(() => desk.view.well), true, await page.textContent("#messages"));
  await look(page, "grips-corner");
  const set = await where(page, "pocket_corner", "front");
  // The paper may have been moved so that it is seen.
  const now = await where(page, "cf_neck", "front");
  assert.ok(Math.hypot(set.x - now.x - right, set.y - now.y - down) < 4, JSON.stringify([set, now, right, down]));
  await page.click("#undo");
  assert.equal(await text(page), before);
  assert.deepEqual(faults, []);
  await context.close();
});

test("points, lines, curves and notches are added by mouse and left by Escape", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await pocket(browser, served);
  // What is said may move the drawing.
  const press = async (name) => {
    const { x, y } = await where(page, name);
    await page.mouse.click(x, y);
  };
  await page.click("#add-line");
  await press("corner");
  await press("far");
  await page.waitForSelector("#adding:not([hidden])");
  assert.equal(await page.textContent("#adding-said"), "line corner_far = from corner to far");
  await page.waitForSelector("#paper .ghost path");
  await look(page, "grips-line");
  await page.keyboard.press("Escape");
  assert.equal(await page.locator("#adding").isHidden(), true);
  assert.equal(await text(page), POCKET);
  await page.click("#add-curve");
  await press("corner");
  await press("far");
  await page.waitForSelector("#adding:not([hidden])");
  await page.keyboard.press("Enter");
  await reads(page, "curve corner_far = from corner to far leaving");
  await settled(page);
  await page.click("#undo");
  await settled(page);
  await page.click("#add-notch");
  const corner = await where(page, "corner");
  await page.mouse.click((corner.x + (await where(page, "mouth")).x) / 2 - 20, corner.y);
  await page.waitForSelector("#adding:not([hidden])");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => /notch single at .*top/.test(desk.editor.text));
  await settled(page);
  assert.equal(await page.locator("#paper path.notch[data-piece]").count(), 1);
  await look(page, "grips-notch-added");
  await page.click("#undo");
  assert.equal(await text(page), POCKET);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a point is added by keyboard alone", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await pocket(browser, served);
  await pick(page, "corner of pocket");
  await page.keyboard.press("a");
  for (const key of ["ArrowRight", "ArrowRight", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowDown"]) await page.keyboard.press(key);
  await page.waitForFunction(() => /flap left 2cm down 2cm/.test(document.querySelector("#hand").textContent));
  await page.keyboard.press("Enter");
  await page.waitForSelector("#adding:not([hidden])");
  await page.keyboard.press("Enter");
  await reads(page, "point point_1 = flap left 2cm down 2cm");
  await settled(page);
  assert.equal(await page.evaluate(() => document.activeElement.id), "paper");
  assert.deepEqual(faults, []);
  await context.close();
});
