// The colours, by the engine that the editor itself has, and what the package holds.
import assert from "node:assert/strict";
import { readFile, readdir } from "node:fs/promises";
import { createRequire } from "node:module";
import { test } from "node:test";

const require = createRequire(import.meta.url);
const { Registry, parseRawGrammar } = require("vscode-textmate");
const oniguruma = require("vscode-oniguruma");

const dist = new URL("../dist/", import.meta.url);
const root = new URL("../../../", import.meta.url);

async function grammar() {
  await oniguruma.loadWASM(await readFile(require.resolve("vscode-oniguruma/release/onig.wasm")));
  const registry = new Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => parseRawGrammar(await readFile(new URL("oaktag.tmLanguage.json", dist), "utf8"), "oaktag.json"),
  });
  return registry.loadGrammar("source.oaktag");
}

test("words have the colours of their kinds, and no text or comment runs on into the next line", async () => {
  const colours = await grammar();
  const scope = (line, word) => {
    const { tokens } = colours.tokenizeLine(line);
    const at = line.indexOf(word);
    return tokens.find(({ startIndex, endIndex }) => startIndex <= at && at < endIndex).scopes.at(-1);
  };
  const line = '  point tip = nape right by (girth / 4 + 3/8in) up 22mm';
  assert.match(scope(line, "point"), /^storage\.type/);
  assert.match(scope(line, "tip"), /^variable/);
  assert.match(scope(line, "right"), /^support\.constant\.direction/);
  assert.match(scope(line, "by"), /^keyword\.operator\.word/);
  assert.match(scope(line, "3/8"), /^constant\.numeric/);
  assert.match(scope(line, "in)"), /^keyword\.other\.unit/);
  assert.match(scope('note "the mouth is {dart} wide"', "dart"), /^variable/);
  assert.match(scope('note "the mouth is {dart} wide"', "wide"), /^string/);
  for (const name of await readdir(new URL("examples/", root))) {
    if (!name.endsWith(".draft")) continue;
    let rules = null;
    for (const line of (await readFile(new URL(`examples/${name}`, root), "utf8")).split("\n")) {
      const { ruleStack } = colours.tokenizeLine(line, rules);
      rules = ruleStack;
      assert.equal(ruleStack.depth, 1, `${name}: ${line}`);
    }
  }
});

test("the package names only what is in it, and each command that it names is there", async () => {
  const manifest = JSON.parse(await readFile(new URL("package.json", dist), "utf8"));
  const files = new Set(await readdir(dist));
  const { contributes } = manifest;
  const named = [manifest.main, contributes.languages[0].configuration, contributes.grammars[0].path];
  for (const path of named) assert.ok(files.has(path.replace("./", "")), path);
  for (const name of ["README.md", "LICENSE.txt"]) assert.ok(files.has(name), name);
  const script = await readFile(new URL("extension.js", dist), "utf8");
  for (const { command } of contributes.commands) assert.ok(script.includes(`registerCommand("${command}"`), command);
  const shown = Object.values(contributes.menus).flat();
  for (const { command } of shown) assert.ok(contributes.commands.some((known) => known.command === command), command);
});
