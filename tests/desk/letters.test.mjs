// Foreign letters never become markup, wherever they come from: the draft, a table, a picture, an answer.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launch, look, serve, settled, sit } from "./table.mjs";

let served, browser;
before(async () => { served = await serve(); browser = await launch(); });
after(async () => { await browser?.close(); await served?.close(); });

const EVIL = `<script>window.caught=1</script><img src=x onerror='window.caught=2'><svg onload='window.caught=3'>`;
const HOSTILE = `edition 1
draft "${EVIL}"
unit cm
body girth = 90cm between 80cm and 120cm "${EVIL}"
choose ease = 8cm between 2cm and 12cm "${EVIL}"
choose cut_as = "a" of "a", "${EVIL}" "${EVIL}"
panel back {
  step "${EVIL}" {
    point a = origin
    point b = a right by (girth + ease) / 4
    point c = b down 40cm
    point d = a down 40cm
    line top = from a to b
    line side = from b to c
    line hem = from c to d
    line centre = from d to a
  }
}
piece back "${EVIL}" {
  outline top, side, hem, centre
  cut 1
  allow 1cm
  finish top, side, hem, centre "${EVIL}"
}
check "${EVIL}" that length of back.top is 1cm
length ${"x".repeat(20)} = <b onmouseover='window.caught=4'>
`;

const nothingRan = async (page) => {
  assert.equal(await page.evaluate(() => window.caught), undefined);
  // No element of theirs stands anywhere in the page, and no listener as an attribute.
  assert.equal(await page.locator("body script, body img:not(.cm-widgetBuffer), body iframe, body foreignObject, body a[href^='javascript']").count(), 0);
  const attributes = await page.evaluate(() => [...document.querySelectorAll("*")].flatMap((one) => [...one.attributes]
    .filter(({ name }) => name.startsWith("on")).map(({ name }) => `${one.localName} ${name}`)));
  assert.deepEqual(attributes, []);
};

test("a hostile draft is shown as the letters that it is", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.evaluate((text) => desk.editor.replace(text), HOSTILE);
  await settled(page);
  assert.ok((await page.textContent("#title")).includes("<script>"));
  assert.ok(await page.locator("#messages li").count() > 0);
  assert.ok((await page.textContent("#steps")).includes("<script>"));
  assert.ok((await page.textContent("#choices")).includes("<img"));
  assert.ok((await page.textContent("#paper")).includes("<script>"));
  await nothingRan(page);
  for (const id of ["open", "print", "take"]) {
    await page.click(`#${id}`);
    await page.locator("dialog[open]").waitFor();
    await nothingRan(page);
    await page.keyboard.press("Escape");
    await page.locator("dialog").waitFor({ state: "detached" });
  }
  await look(page, "hostile");
  await context.close();
});

test("a hostile table is shown as the letters that it is", async () => {
  const { page, context } = await sit(browser, served, "womens-crew-shirt.draft");
  await page.evaluate((evil) => {
    const { files } = desk.asked.engine;
    const [list, read] = [files.list.bind(files), files.read.bind(files)];
    const path = `${evil.replaceAll("/", "")}.csv`;
    files.list = async () => ({ ...(await list()), files: [{ path }] });
    files.read = async (asked) => asked === path ? { text: `size [cm],"${evil}",44\nBust girth,${evil},100\n"${evil}",1,2\n`, mark: "1" } : read(asked);
    desk.editor.open(desk.editor.text);
  }, EVIL);
  await settled(page);
  await page.getByText("Body from a table").click();
  await page.waitForFunction(() => document.querySelector("#table").options.length === 2);
  await page.locator("#table").selectOption({ index: 1 });
  await page.waitForFunction(() => document.querySelector("#body").options.length > 1 || document.querySelector("#bodies [role=status]").textContent !== "");
  const bodies = await page.locator("#body option").allTextContents();
  for (let at = 1; at < bodies.length; at++) {
    await page.locator("#body").selectOption({ index: at });
    await settled(page);
  }
  assert.ok((await page.textContent("#bodies")).includes("<img"));
  await nothingRan(page);
  await context.close();
});

