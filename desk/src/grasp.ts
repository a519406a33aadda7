// What lies in the drawing for a hand: which element is near a place, what it is for the engine, where the dots are. Places are
// millimetres of the sheet, counted from its top left corner to the right and down.
import type { Desk } from "./desk";
import type { Offer, Place, Sort, Thing } from "./engine";
import { spoken, type Follow } from "./follow";
import { NEAR, type Paper } from "./paper";

export interface Spot { x: number; y: number }

export interface Mover {
  at: Place; file: [path: string, line: number] | null; written: string; of: string; is_option: boolean; unit: string;
  now: number; step: number; range: [number, number] | null;
}

interface Handle { end: "start" | "end"; x: number; y: number; from_x: number; from_y: number }

/** A thing that is taken hold of: what moves it, and how far on the sheet each figure's unit does. */
export interface Held {
  thing: Thing; mirrored: boolean; x: number; y: number; handles: Handle[]; ways: [number, number][];
  movers: Mover[]; held: string[]; more: boolean;
}

export interface Dragged {
  edit: Offer | null; file: string | null; written: string; stopped: string | null; x: number; y: number;
}

/** What is taken of the drawing: how it is called there, and where it was touched. */
export interface Seized { name: string; piece: string; sort: Sort; called: string; at: Spot | null }

const DOTS = "path:is(.dot, .construction-dot)[data-name][data-piece]";
const THINGS = "path:is(.sew, .fold-edge, .fold, .construction, .notch, .mark, .drill, .cut)";

/** The middle of a dot or of a stroke, from where its path goes: nothing is laid out for it. */
export function middleOf(path: Element): Spot {
  const ends = [...(path.getAttribute("d") ?? "").matchAll(/(-?[\d.]+) (-?[\d.]+)(?= ?(?:[A-Z]|$))/g)];
  const [xs, ys] = [ends.map(([, x]) => Number(x)), ends.map(([, , y]) => Number(y))];
  const middle = (list: number[]) => (Math.min(...list) + Math.max(...list)) / 2;
  return { x: middle(xs), y: middle(ys) };
}

export class Grasp {
  #dots: { drawn: number; list: { element: Element; spot: Spot }[] } | null = null;
  /** Handles that are shown, of the curve that is picked. */
  readonly #handles = document.createElementNS("http://www.w3.org/2000/svg", "g");

  constructor(readonly paper: Paper, readonly desk: Desk, readonly follow: Follow) {
    this.#handles.setAttribute("class", "handles");
  }

  dots(): { element: Element; spot: Spot }[] {
    const { picture, drawn } = this.paper;
    if (!picture) return [];
    if (this.#dots?.drawn !== drawn) {
      this.#dots = { drawn, list: [...picture.querySelectorAll(DOTS)].map((element) => ({ element, spot: middleOf(element) })) };
    }
    return this.#dots.list;
  }

  /** The named point nearest to a place on the screen. */
  dotNear(x: number, y: number, far: number): Element | null {
    const at = this.onSheet({ x, y });
    let [best, least]: [Element | null, number] = [null, far / this.paper.scale];
    for (const { element, spot } of this.dots()) {
      const away = Math.hypot(spot.x - at.x, spot.y - at.y);
      if (away <= least) [best, least] = [element, away];
    }
    return best;
  }

  /** What a hand would take at a place on the screen; a point is less than a line and lies on it, so it goes first. */
  near(x: number, y: number, isTouch: boolean): Element | null {
    const far = isTouch ? NEAR.touch : NEAR.mouse;
    const at = this.onSheet({ x, y });
    for (const handle of this.#handles.querySelectorAll(".handle")) {
      const spot = { x: Number(handle.getAttribute("cx")), y: Number(handle.getAttribute("cy")) };
      if (Math.hypot(spot.x - at.x, spot.y - at.y) * this.paper.scale <= far) return handle;
    }
    const dot = this.dotNear(x, y, far);
    if (dot) return dot;
    const found = this.paper.near(x, y, far);
    return found?.matches(THINGS) && found.hasAttribute("data-piece") ? found : null;
  }

  /** A place of the screen on the sheet. */
  onSheet(client: Spot): Spot {
    const zero = this.paper.onScreen({ x: 0, y: 0 });
    return { x: (client.x - zero.x) / this.paper.scale, y: (client.y - zero.y) / this.paper.scale };
  }

