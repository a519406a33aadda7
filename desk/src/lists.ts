// What stands beside the text and the drawing: messages, steps, seams, checks. Each is told anew only where it has changed.
import { Shown, at, button, h, prose, say } from "./dom";
import type { Check, Message, Offer, Seam, Step } from "./engine";
import { offerName } from "./editor";

/** So many messages are shown: who has more mends the first first. */
const MOST = 60;

export interface Acts {
  go(place: { from: number; to: number }): void;
  lineOf(place: { from: number; to: number }): number;
  cure(offer: Offer): void;
  step(step: Step): void;
  /** None where the engine draws no walks. */
  walk: ((seam: Seam) => void) | null;
}

export class Lists {
  readonly messages: Shown<[Message, number][]>;
  readonly steps: Shown<Step[]>;
  readonly seams: Shown<Seam[]>;
  readonly checks: Shown<Check[]>;
  #stepRows: { step: Step; row: HTMLElement; button: HTMLButtonElement }[] = [];

  constructor(places: { messages: HTMLElement; steps: HTMLElement; seams: HTMLElement; checks: HTMLElement }, readonly acts: Acts) {
    this.messages = new Shown((list) => {
      const errors = list.filter(([{ severity }]) => severity === "error").length;
      const warnings = list.length - errors;
      const counted = [counts(errors, "error"), counts(warnings, "warning")].filter((one) => one !== "").join(", ");
      places.messages.replaceChildren(
        h("h3", {}, list.length === 0 ? "Nothing is wrong" : counted),
        list.length === 0 ? "" : h("ol", {}, ...list.slice(0, MOST).map(([message, line]) => this.#message(message, line))),
        list.length > MOST ? h("p", { class: "soft" }, `and ${list.length - MOST} more`) : "",
      );
      places.messages.hidden = list.length === 0;
    });
    this.steps = new Shown((list) => {
      this.#stepRows = list.map((step) => {
        const go = button(`${step.number}  ${step.name}`, () => acts.step(step));
        return { step, button: go, row: h("li", {}, go) };
      });
      places.steps.replaceChildren(list.length === 0
        ? h("p", { class: "soft" }, "The text has no steps of its own.")
        : h("ol", { class: "steps" }, ...this.#stepRows.map(({ row }) => row)));
    });
    this.seams = new Shown((list) => {
      const open = openIn(places.seams);
      say(at("seams-count"), ofAll(list, "fit", "fits"));
      places.seams.replaceChildren(list.length === 0
        ? h("p", { class: "soft" }, "No seam is walked.")
        : h("div", {}, ...list.map((seam) => this.#seam(seam, open))));
    });
    this.checks = new Shown((list) => {
      say(at("checks-count"), ofAll(list, "hold", "holds"));
      places.checks.replaceChildren(list.length === 0
        ? h("p", { class: "soft" }, "Nothing is checked.")
        : h("ul", { class: "told" }, ...list.map(check)));
    });
  }

  /** Marks the step in which the caret stands, and the one that the drawing stands after. */
  here(caret: number, after: number | null): void {
    for (const { step, button } of this.#stepRows) {
      button.toggleAttribute("data-here", step.at.from <= caret && caret <= step.at.to);
      if (step.number === after) button.setAttribute("aria-current", "step");
      else button.removeAttribute("aria-current");
    }
  }

  #message(message: Message, line: number): HTMLElement {
    const { at } = message;
    const place = at
      ? button(`Line ${line}`, () => this.acts.go(at), { class: "place" })
      : h("span", { class: "soft" }, message.elsewhere ?? "");
    const more = [message.label === "" ? "" : message.label, ...message.notes].filter((one) => one !== "");
    return h("li", { class: message.severity },
      h("p", { class: "where" }, h("strong", {}, message.severity === "error" ? "Error" : "Warning"), place),
      h("p", {}, ...prose(message.text)),
      more.length === 0 ? null : h("ul", { class: "notes" }, ...more.map((note) => h("li", {}, ...prose(note)))),
      message.help === null ? null : h("p", { class: "help" }, ...prose(message.help)),
      message.offers.length === 0 ? null : h("p", { class: "cures" }, ...message.offers.map((offer) => this.#cure(offer))));
  }

  #cure(offer: Offer): HTMLElement {
    return button(offerName(offer), () => this.acts.cure(offer), { class: "cure" });
  }

  #seam(seam: Seam, open: Set<string>): HTMLElement {
    const { walk } = this.acts;
    return h("details", { "data-key": seam.name, open: open.has(seam.name), class: verdictClass(seam.verdict) },
      h("summary", {}, h("span", { class: "name" }, seam.said), " ", h("span", { class: "verdict" }, seam.verdict),
        h("span", { class: "figures" }, seam.lengths.join(" to "))),
      h("ul", { class: "notes" }, ...seam.lines.map((line) => h("li", {}, line))),
      walk ? button("See it walked", () => walk(seam), { "aria-label": `See it walked: ${seam.said}` }) : null);
  }
}

function check(one: Check): HTMLElement {
  return h("li", { class: one.ok ? "fits" : "fails" },
    h("span", { class: "name" }, one.text), " ", h("span", { class: "verdict" }, one.ok ? "holds" : "fails"),
    h("span", { class: "figures" }, `found ${one.measured}, wanted ${one.wanted}`));
}

function verdictClass(verdict: string): string {
  return verdict === "fits" ? "fits" : verdict === "not judged" ? "open" : "fails";
}

function openIn(place: HTMLElement): Set<string> {
  return new Set([...place.querySelectorAll<HTMLElement>("details[open]")].map((one) => one.dataset["key"] ?? ""));
}

/** "7 of 8 fit"; nothing where there is none. */
function ofAll(list: { ok: boolean }[], many: string, one: string): string {
  const well = list.filter(({ ok }) => ok).length;
  if (list.length === 0) return "";
  return well === list.length ? `${list.length === 1 ? `1 ${one}` : `all ${list.length} ${many}`}` : `${well} of ${list.length} ${well === 1 ? one : many}`;
}

/** "2 errors", "1 error"; nothing for none. */
export function counts(count: number, word: string): string {
  return count === 0 ? "" : `${count} ${word}${count === 1 ? "" : "s"}`;
}
