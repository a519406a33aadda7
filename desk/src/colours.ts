// Colours by kind of word. What the words are stands in one place, the grammar that other editors read; here it is walked.
import { HighlightStyle, StreamLanguage, indentOnInput, indentService, indentUnit, syntaxHighlighting, type StringStream } from "@codemirror/language";
import { tags } from "@lezer/highlight";
import grammar from "../../grammar/oaktag.tmLanguage.json";

interface Rule { find: RegExp; style: string; word: string | null }

const STYLES: [scope: string, style: string][] = [
  ["comment", "comment"], ["keyword.control", "keyword"], ["storage.type", "typeName"], ["constant.numeric", "number"],
  ["keyword.operator.word", "operatorKeyword"], ["support.constant", "operatorKeyword"], ["constant.language", "atom"],
  ["keyword.operator", "operator"], ["variable", "variableName"],
];

function styleOf(scope: string): string {
  return STYLES.find(([known]) => scope.startsWith(known))?.[1] ?? "variableName";
}

const repository: Record<string, { match?: string; name?: string; captures?: Record<string, { name: string }> }> =
  grammar.repository;
const rules: Rule[] = grammar.patterns.flatMap(({ include }) => {
  const rule = repository[include.slice(1)];
  if (rule?.match === undefined) return [];
  // A rule without a name of its own colours what its first bracket holds.
  const word = rule.name === undefined ? rule.captures?.["1"]?.name ?? "" : null;
  return [{ find: new RegExp(rule.match, "uy"), style: styleOf(rule.name ?? ""), word: word === null ? null : styleOf(word) }];
});

interface State { inText: boolean; next: { to: number; style: string } | null }

function token(stream: StringStream, state: State): string | null {
  if (stream.sol()) state.inText = false;
  if (state.next) {
    const { to, style } = state.next;
    state.next = null;
    stream.pos = to;
    return style;
  }
  if (stream.peek() === '"') {
    state.inText = !state.inText;
    stream.next();
    return "string";
  }
  if (state.inText) {
    while (stream.peek() !== undefined && stream.peek() !== '"') stream.next();
    return "string";
  }
  for (const { find, style, word } of rules) {
    find.lastIndex = stream.pos;
    const found = find.exec(stream.string);
    if (!found || found[0] === "") continue;
    const end = stream.pos + found[0].length;
    if (word === null) {
      stream.pos = end;
      return style;
    }
    const start = end - (found[1] ?? "").length;
    if (start === stream.pos) {
      stream.pos = end;
      return word;
    }
    state.next = { to: end, style: word };
    stream.pos = start;
    return /^\w/.test(found[0]) ? "operatorKeyword" : null;
  }
  stream.next();
  return null;
}

const language = StreamLanguage.define<State>({
  name: "oaktag",
  startState: () => ({ inText: false, next: null }),
  token,
  languageData: { commentTokens: { line: "#" }, indentOnInput: /^\s*\}$/, closeBrackets: { brackets: ["(", "[", "{", '"'] } },
});

const style = HighlightStyle.define([
  { tag: tags.keyword, color: "var(--word)", fontWeight: "600" },
  { tag: tags.typeName, color: "var(--kind)" },
  { tag: tags.number, color: "var(--figure)" },
  { tag: tags.string, color: "var(--text)" },
  { tag: tags.comment, color: "var(--soft)", fontStyle: "italic" },
  { tag: [tags.operatorKeyword, tags.operator, tags.atom], color: "var(--link)" },
  { tag: tags.variableName, color: "var(--ink)" },
]);

/** As `tidy` lays it out: two blanks a block, a brace that closes under the line that opened it. */
const indents = indentService.of((context, at) => {
  const { doc } = context.state;
  const isBroken = context.simulatedBreak !== null;
  let number = doc.lineAt(at).number - (isBroken ? 0 : 1);
  let before = isBroken ? doc.lineAt(at).text.slice(0, at - doc.lineAt(at).from) : number > 0 ? doc.line(number).text : "";
  while (before.trim() === "" && number > 1) before = doc.line(--number).text;
  const deep = context.countColumn(before, before.length - before.trimStart().length) + (/\{\s*(#.*)?$/.test(before) ? 2 : 0);
  return Math.max(0, deep - (context.textAfterPos(at).trimStart().startsWith("}") ? 2 : 0));
});

export const colours = [language, syntaxHighlighting(style), indents, indentOnInput(), indentUnit.of("  ")];