test("of an answer's picture only lines and letters are let in", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.evaluate(() => {
    const answer = desk.asked.json.bind(desk.asked);
    desk.asked.json = async (question) => {
      const view = await answer(question);
      if (question.form === "picture") return { mark: "hostile", whole: `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100" onload="window.caught=5">
        <style>.cut{fill:none;stroke:#1d1c1a;stroke-width:0.7;background-image:url(http://127.0.0.1:9/a)} @import "http://127.0.0.1:9/b"; body{display:none}</style>
        <script>window.caught=6</script><foreignObject><body xmlns="http://www.w3.org/1999/xhtml"><img src="x" onerror="window.caught=7"/></body></foreignObject>
        <g id="title" onclick="window.caught=8"><path class="cut" style="fill:url(http://127.0.0.1:9/c)" d="M0 0 L100 100" data-name="armhole" data-piece="back" onmouseover="window.caught=9"/></g>
        <a xlink:href="javascript:window.caught=10"><text x="5" y="50">Out</text></a><use href="http://127.0.0.1:9/d#x"/><image href="http://127.0.0.1:9/e"/><animate attributeName="href" values="javascript:1"/>
        <set attributeName="onclick" to="window.caught=11"/></svg>` };
      if (question.form !== "view") return view;
      view.messages = [{ severity: "error", code: "a", text: "<img src=x onerror=window.caught=12> `<b>`", label: "<i>", notes: ["<u>"], help: "<s>", at: { from: 0, to: 1 }, elsewhere: null, offers: [{ at: { from: 0, to: 1 }, text: "<img src=x onerror=window.caught=13>" }] }];
      view.drawn.names = JSON.parse('{"__proto__": [0], "back.armhole": [0, 99]}');
      view.pieces = [{ name: "back", said: "<b>", panel: "__proto__", side: "<i>", at: null, darts: [] }];
      view.sides = ["<img src=x onerror=window.caught=14>"];
      view.title = "<h1>";
      return view;
    };
  });
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  await page.evaluate(() => desk.refresh());
  await page.waitForSelector("#paper path.cut");
  const names = await page.locator("#paper svg, #paper svg *").evaluateAll((list) => [...new Set(list.map((one) => one.localName))].sort());
  assert.deepEqual(names, ["g", "path", "svg"]);
  const attributes = await page.locator("#paper svg, #paper svg *").evaluateAll((list) => [...new Set(list.flatMap((one) => one.getAttributeNames()))]);
  assert.ok(attributes.every((name) => /^(aria-label|class|d|data-(layer|name|piece)|height|role|style|viewBox|width|xmlns(:xlink)?)$/.test(name)), `${attributes}`);
  // A style is only the page's own, on the whole picture.
  assert.equal(await page.locator("#paper svg [style]").count(), 0);
  assert.notEqual(await page.evaluate(() => getComputedStyle(document.body).display), "none");
  assert.ok((await page.textContent("#messages")).includes("<img src=x"));
  await page.click("#paper");
  await page.hover("#paper");
  await nothingRan(page);
  assert.deepEqual(asked.filter((url) => url.includes(":9/")), []);
  await context.close();
});

test("of what is put into a picture only lines and letters are let in", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  await page.evaluate(() => {
    const answer = desk.asked.json.bind(desk.asked);
    desk.asked.json = async (question) => {
      if (question.form !== "picture") return answer(question);
      if (question.has === "whole") return { mark: "put", puts: [[2, 2, [
        '<path class="cut" d="M1 1 L2 2" onclick="window.caught=20" style="fill:url(http://127.0.0.1:9/a)"/>\n',
        '<text x="1" onclick="window.caught=21">\n&lt;img src=x onerror=window.caught=22&gt;\n</text>\n',
      ]]] };
      if (question.has === "put") return { mark: "torn", puts: [[2, 1, ['<path d="M1 1"/><path d="M2 2"/><script>window.caught=23</script>\n']]] };
      return { mark: "whole", whole: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">\n<g id="cut">\n<path class="cut" d="M0 0"/>\n<path class="cut" d="M0 1"/>\n</g>\n</svg>\n' };
    };
  });
  const drawn = () => page.locator("#paper svg *").evaluateAll((list) => list.map((one) => `${one.localName} ${one.getAttributeNames().sort()} ${one.children.length === 0 ? one.textContent.trim() : ""}`));
  for (const wanted of [
    ["g data-layer ", "path class,d ", "path class,d "],
    ["g data-layer ", "path class,d ", "text x <img src=x onerror=window.caught=22>"],
    // What is not of the parts that were promised is refused, and the whole asked for.
    ["g data-layer ", "path class,d ", "path class,d "],
  ]) {
    await page.evaluate(() => desk.refresh());
    assert.deepEqual(await drawn(), wanted);
  }
  await nothingRan(page);
  await context.close();
});

test("the page's own policy lets no script in but its own, and nothing from elsewhere", async () => {
  const { page, context } = await sit(browser, served, "first-steps.draft");
  const ran = await page.evaluate(() => new Promise((told) => {
    const script = document.createElement("script");
    script.textContent = "window.caught = 14";
    document.body.append(script);
    const address = "http://127.0.0.1:9/";
    fetch(address).then(() => told("fetched"), () => told(String(window.caught)));
  }));
  assert.equal(ran, "undefined");
  await context.close();
});
