// A stubbed host: the module `vscode`, as far as the extension and its client use it, in plain node. What the extension registers,
// opens and is told is kept, to be looked at; the program behind the client is the real one.
import { EventEmitter } from "node:events";
import { readFileSync } from "node:fs";
import Module, { createRequire } from "node:module";
import { fileURLToPath, pathToFileURL } from "node:url";

class Uri {
  constructor(scheme, authority, path, query = "", fragment = "") { Object.assign(this, { scheme, authority, path, query, fragment }); }
  static parse(text) {
    const [, scheme, authority, path, query, fragment] = text.match(/^([a-z-]+):(?:\/\/([^/?#]*))?([^?#]*)(?:\?([^#]*))?(?:#(.*))?$/i);
    return new Uri(scheme, authority ?? "", decodeURIComponent(path), query, fragment);
  }
  static file(path) { return new Uri("file", "", path); }
  get fsPath() { return this.path; }
  with(change) { return Object.assign(new Uri(), this, change); }
  toString() {
    if (this.scheme === "file") return pathToFileURL(this.path).href;
    return `${this.scheme}:${this.authority && `//${this.authority}`}${this.path}${this.query && `?${this.query}`}${this.fragment && `#${this.fragment}`}`;
  }
  toJSON() { return this.toString(); }
}
class Position { constructor(line, character) { Object.assign(this, { line, character }); } }
class Range {
  constructor(a, b, c, d) {
    [this.start, this.end] = typeof a === "number" ? [new Position(a, b), new Position(c, d)] : [a, b];
  }
}
class Disposable {
  constructor(end) { this.end = end; }
  static from(...all) { return new Disposable(() => all.forEach((one) => one.dispose())); }
  dispose() { this.end?.(); }
}
class Emitter {
  #events = new EventEmitter().setMaxListeners(100);
  event = (listener, that) => {
    const heard = listener.bind(that);
    this.#events.on("told", heard);
    return new Disposable(() => this.#events.off("told", heard));
  };
  fire(what) { this.#events.emit("told", what); }
  dispose() { this.#events.removeAllListeners(); }
}
class Source {
  #emitter = new Emitter();
  token = { isCancellationRequested: false, onCancellationRequested: this.#emitter.event };
  cancel() { this.token.isCancellationRequested = true; this.#emitter.fire(); }
  dispose() {}
}
class Kind {
  constructor(value) { this.value = value; }
  append(more) { return new Kind(`${this.value}.${more}`); }
  contains() { return true; }
}
const kinds = new Proxy(Kind, { get: (of, name) => Reflect.get(of, name) ?? new Kind(String(name)) });

/** A class that keeps what it is given, under the names that the client reads. */
function plain(...names) {
  return class { constructor(...given) { names.forEach((name, n) => { this[name] = given[n]; }); } };
}

/** The enumerations of the host, with their numbers, and its classes, of nothing, as its published types have them. */
function declared() {
  const types = readFileSync(fileURLToPath(new URL("../node_modules/@types/vscode/index.d.ts", import.meta.url)), "utf8")
    .replaceAll(/\/\*[^]*?\*\/|\/\/.*/g, "");
  const found = {};
  for (const [, name] of types.matchAll(/export (?:abstract )?class (\w+)/g)) found[name] = class {};
  for (const [, name, body] of types.matchAll(/export enum (\w+) \{([^}]*)\}/g)) {
    let next = 0;
    const members = body.split(",").map((member) => member.trim()).filter(Boolean).map((member) => {
      const [key, value] = member.split(/\s*=\s*/);
      const number = value === undefined ? next : Number(value);
      next = number + 1;
      return [key, number];
    });
    found[name] = Object.fromEntries(members);
  }
  return found;
}

/** Opens the extension in a host of its own. */
export function host({ program, folder }) {
  const seen = { providers: {}, messages: new Map(), panels: [], opened: [], errors: [], commands: new Map(), log: [] };
  const events = {};
  const told = (name) => (events[name] ??= new Emitter());
  const within = (known) => new Proxy(known, {
    get(of, name) {
      if (Reflect.has(of, name) || typeof name !== "string") return Reflect.get(of, name);
      if (/^on(Did|Will)/.test(name)) return told(name).event;
      if (name.startsWith("register")) {
        return (selector, provider) => {
          (seen.providers[name] ??= []).push(provider);
          return new Disposable();
        };
      }
      return undefined;
    },
  });
  const settings = { path: program, "trace.server": "off" };
  const setting = (name, other) => settings[name.replace(/^oaktag\./, "")] ?? other;
  const channel = () => within({
    append: (text) => seen.log.push(text), appendLine: (text) => seen.log.push(text), show() {}, clear() {}, dispose() {}, replace() {},
    ...Object.fromEntries(["trace", "debug", "info", "warn", "error"].map((level) => [level, (...all) => seen.log.push(...all.map(String))])),
    logLevel: 2,
  });
  const workspace = within({
    textDocuments: [], notebookDocuments: [], isTrusted: true,
    workspaceFolders: [{ uri: Uri.file(folder), name: "drafts", index: 0 }],
    getConfiguration: () => ({ get: setting, has: (name) => setting(name) !== undefined, inspect: () => undefined }),
    getWorkspaceFolder: () => workspace.workspaceFolders[0],
    createFileSystemWatcher: () => within({ dispose() {} }),
    asRelativePath: (uri) => uri.path,
    fs: within({}),
  });
  const vscode = {
    ...declared(),
    Uri, Position, Range, Disposable, EventEmitter: Emitter, CancellationTokenSource: Source, CodeActionKind: kinds,
    Location: plain("uri", "range"), Diagnostic: plain("range", "message", "severity"), CodeLens: plain("range", "command"),
    Hover: plain("contents", "range"), CodeAction: plain("title", "kind"), CompletionItem: plain("label", "kind"),
    CompletionList: plain("items", "isIncomplete"), TextEdit: plain("range", "newText"), DocumentSymbol: plain("name", "detail", "kind", "range", "selectionRange"),
    SymbolInformation: plain("name", "kind", "containerName", "location"), MarkdownString: plain("value"), FoldingRange: plain("start", "end", "kind"),
    DocumentLink: plain("range", "target"), InlayHint: plain("position", "label", "kind"), RelativePattern: plain("base", "pattern"),
    SemanticTokensLegend: plain("tokenTypes", "tokenModifiers"), SemanticTokens: plain("data", "resultId"), ThemeIcon: plain("id"),
    DiagnosticRelatedInformation: plain("location", "message"), CancellationError: class extends Error {},
    version: "1.91.0", workspace,
    languages: within({
      match: (selector, document) => [selector].flat().some(({ language }) => language === document.languageId) ? 10 : 0,
      createDiagnosticCollection: () => ({
        set: (uri, all) => {
          seen.messages.set(String(uri), all);
          told("messages").fire(uri);
        },
        delete: (uri) => seen.messages.delete(String(uri)), clear: () => seen.messages.clear(), get: (uri) => seen.messages.get(String(uri)),
        dispose() {}, forEach() {},
      }),
    }),
    window: within({
      activeTextEditor: undefined, visibleTextEditors: [], tabGroups: within({ all: [], close() {} }), state: { focused: true, active: true },
      createOutputChannel: channel,
      showErrorMessage: async (text) => void seen.errors.push(text),
      showWarningMessage: async (text) => void seen.errors.push(text),
      showInformationMessage: async () => undefined,
      withProgress: (_, run) => run({ report() {} }, new Source().token),
      createWebviewPanel: (kind, title, column, options) => {
        const gone = new Emitter(), posted = [];
        const panel = {
          kind, title, column, options, posted, onDidDispose: gone.event, reveal() {}, dispose: () => gone.fire(),
          webview: { html: "", postMessage: async (what) => { posted.push(what); told("posted").fire(panel); return true; } },
        };
        seen.panels.push(panel);
        return panel;
      },
    }),
    commands: {
      registerCommand: (name, run) => {
        if (seen.commands.has(name)) throw new Error(`the command ${name} is there already`);
        seen.commands.set(name, run);
        return new Disposable(() => seen.commands.delete(name));
      },
      executeCommand: async (name, ...given) => seen.commands.get(name)?.(...given),
    },
    env: within({ language: "en", appName: "stub", uriScheme: "stub", openExternal: async (uri) => seen.opened.push(String(uri)) }),
    l10n: { t: (text) => text },
  };

  const load = Module._load;
  Module._load = (name, ...rest) => (name === "vscode" ? vscode : load(name, ...rest));
  const require = createRequire(import.meta.url);
  const script = fileURLToPath(new URL("../dist/extension.js", import.meta.url));
  delete require.cache[script];
  const extension = require(script);
  Module._load = load;

  /** Opens a text in an editor. */
  function open(path, text) {
    const uri = Uri.file(path);
    const document = {
      uri, fileName: path, languageId: "oaktag", version: 1, isClosed: false, isDirty: false, isUntitled: false, eol: 1, text,
      getText: () => document.text,
      get lineCount() { return document.text.split("\n").length; },
      positionAt: (offset) => {
        const before = document.text.slice(0, offset).split("\n");
        return new Position(before.length - 1, before.at(-1).length);
      },
    };
    workspace.textDocuments.push(document);
    const editor = { document, selection: { active: new Position(0, 0) } };
    vscode.window.activeTextEditor = editor;
    told("onDidOpenTextDocument").fire(document);
    return editor;
  }

  /** Writes another text into an editor. */
  function write({ document }, text) {
    const last = document.positionAt(document.text.length);
    const change = { range: new Range(new Position(0, 0), last), rangeOffset: 0, rangeLength: document.text.length, text };
    document.text = text;
    document.version += 1;
    told("onDidChangeTextDocument").fire({ document, contentChanges: [change], reason: undefined });
  }

  /** Waits for something to be so. */
  async function until(what, so) {
    for (let n = 0; n < 600; n++) {
      const found = await so();
      if (found) return found;
      await new Promise((rest) => setTimeout(rest, 50));
    }
    throw new Error(`${what} did not come; errors: ${seen.errors.join("; ")}\n${seen.log.join("\n").slice(-2000)}`);
  }

  return { seen, settings, vscode, extension, open, write, until, told, context: { subscriptions: [] } };
}
