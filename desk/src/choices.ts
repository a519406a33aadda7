// What can be chosen beside the text, in the draft's own words: a figure within its range, or one of some words.
import { button, h } from "./dom";
import type { Choice, Offer } from "./engine";
import type { Desk } from "./desk";

interface Row { row: HTMLElement; set(choice: Choice): void }
const SIDES = ["left", "right"] as const;
type Figure = { least: number; most: number; now: number; step: number; unit: string };

export class Choices {
  #rows = new Map<string, Row>();
  #shape = "";
  /** Measures whose left and right are shown apart, though they are the same as yet. */
  readonly #apart = new Set<string>();

  constructor(readonly place: HTMLElement, readonly desk: Desk) {}

  show(choices: Choice[]): void {
    const shape = JSON.stringify(choices.map(({ name, may, of_body, sides }) => [name, kindOf(may), of_body, sides !== null || this.#apart.has(name)]));
    if (shape !== this.#shape) {
      this.#shape = shape;
      this.#build(choices);
    }
    for (const choice of choices) this.#rows.get(choice.name)?.set(choice);
  }

  #build(choices: Choice[]): void {
    this.#rows = new Map(choices.map((choice) => [choice.name, this.#row(choice)]));
    const known = [...this.place.querySelectorAll("details")].map((one) => [one.querySelector("summary")?.textContent ?? "", one.open] as const);
    const isOpen = new Map(known);
    const part = (heading: string, list: Choice[], open: boolean) => {
      if (list.length === 0) return null;
      const rows = list.map(({ name }) => this.#rows.get(name)?.row);
      if (open) return h("div", {}, h("h3", {}, heading), ...rows);
      return h("details", { open: isOpen.get(heading) ?? false }, h("summary", {}, heading), ...rows);
    };
    const moves = (choice: Choice) => !("not" in choice.may);
    const measures = choices.filter((one) => one.of_body && moves(one));
    this.place.replaceChildren(...[
      part("Choices", choices.filter((one) => !one.of_body && moves(one)), true),
      part("Measures of the body", measures, measures.length === choices.filter(moves).length),
      part("Not to be moved here", choices.filter((one) => !moves(one)), false),
    ].filter((one) => one !== null));
    if (choices.length === 0) this.place.append(h("p", { class: "soft" }, "This draft has no measures and no choices."));
  }

  #row(choice: Choice): Row {
    const { may, name } = choice;
    if ("not" in may) {
      const value = h("output", {}, choice.value);
      const reason = h("span", { class: "soft" }, may.not);
      const row = h("p", { class: "fixed" }, h("span", {}, spokenName(name)), value, reason);
      return { row, set: (now) => { value.textContent = now.value; reason.textContent = "not" in now.may ? now.may.not : ""; } };
    }
    const id = `choice-${name}`;
    const label = h("label", { for: id }, spokenName(name));
    const told = h("span", { class: "soft", id: `${id}-text` }, choice.text);
    const back = button("As written", () => this.#asWritten(name), { "aria-label": `${spokenName(name)}: as written` });
    const write = button("Write it in", () => this.#write(name), { "aria-label": `Write ${spokenName(name)} into the draft` });
    const ends = h("span", { class: "row-ends" }, back, write);
    // A side of the wearer can have a figure of its own, and nothing else.
    const isApart = choice.sides !== null || this.#apart.has(name);
    const held = "words" in may ? [this.#words(name, may.words)]
      : isApart ? SIDES.map((side) => this.#figure(name, may.figure, side)) : [this.#figure(name, may.figure, null)];
    const apart = "figure" in may && !isApart && choice.of_body
      ? button("Left and right apart", () => this.#part(name), { class: "apart", "aria-label": `${spokenName(name)}: left and right apart` }) : null;
    const row = h("div", { class: "choice" }, label, told, ...held.flatMap(({ parts }) => parts), apart, ends);
    return {
      row,
      set: (now) => {
        told.textContent = now.text;
        held.forEach((one) => one.set(now));
        const isLaid = [name, ...SIDES.map((side) => `${name}.${side}`)].some((one) => this.desk.values.has(one));
        row.classList.toggle("laid", isLaid);
        ends.hidden = !isLaid && !this.#apart.has(name);
        // A draft's own body is even.
        write.hidden = now.at === null || !this.desk.values.has(name);
      },
    };
  }

  /** Shows a measure for each side of the wearer. */
  #part(name: string): void {
    this.#apart.add(name);
    this.show(this.desk.view?.choices ?? []);
    this.place.querySelector<HTMLElement>(`[id="choice-${name}.left"]`)?.focus();
  }

  #asWritten(name: string): void {
    this.#apart.delete(name);
    for (const side of SIDES) this.desk.values.delete(`${name}.${side}`);
    this.desk.lay(name, null);
  }

  #words(name: string, words: string[]) {
    const select = h("select", { id: `choice-${name}`, "aria-describedby": `choice-${name}-text` });
    select.addEventListener("change", () => this.desk.lay(name, select.value));
    return {
      parts: [select],
      set: ({ typed, may }: Choice) => {
        const now = "words" in may ? may.words : words;
        if (select.options.length !== now.length || now.some((word, at) => select.options[at]?.value !== word)) {
          select.replaceChildren(...now.map((word) => h("option", { value: word }, word.replace(/^"|"$/g, ""))));
        }
        select.value = typed;
      },
    };
  }

  /** A figure to be moved: of both sides of the wearer, or of one. */
  #figure(name: string, first: Figure, side: "left" | "right" | null) {
    const key = side ? `${name}.${side}` : name;
    const called = side ? `${spokenName(name)}, ${side}` : spokenName(name);
    let unit = first.unit;
    const lay = (figure: string) => {
      if (figure !== "" && Number.isFinite(Number(figure))) this.desk.lay(key, `${Number(figure)}${unit}`);
    };
    const described = { "aria-describedby": `choice-${name}-text` };
    const slider = h("input", { type: "range", "aria-label": `${called}, moved`, ...described });
    const figure = h("input", { type: "number", id: `choice-${key}`, inputmode: "decimal", ...(side ? { "aria-label": called } : {}), ...described });
    slider.addEventListener("input", () => {
      figure.value = slider.value;
      lay(slider.value);
    });
    figure.addEventListener("change", () => lay(figure.value));
    const words = h("span", { class: "unit" }, unit);
    const parts = [slider, h("span", { class: "figure" }, figure, words)];
    return {
      parts: side ? [h("span", { class: "side" }, side), ...parts] : parts,
      set: ({ may, sides }: Choice) => {
        if (!("figure" in may)) return;
        const { least, most, step } = may.figure;
        const now = side && sides ? sides[side].now : may.figure.now;
        unit = may.figure.unit;
        words.textContent = unit === "deg" ? "°" : unit;
        for (const input of [slider, figure]) {
          input.min = rounded(least);
          input.max = rounded(most);
        }
        slider.step = rounded(step);
        figure.step = "any";
        slider.setAttribute("aria-valuetext", `${rounded(now)} ${unit}`);
        // What a hand holds is not moved under it.
        if (document.activeElement !== slider) slider.value = rounded(now);
        if (document.activeElement !== figure) figure.value = rounded(now);
      },
    };
  }

  /** Writes a laid choice into the sentence that declares it. */
  #write(name: string): void {
    const typed = this.desk.values.get(name);
    const choice = this.desk.view?.choices.find((one) => one.name === name);
    const { editor } = this.desk;
    if (typed === undefined || !choice?.at || this.desk.viewed !== editor.text) return;
    const offer = inSentence(editor.text.slice(choice.at.from, choice.at.to), typed);
    if (!offer) return;
    this.desk.values.delete(name);
    const { from } = choice.at;
    editor.put([{ at: { from: from + offer.at.from, to: from + offer.at.to }, text: offer.text }]);
  }
}

/** Where the value of a sentence `choose ease = 12cm between …` stands, and what is written there. */
export function inSentence(sentence: string, typed: string): Offer | null {
  const found = /=\s*("[^"]*"|.+?)(?=\s+(?:between\b|of\s+")|\s+"|\s*$|\s*#)/s.exec(sentence);
  if (!found?.[1]) return null;
  const from = found.index + found[0].length - found[1].length;
  const text = found[1].startsWith('"') && !typed.startsWith('"') ? `"${typed}"` : typed;
  return { at: { from, to: from + found[1].length }, text };
}

function kindOf(may: Choice["may"]): string {
  return Object.keys(may)[0] ?? "";
}

function rounded(figure: number): string {
  return String(Math.round(figure * 1e4) / 1e4);
}

function spokenName(name: string): string {
  return name.replaceAll("_", " ").replaceAll(".", ", ");
}
