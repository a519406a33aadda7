// What the page asks of whatever runs the language, and what it is answered. Two engines stand behind it: one that asks the
// program over its loopback address (served.ts), one that runs the language in the browser (here.ts). Places are UTF-16 code
// units of the text, as the editor counts.

export interface Place { from: number; to: number }
export interface Offer { at: Place; text: string }

export interface Message {
  severity: "error" | "warning";
  code: string;
  text: string;
  label: string;
  notes: string[];
  help: string | null;
  at: Place | null;
  elsewhere: string | null;
  offers: Offer[];
}

export type May =
  | { not: string }
  | { words: string[] }
  | { figure: { least: number; most: number; now: number; step: number; unit: string } };

export interface OfSide { value: string; typed: string; now: number }

export interface Choice {
  name: string;
  text: string;
  value: string;
  typed: string;
  of_body: boolean;
  worked_out: boolean;
  example: boolean;
  /** The values of either side of a body that differs left from right. */
  sides: { left: OfSide; right: OfSide } | null;
  may: May;
  at: Place | null;
}

export interface Step { number: number; name: string; at: Place }
type Side = "left" | "right" | null;
export interface Seam {
  said: string; name: string; side: Side; at: Place | null; verdict: string; ok: boolean; lengths: string[]; lines: string[];
}
export interface Piece { name: string; said: string; panel: string; side: Side; at: Place | null; darts: Place[] }
export interface Check { text: string; measured: string; wanted: string; ok: boolean }

export interface View {
  title: string;
  unit: string;
  verdict: string;
  well: boolean;
  unfinished: string | null;
  messages: Message[];
  has_picture: boolean;
  pieces: Piece[];
  /** Sentences of the text, and of each name those that drew or redrew it, by their numbers. */
  drawn: { sentences: Place[]; names: Record<string, number[]> };
  /** In what left and right differ; nothing where they do not. */
  sides: string[];
  choices: Choice[];
  steps: Step[];
  seams: Seam[];
  checks: Check[];
}

/** Some parts of a picture: from which on how many are taken out, and what stands there instead. */
export type Put = [from: number, taken: number, parts: string[]];
/** A picture with the mark that tells it from any other: whole, or as what is put into the one that was given before. */
export type Pictured = { mark: string } & ({ whole: string } | { puts: Put[] });

/** Forms that an engine may lack; what wants one of them is left out of the page then. */
export const MAY_LACK = [
  "bodies", "complete", "hover", "define", "mentions", "rename", "tidy", "figures", "folds", "compare", "walk", "after",
  "png", "lesson", "why", "hold", "drag", "add",
] as const;
export type Form = "view" | "picture" | "svg" | "pdf" | "dxf" | "json" | "txt" | "csv" | (typeof MAY_LACK)[number];

/** What a hand holds, as the engine calls it. */
export type Thing = Record<string, unknown>;
/** What an element of the drawing is: a point or line, a notch, a mark, the handle at an end of a curve. */
export type Sort = "named" | "notch" | "mark" | "start" | "end";
/** What can be added by hand. */
export type What = "point" | "line" | "curve" | "notch";

export interface Body { table: string; text: string; name: string }

export interface Question {
  name: string;
  text: string;
  form: Form;
  values?: string[];
  body?: Body | null;
  /** Texts that the draft may import, where the engine has no folder of its own to read. */
  files?: Record<string, string>;
  /** The mark of the picture that the page has. */
  has?: string;
  unfinished?: boolean;
  sheet?: string;
  seam?: string;
  step?: number;
  at?: number | [number, number];
  to?: string | [number, number];
  with?: string;
  table?: string;
  csv?: string;
  thing?: string | Thing;
  /** What is taken hold of: as the drawing has it. */
  piece?: string;
  sort?: Sort;
  called?: string;
  most?: number;
  mirrored?: boolean;
  mover?: number;
  fineness?: "aswritten" | "fine";
  beside?: boolean;
  what?: What;
  near?: number;
  ends?: [string, string];
}

/** A file's bytes, or what is wrong in words. */
export type Answer = { bytes: Uint8Array } | { wrong: string };

