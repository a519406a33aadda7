// What can be chosen beside the text, in the draft's own words: a figure within its range, or one of some words.
import { button, h } from "./dom";
import type { Choice, Offer } from "./engine";
import type { Desk } from "./desk";

interface Row { row: HTMLElement; set(choice: Choice): void }
type Figure = { least: number; most: number; now: number; step: number; unit: string };

export class Choices {
  #rows = new Map<string, Row>();
  #shape = "";

  constructor(readonly place: HTMLElement, readonly desk: Desk) {}

  show(choices: Choice[]): void {
    const shape = JSON.stringify(choices.map(({ name, may, of_body }) => [name, kindOf(may), of_body]));
    if (shape !== this.#shape) {
      this.#shape = shape;
      this.#build(choices);
    }
    for (const choice of choices) this.#rows.get(choice.name)?.set(choice);
  }

  #build(choices: Choice[]): void {
    this.#rows = new Map(choices.map((choice) => [choice.name, this.#row(choice)]));
    const part = (heading: string, list: Choice[], open: boolean) => {
      if (list.length === 0) return null;
      const rows = list.map(({ name }) => this.#rows.get(name)?.row);
      if (open) return h("div", {}, h("h3", {}, heading), ...rows);
      return h("details", {}, h("summary", {}, heading), ...rows);
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
    const back = button("As written", () => this.desk.lay(name, null), { "aria-label": `${spokenName(name)}: as written` });
    const write = button("Write it in", () => this.#write(name), { "aria-label": `Write ${spokenName(name)} into the draft` });
    const ends = h("span", { class: "row-ends" }, back, write);
    const held = "words" in may ? this.#words(name, may.words) : this.#figure(name, may.figure);
    const row = h("div", { class: "choice" }, label, told, ...held.parts, ends);
    return {
      row,
      set: (now) => {
        told.textContent = now.text;
        held.set(now);
        const isLaid = this.desk.values.has(name);
        row.classList.toggle("laid", isLaid);
        ends.hidden = !isLaid;
        write.hidden = now.at === null;
      },
    };
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

  #figure(name: string, first: Figure) {
    let unit = first.unit;
    const lay = (figure: string) => {
      if (figure !== "" && Number.isFinite(Number(figure))) this.desk.lay(name, `${Number(figure)}${unit}`);
    };
    const described = { "aria-describedby": `choice-${name}-text` };
    const slider = h("input", { type: "range", "aria-label": `${spokenName(name)}, moved`, ...described });
    const figure = h("input", { type: "number", id: `choice-${name}`, inputmode: "decimal", ...described });
    slider.addEventListener("input", () => {
      figure.value = slider.value;
      lay(slider.value);
    });
    figure.addEventListener("change", () => lay(figure.value));
    const words = h("span", { class: "unit" }, unit);
    return {
      parts: [slider, h("span", { class: "figure" }, figure, words)],
      set: ({ may }: Choice) => {
        if (!("figure" in may)) return;
        const { least, most, now, step } = may.figure;
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
