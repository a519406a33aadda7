// What an editor can say of the word at the caret: what may follow, what it is, where it was drawn, where else it is named.
import { snippet, type Completion, type CompletionContext, type CompletionResult } from "@codemirror/autocomplete";
import type { KeyBinding, Tooltip } from "@codemirror/view";
import { button, dialog, h, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Offer, Place } from "./engine";

interface Told { at: Place; title: string; lines: string[] }
type Defined = { at: Place } | { elsewhere: { said: string; text: string } };

const PAUSE = 200;

/** The form of a sentence as it is put in. What gives a figure its range is put in with it, so that the page can move it; a block
    that has nothing in it yet opens on a line of its own. */
function formOf(detail: string, insert: string): string {
  const may = [...detail.matchAll(/\[([^\]…]+)\]/g)].map(([, part = ""]) => part);
  const ranged = may.some((part) => part.startsWith("between "))
    ? [insert, ...may.map((part) => part.replaceAll(/"[^"]*"|[A-Z]{2,}/g, (place) =>
      (place.startsWith('"') ? `"\${${place.slice(1, -1)}}"` : `\${${place}}`)))].join(" ")
    : insert;
  return numbered(ranged.replace(/\{ \}$/, "{\n\t${}\n}"));
}

/** Each place to fill in by itself, though two bear one name: `from PLACE to PLACE` is of two places. */
function numbered(form: string): string {
  let count = 0;
  return form.replaceAll(/\$\{([^}]*)\}/g, (_, name: string) => `\${${++count}:${name}}`);
}

export class Words {
  /** `small` draws what the sentence at a place drew, with its piece, as large as a thumb. */
  constructor(readonly desk: Desk, readonly tell: (words: string) => void, readonly small: (at: Place) => SVGSVGElement | null) {}

  #pause: ReturnType<typeof setTimeout> | undefined;

