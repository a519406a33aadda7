// The page on a table of its own: served with one of its two engines and opened in Chromium.
// OAKTAG_DESK says which engine: `site`, the static page of desk/site, or the path of the program whose `desk` serves it.
// OAKTAG_PAGE=built lays the page as it is in assets/desk over that of a program which was built before it.
// OAKTAG_PICTURES names a folder for screenshots; without it none are kept.
import { execFileSync, spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { extname, join, normalize } from "node:path";

export const root = new URL("../..", import.meta.url).pathname;
const require = createRequire(join(root, "desk/package.json"));
const { chromium } = require("playwright-core");
export const axe = require.resolve("axe-core/axe.min.js");

export const which = process.env.OAKTAG_DESK ?? "site";
export const isSite = which === "site";
const pictures = process.env.OAKTAG_PICTURES;

const TYPES = {
  ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".json": "application/json",
  ".wasm": "application/wasm", ".txt": "text/plain",
};

/** The static page, as any host of files would serve it. */
function site() {
  const folder = join(root, "desk/site");
  /** Files that the host does not give, and all that were asked for. */
  const [lacks, asked] = [new Set(), []];
  const server = createServer((request, answer) => {
    const { pathname } = new URL(request.url, "http://localhost");
    asked.push(pathname);
    if (lacks.has(pathname)) return answer.writeHead(404).end();
    const file = join(folder, normalize(pathname === "/" ? "/index.html" : pathname));
    try {
      const bytes = readFileSync(file);
      answer.writeHead(200, { "Content-Type": TYPES[extname(file)] ?? "application/octet-stream" }).end(bytes);
    } catch {
      answer.writeHead(404).end();
    }
  });
  return new Promise((ready) => server.listen(0, "127.0.0.1", () => ready({
    address: `http://127.0.0.1:${server.address().port}/`,
    folder: null,
    lacks,
    asked,
    close: () => new Promise((closed) => {
      server.closeAllConnections();
      server.close(closed);
    }),
  })));
}

/** The program over a folder of its own with the examples, committed, so that there is something to compare with. */
async function program() {
  const folder = mkdtempSync(join(tmpdir(), "desk-"));
  cpSync(join(root, "examples"), folder, { recursive: true });
  const git = (...words) => execFileSync("git", ["-c", "user.name=Cutter", "-c", "user.email=cutter@example.org", ...words], { cwd: folder });
  git("init", "-q");
  git("add", ".");
  git("commit", "-q", "-m", "The drafts as they came");
  const ran = spawn(which, ["desk", folder, "--no-open"], { stdio: ["ignore", "pipe", "pipe"] });
  const address = await new Promise((found, failed) => {
    let said = "";
    const hear = (bytes) => {
      said += bytes;
      // To its end: it may come in parts.
      const [told] = /http:\/\/\S+(?=\s)/.exec(said) ?? [];
      if (told) found(told);
    };
    ran.stdout.on("data", hear);
    ran.stderr.on("data", hear);
    ran.on("exit", () => failed(new Error(`the desk ended: ${said}`)));
  });
  return {
    address,
    folder,
    close: async () => {
      const ended = new Promise((end) => ran.on("exit", end));
      ran.kill();
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export const serve = () => (isSite ? site() : program());

export const launch = () => chromium.launch({
  executablePath: process.env.OAKTAG_CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync"],
});

/** A file of the page as it is built now, with what the program tells a browser of it. */
async function builtPage(route) {
  const { pathname } = new URL(route.request().url());
  const response = await route.fetch();
  await route.fulfill({ response, body: readFileSync(join(root, "assets/desk", pathname === "/" ? "index.html" : pathname), "utf8") });
}

/** A window on the desk with a draft open; `faults` holds what the page threw. */
export async function sit(browser, served, draft, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options, before: undefined, line: undefined });
  if (process.env.OAKTAG_PAGE === "built" && !isSite) await context.route(/\/(desk\.(js|css)|(\?.*)?)$/, builtPage);
  await options.before?.(context);
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(String(fault)));
  page.on("console", (message) => message.type() === "error" && faults.push(message.text()));
  const address = new URL(served.address);
  if (draft) address.searchParams.set("draft", draft);
  if (options.line) address.searchParams.set("line", options.line);
  await page.goto(address.href);
  await page.waitForSelector("html[data-ready]");
  if (draft) await settled(page);
  return { context, page, faults };
}

/** Until the drawing and the lists are of the text as it stands. */
export async function settled(page) {
  await page.waitForFunction(() => document.querySelector("#verdict").textContent !== "Reading…");
  await page.waitForFunction(() => document.documentElement.dataset.true === "yes");
}

export async function look(page, name) {
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${isSite ? "site" : "served"}-${name}.png`) });
}

/** Puts the caret behind some letters of the text. */
export async function caretBehind(page, letters) {
  await page.locator(".cm-content").focus();
  const at = await page.evaluate((letters) => window.desk.editor.text.indexOf(letters) + letters.length, letters);
  await page.evaluate((at) => window.desk.editor.view.dispatch({ selection: { anchor: at }, scrollIntoView: true }), at);
}

export const text = (page) => page.evaluate(() => window.desk.editor.text);
