//! The grammar: tokens to tree. Sentences are chumsky rules, one small named function each; which of them reads a
//! sentence is decided by its first word. Inside a sentence every choice is made by the next token, never by trying, so
//! that reading takes time in proportion to the text; a sentence that goes astray is reported once and left behind.

mod bearing;
mod condition;
mod context;
mod cursor;
mod expression;
mod fault;
mod file;
mod message;
mod model;
mod operation;
mod panel;
mod phrase;
mod piece;
mod seam;
mod sentence;
mod text;
mod values;

use super::brackets;
use super::lexer;
use super::lines;
use super::messages::Messages;
use super::tokens::{Placed, Tok, Trivia};
use super::tree;
use crate::report::{Diagnostic, FileId, SourceFile, SourceMap, Span};
use chumsky::input::{InputRef, MappedInput};
use chumsky::inspector::SimpleState;
use chumsky::prelude::*;
use context::Context;
use fault::Fault;
use model::Model;

/// A file that was read.
#[derive(Debug)]
pub struct Parsed {
    /// What could be read; sentences that could not are marked as broken.
    pub tree: tree::File,
    /// Its comments and blank lines.
    pub trivia: Trivia,
    /// What is wrong in it, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
    /// Names that a sentence which could not be read would have drawn: nobody should be told that they are unknown.
    pub broken_names: Vec<tree::Word>,
}

impl Parsed {
    /// A tree in which nothing is wrong.
    pub(super) fn whole(tree: tree::File) -> Self {
        Self {
            tree,
            trivia: Trivia::default(),
            diagnostics: Vec::new(),
            broken_names: Vec::new(),
        }
    }
}

/// Reads one file of the map.
pub fn parse(map: &SourceMap, file: FileId) -> Parsed {
    parse_text(map.text(file), file)
}

/// Reads a text in place of the file's own; in both a sentence stands at the same bytes.
pub(crate) fn parse_text(text: &str, file: FileId) -> Parsed {
    let mut messages = Messages::default();
    let (placed, trivia) = prepare(text, file, &mut messages);
    let (tree, broken_names) = read(text, file, &placed, &mut messages);
    Parsed {
        tree,
        trivia,
        diagnostics: messages.finish(),
        broken_names,
    }
}

/// Text to tokens that the grammar can read: brackets in pairs, sentences with their ends.
pub fn prepare(text: &str, file: FileId, messages: &mut Messages) -> (Vec<Placed>, Trivia) {
    let lexed = lexer::lex(text, file, messages);
    let balanced = brackets::balance(text, lexed.tokens, messages);
    (
        lines::end_sentences(text, &balanced, file, messages),
        lexed.trivia,
    )
}

/// Prepared tokens to tree.
pub fn read(
    text: &str,
    file: FileId,
    placed: &[Placed],
    messages: &mut Messages,
) -> (tree::File, Vec<tree::Word>) {
    let end = Span::new(file, text.len(), text.len());
    whole(placed, end, Context::new(text, messages))
}

/// Prepared tokens of a file's part to tree, at their places in the file.
pub(super) fn read_at(
    source: &SourceFile,
    file: FileId,
    placed: &[Placed],
    messages: &mut Messages,
) -> (tree::File, Vec<tree::Word>) {
    let end = source.span(file, source.text.len()..source.text.len());
    whole(placed, end, Context::within(source, messages))
}

fn whole(placed: &[Placed], end: Span, context: Context<'_>) -> (tree::File, Vec<tree::Word>) {
    let mut state = SimpleState(context);
    let sentences = sentence::whole_file()
        .parse_with_state(placed.split_token_span(end), &mut state)
        .into_output()
        .unwrap_or_default();
    (tree::File { sentences }, state.0.broken_names)
}

/// What the rules read.
type Tokens<'s> = MappedInput<'s, Tok, Span, &'s [Placed]>;
/// Our own error type and state.
type Extra<'s> = extra::Full<Fault, SimpleState<Context<'s>>, ()>;
/// The place in the tokens.
type In<'s, 'p> = InputRef<'s, 'p, Tokens<'s>, Extra<'s>>;
type Rule<'s, O> = Boxed<'s, 's, Tokens<'s>, O, Extra<'s>>;
/// What a rule gives, or where it went astray.
type Read<O> = Result<O, Fault>;

/// A rule that is a whole sentence.
trait Modelled<'s, O: 's>: Parser<'s, Tokens<'s>, O, Extra<'s>> + Sized + 's {
    /// The model is shown where the sentence goes astray.
    fn modelled(self, model: Model) -> Rule<'s, O> {
        self.labelled(model).as_context().boxed()
    }
}

impl<'s, O: 's, P: Parser<'s, Tokens<'s>, O, Extra<'s>> + 's> Modelled<'s, O> for P {}

/// A rule that decides by the next token.
fn rule<'s, O: 's>(read: impl Fn(&mut In<'s, '_>) -> Read<O> + 's) -> Rule<'s, O> {
    custom(read).boxed()
}

impl chumsky::span::Span for Span {
    type Context = FileId;
    type Offset = u32;

    fn new(file: FileId, range: std::ops::Range<u32>) -> Self {
        Span {
            file,
            start: range.start,
            end: range.end,
        }
    }

    fn context(&self) -> FileId {
        self.file
    }

    fn start(&self) -> u32 {
        self.start
    }

    fn end(&self) -> u32 {
        self.end
    }
}
