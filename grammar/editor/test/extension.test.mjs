// The extension as it is built, in a stubbed host, with the real program: OAKTAG names it, else the one that cargo has built.
import assert from "node:assert/strict";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { host } from "./host.mjs";

const root = new URL("../../../", import.meta.url);
const program = process.env.OAKTAG ?? fileURLToPath(new URL("target/debug/oaktag", root));
const folder = await mkdtemp(join(tmpdir(), "drafts-"));
const path = join(folder, "vest.draft");
const text = await readFile(new URL("examples/deck-vest.draft", root), "utf8");
await writeFile(path, text);

const it = host({ program, folder });
const token = { isCancellationRequested: false, onCancellationRequested: () => ({ dispose() {} }) };
let editor;

before(async () => {
  await it.extension.activate(it.context);
  assert.deepEqual(it.seen.errors, []);
  editor = it.open(path, text);
  await it.until("messages on the draft", () => it.seen.messages.has(String(editor.document.uri)));
});

after(async () => {
  await it.extension.deactivate();
  for (const one of it.context.subscriptions) one.dispose();
  await rm(folder, { recursive: true });
});

const messages = () => it.seen.messages.get(String(editor.document.uri)) ?? [];
const provider = (name) => it.seen.providers[name]?.at(-1);

test("a slip is told where it stands, and goes when it is mended", async () => {
  const slip = text.replace("from nape", "from napee");
  assert.notEqual(slip, text);
  it.write(editor, slip);
  const [told] = await it.until("the message", () => messages().some(({ severity }) => severity === 0) && messages());
  const line = text.slice(0, text.indexOf("from nape")).split("\n").length - 1;
  assert.equal(told.range.start.line, line);
  assert.match(told.message, /napee/);
  it.write(editor, text);
  await it.until("the mended draft", () => !messages().some(({ severity }) => severity === 0));
});

test("above each seam stands whether it fits, and a click walks it beside the text", async () => {
  const lenses = await it.until("lenses", async () => {
    const found = await provider("registerCodeLensProvider")?.provideCodeLenses(editor.document, token);
    return found?.length > 0 && found;
  });
  const walk = lenses.find(({ command }) => command?.command === "oaktag.walk");
  assert.ok(walk, JSON.stringify(lenses));
  const line = editor.document.text.split("\n")[walk.range.start.line];
  assert.match(line, /^\s*seam /);
  await it.vscode.commands.executeCommand(walk.command.command, ...walk.command.arguments);
  const panel = it.seen.panels.at(-1);
  assert.equal(panel.title, walk.command.arguments[1].replaceAll("_", " "));
  assert.match(svg(panel), /<svg/);
});

test("the drawing stands beside the text, and follows the pen", async () => {
  await it.vscode.commands.executeCommand("oaktag.showDrawing");
  const panel = it.seen.panels.at(-1);
  assert.equal(panel.title, "vest.draft");
  assert.equal(panel.column.viewColumn, it.vscode.ViewColumn.Beside);
  assert.match(panel.webview.html, /default-src 'none'/);
  const first = svg(panel);
  it.write(editor, text.replace("choose ease = 12cm", "choose ease = 16cm"));
  await it.until("another drawing", () => panel.posted.length > 1 && svg(panel) !== first);
  it.write(editor, `${text}\npoint`);
  await it.until("a drawing of what is there, or why there is none", () => panel.posted.length > 2);
  it.write(editor, text);
  await it.until("the first drawing", () => svg(panel) === first);
  panel.dispose();
});

test("the desk opens in the browser, at the caret", async () => {
  editor.selection.active = new it.vscode.Position(20, 4);
  await it.vscode.commands.executeCommand("oaktag.openDesk");
  assert.deepEqual(it.seen.errors, []);
  const address = new URL(it.seen.opened.at(-1));
  assert.equal(address.hostname, "127.0.0.1");
  assert.equal(address.searchParams.get("line"), "21");
  const page = await fetch(address);
  assert.equal(page.status, 200);
  assert.match(await page.text(), /<title>/);
});

test("what hovers, folds, completes and lists is asked of the program", async () => {
  const { document } = editor;
  const at = document.positionAt(document.text.indexOf("nape"));
  const hover = await provider("registerHoverProvider").provideHover(document, at, token);
  assert.ok(hover?.contents);
  const folds = await provider("registerFoldingRangeProvider").provideFoldingRanges(document, {}, token);
  assert.ok(folds.length > 3);
  const symbols = await provider("registerDocumentSymbolProvider").provideDocumentSymbols(document, token);
  assert.ok(symbols.some(({ name }) => /back/i.test(name)), JSON.stringify(symbols));
});

test("a text of the library is read from the program", async () => {
  const uri = it.vscode.Uri.parse("oaktag-library:/shirt.draft");
  const shown = await provider("registerTextDocumentContentProvider").provideTextDocumentContent(uri, token);
  assert.match(shown, /^operation /m);
});

test("a program that is not there is told in words, and may be named and started", async () => {
  const other = host({ program: join(folder, "no-such-program"), folder });
  await other.extension.activate(other.context);
  assert.match(other.seen.errors.join("\n"), /did not start/);
  other.settings.path = program;
  await other.vscode.commands.executeCommand("oaktag.restart");
  const { document } = other.open(path, text);
  await other.until("messages of the program that is there", () => other.seen.messages.has(String(document.uri)));
  await other.extension.deactivate();
});

/** The last picture that a view was sent. */
function svg(panel) {
  const { picture } = panel.posted.findLast(({ picture }) => picture !== undefined) ?? {};
  assert.ok(picture, JSON.stringify(panel.posted));
  return Buffer.from(picture.slice(picture.indexOf(",") + 1), "base64").toString();
}
