//! Every sentence that people read, gathered from the sources into `tests/data/wordings.txt`: whoever changes or translates a
//! wording sees all of them in one file, and a review shows which moved. `UPDATE_EXPECT=1` writes it anew.

use crate::docs::blocks::{file, read, root};
use expect_test::expect_file;
use oaktag_language::report::Code;
use oaktag_language::report::explain::explanation;
use proc_macro2::{Delimiter, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::{Path, PathBuf};

const MESSAGES: &str = "Messages";
const LESSONS: &str = "Lessons";
const PHRASES: &str = "The table of phrases";
const PIECES: &str = "Pieces, seams, figures and names, wherever they are said";
/// What is said in each folder or file, the first that fits.
const SAID: [(&str, &str); 13] = [
    ("crates/language/src/phrase/family/fault.rs", MESSAGES),
    ("crates/language/src/phrase/family/", PHRASES),
    ("crates/language/src/phrase/wording.rs", LESSONS),
    ("crates/language/src/voice/", PIECES),
    ("crates/language/src/pattern/seam/", MESSAGES),
    ("crates/language/src/pattern/", PIECES),
    ("crates/output/src/", "Paper and files"),
    ("crates/studio/src/lesson/", LESSONS),
    ("crates/studio/src/compare/", "Comparisons"),
    ("crates/studio/src/sizes/", "Over many bodies"),
    ("crates/page/src/", "In a browser"),
    ("src/", "Commands"),
    ("crates/", MESSAGES),
];
/// Lines of drafts, shown beside a message.
const DRAFTS: &str = "crates/language/src/syntax/parser/model.rs";

/// What is called with words of a message.
const TOLD: [&str; 10] = [
    "say", "error", "warning", "note", "help", "at", "see", "label", "print", "told",
];
/// What a row of the table of phrases is called with: for lessons, and for its own page.
const TAUGHT: [&str; 3] = ["thing", "act", "drawn"];
const ROW: [&str; 4] = ["says", "tight", "with", "also"];
/// What is called with words that only a programmer reads.
const UNREAD: [&str; 11] = [
    "expect",
    "panic",
    "unreachable",
    "assert",
    "assert_eq",
    "debug_assert",
    "debug_assert_eq",
    "todo",
    "include_str",
    "concat",
    "env",
];
/// Attributes of a page whose values people read; those of all others are code.
const READ_ATTRIBUTES: [&str; 4] = ["alt", "title", "label", "placeholder"];
/// Marks of a page, an address or a file.
const CODE: [&str; 7] = ["</", "/>", "=\"", "http", "%PDF", "rotate(", "'none'"];

/// What a literal is given to.
#[derive(Clone, Copy, PartialEq)]
enum By {
    Nothing,
    Message,
    Lesson,
    Row,
}

/// What is known of the tokens around a literal.
#[derive(Clone, Copy)]
struct Around<'a> {
    code: Option<&'a str>,
    by: By,
    /// Within a type of clap, whose remarks are help texts.
    is_help: bool,
}

/// Wordings by their heading, and there by the code or the file that says them.
type Wordings = BTreeMap<&'static str, BTreeMap<String, BTreeSet<String>>>;

struct Reader<'a> {
    path: &'a str,
    found: &'a mut Wordings,
}

