// What could move a thing, as a list below the drawing: each figure with − and +.
import { button, h, say, why } from "./dom";
import type { Desk } from "./desk";
import { spoken, type Follow } from "./follow";
import { heldWords, type Dragged, type Grasp, type Held, type Mover, type Seized } from "./grasp";
import type { Paper } from "./paper";

/** So many figures are listed. */
const MOST = 8;

export interface Ways {
  picked(): string | null;
  isTrue(): boolean;
  hold(element: Element): void;
  drag(held: Held, seized: Seized, mover: number, to: [number, number], isFine: boolean): Promise<Dragged | null>;
  write(mover: Mover, dragged: Dragged): Promise<void>;
}

export class Movers {
  /** Whose movers are listed. */
  #open: string | null = null;
  /** Answers that were overtaken are dropped. */
  #turn = 0;
  #isFine = false;
  #isRunning = false;
  readonly #panel = h("section", { id: "movers", "aria-labelledby": "movers-name", hidden: true });
  readonly #said = h("p", { role: "status" });

  constructor(readonly paper: Paper, readonly desk: Desk, readonly follow: Follow, readonly grasp: Grasp, readonly ways: Ways) {
    paper.table.parentElement?.after(this.#panel);
  }

  /** A figure is changed by it now. */
  get isAtWork(): boolean {
    return this.#isRunning;
  }

  /** Another thing was picked, or none. */
  picked(name: string | null): void {
    if (name === null || (this.#open !== null && this.#open !== name)) this.#close();
  }

  /** The drawing has been answered anew. */
  viewed(): void {
    if (this.#open !== null) void this.#list(false);
  }

  /** Lists what could move the thing that is picked. */
  ask(focus: boolean): void {
    const name = this.ways.picked();
    if (name === null || !this.desk.asked.has("hold")) return;
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
      const seized = this.grasp.seize(element, null);
      const held = await this.grasp.hold(seized, MOST);
      if (turn === this.#turn) this.#fill(seized, held, focus);
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

  #fill(seized: Seized, held: Held, focus: boolean): void {
    const before = document.activeElement instanceof HTMLElement && this.#panel.contains(document.activeElement) ? document.activeElement.dataset["key"] : undefined;
    const fine = h("input", { type: "checkbox", id: "movers-fine", "data-key": "fine", change: () => (this.#isFine = fine.checked) });
    fine.checked = this.#isFine;
    const rows = held.movers.map((mover, at) => {
      const step = (by: 1 | -1) => button(by === 1 ? "+" : "−", () => void this.#step(seized, held, at, by), {
        "data-key": `${by}/${at}`, "aria-label": `${by === 1 ? "More" : "Less"}: ${mover.written}, ${mover.of}`,
      });
      const range = mover.range ? `, ${mover.range[0]} to ${mover.range[1]} ${mover.unit}` : "";
      const where = mover.file ? `, in ${mover.file[0]}, line ${mover.file[1]}` : "";
      return h("li", {}, step(-1), step(1), h("strong", {}, mover.written), h("span", { class: "soft" }, `${mover.of}${range && !mover.of.includes(" between ") ? range : ""}${where}`));
    });
    this.#panel.replaceChildren(this.#head(seized.name),
      rows.length === 0 ? h("p", {}, `No figure of this text moves it. ${capital(heldWords(held))}`) : h("ul", {}, ...rows),
      rows.length === 0 ? "" : h("p", {}, h("label", { for: "movers-fine" }, fine, " In finer steps")),
      rows.length === 0 || held.held.length === 0 ? "" : h("p", { class: "soft" }, `Besides, ${held.held.join("; ")}.`), this.#said);
    this.#panel.hidden = false;
    const key = focus ? rows.length === 0 ? undefined : "1/0" : before;
    const next = key !== undefined ? this.#panel.querySelector<HTMLElement>(`[data-key="${key}"]`) : focus ? this.#panel.querySelector("button") : null;
    next?.focus();
  }

  /** One step more or less of a figure. */
  async #step(seized: Seized, held: Held, at: number, by: 1 | -1): Promise<void> {
    const mover = held.movers[at];
    const [right, down] = held.ways[at] ?? [0, 0];
    const { desk, ways } = this;
    if (!mover || !ways.isTrue() || this.#isRunning) return;
    const far = mover.step * by / (this.#isFine ? (mover.written.includes("/") ? 2 : 10) : 1);
    const text = desk.editor.text;
    this.#isRunning = true;
    try {
      const dragged = await ways.drag(held, seized, at, [held.x + right * far, held.y + down * far], this.#isFine);
      if (desk.editor.text !== text) return;
      if (dragged?.edit && dragged.file !== null) await ways.write(mover, dragged);
      else if (dragged?.edit) desk.editor.put([dragged.edit], false);
      say(this.#said, dragged?.stopped ?? (dragged?.edit ? `${dragged.written}, ${mover.of}` : "It goes no farther that way."));
      await desk.latest;
    } catch (fault) {
      say(this.#said, why(fault));
    } finally {
      this.#isRunning = false;
    }
  }
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