export interface Listed { path: string }
export interface Listing { folder: string; files: Listed[]; opens: string | null }
export interface Kept { text: string; mark: string }
export type Saved = { mark: string } | { clash: Kept };

/** The drafts and tables at hand: a folder that the program serves, or what the browser keeps. */
export interface Files {
  list(): Promise<Listing>;
  /** Throws an `Error` that says in words what is wrong. */
  read(path: string): Promise<Kept>;
  /** Written only where the file still bears the mark `was`; `null` means that there is none yet. */
  write(path: string, text: string, was: string | null): Promise<Saved>;
  /** Calls `told` with each path that another hand has changed. */
  watch(told: (paths: string[]) => void): void;
  /** The text to compare with, and what it is called. */
  committed(path: string): Promise<{ text: string; of: string }>;
}

export interface Engine {
  readonly files: Files;
  /** The engine reads imported files by itself. */
  readonly readsFolder: boolean;
  /** Drafts are saved at each pause, not by a button. */
  readonly savesItself: boolean;
  ask(question: Question): Promise<Answer>;
}

const letters = new TextDecoder();

/** First byte 0: no file, but what is wrong. */
export function answerOf(bytes: Uint8Array): Answer {
  return bytes[0] === 0 ? { wrong: letters.decode(bytes.subarray(1)) } : { bytes };
}

export function textOf(bytes: Uint8Array): string {
  return letters.decode(bytes);
}

/** What is wrong, and where in which file, as far as that is told. */
export interface Fault { text: string; file: string | null; line: number | null }

export class Refused extends Error {
  readonly faults: Fault[];

  constructor(wrong: string) {
    super(wrongInWords(wrong));
    this.faults = faultsOf(wrong);
  }
}

function faultsOf(wrong: string): Fault[] {
  try {
    const told: unknown = JSON.parse(wrong);
    if (!Array.isArray(told)) return [];
    return told.filter((one: { severity?: string }) => one.severity !== "warning").map(({ message, text, file, line }: { message?: string; text?: string; file?: string; line?: number }) =>
      ({ text: message ?? text ?? "", file: file ?? null, line: line ?? null }));
  } catch {
    return [];
  }
}

/** What is wrong as one reads it: the engine tells it as JSON, with a list of messages or a sentence in it. */
export function wrongInWords(wrong: string): string {
  try {
    const told: unknown = JSON.parse(wrong);
    if (typeof told === "string") return told;
    const list = Array.isArray(told) ? told : (told as { messages?: unknown[]; diagnostics?: unknown[] }).messages
      ?? (told as { diagnostics?: unknown[] }).diagnostics ?? [told];
    const said = list.map((one) => {
      const { message, text, said } = one as { message?: string; text?: string; said?: string };
      return message ?? text ?? said ?? "";
    });
    return said.filter((one) => one !== "").join(" ") || wrong;
  } catch {
    return wrong;
  }
}

export class Asked {
  readonly #lacks = new Set<Form>();

  constructor(readonly engine: Engine) {}

  /** Learns which forms the engine has, from a draft that has nothing. */
  async learn(): Promise<void> {
    // The module of the static page is built with it, and has them all.
    if (!this.engine.readsFolder) return;
    const probe = async (form: Form) => {
      const answer = await this.engine.ask({ name: "none.draft", text: "edition 1\n", form, at: 0, to: "a", step: 1, seam: "a", with: "", table: "a", csv: "", thing: "a", what: "point", piece: "a" });
      if ("wrong" in answer && answer.wrong.includes(`unknown variant \`${form}\``)) this.#lacks.add(form);
    };
    // One after another: many at once over fresh connections have been left without an answer.
    for (const form of MAY_LACK) await probe(form);
  }

  has(form: Form): boolean {
    return !this.#lacks.has(form);
  }

  async bytes(question: Question): Promise<Uint8Array> {
    const answer = await this.engine.ask(question);
    if ("wrong" in answer) throw new Refused(answer.wrong);
    return answer.bytes;
  }

  async text(question: Question): Promise<string> {
    return textOf(await this.bytes(question));
  }

  async json<T>(question: Question): Promise<T> {
    return JSON.parse(await this.text(question)) as T;
  }
}
