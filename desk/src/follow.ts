// Text and drawing, each shown where the other stands: the line at the caret lit in the drawing, a drawn line's sentence found.
import type { Piece, Place, Seam, View } from "./engine";

export class Follow {
  #things = new Map<string, Element[]>();
  #lit: Element[] = [];
  #view: View | null = null;
  #names: string[] = [];
  #pieces = new Map<string, Piece>();
  #seams = new Map<string, Seam>();

  /** Learns what the new picture shows. */
  learn(view: View, picture: Element | null): void {
    this.#view = view;
    this.#pieces = new Map(view.pieces.map((piece) => [piece.name, piece]));
    this.#seams = new Map(view.seams.map((seam) => [seam.name, seam]));
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

  /** The draft's own name of a thing in the picture, where a sentence of the draft has drawn it; `seam NAME` of the notches of a
      seam, `dart NUMBER of PIECE` of what belongs to a dart. */
  nameOf(thing: Element): string | null {
    const called = thing.getAttribute("data-name");
    if (!this.#view || called === null) return null;
    const piece = thing.getAttribute("data-piece") ?? "";
    const known = this.#pieces.get(piece);
    if (thing.matches(".notch, .notch-guide") && this.#seams.get(called)?.at) return `seam ${called}`;
    const [, number] = /^dart(?:_(\d+))?(?:_[ab]|_drill_\d+)?$/.exec(called) ?? [];
    if (known && /^dart/.test(called) && known.darts[Number(number ?? 1) - 1]) return `dart ${number ?? 1} of ${piece}`;
    // Of a body that differs left from right the edges of a whole piece say their side.
    const name = called.replace(/\.(left|right)$/, "");
    const panel = known?.panel ?? piece;
    // An edge made by an act may be a part of one that bears a number more: `hem_2` of `hem`; a place where two meet bears both.
    const bare = name.replace(/_\d+$/, "");
    const [first = name] = name.split(" / ");
    const { names } = this.#view.drawn;
    return [`${panel}.${name}`, name, `${piece}.${name}`, `${panel}.${bare}`, bare, `${panel}.${first}`].find((one) => Object.hasOwn(names, one)) ?? null;
  }

  /** The side of the wearer on which a thing is alone. */
  sideOf(thing: Element): string | null {
    return /\.(left|right)$/.exec(thing.getAttribute("data-name") ?? "")?.[1] ?? this.pieceOf(thing)?.side ?? null;
  }

  /** The piece on which a thing lies. */
  pieceOf(thing: Element): Piece | null {
    return this.#pieces.get(thing.getAttribute("data-piece") ?? "") ?? null;
  }

  /** The sentences that drew or redrew what bears a name, in order. */
  sentencesOf(name: string): Place[] {
    const [, seam] = /^seam (.+)$/.exec(name) ?? [];
    const [, number, piece] = /^dart (\d+) of (.+)$/.exec(name) ?? [];
    const one = seam !== undefined ? this.#seams.get(seam)?.at : piece !== undefined ? this.#pieces.get(piece)?.darts[Number(number) - 1] : undefined;
    if (one) return [one];
    const { sentences, names } = this.#view?.drawn ?? { sentences: [], names: {} };
    return (Object.hasOwn(names, name) ? names[name] ?? [] : []).flatMap((at) => sentences[at] ?? []);
  }

  /** The one that drew it last. */
  sentenceOf(name: string): Place | null {
    return this.sentencesOf(name).at(-1) ?? null;
  }

  /** What the sentences drew, or redrew, that a place touches. */
  #drawnAt(place: Place): Element[] {
    const touches = ({ from, to }: Place) => from <= place.to && to >= place.from;
    const names = this.#names.filter((name) => this.sentencesOf(name).some(touches));
    const things = names.flatMap((name) => this.#things.get(name) ?? []);
    if (things.length > 0) return things;
    // A sentence that says pieces draws no line: their outlines are meant.
    const pieces = [...this.#pieces.values()].filter(({ at }) => at && touches(at)).map(({ name }) => name);
    const all = [...this.#things.values()].flat();
    return all.filter((thing) => thing.matches("path:is(.sew, .fold-edge)") && pieces.includes(thing.getAttribute("data-piece") ?? ""));
  }

  /** Lights up what the sentences at a place of the text have drawn. */
  light(line: Place): Element[] {
    return this.#show(this.#drawnAt(line));
  }

  /** A small picture of what the sentence at a place has drawn, lit on its pieces. */
  small(place: Place): SVGSVGElement | null {
    const lit = this.#drawnAt(place).filter((thing) => thing.localName === "path");
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
  if (/^(seam|dart \d+ of) /.test(name)) return name.replaceAll("_", " ").replaceAll(".", ", ");
  const parts = name.replaceAll("_", " ").split(".");
  const last = parts.pop() ?? "";
  return parts.length === 0 ? last : `${last} of ${parts.join(" ")}`;
}
