// Drafts opened, saved and kept, changed elsewhere meanwhile; pages to print and files to take.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { caretBehind, isSite, launch, look, serve, settled, sit, text } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

/** Changes a draft as another hand would: in the served folder, or in another window of the browser. */
async function elsewhere(context, path, change) {
  if (!isSite) {
    const file = join(served.folder, path);
    return writeFileSync(file, change(readFileSync(file, "utf8")));
  }
  const window = await context.newPage();
  await window.goto(served.address);
  await window.waitForSelector("html[data-ready]");
  const { text, mark } = await window.evaluate((path) => desk.asked.engine.files.read(path), path);
  await window.evaluate(([path, text, mark]) => desk.asked.engine.files.write(path, text, mark), [path, change(text), mark]);
  await window.close();
}

const keep = async (page) => {
  if (!isSite) await page.click("#save");
  await page.waitForFunction(() => /^(saved|kept in this browser)$/.test(document.querySelector("#saved").textContent));
};

test("a draft is opened from the list, and saved", async () => {
  const { page, faults, context } = await sit(browser, served, "first-steps.draft");
  await page.click("#open");
  await page.waitForSelector("dialog .drafts [role=option]");
  const drafts = await page.locator("dialog .drafts [role=option]").allTextContents();
  assert.ok(drafts.includes("deck-vest.draft"));
  assert.ok(drafts.some((one) => one.startsWith("house/styles/")));
  await look(page, "drafts");
  await page.getByRole("option", { name: "deck-vest.draft" }).click();
  await page.waitForFunction(() => document.querySelector("#file").textContent === "deck-vest.draft");
  await settled(page);
  await caretBehind(page, "choose ease = 12");
  await page.keyboard.type(".5");
  assert.equal(await page.textContent("#saved"), "not saved yet");
  await keep(page);
  if (!isSite) assert.match(readFileSync(join(served.folder, "deck-vest.draft"), "utf8"), /choose ease = 12\.5cm/);
  await look(page, "saved");
  await page.reload();
  await settled(page);
  assert.match(await text(page), /choose ease = 12\.5cm/);
  // Back to the draft before, as any page goes back.
  await page.goBack();
  await page.waitForFunction(() => document.querySelector("#file").textContent === "first-steps.draft");
  assert.deepEqual(faults, []);
  await context.close();
});

