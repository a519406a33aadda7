// The page of a lesson in Chromium: read by axe and by html-validate, walked by keyboard, played, printed, on a telephone.
// OAKTAG_LESSON names the program that writes it, else OAKTAG_DESK where that is one; without either nothing is tried.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { axe, isSite, launch, look, root, which } from "./table.mjs";

const program = process.env.OAKTAG_LESSON ?? (isSite ? "" : which);
const skip = program ? false : "no program writes lessons here";
const require = createRequire(join(root, "desk/package.json"));

const PAGES = [
  ["first-steps", []],
  ["ferry-shirt", ["--questions", "--for", "Ada \"<b>\" é", "--revision", "B"]],
  ["womens-crew-shirt", ["--class", "--date", "2026-12-01"]],
  ["deck-vest", ["--unfold", "--scale", "half"]],
];

let browser, folder;
before(async () => {
  if (skip) return;
  browser = await launch();
  folder = mkdtempSync(join(tmpdir(), "lesson-"));
  for (const [name, options] of PAGES) {
    execFileSync(program, ["lesson", join(root, `examples/${name}.draft`), "-o", join(folder, `${name}.html`), ...options],
      { stdio: "pipe" });
  }
});
after(async () => {
  await browser?.close();
  if (folder) rmSync(folder, { recursive: true, force: true });
});

const file = (name) => join(folder, `${name}.html`);

async function opened(name, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(String(fault)));
  page.on("request", (request) => { if (!request.url().startsWith("file:")) faults.push(request.url()); });
  await page.goto(pathToFileURL(file(name)).href);
  return { page, context, faults };
}

for (const [name] of PAGES) {
  for (const colorScheme of ["light", "dark"]) {
    test(`axe finds nothing: ${name}, ${colorScheme}`, { skip }, async () => {
      const { page, context, faults } = await opened(name, { colorScheme, bypassCSP: true });
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
      await page.evaluate(readFileSync(axe, "utf8"));
      const { violations } = await page.evaluate(() => axe.run());
      const told = violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 200)).slice(0, 3).join(" | ")}`);
      assert.deepEqual(told, []);
      assert.deepEqual(faults, []);
      await context.close();
    });
  }

  test(`html-validate finds nothing: ${name}`, { skip }, async () => {
    const { HtmlValidate } = require("html-validate");
    // Of the recommended rules two are of taste: a style attribute gives a figure its true size, and lines may be long.
    const reader = new HtmlValidate({
      extends: ["html-validate:recommended"],
      rules: { "no-inline-style": "off", "long-title": "off" },
    });
    const report = await reader.validateString(readFileSync(file(name), "utf8"));
    const told = report.results.flatMap(({ messages }) => messages.map(({ ruleId, message, line, column }) => `${line}:${column} ${ruleId}: ${message}`));
    assert.deepEqual(told.slice(0, 20), []);
  });

  test(`a telephone's width holds it: ${name}`, { skip }, async () => {
    const { page, context } = await opened(name, { viewport: { width: 360, height: 740 } });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 360, `${wide} px wide`);
    await look(page, `lesson-${name}-360`);
    await context.close();
  });
}

test("a step is played, stopped and stepped by keyboard, each line with its sentence", { skip }, async () => {
  const { page, context, faults } = await opened("first-steps");
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
  const button = (name) => page.getByRole("button", { name, exact: true });
  // By Tab alone, from the head of the page to the buttons.
  for (let at = 0; at < 40 && await page.evaluate(() => document.activeElement.dataset.does !== "play"); at += 1) {
    await page.keyboard.press("Tab");
  }
  assert.equal(await page.evaluate(() => document.activeElement.dataset.does), "play");
  assert.equal(await page.getByRole("group", { name: "Step 1, act by act" }).count(), 1);
  const drawn = () => page.evaluate(() => [...document.querySelectorAll(".work svg path.new")]
    .filter((path) => getComputedStyle(path).visibility === "visible").length);
  const all = await drawn();
  assert.ok(all >= 6, `${all} lines`);
  const now = () => page.textContent(".play .now");
  const acts = await page.locator(".does > li").allTextContents();

  await page.keyboard.press("Enter");
  assert.equal(await now(), `Act 1 of ${acts.length}. ${acts[0]}`);
  assert.equal(await drawn(), 0);
  await button("Stop").waitFor();
  await page.keyboard.press("Enter");
  await button("Play").waitFor();
  assert.equal(await now(), `Act 1 of ${acts.length}. ${acts[0]}`, "stopped where it was");

  let lines = 0;
  for (let act = 1; act < acts.length; act += 1) {
    await page.keyboard.press("ArrowRight");
    assert.equal(await now(), `Act ${act + 1} of ${acts.length}. ${acts[act]}`);
    const has = await drawn();
    assert.equal(has - lines, acts[act].startsWith("Draw") ? 1 : 0, acts[act]);
    lines = has;
    assert.equal(await page.locator("li[aria-current=step]").textContent(), acts[act]);
  }
  assert.equal(lines, all);
  await page.keyboard.press("ArrowLeft");
  assert.equal(await drawn(), all - 1);
  await look(page, "lesson-played");
  await page.keyboard.press("Escape");
  assert.equal(await drawn(), all);
  assert.equal(await now(), "");

  // What is printed is whole, wherever it was stopped.
  await page.keyboard.press("ArrowRight");
  assert.equal(await drawn(), 0);
  await page.emulateMedia({ media: "print" });
  assert.equal(await drawn(), all);
  assert.deepEqual(faults, []);
  await context.close();
});

test("it plays on by itself, and is still where that is asked for", { skip }, async () => {
  const { page, context } = await opened("first-steps");
  await page.getByRole("button", { name: "Play" }).click();
  await page.waitForFunction(() => document.querySelector(".play .now").textContent.startsWith("Act 2 "), null, { timeout: 30000 });
  assert.ok(await page.evaluate(() => document.querySelector(".draws") !== null), "the second act's line is being drawn");
  await context.close();
  const quiet = await opened("first-steps", { reducedMotion: "reduce" });
  assert.equal(await quiet.page.getByRole("button", { name: "Play" }).count(), 0);
  await quiet.page.getByRole("button", { name: "Act on" }).click();
  await quiet.page.getByRole("button", { name: "Act on" }).click();
  assert.equal(await quiet.page.evaluate(() => document.querySelectorAll(".draws, .comes").length), 0);
  assert.match(await quiet.page.textContent(".play .now"), /^Act 2 of /);
  await quiet.context.close();
});

test("without a script the page is whole", { skip }, async () => {
  const { page, context } = await opened("first-steps", { javaScriptEnabled: false });
  assert.equal(await page.getByRole("button").count(), 0);
  assert.ok(await page.locator(".work svg text.fresh").first().isVisible());
  await context.close();
});

test("every printed sheet has its head, and the answers begin on one of their own", { skip }, async () => {
  const { page, context } = await opened("ferry-shirt");
  const bytes = await page.pdf({ format: "A4", preferCSSPageSize: true });
  const kept = join(folder, "printed.pdf");
  const { writeFileSync } = await import("node:fs");
  writeFileSync(kept, bytes);
  const text = execFileSync("pdftotext", ["-layout", kept, "-"]).toString().split("\f").slice(0, -1);
  assert.ok(text.length > 5);
  for (const [at, sheet] of text.entries()) {
    // Readers of PDF find spaces by distance.
    assert.match(sheet.replace(/\s/g, ""), /forAda"<b>"é·revisionB/, `sheet ${at + 1}`);
  }
  await context.close();
});