  readonly keys: KeyBinding[] = [
    { key: "Mod-Enter", run: () => this.#does(() => this.define()) },
    { key: "Mod-Shift-Enter", run: () => this.#does(() => this.mentions()) },
    { key: "F2", run: () => this.#does(() => this.rename()) },
    { key: "Mod-Shift-l", run: () => this.#does(() => this.tidy()) },
  ];

  #does(act: () => Promise<void>): boolean {
    act().catch((fault: unknown) => this.tell(why(fault)));
    return true;
  }

  readonly complete = async (context: CompletionContext): Promise<CompletionResult | null> => {
    const { desk } = this;
    const before = context.matchBefore(/[\p{L}_][\p{L}\p{N}_.]*$/u);
    if (!desk.asked.has("complete") || (!context.explicit && !before)) return null;
    try {
      const { from, options } = await desk.json<{ from: number; options: { label: string; kind: string; detail: string; insert: string }[] }>(
        "complete", { at: context.pos });
      if (context.aborted) return null;
      // Where the sentence goes on, a word is put in place of another: what follows it stands there already.
      const goesOn = /^\s*[\p{L}\p{N}]/u.test(context.state.doc.lineAt(context.pos).text.slice(context.pos - context.state.doc.lineAt(context.pos).from));
      const offered = options.map(({ label, kind, detail, insert }, at): Completion => {
        const isForm = /\$\{|\{ \}$/.test(insert) && !(goesOn && (kind === "act" || kind === "phrase"));
        return {
          // In the engine's order: what fits best stands first.
          label, boost: Math.max(-99, 99 - at), detail: detail.startsWith(label) ? detail : [kind, detail].filter((one) => one).join(", "),
          apply: isForm ? snippet(formOf(detail, insert)) : insert.includes("${") ? label : insert,
        };
      });
      return { from, options: offered, validFor: /^[\p{L}\p{N}_.]*$/u };
    } catch {
      return null;
    }
  };

  readonly hover = async (_view: unknown, pos: number): Promise<Tooltip | null> => {
    const { desk } = this;
    if (!desk.asked.has("hover")) return null;
    const told = await desk.json<Told | null>("hover", { at: pos }).catch(() => null);
    if (!told) return null;
    const defined = desk.asked.has("define") ? await desk.json<Defined | null>("define", { at: pos }).catch(() => null) : null;
    const picture = defined && "at" in defined ? this.small(defined.at) : null;
    return {
      pos: told.at.from, end: told.at.to, above: true,
      create: () => {
        const dom = h("div", { class: "hover" }, h("strong", {}, told.title), ...told.lines.map((line) => h("p", {}, line)));
        if (picture) dom.append(picture);
        return { dom };
      },
    };
  };

  async define(): Promise<void> {
    const { desk } = this;
    const told = desk.asked.has("define") ? await desk.json<Defined | null>("define", { at: desk.editor.caret }) : null;
    if (!told) return this.tell("Nothing that is drawn stands at the caret.");
    if ("at" in told) return desk.editor.select(told.at, true);
    dialog(told.elsewhere.said, h("pre", {}, told.elsewhere.text));
  }

  async mentions(): Promise<void> {
    const { editor } = this.desk;
    if (!this.desk.asked.has("mentions")) return;
    const places = await this.desk.json<Place[] | null>("mentions", { at: editor.caret }) ?? [];
    if (places.length === 0) return this.tell("No name stands at the caret.");
    editor.show({ lit: places });
    const { box } = dialog(`Named ${places.length === 1 ? "once" : `${places.length} times`}`, h("ul", { class: "drafts" },
      ...places.map((place) => h("li", {}, button(`Line ${editor.lineOf(place)}: ${editor.view.state.doc.lineAt(place.from).text.trim()}`, () => {
        box.close();
        editor.select(place, true);
      })))));
  }

  async rename(): Promise<void> {
    const { desk } = this;
    const { editor } = desk;
    if (!desk.asked.has("rename")) return;
    const at = editor.caret;
    const word = editor.view.state.wordAt(at);
    const name = h("input", { id: "rename-to", value: word ? editor.text.slice(word.from, word.to) : "", spellcheck: "false", autocomplete: "off" });
    const wrong = h("p", { role: "alert", class: "wrong" });
    const act = async (event: Event) => {
      event.preventDefault();
      const told = await desk.json<{ edits: Offer[] } | { said: string }>("rename", { at, to: name.value.trim() });
      if ("said" in told) return say(wrong, told.said);
      box.close();
      editor.put(told.edits, false);
    };
    const { box } = dialog("Rename", h("form", { submit: (event) => void act(event).catch((fault: unknown) => say(wrong, why(fault))) },
      h("p", {}, h("label", { for: "rename-to" }, "Call it "), name), wrong,
      h("p", { class: "ends" }, h("button", { type: "submit", class: "first" }, "Rename it everywhere"))));
    name.select();
  }

  async tidy(): Promise<void> {
    const { editor, asked } = this.desk;
    if (!asked.has("tidy")) return;
    const { text } = await this.desk.json<{ text: string }>("tidy");
    const isTidy = text === editor.text;
    editor.replace(text);
    this.tell(isTidy ? "The text is tidy." : "The text is laid out anew.");
  }

  /** Figures beside the text, and what folds: after a pause, so that the next keystroke does not wait for them. */
  beside(isStill: () => boolean): void {
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.#beside(isStill), PAUSE);
  }

  async #beside(isStill: () => boolean): Promise<void> {
    const { asked, editor, view } = this.desk;
    const steps = view?.steps.map(({ at }) => at) ?? [];
    const figures = asked.has("figures") ? await this.desk.json<{ at: number; text: string }[]>("figures").catch(() => []) : [];
    const folds = asked.has("folds") ? await this.desk.json<Place[]>("folds").catch(() => steps) : steps;
    if (isStill()) editor.show({ figures, folds });
  }
}