test("a page that is left at once loses nothing", { skip: !isSite && "the program is asked by a button" }, async () => {
  const { page, context } = await sit(browser, served, "raglan-shirt.draft");
  await caretBehind(page, "draft \"");
  await page.keyboard.type("My ");
  await page.reload();
  await settled(page);
  assert.match(await text(page), /draft "My /);
  await context.close();
});

test("a draft that is not saved is asked about before another is opened", { skip: isSite && "the browser keeps it" }, async () => {
  const { page, context } = await sit(browser, served, "raglan-shirt.draft");
  await caretBehind(page, "draft \"");
  await page.keyboard.type("My ");
  const open = async () => {
    await page.click("#open");
    await page.getByRole("option", { name: "first-steps.draft" }).click();
    await page.getByRole("button", { name: "Save it first" }).waitFor();
  };
  await open();
  await page.keyboard.press("Escape");
  assert.match(await text(page), /draft "My /);
  await open();
  await page.getByRole("button", { name: "Save it first" }).click();
  await page.waitForFunction(() => document.querySelector("#file").textContent === "first-steps.draft");
  assert.match(readFileSync(join(served.folder, "raglan-shirt.draft"), "utf8"), /draft "My /);
  await context.close();
});

test("a new draft begins with this text under another name", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.click("#open");
  await page.getByRole("textbox", { name: "Name" }).fill("harbour/apron");
  await page.getByRole("button", { name: "Begin it with this text" }).click();
  await page.waitForFunction(() => document.querySelector("#file").textContent === "harbour/apron.draft" || document.querySelector("dialog [role=alert]")?.textContent);
  // A folder that is not there may be refused: then in words, the dialog still open.
  if (await page.locator("dialog").count() > 0) {
    await page.getByRole("textbox", { name: "Name" }).fill("apron");
    await page.getByRole("button", { name: "Begin it with this text" }).click();
  }
  await page.waitForFunction(() => /apron\.draft$/.test(document.querySelector("#file").textContent));
  await page.click("#open");
  await page.getByRole("textbox", { name: "Name" }).fill("deck-vest");
  await page.getByRole("button", { name: "Begin it empty" }).click();
  await page.waitForFunction(() => /already/.test(document.querySelector("dialog [role=alert]")?.textContent));
  await context.close();
});

test("what changed elsewhere in other lines is merged, and nothing is lost", async () => {
  const { page, context } = await sit(browser, served, "straight-skirt.draft");
  const came = await text(page);
  await caretBehind(page, "draft \"");
  await page.keyboard.type("My ");
  await elsewhere(context, "straight-skirt.draft", (text) => `${text}# told elsewhere\n`);
  // The other hand's line comes in by itself where it is heard of, at the latest when one saves.
  await keep(page);
  await page.waitForFunction(() => desk.editor.text.includes("# told elsewhere"));
  await keep(page);
  const both = await text(page);
  assert.equal(both, `${came.replace('draft "', 'draft "My ')}# told elsewhere\n`);
  await page.reload();
  await settled(page);
  assert.equal(await text(page), both);
  await context.close();
});

test("what changed elsewhere in the same line is asked about: both texts are shown", async () => {
  const { page, context } = await sit(browser, served, "half-circle-skirt.draft");
  const title = /draft "([^"]*)"/.exec(await text(page))[1];
  // Unheard of: the other hand writes while this window is not looking.
  await page.evaluate(() => { desk.asked.engine.files.read = () => new Promise(() => {}); });
  await caretBehind(page, "draft \"");
  await page.evaluate(() => desk.editor.view.dispatch(desk.editor.view.state.replaceSelection("Mine: ")));
  if (isSite) {
    // Before the pause in which the browser keeps it.
    await page.evaluate(async () => {
      const path = "half-circle-skirt.draft";
      const came = await (await fetch(`examples/${path}`)).text();
      localStorage.setItem(`oaktag-draft:${path}`, came.replace('draft "', 'draft "Theirs: '));
    });
  } else {
    await elsewhere(context, "half-circle-skirt.draft", (text) => text.replace('draft "', 'draft "Theirs: '));
    await page.click("#save");
  }
  await page.waitForSelector("dialog fieldset");
  const shown = await page.locator("dialog fieldset pre").allTextContents();
  assert.deepEqual(shown, [`draft "Mine: ${title}"`, `draft "Theirs: ${title}"`]);
  await look(page, "clash");
  await page.getByRole("radio", { name: /Keep the other/ }).check();
  await page.getByRole("button", { name: "Save it so" }).click();
  await page.waitForFunction(() => desk.editor.text.includes("Theirs: "));
  assert.ok(!(await text(page)).includes("Mine: "));
  // Undone, mine is there again.
  await page.click("#undo");
  assert.ok((await text(page)).includes("Mine: "));
  await context.close();
});

test("a clash left open loses nothing", async () => {
  const { page, context } = await sit(browser, served, "trousers.draft");
  await page.evaluate(() => { desk.asked.engine.files.read = () => new Promise(() => {}); });
  await caretBehind(page, "draft \"");
  await page.evaluate(() => desk.editor.view.dispatch(desk.editor.view.state.replaceSelection("Mine: ")));
  if (isSite) {
    await page.evaluate(async () => {
      const came = await (await fetch("examples/trousers.draft")).text();
      localStorage.setItem("oaktag-draft:trousers.draft", came.replace('draft "', 'draft "Theirs: '));
    });
  } else {
    await elsewhere(context, "trousers.draft", (text) => text.replace('draft "', 'draft "Theirs: '));
    await page.click("#save");
  }
  await page.waitForSelector("dialog fieldset");
  await page.keyboard.press("Escape");
  assert.ok((await text(page)).includes("Mine: "));
  assert.equal(await page.textContent("#saved"), "not saved yet");
  const there = isSite
    ? await page.evaluate(() => localStorage.getItem("oaktag-draft:trousers.draft"))
    : readFileSync(join(served.folder, "trousers.draft"), "utf8");
  assert.ok(there.includes("Theirs: "));
  await context.close();
});

