//! What another name for a thing would change. It is tried before it is said.

use super::Editor;
use super::names::part_named;
use crate::session::Session;
use crate::session::places::Place;
use crate::session::view::Offer;
use oaktag_language::check::program::Program;
use oaktag_language::report::{Diagnostic, FileId, Span};
use oaktag_language::syntax::lexer;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// What another name for something comes to.
#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Renamed {
    /// The letters that change, in the order of the text.
    Edits(Vec<Offer>),
    /// Why it cannot be done.
    Said(String),
}

/// A name that may be put otherwise.
#[derive(Debug, PartialEq, Eq)]
pub struct NameAt {
    /// Its letters at the place that was asked about.
    pub at: Place,
    /// The name.
    pub name: String,
    /// The bytes of its letters in each file of the draft.
    pub all: BTreeMap<FileId, Vec<Range<usize>>>,
}

impl Editor<'_> {
    /// The name at a place, and everywhere that it stands in the draft's files.
    ///
    /// # Errors
    /// In words: why it cannot be put otherwise.
    pub fn name_at(&self, at: usize) -> Result<NameAt, String> {
        let nothing = || "Nothing that has a name stands here.".to_owned();
        let byte = self.units.byte(at);
        let named = self.mention_at(byte);
        if named.is_some_and(|mention| !self.is_named_there(&mention)) {
            return Err("It has its name where it is drawn: in an act, or in the library.".into());
        }
        let all = self.meant_at(at);
        let (name, all) = self.letters_of(&all)?.ok_or_else(nothing)?;
        let own = all.get(&self.own).into_iter().flatten();
        let here = own.rev().find(|at| at.start <= byte && byte <= at.end);
        let here = here.ok_or_else(nothing)?.clone();
        Ok(NameAt {
            at: self.units.place(here),
            name,
            all,
        })
    }

    /// The letters of one name at its places: the name, and the bytes in each file; nothing where there is no place.
    ///
    /// # Errors
    /// In words: where it is put together with other letters.
    #[allow(clippy::type_complexity, reason = "a name and its places")]
    pub fn letters_of(
        &self,
        all: &[Span],
    ) -> Result<Option<(String, BTreeMap<FileId, Vec<Range<usize>>>)>, String> {
        let sources = self.session.sources();
        let words = all.iter().map(|span| sources.slice(*span));
        let Some(name) = words.min_by_key(|word| word.len()) else {
            return Ok(None);
        };
        let mut found: BTreeMap<FileId, Vec<Range<usize>>> = BTreeMap::new();
        for span in all {
            let (at, word) = (sources.bytes(*span), sources.slice(*span));
            let Some(part) = part_named(word, name) else {
                return Err(format!(
                    "`{word}` is `{name}` here, so that another name cannot be put in place of it."
                ));
            };
            let of_file = found.entry(span.file).or_default();
            of_file.push(at.start + part.start..at.start + part.end);
        }
        for places in found.values_mut() {
            places.sort_by_key(|at| at.start);
            places.dedup();
        }
        Ok(Some((name.to_owned(), found)))
    }

    /// What another name for the thing named at a place would change in the draft's own text. It is tried: where the draft would
    /// then mean something else, or have an error that it has not, nothing is changed.
    pub fn rename(&self, at: usize, to: &str) -> Renamed {
        let named = match self.name_at(at) {
            Ok(named) => named,
            Err(why) => return Renamed::Said(why),
        };
        if let Err(why) = is_name(to) {
            return Renamed::Said(why);
        }
        let sources = self.session.sources();
        let mut others = named.all.iter().filter(|(file, _)| **file != self.own);
        if let Some((file, places)) = others.next() {
            let at = places.first().map_or(0, |at| at.start);
            return Renamed::Said(format!(
                "It is drawn in {}, line {}: another name for it begins there.",
                sources.name(*file),
                sources.line(sources.span(*file, at..at))
            ));
        }
        let edits = named.all.get(&self.own).map_or(&[][..], Vec::as_slice);
        let mut text = self.text().to_owned();
        for at in edits.iter().rev() {
            text.replace_range(at.clone(), to);
        }
        let (checked, _) = self.session.checked_as(&text);
        let after = (&*checked.program, checked.diagnostics.as_slice());
        if let Some(why) = means_otherwise(self.session, after, &named.all, to) {
            return Renamed::Said(why);
        }
        let edits = edits.iter().map(|at| self.offer(at.clone(), to));
        Renamed::Edits(edits.collect())
    }
}

/// Why a draft with another name in these places of its files means something else than before; nothing where it does not.
/// `after` is that draft checked, with what was told of it.
pub fn means_otherwise(
    before: &Session,
    after: (&Program, &[Diagnostic]),
    edits: &BTreeMap<FileId, Vec<Range<usize>>>,
    to: &str,
) -> Option<String> {
    let (program, told) = after;
    let had = before.checked().iter().filter(|one| one.is_error());
    let mut errors = told.iter().filter(|one| one.is_error());
    if errors.clone().count() > had.count() {
        let why = errors.next();
        let why = why.map(|told| told.message.in_unit(before.unit()).into_owned());
        return Some(format!(
            "It cannot be called `{to}`: {}",
            why.unwrap_or_default()
        ));
    }
    let sources = before.sources();
    let moved = |span: Span| -> (FileId, [usize; 2]) {
        let of_file = edits.get(&span.file).into_iter().flatten();
        let bytes = sources.bytes(span);
        let by = |at: usize| {
            let before = of_file.clone().filter(|edit| edit.end <= at);
            before.fold(at, |at, edit| at + to.len() - edit.len())
        };
        (span.file, [by(bytes.start), by(bytes.end)])
    };
    let own = |span: Span| !sources.is_library(span.file);
    let mentions = before.program().mentions.iter();
    let mentions = mentions.filter(|one| own(one.at) && own(one.of));
    let old: BTreeSet<_> = mentions.map(|one| (moved(one.at), moved(one.of))).collect();
    let fresh = |span: Span| (span.file, [span.start as usize, span.end as usize]);
    let mentions = program.mentions.iter();
    let mentions = mentions.filter(|one| own(one.at) && own(one.of));
    let new: BTreeSet<_> = mentions.map(|one| (fresh(one.at), fresh(one.of))).collect();
    (old != new).then(|| format!("`{to}` is taken: with it the draft would mean something else."))
}

/// Whether a text is one word that may be a name.
///
/// # Errors
/// In words, where it is not.
pub fn is_name(text: &str) -> Result<(), String> {
    let lexed = lexer::lex(text, FileId::default(), &mut Messages::default());
    let mut tokens = lexed.tokens.iter().map(|(tok, span)| (*tok, span.len()));
    let is_one = tokens.next() == Some((Tok::Name, text.len()))
        && tokens.all(|(tok, _)| matches!(tok, Tok::Newline | Tok::End));
    match is_one {
        true => Ok(()),
        false => Err(format!(
            "`{text}` cannot be a name: a name is one word of letters, digits and _, and no word of the language."
        )),
    }
}
