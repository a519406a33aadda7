// Hands on the drawing: a point, a line, a handle, a notch or a mark is taken hold of and dragged, and the one figure of the text
// that moves it changes; the same by arrow keys. Which figure moves what, and how far, the engine says; nothing is guessed here.
import { button, why } from "./dom";
import type { Desk } from "./desk";
import type { Offer, Pictured, Question, View } from "./engine";
import { spoken, type Follow } from "./follow";
import { Grasp, heldWords, type Dragged, type Held, type Mover, type Seized, type Spot } from "./grasp";
import { Movers } from "./movers";
import { STILL, type Paper } from "./paper";
import { Drawing } from "./picture";
import { Tip } from "./tip";

type Frame = Dragged & { picture: Pictured; beside: View | null };

interface Grip {
  seized: Seized;
  held: Held;
  element: Element;
  which: number;
  /** The text as it was taken hold of: what the engine's answers are of. */
  base: string;
  put: Offer | null;
  last: Dragged | null;
  /** A figure of an import, which is written when it is let go of. */
  file: string | null;
  /** By keyboard: so many steps of the figure. */
  steps: number;
}

/** A finger on the drawing. */
interface Press { id: number; element: Element; start: Spot; now: Spot; isTouch: boolean; isDown: boolean; isMoved: boolean; isTaking: boolean }

/** A finger that rests so long on a line takes hold of it, in milliseconds. */
const REST = 300;
/** Seams and checks turn so often at most, in milliseconds. */
const TURN = 250;
/** The handles of what is picked are shown after so many milliseconds. */
const SOON = 120;
/** So many figures are listed. */
const MOST = 8;
/** A thing that goes less than this share of an arrow's way goes aside: up and right are more, then. */
const ASIDE = 0.05;

export interface Ways {
  /** The name of what is picked in the drawing. */
  picked(): string | null;
  pick(name: string): void;
  /** The drawing is of the text as it stands, and whole. */
  isTrue(): boolean;
  tell(words: string): void;
  /** What stands beside the drawing, as a drag has it. */
  beside(view: View): void;
}

export class Hands {
  readonly grasp: Grasp;
  readonly tip: Tip;
  readonly #movers: Movers;
  #press: Press | null = null;
  #grip: Grip | null = null;
  #rest: ReturnType<typeof setTimeout> | undefined;
  #wanted = false;
  #isRunning = false;
  #isFine = false;
  #near: Element | null = null;
  #turned = 0;
  #later: ReturnType<typeof setTimeout> | undefined;
  /** Who is busy with the drawing besides: nothing is taken then. */
  isBusy = () => false;
  readonly #ask = button("What could move this?", () => this.#movers.ask(true), { id: "ask-movers", hidden: true });

