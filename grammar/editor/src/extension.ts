// The extension: starts the program as a language server, and shows what it draws beside the text.
import * as vscode from "vscode";
import { LanguageClient, type Executable } from "vscode-languageclient/node";
import { Drawings } from "./drawings";

const LANGUAGE = "oaktag";
/** Where the client is told that texts of the library stand; the server gives them. */
const LIBRARY = "oaktag-library";

let client: LanguageClient | undefined;

/** The commands of code lenses, whose pictures are shown here instead of in another program. */
const PICTURED: Record<string, "piece" | "seam"> = { "oaktag.walk": "seam", "oaktag.show": "piece" };

function program(): string {
  return vscode.workspace.getConfiguration(LANGUAGE).get<string>("path", "oaktag");
}

function made(drawings: Drawings): LanguageClient {
  const run: Executable = { command: program(), args: ["language-server"] };
  return new LanguageClient(LANGUAGE, "Oaktag", { run, debug: run }, {
    documentSelector: [{ language: LANGUAGE, scheme: "file" }, { language: LANGUAGE, scheme: "untitled" }],
    synchronize: { fileEvents: vscode.workspace.createFileSystemWatcher("**/*.{draft,csv}") },
    initializationOptions: { hoverPictures: true, libraryAddresses: true },
    middleware: {
      executeCommand: async (command, given, next) => {
        const kind = PICTURED[command];
        const [address, name] = given as unknown[];
        if (kind === undefined || typeof address !== "string" || typeof name !== "string") return next(command, given);
        return drawings.show({ uri: vscode.Uri.parse(address), [kind]: name });
      },
    },
  });
}

async function start(drawings: Drawings): Promise<void> {
  client = made(drawings);
  try {
    await client.start();
  } catch (why) {
    const choice = await vscode.window.showErrorMessage(
      `The program “${program()}” did not start as a language server: ${why instanceof Error ? why.message : String(why)}`,
      "Say where it is",
    );
    if (choice !== undefined) await vscode.commands.executeCommand("workbench.action.openSettings", "oaktag.path");
  }
}

async function stop(): Promise<void> {
  const old = client;
  client = undefined;
  // One that did not start has nothing to stop, and says so by an error.
  if (old?.needsStop()) await old.dispose();
}

/** The draft in the editor at hand. */
function draft(): vscode.TextEditor | undefined {
  const editor = vscode.window.activeTextEditor;
  return editor?.document.languageId === LANGUAGE ? editor : undefined;
}

/** The desk may be shown in no other page, by its own rule: so it opens in the browser. */
async function openDesk(): Promise<void> {
  const editor = draft();
  if (editor === undefined || client === undefined) return;
  const { line, character } = editor.selection.active;
  try {
    const answer = await client.sendRequest<{ address: string }>("workspace/executeCommand", {
      command: "oaktag.desk",
      arguments: [client.code2ProtocolConverter.asUri(editor.document.uri), { line, character }, { show: false }],
    });
    await vscode.env.openExternal(vscode.Uri.parse(answer.address, true));
  } catch (why) {
    void vscode.window.showErrorMessage(`The desk did not open: ${why instanceof Error ? why.message : String(why)}`);
  }
}

/** Called once, when the first draft is opened. */
export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const drawings = new Drawings((asked) => {
    if (client === undefined) return Promise.reject(new Error("the program is not running"));
    const { uri, ...which } = asked;
    return client.sendRequest<{ svg: string }>("oaktag/picture", {
      textDocument: { uri: client.code2ProtocolConverter.asUri(uri) },
      ...which,
    });
  });
  context.subscriptions.push(
    drawings,
    vscode.commands.registerCommand("oaktag.showDrawing", () => {
      const editor = draft();
      return editor && drawings.show({ uri: editor.document.uri });
    }),
    vscode.commands.registerCommand("oaktag.openDesk", openDesk),
    vscode.commands.registerCommand("oaktag.restart", async () => {
      await stop();
      await start(drawings);
    }),
    vscode.workspace.registerTextDocumentContentProvider(LIBRARY, {
      provideTextDocumentContent: async (uri) => {
        const answer = await client?.sendRequest<{ text: string }>("workspace/textDocumentContent", { uri: uri.toString() });
        return answer?.text ?? "";
      },
    }),
    vscode.workspace.onDidChangeConfiguration(async (change) => {
      if (!change.affectsConfiguration("oaktag.path")) return;
      await stop();
      await start(drawings);
    }),
  );
  await start(drawings);
}

/** Called when the editor closes. */
export function deactivate(): Promise<void> {
  return stop();
}
