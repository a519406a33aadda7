// What an editor says of the word at the caret, in the page: what may follow, what it is, where it is drawn, another name for it.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

const lineAtCaret = (page) => page.evaluate(() => desk.editor.view.state.doc.lineAt(desk.editor.caret).text);

test("what may stand here is offered, and what is drawn is among it", async () => {
  const { page, faults, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "line hem = from end of centre to end of side\n");
  await page.keyboard.press("Enter");
  await page.keyboard.press("ArrowUp");
  await page.keyboard.type("  line waist = from na");
  await page.keyboard.press("Control+Space");
  const offered = page.locator(".cm-tooltip-autocomplete li");
  await offered.locator(".cm-completionLabel", { hasText: /^nape$/ }).waitFor();
  await look(page, "completion");
  // A list that has only just opened takes no key yet, so that none is taken for a choice by accident.
  await page.waitForTimeout(200);
  await page.keyboard.press("Enter");
  await page.keyboard.type(" toward right for 4cm");
  await settled(page);
  assert.match(await lineAtCaret(page), /^ {2}line waist = from nape toward right for 4cm$/);
  assert.ok(await page.locator('#paper [data-name="waist"]').count() > 0);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a word says what it is, with its figure and a small picture", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const word = await page.evaluate(() => {
    const { editor } = desk;
    const at = editor.text.indexOf("curve armhole") + "curve arm".length;
    editor.select({ from: at, to: at }, true);
    const { left, top, bottom } = editor.view.coordsAtPos(at);
    return { x: left + 2, y: (top + bottom) / 2 };
  });
  await page.mouse.move(word.x - 40, word.y + 60);
  await page.mouse.move(word.x, word.y, { steps: 4 });
  await page.locator(".hover").waitFor();
  // The length that the drawing's own label has.
  const [, length] = /armhole ([\d.]+)/.exec((await page.locator('#paper text[data-name="armhole"]').allTextContents()).join(" "));
  assert.ok((await page.textContent(".hover")).includes(length), `${await page.textContent(".hover")} lacks ${length}`);
  assert.ok(await page.locator(".hover svg path.lit").count() > 0);
  await look(page, "hover");
  await context.close();
});

test("from a name to where it is drawn, and to every place that names it", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "leaving square to should");
  await page.keyboard.press("Control+Enter");
  await page.waitForFunction(() => desk.editor.view.state.doc.lineAt(desk.editor.caret).text.includes("line shoulder"));
  await page.click("#caret summary");
  await page.click("#mentions");
  await page.waitForSelector("dialog[open]");
  const named = await page.locator("dialog .drafts button").allTextContents();
  const count = (await text(page)).match(/\bshoulder\b/g).length;
  assert.equal(named.length, count, named.join("\n"));
  await look(page, "mentions");
  await page.locator("dialog .drafts button").last().click();
  assert.match(await lineAtCaret(page), /outline .*shoulder/);
  await context.close();
});

test("a dialog that is left gives the caret back where it stood", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "line should");
  const caret = () => page.evaluate(() => desk.editor.caret);
  const stood = await caret();
  await page.keyboard.press("F2");
  await page.locator("dialog[open]").waitFor();
  await page.keyboard.press("Escape");
  await page.locator("dialog").waitFor({ state: "detached" });
  await page.waitForFunction(() => document.activeElement.classList.contains("cm-content"));
  await page.evaluate(() => new Promise((next) => requestAnimationFrame(() => setTimeout(next, 50))));
  assert.equal(await caret(), stood);
  await page.keyboard.type("x");
  assert.ok((await text(page)).includes("line shouldxer"));
  await context.close();
});

test("an act of the library is shown where it stands", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  await caretBehind(page, "= womens_bl");
  await page.keyboard.press("Control+Enter");
  await page.waitForSelector("dialog[open]");
  assert.match(await page.textContent("dialog pre"), /^operation womens_block/);
  await context.close();
});

test("another name everywhere at once, undone at once; a name that is taken is refused in words", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const before = await text(page);
  await caretBehind(page, "line should");
  await page.keyboard.press("F2");
  const name = page.getByRole("textbox", { name: "Call it" });
  assert.equal(await name.inputValue(), "shoulder");
  await name.fill("neck");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector("dialog [role=alert]")?.textContent.length > 0);
  assert.equal(await text(page), before);
  await name.fill("shoulder_seam");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => desk.editor.text.includes("shoulder_seam"));
  await settled(page);
  assert.equal(await text(page), before.replace(/\bshoulder\b/g, "shoulder_seam"));
  await page.click("#undo");
  assert.equal(await text(page), before);
  await context.close();
});

test("the text is laid out tidily, and undone at once", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const before = await text(page);
  const untidy = before.replace("  point nape = origin", "      point nape   =   origin");
  await page.evaluate((untidy) => desk.editor.replace(untidy), untidy);
  await page.click("#tidy");
  await page.waitForFunction((before) => desk.editor.text === before, before);
  await page.click("#undo");
  assert.equal(await text(page), untidy);
  await context.close();
});

