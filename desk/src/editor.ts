// The text of the draft: an editor that keeps to the web's manners. Tab leaves it, as it leaves any field.
import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap, type CompletionSource } from "@codemirror/autocomplete";
import { cursorLineEnd, defaultKeymap, history, historyKeymap, isolateHistory, selectLineEnd } from "@codemirror/commands";
import { bracketMatching, codeFolding, foldGutter, foldKeymap, foldService } from "@codemirror/language";
import { diagnosticCount, lintKeymap, setDiagnostics, type Diagnostic } from "@codemirror/lint";
import { highlightSelectionMatches, searchKeymap } from "@codemirror/search";
import { EditorState, StateEffect, StateField, Transaction, type Extension, type TransactionSpec } from "@codemirror/state";
import {
  Decoration, EditorView, WidgetType, drawSelection, highlightActiveLine, highlightActiveLineGutter, hoverTooltip, keymap,
  lineNumbers, placeholder, type DecorationSet, type HoverTooltipSource, type KeyBinding,
} from "@codemirror/view";
import { colours } from "./colours";
import { focus, h } from "./dom";
import { hang } from "./hang";
import type { Message, Offer, Place } from "./engine";

/** Figures that stand beside the text, and places that are lit in it. */
const figures = StateEffect.define<{ at: number; text: string }[]>();
const lit = StateEffect.define<Place[]>();
const folds = StateEffect.define<Place[]>();

class Figure extends WidgetType {
  constructor(readonly text: string) {
    super();
  }
  override eq(other: Figure): boolean {
    return other.text === this.text;
  }
  toDOM(): HTMLElement {
    // One figure stays whole; of many a line may break between them.
    const whole = this.text.replaceAll(/(?<!,) /g, "\u00a0");
    return h("span", { class: "beside", "aria-hidden": "true" }, ` =\u00a0${whole}`);
  }
}

function marks<T>(effect: ReturnType<typeof StateEffect.define<T>>, made: (what: T, length: number) => DecorationSet): Extension {
  return StateField.define<DecorationSet>({
    create: () => Decoration.none,
    update(value, change) {
      const told = change.effects.find((one) => one.is(effect));
      return told ? made(told.value as T, change.newDoc.length) : value.map(change.changes);
    },
    provide: (field) => EditorView.decorations.from(field),
  });
}

const besides = marks(figures, (list, length) =>
  Decoration.set(list.filter(({ at }) => at <= length).map(({ at, text }) =>
    Decoration.widget({ widget: new Figure(text), side: 1 }).range(at)), true));

const lights = marks(lit, (list, length) =>
  Decoration.set(list.filter(({ from, to }) => from < to && to <= length).map(({ from, to }) =>
    Decoration.mark({ class: "mentioned" }).range(from, to)), true));

const foldable = StateField.define<Place[]>({
  create: () => [],
  update(value, change) {
    const told = change.effects.find((one) => one.is(folds));
    if (told) return told.value as Place[];
    if (!change.docChanged) return value;
    return value.map(({ from, to }) => ({ from: change.changes.mapPos(from, 1), to: change.changes.mapPos(to, -1) }));
  },
});

const bySteps = foldService.of((state, start, end) => {
  const block = state.field(foldable).find(({ from, to }) => from >= start && from <= end && to > end && to <= state.doc.length);
  return block ? { from: end, to: block.to } : null;
});

/** To the first letter of the sentence, or from there before its indent: never to the head of a row that only goes on. */
function toHead(isSelecting: boolean) {
  return (view: EditorView): boolean => {
    const { anchor, head } = view.state.selection.main;
    const line = view.state.doc.lineAt(head);
    const first = line.from + line.text.length - line.text.trimStart().length;
    const to = head === first ? line.from : first;
    view.dispatch({ selection: { anchor: isSelecting ? anchor : to, head: to }, scrollIntoView: true, userEvent: "select" });
    return true;
  };
}

const ENDS: KeyBinding[] = [
  { key: "Home", run: toHead(false), shift: toHead(true) }, { mac: "Cmd-ArrowLeft", run: toHead(false), shift: toHead(true) },
  { key: "End", run: cursorLineEnd, shift: selectLineEnd }, { mac: "Cmd-ArrowRight", run: cursorLineEnd, shift: selectLineEnd },
];

export interface Ways {
  changed(byHand: boolean): void;
  moved(): void;
  complete: CompletionSource;
  hover: HoverTooltipSource;
  keys: KeyBinding[];
}

export class Editor {
  readonly view: EditorView;
  #isQuiet = false;

