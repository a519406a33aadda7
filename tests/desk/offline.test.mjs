// The static page works without a network after the first visit, and keeps its drafts.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { caretBehind, isSite, launch, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

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
  await context.close();
});
