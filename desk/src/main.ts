// The page: text and drawing side by side, lists beside them, true to each other at every keystroke.
import { openSearchPanel } from "@codemirror/search";
import { redo, undo } from "@codemirror/commands";
import { Adding } from "./adding";
import { Bodies } from "./body";
import { Choices } from "./choices";
import { compare, walk } from "./compare";
import { Desk } from "./desk";
import { Shown, at, button, dialog, h, say, why } from "./dom";
import { Editor } from "./editor";
import { Asked, type Engine, type Step, type View } from "./engine";
import { Drafts } from "./files";
import { Follow, spoken } from "./follow";
import { Hands } from "./hands";
import { showKeys, watchKeys } from "./keys";
import { Lists } from "./lists";
import { Paper } from "./paper";
import { Drawing } from "./picture";
import { print, take } from "./take";
import { showWhy } from "./why";
import { Words } from "./words";

export async function begin(engine: Engine): Promise<void> {
  const asked = new Asked(engine);
  await asked.learn();
  const news = (words: string) => say(at("news"), words);
  const follow = new Follow();
  const table = at("paper");
  /** The thing that the hand has picked in the drawing, and the step after which the drawing stands. */
  let picked: string | null = null;
  let after: number | null = null;

  const isTrue = (now: boolean) => (document.documentElement.dataset["true"] = now ? "yes" : "no");
  const desk = new Desk(asked, {
    waiting: () => isTrue(false),
    view: show,
    picture: (_, isFresh) => void pictured(isFresh),
    trouble: (words) => {
      notice("trouble", words);
      if (words !== null) isTrue(true);
    },
  });
  const words = new Words(desk, news, (place) => follow.small(place));
  const paper = new Paper(table, at("ruler-top"), at("ruler-side"), (thing, isTouch) => {
    const known = thing && follow.nameOf(thing);
    if (thing && known) return pick(known, !isTouch, follow.sideOf(thing));
    const piece = thing && desk.viewed === editor.text ? follow.pieceOf(thing) : null;
    if (piece?.at) editor.select(piece.at, !isTouch);
    const called = thing ? spoken(thing.getAttribute("data-name") ?? "") : "";
    name(!thing ? "" : piece?.at ? `${called}, of the piece ${piece.said}, line ${editor.lineOf(piece.at)}` : `${called}, of no sentence of this text`);
  });
  const editor = new Editor(at("editor"), {
    changed: (byHand) => {
      if (byHand) news("");
      else {
        after = null;
        void bodies.begin();
      }
      drafts.changed();
      void desk.refresh();
    },
    moved: () => {
      if (hands.isAtWork) return;
      picked = null;
      hands.picked(null);
      at("why").hidden = true;
      light();
    },
    complete: words.complete,
    hover: words.hover,
    keys: words.keys,
  });
  desk.editor = editor;
  const drafts = new Drafts(desk, engine.files, engine.savesItself);
  const bodies = new Bodies(at("bodies"), desk, engine.files);
  const sides = new Shown<string[]>((list) => {
    at("sides-part").hidden = list.length === 0;
    at("sides").replaceChildren(...list.map((sentence) => h("li", {}, sentence)));
  });
  const choices = new Choices(at("choices"), desk);
  const lists = new Lists({ messages: at("messages"), steps: at("steps"), seams: at("seams"), checks: at("checks") }, {
    go: (place) => editor.select(place, true),
    lineOf: (place) => editor.lineOf(place),
    cure: (offer) => {
      // An offer is of the text that was answered; where that has changed meanwhile, its place is another.
      if (desk.viewed === editor.text) editor.put([offer]);
      editor.focus();
    },
    step: (step) => void stand(step),
    walk: asked.has("walk") ? (seam) => void walk(desk, seam.name, seam.said) : null,
  });

  const hands = new Hands(paper, desk, follow, {
    picked: () => picked,
    pick: (thing) => pick(thing, false),
    isTrue: () => desk.viewed === editor.text && !desk.isWaiting && after === null && document.documentElement.dataset["true"] === "yes"
      // A piece that is made of two drawings lies as neither of them.
      && desk.view?.sides.length === 0,
    tell: news,
    beside: (view) => {
      judge(view);
      lists.messages.show(view.messages.map((message) => [message, message.at ? editor.lineOf(message.at) : 0]));
    },
  });
  const adding = new Adding(paper, desk, follow, hands.grasp, hands.tip, hands.ways);
  hands.isBusy = () => adding.isAtWork;

  function notice(id: string, words: string | null): void {
    say(at(id), words ?? "");
    at(id).hidden = words === null;
  }

  /** Says what the hand has picked, and offers to say why it is there. */
  function name(words: string): void {
    say(at("named"), words);
    at("why").hidden = picked === null || / /.test(picked) || !asked.has("why");
    hands.picked(picked);
  }

  function light(): void {
    if (!desk.view || desk.viewed !== editor.text) return;
    if (picked !== null) follow.lightName(picked);
    else follow.light(editor.line);
    lists.here(editor.caret, after);
  }

  /** Picks a drawn thing: lit where it lies, its sentence shown. */
  function pick(thing: string, focus: boolean, side: string | null = null): void {
    const place = follow.sentenceOf(thing);
    if (!place || desk.viewed !== editor.text) return;
    editor.select(place, focus);
    picked = thing;
    light();
    name(`${spoken(thing)}${side ? ` on the ${side}` : ""}, line ${editor.lineOf(place)}`);
  }

  async function stand(step: Step): Promise<void> {
    editor.select(step.at, false);
    if (!asked.has("after")) return editor.focus();
    after = step.number;
    await draw();
    light();
  }

  /** Lays the picture: of the whole, or as it stands after a step. */
  async function draw(): Promise<void> {
    const { view } = desk;
    if (!view) return;
    const step = view.steps.find(({ number }) => number === after);
    if (!step) after = null;
    let { drawing } = desk;
    if (step) {
      try {
        drawing = new Drawing(await desk.text("after", { step: step.number }), "");
      } catch (fault) {
        after = null;
        news(why(fault));
      }
    }
    at("after").hidden = after === null;
    say(at("after-words"), step ? `As it stands after step ${step.number}, ${step.name}. ` : "");
    at("empty").hidden = drawing !== null;
    if (drawing) paper.lay(drawing, view.unit);
    else paper.clear();
    follow.learn(view, paper.picture);
    say(at("ruler-unit"), view.unit === "in" ? "in" : "cm");
  }

  /** What stands beside the drawing: the verdict, choices, seams and checks. */
  function judge(view: View): void {
    const verdict = at("verdict");
    if (verdict.textContent !== view.verdict) {
      verdict.replaceChildren(view.messages.length === 0 ? view.verdict : h("a", { href: "#messages" }, view.verdict));
    }
    verdict.className = view.well ? "well" : "wrong";
    notice("unfinished", view.unfinished === null ? null : `${view.unfinished}. The rest is drawn; do not cut from it.`);
    choices.show(view.choices);
    lists.judged(view, desk.path);
  }

  function show(view: View, isFresh: boolean): void {
    if (isFresh) {
      lists.messages.show(view.messages.map((message) => [message, message.at ? editor.lineOf(message.at) : 0]));
      editor.tell(view.messages, (offer) => editor.put([offer]));
      performance.mark("messages");
    }
    say(at("title"), view.title);
    document.title = `${view.title} · Oaktag`;
    // The rest is told while the picture is worked out.
    sides.show(view.sides);
    judge(view);
    if (isFresh) lists.steps.show(view.steps);
  }

  async function pictured(isFresh: boolean): Promise<void> {
    const drawn = draw();
    if (after !== null) await drawn;
    performance.mark("picture");
    requestAnimationFrame(() => setTimeout(() => performance.mark("painted")));
    await drawn;
    if (!isFresh) return;
    light();
    if (!desk.isWaiting) isTrue(true);
    hands.viewed();
    adding.viewed();
    const { viewed } = desk;
    words.beside(() => editor.text === viewed);
  }

  /** From thing to thing by the keyboard, in the order in which they lie in the picture. */
  function along(by: 1 | -1): void {
    picked = follow.next(picked, by);
    if (picked === null) return;
    const [thing] = follow.lightName(picked);
    if (thing) paper.bring(thing);
    const place = follow.sentenceOf(picked);
    name(place ? `${spoken(picked)}, line ${editor.lineOf(place)}; Enter goes there` : spoken(picked));
  }

  table.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "n" || event.key === "p") along(event.key === "n" ? 1 : -1);
    else if (event.key === "m") hands.ask(true);
    else if (event.key === "h") hands.holdNext();
    else if (event.key === "a" && asked.has("add")) adding.begin("point");
    else if (event.key === "w" && !at("why").hidden) acts["why"]?.();
    else if (event.key === "Enter" && picked !== null) pick(picked, true);
    else return;
    event.preventDefault();
  });
  const acts: Record<string, () => void> = {
    fit: () => paper.fit(), larger: () => paper.zoom(1.25), smaller: () => paper.zoom(0.8), "true-size": () => paper.trueSize(),
    why: () => void (picked !== null && showWhy(desk, picked).catch((fault: unknown) => news(why(fault)))),
    whole: () => {
      after = null;
      void draw().then(light);
    },
    undo: () => void undo(editor.view), redo: () => void redo(editor.view), find: () => void openSearchPanel(editor.view),
    tidy: () => void words.tidy().catch((fault: unknown) => news(why(fault))),
    define: () => void words.define().catch((fault: unknown) => news(why(fault))),
    mentions: () => void words.mentions().catch((fault: unknown) => news(why(fault))),
    rename: () => void words.rename().catch((fault: unknown) => news(why(fault))),
    open: () => void drafts.choose().catch((fault: unknown) => news(why(fault))),
    save: () => void (engine.savesItself ? drafts.takeText() : drafts.save()),
    print: () => print(desk), take: () => take(desk, () => drafts.takeText()),
    compare: () => void compare(desk, engine.files, drafts.opened), keys: () => showKeys(engine.savesItself, (form) => asked.has(form)),
  };
  for (const [id, act] of Object.entries(acts)) at(id).addEventListener("click", act);
  const menu = at<HTMLDetailsElement>("caret");
  menu.addEventListener("click", ({ target }) => {
    if (target instanceof HTMLButtonElement) menu.open = false;
  });
  menu.addEventListener("focusout", ({ relatedTarget }) => {
    if (!(relatedTarget instanceof Node && menu.contains(relatedTarget))) menu.open = false;
  });
  for (const form of ["tidy", "define", "mentions", "rename", "compare"] as const) at(form).hidden = !asked.has(form);
  at("caret").hidden = !["define", "mentions", "rename"].some((form) => asked.has(form as "define"));
  at("bodies-part").hidden = !asked.has("bodies");
  if (engine.savesItself) say(at("save"), "Save as a file");
  watchKeys({ save: () => acts["save"]?.(), print: () => print(desk) });
  // For who looks under the page, the tests among them.
  Object.assign(window, { desk });
  await drafts.begin();
  document.documentElement.dataset["ready"] = "yes";
}

/** Said in place of the page where it cannot begin. */
export function broken(fault: unknown): void {
  dialog("The desk cannot begin", h("p", {}, why(fault)), h("p", {}, button("Try again", () => location.reload())));
}