impl Reader<'_> {
    fn take(&mut self, wording: &str, around: Around<'_>) {
        let of_file = SAID.iter().find(|(at, _)| self.path.starts_with(at));
        let of_language = self.path.starts_with("crates/language/");
        let (heading, under) = match (around.by, around.code) {
            (By::Lesson, _) => (LESSONS, self.path),
            (By::Row, _) => (PHRASES, self.path),
            (By::Message, None) if of_language && of_file.unwrap().1 == PHRASES => {
                (MESSAGES, self.path)
            }
            (_, Some(code)) if of_language => (MESSAGES, code),
            _ => (of_file.unwrap().1, self.path),
        };
        let said = self.found.entry(heading).or_default();
        let said = said.entry(under.to_owned()).or_default();
        said.insert(wording.replace('\n', "\\n"));
    }

    /// Reads what stands between two brackets, or a whole file, a statement, an arm or an item at a time.
    fn tokens(&mut self, stream: TokenStream, within: Option<Delimiter>, around: Around<'_>) {
        let tokens: Vec<TokenTree> = stream.into_iter().collect();
        for sentence in tokens.split_inclusive(|token| ends(token, within)) {
            self.sentence(sentence, around);
        }
    }

    /// Where it names one code, all that it says is said under it.
    fn sentence(&mut self, tokens: &[TokenTree], around: Around<'_>) {
        if attributes(tokens).any(|one| one.contains("cfg(test)")) {
            return;
        }
        let mut codes = BTreeSet::new();
        codes_in(tokens, &mut codes);
        let named = (codes.len() == 1).then(|| codes.pop_first().unwrap());
        let code = named.as_deref().or(around.code);
        let is_help = around.is_help || is_clap(tokens);
        if around.is_help {
            self.remark(tokens, around);
        }
        for (at, token) in tokens.iter().enumerate() {
            match token {
                TokenTree::Group(group) if is_attribute(tokens, at) => {
                    let is_read = is_help && !is_remark(&group.stream());
                    let read = if is_read {
                        group.stream()
                    } else {
                        TokenStream::new()
                    };
                    self.tokens(read, None, around);
                }
                TokenTree::Group(group) => {
                    let name = called(&tokens[..at]);
                    let is_any =
                        |names: &[&str]| name.as_deref().is_some_and(|name| names.contains(&name));
                    let inside: Vec<TokenTree> = group.stream().into_iter().collect();
                    let of_row = self.path.contains("/phrase/family/");
                    let by = if is_any(&UNREAD) {
                        continue;
                    } else if of_row && is_any(&TAUGHT) {
                        By::Lesson
                    } else if of_row && (is_any(&ROW) || is_word(inside.first(), "Link")) {
                        By::Row
                    } else if is_any(&TOLD) {
                        By::Message
                    } else if name.is_none() && group.delimiter() != Delimiter::Brace {
                        around.by
                    } else {
                        By::Nothing
                    };
                    // The second text of a row is a line of a draft.
                    let stream = match inside.first() {
                        Some(first) if is_any(&["says"]) => first.clone().into(),
                        _ => group.stream(),
                    };
                    let around = Around { code, by, is_help };
                    self.tokens(stream, Some(group.delimiter()), around);
                }
                TokenTree::Literal(literal) => {
                    let text = letters(&literal.to_string()).unwrap_or_default();
                    let told = matches!(around.by, By::Message | By::Lesson);
                    if !is_value(&tokens[..at]) && is_wording(&text, told) {
                        self.take(&text, Around { code, ..around });
                    }
                }
                _ => {}
            }
        }
    }

    /// The remark on an option of a command, or a value of one, its lines joined.
    fn remark(&mut self, tokens: &[TokenTree], around: Around<'_>) {
        let groups = tokens.iter().enumerate();
        let groups = groups.filter(|(at, _)| is_attribute(tokens, *at));
        let lines = groups.filter_map(|(_, group)| match group {
            TokenTree::Group(group) if is_remark(&group.stream()) => {
                group.stream().into_iter().last()
            }
            _ => None,
        });
        let lines: Vec<String> = lines
            .filter_map(|text| letters(&text.to_string()))
            .collect();
        if !lines.is_empty() {
            let lines: Vec<&str> = lines.iter().map(|line| line.trim()).collect();
            self.take(&lines.join(" "), around);
        }
    }
}

fn ends(token: &TokenTree, within: Option<Delimiter>) -> bool {
    let in_list = within == Some(Delimiter::Brace) || within == Some(Delimiter::Bracket);
    match token {
        TokenTree::Punct(mark) => mark.as_char() == ';' || mark.as_char() == ',' && in_list,
        TokenTree::Group(group) => {
            group.delimiter() == Delimiter::Brace && within != Some(Delimiter::Parenthesis)
        }
        _ => false,
    }
}

fn is_mark(token: Option<&TokenTree>, mark: char) -> bool {
    matches!(token, Some(TokenTree::Punct(is)) if is.as_char() == mark)
}

fn is_word(token: Option<&TokenTree>, word: &str) -> bool {
    matches!(token, Some(TokenTree::Ident(is)) if is == word)
}

/// Whether the group at that place is `#[…]` or `#![…]`.
fn is_attribute(tokens: &[TokenTree], at: usize) -> bool {
    let before = |by: usize| at.checked_sub(by).and_then(|at| tokens.get(at));
    matches!(tokens[at], TokenTree::Group(_))
        && (is_mark(before(1), '#') || is_mark(before(1), '!') && is_mark(before(2), '#'))
}

fn is_remark(attribute: &TokenStream) -> bool {
    is_word(attribute.clone().into_iter().next().as_ref(), "doc")
}

fn attributes(tokens: &[TokenTree]) -> impl Iterator<Item = String> {
    let groups = tokens.iter().enumerate();
    let groups = groups.filter(|(at, _)| is_attribute(tokens, *at));
    groups.map(|(_, group)| group.to_string().replace(' ', ""))
}

fn is_clap(tokens: &[TokenTree]) -> bool {
    let sorts = ["Args", "Parser", "Subcommand", "ValueEnum"];
    attributes(tokens)
        .any(|one| one.contains("derive(") && sorts.iter().any(|sort| one.contains(sort)))
}

/// What a group is the argument of: `.note(…)`, `say!(…)`.
fn called(before: &[TokenTree]) -> Option<String> {
    match before {
        [.., TokenTree::Ident(name)] => Some(name.to_string()),
        [.., TokenTree::Ident(name), TokenTree::Punct(mark)] if mark.as_char() == '!' => {
            Some(name.to_string())
        }
        _ => None,
    }
}

/// Whether a literal is the value of an attribute of a page that nobody reads: `class="on paper"`.
fn is_value(before: &[TokenTree]) -> bool {
    let bound = |word| before.iter().any(|token| is_word(Some(token), word));
    match before {
        [.., TokenTree::Ident(name), TokenTree::Punct(mark)] if mark.as_char() == '=' => {
            !bound("let") && !bound("const") && READ_ATTRIBUTES.iter().all(|read| name != read)
        }
        _ => false,
    }
}

