// By keyboard alone, by a reader that speaks, in light and dark, on a table and on a tablet.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axe, caretBehind, launch, look, serve, settled, sit } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

/** What axe finds, in words; it knows WCAG 2 and the rules of good practice. */
async function found(page) {
  await page.addScriptTag({ path: axe }).catch(async () => page.evaluate((await import("node:fs")).readFileSync(axe, "utf8")));
  const { violations } = await page.evaluate(() => axe.run());
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html, failureSummary }) => `${html} ${failureSummary}`).slice(0, 3).join(" | ")}`);
}

for (const colorScheme of ["light", "dark"]) {
  test(`axe finds nothing, ${colorScheme}: well, wrong, and over the page`, async () => {
    // The page's policy lets no foreign script in, and axe is one.
    const { page, context } = await sit(browser, served, "deck-vest.draft", { colorScheme, bypassCSP: true });
    await page.getByText("Measures of the body").click();
    await page.locator("#seams summary").first().click();
    assert.deepEqual(await found(page), []);
    await look(page, `vest-${colorScheme}`);
    await caretBehind(page, "line hem = from end of cent");
    await page.keyboard.type("x");
    await settled(page);
    assert.deepEqual(await found(page), []);
    await look(page, `wrong-${colorScheme}`);
    await page.keyboard.press("F8");
    for (const id of ["open", "print", "take", "keys"]) {
      await page.click(`#${id}`);
      await page.locator("dialog[open]").waitFor();
      assert.deepEqual(await found(page), [], id);
      await look(page, `${id}-${colorScheme}`);
      await page.keyboard.press("Escape");
      await page.locator("dialog").waitFor({ state: "detached" });
    }
    await page.click("#find");
    await page.waitForSelector(".cm-search");
    assert.deepEqual(await found(page), [], "find");
    await look(page, `find-${colorScheme}`);
    await context.close();
  });
}

test("by keyboard alone: misspelt, mended, a choice moved, a seam opened, the pages made", async () => {
  const { page, faults, context } = await sit(browser, served, "deck-vest.draft");
  await page.keyboard.press("F6");
  assert.ok(await page.evaluate(() => document.activeElement.closest("#editor") !== null));
  const press = async (...keys) => { for (const key of keys) await page.keyboard.press(key); };
  await press("Control+f");
  await page.keyboard.type("end of centre to");
  await press("Enter", "Escape", "ArrowRight", "ArrowLeft", "ArrowLeft", "ArrowLeft", "ArrowLeft");
  await page.keyboard.type("x");
  await settled(page);
  assert.match(await page.textContent("#verdict"), /error/);
  await press("F6");
  assert.ok(await page.evaluate(() => document.activeElement.closest("#messages") !== null));
  // From the message's line on to its cure.
  await press("Tab");
  assert.ok(await page.evaluate(() => document.activeElement.classList.contains("cure")), await page.evaluate(() => document.activeElement.outerHTML));
  await press("Enter");
  await settled(page);
  assert.match(await page.textContent("#verdict"), /^All well/);
  // On to the drawing, past messages if there are any.
  for (let stop = 0; stop < 2 && !(await page.evaluate(() => document.activeElement.id === "paper")); stop++) await press("F6");
  assert.equal(await page.evaluate(() => document.activeElement.id), "paper");
  await press("n", "F6");
  assert.ok(await page.evaluate(() => document.activeElement.closest("#lists") !== null));
  let seen = "";
  for (let count = 0; count < 20 && seen !== "range"; count++) {
    await press("Tab");
    seen = await page.evaluate(() => document.activeElement.type ?? "");
  }
  await press("ArrowRight");
  await settled(page);
  assert.equal(await page.evaluate(() => desk.values.size), 1);
  for (let count = 0; count < 40 && seen !== "SUMMARY side"; count++) {
    await press("Tab");
    seen = await page.evaluate(() => `${document.activeElement.tagName} ${document.activeElement.parentElement.dataset.key ?? ""}`);
  }
  await press("Enter");
  assert.ok(await page.locator('#seams details[data-key="side"]').evaluate((details) => details.open));
  await press("F6");
  assert.ok(await page.evaluate(() => document.activeElement.closest("header") !== null));
  await press("Control+p");
  await page.waitForSelector("dialog[open]");
  await press("Escape");
  await page.locator("dialog").waitFor({ state: "detached" });
  // Wherever the keyboard stands, it is seen.
  await press("Shift+F6");
  for (let count = 0; count < 12; count++) {
    await press("Tab");
    const seen = await page.evaluate(() => {
      const { outlineStyle, outlineWidth } = getComputedStyle(document.activeElement);
      return document.activeElement.closest(".cm-editor") !== null || (outlineStyle !== "none" && parseFloat(outlineWidth) >= 2);
    });
    assert.ok(seen, await page.evaluate(() => document.activeElement.outerHTML.slice(0, 200)));
  }
  assert.deepEqual(faults, []);
  await context.close();
});

test("Tab leaves the text", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Tab");
  assert.ok(await page.evaluate(() => document.activeElement.closest(".cm-content") === null));
  await context.close();
});

test("parts are landmarks, and the outcome speaks", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  for (const [role, name] of [["banner"], ["main"], ["navigation", "The draft"], ["region", "Text"], ["region", "Drawing"], ["complementary", "Beside the drawing"]]) {
    assert.equal(await page.getByRole(role, name ? { name, exact: true } : {}).count(), 1, `${role} ${name}`);
  }
  assert.equal(await page.locator("#verdict").evaluate((verdict) => verdict.closest('[role="status"]') !== null), true);
  assert.ok(await page.getByRole("img", { name: "First steps: half a back" }).count() === 1);
  await context.close();
});

for (const [name, viewport] of [["tablet", { width: 1024, height: 768 }], ["tablet-upright", { width: 820, height: 1180 }]]) {
  test(`on a ${name} everything can be touched, and nothing runs out of sight`, async () => {
    const { page, context } = await sit(browser, served, "deck-vest.draft", { viewport, hasTouch: true, isMobile: true });
    const small = await page.evaluate(() => [...document.querySelectorAll("button, select, summary, input")]
      .filter((one) => one.checkVisibility() && !one.closest(".cm-editor"))
      .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
      .filter(([, { width, height }]) => Math.min(width, height) < 44).map(([one]) => one));
    assert.deepEqual(small, []);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    await look(page, name);
    await page.evaluate(() => document.querySelector("#lists").scrollIntoView());
    await look(page, `${name}-lists`);
    await context.close();
  });
}