test("the library can be read, and a draft for each of its acts drawn", { skip: !isSite && "the program's folder holds no library" }, async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.click("#open");
  await page.getByText("The library, and a draft for each of its acts").click();
  await look(page, "library");
  await page.getByRole("option", { name: "library/examples/box_pleat.draft" }).click();
  await page.waitForFunction(() => document.querySelector("#file").textContent === "library/examples/box_pleat.draft");
  await settled(page);
  assert.ok(await page.locator("#paper path[data-name]").count() > 0);
  await context.close();
});

test("files come from this device, and go to it", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  if (isSite) {
    await page.click("#open");
    await page.getByLabel("From this device").setInputFiles({ name: "pinafore.draft", mimeType: "text/plain", buffer: Buffer.from('edition 1\ndraft "Pinafore"\nunit cm\n') });
    await page.waitForFunction(() => document.querySelector("#file").textContent === "pinafore.draft");
  }
  await page.click("#take");
  const [taken] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: ".draft" }).click()]);
  assert.equal(readFileSync(await taken.path(), "utf8"), await text(page));
  await context.close();
});

test("each form is taken as a file, whole", async () => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  await page.click("#take");
  const begins = {
    svg: /^<\?xml/, pdf: /^%PDF-/, dxf: /^\s*(0|999)\r?\n/, json: /^\{/, txt: /Deck vest/, csv: /,/, png: /^\x89PNG/, html: /^<!DOCTYPE html>/i,
  };
  await look(page, "take");
  for (const button of await page.locator("dialog .forms button").all()) {
    const ending = (await button.textContent()).slice(1);
    if (ending === "draft") continue;
    const [taken] = await Promise.all([page.waitForEvent("download"), button.click()]);
    assert.equal(taken.suggestedFilename(), `deck-vest.${ending}`);
    assert.match(readFileSync(await taken.path(), "latin1"), begins[ending], ending);
  }
  await context.close();
});

test("the pages are made for the sheet chosen, and opened", async () => {
  const { page, context } = await sit(browser, served, "deck-vest.draft");
  await page.click("#print");
  await page.getByRole("combobox", { name: "On" }).selectOption("letter");
  await look(page, "print");
  const [opened] = await Promise.all([context.waitForEvent("page"), page.getByRole("button", { name: "Make the pages" }).click()]);
  assert.match(opened.url(), /^blob:|^about:blank$|^$/);
  assert.match(await page.textContent("dialog [role=status]"), /open in another window/);
  const keep = page.getByRole("link", { name: "keep them as a file" });
  await keep.waitFor();
  const [taken] = await Promise.all([page.waitForEvent("download"), keep.click()]);
  const pdf = readFileSync(await taken.path(), "latin1");
  assert.match(pdf, /^%PDF-/);
  if (await page.evaluate(() => desk.asked.has("walk"))) {
    // Letter is 612 by 792 points (ANSI/ASME Y14.1).
    const boxes = [...pdf.matchAll(/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)].map(([, width, height]) => [Math.round(width), Math.round(height)].sort());
    assert.ok(boxes.length > 0 && boxes.every(([width, height]) => width === 612 && height === 792), JSON.stringify(boxes));
  }
  await context.close();
});

