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
    const [isRight, isLow] = [x > board.width / 2, y > board.height / 3];
    this.#box.style.left = `${Math.max(4, Math.min(board.width - 4, isRight ? x - far : x + far))}px`;
    this.#box.style.top = `${Math.max(4, Math.min(board.height - 4, isLow ? y - far : y + far))}px`;
    this.#box.style.transform = `translate(${isRight ? "-100%" : "0"}, ${isLow ? "-100%" : "0"})`;
  }
}
