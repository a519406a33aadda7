// The draft on the desk: its text, the choices laid on it, and what the engine answered last. Everything that shows a part of it
// is told from here; nothing here knows what it looks like.
import type { Asked, Body, Form, Pictured, Question, View } from "./engine";
import type { Editor } from "./editor";
import { why } from "./dom";
import { imported } from "./imports";
import { Drawing } from "./picture";

export interface Shows {
  /** Something was changed: what is shown is of before. */
  waiting(): void;
  /** `isFresh`: the answer is of the text as it stands, so that its places hold. */
  view(view: View, isFresh: boolean): void;
  /** The drawing is of what was shown last; none where nothing is drawn. */
  picture(drawing: Drawing | null, isFresh: boolean): void;
  /** What kept the engine from answering, in words; none when it answered. */
  trouble(words: string | null): void;
}

export class Desk {
  path = "";
  /** Choices laid on the draft, as they are typed. */
  readonly values = new Map<string, string>();
  body: Body | null = null;
  view: View | null = null;
  drawing: Drawing | null = null;
  /** The text that the last answer is of. */
  viewed = "";
  editor!: Editor;
  /** Settles when what was asked last is shown. */
  latest: Promise<void> = Promise.resolve();
  #asking = false;
  #again = false;
  #told: (() => void)[] = [];

  constructor(readonly asked: Asked, readonly shows: Shows) {}

  async question(form: Form, more: Partial<Question> = {}): Promise<Question> {
    const text = more.text ?? this.editor.text;
    const { engine } = this.asked;
    const files = engine.readsFolder ? {} : { files: await imported(engine.files, this.path, text) };
    return {
      name: this.path, text, form, body: this.body, ...files,
      values: [...this.values].map(([name, value]) => `${name}=${value}`), ...more,
    };
  }

  /** The picture of something else than the draft as it stands, a file, or words about a place in it. */
  async text(form: Form, more: Partial<Question> = {}): Promise<string> {
    return this.asked.text(await this.question(form, more));
  }

  async json<T>(form: Form, more: Partial<Question> = {}): Promise<T> {
    return this.asked.json<T>(await this.question(form, more));
  }

  async bytes(form: Form, more: Partial<Question> = {}): Promise<Uint8Array> {
    return this.asked.bytes(await this.question(form, more));
  }

  /** What is shown is of before, and the next answer is on its way. */
  get isWaiting(): boolean {
    return this.#again;
  }

  lay(name: string, value: string | null): void {
    if (value === null) this.values.delete(name);
    else this.values.set(name, value);
    this.refresh();
  }

  /** Asks anew, now or as soon as the question on its way is answered; settles when an answer of the text as it stands is shown. */
  refresh(): Promise<void> {
    performance.mark("keystroke");
    this.shows.waiting();
    this.#again = true;
    const shown = new Promise<void>((told) => this.#told.push(told));
    void this.#run();
    this.latest = shown;
    return shown;
  }

  async #run(): Promise<void> {
    if (this.#asking) return;
    this.#asking = true;
    while (this.#again) {
      this.#again = false;
      const told = this.#told.splice(0);
      await this.#once();
      // Who waits for an answer that is overtaken waits for the next.
      if (this.#again) this.#told.unshift(...told);
      else told.forEach((one) => one());
    }
    this.#asking = false;
  }

  /** A choice that the draft no longer has must not take the drawing away: it is left out until the draft has it again. */
  async #viewOf(question: Question): Promise<{ view: View; trouble: string | null; laid: string[] }> {
    const ask = (values: string[]) => this.asked.json<View>({ ...question, values });
    const values = question.values ?? [];
    if (values.length === 0) return { view: await ask(values), trouble: null, laid: values };
    let view: View | null = null;
    let trouble: string | null = null;
    try {
      view = await ask(values);
    } catch (fault) {
      trouble = why(fault);
    }
    if (view?.has_picture) return { view, trouble, laid: values };
    const bare = await ask([]);
    const has = (value: string) => bare.choices.some(({ name }) => [name, `${name}.left`, `${name}.right`].includes(value.split("=", 1)[0] ?? ""));
    const gone = values.filter((value) => !has(value));
    if (gone.length === 0) return { view: view ?? bare, trouble, laid: view ? values : [] };
    const left = values.filter(has);
    return {
      laid: left,
      view: left.length === 0 ? bare : await ask(left),
      trouble: `Left out, since the text has no such choice now: ${gone.join(", ")}.`,
    };
  }

  /** The picture, as what is put into the one that is there; asked for whole where that cannot be done. */
  async #pictured(question: Question): Promise<Drawing | null> {
    for (const has of this.drawing?.mark ? [this.drawing.mark, undefined] : [undefined]) {
      const told = await this.asked.json<Pictured | null>({ ...question, form: "picture", ...(has === undefined ? {} : { has }) });
      const drawing = told && Drawing.of(this.drawing, told);
      if (drawing || !told) return drawing;
    }
    throw new Error("The picture could not be read.");
  }

  async #once(): Promise<void> {
    const { path } = this;
    const question = await this.question("view");
    const answered = this.#viewOf(question).catch((fault: unknown) => ({ view: null, trouble: why(fault), laid: [] as string[] }));
    // Asked for at once: it is worked out while the page shows the messages. Its own trouble is told with the view's.
    const values = question.values ?? [];
    const drawn = this.#pictured(question).catch((fault: unknown) => why(fault));
    const { view, trouble, laid } = await answered;
    const isFresh = () => question.text === this.editor.text;
    if (path === this.path) {
      this.shows.trouble(trouble);
      if (view) {
        this.view = view;
        this.viewed = question.text;
        this.shows.view(view, isFresh());
      }
    }
    let drawing = await drawn;
    if (view && laid.length !== values.length) drawing = await this.#pictured({ ...question, values: laid }).catch(why);
    if (path !== this.path || !view) return;
    if (typeof drawing === "string") return this.shows.trouble(drawing);
    this.drawing = drawing;
    this.shows.picture(drawing, isFresh());
  }
}