test("a step folds away, and figures stand beside the text", async () => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  await page.waitForSelector(".beside");
  const beside = await page.locator(".beside").allTextContents();
  // A quarter of 96 cm and 12 cm.
  assert.ok(beside.some((figure) => figure.trim() === "=\u00a027\u00a0cm"), beside.join("; "));
  await look(page, "figures");
  await caretBehind(page, 'step "Centre, shoulder and neck" {');
  await page.keyboard.press("Control+Shift+BracketLeft");
  await page.waitForSelector(".cm-foldPlaceholder");
  assert.ok(!(await page.textContent(".cm-content")).includes("point nape = origin"));
  await look(page, "folded");
  await page.keyboard.press("Control+Shift+BracketRight");
  assert.ok((await page.textContent(".cm-content")).includes("point nape = origin"));
  await context.close();
});

/** Takes what the list offers under a name of that form. */
async function take(page, form) {
  const option = page.locator(".cm-tooltip-autocomplete li", { hasText: form }).first();
  await option.waitFor();
  await page.waitForTimeout(200);
  await option.click();
}

test("a choice is put in with its range, each place to be filled in, and can be moved", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "unit cm");
  await page.keyboard.press("Enter");
  await page.keyboard.type("choo");
  await take(page, "choose NAME = VALUE");
  for (const [at, letters] of ["room", "12cm", "4cm", "20cm", "all round"].entries()) {
    if (at > 0) await page.keyboard.press("Tab");
    await page.keyboard.type(letters);
    await page.keyboard.press("Escape");
  }
  await settled(page);
  assert.equal(await lineAtCaret(page), 'choose room = 12cm between 4cm and 20cm "all round"');
  const slider = page.getByRole("slider", { name: "room, moved" });
  assert.deepEqual([await slider.getAttribute("min"), await slider.getAttribute("max")], ["4", "20"]);
  await context.close();
});

test("a block begins on a line of its own, indented, typed or taken from the list", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.evaluate(() => desk.editor.replace('edition 1\n'));
  await caretBehind(page, "edition 1\n");
  await page.keyboard.type("panel back {");
  await page.keyboard.press("Escape");
  await page.keyboard.press("Enter");
  await page.keyboard.type("point nape = origin");
  await page.keyboard.press("Escape");
  assert.match(await text(page), /^panel back \{\n {2}point nape = origin\n\}$/m);
  await page.keyboard.press("Control+End");
  await page.keyboard.press("Enter");
  await page.keyboard.type("pane");
  await take(page, "panel NAME {");
  await page.keyboard.type("front");
  await page.keyboard.press("Escape");
  await page.keyboard.press("Tab");
  await page.keyboard.type("point pit = origin");
  assert.match(await text(page), /^panel front \{\n {2}point pit = origin\n\}/m);
  await context.close();
});

test("an act of the library is offered with its form, and drawn once its places are filled in", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  await caretBehind(page, "panel sleeve = sleeve_cap for shirt");
  await page.keyboard.press("Enter");
  await page.keyboard.type("panel other = sleeve_c");
  await page.keyboard.press("Control+Space");
  const offered = page.locator(".cm-tooltip-autocomplete li");
  await offered.first().waitFor();
  assert.equal(await offered.locator(".cm-completionLabel").first().textContent(), "sleeve_cap");
  await look(page, "act");
  await page.waitForTimeout(200);
  // The form that takes the whole panel.
  const forms = await offered.allTextContents();
  const which = forms.findIndex((form) => /sleeve_cap for /.test(form));
  assert.ok(which >= 0, `${forms}`);
  for (let count = 0; count < which; count++) await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await page.keyboard.type("shirt");
  await page.keyboard.press("Escape");
  await settled(page);
  assert.equal(await text(page), before.replace("panel sleeve = sleeve_cap for shirt", "$&\npanel other = sleeve_cap for shirt"));
  assert.deepEqual(faults, []);
  await context.close();
});

test("a collar is changed by a word in place of another: what follows it stays", async () => {
  const { page, faults, context } = await sit(browser, served, "womens-crew-shirt.draft");
  const before = await text(page);
  await caretBehind(page, "panel collar = stand_and_fall");
  for (let count = 0; count < "stand_and_fall".length; count++) await page.keyboard.press("Backspace");
  await page.keyboard.type("convert");
  await page.keyboard.press("Control+Space");
  await page.locator(".cm-tooltip-autocomplete li").first().waitFor();
  await page.waitForTimeout(200);
  await page.keyboard.press("Enter");
  await settled(page);
  assert.equal(await text(page), before.replace("stand_and_fall", "convertible_collar"));
  await look(page, "collar");
  assert.deepEqual(faults, []);
  await context.close();
});
