// Hands on the drawing: a point, a line, a notch or a mark is taken hold of and dragged, and the one figure of the text that moves
// it changes. The same by buttons, below the drawing. Which figure moves what, and how far, the engine says; nothing is guessed here.
import { button, h, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Offer, Place, Thing } from "./engine";
import { spoken, type Follow } from "./follow";
import { Lie, lieIn, middleOf, pathOf, shareOf, type Figures, type Spot } from "./lie";
import { NEAR, STILL, type Paper } from "./paper";

interface Mover {
  at: Place; written: string; of: string; is_option: boolean; unit: string; now: number; step: number;
  range: [number, number] | null; right: number; up: number;
}
interface Moves { movers: Mover[]; held: string[] }
interface Dragged { edit: Offer | null; written: string; x: number; y: number; stopped: string | null }

/** A thing of the drawing as the engine knows it, and where it is in its panel. */
interface Held { name: string; thing: Thing; spot: Spot; lie: Lie }

interface Grip extends Held {
  moves: Moves;
  which: number;
  /** The text as it was taken hold of: what the engine's answers are of. */
  base: string;
  put: Offer | null;
}

/** A finger on the drawing. */
interface Press { id: number; element: Element; start: Spot; now: Spot; isTouch: boolean; isFine: boolean; isDown: boolean; isMoved: boolean; isTaking: boolean }

/** A finger that rests so long on a line takes hold of it, in milliseconds. */
const REST = 300;

export interface Ways {
  /** The name of what is picked in the drawing. */
  picked(): string | null;
  pick(name: string): void;
  /** The drawing is of the text as it stands, and whole. */
  isTrue(): boolean;
  tell(words: string): void;
}

export class Hands {
  #press: Press | null = null;
  #grip: Grip | null = null;
  #rest: ReturnType<typeof setTimeout> | undefined;
  #wanted = false;
  #isRunning = false;
  #figures: { key: string; told: Promise<Figures> } | null = null;
  #near: Element | null = null;
  /** Whose movers are listed. */
  #open: string | null = null;
  /** Answers that were overtaken are dropped. */
  #turn = 0;
  #isFine = false;
  readonly #tip = h("div", { id: "hand", "aria-hidden": "true", hidden: true });
  readonly #panel = h("section", { id: "movers", "aria-labelledby": "movers-name", hidden: true });
  readonly #said = h("p", { role: "status" });
  readonly #ask = button("What could move this?", () => this.ask(true), { id: "ask-movers", hidden: true });

