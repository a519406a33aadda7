// The language in a worker: one question after another, so that the page stays free while a draft is drawn.
import type { Question } from "./engine";

interface Module {
  memory: WebAssembly.Memory;
  room(bytes: number): number;
  face(number: number): number;
  answer(): number;
  answered(): number;
}

const module = WebAssembly.instantiateStreaming(fetch("oaktag_page.wasm"), {}).then(
  ({ instance }) => instance.exports as unknown as Module,
);
const letters = new TextEncoder();

/** Puts bytes where the module reads them. Memory may grow, and its buffer with it: it is looked at anew each time. */
function put({ memory, room }: Module, bytes: Uint8Array): void {
  const place = room(bytes.length);
  new Uint8Array(memory.buffer, place, bytes.length).set(bytes);
}

function answered(it: Module, asked: Uint8Array): Uint8Array {
  put(it, asked);
  const length = it.answer();
  // Copied before the next answer lies there.
  return new Uint8Array(it.memory.buffer, it.answered(), length).slice();
}

/** The letters of paper, fetched when something is first put on paper. */
async function layFaces(it: Module): Promise<void> {
  for (const [number, file] of ["face.ttf", "face-bold.ttf"].entries()) {
    const fetched = await fetch(file);
    if (!fetched.ok) throw new Error(`${file}: ${fetched.status}`);
    put(it, new Uint8Array(await fetched.arrayBuffer()));
    if (it.face(number) !== 1) throw new Error(`${file} is no face`);
  }
}

const words = new TextDecoder();
const wantsFaces = (bytes: Uint8Array) => bytes[0] === 0 && bytes.length < 200 && words.decode(bytes).includes('"wants":"faces"');
const wrong = (said: string) => letters.encode(`\0${JSON.stringify({ said })}`);
let faces: Promise<void> | undefined;

async function answer(question: Question): Promise<Uint8Array> {
  const it = await module;
  const asked = letters.encode(JSON.stringify(question));
  const first = answered(it, asked);
  if (!wantsFaces(first)) return first;
  try {
    await (faces ??= layFaces(it));
  } catch (why) {
    faces = undefined;
    return wrong(`The letters of paper could not be fetched (${why instanceof Error ? why.message : String(why)}): try again with a network.`);
  }
  return answered(it, asked);
}

addEventListener("message", ({ data }: MessageEvent<{ id: number; question: Question }>) => {
  const reply = (message: unknown, transfer: Transferable[] = []) =>
    (postMessage as (message: unknown, transfer: Transferable[]) => void)(message, transfer);
  answer(data.question).then(
    (bytes) => reply({ id: data.id, bytes }, [bytes.buffer as ArrayBuffer]),
    (why: unknown) => reply({ id: data.id, broke: String(why) }),
  );
});
