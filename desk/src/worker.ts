// The language in a worker: one question after another, so that the page stays free while a draft is drawn.
import type { Question } from "./engine";

interface Module {
  memory: WebAssembly.Memory;
  room(bytes: number): number;
  answer(): number;
  answered(): number;
}

const module = WebAssembly.instantiateStreaming(fetch("oaktag_page.wasm"), {}).then(
  ({ instance }) => instance.exports as unknown as Module,
);
const letters = new TextEncoder();

async function answer(question: Question): Promise<Uint8Array> {
  const { memory, room, answer, answered } = await module;
  const asked = letters.encode(JSON.stringify(question));
  const place = room(asked.length);
  // Memory may have grown, and its buffer with it: looked at anew after each call, and copied before the next answer lies there.
  new Uint8Array(memory.buffer, place, asked.length).set(asked);
  const length = answer();
  const lies = answered();
  return new Uint8Array(memory.buffer, lies, length).slice();
}

addEventListener("message", ({ data }: MessageEvent<{ id: number; question: Question }>) => {
  const reply = (message: unknown, transfer: Transferable[] = []) =>
    (postMessage as (message: unknown, transfer: Transferable[]) => void)(message, transfer);
  answer(data.question).then(
    (bytes) => reply({ id: data.id, bytes }, [bytes.buffer as ArrayBuffer]),
    (why: unknown) => reply({ id: data.id, broke: String(why) }),
  );
});
