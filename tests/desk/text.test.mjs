// The text: opened, coloured, told what is wrong with it at its place, and mended.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

test("the women's crew shirt opens, coloured by kind, and is well", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  assert.equal(await page.textContent("#title"), "Women's crew shirt");
  assert.equal(await page.textContent("#verdict"), "All well");
  assert.ok(await page.isHidden("#messages"));
  // Words, kinds, figures and texts each have a colour of their own.
  const colour = (letters) => page.evaluate((letters) => {
    const found = [...document.querySelectorAll(".cm-line span")].find((span) => span.textContent === letters);
    return found && getComputedStyle(found).color;
  }, letters);
  const colours = await Promise.all(["choose", "panel", "10cm", '"all round"', "bust_ease"].map(colour));
  assert.ok(colours.every(Boolean), `not coloured: ${colours}`);
  assert.equal(new Set(colours).size, 5, `${colours}`);
  await look(page, "opened");
  assert.deepEqual(faults, []);
  await context.close();
});

test("a misspelt name is told at its place, and one button mends it, to be undone in one", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const whole = await text(page);
  await caretBehind(page, "= shirt_b");
  await page.keyboard.type("x");
  await settled(page);
  const misspelt = await text(page);
  assert.ok(misspelt.includes("shirt_bxody"));
  assert.equal(await page.textContent("#verdict"), "1 error");
  // The wavy line stands under these letters and no others.
  assert.equal(await page.locator(".cm-lintRange-error").allTextContents().then((parts) => parts.join("")), "shirt_bxody");
  assert.match(await page.textContent("#messages h3"), /^1 error$/);
  const line = misspelt.slice(0, misspelt.indexOf("shirt_bxody")).split("\n").length;
  assert.equal(await page.textContent("#messages .place"), `Line ${line}`);
  // What is unfinished is said, and the paper with what can be drawn stays.
  assert.match(await page.textContent("#unfinished"), new RegExp(`UNFINISHED: .*line ${line}`));
  assert.equal(await page.locator("#paper svg").count(), 1);
  await look(page, "misspelt");
  await page.click("#messages .cure");
  await settled(page);
  assert.equal(await text(page), whole);
  assert.equal(await page.textContent("#verdict"), "All well");
  assert.ok(await page.isHidden("#unfinished"));
  await page.click("#undo");
  await settled(page);
  assert.equal(await text(page), misspelt);
  await page.click("#redo");
  await settled(page);
  assert.equal(await text(page), whole);
  assert.deepEqual(faults, []);
  await context.close();
});

test("errors stand before warnings, all counted, and each goes to its line", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const warnings = await page.evaluate(() => desk.view.messages.length);
  assert.ok(warnings > 0, "the first steps have edges that nobody walks");
  await caretBehind(page, "line shoulder = from neck_");
  await page.keyboard.type("q");
  await settled(page);
  const told = await page.locator("#messages li.error, #messages li.warning").evaluateAll((list) => list.map((one) => one.className));
  const errors = told.filter((one) => one === "error").length;
  assert.ok(errors > 0);
  assert.deepEqual(told, [...told].sort(), "errors first");
  assert.match(await page.textContent("#messages h3"), new RegExp(`^${errors} errors?(, |$)`));
  await caretBehind(page, "draft ");
  await page.click("#messages .place >> nth=0");
  const line = await page.evaluate(() => desk.editor.lineOf(desk.editor.line));
  assert.equal(await page.textContent("#messages .place >> nth=0"), `Line ${line}`);
  await context.close();
});

test("a draft is typed as it is laid out: blocks indent themselves, closing marks are not doubled", async () => {
  const { page, faults, context } = await sit(browser, served, "first-steps.draft");
  const draft = await text(page);
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.press("Delete");
  const lines = draft.trimEnd().split("\n");
  for (const [at, line] of lines.entries()) {
    // The brace that closes a block came with the one that opened it, a line further down.
    if (line === "}") await page.keyboard.press("ArrowDown");
    else await page.keyboard.type(line.trimStart());
    await page.keyboard.press("Escape");
    if (lines[at + 1] !== "}") await page.keyboard.press("Enter");
  }
  await settled(page);
  assert.equal(await text(page), draft);
  assert.equal(await page.evaluate(() => desk.view.well), true);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a row that goes on hangs, and End and Home are of the sentence, not of the row", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const long = '  line chest = from origin toward right for 4cm "a remark so long that no column holds it in one row, however wide a page is laid out for it"';
  await page.evaluate((long) => desk.editor.replace(desk.editor.text.replace("  point nape = origin\n", `  point nape = origin\n${long}\n`)), long);
  await caretBehind(page, "line chest = from origin");
  // The caret's place at the head of the sentence, and at the head of the last row.
  const rows = await page.evaluate(() => {
    const { view } = desk.editor;
    const line = view.state.doc.lineAt(desk.editor.caret);
    const first = line.from + line.text.search(/\S/);
    return { first: view.coordsAtPos(first), last: view.coordsAtPos(line.to, -1), left: view.moveToLineBoundary({ head: line.to, anchor: line.to, empty: true, assoc: -1 }, false).head, at: line.from };
  });
  assert.ok(rows.last.top > rows.first.top, "it wraps");
  const below = await page.evaluate((at) => desk.editor.view.coordsAtPos(at, 1).left, rows.left);
  assert.ok(below > rows.first.left + 10, `${below} is not further in than ${rows.first.left}`);
  const where = () => page.evaluate(() => {
    const { main } = desk.editor.view.state.selection;
    const line = desk.editor.view.state.doc.lineAt(main.head);
    return [main.head - line.from, line.to - main.head, main.to - main.from];
  });
  await page.keyboard.press("End");
  assert.deepEqual(await where(), [long.length, 0, 0]);
  await page.keyboard.press("Home");
  assert.deepEqual(await where(), [2, long.length - 2, 0]);
  await page.keyboard.press("Home");
  assert.deepEqual(await where(), [0, long.length, 0]);
  await page.keyboard.press("Shift+End");
  assert.deepEqual(await where(), [long.length, 0, long.length]);
  await look(page, "hanging");
  await context.close();
});

test("the sentence that is written stays in sight when messages come up below the text", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  await caretBehind(page, "panel sleeve = sleeve_cap");
  await page.keyboard.type("xx");
  await settled(page);
  await page.waitForSelector("#messages:not([hidden])");
  await page.waitForFunction(() => {
    const { view } = desk.editor;
    const [caret, seen] = [view.coordsAtPos(desk.editor.caret), view.scrollDOM.getBoundingClientRect()];
    return caret !== null && caret.top >= seen.top && caret.bottom <= seen.bottom;
  });
  await context.close();
});

test("the text is as wide as sentences want, wider at a click, and stays so", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const share = () => page.evaluate(() => document.querySelector("#text").getBoundingClientRect().width / innerWidth);
  const usual = await share();
  assert.ok(usual > 0.42 && usual < 0.47, `${usual}`);
  const wide = page.getByRole("button", { name: "Wider text" });
  await wide.click();
  assert.ok((await share()) > 0.54, `${await share()}`);
  await look(page, "wider");
  await page.reload();
  await page.waitForSelector("html[data-ready]");
  assert.equal(await wide.getAttribute("aria-pressed"), "true");
  assert.ok((await share()) > 0.54);
  await context.close();
});
