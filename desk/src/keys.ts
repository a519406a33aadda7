// The page by keyboard alone: from part to part, and the keys that it knows besides the editor's own.
import { at, dialog, focus, h } from "./dom";
import type { Form } from "./engine";

/** Where F6 goes, in turn. */
const STOPS = ["#editor .cm-content", "#messages:not([hidden]) button", "#paper", "#lists summary", "header button"];

export function watchKeys(acts: { save: () => void; print: () => void }): void {
  addEventListener("keydown", (event) => {
    const command = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey;
    if (event.key === "F6") onward(event.shiftKey ? -1 : 1);
    else if (command && event.key === "s") acts.save();
    else if (command && event.key === "p") acts.print();
    else if (command && event.key === "o") at("open").click();
    else return;
    event.preventDefault();
  });
}

function onward(by: 1 | -1): void {
  const stops = STOPS.map((stop) => [...document.querySelectorAll<HTMLElement>(stop)].find((one) => one.checkVisibility()))
    .filter((stop) => stop !== undefined);
  const parts = stops.map((stop) => stop.closest("#editor, #messages, #paper, #lists, header"));
  const here = parts.findIndex((part) => part?.contains(document.activeElement));
  const stop = stops[(here + by + stops.length) % stops.length];
  if (stop) focus(stop);
}

export function showKeys(savesItself: boolean, has: (form: Form) => boolean): void {
  const rows: [keys: string, does: string, needs?: Form][] = [
    ["F6, Shift F6", "from the text to the messages, the drawing, the lists, the head of the page, and back"],
    ["Ctrl O", "drafts: arrows or the first letters of a name, Enter opens it"],
    ["Ctrl S", savesItself ? "save the draft as a file" : "save the draft"],
    ["Ctrl P", "print the pattern"],
    ["F8", "to the next message in the text"],
    ["Ctrl Z, Ctrl Y", "undo, redo"],
    ["Ctrl F", "find in the text"],
    ["Ctrl Space", "what may follow here", "complete"],
    ["Ctrl Enter", "to where the name at the caret is drawn", "define"],
    ["Ctrl Shift Enter", "every place that names it", "mentions"],
    ["F2", "rename it", "rename"],
    ["Ctrl Shift L", "lay the text out tidily", "tidy"],
    ["Ctrl Shift [, ]", "fold a step, open it"],
    ["Tab", "leaves the text, as it leaves any field"],
    ["Arrows", "in the drawing: move the paper; with Shift farther"],
    ["+, −, 0, 1", "in the drawing: larger, smaller, all of it, true size"],
    ["N, P, Enter", "in the drawing: to the next thing drawn, the one before, and to its sentence"],
    ["W", "in the drawing: why the thing is where it is", "why"],
    ["M", "in the drawing: what could move the thing", "hold"],
    ["H", "in the drawing: take hold of the thing; again: of its handles and notches, one after another", "drag"],
    ["Arrows, Shift", "while a thing is held: the figure that moves it, step by step, in finer steps", "drag"],
    ["Tab or M, Enter, Escape", "while a thing is held: the next figure that moves it, keep it so, back where it was", "drag"],
    ["A", "in the drawing: add a point; arrows move the cross, Enter shows its sentence, Enter again puts it in", "add"],
  ];
  dialog("Keys", h("p", { class: "soft" }, "On a Mac, Cmd in place of Ctrl."), h("table", {}, h("tbody", {}, ...rows.filter(([, , needs]) => !needs || has(needs)).map(([keys, does]) =>
    h("tr", {}, h("th", { scope: "row" }, keys), h("td", {}, does))))));
}
