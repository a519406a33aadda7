// Drawings beside the text: one view a draft, piece or seam, drawn anew at every pause of the pen.
import { randomBytes } from "node:crypto";
import * as vscode from "vscode";

/** What is drawn: all pieces of a draft, one of them, or the walk of a seam. */
export interface Asked {
  uri: vscode.Uri;
  piece?: string;
  seam?: string;
}

/** So long the pen rests before what it wrote is drawn, in milliseconds. */
const PAUSE = 250;

interface View {
  asked: Asked;
  panel: vscode.WebviewPanel;
  pause: NodeJS.Timeout | undefined;
  /** The last question: an answer to an older one is late. */
  question: number;
}

/** The views that are open. */
export class Drawings implements vscode.Disposable {
  readonly #ask: (asked: Asked) => Promise<{ svg: string }>;
  readonly #views = new Map<string, View>();
  readonly #watch: vscode.Disposable;

  constructor(ask: (asked: Asked) => Promise<{ svg: string }>) {
    this.#ask = ask;
    this.#watch = vscode.workspace.onDidChangeTextDocument(({ document }) => {
      if (document.languageId !== "oaktag") return;
      // A draft may be drawn by what another says that it brings in.
      for (const view of this.#views.values()) {
        clearTimeout(view.pause);
        view.pause = setTimeout(() => void this.#draw(view), PAUSE);
      }
    });
  }

  /** Opens the view, or brings it to the front, and draws it. */
  async show(asked: Asked): Promise<void> {
    const key = [asked.uri.toString(), asked.piece ?? "", asked.seam ?? ""].join("\n");
    let view = this.#views.get(key);
    if (view === undefined) {
      view = { asked, panel: opened(asked), pause: undefined, question: 0 };
      this.#views.set(key, view);
      const { panel } = view;
      panel.onDidDispose(() => {
        clearTimeout(view?.pause);
        this.#views.delete(key);
      });
      panel.webview.html = page();
    } else {
      view.panel.reveal(undefined, true);
    }
    await this.#draw(view);
  }

  async #draw(view: View): Promise<void> {
    const question = ++view.question;
    let told: { svg: string } | { why: string };
    try {
      told = await this.#ask(view.asked);
    } catch (why) {
      told = { why: why instanceof Error ? why.message : String(why) };
    }
    if (question !== view.question) return;
    await view.panel.webview.postMessage("svg" in told
      ? { picture: `data:image/svg+xml;base64,${Buffer.from(told.svg).toString("base64")}` }
      : { why: told.why });
  }

  dispose(): void {
    this.#watch.dispose();
    for (const { panel } of [...this.#views.values()]) panel.dispose();
  }
}

function opened({ uri, piece, seam }: Asked): vscode.WebviewPanel {
  const file = uri.path.slice(uri.path.lastIndexOf("/") + 1);
  const title = piece ?? seam ?? file;
  return vscode.window.createWebviewPanel(
    "oaktag.drawing",
    title.replaceAll("_", " "),
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    { enableScripts: true, localResourceRoots: [], retainContextWhenHidden: true },
  );
}

/** Draws nothing but pictures that come as letters, and runs nothing but its own few lines. */
function page(): string {
  const nonce = randomBytes(16).toString("hex");
  return `<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'nonce-${nonce}'; script-src 'nonce-${nonce}'">
<title>Drawing</title>
<style nonce="${nonce}">
  body { margin: 0; padding: 0.5rem; }
  img { max-width: 100%; background: white; }
  img.old { opacity: 0.5; }
  p { margin: 0 0 0.5rem; }
  p:empty { display: none; }
</style>
<p role="status"></p>
<img alt="The drawing" hidden>
<script nonce="${nonce}">
  const picture = document.querySelector("img"), words = document.querySelector("p");
  addEventListener("message", ({ data }) => {
    words.textContent = data.why ?? "";
    picture.className = data.why === undefined ? "" : "old";
    if (data.picture !== undefined) {
      picture.src = data.picture;
      picture.hidden = false;
    }
  });
</script>
</html>`;
}
