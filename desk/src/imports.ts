// The texts that a draft imports, and that those import, for an engine that has no folder to read.
import type { Files } from "./engine";

/** The path that `to` means when it stands in the file `from`; none where it leaves the root. */
export function beside(from: string, to: string): string | null {
  const parts = from.split("/").slice(0, -1);
  for (const part of to.split("/")) {
    if (part === "..") {
      if (parts.pop() === undefined) return null;
    } else if (part !== "." && part !== "") parts.push(part);
  }
  return parts.join("/");
}

export async function imported(files: Files, path: string, text: string): Promise<Record<string, string>> {
  const found: Record<string, string> = {};
  const look = async (from: string, text: string): Promise<void> => {
    for (const [, name = ""] of text.matchAll(/^\s*import\s+"([^"]+)"/gm)) {
      const path = beside(from, name);
      if (path === null || path in found) continue;
      try {
        found[path] = (await files.read(path)).text;
      } catch {
        // The engine says at its place that there is none.
        continue;
      }
      await look(path, found[path] ?? "");
    }
  };
  await look(path, text);
  return found;
}