test("what is unfinished is printed only when asked for", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await caretBehind(page, "leaving square to should");
  await page.keyboard.type("q");
  await settled(page);
  await page.click("#print");
  await page.getByRole("button", { name: "Make the pages" }).click();
  await page.waitForFunction(() => /shouldqer|cannot|unfinished/i.test(document.querySelector("dialog [role=status]").textContent));
  assert.equal(await page.getByRole("link", { name: "Open the pages" }).count(), 0);
  await page.getByRole("checkbox", { name: "Unfinished as it is" }).check();
  await page.getByRole("button", { name: "Make the pages" }).click();
  await page.getByRole("link", { name: "keep them as a file" }).waitFor();
  await context.close();
});

test("a key opens the drafts, letters find one, and the hand is in its text", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.keyboard.press("Control+o");
  const now = page.getByRole("listbox", { name: "Drafts", exact: true }).getByRole("option", { selected: true });
  await now.waitFor();
  assert.equal(await now.textContent(), "first-steps.draft");
  const at = () => page.evaluate(() => document.activeElement.textContent);
  assert.equal(await at(), "first-steps.draft");
  await page.keyboard.type("wom");
  assert.equal(await at(), "womens-crew-shirt.draft");
  await page.keyboard.press("Home");
  const names = await page.locator("dialog .drafts >> nth=0").locator("[role=option]").allTextContents();
  assert.equal(await at(), names[0]);
  await page.keyboard.press("ArrowDown");
  assert.equal(await at(), names[1]);
  await look(page, "drafts-by-key");
  await page.keyboard.type("deck-v");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => desk.path === "deck-vest.draft" && document.activeElement.classList.contains("cm-content"));
  await context.close();
});

test("an empty draft is empty, and takes a head as it is typed", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.click("#open");
  await page.getByRole("textbox", { name: "Name" }).fill("bare");
  await page.getByRole("button", { name: "Begin it empty" }).click();
  await page.waitForFunction(() => desk.path === "bare.draft");
  await settled(page);
  assert.equal(await text(page), "");
  assert.match(await page.textContent(".cm-placeholder"), /edition 1/);
  assert.ok(await page.evaluate(() => document.activeElement.classList.contains("cm-content")));
  await page.keyboard.type('edition 1');
  await page.keyboard.press("Escape");
  await page.keyboard.press("Enter");
  await page.keyboard.type('unit cm');
  await settled(page);
  assert.equal(await page.evaluate(() => desk.view.messages.length), 0);
  await look(page, "empty");
  await context.close();
});

test("pages that are not made say why in words, and lead to the line", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  await caretBehind(page, "= shirt_b");
  await page.keyboard.type("x");
  await settled(page);
  const line = await page.evaluate(() => desk.editor.lineOf(desk.editor.line));
  await caretBehind(page, "unit ");
  await page.click("#print");
  await page.getByRole("button", { name: "Make the pages" }).click();
  const link = page.locator("dialog").getByRole("link", { name: `Line ${line}`, exact: true });
  await link.waitFor();
  const said = await page.textContent("dialog [role=status]");
  assert.ok(!said.includes("`") && said.includes("shirt_bxody"), said);
  await look(page, "print-refused");
  await link.click();
  await page.locator("dialog").waitFor({ state: "detached" });
  assert.equal(await page.evaluate(() => desk.editor.lineOf(desk.editor.line)), line);
  await context.close();
});

test("an answer that does not come is asked for again, and the page says so", async (t) => {
  if (isSite) return t.skip("nothing is asked of a server");
  let asked = 0;
  const said = [];
  const { page, context } = await sit(browser, served, "deck-vest.draft", {
    before: async (context) => {
      await context.exposeFunction("heard", (words) => said.push(words));
      await context.addInitScript(() => new MutationObserver(() => {
        const words = document.querySelector("#news")?.textContent;
        if (words) window.heard(words);
      }).observe(document, { childList: true, subtree: true, characterData: true }));
      // The first question is taken, and never answered.
      await context.route("**/files", (route) => (asked++ === 0 ? undefined : route.fallback()));
    },
  });
  assert.ok(asked > 1, `${asked}`);
  assert.ok(said.includes("No answer for 5 seconds: the page asks again."), said.join("; "));
  assert.equal(await page.textContent("#verdict"), "All well");
  await context.close();
});
