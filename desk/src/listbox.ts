// One of many by the keyboard: arrows, the ends, and the first letters of a name; Enter takes it. Tab goes past the whole list.
import { h } from "./dom";

/** Letters typed within so many milliseconds of each other are one word. */
const PAUSE = 800;

export function listbox(words: string, names: string[], now: string, take: (name: string) => void): HTMLUListElement {
  const options = names.map((name) => h("li", { role: "option", tabindex: -1, "aria-selected": String(name === now), click: () => take(name) }, name));
  let at = Math.max(0, names.indexOf(now));
  const settle = (next: number) => {
    const option = options[next];
    if (!option) return;
    options[at]?.setAttribute("tabindex", "-1");
    at = next;
    option.tabIndex = 0;
    option.focus();
  };
  let typed = "";
  let last = -Infinity;
  const seek = (letter: string, when: number) => {
    typed = when - last > PAUSE ? letter : typed + letter;
    last = when;
    // One letter goes on to the next such name, more letters stay where they fit.
    const start = typed.length === 1 ? at + 1 : at;
    const found = names.map((_, step) => (start + step) % names.length).find((one) => names[one]?.toLowerCase().startsWith(typed));
    if (found !== undefined) settle(found);
  };
  const list = h("ul", { role: "listbox", "aria-label": words, class: "drafts", keydown: (event) => {
    if (!(event instanceof KeyboardEvent) || event.ctrlKey || event.metaKey || event.altKey) return;
    const name = names[at];
    const ways: Record<string, () => void> = {
      ArrowDown: () => settle(at + 1), ArrowUp: () => settle(at - 1), Home: () => settle(0), End: () => settle(names.length - 1),
      Enter: () => name !== undefined && take(name),
    };
    const way = ways[event.key];
    if (way) {
      last = -Infinity;
      way();
    }
    else if (event.key.length === 1) seek(event.key.toLowerCase(), event.timeStamp);
    else return;
    event.preventDefault();
  } }, ...options);
  options[at]?.setAttribute("tabindex", "0");
  return list;
}
