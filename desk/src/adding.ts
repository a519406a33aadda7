// Adding by hand: a point set on the drawing, a line or curve between two points, a notch on an edge. The sentence and its ghost
// are shown before it is taken: Enter takes it, Escape leaves it. By mouse, finger, or arrow keys that move a cross.
import { button, h, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Offer, Question, What } from "./engine";
import { spoken, type Follow } from "./follow";
import type { Grasp, Spot } from "./grasp";
import { NEAR, type Paper } from "./paper";
import type { Tip } from "./tip";

interface Set { sentence: string; name: string; edit: Offer; x: number; y: number; path: string | null }

export interface Ways {
  picked(): string | null;
  isTrue(): boolean;
  pick(name: string): void;
  tell(words: string): void;
}

const SVG = "http://www.w3.org/2000/svg";
const KINDS: [what: What, words: string][] = [["point", "Point"], ["line", "Line"], ["curve", "Curve"], ["notch", "Notch"]];
/** An arrow moves the cross so far, in millimetres; with Shift a tenth of it. */
const STEP = 10;

/** What lies nearer than this, in millimetres, may be meant; on a small drawing a hand is not as true as that. */
const NEAR_AT_MOST = 4;

/** A point that a line begins at. */
interface Begun { piece: string; name: string }

export class Adding {
  #what: What | null = null;
  #begun: Begun | null = null;
  /** Where the hand is on the sheet, and on which piece; fixed once it has pressed. */
  #at: Spot | null = null;
  #set: { question: Partial<Question>; set: Set; text: string } | null = null;
  #isFixed = false;
  #isAsking = false;
  #isWanted = false;
  readonly #ghost = document.createElementNS(SVG, "g");
  readonly #buttons: Map<What, HTMLButtonElement>;
  readonly #said = h("code", { id: "adding-said" });
  readonly #wrong = h("p", { class: "wrong", role: "status" });
  readonly #name = h("input", { id: "adding-name", spellcheck: "false", autocomplete: "off", autocapitalize: "off", change: () => void this.#rename() });
  readonly #panel: HTMLFormElement;

