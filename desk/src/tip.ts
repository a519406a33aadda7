// Words beside the hand, on the drawing.
import { h } from "./dom";
import type { Spot } from "./grasp";

export class Tip {
  readonly #box = h("div", { id: "hand", "aria-hidden": "true", hidden: true });
  #board: DOMRect | null = null;

  constructor(readonly table: HTMLElement) {
    table.parentElement?.append(this.#box);
  }

  get isShown(): boolean {
    return !this.#box.hidden;
  }

  hide(): void {
    this.#box.hidden = true;
    this.#board = null;
  }

  /** At a place of the screen; on the side of it where there is more room, so that nothing needs to be measured. */
  show(figure: string, words: string, at: Spot, isTouch: boolean, stopped: string | null = null): void {
    this.#box.replaceChildren(h("strong", {}, figure), h("span", {}, words), stopped === null ? "" : h("span", { class: "wrong" }, stopped));
    this.#box.hidden = false;
    const board = (this.#board ??= this.table.parentElement?.getBoundingClientRect() ?? new DOMRect());
    const far = isTouch ? 40 : 18;
    const [x, y] = [at.x - board.left, at.y - board.top];
    // Held by the edge that is nearer to the hand: as wide as its words are, as far as there is room.
    const [isRight, isLow] = [x > board.width / 2, y > board.height / 3];
    const edge = (isFar: boolean, place: number, size: number) => `${Math.max(4, (isFar ? size - place : place) + far)}px`;
    const { style } = this.#box;
    [style.left, style.right] = isRight ? ["auto", edge(true, x, board.width)] : [edge(false, x, board.width), "auto"];
    [style.top, style.bottom] = isLow ? ["auto", edge(true, y, board.height)] : [edge(false, y, board.height), "auto"];
  }
}
