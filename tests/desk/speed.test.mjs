// How long from a keystroke to messages and picture, by the page's own marks: told, never judged.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, launch, serve, settled, sit } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

const STROKES = 40;
/** The median, and what a tenth of them stay within: on a machine that others use, nearer to what the page itself takes. */
const told = (list) => {
  const sorted = [...list].sort((a, b) => a - b);
  return `${sorted[Math.floor(sorted.length / 2)].toFixed(1)} ms (a tenth within ${sorted[Math.floor(sorted.length / 10)].toFixed(1)})`;
};

async function strokes(page) {
  await page.evaluate(() => performance.clearMarks());
  for (let count = 0; count < STROKES; count++) {
    // A figure behind the point, so that each stroke moves the drawing.
    await page.keyboard.press(count % 2 === 0 ? "5" : "Backspace");
    await settled(page);
    await page.waitForFunction((count) => performance.getEntriesByName("painted").length > count, count);
  }
  return page.evaluate(() => {
    const told = { messages: [], picture: [], painted: [] };
    let start = 0;
    for (const { name, startTime } of performance.getEntriesByType("mark")) {
      if (name === "keystroke") start = startTime;
      else if (name in told) told[name].push(startTime - start);
    }
    return told;
  });
}

/** A draft of so many lines: points and lines, as a long block has. */
function long(lines) {
  const text = ['edition 1', 'draft "A long draft"', "unit cm", 'choose first_in = 10.0cm between 1cm and 30cm "of the first"', "panel sheet {", "  point p0 = origin", "  point q0 = p0 right first_in"];
  for (let at = 1; text.length < lines - 1; at++) {
    text.push(`  point p${at} = p${at - 1} down 4mm`, `  point q${at} = q${at - 1} down 4mm right 1mm`, `  line l${at} = from p${at} to q${at}`);
  }
  return `${[...text, "}"].join("\n")}\n`;
}

for (const [name, prepare] of [
  ["women's crew shirt", async (page) => caretBehind(page, "bust_ease = 10").then(() => page.keyboard.type(".1"))],
  ["2,000 lines", async (page) => {
    await page.evaluate((text) => desk.editor.replace(text), long(2000));
    await settled(page);
    assert.equal(await page.evaluate(() => desk.view.well), true, await page.textContent("#messages"));
    await caretBehind(page, "choose first_in = 10.0");
  }],
]) {
  test(`keystroke to messages and picture, ${name}`, async (t) => {
    const { page, faults, context } = await sit(browser, served, name === "2,000 lines" ? "first-steps.draft" : "womens-crew-shirt.draft");
    await prepare(page);
    await settled(page);
    const { messages, picture, painted } = await strokes(page);
    assert.ok(picture.length >= STROKES, `${picture.length} pictures of ${STROKES} strokes`);
    t.diagnostic(`${name}: median of ${picture.length}: messages ${told(messages)}, picture ${told(picture)}, painted ${told(painted)}`);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