  constructor(readonly paper: Paper, readonly desk: Desk, readonly follow: Follow, readonly ways: Ways) {
    const { table } = paper;
    table.parentElement?.append(this.#tip);
    table.parentElement?.after(this.#panel);
    table.closest("section")?.querySelector(".head")?.append(this.#ask);
    // Before the paper, which would be moved.
    table.addEventListener("pointerdown", (event) => this.#down(event), true);
    table.addEventListener("pointermove", (event) => this.#move(event), true);
    table.addEventListener("pointerup", (event) => this.#up(event), true);
    table.addEventListener("pointercancel", (event) => this.#press?.id === event.pointerId && this.#back(), true);
    table.addEventListener("pointerleave", () => this.#lightNear(null));
    addEventListener("keydown", (event) => this.#key(event), true);
    addEventListener("keyup", (event) => event.key === "Shift" && this.#fine(false), true);
  }

  /** The text is changed by hands on the drawing now: what is picked stays picked. */
  get isAtWork(): boolean {
    return this.#grip !== null || this.#isRunning;
  }

  /** Another thing was picked, or none. */
  picked(name: string | null): void {
    this.#ask.hidden = name === null || !this.desk.asked.has("movers");
    if (name === null || (this.#open !== null && this.#open !== name)) this.#close();
  }

  /** The drawing has been answered anew. */
  viewed(): void {
    this.#near = null;
    if (this.#open !== null && !this.#grip) void this.#list(false);
  }

  // Taking hold.

  #thingNear(x: number, y: number, isTouch: boolean): Element | null {
    const { paper } = this;
    const far = isTouch ? NEAR.touch : NEAR.mouse;
    let best: Element | null = null;
    let least = far;
    // A point is less than a line, and lies on it: it goes first.
    for (const { element, spot } of this.#dots()) {
      const at = paper.onScreen(spot);
      const away = Math.hypot(at.x - x, at.y - y);
      if (away <= least) [best, least] = [element, away];
    }
    if (best) return best;
    const found = paper.near(x, y, far);
    return found?.matches("path:is(.sew, .fold-edge, .construction, .notch, .mark, .cut)") && found.hasAttribute("data-piece") ? found : null;
  }

  #dotsOf: { drawn: number; list: { element: Element; spot: Spot }[] } | null = null;

  #dots(): { element: Element; spot: Spot }[] {
    const { picture, drawn } = this.paper;
    if (!picture) return [];
    if (this.#dotsOf?.drawn !== drawn) {
      const dots = [...picture.querySelectorAll<SVGPathElement>("path:is(.dot, .construction-dot)[data-name][data-piece]")];
      this.#dotsOf = { drawn, list: dots.map((element) => ({ element, spot: middleOf(element) })) };
    }
    return this.#dotsOf.list;
  }

  #down(event: PointerEvent): void {
    clearTimeout(this.#rest);
    if (this.#press || this.#grip || this.#isRunning) {
      // A second finger lets go: two of them enlarge the paper.
      if (this.#press && !this.#grip) this.#press = null;
      else if (this.#grip) event.stopImmediatePropagation();
      return;
    }
    if (event.button !== 0 || !event.isPrimary || !this.desk.asked.has("drag") || !this.ways.isTrue()) return;
    const isTouch = event.pointerType !== "mouse";
    const element = this.#thingNear(event.clientX, event.clientY, isTouch);
    if (!element) return;
    const spot = { x: event.clientX, y: event.clientY };
    const press: Press = { id: event.pointerId, element, start: spot, now: spot, isTouch, isFine: event.shiftKey, isDown: true, isMoved: false, isTaking: false };
    const isPoint = element.matches(".dot, .construction-dot");
    const name = this.follow.nameOf(element);
    this.#press = press;
    if ((name !== null && name === this.ways.picked()) || (isPoint && !isTouch)) {
      event.stopImmediatePropagation();
      this.paper.table.setPointerCapture(event.pointerId);
      this.paper.leave(event.pointerId);
      void this.#take(press);
      return;
    }
    this.#rest = setTimeout(() => {
      if (this.#press !== press) return;
      this.paper.leave(press.id);
      press.isMoved = true;
      void this.#take(press);
    }, REST);
  }

  get #isTaking(): boolean {
    return this.#press?.isTaking ?? false;
  }

  async #take(press: Press): Promise<void> {
    const base = this.desk.editor.text;
    press.isTaking = true;
    this.#lightNear(press.element);
    try {
      const held = await this.#heldAt(press.element, press.start);
      const moves = await this.#movesOf(held);
      if (this.#press !== press || this.desk.editor.text !== base) return;
      if (moves.movers.length === 0) {
        this.#show(`${spoken(held.name)} stays`, heldWords(moves), press.now);
        this.ways.tell(`${spoken(held.name)} cannot be moved by hand: ${heldWords(moves)}`);
        return;
      }
      this.#grip = { ...held, moves, which: 0, base, put: null };
      this.#tipNow(null);
      if (press.isDown || press.isMoved) this.#want();
    } catch (fault) {
      if (this.#press !== press) return;
      this.#show("It stays", why(fault), press.now);
      this.ways.tell(why(fault));
    } finally {
      press.isTaking = false;
      // Let go of before the answer came.
      if (this.#press === press && !press.isDown) this.#settle();
    }
  }

  #move(event: PointerEvent): void {
    const press = this.#press;
    if (!press) {
      if (event.pointerType === "mouse" && event.buttons === 0) this.#lookSoon(event.clientX, event.clientY);
      return;
    }
    if (press.id !== event.pointerId || !press.isDown) return;
    const now = { x: event.clientX, y: event.clientY };
    const isFar = Math.hypot(now.x - press.start.x, now.y - press.start.y) >= STILL;
    if (!this.#grip && !this.#isTaking && this.#tip.hidden) {
      // The paper is moved, then.
      if (isFar) {
        clearTimeout(this.#rest);
        this.#press = null;
      }
      return;
    }
    event.stopImmediatePropagation();
    press.now = now;
    press.isMoved ||= isFar;
    press.isFine = event.shiftKey;
    if (this.#grip && press.isMoved) this.#want();
  }

  #up(event: PointerEvent): void {
    const press = this.#press;
    clearTimeout(this.#rest);
    if (!press || press.id !== event.pointerId) return;
    if (!this.#grip && !this.#isTaking && this.#tip.hidden) {
      this.#press = null;
      return;
    }
    event.stopImmediatePropagation();
    press.isDown = false;
    if (!press.isMoved) {
      // A click, then: nothing is moved, the thing is picked.
      this.#end();
      this.paper.pressed(press.element, press.isTouch);
    } else if (!this.#isTaking && !this.#isRunning) this.#settle();
  }

  /** Let go of: the text as it stands stays. */
  #settle(): void {
    const grip = this.#grip;
    this.#end();
    if (!grip) return;
    if (grip.put) {
      const mover = grip.moves.movers[grip.which];
      this.ways.tell(`${mover ? mover.written : ""} is now ${grip.put.text.trim()}. Undo puts it back.`);
    }
    void this.desk.latest.then(() => this.ways.pick(grip.name));
  }

  /** Escape: everything as it was. */
  #back(): void {
    const grip = this.#grip;
    this.#end();
    if (grip?.put && this.#isOwn(grip)) this.desk.editor.instead(null);
    if (grip) this.ways.tell(`${spoken(grip.name)} is back where it was.`);
  }

  #end(): void {
    clearTimeout(this.#rest);
    this.#press = null;
    this.#grip = null;
    this.#wanted = false;
    this.#tip.hidden = true;
    this.#lightNear(null);
  }

  // The drag.

  #want(): void {
    this.#wanted = true;
    void this.#run();
  }

  /** One question at a time; the latest place wins. */
  async #run(): Promise<void> {
    if (this.#isRunning) return;
    this.#isRunning = true;
    try {
      while (this.#wanted && this.#grip && this.#press) {
        this.#wanted = false;
        performance.mark("drag");
        await this.#frame(this.#grip, this.#press);
        await new Promise((painted) => requestAnimationFrame(painted));
        performance.measure("drag-frame", "drag");
      }
    } catch (fault) {
      this.#end();
      this.ways.tell(why(fault));
    }
    this.#isRunning = false;
    if (this.#press && !this.#press.isDown) this.#settle();
  }

  async #frame(grip: Grip, press: Press): Promise<void> {
    const { scale } = this.paper;
    const gone = grip.lie.gone({ x: (press.now.x - press.start.x) / scale, y: (press.now.y - press.start.y) / scale });
    const to: [number, number] = [grip.spot.x + gone.x, grip.spot.y + gone.y];
    const dragged = await this.#dragged(grip, grip.which, to, press.isFine, grip.base);
    if (this.#grip !== grip) return;
    // Somebody has written meanwhile: their text is left alone.
    if (!this.#isOwn(grip)) return this.#end();
    this.#put(grip, dragged?.edit ?? null);
    this.#tipNow(dragged);
    await this.desk.latest;
    if (this.#grip !== grip) return;
    this.follow.lightName(grip.name);
    if (dragged) this.#stay(grip, dragged);
  }

  /** Where a piece has grown the others are laid anew, it among them: the paper is moved back under the finger. */
  #stay(grip: Grip, at: Spot): void {
    if (!("point" in grip.thing)) return;
    const dot = this.follow.thingsOf(grip.name).find((one) => one.matches(".dot, .construction-dot"));
    if (!dot) return;
    const { lie } = grip;
    const [now, before] = [middleOf(dot as SVGGraphicsElement), lie.onSheet(at)];
    const gone = { x: now.x - before.x, y: now.y - before.y };
    if (Math.hypot(gone.x, gone.y) < 0.1) return;
    grip.lie = new Lie(lie.cos, lie.sin, lie.from, { x: lie.to.x + gone.x, y: lie.to.y + gone.y }, lie.flips);
    this.paper.pan(-gone.x * this.paper.scale, -gone.y * this.paper.scale);
  }

  #put(grip: Grip, edit: Offer | null): void {
    const { editor } = this.desk;
    if (edit?.text === grip.put?.text && edit?.at.from === grip.put?.at.from) return;
    if (grip.put) editor.instead(edit);
    else if (edit) editor.put([edit], false);
    grip.put = edit;
  }

  #isOwn({ base, put }: Grip): boolean {
    const text = put ? base.slice(0, put.at.from) + put.text + base.slice(put.at.to) : base;
    return this.desk.editor.text === text;
  }

  #key(event: KeyboardEvent): void {
    const press = this.#press;
    if (!press || !(this.#grip || this.#isTaking || !this.#tip.hidden)) return;
    if (event.key === "Shift") return this.#fine(true);
    if (event.key === "Escape") this.#back();
    else if (event.key === "Tab" || event.key.toLowerCase() === "m") {
      const grip = this.#grip;
      if (grip) {
        grip.which = (grip.which + (event.shiftKey && event.key === "Tab" ? grip.moves.movers.length - 1 : 1)) % grip.moves.movers.length;
        this.#tipNow(null);
        this.#want();
      }
    } else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  #fine(isFine: boolean): void {
    if (!this.#press || !this.#grip) return;
    this.#press.isFine = isFine;
    if (this.#press.isMoved) this.#want();
  }

  // What is shown at the finger.

  #tipNow(dragged: Dragged | null): void {
    const { moves, which } = this.#grip ?? { moves: { movers: [] }, which: 0 };
    const mover = moves.movers[which];
    if (!mover || !this.#press) return;
    const more = moves.movers.length > 1 ? ` (${which + 1} of ${moves.movers.length}, Tab for the next)` : "";
    this.#show(dragged?.written ?? mover.written, `${mover.of}${more}`, this.#press.now, dragged?.stopped ?? null);
  }

  #show(figure: string, words: string, spot: Spot, stopped: string | null = null): void {
    this.#tip.replaceChildren(h("strong", {}, figure), h("span", {}, words), stopped === null ? "" : h("span", { class: "wrong" }, stopped));
    this.#tip.hidden = false;
    const board = this.#tip.parentElement?.getBoundingClientRect();
    if (!board) return;
    const { width, height } = this.#tip.getBoundingClientRect();
    const far = this.#press?.isTouch ? 40 : 18;
    const left = spot.x - board.left + far + width > board.width ? spot.x - board.left - far - width : spot.x - board.left + far;
    const top = spot.y - board.top - far - height < 0 ? spot.y - board.top + far : spot.y - board.top - far - height;
    this.#tip.style.left = `${Math.max(4, Math.min(left, board.width - width - 4))}px`;
    this.#tip.style.top = `${Math.max(4, Math.min(top, board.height - height - 4))}px`;
  }

  #look: Spot | null = null;

  #lookSoon(x: number, y: number): void {
    const waits = this.#look !== null;
    this.#look = { x, y };
    if (waits || !this.desk.asked.has("drag")) return;
    requestAnimationFrame(() => {
      const look = this.#look;
      this.#look = null;
      if (look && !this.#press) this.#lightNear(this.ways.isTrue() ? this.#thingNear(look.x, look.y, false) : null);
    });
  }

  #lightNear(element: Element | null): void {
    if (this.#near === element) return;
    this.#near?.classList.remove("near");
    element?.classList.add("near");
    this.#near = element;
    this.paper.table.toggleAttribute("data-near", element !== null);
  }

  // What the engine says.

  #figuresNow(): Promise<Figures> {
    const { desk } = this;
    const key = JSON.stringify([desk.path, desk.editor.text, [...desk.values], desk.body?.name]);
    if (this.#figures?.key !== key) this.#figures = { key, told: desk.json<Figures>("json", { unfinished: true }) };
    return this.#figures.told;
  }

  /** What an element of the drawing is, and where the finger took it; throws where it cannot be told. */
  async #heldAt(element: Element, client: Spot | null): Promise<Held> {
    const { paper, follow } = this;
    const called = element.getAttribute("data-name") ?? "";
    const piece = element.getAttribute("data-piece") ?? "";
    const figures = await this.#figuresNow();
    const name = follow.nameOf(element);
    const lie = paper.picture && lieIn(paper.picture, figures, piece);
    if (!lie) throw new Error(`How ${spoken(piece)} lies on the sheet is not known: ${spoken(called)} cannot be taken hold of here.`);
    const middle = middleOf(element as SVGGraphicsElement);
    const spot = lie.inPanel(client ? this.#onSheet(client) : middle);
    const known = figures.pieces.find((one) => one.name === piece);
    if (element.matches(".notch")) {
      const at = nearest(known?.notches.map(({ marks: [mark] }) => mark && { x: mark.cut_x, y: mark.cut_y }) ?? [], lie.inPanel(middle));
      const mark = known?.notches[at]?.marks[0];
      if (mark) return { name: name ?? `${piece}.${called}`, thing: { notch: [piece, at] }, spot: { x: mark.x, y: mark.y }, lie };
    } else if (element.matches(".mark")) {
      const marks = (known?.marks ?? []) as { name: string; x?: number; y?: number }[];
      const at = marks.findIndex((one) => one.name === called);
      const { x, y } = marks[at] ?? {};
      if (x !== undefined && y !== undefined) return { name: name ?? called, thing: { mark: [piece, at] }, spot: { x, y }, lie };
    } else if (name !== null) {
      const value = figures.values[name];
      if (value?.x !== undefined && value.y !== undefined) return { name, thing: { point: name }, spot: { x: value.x, y: value.y }, lie };
      if (value?.path !== undefined) {
        const share = client ? shareOf(value.path, spot) : 0.5;
        const path = pathOf(value.path);
        const { x, y } = path.getPointAtLength(path.getTotalLength() * share);
        return { name, thing: { on: [name, share] }, spot: { x, y }, lie };
      }
    }
    throw new Error(`${spoken(called)} is of no sentence of this text, and is not moved here.`);
  }

  #onSheet(client: Spot): Spot {
    const zero = this.paper.onScreen({ x: 0, y: 0 });
    return { x: (client.x - zero.x) / this.paper.scale, y: (client.y - zero.y) / this.paper.scale };
  }

  async #movesOf({ thing, name }: Held): Promise<Moves> {
    const moves = await this.desk.json<Moves | null>("movers", { thing });
    if (!moves) throw new Error(`${spoken(name)} is not drawn now.`);
    return moves;
  }

  #dragged({ thing }: Held, mover: number, to: [number, number], isFine: boolean, text: string): Promise<Dragged | null> {
    return this.desk.json<Dragged | null>("drag", { thing, mover, to, fineness: isFine ? "fine" : "aswritten", text });
  }

  // The same by buttons.

  /** Lists what could move the thing that is picked. */
  ask(focus: boolean): void {
    const name = this.ways.picked();
    if (name === null || !this.desk.asked.has("movers")) return;
    this.#open = name;
    void this.#list(focus);
  }

  #close(): void {
    this.#open = null;
    this.#turn++;
    this.#panel.hidden = true;
  }

  async #list(focus: boolean): Promise<void> {
    const open = this.#open;
    const turn = ++this.#turn;
    if (open === null || !this.ways.isTrue()) return;
    try {
      const [element] = this.follow.thingsOf(open).filter((one) => one.localName === "path");
      if (!element) throw new Error(`${spoken(open)} is not drawn now.`);
      const held = await this.#heldAt(element, null);
      const moves = await this.#movesOf(held);
      if (turn === this.#turn) this.#fill(held, moves, focus);
    } catch (fault) {
      if (turn !== this.#turn) return;
      this.#panel.replaceChildren(this.#head(open), h("p", {}, why(fault)));
      this.#panel.hidden = false;
    }
  }

  #head(name: string): HTMLElement {
    return h("p", { class: "ends" }, h("strong", { id: "movers-name" }, `What could move ${spoken(name)}?`),
      button("Close", () => {
        this.#close();
        this.paper.table.focus();
      }));
  }

  #fill(held: Held, moves: Moves, focus: boolean): void {
    const before = document.activeElement instanceof HTMLElement && this.#panel.contains(document.activeElement) ? document.activeElement.dataset["key"] : undefined;
    const fine = h("input", { type: "checkbox", id: "movers-fine", "data-key": "fine", change: () => (this.#isFine = fine.checked) });
    fine.checked = this.#isFine;
    const rows = moves.movers.map((mover, at) => {
      const step = (by: 1 | -1) => button(by === 1 ? "+" : "−", () => void this.#step(held, moves, at, by), {
        "data-key": `${by}/${at}`, "aria-label": `${by === 1 ? "More" : "Less"}: ${mover.written}, ${mover.of}`,
      });
      const range = mover.range ? `, ${mover.range[0]} to ${mover.range[1]} ${mover.unit}` : "";
      return h("li", {}, step(-1), step(1), h("strong", {}, mover.written), h("span", { class: "soft" }, `${mover.of}${range && !mover.of.includes(" between ") ? range : ""}`));
    });
    this.#panel.replaceChildren(this.#head(held.name),
      rows.length === 0 ? h("p", {}, `No figure of this text moves it. ${capital(heldWords(moves))}`) : h("ul", {}, ...rows),
      rows.length === 0 ? "" : h("p", {}, h("label", { for: "movers-fine" }, fine, " In finer steps")),
      rows.length === 0 || moves.held.length === 0 ? "" : h("p", { class: "soft" }, `Besides, ${moves.held.join("; ")}.`), this.#said);
    this.#panel.hidden = false;
    const key = focus ? rows.length === 0 ? undefined : "1/0" : before;
    const next = key !== undefined ? this.#panel.querySelector<HTMLElement>(`[data-key="${key}"]`) : focus ? this.#panel.querySelector("button") : null;
    next?.focus();
  }

  /** One step more or less of a figure. */
  async #step(held: Held, moves: Moves, at: number, by: 1 | -1): Promise<void> {
    const mover = moves.movers[at];
    const { desk, ways } = this;
    if (!mover || !ways.isTrue() || this.#isRunning) return;
    const far = mover.step * by / (this.#isFine ? (mover.written.includes("/") ? 2 : 10) : 1);
    const text = desk.editor.text;
    this.#isRunning = true;
    try {
      const to: [number, number] = [held.spot.x + mover.right * far, held.spot.y + mover.up * far];
      const dragged = await this.#dragged(held, at, to, this.#isFine, text);
      if (desk.editor.text !== text) return;
      if (dragged?.edit) desk.editor.put([dragged.edit], false);
      say(this.#said, dragged?.stopped ?? (dragged?.edit ? `${dragged.written}, ${mover.of}` : "It goes no farther that way."));
      await desk.latest;
    } catch (fault) {
      say(this.#said, why(fault));
    } finally {
      this.#isRunning = false;
    }
  }
}

function heldWords({ held }: Moves): string {
  return held.length === 0 ? "no figure of this text moves it." : `${held.join("; ")}.`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function nearest(spots: (Spot | undefined)[], to: Spot): number {
  const far = spots.map((spot) => (spot ? Math.hypot(spot.x - to.x, spot.y - to.y) : Infinity));
  return far.indexOf(Math.min(...far));
}
