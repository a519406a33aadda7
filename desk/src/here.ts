// The engine in the browser: the language in a worker, drafts kept by the browser, examples beside them.
import { answerOf, type Answer, type Engine, type Files, type Kept, type Listing, type Question, type Saved } from "./engine";

/** What a file is kept under. */
const KEPT = "oaktag-draft:";

class Worked {
  #worker = this.#start();
  #next = 0;
  readonly #waiting = new Map<number, (answer: Answer) => void>();

  #start(): Worker {
    const worker = new Worker("worker.js");
    worker.addEventListener("message", ({ data }: MessageEvent<{ id: number; bytes?: Uint8Array; broke?: string }>) => {
      const told = this.#waiting.get(data.id);
      this.#waiting.delete(data.id);
      told?.(data.bytes ? answerOf(data.bytes) : { wrong: "The draft could not be worked out: the program broke down at it." });
      // A module that has trapped is not to be trusted any more.
    if (data.broke) { console.error(data.broke); this.#again(); }
    });
    worker.addEventListener("error", () => this.#again());
    return worker;
  }

  #again(): void {
    this.#worker.terminate();
    this.#worker = this.#start();
    for (const told of this.#waiting.values()) told({ wrong: "The program in the browser stopped, and was started again." });
    this.#waiting.clear();
  }

  ask(question: Question): Promise<Answer> {
    const id = this.#next++;
    return new Promise((told) => {
      this.#waiting.set(id, told);
      this.#worker.postMessage({ id, question });
    });
  }
}

/** Tells one text from another; not against anybody's will. */
function markOf(text: string): string {
  let mark = 0xcbf29ce484222325n;
  for (let at = 0; at < text.length; at++) mark = BigInt.asUintN(64, (mark ^ BigInt(text.charCodeAt(at))) * 0x100000001b3n);
  return mark.toString(16);
}

/** The names of what came with the page, examples and the library's parts, whose texts are fetched when one is opened. */
interface Came { examples: string[]; library: string[] }

async function fetched(file: string): Promise<string> {
  const answer = await fetch(file);
  if (!answer.ok) throw new Error(`${file} cannot be fetched: ${answer.status}.`);
  return answer.text();
}

class Browser implements Files {
  readonly #came = fetched("came.json").then((text) => JSON.parse(text) as Came);
  #library: Promise<Record<string, string>> | undefined;
  readonly #examples = new Map<string, Promise<string>>();

  #kept(path: string): string | null {
    return localStorage.getItem(KEPT + path);
  }

  /** The text as it came with the page. */
  async #asCame(path: string): Promise<string | undefined> {
    const { examples, library } = await this.#came;
    if (library.includes(path)) {
      this.#library ??= fetched("library.json").then((text) => JSON.parse(text) as Record<string, string>);
      return (await this.#library)[path];
    }
    if (!examples.includes(path)) return undefined;
    const asked = this.#examples.get(path) ?? fetched(`examples/${path.split("/").map(encodeURIComponent).join("/")}`);
    this.#examples.set(path, asked);
    // Asked for again where it did not come.
    asked.catch(() => this.#examples.delete(path));
    return asked;
  }

  async list(): Promise<Listing> {
    const { examples, library } = await this.#came;
    const paths = new Set([...examples, ...library]);
    for (let at = 0; at < localStorage.length; at++) {
      const key = localStorage.key(at);
      if (key?.startsWith(KEPT)) paths.add(key.slice(KEPT.length));
    }
    return { folder: "this browser", files: [...paths].sort().map((path) => ({ path })), opens: null };
  }

  async read(path: string): Promise<Kept> {
    const text = this.#kept(path) ?? (await this.#asCame(path));
    if (text === undefined) throw new Error(`There is no ${path} here.`);
    return { text, mark: markOf(text) };
  }

  async write(path: string, text: string, was: string | null): Promise<Saved> {
    const came = await this.#asCame(path);
    const before = this.#kept(path) ?? came ?? null;
    if (before !== null && markOf(before) !== was) return { clash: { text: before, mark: markOf(before) } };
    try {
      if (text === came) localStorage.removeItem(KEPT + path);
      else localStorage.setItem(KEPT + path, text);
    } catch {
      throw new Error("The browser has no room left for drafts: save this one as a file.");
    }
    return { mark: markOf(text) };
  }

  watch(told: (paths: string[]) => void): void {
    // Told by the browser only where another window has written.
    addEventListener("storage", ({ key }) => {
      if (key?.startsWith(KEPT)) told([key.slice(KEPT.length)]);
    });
  }

  async committed(path: string): Promise<{ text: string; of: string }> {
    const text = await this.#asCame(path);
    if (text === undefined) throw new Error("This draft has no earlier text here.");
    return { text, of: "the text as it came with the page" };
  }
}

export function engineHere(): Engine {
  const worked = new Worked();
  return { files: new Browser(), readsFolder: false, savesItself: true, ask: (question) => worked.ask(question) };
}
