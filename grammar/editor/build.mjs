// The extension as its package has it, into dist: one script, and what stands elsewhere in the project copied, not kept twice.
import { build } from "esbuild";
import { copyFile, mkdir, readFile, readdir, rm, writeFile } from "node:fs/promises";

const root = new URL("../../", import.meta.url);
const here = new URL("./", import.meta.url);
const dist = new URL("dist/", here);
await rm(dist, { recursive: true, force: true });
await mkdir(dist, { recursive: true });

const { metafile } = await build({
  entryPoints: [new URL("src/extension.ts", here).pathname],
  outfile: new URL("extension.js", dist).pathname,
  bundle: true,
  platform: "node",
  target: "node20",
  format: "cjs",
  external: ["vscode"],
  legalComments: "none",
  metafile: true,
});

for (const [from, to] of [
  [new URL("grammar/oaktag.tmLanguage.json", root), "oaktag.tmLanguage.json"],
  [new URL("language-configuration.json", here), "language-configuration.json"],
  [new URL("README.md", here), "README.md"],
]) await copyFile(from, new URL(to, dist));

// Our licences, then that of every package whose letters are in the script.
const packages = new Set(Object.keys(metafile.inputs).flatMap((path) => path.match(/.*node_modules\/(?:@[^/]+\/)?[^/]+\//) ?? []));
const licences = ["LICENSE-MIT", "LICENSE-APACHE"].map((name) => readFile(new URL(name, root), "utf8"));
for (const folder of [...packages].sort()) {
  const name = (await readdir(folder)).find((name) => /^licen[cs]e/i.test(name));
  if (name === undefined) throw new Error(`${folder} has no licence`);
  const about = folder.slice(folder.lastIndexOf("node_modules/") + "node_modules/".length, -1);
  licences.push(readFile(`${folder}${name}`, "utf8").then((text) => `In extension.js: ${about}\n\n${text}`));
}
await writeFile(new URL("LICENSE.txt", dist), (await Promise.all(licences)).join("\n\n"));

// The manifest without what only builds it.
const { scripts: _scripts, devDependencies: _packages, private: _private, ...manifest } = JSON.parse(await readFile(new URL("package.json", here), "utf8"));
manifest.main = "./extension.js";
delete manifest.engines.node;
await writeFile(new URL("package.json", dist), `${JSON.stringify(manifest, null, 2)}\n`);
