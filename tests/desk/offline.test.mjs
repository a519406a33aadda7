// The static page works without a network after the first visit, and keeps its drafts.
import assert from "node:assert/strict";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { caretBehind, isSite, launch, serve, settled, sit, text } from "./table.mjs";

let served, browser;
beforeEach(async () => { served = await serve(); });
before(async () => { browser = await launch(); });
afterEach(async () => { await served?.close(); });
after(async () => { await browser?.close(); });

test("after the first visit the page opens, draws and keeps without a network", { skip: !isSite && "the program is its own network" }, async () => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await caretBehind(page, "choose ease = 12");
  await page.keyboard.type(".5");
  await page.waitForFunction(() => document.querySelector("#saved").textContent === "kept in this browser");
  // The host is gone, not only out of reach.
  await served.close();
  await context.setOffline(true);
  await page.reload();
  await page.waitForSelector("html[data-ready]");
  await settled(page);
  assert.match(await text(page), /choose ease = 12\.5cm/);
  assert.equal(await page.textContent("#verdict"), "All well");
  await caretBehind(page, "choose ease = 12.");
  await page.keyboard.type("7");
  await settled(page);
  assert.match(await page.evaluate(() => desk.view.choices.find(({ name }) => name === "ease").value), /^12\.75 cm$/);
  // The letters of paper, which are fetched late, and drafts that were not opened yet are there, too.
  const [first, length] = await page.evaluate(async () => {
    const pages = await desk.bytes("pdf", { sheet: "a4" });
    return [String.fromCharCode(...pages.slice(0, 5)), pages.length];
  });
  assert.equal(first, "%PDF-");
  assert.ok(length > 20_000, `${length}`);
  assert.match((await page.evaluate(() => desk.asked.engine.files.read("trousers.draft"))).text, /^edition 1/);
  await context.close();
});

test("the letters of paper are fetched when something is put on paper, and it says so where they are not to be had", { skip: !isSite }, async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft", { serviceWorkers: "block" });
  served.lacks.add("/face-bold.ttf");
  const pages = () => page.evaluate(() => desk.bytes("pdf", { sheet: "a4" }).then((bytes) => bytes.length, (fault) => fault.message));
  assert.ok(!served.asked.some((file) => file.includes("face")), `${served.asked}`);
  assert.match(String(await pages()), /letters of paper could not be fetched/);
  served.lacks.clear();
  assert.ok((await pages()) > 20_000);
  const count = served.asked.length;
  assert.ok((await pages()) > 20_000);
  assert.equal(served.asked.length, count);
  await context.close();
});
