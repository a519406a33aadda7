// Drafts opened, saved and changed elsewhere.
import { at, button, dialog, h, handOver, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Files, Listed } from "./engine";
import { listbox } from "./listbox";
import { merged, settle, whole } from "./merge";

/** After a pause of so many milliseconds the browser keeps what stands in the text. */
const PAUSE = 600;
/** Where the parts of the library stand, where they can be opened. */
const LIBRARY = "library/";

export class Drafts {
  /** The text as it was read or written last, and its mark; `null` while there is none. */
  #saved: { text: string; mark: string | null } = { text: "", mark: null };
  /** The text as it was opened, to compare with. */
  opened = "";
  #pause: ReturnType<typeof setTimeout> | undefined;
  #saving = false;

  constructor(readonly desk: Desk, readonly files: Files, readonly savesItself: boolean) {
    files.watch((paths) => {
      if (paths.includes(this.desk.path)) void this.#elsewhere();
    });
    addEventListener("beforeunload", (event) => {
      if (this.isSaved) return;
      if (this.savesItself) void this.save();
      else event.preventDefault();
    });
    // A tablet puts a page away without a word, and may not bring it back.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "hidden" && this.savesItself && !this.isSaved) void this.save();
    });
    addEventListener("popstate", () => void this.open(inAddress("draft") ?? this.desk.path, false));
  }

  get isSaved(): boolean {
    return this.#saved.text === this.desk.editor.text;
  }

  async begin(): Promise<void> {
    const { files, opens } = await this.files.list();
    const drafts = files.filter(({ path }) => path.endsWith(".draft"));
    const asked = inAddress("draft") ?? opens;
    const path = drafts.find((one) => one.path === asked) ?? drafts.find(({ path }) => path === "first-steps.draft") ?? drafts[0];
    if (path) {
      await this.open(path.path, false);
      const line = Number(inAddress("line"));
      if (line >= 1) this.desk.editor.toLine(line);
    } else await this.#lay("new.draft", "", null);
  }

  async open(path: string, isNews = true): Promise<void> {
    if (this.desk.path !== "" && !this.isSaved && !(await this.#left())) return;
    try {
      const { text, mark } = await this.files.read(path);
      await this.#lay(path, text, mark);
      if (!isNews) return;
      history.pushState(null, "", `?draft=${encodeURIComponent(path)}`);
      this.desk.editor.focus();
    } catch (fault) {
      this.#say(why(fault));
    }
  }

  /** Whether the draft at hand may be left: saved, or without what was changed last. */
  async #left(): Promise<boolean> {
    if (this.savesItself) {
      await this.save();
      return this.isSaved;
    }
    let may = false;
    const { box, closed } = dialog(`${this.desk.path} is not saved yet`, h("p", { class: "ends" },
      button("Save it first", () => void this.save().then(() => {
        may = this.isSaved;
        box.close();
      }), { class: "first" }),
      button("Leave it unsaved", () => {
        may = true;
        box.close();
      })));
    await closed;
    return may;
  }

  async #lay(path: string, text: string, mark: string | null): Promise<void> {
    this.#saved = { text, mark };
    this.opened = text;
    this.desk.path = path;
    this.desk.values.clear();
    this.desk.body = null;
    this.desk.view = null;
    this.desk.editor.open(text);
    this.#state();
  }

  /** To be told at each change. */
  changed(): void {
    this.#state();
    clearTimeout(this.#pause);
    if (this.savesItself && !this.isSaved) this.#pause = setTimeout(() => void this.save(), PAUSE);
  }

  #state(): void {
    say(at("file"), this.desk.path);
    const saved = this.savesItself ? "kept in this browser" : "saved";
    say(at("saved"), this.isSaved ? saved : "not saved yet");
  }

  #say(words: string): void {
    say(at("news"), words);
  }

  /** Saves the text as it stands. What was changed elsewhere meanwhile is merged, or asked about. */
  async save(): Promise<void> {
    if (this.#saving) return;
    this.#saving = true;
    try {
      const { path, editor } = this.desk;
      const text = editor.text;
      const saved = await this.files.write(path, text, this.#saved.mark);
      if ("mark" in saved) {
        this.#saved = { text, mark: saved.mark };
        if (!this.savesItself) this.#say(`Saved ${path}.`);
      } else {
        await this.#merge(saved.clash, true);
      }
    } catch (fault) {
      this.#say(why(fault));
    } finally {
      this.#saving = false;
      this.#state();
    }
    if (this.savesItself && !this.isSaved) this.changed();
  }

  async #elsewhere(): Promise<void> {
    if (this.#saving) return;
    try {
      const there = await this.files.read(this.desk.path);
      if (there.mark !== this.#saved.mark) await this.#merge(there, false);
    } catch (fault) {
      this.#say(why(fault));
    }
    this.#state();
  }

  /** `asks`: a save waits for it. Else a clash is left until one saves. */
  async #merge(there: { text: string; mark: string }, asks: boolean): Promise<void> {
    const { editor, path } = this.desk;
    const parts = merged(this.#saved.text, editor.text, there.text);
    let text = whole(parts);
    if (text === null && !asks) {
      return this.#say(`${path} was changed elsewhere, in the same lines as here: you are asked which to keep when you save.`);
    }
    text ??= await settle(path, parts);
    if (text === null) return this.#say(`${path} is not saved: it was changed elsewhere.`);
    const isMine = !this.isSaved;
    editor.replace(text);
    this.#saved = { text: there.text, mark: there.mark };
    this.#say(isMine ? `${path} was changed elsewhere: both changes are in the text now.` : `${path} was changed elsewhere and is read again.`);
    if (!asks || text === there.text) return;
    const saved = await this.files.write(path, text, there.mark);
    if ("mark" in saved) this.#saved = { text, mark: saved.mark };
    else await this.#merge(saved.clash, true);
  }

  /** The draft as a file of this device. */
  takeText(): void {
    handOver(this.desk.path.split("/").pop() ?? this.desk.path, this.desk.editor.text, "text/plain;charset=utf-8");
  }

  async choose(): Promise<void> {
    const { folder, files } = await this.files.list();
    const name = h("input", { id: "new-name", value: this.#free(files, this.desk.path), autocomplete: "off", spellcheck: "false" });
    const wrong = h("p", { role: "alert", class: "wrong" });
    const make = async (text: string) => {
      const path = name.value.trim().endsWith(".draft") ? name.value.trim() : `${name.value.trim()}.draft`;
      if (path === ".draft") return say(wrong, "Give it a name first.");
      const failed = await this.#make(path, text);
      if (failed !== null) return say(wrong, failed);
      box.close();
      await this.open(path);
    };
    const drafts = files.filter(({ path }) => path.endsWith(".draft")).map(({ path }) => path);
    const library = drafts.filter((path) => path.startsWith(LIBRARY));
    const own = drafts.filter((path) => !path.startsWith(LIBRARY));
    const offer = (paths: string[], words: string) => listbox(words, paths, this.desk.path, (path) => {
      box.close();
      void this.open(path);
    });
    const ours = offer(own, "Drafts");
    const { box } = dialog("Drafts", h("p", { class: "soft" }, `In ${folder}`), ours,
      library.length === 0 ? null : h("details", {}, h("summary", {}, "The library, and a draft for each of its acts"),
        offer(library, "Drafts of the library")),
      this.savesItself ? h("p", {}, h("label", { for: "from-device" }, "From this device "), this.#fromDevice(() => box.close())) : null,
      h("h3", {}, "A new one"), h("p", {}, h("label", { for: "new-name" }, "Name "), name), wrong,
      h("p", { class: "ends" }, button("Begin it empty", () => void make("")),
        button("Begin it with this text", () => void make(this.desk.editor.text))));
    ours.querySelector<HTMLElement>('[tabindex="0"]')?.focus();
  }

  async #make(path: string, text: string): Promise<string | null> {
    try {
      const saved = await this.files.write(path, text, null);
      return "clash" in saved ? `There is a ${path} already.` : null;
    } catch (fault) {
      return why(fault);
    }
  }

  #fromDevice(done: () => void): HTMLInputElement {
    const field = h("input", { type: "file", id: "from-device", accept: ".draft,.csv,text/plain,text/csv", multiple: true });
    field.addEventListener("change", () => void (async () => {
      let last: string | null = null;
      for (const file of field.files ?? []) {
        const { files } = await this.files.list();
        const path = files.some(({ path }) => path === file.name) ? this.#free(files, file.name) : file.name;
        const failed = await this.files.write(path, await file.text(), null).then(() => null, why);
        if (failed !== null) this.#say(failed);
        else if (path.endsWith(".draft")) last = path;
      }
      done();
      if (last !== null) await this.open(last);
    })());
    return field;
  }

  /** A name like `path` that no file bears. */
  #free(files: Listed[], path: string): string {
    const [stem = path, ending = "draft"] = path.split(/\.(?=[^.]*$)/);
    for (let count = 2; ; count++) {
      const name = `${stem}-${count}.${ending}`;
      if (!files.some((file) => file.path === name)) return name;
    }
  }
}

function inAddress(name: "draft" | "line"): string | null {
  return new URL(location.href).searchParams.get(name);
}
