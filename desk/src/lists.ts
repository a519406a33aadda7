// What stands beside the text and the drawing: messages, steps, seams, checks. Each is told anew only where it has changed.
import { Shown, at, button, h, prose, say } from "./dom";
import type { Check, Message, Offer, Seam, Step, View } from "./engine";
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
  readonly #seams: Shown<Seam[]>;
  readonly #checks: Shown<Check[]>;
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
    this.#seams = new Shown((list) => {
      const open = openIn(places.seams);
      places.seams.replaceChildren(list.length === 0
        ? h("p", { class: "soft" }, "No seam is walked.")
        : h("div", {}, ...list.map((seam) => this.#seam(seam, open))));
    });
    this.#checks = new Shown((list) => {
      places.checks.replaceChildren(list.length === 0
        ? h("p", { class: "soft" }, "Nothing is checked.")
        : h("ul", { class: "told" }, ...list.map(check)));
    });
  }

  /** The seams of the draft when it was whole last, and which draft that was. */
  #whole: { path: string; seams: Seam[] } = { path: "", seams: [] };

  /** Shows how seams and checks are judged. Of an unfinished draft the seams that it had while it was whole are not judged. */
  judged({ seams: told, checks, unfinished }: Pick<View, "seams" | "checks" | "unfinished">, path: string): void {
    if (unfinished === null || this.#whole.path !== path) this.#whole = { path, seams: told };
    const gone = this.#whole.seams.filter(({ name }) => told.every((one) => one.name !== name));
    const seams = [...told, ...gone.map((one): Seam =>
      ({ ...one, at: null, verdict: "not judged", ok: false, lengths: [], lines: ["It was there while the draft was whole; what it needs is not drawn now."] }))];
    this.#seams.show(seams);
    this.#checks.show(checks);
    say(at("seams-count"), summed(seams.map(verdictOf), "fit", "fits", unfinished !== null));
    say(at("checks-count"), summed(checks.map(verdictOf), "hold", "holds", unfinished !== null));
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
    return h("details", { "data-key": seam.name, open: open.has(seam.name), class: verdictOf(seam) },
      h("summary", {}, h("span", { class: "name" }, seam.said), " ", h("span", { class: "verdict" }, seam.verdict),
        h("span", { class: "figures" }, seam.lengths.join(" to "))),
      h("ul", { class: "notes" }, ...seam.lines.map((line) => h("li", {}, ...prose(line)))),
      walk && seam.lengths.length > 0 ? button("See it walked", () => walk(seam), { "aria-label": `See it walked: ${seam.said}` }) : null);
  }
}

function check(one: Check): HTMLElement {
  const verdict = verdictOf(one);
  const words = verdict === "fits" ? "holds" : verdict === "open" ? "not judged" : "fails";
  return h("li", { class: verdict },
    h("span", { class: "name" }, one.text), " ", h("span", { class: "verdict" }, words),
    h("span", { class: "figures" }, verdict === "open" ? one.measured.replace(/^not judged: /, "") : `found ${one.measured}, wanted ${one.wanted}`));
}

type Verdict = "fits" | "fails" | "open";

/** A check that could not be read is told by its words, a seam by its verdict. */
function verdictOf(one: Seam | Check): Verdict {
  if (one.ok) return "fits";
  return ("verdict" in one ? one.verdict : one.measured).startsWith("not judged") ? "open" : "fails";
}

function openIn(place: HTMLElement): Set<string> {
  return new Set([...place.querySelectorAll<HTMLElement>("details[open]")].map((one) => one.dataset["key"] ?? ""));
}

/** "all 8 fit", or each count by itself: "6 fit, 1 fails, 3 not judged"; nothing where there is none. */
function summed(verdicts: Verdict[], many: string, one: string, isUnfinished: boolean): string {
  if (verdicts.length === 0) return "";
  const count = (which: Verdict) => verdicts.filter((verdict) => verdict === which).length;
  const [well, fails, open] = [count("fits"), count("fails"), count("open")];
  if (well === verdicts.length && !isUnfinished) return well === 1 ? `1 ${one}` : `all ${well} ${many}`;
  return [
    `${well} ${well === 1 ? one : many}`,
    fails === 0 ? "" : `${fails} ${fails === 1 ? (one === "fits" ? "does not fit" : "fails") : (many === "fit" ? "do not fit" : "fail")}`,
    open === 0 ? "" : `${open} not judged`,
    isUnfinished && open === 0 ? "the draft is unfinished" : "",
  ].filter((part) => part !== "").join(", ");
}

/** "2 errors", "1 error"; nothing for none. */
export function counts(count: number, word: string): string {
  return count === 0 ? "" : `${count} ${word}${count === 1 ? "" : "s"}`;
}
