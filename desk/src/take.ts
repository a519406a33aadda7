// The pattern on paper and as files: pages to print, and every other form that the engine writes.
import { button, dialog, h, handOver, prose, say, why } from "./dom";
import type { Desk } from "./desk";
import { Refused, type Fault, type Form } from "./engine";

const SHEETS: [sheet: string, words: string][] = [
  ["a4", "A4, in tiles to join"], ["letter", "Letter, in tiles to join"], ["a3", "A3, in tiles to join"],
  ["tabloid", "Tabloid, in tiles to join"], ["a0", "A0"], ["roll:914mm", "A roll 914 mm wide"], ["fit", "One sheet as large as the drawing"],
];

const FORMS: [form: Form, type: string, words: string][] = [
  ["svg", "image/svg+xml", "drawing at true size, for a screen"],
  ["pdf", "application/pdf", "one sheet as large as the drawing"],
  ["dxf", "application/dxf", "for a cutting room"],
  ["json", "application/json", "all its figures, for other tools"],
  ["txt", "text/plain;charset=utf-8", "what is cut, in words"],
  ["csv", "text/csv;charset=utf-8", "what is cut, as a table"],
  ["png", "image/png", "preview"],
  ["lesson", "text/html;charset=utf-8", "illustrated lesson, a section a step"],
];

const UNFINISHED = "Something in the draft cannot be drawn. What is there can be had all the same, marked as unfinished; do not cut from it.";

function unfinished(desk: Desk): { field: HTMLInputElement; row: HTMLElement | null } {
  const field = h("input", { type: "checkbox", id: "as-unfinished" });
  const lacks = desk.view?.unfinished;
  const row = lacks ? h("p", {}, UNFINISHED, " ", h("label", { for: "as-unfinished" }, field, " Unfinished as it is")) : null;
  return { field, row };
}

/** Says why nothing was made: each fault with its line, which leads to it. */
function refused(desk: Desk, said: HTMLElement, fault: unknown, leave: () => void): void {
  const faults = fault instanceof Refused ? fault.faults : [];
  if (faults.length === 0) return said.replaceChildren(...prose(why(fault)));
  const place = ({ file, line }: Fault) => {
    if (line === null) return null;
    if (file !== desk.path) return `${file ?? ""}, line ${line}: `;
    return h("a", { href: "#text", click: (event) => {
      event.preventDefault();
      leave();
      const { doc } = desk.editor.view.state;
      const { from, to } = doc.line(Math.min(line, doc.lines));
      desk.editor.select({ from, to }, true);
    } }, `Line ${line}`);
  };
  said.replaceChildren(h("p", { class: "wrong" }, "Nothing is made while something cannot be drawn:"),
    h("ul", { class: "notes" }, ...faults.map((one) => h("li", {}, place(one), " ", ...prose(one.text)))));
}

function stem(path: string): string {
  return (path.split("/").pop() ?? path).replace(/\.draft$/, "");
}

/** Pages to print, opened where the browser shows them. */
export function print(desk: Desk): void {
  const sheet = h("select", { id: "sheet" }, ...SHEETS.map(([value, words]) => h("option", { value }, words)));
  sheet.value = localStorage.getItem("oaktag-sheet") ?? "a4";
  const { field, row } = unfinished(desk);
  const said = h("div", { role: "status" });
  const make = async () => {
    say(said, "Laying out the pages…");
    try {
      localStorage.setItem("oaktag-sheet", sheet.value);
      const bytes = await desk.bytes("pdf", { sheet: sheet.value, unfinished: field.checked });
      const address = URL.createObjectURL(new Blob([bytes as BlobPart], { type: "application/pdf" }));
      setTimeout(() => URL.revokeObjectURL(address), 600_000);
      const opened = window.open(address);
      said.replaceChildren(opened ? "The pages are open in another window. " : "The browser keeps other windows shut. ",
        h("a", { href: address, target: "_blank" }, "Open the pages"), ", or ",
        h("a", { href: address, download: `${stem(desk.path)}.pdf` }, "keep them as a file"), ".");
    } catch (fault) {
      refused(desk, said, fault, () => box.close());
    }
  };
  const { box } = dialog("Print", h("p", {}, h("label", { for: "sheet" }, "On "), sheet), row,
    h("p", {}, "Print the first page alone, at 100 %, and lay a ruler on the square: it is 100 mm wide. Then print the rest."),
    h("p", { class: "ends" }, button("Make the pages", () => void make(), { class: "first" })), said);
}

/** Every form as a file. */
export function take(desk: Desk, draft: () => void): void {
  const { field, row } = unfinished(desk);
  const said = h("div", { role: "status" });
  const make = async (form: Form, type: string) => {
    say(said, `Writing the .${form}…`);
    try {
      const bytes = await desk.bytes(form, { unfinished: field.checked, ...(form === "pdf" ? { sheet: "fit" } : {}) });
      handOver(`${stem(desk.path)}.${form === "lesson" ? "html" : form}`, bytes as BlobPart, type);
      say(said, "Done.");
    } catch (fault) {
      refused(desk, said, fault, () => box.close());
    }
  };
  const rows = FORMS.filter(([form]) => desk.asked.has(form)).map(([form, type, words]) =>
    h("li", {}, button(form === "lesson" ? ".html" : `.${form}`, () => void make(form, type)), ` ${words}`));
  const { box } = dialog("Take as a file", row,
    h("ul", { class: "forms" }, h("li", {}, button(".draft", draft), " the text itself"), ...rows), said);
}