  constructor(readonly paper: Paper, readonly desk: Desk, readonly follow: Follow, readonly ways: Ways) {
    const { table } = paper;
    this.grasp = new Grasp(paper, desk, follow);
    this.tip = new Tip(table);
    this.#movers = new Movers(paper, desk, follow, this.grasp, {
      ...ways,
      hold: (element) => void this.#holdByKey(element),
      drag: (held, seized, mover, to, isFine) => this.#asked(held, seized, mover, to, isFine, this.desk.editor.text, false),
      write: (mover, dragged) => this.#write(mover, dragged),
    });
    table.closest("section")?.querySelector(".head")?.append(this.#ask);
    // Before the paper, which would be moved.
    table.addEventListener("pointerdown", (event) => this.#down(event), true);
    table.addEventListener("pointermove", (event) => this.#move(event), true);
    table.addEventListener("pointerup", (event) => this.#up(event), true);
    table.addEventListener("pointercancel", (event) => this.#press?.id === event.pointerId && this.#back(), true);
    table.addEventListener("pointerleave", () => this.#lightNear(null));
    table.addEventListener("blur", () => this.#grip && !this.#press && this.#settle());
    addEventListener("keydown", (event) => this.#key(event), true);
    addEventListener("keyup", (event) => event.key === "Shift" && this.#fine(false), true);
  }

  /** The text is changed by hands on the drawing now: what is picked stays picked. */
  get isAtWork(): boolean {
    return this.#grip !== null || this.#isRunning || this.#movers.isAtWork;
  }

  /** Another thing was picked, or none. */
  picked(name: string | null): void {
    this.#ask.hidden = name === null || !this.desk.asked.has("hold");
    this.#movers.picked(name);
    if (!this.#grip) this.#handlesSoon(name);
  }

  /** Who goes on at once asks for none: handles are shown where the hand rests. */
  #handlesSoon(name: string | null): void {
    clearTimeout(this.#later);
    void this.grasp.handles(null);
    if (name !== null) this.#later = setTimeout(() => void this.grasp.handles(name), SOON);
  }

  /** The drawing has been answered anew. */
  viewed(): void {
    this.#lightNear(null);
    if (this.#grip) return;
    this.#movers.viewed();
    this.#handlesSoon(this.ways.picked());
  }

  /** Lists what could move the thing that is picked. */
  ask(focus: boolean): void {
    this.#movers.ask(focus);
  }

  // Taking hold.

  #down(event: PointerEvent): void {
    clearTimeout(this.#rest);
    if (this.#grip && !this.#press) this.#settle();
    if (this.#press || this.#grip || this.#isRunning) {
      // A second finger lets go: two of them enlarge the paper.
      if (this.#press && !this.#grip) this.#press = null;
      else if (this.#grip) event.stopImmediatePropagation();
      return;
    }
    if (event.button !== 0 || !event.isPrimary || this.isBusy() || !this.desk.asked.has("drag") || !this.ways.isTrue()) return;
    const isTouch = event.pointerType !== "mouse";
    const element = this.grasp.near(event.clientX, event.clientY, isTouch);
    if (!element) return;
    const spot = { x: event.clientX, y: event.clientY };
    const press: Press = { id: event.pointerId, element, start: spot, now: spot, isTouch, isDown: true, isMoved: false, isTaking: false };
    const name = this.follow.nameOf(element);
    this.#isFine = event.shiftKey;
    this.#press = press;
    const isPicked = name !== null && name === this.ways.picked();
    if (isPicked || element.matches(".handle") || (this.grasp.isPoint(element) && !isTouch)) {
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
    press.isTaking = true;
    this.#lightNear(press.element);
    try {
      const grip = await this.#gripOf(press.element, press.start, () => this.#press === press);
      if (!grip) return;
      this.#tipNow();
      if (press.isDown || press.isMoved) this.#want();
    } catch (fault) {
      if (this.#press !== press) return;
      this.tip.show("It stays", why(fault), press.now, press.isTouch);
      this.ways.tell(why(fault));
    } finally {
      press.isTaking = false;
      // Let go of before the answer came.
      if (this.#press === press && !press.isDown) this.#settle();
    }
  }

  /** Takes an element, by the nearest figure that moves it; none where nothing does, which is then said. */
  async #gripOf(element: Element, client: Spot | null, isStill: () => boolean): Promise<Grip | null> {
    const base = this.desk.editor.text;
    performance.mark("take");
    const seized = this.grasp.seize(element, client && this.grasp.onSheet(client));
    const held = await this.grasp.hold(seized, 1);
    performance.measure("taken", "take");
    if (!isStill() || this.desk.editor.text !== base) return null;
    if (held.movers.length === 0) {
      const spot = client ?? this.paper.onScreen(held);
      this.tip.show(`${spoken(seized.name)} stays`, heldWords(held), spot, this.#press?.isTouch ?? false);
      this.ways.tell(`${spoken(seized.name)} cannot be moved by hand: ${heldWords(held)}`);
      return null;
    }
    this.#grip = { seized, held, element, which: 0, base, put: null, last: null, file: null, steps: 0 };
    return this.#grip;
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
    if (!this.#grip && !this.#isTaking && !this.tip.isShown) {
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
    this.#isFine = event.shiftKey;
    if (this.#grip && press.isMoved) this.#want();
  }

  #up(event: PointerEvent): void {
    const press = this.#press;
    clearTimeout(this.#rest);
    if (!press || press.id !== event.pointerId) return;
    if (!this.#grip && !this.#isTaking && !this.tip.isShown) {
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

  /** Let go of: the text as it stands stays, as one thing to be undone. */
  #settle(): void {
    const grip = this.#grip;
    this.#end();
    if (!grip) return;
    const mover = grip.held.movers[grip.which];
    const { editor } = this.desk;
    if (grip.file !== null && grip.last?.edit && mover) {
      void this.#write(mover, grip.last).catch((fault: unknown) => this.ways.tell(why(fault)));
    } else if (grip.put && this.#isOwn(grip)) {
      editor.lay(backOf(grip.put, grip.base));
      editor.put([grip.put], false);
      this.ways.tell(`${mover ? mover.written : ""} is now ${grip.put.text.replace(/^[, ]+/, "")}. Undo puts it back.`);
    } else if (grip.put) void this.desk.refresh();
    void this.desk.latest.then(() => this.ways.pick(grip.seized.name));
  }

  /** Escape: everything as it was. */
  #back(): void {
    const grip = this.#grip;
    this.#end();
    if (!grip) return;
    if (grip.put && this.#isOwn(grip)) this.desk.editor.lay(backOf(grip.put, grip.base));
    void this.desk.refresh();
    this.ways.tell(`${spoken(grip.seized.name)} is back where it was.`);
  }

  #end(): void {
    clearTimeout(this.#rest);
    this.#press = null;
    this.#grip = null;
    this.#wanted = false;
    this.tip.hide();
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
      while (this.#wanted && this.#grip) {
        this.#wanted = false;
        performance.mark("drag");
        await this.#frame(this.#grip);
        performance.measure("drag-answered", "drag");
        await new Promise((painted) => requestAnimationFrame(painted));
        performance.measure("drag-frame", "drag");
      }
    } catch (fault) {
      this.#end();
      this.ways.tell(why(fault));
      void this.desk.refresh();
    }
    this.#isRunning = false;
    if (this.#press && !this.#press.isDown) this.#settle();
  }

  /** Where the hand would have the thing, on the sheet as it was when it was taken. */
  #aim({ held, which, steps }: Grip): [number, number] {
    const press = this.#press;
    const { scale } = this.paper;
    if (press) return [held.x + (press.now.x - press.start.x) / scale, held.y + (press.now.y - press.start.y) / scale];
    const [right, down] = held.ways[which] ?? [0, 0];
    return [held.x + right * steps, held.y + down * steps];
  }

  async #frame(grip: Grip): Promise<void> {
    const now = performance.now();
    const isTurning = now - this.#turned > TURN;
    if (isTurning) this.#turned = now;
    const dragged = await this.#asked(grip.held, grip.seized, grip.which, this.#aim(grip), this.#isFine, grip.base, isTurning);
    if (this.#grip !== grip) return;
    // Somebody has written meanwhile: their text is left alone.
    if (!this.#isOwn(grip)) {
      this.#end();
      return void this.desk.refresh();
    }
    if (!dragged) return;
    grip.last = dragged;
    grip.file = dragged.file;
    if (grip.file === null) this.#put(grip, dragged.edit);
    this.#tipNow();
    this.#draw(dragged.picture);
    if (grip.seized.sort === "start" || grip.seized.sort === "end") this.grasp.moveHandle(grip.seized.sort, dragged);
    this.follow.lightName(grip.seized.name);
    if (dragged.beside) this.ways.beside(dragged.beside);
  }

  /** The drawing as the drag has it: what changed is put into the one that is there. */
  #draw(told: Pictured): void {
    const { desk, paper, follow } = this;
    desk.drawing = Drawing.of(desk.drawing, told);
    if (!desk.drawing || !desk.view) return;
    paper.lay(desk.drawing, desk.view.unit);
    follow.learn(desk.view, paper.picture);
  }

  #put(grip: Grip, edit: Offer | null): void {
    const { editor } = this.desk;
    if (edit?.text === grip.put?.text && edit?.at.from === grip.put?.at.from) return;
    if (edit && grip.put && edit.at.from === grip.put.at.from) {
      editor.lay({ at: { from: grip.put.at.from, to: grip.put.at.from + grip.put.text.length }, text: edit.text });
    } else {
      if (grip.put) editor.lay(backOf(grip.put, grip.base));
      if (edit) editor.lay(edit);
    }
    grip.put = edit;
  }

  #isOwn({ base, put }: Grip): boolean {
    const text = put ? base.slice(0, put.at.from) + put.text + base.slice(put.at.to) : base;
    return this.desk.editor.text === text;
  }

  #asked(held: Held, { piece }: Seized, mover: number, to: [number, number], isFine: boolean, text: string, beside: boolean): Promise<Frame | null> {
    const { thing, mirrored } = held;
    const has = this.desk.drawing?.mark;
    const question: Partial<Question> = {
      thing, piece, mirrored, mover, to, fineness: isFine ? "fine" : "aswritten", text, beside, ...(has ? { has } : {}),
    };
    return this.desk.json<Frame | null>("drag", question);
  }

  /** A figure of an import is written into its file, which is not the one that is open. */
  async #write(mover: Mover, dragged: Dragged): Promise<void> {
    const { file, edit } = dragged;
    if (file === null || !edit) return;
    const { files } = this.desk.asked.engine;
    const { text, mark } = await files.read(file);
    if (text.slice(mover.at.from, mover.at.to) !== mover.written) throw new Error(`${file} was changed meanwhile: nothing is written into it.`);
    const saved = await files.write(file, text.slice(0, edit.at.from) + edit.text + text.slice(edit.at.to), mark);
    if ("clash" in saved) throw new Error(`${file} was changed meanwhile: nothing is written into it.`);
    await this.desk.refresh();
    this.ways.tell(`${file}, line ${mover.file?.[1] ?? 1}: ${mover.written} is now ${edit.text}.`);
  }

  // By keys.

  /** Takes hold of what is picked, by keyboard: again and again of its handles and notches. */
  holdNext(): void {
    const name = this.ways.picked();
    if (name === null || !this.desk.asked.has("drag") || !this.ways.isTrue()) return;
    void this.#holdByKey(this.grasp.kinds(name)[0] ?? null);
  }

  async #holdByKey(element: Element | null): Promise<void> {
    if (!element || this.#press || this.#isRunning) return;
    this.paper.table.focus();
    this.paper.bring(element);
    this.#isRunning = true;
    try {
      const grip = await this.#gripOf(element, null, () => !this.#press && !this.#grip);
      this.#lightNear(element);
      if (!grip) return;
      this.#tipNow();
      const mover = grip.held.movers[0];
      const [held] = grip.held.held;
      const besides = held === undefined ? "" : `; besides ${held}`;
      this.ways.tell(`${kindOf(element)}${spoken(grip.seized.name)}: ${mover?.written ?? ""}, ${mover?.of ?? ""}${besides}. Arrows move it, Enter keeps it, Escape puts it back.`);
    } catch (fault) {
      this.ways.tell(why(fault));
    } finally {
      this.#isRunning = false;
    }
  }

  #key(event: KeyboardEvent): void {
    const isHeld = this.#press ? this.#grip || this.#isTaking || this.tip.isShown : this.#grip;
    if (!isHeld) {
      if (!this.#press && this.tip.isShown && event.key !== "Shift") {
        this.tip.hide();
        this.#lightNear(null);
      }
      return;
    }
    if (event.key === "Shift") return this.#fine(true);
    if (event.key === "Escape") this.#back();
    else if (event.key === "Tab" || event.key.toLowerCase() === "m") void this.#other(event.shiftKey && event.key === "Tab" ? -1 : 1);
    else if (!this.#press && event.key.toLowerCase() === "h") this.#onward();
    else if (!this.#press && event.key === "Enter") this.#settle();
    else if (!this.#press && event.key.startsWith("Arrow")) this.#arrow(event.key, event.shiftKey);
    else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  /** Keeps what is held as it is, and takes the next of the same name. */
  #onward(): void {
    const grip = this.#grip;
    if (!grip) return;
    const kinds = this.grasp.kinds(grip.seized.name);
    const next = kinds[(kinds.indexOf(grip.element) + 1) % kinds.length] ?? null;
    if (grip.put) return this.ways.tell("Enter keeps what was moved, Escape puts it back; then the next is taken.");
    this.#end();
    void this.#holdByKey(next);
  }

  /** The other figures are looked for when they are asked for: that takes longer than the first. */
  async #other(by: 1 | -1): Promise<void> {
    const grip = this.#grip;
    if (!grip) return;
    if (grip.held.more) {
      try {
        const told = await this.grasp.hold({ ...grip.seized }, MOST);
        if (this.#grip !== grip) return;
        grip.held = { ...grip.held, movers: told.movers, ways: told.ways, held: told.held, more: false };
      } catch (fault) {
        return this.ways.tell(why(fault));
      }
    }
    const count = grip.held.movers.length;
    grip.which = (grip.which + by + count) % count;
    grip.steps = 0;
    grip.last = null;
    this.#tipNow();
    const mover = grip.held.movers[grip.which];
    if (!this.#press) this.ways.tell(`${mover?.written ?? ""}, ${mover?.of ?? ""}`);
    this.#want();
  }

  #arrow(key: string, isFine: boolean): void {
    const grip = this.#grip;
    const mover = grip?.held.movers[grip.which];
    if (!grip || !mover) return;
    const [right, down] = grip.held.ways[grip.which] ?? [0, 0];
    const far = Math.hypot(right, down) || 1;
    const along = { ArrowRight: right, ArrowLeft: -right, ArrowDown: down, ArrowUp: -down }[key] ?? 0;
    const isMore = key === "ArrowRight" || key === "ArrowUp";
    const by = Math.abs(along) < ASIDE * far ? (isMore ? 1 : -1) : Math.sign(along);
    this.#isFine = isFine;
    grip.steps += by * mover.step / (isFine ? (mover.written.includes("/") ? 2 : 10) : 1);
    this.#want();
    void this.#said(grip);
  }

  /** A screen reader hears the figure. */
  async #said(grip: Grip): Promise<void> {
    await new Promise((later) => setTimeout(later, TURN));
    if (this.#grip === grip && grip.last) this.ways.tell(`${grip.last.written}${grip.last.stopped === null ? "" : `, ${grip.last.stopped}`}`);
  }

  #fine(isFine: boolean): void {
    if (!this.#press || !this.#grip) return;
    this.#isFine = isFine;
    if (this.#press.isMoved) this.#want();
  }

  // What is shown at the finger.

  #tipNow(): void {
    const grip = this.#grip;
    const mover = grip?.held.movers[grip.which];
    if (!grip || !mover) return;
    const count = grip.held.movers.length;
    const more = grip.held.more ? " (Tab for other figures)" : count > 1 ? ` (${grip.which + 1} of ${count}, Tab for the next)` : "";
    const where = mover.file ? `, in ${mover.file[0]}, line ${mover.file[1]}` : "";
    // A figure from farther off is not all that it hangs on.
    const [first, ...others] = grip.held.held;
    const besides = first === undefined ? "" : `; besides ${first}${others.length > 0 ? `, and ${others.length} more` : ""}`;
    const at = this.#press?.now ?? this.paper.onScreen(grip.last ?? grip.held);
    this.tip.show(grip.last?.written ?? mover.written, `${mover.of}${where}${more}${besides}`, at, this.#press?.isTouch ?? false, grip.last?.stopped ?? null);
  }

  #look: Spot | null = null;

  #lookSoon(x: number, y: number): void {
    const waits = this.#look !== null;
    this.#look = { x, y };
    if (waits || !this.desk.asked.has("drag")) return;
    requestAnimationFrame(() => {
      const look = this.#look;
      this.#look = null;
      if (look && !this.#press && !this.#grip) this.#lightNear(this.ways.isTrue() && !this.isBusy() ? this.grasp.near(look.x, look.y, false) : null);
    });
  }

  #lightNear(element: Element | null): void {
    if (this.#near === element) return;
    this.#near?.classList.remove("near");
    element?.classList.add("near");
    this.#near = element;
    this.paper.table.toggleAttribute("data-near", element !== null);
  }
}

/** What puts letters back that were put in place of others. */
function backOf({ at, text }: Offer, base: string): Offer {
  return { at: { from: at.from, to: at.from + text.length }, text: base.slice(at.from, at.to) };
}

function kindOf(element: Element): string {
  return element.matches(".handle") ? `${element.getAttribute("data-end") === "start" ? "first" : "last"} handle of ` : element.matches(".notch") ? "notch on " : "";
}
