//! The one canonical layout. What is said stands in one form, however it was typed: the tree says which brackets and which
//! `by` are wanted and where a line may be broken ([`notes`]), the tokens are gathered into sentences with their comments
//! ([`items`]), and those are written ([`page`]). What two layouts of one text come to is the same, so that a comparison of two
//! revisions shows only what changed.
//!
//! A sentence that cannot be read stays as it is, byte for byte. Texts and comments are never touched.

mod items;
mod notes;
mod own;
mod page;
mod places;
mod sewn;

use super::brackets;
use super::lexer::{self, Lexed};
use super::lines;
use super::messages::Messages;
use super::parser;
use super::tokens::{Placed, Tok};
use super::tree::File;
use crate::report::{Diagnostic, FileId, SourceMap};

/// No line is longer, unless it holds a single text or name that is.
pub const WIDEST: usize = 100;

/// A text laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Tidied {
    /// In the canonical layout, but for the sentences that cannot be read: those are as they were.
    pub text: String,
    /// What is wrong in them.
    pub diagnostics: Vec<Diagnostic>,
}

/// Lays a text out.
pub fn tidy(text: &str) -> Tidied {
    let mut map = SourceMap::new();
    let file = map.add("", text);
    tidy_file(&map, file)
}

/// The same for a file of a map, so that the messages point into it.
pub fn tidy_file(map: &SourceMap, file: FileId) -> Tidied {
    let text = map.text(file);
    let mut messages = Messages::default();
    let Lexed { tokens, trivia } = lexer::lex(text, file, &mut messages);
    let paired = braces_pair(&tokens);
    let balanced = brackets::balance(text, tokens, &mut messages);
    let placed = lines::end_sentences(text, &balanced, file, &mut messages);
    let (tree, _) = parser::read(text, file, &placed, &mut messages);
    let wrong = messages.places();
    // Where braces do not pair, or something was not read at all, nobody knows where a sentence ends.
    let laid_out = wrong.filter(|_| paired).and_then(|wrong| {
        let notes = notes::Notes::of(text, &placed, &trivia.comments, &tree);
        let items = items::items(text, &placed, &trivia, &notes, &wrong)?;
        Some(page::write(text, &items))
    });
    Tidied {
        text: laid_out.unwrap_or_else(|| text.to_owned()),
        diagnostics: messages.finish(),
    }
}

/// Whether every brace has its partner, before anything is mended.
fn braces_pair(tokens: &[Placed]) -> bool {
    let mut open = 0_usize;
    for (tok, _) in tokens {
        match tok {
            Tok::OpenBrace => open += 1,
            Tok::CloseBrace if open == 0 => return false,
            Tok::CloseBrace => open -= 1,
            _ => {}
        }
    }
    open == 0
}

/// What a tree says, its places and the brackets round whole parts left out: two texts with the same meaning are the same
/// draft in two layouts.
pub fn meaning(tree: &File) -> String {
    const OPENS: [&str; 4] = ["Expr", " {", " kind:", " Bracketed("];
    let written = without_places(&format!("{tree:?}"));
    let mut out = String::with_capacity(written.len());
    let mut rest = written.as_str();
    // Round brackets that are open, and whether each is that of a bracketed expression.
    let mut open = Vec::new();
    let mut quoted = false;
    while let Some(letter) = rest.chars().next() {
        if !quoted
            && let Some(inner) = OPENS
                .iter()
                .try_fold(rest, |rest, part| rest.strip_prefix(part))
        {
            open.push(true);
            rest = inner;
            continue;
        }
        rest = rest.get(letter.len_utf8()..).unwrap_or("");
        match letter {
            '"' => quoted = !quoted,
            '(' if !quoted => open.push(false),
            ')' if !quoted && open.pop() == Some(true) => {
                rest = rest.split_once('}').map_or("", |(_, after)| after);
                continue;
            }
            _ => {}
        }
        out.push(letter);
        if letter == '\\'
            && quoted
            && let Some(escaped) = rest.chars().next()
        {
            out.push(escaped);
            rest = rest.get(escaped.len_utf8()..).unwrap_or("");
        }
    }
    out
}

fn without_places(written: &str) -> String {
    let mut out = String::with_capacity(written.len());
    let mut quoted = false;
    let mut letters = written.chars().peekable();
    while let Some(letter) = letters.next() {
        out.push(letter);
        match letter {
            '\\' if quoted => out.extend(letters.next()),
            '"' => quoted = !quoted,
            // A place is written `0:12..15`.
            ':' if !quoted && letters.peek().is_some_and(char::is_ascii_digit) => {
                while letters
                    .next_if(|c| c.is_ascii_digit() || *c == '.')
                    .is_some()
                {}
            }
            _ => {}
        }
    }
    out
}