  isPoint(element: Element): boolean {
    return element.matches(".dot, .construction-dot, .handle");
  }

  /** What an element is for the engine; throws where no sentence of this text draws it. */
  seize(element: Element, at: Spot | null): Seized {
    const piece = element.getAttribute("data-piece") ?? "";
    const label = element.getAttribute("data-name") ?? "";
    const name = this.follow.nameOf(element);
    const end = element.getAttribute("data-end");
    if (end === "start" || end === "end") return { name: label, piece, sort: end, called: label, at: null };
    if (element.matches(".notch")) return { name: name ?? `${piece}.${label}`, piece, sort: "notch", called: label, at: notchAt(element) };
    if (element.matches(".mark, .drill") && this.#isMark(element)) return { name: name ?? label, piece, sort: "mark", called: label, at };
    if (name === null) throw new Error(`${spoken(label)} is of no sentence of this text, and is not moved here.`);
    return { name, piece, sort: "named", called: name, at: element.matches(DOTS) ? null : at };
  }

  /** A mark bears the full name of what is marked; what else is drawn with its pen does not. */
  #isMark(element: Element): boolean {
    return (element.getAttribute("data-name") ?? "").includes(".");
  }

  /** What could move it: so many figures at most. */
  async hold({ piece, sort, called, at }: Seized, most: number): Promise<Held> {
    const told = await this.desk.json<Held | { said: string }>("hold", { piece, sort, called, most, ...(at ? { at: [at.x, at.y] as [number, number] } : {}) });
    if ("said" in told) throw new Error(`${told.said.charAt(0).toUpperCase()}${told.said.slice(1)}.`);
    return told;
  }

  /** Shows the handles of a curve, or none. */
  async handles(name: string | null): Promise<void> {
    const { picture } = this.paper;
    this.#handles.remove();
    this.#handles.replaceChildren();
    if (name === null || !picture || !this.desk.asked.has("hold")) return;
    const line = this.follow.thingsOf(name).find((one) => one.matches(".sew, .construction, .fold-edge, .cut"));
    if (!line) return;
    const held = await this.hold(this.seize(line, null), 0).catch(() => null);
    if (!held || this.paper.picture !== picture || this.#handles.isConnected) return;
    const made = (tag: string, attributes: Record<string, string>) => {
      const one = document.createElementNS("http://www.w3.org/2000/svg", tag);
      for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
      return one;
    };
    for (const { end, x, y, from_x, from_y } of held.handles) {
      this.#handles.append(made("line", { x1: `${from_x}`, y1: `${from_y}`, x2: `${x}`, y2: `${y}` }), made("circle", {
        class: "handle", cx: `${x}`, cy: `${y}`, "data-name": name, "data-piece": line.getAttribute("data-piece") ?? "", "data-end": end,
      }));
    }
    picture.append(this.#handles);
  }

  /** The handle follows the hand. */
  moveHandle(end: Sort, { x, y }: Spot): void {
    const handle = this.#handles.querySelector(`[data-end="${end}"]`);
    handle?.setAttribute("cx", `${x}`);
    handle?.setAttribute("cy", `${y}`);
    handle?.previousElementSibling?.setAttribute("x2", `${x}`);
    handle?.previousElementSibling?.setAttribute("y2", `${y}`);
  }

  /** All that the keyboard can take of a name, one after another: the thing, the handles of a curve, notches on it. */
  kinds(name: string): Element[] {
    const things = this.follow.thingsOf(name).filter((one) => one.localName === "path");
    const [first] = things.filter((one) => !one.matches(".notch, .notch-guide"));
    const notches = things.filter((one) => one.matches(".notch"));
    return [...first ? [first] : [], ...this.#handles.querySelectorAll(".handle"), ...notches];
  }
}

/** Where a notch is cut: its path begins on the cut edge. */
function notchAt(element: Element): Spot {
  const [, x = 0, y = 0] = /M(-?[\d.]+) (-?[\d.]+)/.exec(element.getAttribute("d") ?? "") ?? [];
  return { x: Number(x), y: Number(y) };
}

export function heldWords({ held }: { held: string[] }): string {
  return held.length === 0 ? "no figure of this text moves it." : `${held.join("; ")}.`;
}
