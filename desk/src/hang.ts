// A sentence that does not fit its column goes on below, indented, so that the next sentence is told from it.
import { Decoration, EditorView, ViewPlugin, type DecorationSet, type ViewUpdate } from "@codemirror/view";

/** So many letters farther in than the sentence begins. */
const FURTHER = 4;

function hung(view: EditorView): DecorationSet {
  const { doc } = view.state;
  const found = new Map<number, number>();
  for (const { from, to } of view.visibleRanges) {
    for (let at = from; at <= to;) {
      const line = doc.lineAt(at);
      found.set(line.from, line.text.length - line.text.trimStart().length + FURTHER);
      at = line.to + 1;
    }
  }
  return Decoration.set([...found].map(([at, letters]) =>
    Decoration.line({ attributes: { style: `--hang: ${letters}ch` } }).range(at)), true);
}

export const hang = ViewPlugin.fromClass(class {
  lines: DecorationSet;
  constructor(view: EditorView) {
    this.lines = hung(view);
  }
  update(update: ViewUpdate): void {
    if (update.docChanged || update.viewportChanged) this.lines = hung(update.view);
  }
}, { decorations: ({ lines }) => lines });
