// A text changed here and elsewhere since both were the same: merged by lines where the changes do not touch, asked about where
// they do. Nothing of either is lost.
import { diff3MergeRegions } from "node-diff3";
import { dialog, button, h } from "./dom";

interface Clash { mine: string[]; theirs: string[] }
type Part = { same: string[] } | { clash: Clash };

/** The merged text, in parts of which those that clash are to be settled. */
export function merged(base: string, mine: string, theirs: string): Part[] {
  const lines = (text: string) => text.split("\n");
  // A region that both changed alike is stable, too: the library tells it so.
  return diff3MergeRegions(lines(mine), lines(base), lines(theirs)).map((region): Part => {
    if (region.stable) return { same: region.bufferContent };
    const { aContent, bContent } = region;
    return aContent.join("\n") === bContent.join("\n") ? { same: aContent } : { clash: { mine: aContent, theirs: bContent } };
  });
}

/** The text, where nothing clashes. */
export function whole(parts: Part[]): string | null {
  return parts.every((part) => "same" in part) ? parts.flatMap((part) => ("same" in part ? part.same : [])).join("\n") : null;
}

/** Asks which lines to keep at each clash; none where it is left open. */
export async function settle(path: string, parts: Part[]): Promise<string | null> {
  const fields: HTMLFieldSetElement[] = [];
  const shown = parts.flatMap((part) => {
    if ("same" in part) return [];
    const name = `clash-${fields.length}`;
    const kept = (value: string, words: string, lines: string[]) =>
      h("label", { class: "kept" },
        h("span", {}, h("input", { type: "radio", name, value, checked: value === "both" }), ` ${words}`),
        lines.length === 0 ? h("span", { class: "soft" }, "These lines are taken out.") : h("pre", {}, lines.join("\n")));
    const field = h("fieldset", {}, h("legend", {}, `Place ${fields.length + 1}`),
      kept("mine", "Keep yours", part.clash.mine), kept("theirs", "Keep the other", part.clash.theirs),
      h("label", { class: "kept" }, h("span", {}, h("input", { type: "radio", name, value: "both", checked: true }), " Keep both, yours first")));
    fields.push(field);
    return [field];
  });
  let settled: string | null = null;
  const { box, closed } = dialog(`${path} was changed elsewhere`,
    h("p", {}, "The same lines were changed here and elsewhere. Say which to keep; all other changes of both are kept."), ...shown,
    h("p", { class: "ends" }, button("Save it so", () => {
      let at = 0;
      settled = parts.flatMap((part) => {
        if ("same" in part) return part.same;
        const { mine, theirs } = part.clash;
        const chosen = fields[at++]?.querySelector<HTMLInputElement>("input:checked")?.value;
        return chosen === "mine" ? mine : chosen === "theirs" ? theirs : [...mine, ...theirs];
      }).join("\n");
      box.close();
    }, { class: "first" })));
  await closed;
  return settled;
}
