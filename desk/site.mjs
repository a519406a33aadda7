// Writes the static page into desk/site: the page, the language as WebAssembly in a worker, the examples, and what keeps it all
// for use without a network. `npm run site [MODULE.wasm]`; without a module it is built here.
import { build } from "esbuild";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync, brotliCompressSync } from "node:zlib";

const root = new URL("..", import.meta.url).pathname;
const site = "site";
rmSync(site, { recursive: true, force: true });
mkdirSync(site);

let [, , module] = process.argv;
if (module === undefined) {
  execFileSync("cargo", ["build", "--locked", "-p", "oaktag-page", "--target", "wasm32-unknown-unknown", "--profile", "page"],
    { cwd: root, stdio: "inherit" });
  module = join(process.env.CARGO_TARGET_DIR ?? join(root, "target"), "wasm32-unknown-unknown/page/oaktag_page.wasm");
}
copyFileSync(module, join(site, "oaktag_page.wasm"));

const page = readFileSync("index.html", "utf8");
const here = page.replace('data-engine="served"', 'data-engine="here"');
if (here === page) throw new Error("index.html names no engine");
writeFileSync(join(site, "index.html"), here);
for (const file of ["desk.js", "desk.css", "icon.svg", "LICENCES.txt"]) copyFileSync(join(root, "assets/desk", file), join(site, file));

// Drafts and tables of the examples, each by its path below their folder.
const examples = {};
const gather = (folder) => {
  for (const name of readdirSync(join(root, "examples", folder)).sort()) {
    const path = folder === "" ? name : `${folder}/${name}`;
    if (statSync(join(root, "examples", path)).isDirectory()) gather(path);
    else if (/\.(draft|csv)$/.test(name)) examples[path] = readFileSync(join(root, "examples", path), "utf8");
  }
};
gather("");
writeFileSync(join(site, "examples.json"), JSON.stringify(examples));

const common = { bundle: true, minify: true, format: "iife", target: ["es2022"], charset: "utf8", logLevel: "warning" };
await build({ ...common, entryPoints: ["src/worker.ts"], outfile: join(site, "worker.js") });
const files = readdirSync(site).sort();
const mark = createHash("sha256");
for (const file of files) mark.update(file).update(readFileSync(join(site, file)));
const define = { FILES: JSON.stringify(["./", ...files]), MARK: JSON.stringify(mark.digest("hex").slice(0, 16)) };
await build({ ...common, entryPoints: ["src/sw.ts"], outfile: join(site, "sw.js"), define });

const sums = [0, 0, 0];
for (const file of readdirSync(site).sort()) {
  const bytes = readFileSync(join(site, file));
  const sizes = [bytes.length, gzipSync(bytes, { level: 9 }).length, brotliCompressSync(bytes).length];
  sizes.forEach((size, at) => (sums[at] += size));
  console.log(file.padEnd(18), ...sizes.map((size) => String(size).padStart(9)));
}
console.log("whole".padEnd(18), ...sums.map((size) => String(size).padStart(9)), " bytes, gzip, brotli");
