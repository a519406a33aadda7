// Text and drawing, each shown where the other stands: the line at the caret lit in the drawing, a drawn line's sentence found.
import type { Place, View } from "./engine";

export class Follow {
  #things = new Map<string, Element[]>();
  #lit: Element[] = [];
  #view: View | null = null;
  #names: string[] = [];
  /** Names of what sentences drew, shortest first, by the last of their words. */
  #byLast = new Map<string, string[]>();

  /** Learns what the new picture shows. */
  learn(view: View, picture: Element | null): void {
    this.#view = view;
    this.#byLast = new Map();
    for (const name of Object.keys(view.drawn).sort((a, b) => a.length - b.length)) {
      const last = name.slice(name.lastIndexOf(".") + 1);
      const known = this.#byLast.get(last);
      if (known) known.push(name);
      else this.#byLast.set(last, [name]);
    }
    this.#things = new Map();
    this.#show([]);
    for (const thing of picture?.querySelectorAll("[data-name]") ?? []) {
      const name = this.nameOf(thing);
      if (name === null) continue;
      const known = this.#things.get(name);
      if (known) known.push(thing);
      else this.#things.set(name, [thing]);
    }
    this.#names = [...this.#things.keys()];
  }

  /** The draft's own name of a thing in the picture, where a sentence of the draft has drawn it. */
  nameOf(thing: Element): string | null {
    const name = thing.getAttribute("data-name");
    if (!this.#view || name === null) return null;
    const piece = thing.getAttribute("data-piece") ?? "";
    const panel = this.#view.panels[piece] ?? piece;
    const { drawn } = this.#view;
    // An edge made by an act may be a part of one that bears a number more: `hem_2` of `hem`.
    const bare = name.replace(/_\d+$/, "");
    return [`${panel}.${name}`, name, `${piece}.${name}`, `${panel}.${bare}`, bare].find((one) => Object.hasOwn(drawn, one))
      // Of a panel that holds others, the one nearest to the top.
      ?? this.#byLast.get(name)?.find((one) => one.startsWith(`${panel}.`))
      ?? null;
  }

  /** The sentence of the text that made the sheet on which a thing lies: for what was drawn elsewhere, and traced. */
  sheetOf(thing: Element, text: string): Place | null {
    const piece = thing.getAttribute("data-piece") ?? "";
    const sheet = (this.#view?.panels[piece] ?? piece).split(".")[0] ?? "";
    const made = [...text.matchAll(/^[ \t]*panel[ \t]+([\p{L}\p{N}_]+).*$/gmu)].filter(([, name]) => name === sheet).pop();
    return made ? { from: made.index, to: made.index + made[0].length } : null;
  }

  sentenceOf(name: string): Place | null {
    return this.#view?.drawn[name] ?? null;
  }

  /** Lights up what the sentences at a place of the text have drawn. */
  light(line: Place): Element[] {
    const drawn = this.#view?.drawn ?? {};
    const here = this.#names.filter((name) => {
      const place = drawn[name];
      return place !== undefined && place.from <= line.to && place.to >= line.from;
    });
    return this.#show(here.flatMap((name) => this.#things.get(name) ?? []));
  }

  /** A small picture of what the sentence at a place has drawn, lit on its pieces. */
  small(place: Place): SVGSVGElement | null {
    const drawn = this.#view?.drawn ?? {};
    const lit = this.#names.filter((name) => {
      const of = drawn[name];
      return of !== undefined && of.from <= place.from && place.to <= of.to;
    }).flatMap((name) => this.#things.get(name) ?? []).filter((thing) => thing.localName === "path");
    const [whole] = lit;
    const root = whole?.closest("svg");
    if (!whole || !root) return null;
    const pieces = new Set(lit.map((thing) => thing.getAttribute("data-piece")));
    const lines = [...root.querySelectorAll("path[data-piece]")].filter((thing) => pieces.has(thing.getAttribute("data-piece")));
    const boxes = lines.map((thing) => (thing as SVGPathElement).getBBox());
    const left = Math.min(...boxes.map(({ x }) => x));
    const top = Math.min(...boxes.map(({ y }) => y));
    const wide = Math.max(...boxes.map(({ x, width }) => x + width)) - left;
    const high = Math.max(...boxes.map(({ y, height }) => y + height)) - top;
    const small = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    small.setAttribute("viewBox", `${left - 5} ${top - 5} ${wide + 10} ${high + 10}`);
    small.setAttribute("class", "picture");
    small.setAttribute("aria-hidden", "true");
    // Drawn as large as a thumb: 200 pixels.
    small.style.setProperty("--pixel", `${Math.max(wide, high) / 200}px`);
    for (const line of lines) {
      const copy = line.cloneNode() as Element;
      copy.classList.toggle("lit", lit.includes(line));
      small.append(copy);
    }
    return small;
  }

  /** What a name stands for in the picture. */
  thingsOf(name: string): Element[] {
    return this.#things.get(name) ?? [];
  }

  /** Lights up one thing alone. */
  lightName(name: string): Element[] {
    return this.#show(this.#things.get(name) ?? []);
  }

  /** The thing drawn after, or before, the one of that name. */
  next(name: string | null, by: 1 | -1): string | null {
    const at = name === null ? (by === 1 ? -1 : 0) : this.#names.indexOf(name);
    return this.#names[(at + by + this.#names.length) % this.#names.length] ?? null;
  }

  #show(things: Element[]): Element[] {
    for (const one of this.#lit) one.classList.remove("lit");
    for (const one of things) one.classList.add("lit");
    this.#lit = things;
    return things;
  }
}

/** A name as one says it: `shirt.front.armhole` is "armhole of shirt front". */
export function spoken(name: string): string {
  const parts = name.replaceAll("_", " ").split(".");
  const last = parts.pop() ?? "";
  return parts.length === 0 ? last : `${last} of ${parts.join(" ")}`;
}
