// Writes the page into assets/desk, where the program takes it from: `npm run build`. The same source gives the same bytes.
import { build } from "esbuild";
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";

const into = new URL("../assets/desk/", import.meta.url);
mkdirSync(into, { recursive: true });
const { metafile } = await build({
  entryPoints: ["src/page.ts"],
  outfile: new URL("desk.js", into).pathname,
  bundle: true,
  minify: true,
  format: "iife",
  target: ["es2022"],
  charset: "utf8",
  legalComments: "none",
  logLevel: "warning",
  metafile: true,
});

// What is built in keeps its licence beside it.
const inside = Object.keys(metafile.inputs).map((path) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1]);
const packages = [...new Set(inside)].filter((name) => name !== undefined).sort();
const licences = packages.map((name) => {
  const { version, license } = JSON.parse(readFileSync(`node_modules/${name}/package.json`, "utf8"));
  return `${name} ${version}, ${license}\n\n${licence(name)}`;
});
writeFileSync(new URL("LICENCES.txt", into), `Packages in desk.js.\n\n${licences.join(`\n${"-".repeat(80)}\n\n`)}`);

function licence(name) {
  for (const file of ["LICENSE", "LICENSE.md", "LICENCE", "license"]) {
    try {
      return readFileSync(`node_modules/${name}/${file}`, "utf8");
    } catch {
      continue;
    }
  }
  throw new Error(`${name} has no licence to keep`);
}
for (const file of ["index.html", "desk.css", "icon.svg"]) copyFileSync(file, new URL(file, into));
