// Hands on the drawing: the one figure that moves a thing changes in the text, and nothing else does. By mouse, finger and keyboard.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { POCKET, pocket as pocketOf, reads, tip, tipSays, where } from "./hand.mjs";
import { axe, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser, lacks;
before(async () => {
  served = await serve();
  browser = await launch();
  const { page, context } = await sit(browser, served, "first-steps.draft");
  lacks = await page.evaluate(() => !desk.asked.has("drag")) && "the engine of this page has no hands yet";
  await context.close();
});
after(async () => { await browser?.close(); await served?.close(); });

const has = (t) => !lacks || t.skip(lacks);

const pocket = (options) => pocketOf(browser, served, options);

async function found(page) {
  await page.evaluate(readFileSync(axe, "utf8"));
  const { violations } = await page.evaluate(() => axe.run());
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html, failureSummary }) => `${html} ${failureSummary}`).join(" | ")}`);
}

for (const colorScheme of ["light", "dark"]) {
  test(`a point is dragged by mouse: one figure changes, one undo brings it back, ${colorScheme}`, async (t) => {
    if (!has(t)) return;
    const { page, faults, context } = await pocket({ colorScheme, bypassCSP: true });
    const { x, y, scale } = await where(page, "low");
    await page.mouse.move(x, y);
    await page.waitForSelector("#paper .near");
    await look(page, `hands-near-${colorScheme}`);
    await page.mouse.down();
    await page.mouse.move(x, y + Math.round(12 * scale), { steps: 6 });
    await tipSays(page, "18.2cm");
    await reads(page, "depth = 18.2cm");
    await settled(page);
    assert.match(await tip(page), /choose depth/);
    // The paper stays under the finger.
    const held = await where(page, "low");
    assert.ok(Math.hypot(held.x - x, held.y - y - 12 * scale) < 3, JSON.stringify([held, x, y, scale]));
    await look(page, `hands-drag-${colorScheme}`);
    assert.deepEqual(await found(page), []);
    await page.mouse.up();
    await settled(page);
    assert.equal(await text(page), POCKET.replace("depth = 17cm", "depth = 18.2cm"));
    assert.match(await page.textContent("#news"), /17cm is now 18\.2cm/);
    assert.equal(await page.locator("#hand").isHidden(), true);
    await page.click("#undo");
    assert.equal(await text(page), POCKET);
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("the drawing goes with the drag, and what was typed before is undone after it", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  await page.evaluate(() => desk.editor.put([{ at: { from: desk.editor.text.indexOf("how deep"), to: desk.editor.text.indexOf("how deep") + 8 }, text: "depth of it" }]));
  await settled(page);
  const { x, y, scale } = await where(page, "low");
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (const far of [6, 11, 15, -10]) {
    const pixels = Math.round(far * scale);
    await page.mouse.move(x, y + pixels, { steps: 2 });
    await reads(page, `depth = ${Number((17 + pixels / scale / 10).toFixed(1))}cm`);
  }
  await page.mouse.up();
  await settled(page);
  await page.click("#undo");
  assert.equal(await text(page), POCKET.replace("how deep", "depth of it"));
  await page.click("#undo");
  assert.equal(await text(page), POCKET);
  await context.close();
});

test("Escape puts it back, and leaves nothing behind to undo", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y, scale } = await where(page, "low");
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y + 10 * scale, { steps: 4 });
  await reads(page, "depth = 18cm");
  await page.keyboard.press("Escape");
  assert.equal(await text(page), POCKET);
  await page.mouse.move(x, y + 20 * scale);
  await page.mouse.up();
  await settled(page);
  assert.equal(await text(page), POCKET);
  assert.match(await page.textContent("#news"), /back where it was/);
  await context.close();
});

test("beyond its range it stops and says so", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y, scale } = await where(page, "low");
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y + 60 * scale, { steps: 4 });
  await tipSays(page, "20cm is the most here");
  await reads(page, "depth = 20cm");
  await look(page, "hands-stopped");
  await page.mouse.move(x, y - 90 * scale, { steps: 4 });
  await tipSays(page, "12cm is the least here");
  await page.mouse.up();
  await settled(page);
  assert.equal(await text(page), POCKET.replace("depth = 17cm", "depth = 12cm"));
  await context.close();
});

test("Shift goes in finer steps, Tab to the next figure", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y, scale } = await where(page, "flap");
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 7 * scale, y + 6 * scale, { steps: 4 });
  await reads(page, "right 47mm down 3cm");
  await page.keyboard.press("Tab");
  await reads(page, "right 40mm down 3.6cm");
  assert.match(await tip(page), /2 of 2/);
  await page.keyboard.press("m");
  await reads(page, "right 47mm down 3cm");
  await page.keyboard.down("Shift");
  await page.mouse.move(x + 7.4 * scale, y, { steps: 2 });
  await page.waitForFunction(() => /right 47\.\dmm down 3cm/.test(desk.editor.text));
  await page.keyboard.up("Shift");
  await page.mouse.up();
  await settled(page);
  await page.click("#undo");
  assert.equal(await text(page), POCKET);
  await context.close();
});

test("what nothing moves says what holds it", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y } = await where(page, "mouth");
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 30, y, { steps: 3 });
  await tipSays(page, "held by wrist, a measure of the body");
  await look(page, "hands-held");
  await page.mouse.up();
  await settled(page);
  assert.equal(await text(page), POCKET);
  assert.match(await page.textContent("#news"), /wrist/);
  await context.close();
});

test("a line that is picked is dragged; one that is not moves the paper", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const foot = () => page.evaluate(() => {
    const path = document.querySelector('#paper [data-layer="sew"] path[data-name="foot"]');
    const { x, y } = path.getPointAtLength(path.getTotalLength() * 0.3).matrixTransform(path.getScreenCTM());
    return { x, y, scale: path.getScreenCTM().a };
  });
  const pull = async () => {
    const { x, y, scale } = await foot();
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x, y + 10 * scale, { steps: 4 });
    return { x, y };
  };
  await pull();
  await page.mouse.up();
  assert.equal(await text(page), POCKET);
  const { x, y } = await foot();
  await page.mouse.click(x, y);
  await pull();
  await reads(page, "depth = 18cm");
  await page.mouse.up();
  await settled(page);
  assert.equal(await text(page), POCKET.replace("depth = 17cm", "depth = 18cm"));
  await context.close();
});

test("a click on a point still goes to its sentence", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y } = await where(page, "low");
  await page.mouse.click(x, y);
  assert.match(await page.textContent("#named"), /^low of pocket, line \d+$/);
  assert.equal(await text(page), POCKET);
  await context.close();
});

test("by touch: a finger that rests on a point takes it, on a tablet", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await pocket({ viewport: { width: 1024, height: 768 }, hasTouch: true, isMobile: true });
  const { x, y, scale } = await where(page, "low");
  const hand = await context.newCDPSession(page);
  const touch = (type, ...points) => hand.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  await touch("touchStart", [x + 6, y + 6]);
  await tipSays(page, "17cm");
  for (let far = 2; far <= 10; far += 2) await touch("touchMove", [x + 6, y + 6 + far * scale]);
  await reads(page, "depth = 18cm");
  await look(page, "hands-tablet");
  await touch("touchEnd");
  await settled(page);
  assert.equal(await text(page), POCKET.replace("depth = 17cm", "depth = 18cm"));
  await page.locator("#undo").tap();
  assert.equal(await text(page), POCKET);
  assert.deepEqual(faults, []);
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`by keyboard alone, ${colorScheme}`, async (t) => {
    if (!has(t)) return;
    const { page, faults, context } = await pocket({ colorScheme, bypassCSP: true });
    await page.focus("#paper");
    for (let count = 0; count < 30 && !/^low of/.test(await page.textContent("#named")); count++) await page.keyboard.press("n");
    await page.keyboard.press("m");
    const isOn = (words) => page.waitForFunction((words) => document.activeElement.getAttribute("aria-label")?.startsWith(words), words);
    await isOn("More: 17cm");
    assert.deepEqual(await found(page), []);
    await look(page, `hands-list-${colorScheme}`);
    await page.keyboard.press("Enter");
    await reads(page, "depth = 17.1cm");
    await isOn("More: 17.1cm");
    await page.keyboard.press("Shift+Tab");
    await page.keyboard.press("Enter");
    await reads(page, "depth = 17.0cm");
    await isOn("Less: 17.0cm");
    await page.check("#movers-fine");
    await page.locator('#movers [data-key="-1/0"]').focus();
    await page.keyboard.press("Enter");
    await reads(page, "depth = 16.99cm");
    await settled(page);
    assert.equal(await text(page), POCKET.replace("depth = 17cm", "depth = 16.99cm"));
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("the list says what holds a thing, and why it is there", async (t) => {
  if (!has(t)) return;
  const { page, context } = await pocket();
  const { x, y } = await where(page, "mouth");
  await page.mouse.click(x, y);
  await page.click("#ask-movers");
  await page.getByText("No figure of this text moves it. Held by wrist, a measure of the body").waitFor();
  await look(page, "hands-list-held");
  await page.click("#why");
  await page.locator("dialog[open]").getByRole("heading", { name: "Why mouth of pocket is here" }).waitFor();
  await context.close();
});

/** The median of what the page measured under a name. */
const medianOf = (page, name) => page.evaluate((name) => {
  const all = performance.getEntriesByName(name).map(({ duration }) => duration).sort((a, b) => a - b);
  return { median: all[Math.floor(all.length / 2)] ?? 0, tenth: all[Math.floor(all.length / 10)] ?? 0, count: all.length };
}, name);

test("a frame of a drag, women's crew shirt: told, never judged", async (t) => {
  if (!has(t)) return;
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  for (const name of ["cf_hem", "cf_neck"]) {
    const { x, y } = await where(page, name, "front");
    await page.evaluate(() => performance.clearMeasures());
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.waitForFunction(() => !document.querySelector("#hand").hidden);
    for (let far = 1; far <= 30; far++) {
      await page.mouse.move(x, y + far / 2);
      await page.waitForTimeout(60);
    }
    const told = await tip(page);
    await page.keyboard.press("Escape");
    await page.mouse.up();
    await settled(page);
    const said = async (words, of) => {
      const { median, tenth, count } = await medianOf(page, of);
      return `${words} ${median.toFixed(1)} ms (a tenth within ${tenth.toFixed(1)}, of ${count})`;
    };
    t.diagnostic(`${name}: ${told.slice(0, 60)}`);
    t.diagnostic([await said("taken hold of in", "taken"), await said("a frame answered in", "drag-answered"), await said("painted in", "drag-frame")].join(", "));
    assert.ok((await medianOf(page, "drag-frame")).count > 3, `${name} could not be dragged`);
  }
  assert.deepEqual(faults, []);
  await context.close();
});
