// Draws a draft with the session of a page: node draw.mjs MODULE.wasm DRAFT FORM, the file on standard output.
import { readFileSync, writeSync } from "node:fs";

const [module, draft, form] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(module), {});
const { memory, room, face, answer, answered } = instance.exports;
// Memory may grow, and with it its buffer changes: it is looked at anew after each call.
function put(bytes) {
  const at = room(bytes.length);
  new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
}
// What goes on paper wants its letters.
["", "-Bold"].forEach((weight, number) => {
  put(readFileSync(new URL(`../../assets/font/DejaVuSansCondensed${weight}.ttf`, import.meta.url)));
  if (face(number) !== 1) throw new Error("a face was refused");
});
put(Buffer.from(JSON.stringify({ name: draft, text: readFileSync(draft, "utf8"), form })));
const length = answer();
const lies = answered();
const file = Buffer.from(new Uint8Array(memory.buffer, lies, length));
if (length > 0 && file[0] === 0) {
  console.error(file.subarray(1).toString());
  process.exit(1);
}
for (let at = 0; at < file.length; ) at += writeSync(1, file, at);
