// The engine that the program serves on the loopback address, with a key that only the address it printed has.
import { answerOf, type Engine, type Files, type Kept, type Listing, type Saved } from "./engine";

const KEY = "oaktag-key";
/** After a failure the next try waits so long, in milliseconds. */
const PATIENCE = 2000;

/** Takes the key out of the address bar, so that it is in no bookmark and no picture of the screen. */
function key(): string {
  const address = new URL(location.href);
  const given = address.searchParams.get("key");
  if (given !== null) {
    sessionStorage.setItem(KEY, given);
    address.searchParams.delete("key");
    history.replaceState(null, "", address);
  }
  return sessionStorage.getItem(KEY) ?? "";
}

class Folder implements Files {
  readonly #at: (path: string, with_?: RequestInit) => Promise<Response>;

  constructor(at: (path: string, with_?: RequestInit) => Promise<Response>) {
    this.#at = at;
  }

  async #json<T>(path: string): Promise<T> {
    const answer = await this.#at(path);
    if (!answer.ok) throw new Error(await saidBy(answer));
    return (await answer.json()) as T;
  }

  list(): Promise<Listing> {
    return this.#json("/files");
  }

  read(path: string): Promise<Kept> {
    return this.#json(`/file?path=${encodeURIComponent(path)}`);
  }

  async write(path: string, text: string, was: string | null): Promise<Saved> {
    const answer = await this.#at(`/file?path=${encodeURIComponent(path)}`, {
      method: "PUT",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ text, was }),
    });
    if (answer.status === 409) return { clash: (await answer.json()) as Kept };
    if (!answer.ok) throw new Error(await saidBy(answer));
    return (await answer.json()) as { mark: string };
  }

  watch(told: (paths: string[]) => void): void {
    const wait = async () => {
      for (let now = 0, first = true; ; first = false) {
        try {
          const news = await this.#json<{ now: number; changed: string[] }>(`/changes?since=${now}`);
          now = news.now;
          if (!first && news.changed.length > 0) told(news.changed);
        } catch {
          await new Promise((again) => setTimeout(again, PATIENCE));
        }
      }
    };
    void wait();
  }

  committed(path: string): Promise<{ text: string; of: string }> {
    return this.#json(`/committed?path=${encodeURIComponent(path)}`);
  }
}

async function saidBy(answer: Response): Promise<string> {
  try {
    const { said } = (await answer.json()) as { said?: string };
    if (said) return said;
  } catch {
    // No words were sent.
  }
  return answer.status === 401 || answer.status === 403
    ? "The desk does not know this window: open the address that `oaktag desk` printed."
    : `The desk answered ${answer.status}.`;
}

export function engineServed(): Engine {
  const own = key();
  const at = async (path: string, with_: RequestInit = {}): Promise<Response> => {
    const headers = new Headers(with_.headers);
    headers.set("X-Oaktag-Key", own);
    try {
      return await fetch(path, { ...with_, headers, cache: "no-store" });
    } catch {
      throw new Error("The desk does not answer: is `oaktag desk` still running?");
    }
  };
  return {
    files: new Folder(at),
    readsFolder: true,
    savesItself: false,
    ask: async (question) => {
      try {
        const answer = await at("/answer", {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify(question),
        });
        if (!answer.ok) return { wrong: await saidBy(answer) };
        return answerOf(new Uint8Array(await answer.arrayBuffer()));
      } catch (why) {
        return { wrong: why instanceof Error ? why.message : String(why) };
      }
    },
  };
}
