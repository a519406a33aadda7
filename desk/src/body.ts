// A body out of a table, as a spreadsheet saves it.
import { at, h, say, why } from "./dom";
import type { Desk } from "./desk";
import type { Files } from "./engine";

const OWN = "The draft's own";

export class Bodies {
  #table: { path: string; text: string } | null = null;
  readonly #tables = h("select", { id: "table" });
  readonly #names = h("select", { id: "body" });
  readonly #said = h("p", { role: "status", class: "wrong" });

  constructor(place: HTMLElement, readonly desk: Desk, readonly files: Files) {
    place.append(h("p", { class: "pair" }, h("label", { for: "table" }, "Table"), this.#tables),
      h("p", { class: "pair" }, h("label", { for: "body" }, "Body"), this.#names), this.#said);
    this.#tables.addEventListener("change", () => void this.#pick());
    this.#names.addEventListener("change", () => this.#lay());
  }

  /** For another draft: which tables there are. */
  async begin(): Promise<void> {
    const { files } = await this.files.list();
    const tables = files.filter(({ path }) => path.endsWith(".csv"));
    const option = (value: string, words: string) => h("option", { value }, words);
    this.#tables.replaceChildren(option("", OWN), ...tables.map(({ path }) => option(path, path)));
    this.#table = null;
    this.#offer([]);
    this.#say();
  }

  async #pick(): Promise<void> {
    const path = this.#tables.value;
    this.#table = null;
    say(this.#said, "");
    this.#offer([]);
    if (path !== "") {
      try {
        const { text } = await this.files.read(path);
        const { names, said } = await this.desk.json<{ names: string[]; said: string | null }>("bodies", { table: path, csv: text, body: null });
        this.#table = { path, text };
        this.#offer(names);
        say(this.#said, said ?? "");
      } catch (fault) {
        say(this.#said, why(fault));
      }
    }
    this.#lay();
  }

  #offer(names: string[]): void {
    this.#names.replaceChildren(...["", ...names].map((name) => h("option", { value: name }, name || OWN)));
    this.#names.disabled = names.length === 0;
  }

  #lay(): void {
    const table = this.#table;
    const name = this.#names.value;
    this.desk.body = table && name !== "" ? { table: table.path, text: table.text, name } : null;
    this.#say();
    void this.desk.refresh();
  }

  /** The head of the page says whom the draft is drawn for, where that is not its own body. */
  #say(): void {
    const { body } = this.desk;
    say(at("whose"), body ? `for body ${body.name} of ${body.table}` : "");
  }
}
