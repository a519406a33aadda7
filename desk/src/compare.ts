// What changed, in words and laid over each other: against the text as it was opened, or as it was committed last.
import { button, dialog, h, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Files } from "./engine";
import { pictureOf } from "./picture";

export async function compare(desk: Desk, files: Files, opened: string): Promise<void> {
  const said = h("p", { role: "status" }, "Comparing…");
  const words = h("pre", { class: "words" });
  const place = h("div", { class: "shown" });
  const show = async (text: string, of: string) => {
    words.textContent = "";
    place.replaceChildren();
    say(said, "Comparing…");
    try {
      const told = await desk.json<{ words: string; picture?: string | null }>("compare", { with: text });
      words.textContent = told.words;
      if (told.picture) place.append(pictureOf(told.picture));
      say(said, `Against ${of}.`);
    } catch (fault) {
      say(said, why(fault));
    }
  };
  const committed = await files.committed(desk.path).catch(() => null);
  const sides = h("p", { class: "ends" }, button("Against the text as it was opened", () => void show(opened, "the text as it was opened")),
    committed ? button(`Against ${committed.of}`, () => void show(committed.text, committed.of)) : null);
  const { box } = dialog("What changed", sides, said, h("div", { class: "compared" }, words, place));
  box.classList.add("wide");
  await (committed ? show(committed.text, committed.of) : show(opened, "the text as it was opened"));
}

/** A seam laid straight along its partner. */
export async function walk(desk: Desk, name: string, said: string): Promise<void> {
  const place = h("div", { class: "shown" });
  const words = h("p", { role: "status" }, "Walking…");
  const { box } = dialog(`${said}, walked`, words, place);
  box.classList.add("wide");
  try {
    place.append(pictureOf(await desk.text("walk", { seam: name })));
    say(words, "Both sides laid straight along each other from their starts.");
  } catch (fault) {
    say(words, why(fault));
  }
}
