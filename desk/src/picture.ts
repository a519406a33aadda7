// A drawing as the engine writes it becomes part of the page here, and nowhere else. It is read as XML; only elements and
// attributes that a drawing has are let in, and its colours become the page's own, which change with the light.

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
export function style(text: string): void {
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

function read(text: string): Element {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = read.documentElement;
  if (read.querySelector("parsererror") || root.namespaceURI !== SVG || root.localName !== "svg") {
    throw new Error("The picture could not be read.");
  }
  clean(root);
  return root;
}

/** Parts of a drawing, each an element. */
export function elementsOf(parts: string[]): Element[] {
  if (parts.length === 0) return [];
  const root = read(`<svg xmlns="${SVG}">${parts.map((part) => `<g>${part}</g>`).join("")}</svg>`);
  return [...root.children].flatMap((one) => (one.firstElementChild ? [document.adoptNode(one.firstElementChild)] : []));
}

/** The drawing as an element of the page; throws where the text is no drawing. */
export function pictureOf(text: string): SVGSVGElement {
  const root = read(text);
  const picture = document.adoptNode(root) as unknown as SVGSVGElement;
  picture.classList.add("picture");
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", picture.querySelector("title")?.textContent?.trim() || "The drawing");
  // As large as a hand's breadth, until somebody says how large.
  const [, , width = 1, height = 1] = (picture.getAttribute("viewBox") ?? "").split(/[ ,]+/).map(Number);
  picture.style.setProperty("--pixel", `${Math.max(width, height) / 600}px`);
  // Its title is the label; as an element it would hang over the drawing wherever the hand rests.
  picture.querySelector("title")?.remove();
  return picture;
}
