// Changes put into the drawing that lies on the paper, while something is dragged: elements in place of elements, and back again.
import { elementsOf, style } from "./picture";

export interface Part { layer: string; piece: string | null; all: boolean; items: [at: number, svg: string][] }
export interface Changes { style: string | null; size: [number, number] | null; parts: Part[] }

/** What a layer has of a piece: as it was laid, each with what it was, and what stands in place of all of it now. */
interface Run { laid: Element[]; was: Map<Element, Element>; instead: Element[] | null; before: Comment | null }

/** Classes that the page gives, and no drawing. */
const OWN = ["lit", "near"];

export class Changed {
  readonly #runs = new Map<string, Run>();

  constructor(readonly picture: Element) {}

  /** Shows the drawing as it was laid, but for these; says whether elements were put in or taken out. */
  show({ style: rules, parts }: Changes): boolean {
    if (rules !== null) style(rules);
    const elements = elementsOf(parts.flatMap(({ items }) => items.map(([, svg]) => svg)));
    const open = new Set(this.#runs.keys());
    let isOther = false;
    let next = 0;
    for (const { layer, piece, all, items } of parts) {
      const key = JSON.stringify([layer, piece]);
      open.delete(key);
      const run = this.#runOf(key, layer, piece);
      const own = elements.slice(next, next += items.length);
      if (all) {
        isOther = true;
        this.#instead(run, layer, own);
        continue;
      }
      isOther = this.#back(run) || isOther;
      const kept = new Set<Element>();
      items.forEach(([at], which) => {
        const [element, as] = [run.laid[at], own[which]];
        if (!element || !as) return;
        kept.add(element);
        if (!run.was.has(element)) run.was.set(element, element.cloneNode(true) as Element);
        become(element, as);
      });
      this.#restore(run, kept);
    }
    for (const key of open) {
      const run = this.#runs.get(key);
      if (!run) continue;
      isOther = this.#back(run) || isOther;
      this.#restore(run, new Set());
    }
    return isOther;
  }

  #runOf(key: string, layer: string, piece: string | null): Run {
    const known = this.#runs.get(key);
    if (known) return known;
    const group = this.#group(layer);
    const laid = [...group?.children ?? []].filter((one) => one.getAttribute("data-piece") === piece);
    const run: Run = { laid, was: new Map(), instead: null, before: null };
    this.#runs.set(key, run);
    return run;
  }

  #group(layer: string): Element | null {
    return this.picture.querySelector(`:scope > [data-layer="${layer}"]`);
  }

  #instead(run: Run, layer: string, elements: Element[]): void {
    if (!run.before) {
      // Where they stood, though none of them is left.
      run.before = document.createComment("");
      const [first] = run.laid;
      if (first) first.before(run.before);
      else this.#group(layer)?.append(run.before);
    }
    for (const one of run.instead ?? run.laid) one.remove();
    run.before.after(...elements);
    run.instead = elements;
  }

  #back(run: Run): boolean {
    if (!run.instead) return false;
    for (const one of run.instead) one.remove();
    run.before?.after(...run.laid);
    run.instead = null;
    return true;
  }

  #restore(run: Run, kept: Set<Element>): void {
    for (const [element, was] of run.was) {
      if (kept.has(element)) continue;
      become(element, was);
      run.was.delete(element);
    }
  }
}

/** Gives an element what another has: its letters, its place and its look. */
function become(element: Element, as: Element): void {
  for (const name of element.getAttributeNames()) if (name !== "class" && !as.hasAttribute(name)) element.removeAttribute(name);
  for (const name of as.getAttributeNames()) {
    const value = as.getAttribute(name) ?? "";
    if (name !== "class") {
      if (element.getAttribute(name) !== value) element.setAttribute(name, value);
      continue;
    }
    const kept = OWN.filter((one) => element.classList.contains(one));
    const plain = value.split(" ").filter((one) => !OWN.includes(one));
    element.setAttribute("class", [...plain, ...kept].join(" "));
  }
  if (element.textContent !== as.textContent) element.textContent = as.textContent;
}