/// The codes that are named anywhere in it.
fn codes_in(tokens: &[TokenTree], found: &mut BTreeSet<String>) {
    for (at, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Group(group) if !is_attribute(tokens, at) => {
                codes_in(&group.stream().into_iter().collect::<Vec<_>>(), found);
            }
            TokenTree::Ident(word) if word == "Code" => {
                let variant = tokens.get(at + 3).map(ToString::to_string);
                let is_it = |code: &&Code| variant == Some(format!("{code:?}"));
                let code = Code::ALL.iter().find(is_it);
                found.extend(code.map(|code| code.name().to_owned()));
            }
            _ => {}
        }
    }
}

/// A literal of letters as it is read; none where it is a figure, a letter or bytes.
fn letters(literal: &str) -> Option<String> {
    if let Some(raw) = literal.strip_prefix('r') {
        return Some(raw.trim_matches('#').trim_matches('"').to_owned());
    }
    let inside = literal.strip_prefix('"')?.strip_suffix('"')?;
    let (mut text, mut letters) = (String::new(), inside.chars().peekable());
    while let Some(letter) = letters.next() {
        if letter != '\\' {
            text.push(letter);
            continue;
        }
        match letters.next()? {
            'n' => text.push('\n'),
            't' => text.push('\t'),
            '\n' => while letters.next_if(|blank| blank.is_whitespace()).is_some() {},
            'u' => {
                let number = letters.by_ref().skip(1).take_while(|one| *one != '}');
                let number = u32::from_str_radix(&number.collect::<String>(), 16);
                text.push(char::from_u32(number.ok()?)?);
            }
            other => text.push(other),
        }
    }
    Some(text)
}

/// Whether people read it: it has a word of its own, and another or a place beside it; in a message the word is enough.
fn is_wording(text: &str, told: bool) -> bool {
    let is_style = ["{", ":", ";", "\n"].iter().all(|mark| text.contains(mark));
    if is_style || text.starts_with('<') || CODE.iter().any(|mark| text.contains(mark)) {
        return false;
    }
    let mut depth = 0;
    let outside = text.chars().filter(|letter| {
        depth += i32::from(*letter == '{') - i32::from(*letter == '}');
        depth == 0 && letter.is_alphabetic()
    });
    let has_word = outside.count() > 0;
    let is_part =
        |part: &&str| part.contains(|letter: char| letter.is_alphabetic() || letter == '{');
    has_word && (told || text.split_whitespace().filter(is_part).count() > 1)
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// All of them, as the sources have them.
fn wordings() -> Wordings {
    let mut paths = Vec::new();
    for folder in ["language", "output", "studio", "page"] {
        sources(&file(&format!("crates/{folder}/src")), &mut paths);
    }
    sources(&file("src"), &mut paths);
    let mut found = Wordings::new();
    for path in &paths {
        let path = path.strip_prefix(root()).unwrap().to_str().unwrap();
        let name = path.rsplit('/').next().unwrap();
        if path != DRAFTS && !name.contains("tests") {
            let found = &mut found;
            let around = Around {
                code: None,
                by: By::Nothing,
                is_help: false,
            };
            Reader { path, found }.tokens(read(path).parse().unwrap(), None, around);
        }
    }
    found
}

#[test]
fn every_wording_stands_in_one_file() {
    let mut text = "Every sentence that people read, by where it is said: messages by their code where it is known, all else by \
        its file.\n`{}` and `{name}` stand for what is put in. UPDATE_EXPECT=1 cargo test --test program docs::wordings writes it \
        anew.\n"
        .to_owned();
    for (heading, said) in wordings() {
        let _ = write!(text, "\n== {heading} ==\n");
        for (under, wordings) in said {
            let _ = write!(text, "\n{under}\n");
            for wording in wordings {
                let _ = writeln!(text, "  {wording}");
            }
        }
    }
    let _ = write!(text, "\n== What `explain` tells ==\n");
    for code in Code::ALL {
        let told = explanation(*code).unwrap();
        let _ = write!(text, "\n{code}\n  {}\n  {}\n", told.meaning, told.cure);
    }
    expect_file![file("tests/data/wordings.txt")].assert_eq(&text);
}

/// From so many words on, a wording of paper, lessons and comparisons stands in one file, from which others take it.
const LONG: usize = 4;

#[test]
fn no_wording_of_paper_and_lessons_stands_in_two_files() {
    let mut by_wording: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (heading, said) in wordings() {
        if [MESSAGES, PHRASES, "Commands"].contains(&heading) {
            continue;
        }
        for (path, wordings) in said {
            for wording in wordings {
                by_wording.entry(wording).or_default().insert(path.clone());
            }
        }
    }
    by_wording.retain(|wording, paths| {
        let words = wording.split_whitespace();
        let words = words.filter(|word| word.chars().all(char::is_alphabetic));
        paths.len() > 1 && words.count() >= LONG
    });
    assert!(by_wording.is_empty(), "{by_wording:#?}");
}
