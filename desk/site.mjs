// Writes the static page into desk/site: the page, the language as WebAssembly in a worker, the examples, and what keeps it all
// for use without a network. `npm run site [MODULE.wasm]`; without a module it is built here.
import { build } from "esbuild";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { gzipSync, brotliCompressSync } from "node:zlib";

const root = new URL("..", import.meta.url).pathname;
const site = "site";
rmSync(site, { recursive: true, force: true });
mkdirSync(site);

let [, , module] = process.argv;
const isBuiltHere = module === undefined;
if (isBuiltHere) {
  execFileSync("cargo", ["build", "--locked", "-p", "oaktag-page", "--target", "wasm32-unknown-unknown", "--profile", "page"],
    { cwd: root, stdio: "inherit" });
  module = join(process.env.CARGO_TARGET_DIR ?? join(root, "target"), "wasm32-unknown-unknown/page/oaktag_page.wasm");
}
const laid = join(site, "oaktag_page.wasm");
// Made smaller once more, and not for tests, since it takes a minute.
if (isBuiltHere) execFileSync("npx", ["--no-install", "wasm-opt", "-Oz", "--all-features", module, "-o", laid], { stdio: "inherit" });
else copyFileSync(module, laid);

const page = readFileSync("index.html", "utf8");
const here = page.replace('data-engine="served"', 'data-engine="here"');
if (here === page) throw new Error("index.html names no engine");
writeFileSync(join(site, "index.html"), here);
for (const file of ["desk.js", "desk.css", "icon.svg", "LICENCES.txt"]) copyFileSync(join(root, "assets/desk", file), join(site, file));

// The letters of paper are fetched when something is put on paper.
const faces = join(root, "assets/font");
copyFileSync(join(faces, "DejaVuSansCondensed.ttf"), join(site, "face.ttf"));
copyFileSync(join(faces, "DejaVuSansCondensed-Bold.ttf"), join(site, "face-bold.ttf"));
copyFileSync(join(faces, "LICENCE.txt"), join(site, "face-LICENCE.txt"));

/** Drafts and tables of a folder, each by its path below it, with `under` before it. */
function gather(folder, under) {
  const found = {};
  const look = (path) => {
    for (const name of readdirSync(join(root, folder, path)).sort()) {
      const below = path === "" ? name : `${path}/${name}`;
      if (statSync(join(root, folder, below)).isDirectory()) look(below);
      else if (/\.(draft|csv)$/.test(name)) found[`${under}${below}`] = readFileSync(join(root, folder, below), "utf8");
    }
  };
  look("");
  return found;
}
// The library is fetched when somebody opens a part of it.
const library = gather("stdlib", "library/");
const parts = Object.keys(library).filter((path) => path.endsWith(".draft"));
// So is an example, each by itself.
const examples = gather("examples", "");
for (const [path, text] of Object.entries(examples)) {
  const file = join(site, "examples", path);
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
}
writeFileSync(join(site, "came.json"), JSON.stringify({ examples: Object.keys(examples), library: parts }));
writeFileSync(join(site, "library.json"), JSON.stringify(Object.fromEntries(parts.map((path) => [path, library[path]]))));

const common = { bundle: true, minify: true, format: "iife", target: ["es2022"], charset: "utf8", logLevel: "warning" };
await build({ ...common, entryPoints: ["src/worker.ts"], outfile: join(site, "worker.js") });
const files = readdirSync(site, { recursive: true, withFileTypes: true }).filter((one) => one.isFile())
  .map((one) => relative(site, join(one.parentPath, one.name)).replaceAll("\\", "/")).sort();
const mark = createHash("sha256");
for (const file of files) mark.update(file).update(readFileSync(join(site, file)));
const define = { FILES: JSON.stringify(["./", ...files]), MARK: JSON.stringify(mark.digest("hex").slice(0, 16)) };
await build({ ...common, entryPoints: ["src/sw.ts"], outfile: join(site, "sw.js"), define });

// What is fetched before anything is seen is told apart from what follows it.
const FIRST = ["came.json", "desk.css", "desk.js", "examples/first-steps.draft", "icon.svg", "index.html", "oaktag_page.wasm", "worker.js"];
const sums = [0, 0, 0];
for (const file of isBuiltHere ? [...files, "sw.js"] : []) {
  const bytes = readFileSync(join(site, file));
  const isFirst = FIRST.includes(file);
  if (!isFirst && bytes.length < 100_000) continue;
  const sizes = [bytes.length, gzipSync(bytes, { level: 9 }).length, brotliCompressSync(bytes).length];
  if (isFirst) sizes.forEach((size, at) => (sums[at] += size));
  console.log(file.padEnd(28), ...sizes.map((size) => String(size).padStart(9)), isFirst ? "" : " later");
}
if (isBuiltHere) console.log("first load".padEnd(28), ...sums.map((size) => String(size).padStart(9)), " bytes, gzip, brotli");
