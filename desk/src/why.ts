// Why a drawn thing is where it is: the sentences that drew it, from the text's own inward, and what the innermost of them read.
import { button, dialog, h } from "./dom";
import type { Desk } from "./desk";
import type { Place } from "./engine";
import { spoken } from "./follow";

interface Elsewhere { said: string; text: string }
interface Read { name: string; said: string; at: Place | null; elsewhere: Elsewhere | null }
interface Told { at: Place | null; within: Elsewhere[]; reads: Read[]; anew: boolean }

export async function showWhy(desk: Desk, thing: string): Promise<void> {
  const { editor } = desk;
  const told = await desk.json<Told | null>("why", { thing });
  if (!told) throw new Error(`Nothing is known of ${spoken(thing)}.`);
  const go = (place: Place) => button(`Line ${editor.lineOf(place)}`, () => {
    box.close();
    editor.select(place, true);
  }, { class: "place" });
  const sentence = (text: string) => h("pre", {}, text.trim());
  const own = told.at && h("li", {}, go(told.at), sentence(editor.text.slice(told.at.from, told.at.to)));
  const within = told.within.map(({ said, text }) => h("li", {}, h("span", { class: "soft" }, said), sentence(text)));
  const reads = told.reads.map(({ name, said, at, elsewhere }) => h("li", {}, at ? go(at) : null, ` ${spoken(name)}: ${said} `,
    elsewhere ? h("span", { class: "soft" }, elsewhere.said) : null));
  const { box } = dialog(`Why ${spoken(thing)} is here`,
    h("p", {}, told.anew ? "It was drawn anew, in place of an earlier line, by" : "It was drawn by"),
    h("ol", { class: "why" }, own, ...within),
    reads.length === 0 ? null : h("h3", {}, "which read"), reads.length === 0 ? null : h("ul", { class: "why" }, ...reads));
}
