//! Where a name is drawn, where it is read, and what another name for it would change.

use super::Editor;
use crate::session::places::Place;
use crate::session::view::Offer;
use oaktag_language::check::program::Mention;
use oaktag_language::report::{Diagnostic, FileId, Span};
use oaktag_language::syntax::lexer;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use serde::Serialize;
use std::collections::BTreeSet;
use std::ops::Range;

/// Where something is drawn or declared.
#[derive(Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Defined {
    /// In the draft's own text.
    At(Place),
    /// In another file, or in the library.
    Elsewhere(Elsewhere),
}

/// A sentence of another file, or of the library.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Elsewhere {
    /// The file, with its line.
    pub said: String,
    /// The sentence, or the line, that stands there.
    pub text: String,
}

/// What another name for something comes to.
#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Renamed {
    /// The letters that change, in the order of the text.
    Edits(Vec<Offer>),
    /// Why it cannot be done.
    Said(String),
}

impl Editor<'_> {
    /// Where what is named at a place is drawn or declared, as it stands there: of a line that is redrawn, its last drawing
    /// before.
    pub fn definition(&self, at: usize) -> Option<Defined> {
        let byte = self.units.byte(at);
        let of = self.mention_at(byte).map(|mention| mention.of);
        let of = of.or_else(|| self.declared_at(byte))?;
        if let Some(place) = self.place(of) {
            return Some(Defined::At(place));
        }
        Some(Defined::Elsewhere(self.elsewhere_at(of)))
    }

    /// What stands in another file.
    pub(super) fn elsewhere_at(&self, of: Span) -> Elsewhere {
        let sources = self.session.sources();
        let (name, line) = (sources.name(of.file), sources.line(of));
        let text = sources.slice(of);
        Elsewhere {
            said: format!("{name}, line {line}"),
            text: match text.contains(char::is_whitespace) {
                true => text.to_owned(),
                // A name alone says little: its line does.
                false => {
                    let mut lines = sources.text(of.file).lines();
                    let line = lines.nth(line.saturating_sub(1));
                    line.unwrap_or_default().trim().to_owned()
                }
            },
        }
    }

    /// Everywhere in the text that the thing named at a place is drawn, redrawn or read, in order.
    pub fn mentions(&self, at: usize) -> Vec<Place> {
        let all = self.meant_at(self.units.byte(at));
        all.iter().filter_map(|span| self.place(*span)).collect()
    }

    /// What another name for the thing named at a place would change. It is tried: where the draft would then mean something
    /// else, or have an error that it has not, nothing is changed.
    pub fn rename(&self, at: usize, to: &str) -> Renamed {
        let all = self.meant_at(self.units.byte(at));
        if all.is_empty() {
            return Renamed::Said("Nothing that has a name stands here.".into());
        }
        let named = self.mention_at(self.units.byte(at));
        if named.is_some_and(|mention| !self.is_named_there(&mention)) {
            return Renamed::Said(
                "It has its name where it is drawn: in an act, or in the library.".into(),
            );
        }
        if !is_name(to) {
            return Renamed::Said(format!(
                "`{to}` cannot be a name: a name is one word of letters, digits and _, and no word of the language."
            ));
        }
        let sources = self.session.sources();
        if let Some(other) = all.iter().find(|span| span.file != self.own) {
            return Renamed::Said(format!(
                "It is drawn in {}, line {}: another name for it begins there.",
                sources.name(other.file),
                sources.line(*other)
            ));
        }
        let bytes: Vec<Range<usize>> = all.iter().filter_map(|span| self.bytes(*span)).collect();
        let words: BTreeSet<&str> = bytes.iter().map(|at| self.letters(at.clone())).collect();
        let Some(name) = words.iter().copied().min_by_key(|word| word.len()) else {
            return Renamed::Said("Nothing that has a name stands here.".into());
        };
        let mut edits = Vec::new();
        for at in bytes {
            match part_named(self.letters(at.clone()), name) {
                Some(part) => edits.push(at.start + part.start..at.start + part.end),
                None => {
                    return Renamed::Said(format!(
                        "`{}` is `{name}` here, so that another name cannot be put in place of it.",
                        self.letters(at)
                    ));
                }
            }
        }
        if let Some(why) = self.would_change(&edits, to) {
            return Renamed::Said(why);
        }
        Renamed::Edits(edits.into_iter().map(|at| self.offer(at, to)).collect())
    }

    fn all(&self) -> &[Mention] {
        &self.session.program().mentions
    }

    /// What is read at a byte.
    pub(super) fn mention_at(&self, byte: usize) -> Option<Mention> {
        let here = |mention: &&Mention| self.holds(mention.at, byte);
        self.all().iter().rev().find(here).copied()
    }

    /// The name that is drawn or declared at a byte.
    pub(super) fn declared_at(&self, byte: usize) -> Option<Span> {
        let program = self.session.program();
        let targets = program.sites.iter().flat_map(|site| &site.targets);
        let drawn = targets.map(|target| target.span);
        let measures = program.measures.iter().map(|measure| measure.name_span);
        let read = program.mentions.iter().map(|mention| mention.of);
        let mut found = drawn.chain(measures).chain(read);
        found.find(|span| self.holds(*span, byte) && self.is_word(*span))
    }

    /// A name, and not the sentence that says how an act is done.
    fn is_word(&self, span: Span) -> bool {
        let text = self.session.sources().slice(span);
        !text.contains(char::is_whitespace)
    }

    fn holds(&self, span: Span, byte: usize) -> bool {
        self.bytes(span)
            .is_some_and(|at| at.start <= byte && byte <= at.end)
    }

    /// All places of the thing that is named at a byte, drawn, redrawn and read, in order; of an act none, as it is no name.
    fn meant_at(&self, byte: usize) -> Vec<Span> {
        let read = self.mention_at(byte);
        if let Some(read) = read.filter(|read| !self.is_named_there(read)) {
            // An act has drawn it on a panel of the text: its readings are known, and where it has its name is not.
            let sources = self.session.sources();
            let letters = sources.slice(read.at);
            let same = self.all().iter().filter(|one| one.of == read.of);
            let same = same
                .map(|one| one.at)
                .filter(|at| sources.slice(*at) == letters);
            return same.collect::<BTreeSet<Span>>().into_iter().collect();
        }
        let first = read.map(|mention| mention.at);
        let Some(first) = first.or_else(|| self.declared_at(byte)) else {
            return Vec::new();
        };
        let edges = self.all().iter();
        let edges: Vec<&Mention> = edges.filter(|one| self.is_named_there(one)).collect();
        let mut found = BTreeSet::from([first]);
        // What is redrawn is read and drawn at once, and an act's own names may be of several panels.
        loop {
            let before = found.len();
            for mention in &edges {
                if found.contains(&mention.at) || found.contains(&mention.of) {
                    found.extend([mention.at, mention.of]);
                }
            }
            if found.len() == before {
                break;
            }
        }
        found.into_iter().collect()
    }

    /// Whether what is read has its name where it is drawn, and not in an act that is called there.
    fn is_named_there(&self, mention: &Mention) -> bool {
        let sources = self.session.sources();
        part_named(sources.slice(mention.at), sources.slice(mention.of)).is_some()
    }

    /// Why other letters in these places would change what the draft means; nothing where they would not.
    fn would_change(&self, edits: &[Range<usize>], to: &str) -> Option<String> {
        let mut text = self.text().to_owned();
        for at in edits.iter().rev() {
            text.replace_range(at.clone(), to);
        }
        let (checked, own) = self.session.checked_as(&text);
        let had = self.session.checked().iter().filter(|one| one.is_error());
        let errors = checked.diagnostics.iter().filter(|one| one.is_error());
        if errors.clone().count() > had.count() {
            let first: Option<&Diagnostic> = errors.into_iter().next();
            let why = first.map(|told| told.message.in_unit(self.session.unit()).into_owned());
            return Some(format!(
                "It cannot be called `{to}`: {}",
                why.unwrap_or_default()
            ));
        }
        let moved = |at: usize| {
            let before = edits.iter().filter(|edit| edit.end <= at);
            before.fold(at, |at, edit| at + to.len() - (edit.len()))
        };
        let own_only = |file: FileId, of: FileId| file == of;
        let old: BTreeSet<[usize; 4]> = self
            .all()
            .iter()
            .filter_map(|mention| {
                let (at, of) = (self.bytes(mention.at)?, self.bytes(mention.of)?);
                Some([at.start, at.end, of.start, of.end].map(moved))
            })
            .collect();
        let new = checked.program.mentions.iter();
        let new = new.filter(|one| own_only(one.at.file, own) && own_only(one.of.file, own));
        let new: BTreeSet<[usize; 4]> = new
            .map(|one| [one.at.start, one.at.end, one.of.start, one.of.end].map(|at| at as usize))
            .collect();
        (old != new)
            .then(|| format!("`{to}` is taken: with it the draft would mean something else."))
    }
}

/// Whether a text is one word that may be a name.
fn is_name(text: &str) -> bool {
    let lexed = lexer::lex(text, FileId::default(), &mut Messages::default());
    let mut tokens = lexed.tokens.iter().map(|(tok, span)| (*tok, span.len()));
    tokens.next() == Some((Tok::Name, text.len()))
        && tokens.all(|(tok, _)| matches!(tok, Tok::Newline | Tok::End))
}

/// The part of a word that a name takes in it: all; of one that an `each` lays out (`gore_2`), what stands before the number;
/// of `next gore`, what stands behind.
fn part_named(word: &str, name: &str) -> Option<Range<usize>> {
    if let Some(number) = word.strip_prefix(name) {
        let digits = number.strip_prefix('_').unwrap_or(number);
        return digits
            .bytes()
            .all(|byte| byte.is_ascii_digit())
            .then_some(0..name.len());
    }
    let before = word.strip_suffix(name)?;
    (before.trim_end() == "next").then_some(before.len()..word.len())
}
