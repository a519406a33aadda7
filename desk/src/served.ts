// The engine that the program serves on the loopback address, with a key that only the address it printed has.
import { at, say } from "./dom";
import { answerOf, type Engine, type Files, type Kept, type Listing, type Saved } from "./engine";

const KEY = "oaktag-key";
/** After a failure the next try waits so long, in milliseconds. */
const PATIENCE = 2000;
/** What the page stands still without is asked for again after so many milliseconds, then after twice as many. */
const STILL = 5000;

/** Asks until an answer comes, and says that none did; a fault of the network is thrown. */
async function insisting(ask: (signal: AbortSignal) => Promise<Response>): Promise<Response> {
  for (let wait = STILL; ; wait *= 2) {
    const late = new AbortController();
    const clock = setTimeout(() => late.abort(), wait);
    try {
      const answer = await ask(late.signal);
      // The body, too, has to come.
      const bytes = await answer.arrayBuffer();
      if (wait > STILL) say(at("news"), "");
      return new Response(bytes, { status: answer.status });
    } catch (fault) {
      if (!late.signal.aborted) throw fault;
      say(at("news"), `No answer for ${wait / 1000} seconds: the page asks again.`);
    } finally {
      clearTimeout(clock);
    }
  }
}

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

type Fetched = (path: string, with_?: RequestInit, isInsisting?: boolean) => Promise<Response>;

class Folder implements Files {
  constructor(readonly fetched: Fetched) {}

  async #json<T>(path: string, isInsisting = true): Promise<T> {
    const answer = await this.fetched(path, {}, isInsisting);
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
    const answer = await this.fetched(`/file?path=${encodeURIComponent(path)}`, {
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
          const news = await this.#json<{ now: number; changed: string[] }>(`/changes?since=${now}`, false);
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

/** Before that every question is one that the page stands still without. */
const hasBegun = () => document.documentElement.dataset["ready"] === "yes";

export function engineServed(): Engine {
  const own = key();
  const fetched: Fetched = async (path, with_ = {}, isInsisting = false) => {
    const headers = new Headers(with_.headers);
    headers.set("X-Oaktag-Key", own);
    try {
      const ask = (signal: AbortSignal | null) => fetch(path, { ...with_, headers, cache: "no-store", signal });
      return await (isInsisting ? insisting(ask) : ask(null));
    } catch {
      throw new Error("The desk does not answer: is `oaktag desk` still running?");
    }
  };
  return {
    files: new Folder(fetched),
    readsFolder: true,
    savesItself: false,
    ask: async (question) => {
      try {
        const answer = await fetched("/answer", {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify(question),
        }, question.form === "view" || !hasBegun());
        if (!answer.ok) return { wrong: await saidBy(answer) };
        return answerOf(new Uint8Array(await answer.arrayBuffer()));
      } catch (why) {
        return { wrong: why instanceof Error ? why.message : String(why) };
      }
    },
  };
}