  constructor(parent: HTMLElement, readonly ways: Ways) {
    this.view = new EditorView({ parent, state: this.#state("") });
    // Messages below the text take room from it: the sentence that is being written stays in sight.
    new ResizeObserver(() => {
      const { view } = this;
      if (view.hasFocus) view.dispatch({ effects: EditorView.scrollIntoView(this.caret, { y: "nearest", yMargin: 20 }) });
    }).observe(this.view.scrollDOM);
  }

  #state(text: string): EditorState {
    const { ways } = this;
    return EditorState.create({
      doc: text,
      extensions: [
        lineNumbers(), highlightActiveLineGutter(), foldGutter({ openText: "▾", closedText: "▸" }), codeFolding(),
        history(), drawSelection(), bracketMatching(), closeBrackets(), highlightActiveLine(), highlightSelectionMatches(),
        autocompletion({ override: [ways.complete], icons: false }), hoverTooltip(ways.hover, { hoverTime: 400 }),
        besides, lights, foldable, bySteps, colours,
        keymap.of([...ways.keys, ...ENDS, ...closeBracketsKeymap, ...completionKeymap, ...lintKeymap, ...searchKeymap, ...historyKeymap,
          ...foldKeymap, ...defaultKeymap]),
        EditorView.lineWrapping, hang,
        placeholder("An empty draft. Its first lines: edition 1, draft \"Its name\", unit cm"),
        EditorView.contentAttributes.of({ "aria-label": "Text of the draft", tabindex: "0", spellcheck: "false", autocapitalize: "off" }),
        EditorState.phrases.of({ "Control character": "Letter that cannot be seen", regexp: "as a pattern", "by word": "whole words" }),
        EditorView.updateListener.of((update) => {
          if (this.#isQuiet) return;
          if (update.docChanged) ways.changed(true);
          if (update.docChanged || update.selectionSet) ways.moved();
        }),
      ],
    });
  }

  get text(): string {
    return this.view.state.doc.toString();
  }

  /** Opens another draft: what was done to the one before cannot be undone here. */
  open(text: string): void {
    this.view.setState(this.#state(text));
    this.ways.changed(false);
    this.ways.moved();
  }

  /** Puts letters in places of the text, as one thing to be undone. */
  put(offers: Offer[], select = true): void {
    const length = this.view.state.doc.length;
    const changes = offers.filter(({ at }) => at.to <= length).map(({ at, text }) => ({ from: at.from, to: at.to, insert: text }));
    const first = offers[0];
    const spec: TransactionSpec = { changes, annotations: [Transaction.userEvent.of("input.cure"), isolateHistory.of("full")] };
    this.view.dispatch(select && first && offers.length === 1
      ? { ...spec, selection: { anchor: first.at.from + first.text.length }, scrollIntoView: true }
      : spec);
  }

  /** Puts letters in while a hand moves: told to nobody, and not to be undone. */
  lay({ at, text }: Offer): void {
    this.#isQuiet = true;
    this.view.dispatch({ changes: { ...at, insert: text }, annotations: Transaction.addToHistory.of(false) });
    this.#isQuiet = false;
  }

  /** Puts another text in place of the whole; what stays the same is not touched, and the caret stays where it was. */
  replace(text: string): void {
    const before = this.text;
    if (text === before) return;
    let start = 0;
    while (start < Math.min(before.length, text.length) && before[start] === text[start]) start++;
    let end = 0;
    const most = Math.min(before.length, text.length) - start;
    while (end < most && before[before.length - 1 - end] === text[text.length - 1 - end]) end++;
    const at = { from: start, to: before.length - end };
    this.put([{ at, text: text.slice(start, text.length - end) }], false);
  }

  /** Puts the caret at the head of a place, and lights it; `isLeftFor`: the hand goes there, too. */
  select(place: Place, isLeftFor: boolean): void {
    const length = this.view.state.doc.length;
    const anchor = Math.min(place.from, length);
    // Of a block only its head is lit.
    const brace = this.text.slice(anchor, place.to).indexOf("{");
    const end = brace === -1 ? place.to : anchor + brace;
    this.view.dispatch({
      selection: { anchor },
      effects: [EditorView.scrollIntoView(anchor, { y: "center" }), lit.of([{ from: anchor, to: Math.min(end, length) }])],
    });
    if (isLeftFor) this.focus();
  }

  /** Puts the hand at the head of a line, counted from 1; the last where there are not so many. */
  toLine(number: number): void {
    const { doc } = this.view.state;
    this.select(doc.line(Math.min(Math.trunc(number), doc.lines)), true);
  }

  focus(): void {
    focus(this.view.contentDOM);
  }

  /** What is wrong, at its place. */
  tell(messages: Message[], cure: (offer: Offer) => void): void {
    const length = this.view.state.doc.length;
    const told = messages.flatMap((message): Diagnostic[] => {
      if (!message.at || message.at.to > length) return [];
      const actions = message.offers.map((offer) => ({ name: offerName(offer), apply: () => cure(offer) }));
      const words = [message.text, message.label, message.help ?? ""].filter((one) => one !== "").join("\n");
      return [{ ...message.at, severity: message.severity, message: words, actions }];
    });
    // Nothing in place of nothing would only cost a keystroke's time.
    if (told.length > 0 || diagnosticCount(this.view.state) > 0) this.view.dispatch(setDiagnostics(this.view.state, told));
  }

  show(effect: { figures?: { at: number; text: string }[]; lit?: Place[]; folds?: Place[] }): void {
    const effects: StateEffect<unknown>[] = [];
    if (effect.figures) effects.push(figures.of(effect.figures));
    if (effect.lit) effects.push(lit.of(effect.lit));
    if (effect.folds) effects.push(folds.of(effect.folds));
    this.view.dispatch({ effects });
  }

  get caret(): number {
    return this.view.state.selection.main.head;
  }

  /** The line of the caret, from its first letter to its last. */
  get line(): Place {
    const { from, to } = this.view.state.doc.lineAt(this.caret);
    return { from, to };
  }

  lineOf(place: Place): number {
    return this.view.state.doc.lineAt(Math.min(place.from, this.view.state.doc.length)).number;
  }
}

/** What a button says that puts letters in. */
export function offerName(offer: Offer): string {
  const text = offer.text.trim();
  const brief = text.length > 60 || text.includes("\n") ? `${text.split("\n")[0]?.slice(0, 57)}…` : text;
  if (text === "") return "Take it out";
  return offer.at.from === offer.at.to ? `Put in ${brief}` : `Write ${brief}`;
}
