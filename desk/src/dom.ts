// Small hands for building the page. Every letter goes in as text, never as markup.

import { EditorView } from "@codemirror/view";

type Child = Node | string | null | undefined | false;
type Attributes = Record<string, string | number | boolean | ((event: Event) => void)>;

/** An element with its attributes (a function is a listener), and its children in order. */
export function h<K extends keyof HTMLElementTagNameMap>(
  name: K, attributes: Attributes = {}, ...children: Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(key, value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false) made.setAttribute(key, String(value));
  }
  made.append(...children.filter((child): child is Node | string => child !== null && child !== undefined && child !== false));
  return made;
}

export function button(words: string, act: (event: Event) => void, attributes: Attributes = {}): HTMLButtonElement {
  return h("button", { type: "button", click: act, ...attributes }, words);
}

/** A sentence of the engine's: what stands in backquotes is of the draft's letters. */
export function prose(words: string): (Node | string)[] {
  return words.split(/`([^`]*)`/).map((part, at) => (at % 2 === 1 ? h("code", {}, part) : part));
}

/** The element of the page with that id. */
export function at<T extends HTMLElement>(id: string): T {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found as T;
}

/** Writes `words` where others stood, so that a reader that speaks hears only what is new. */
export function say(place: HTMLElement, words: string): void {
  if (place.textContent !== words) place.textContent = words;
}

/** Keeps a part of the page as it is while what it shows is the same. */
export class Shown<T> {
  #last = "";
  readonly #show: (what: T) => void;

  constructor(show: (what: T) => void) {
    this.#show = show;
  }

  show(what: T): void {
    const now = JSON.stringify(what);
    if (now === this.#last) return;
    this.#last = now;
    this.#show(what);
  }
}

/** A dialog over the page: a heading, what `fill` puts in it, and a button that closes it. */
export function dialog(heading: string, ...children: Child[]): { box: HTMLDialogElement; closed: Promise<void> } {
  const name = h("h2", { id: "dialog-name" }, heading);
  const box = h("dialog", { "aria-labelledby": "dialog-name" }, name, ...children,
    h("p", { class: "ends" }, button("Close", () => box.close())));
  // Left first, so that it is given back here and not by the browser.
  const before = document.activeElement;
  if (before instanceof HTMLElement) before.blur();
  document.querySelectorAll("dialog").forEach((other) => other.close());
  document.body.append(box);
  const closed = new Promise<void>((done) => {
    box.addEventListener("close", () => {
      box.remove();
      if (before instanceof HTMLElement && before !== document.body && document.activeElement === document.body) focus(before);
      done();
    });
  });
  box.showModal();
  return { box, closed };
}

/** Gives the focus to an element; to a text with its caret where it stands, which browsers put at the beginning otherwise. */
export function focus(element: HTMLElement): void {
  const text = EditorView.findFromDOM(element);
  if (!text) return element.focus();
  text.focus();
  const { anchor, head } = text.state.selection.main;
  const [from, to] = [text.domAtPos(anchor), text.domAtPos(head)];
  document.getSelection()?.setBaseAndExtent(from.node, from.offset, to.node, to.offset);
}

/** What went wrong, in words. */
export function why(fault: unknown): string {
  return fault instanceof Error ? fault.message : String(fault);
}

/** Hands a file to whoever sits here. */
export function handOver(name: string, bytes: BlobPart, type: string): void {
  const address = URL.createObjectURL(new Blob([bytes], { type }));
  const link = h("a", { href: address, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
