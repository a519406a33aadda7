// A drawing as the engine writes it becomes part of the page here, and nowhere else. It is read as XML; only elements and
// attributes that a drawing has are let in, and its colours become the page's own, which change with the light.
import type { Pictured, Put } from "./engine";

const SVG = "http://www.w3.org/2000/svg";
const ELEMENTS = new Set(["svg", "g", "path", "text", "tspan", "title", "desc", "rect", "line", "circle", "polyline", "polygon"]);
const ATTRIBUTES = new Set([
  "class", "d", "x", "y", "dx", "dy", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "points", "transform", "text-anchor",
  "viewBox", "width", "height", "data-name", "data-piece", "font-family",
]);
const PROPERTIES = new Set([
  "fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray", "font-size", "font-weight",
]);
/** The inks of a drawing, and what the page calls them. */
const INKS: Record<string, string> = {
  "#1d1c1a": "ink", "#6b6964": "old", "#a8a6a0": "rule", "#5d7893": "slate", "#3f5d7a": "slate", "#a33a2a": "new",
  "#f7f5f0": "sheet", "#ffffff": "card", "#fdf1d8": "mark",
};

const known = new Map<string, string>();
const sheet = new CSSStyleSheet();

/** Takes the rules of a drawing's own style that only colour, weigh and dash. */
function style(text: string): void {
  let isNew = false;
  for (const [, name = "", body = ""] of text.matchAll(/\.([a-z][a-z0-9-]*)\{([^{}]*)\}/g)) {
    if (known.has(name)) continue;
    const declared = body.split(";").map((one) => one.split(":").map((part) => part.trim()));
    const kept = declared.filter(([property = "", value = ""]) => PROPERTIES.has(property) && /^[#\w. ]+$/.test(value));
    const rules = kept.map(([property = "", value = ""]) => `${property}:${shown(property, value)}`);
    known.set(name, `.picture .${name}{${rules.join(";")}}`);
    isNew = true;
  }
  if (isNew) sheet.replaceSync([...known.values()].join("\n"));
  if (!document.adoptedStyleSheets.includes(sheet)) document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
}

/** A line keeps so many pixels however small the drawing is shown; `--pixel` is a pixel's width on the paper. */
function shown(property: string, value: string): string {
  if (property === "stroke-width") {
    const width = Number.parseFloat(value);
    const least = width >= 0.6 ? 1.25 : width >= 0.35 ? 0.9 : 0.6;
    return `max(${width}px, calc(var(--pixel, 0px) * ${least}))`;
  }
  return INKS[value] ? `var(--${INKS[value]})` : value;
}

function clean(element: Element): void {
  for (const name of element.getAttributeNames()) {
    if (name === "id") element.setAttribute("data-layer", element.id);
    if (!ATTRIBUTES.has(name) && name !== "data-layer") element.removeAttribute(name);
  }
  let next: ChildNode | null;
  for (let child = element.firstChild; child; child = next) {
    next = child.nextSibling;
    if (child.nodeType === Node.TEXT_NODE) continue;
    if (child instanceof Element && child.namespaceURI === SVG) {
      if (ELEMENTS.has(child.localName)) {
        clean(child);
        continue;
      }
      if (child.localName === "style") style(child.textContent ?? "");
    }
    child.remove();
  }
}

/** What is written there as elements that may stand in the page; throws where the text is no drawing. */
function read(text: string): SVGElement {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = read.documentElement;
  if (read.querySelector("parsererror") || root.namespaceURI !== SVG || root.localName !== "svg") {
    throw new Error("The picture could not be read.");
  }
  clean(root);
  return document.adoptNode(root) as unknown as SVGElement;
}

function sizeOf(picture: Element): { width: number; height: number } {
  const [, , width = 1, height = 1] = (picture.getAttribute("viewBox") ?? "").split(/[ ,]+/).map(Number);
  return { width, height };
}

/** The drawing as an element of the page; throws where the text is no drawing. */
export function pictureOf(text: string): SVGSVGElement {
  const picture = read(text) as SVGSVGElement;
  picture.classList.add("picture");
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", picture.querySelector("title")?.textContent?.trim() || "The drawing");
  // As large as a hand's breadth, until somebody says how large.
  const { width, height } = sizeOf(picture);
  picture.style.setProperty("--pixel", `${Math.max(width, height) / 600}px`);
  // Its title is the label; as an element it would hang over the drawing wherever the hand rests.
  picture.querySelector("title")?.remove();
  return picture;
}

/** A line or a text of a drawing, and no frame round such. */
const isDrawn = (part: string) => part.startsWith("<path ") || part.startsWith("<text ");

/** The parts of a picture, as the engine counts them: each line, but that the letters of a text and its end are of one part with
    its beginning. */
function partsOf(text: string): string[] {
  return text.split(/\n(?=<(?!\/text))/);
}

const PLAIN = /^<(path|text)((?: [a-z][a-z0-9-]*="[^"&<]*")+)(?:\/>|>([^&<]*)<\/text>)\s*$/;

/** How an element becomes what a part says whose letters stand for themselves; `null` where that wants reading as XML. */
function plainly(element: Element | null | undefined, part: string): (() => void) | null {
  const [, name, list = "", words] = PLAIN.exec(part) ?? [];
  if (!element || element.localName !== name) return null;
  const told = [...list.matchAll(/ ([^=]+)="([^"]*)"/g)].filter(([, name = ""]) => ATTRIBUTES.has(name));
  if (told.length !== element.attributes.length || told.some(([, name = ""]) => !element.hasAttribute(name))) return null;
  return () => {
    for (const [, name = "", value = ""] of told) set(element, name, value);
    if (words !== undefined && element.textContent !== words) element.textContent = words;
  };
}

function set(element: Element, name: string, value: string): void {
  // Whatever is lit stays so.
  if (name === "class" ? !element.classList.contains(value) : element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** Makes an element what another is, and leaves alone what is the same. */
function become(element: Element, other: Element): void {
  for (const name of other.getAttributeNames()) set(element, name, other.getAttribute(name) ?? "");
  for (const name of element.getAttributeNames()) if (!other.hasAttribute(name)) element.removeAttribute(name);
  if (element.textContent !== other.textContent) element.textContent = other.textContent;
}

/** The picture of the draft, kept from answer to answer: what stays the same in it stays the same element. */
export class Drawing {
  readonly root: SVGSVGElement;
  /** How large its sheet is, in millimetres. */
  size: { width: number; height: number };
  #parts: string[];
  #elements: (Element | null)[];

  constructor(text: string, public mark: string) {
    this.root = pictureOf(text);
    this.size = sizeOf(this.root);
    this.#parts = partsOf(text);
    const drawn = [...this.root.querySelectorAll("g > path, g > text")];
    let at = 0;
    this.#elements = this.#parts.map((part) => (isDrawn(part) ? drawn[at++] ?? null : null));
    if (at !== drawn.length) this.mark = "";
  }

  /** The picture of an answer: this one, changed, where the answer is of what is put into it. `null` where that cannot be done,
      and the whole must be asked for. */
  static of(before: Drawing | null, told: Pictured): Drawing | null {
    if ("whole" in told) return new Drawing(told.whole, told.mark);
    return before !== null && before.#put(told.puts) ? Object.assign(before, { mark: told.mark }) : null;
  }

  #put(puts: Put[]): boolean {
    const [root] = puts.filter(([at]) => this.#parts[at]?.startsWith("<svg ")).map(([, , [part]]) => part);
    // The paper says which part of the sheet is seen: of the root only the sheet's size is taken.
    if (root !== undefined) this.size = sizeOf(read(`${root}</svg>`));
    puts = puts.filter(([at]) => !this.#parts[at]?.startsWith("<svg "));
    // What changes letters of its own alone is not read as XML again.
    const plain = puts.map(([from, taken, parts]) => parts.map((part, at) => (at < taken ? plainly(this.#elements[from + at], part) : null)));
    const fresh = puts.flatMap(([, , parts], put) => parts.filter((_, at) => !plain[put]?.[at]));
    const made = fresh.length === 0 ? [] : [...read(`<svg xmlns="${SVG}">${fresh.join("")}</svg>`).children];
    if (made.length !== fresh.length) return false;
    // From the end, so that places before it stay.
    for (const [put, [from, taken, parts]] of [...puts.entries()].reverse()) {
      const olds = this.#elements.slice(from, from + taken);
      if (!olds.every((old): old is Element => old !== null)) return false;
      const count = parts.filter((_, at) => !plain[put]?.[at]).length;
      const news = made.splice(made.length - count);
      const kept = parts.map((_, at) => {
        const old = olds[at];
        const change = plain[put]?.[at];
        if (old && change) {
          change();
          return old;
        }
        const element = news.shift() as Element;
        if (old?.localName !== element.localName) return element;
        become(old, element);
        return old;
      });
      if (kept.some((element, at) => element !== olds[at]) || olds.length > kept.length) {
        // The frame that follows the run, or the next of it, is where it ends.
        const layer = olds[0]?.parentElement ?? this.#layerOf(from);
        const next = this.#elements[from + taken] ?? null;
        if (!layer) return false;
        for (const old of olds) if (!kept.includes(old)) old.remove();
        for (const element of kept) layer.insertBefore(element, next);
      }
      this.#elements.splice(from, taken, ...kept);
      this.#parts.splice(from, taken, ...parts);
    }
    return true;
  }

  /** The layer in which a part stands, or would. */
  #layerOf(from: number): Element | null {
    for (let at = from - 1; at >= 0; at--) {
      const element = this.#elements[at];
      if (element) return element.parentElement;
      const [, id] = /^<g id="([^"]*)">/.exec(this.#parts[at] ?? "") ?? [];
      if (id !== undefined) return [...this.root.querySelectorAll("g")].find((layer) => layer.getAttribute("data-layer") === id) ?? null;
    }
    return null;
  }
}
