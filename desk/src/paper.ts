// The paper with the drawing on it: moved, enlarged and measured. Places on the paper are millimetres from its top left corner.
import type { Drawing } from "./picture";
import { Rulers } from "./rulers";

const PER_MM = 96 / 25.4;
const SMALLEST = 0.05;
const LARGEST = 40;
/** A press that moves less than this, in pixels, is a click. */
export const STILL = 5;
/** How far from a line a click may fall: of a mouse, of a finger. */
export const NEAR = { mouse: 7, touch: 18 };
const MARGIN = 8;

export class Paper {
  readonly #rulers: Rulers;
  #picture: SVGSVGElement | null = null;
  /** How often the picture has changed: its elements stay the same while they move. */
  drawn = 0;
  #size = { width: 1, height: 1 };
  /** How much of the table is seen, in pixels. */
  #seen = { width: 0, height: 0 };
  /** What stands in the top left corner, and pixels a millimetre. */
  #x = 0;
  #y = 0;
  #scale = 1;
  /** The drawing stays fitted until a hand has moved it. */
  #fitted = true;
  readonly #held = new Map<number, { x: number; y: number }>();
  #moved = false;

  constructor(
    readonly table: HTMLElement,
    top: HTMLCanvasElement,
    side: HTMLCanvasElement,
    readonly pressed: (element: Element | null, isTouch: boolean) => void,
  ) {
    this.#rulers = new Rulers(top, side);
    new ResizeObserver(([entry]) => {
      // Kept, since to measure it anew would lay out a new drawing twice.
      this.#seen = { width: entry?.contentRect.width ?? 0, height: entry?.contentRect.height ?? 0 };
      if (this.#fitted) this.fit();
      else this.#lay();
    }).observe(table);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.#lay());
    table.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
    table.addEventListener("pointerdown", (event) => this.#down(event));
    table.addEventListener("pointermove", (event) => this.#move(event));
    table.addEventListener("pointerup", (event) => this.#up(event));
    table.addEventListener("pointercancel", (event) => this.#held.delete(event.pointerId));
    table.addEventListener("pointerleave", () => this.#rulers.point(null));
    table.addEventListener("keydown", (event) => this.#key(event));
  }

  /** Puts a picture in place of the one before, where that one lay, or takes note that it has changed. */
  lay({ root, size }: Drawing, unit: string): void {
    this.drawn++;
    this.#rulers.unit = unit;
    const before = this.#picture;
    const isLarger = size.width !== this.#size.width || size.height !== this.#size.height;
    if (before === root && !isLarger) return;
    this.#size = size;
    this.#picture = root;
    if (before !== root) {
      root.setAttribute("width", "100%");
      root.setAttribute("height", "100%");
    }
    if (this.#fitted) this.fit();
    else this.#lay();
    if (before === root) return;
    if (before) before.replaceWith(root);
    else this.table.append(root);
  }

  get picture(): SVGSVGElement | null {
    return this.#picture;
  }

  /** Pixels a millimetre. */
  get scale(): number {
    return this.#scale;
  }

  /** Where a place of the sheet is on the screen. */
  onScreen({ x, y }: { x: number; y: number }): { x: number; y: number } {
    const { left, top } = this.table.getBoundingClientRect();
    return { x: left + (x - this.#x) * this.#scale, y: top + (y - this.#y) * this.#scale };
  }

  /** Lets go of a finger that another takes over, and stays where it lies. */
  leave(id: number): void {
    this.#held.delete(id);
    this.#fitted = false;
  }

  clear(): void {
    this.drawn++;
    this.#picture?.remove();
    this.#picture = null;
  }

  fit(): void {
    const { width, height } = this.#seen;
    if (width === 0 || height === 0) return;
    const scale = Math.min((width - 2 * MARGIN) / this.#size.width, (height - 2 * MARGIN) / this.#size.height);
    this.#scale = Math.max(SMALLEST, scale);
    this.#x = (this.#size.width - width / this.#scale) / 2;
    this.#y = (this.#size.height - height / this.#scale) / 2;
    this.#fitted = true;
    this.#lay();
  }

  /** Enlarges by a factor about a point of the table, else about its middle. */
  zoom(by: number, about?: { x: number; y: number }): void {
    const { width, height } = this.#seen;
    const { x, y } = about ?? { x: width / 2, y: height / 2 };
    const scale = Math.min(LARGEST, Math.max(SMALLEST, this.#scale * by));
    this.#x += x / this.#scale - x / scale;
    this.#y += y / this.#scale - y / scale;
    this.#scale = scale;
    this.#fitted = false;
    this.#lay();
  }

  trueSize(): void {
    this.zoom(PER_MM / this.#scale);
  }

  pan(x: number, y: number): void {
    this.#x -= x / this.#scale;
    this.#y -= y / this.#scale;
    this.#fitted = false;
    this.#lay();
  }

  /** Moves the paper so far that an element can be seen. */
  bring(element: Element): void {
    const seen = this.table.getBoundingClientRect();
    const box = element.getBoundingClientRect();
    if (box.right < seen.left || box.left > seen.right || box.bottom < seen.top || box.top > seen.bottom) {
      this.pan((seen.left + seen.right - box.left - box.right) / 2, (seen.top + seen.bottom - box.top - box.bottom) / 2);
    }
  }

  #lay(): void {
    const { width, height } = this.#seen;
    if (width === 0 || height === 0) return;
    const box = [this.#x, this.#y, width / this.#scale, height / this.#scale];
    this.#picture?.setAttribute("viewBox", box.map((figure) => figure.toFixed(3)).join(" "));
    this.#picture?.style.setProperty("--pixel", `${1 / this.#scale}px`);
    this.#rulers.lay({ x: this.#x, y: this.#y, scale: this.#scale });
  }

  #here(event: MouseEvent): { x: number; y: number } {
    const { left, top } = this.table.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  }

  #wheel(event: WheelEvent): void {
    event.preventDefault();
    if (event.shiftKey) return this.pan(-event.deltaX - event.deltaY, 0);
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 20 : 1;
    const by = Math.exp(-Math.max(-120, Math.min(120, event.deltaY * lines)) * (event.ctrlKey ? 0.008 : 0.003));
    this.zoom(by, this.#here(event));
  }

  #down(event: PointerEvent): void {
    if (event.button !== 0) return;
    if (this.#held.size === 0) this.#moved = false;
    this.#held.set(event.pointerId, this.#here(event));
    this.table.setPointerCapture(event.pointerId);
  }

  #move(event: PointerEvent): void {
    const now = this.#here(event);
    this.#rulers.point(now);
    const before = this.#held.get(event.pointerId);
    if (!before) return;
    if (!this.#moved && Math.hypot(now.x - before.x, now.y - before.y) < STILL) return;
    this.#moved = true;
    const [other] = [...this.#held].filter(([id]) => id !== event.pointerId).map(([, place]) => place);
    this.#held.set(event.pointerId, now);
    if (!other) return this.pan(now.x - before.x, now.y - before.y);
    const apart = (place: { x: number; y: number }) => Math.max(1, Math.hypot(place.x - other.x, place.y - other.y));
    this.zoom(apart(now) / apart(before), { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 });
    this.pan((now.x - before.x) / 2, (now.y - before.y) / 2);
  }

  #up(event: PointerEvent): void {
    if (!this.#held.delete(event.pointerId) || this.#moved) return;
    const isTouch = event.pointerType !== "mouse";
    this.pressed(this.near(event.clientX, event.clientY, isTouch ? NEAR.touch : NEAR.mouse), isTouch);
  }

  /** The named thing nearest to a place on the screen: looked for in rings, since a line is thinner than a finger. */
  near(x: number, y: number, far: number): Element | null {
    const drawn = (found: Element) => (this.table.contains(found) ? found.closest("[data-name]") : null);
    for (let ring = 0; ring <= far; ring += 2) {
      const points = Math.max(1, ring * 4);
      for (let point = 0; point < points; point++) {
        const turn = (2 * Math.PI * point) / points;
        const found = document.elementsFromPoint(x + ring * Math.cos(turn), y + ring * Math.sin(turn));
        const named = found.map(drawn).find((one) => one !== null);
        if (named) return named;
      }
    }
    return null;
  }

  #key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target !== this.table) return;
    const far = event.shiftKey ? 200 : 40;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => this.pan(far, 0), ArrowRight: () => this.pan(-far, 0),
      ArrowUp: () => this.pan(0, far), ArrowDown: () => this.pan(0, -far),
      "+": () => this.zoom(1.25), "=": () => this.zoom(1.25), "-": () => this.zoom(0.8),
      "0": () => this.fit(), "1": () => this.trueSize(),
    };
    const act = acts[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  }
}
