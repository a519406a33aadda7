// Draws a draft with the session of a page: node draw.mjs MODULE.wasm DRAFT FORM, the file on standard output.
import { readFileSync, writeSync } from "node:fs";

const [module, draft, form] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(module), {});
const { memory, room, answer, answered } = instance.exports;
const request = Buffer.from(JSON.stringify({ name: draft, text: readFileSync(draft, "utf8"), form }));
// Memory may grow, and with it its buffer changes: it is looked at anew after each call.
const asked = room(request.length);
new Uint8Array(memory.buffer, asked, request.length).set(request);
const length = answer();
const lies = answered();
const file = Buffer.from(new Uint8Array(memory.buffer, lies, length));
if (length > 0 && file[0] === 0) {
  console.error(file.subarray(1).toString());
  process.exit(1);
}
for (let at = 0; at < file.length; ) at += writeSync(1, file, at);