  constructor(readonly paper: Paper, readonly desk: Desk, readonly follow: Follow, readonly grasp: Grasp, readonly tip: Tip, readonly ways: Ways) {
    const { table } = paper;
    this.#ghost.setAttribute("class", "ghost");
    this.#buttons = new Map(KINDS.map(([what, words]) => [what, button(words, () => this.begin(this.#what === what ? null : what), { id: `add-${what}`, "aria-pressed": "false" })]));
    const group = h("div", { id: "add", role: "group", "aria-labelledby": "add-name" }, h("span", { id: "add-name", class: "soft" }, "Add"), ...this.#buttons.values());
    table.closest("section")?.querySelector(".head")?.append(group);
    group.hidden = !desk.asked.has("add");
    this.#panel = h("form", { id: "adding", hidden: true, "aria-label": "What is added", submit: (event) => {
      event.preventDefault();
      this.#take();
    } }, h("p", {}, this.#said), h("p", { id: "adding-call" }, h("label", { for: "adding-name" }, "Called "), this.#name), this.#wrong,
      h("p", { class: "ends" }, h("button", { type: "submit", class: "first" }, "Put it in"), button("Leave it", () => this.begin(null))));
    table.parentElement?.after(this.#panel);
    table.addEventListener("pointerdown", (event) => this.#down(event), true);
    table.addEventListener("pointermove", (event) => this.#move(event), true);
    addEventListener("keydown", (event) => this.#key(event), true);
  }

  /** The drawing is this one's: nothing else is taken hold of. */
  get isAtWork(): boolean {
    return this.#what !== null;
  }

  /** The drawing has been answered anew. */
  viewed(): void {
    if (this.#what !== null && this.#set && this.#set.text !== this.desk.editor.text) this.begin(this.#what);
  }

  /** Begins to add something, or leaves it. */
  begin(what: What | null): void {
    const { table } = this.paper;
    this.#what = what;
    [this.#begun, this.#set, this.#at, this.#isFixed] = [null, null, null, false];
    this.#ghost.remove();
    this.tip.hide();
    this.#panel.hidden = true;
    say(this.#wrong, "");
    for (const [own, one] of this.#buttons) one.setAttribute("aria-pressed", String(own === what));
    table.toggleAttribute("data-adding", what !== null);
    if (what === null) return;
    this.ways.tell(what === "line" || what === "curve" ? "From which point? Escape leaves it." : "Where? Escape leaves it.");
    table.focus();
  }

  #isOfPoints(): boolean {
    return this.#what === "line" || this.#what === "curve";
  }

  #down(event: PointerEvent): void {
    if (this.#what === null || event.button !== 0 || !event.isPrimary || !this.ways.isTrue()) return;
    event.stopImmediatePropagation();
    event.preventDefault();
    this.paper.table.focus();
    const { clientX: x, clientY: y } = event;
    if (this.#isOfPoints()) return this.#end(this.grasp.dotNear(x, y, event.pointerType === "mouse" ? 2 * NEAR.mouse : NEAR.touch));
    this.#at = this.grasp.onSheet({ x, y });
    this.#isFixed = true;
    this.#want();
  }

  #move(event: PointerEvent): void {
    if (this.#what === null || this.#isFixed || event.buttons !== 0 || !this.ways.isTrue()) return;
    event.stopImmediatePropagation();
    const { clientX: x, clientY: y } = event;
    if (this.#isOfPoints()) {
      const dot = this.grasp.dotNear(x, y, 2 * NEAR.mouse);
      const name = dot && this.follow.nameOf(dot);
      if (name) this.tip.show(spoken(name), this.#begun ? "to here" : "from here", { x, y }, false);
      else this.tip.hide();
      return;
    }
    this.#at = this.grasp.onSheet({ x, y });
    this.#want();
  }

  /** An end of a line. */
  #end(dot: Element | null): void {
    const name = dot && this.follow.nameOf(dot);
    const piece = dot?.getAttribute("data-piece") ?? "";
    if (!name) return this.ways.tell("A line goes from a named point to another: add the point first.");
    if (!this.#begun) {
      this.#begun = { piece, name };
      this.follow.lightName(name);
      return this.ways.tell(`From ${spoken(name)}. To which point?`);
    }
    this.#isFixed = true;
    const { piece: first, name: from } = this.#begun;
    void this.#ask({ what: this.#what ?? "line", piece: first, ends: [from, name] });
  }

  /** The piece at a place of the sheet: the one whose cloth lies there, else that of the nearest point. */
  #pieceAt(at: Spot): string | null {
    const { x, y } = this.paper.onScreen(at);
    const under = document.elementsFromPoint(x, y).find((one) => one.matches(".picture [data-layer='pieces'] path"));
    const named = under?.getAttribute("data-piece");
    if (named) return named;
    const [nearest] = this.grasp.dots().map(({ element, spot }) => ({ element, away: Math.hypot(spot.x - at.x, spot.y - at.y) })).sort((a, b) => a.away - b.away);
    return nearest?.element.getAttribute("data-piece") ?? null;
  }

  #want(): void {
    this.#isWanted = true;
    void this.#run();
  }

  async #run(): Promise<void> {
    if (this.#isAsking) return;
    this.#isAsking = true;
    while (this.#isWanted && this.#what !== null && this.#at) {
      this.#isWanted = false;
      const piece = this.#pieceAt(this.#at);
      if (piece === null) break;
      await this.#ask({ what: this.#what, piece, at: [this.#at.x, this.#at.y], near: Math.min(NEAR_AT_MOST, NEAR.mouse / this.paper.scale) });
    }
    this.#isAsking = false;
  }

  async #ask(question: Partial<Question>): Promise<void> {
    const { desk, paper } = this;
    const text = desk.editor.text;
    try {
      const told = await desk.json<Set | { said: string }>("add", question);
      if (this.#what !== question.what || desk.editor.text !== text) return;
      if ("said" in told) throw new Error(`${told.said.charAt(0).toUpperCase()}${told.said.slice(1)}.`);
      this.#set = { question, set: told, text };
      this.#draw(told);
      say(this.#wrong, "");
      if (this.#isFixed) return this.#offer(told);
      this.tip.show(told.name || "notch", told.sentence, paper.onScreen(told), false);
    } catch (fault) {
      if (this.#what !== question.what) return;
      if (!this.#panel.hidden) return say(this.#wrong, why(fault));
      this.#set = null;
      this.#ghost.remove();
      const at = question.at as [number, number] | undefined;
      if (this.#isFixed || !at) {
        this.ways.tell(why(fault));
        [this.#isFixed, this.#begun] = [false, null];
      }
      if (at) this.tip.show("Not here", why(fault), paper.onScreen({ x: at[0], y: at[1] }), false);
    }
  }

  /** What it would be, on the drawing. */
  #draw({ x, y, path }: Set): void {
    const made = document.createElementNS(SVG, path === null ? "circle" : "path");
    if (path === null) {
      made.setAttribute("cx", `${x}`);
      made.setAttribute("cy", `${y}`);
    } else made.setAttribute("d", path);
    this.#ghost.replaceChildren(made);
    if (this.#ghost.parentNode !== this.paper.picture) this.paper.picture?.append(this.#ghost);
  }

  /** The sentence is read before it is taken. */
  #offer({ sentence, name }: Set): void {
    this.tip.hide();
    say(this.#said, sentence);
    this.#name.value = name;
    const call = this.#name.closest("p");
    if (call) call.hidden = name === "";
    this.#panel.hidden = false;
    if (!this.#panel.contains(document.activeElement)) (name === "" ? this.#panel.querySelector("button") : this.#name)?.focus();
    this.#name.select();
    this.ways.tell(`${sentence}. Enter puts it in, Escape leaves it.`);
  }

  async #rename(): Promise<void> {
    const called = this.#name.value.trim();
    if (this.#set && called !== "" && called !== this.#set.set.name) await this.#ask({ ...this.#set.question, called });
  }

  #take(): void {
    const called = this.#name.value.trim();
    const { desk, ways } = this;
    if (!this.#set) return;
    if (this.#set.set.name !== "" && called !== this.#set.set.name) {
      return void this.#rename().then(() => this.#set?.set.name === called && this.#take());
    }
    const { set, text } = this.#set;
    if (desk.editor.text !== text) return this.begin(null);
    this.begin(null);
    desk.editor.put([set.edit]);
    this.paper.table.focus();
    ways.tell(`${set.sentence}. Undo takes it out again.`);
    void desk.latest.then(() => {
      const name = desk.view && Object.keys(desk.view.drawn.names).find((one) => one === set.name || one.endsWith(`.${set.name}`));
      if (name) ways.pick(name);
    });
  }

  #key(event: KeyboardEvent): void {
    if (this.#what === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const inPanel = event.target instanceof Node && this.#panel.contains(event.target);
    if (event.key === "Escape" && (inPanel || event.target === this.paper.table)) {
      this.begin(null);
      this.paper.table.focus();
    } else if (inPanel || event.target !== this.paper.table) return;
    else if (event.key === "Enter") this.#enter();
    else if (event.key.startsWith("Arrow") && !this.#isOfPoints()) this.#cross(event.key, event.shiftKey);
    else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  #enter(): void {
    if (this.#isOfPoints()) {
      const name = this.ways.picked();
      return this.#end(name === null ? null : this.follow.thingsOf(name).find((one) => one.matches(".dot, .construction-dot")) ?? null);
    }
    if (!this.#at) return this.#cross("", false);
    this.#isFixed = true;
    this.#want();
  }

  /** A cross begins at what is picked, or in the middle of what is seen. */
  #cross(key: string, isFine: boolean): void {
    const far = isFine ? STEP / 10 : STEP;
    const [right, down] = { ArrowRight: [far, 0], ArrowLeft: [-far, 0], ArrowDown: [0, far], ArrowUp: [0, -far] }[key] ?? [0, 0];
    if (!this.#at) {
      const box = this.paper.table.getBoundingClientRect();
      const name = this.ways.picked();
      const dot = name === null ? undefined : this.grasp.dots().find(({ element }) => this.follow.nameOf(element) === name);
      this.#at = dot?.spot ?? this.grasp.onSheet({ x: box.x + box.width / 2, y: box.y + box.height / 2 });
    }
    this.#at = { x: this.#at.x + (right ?? 0), y: this.#at.y + (down ?? 0) };
    this.#want();
  }
}
