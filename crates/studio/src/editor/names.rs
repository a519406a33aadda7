//! Where a name is drawn, and where it is read.

use super::Editor;
use crate::session::places::Place;
use oaktag_language::check::program::Mention;
use oaktag_language::report::Span;
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

/// What is named at a place, wherever the draft's files name it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Thing {
    /// Something with a name: each place where it is drawn, redrawn or read.
    Named(Vec<Span>),
    /// Something that an act or the library names: where it is drawn or done, and the word by which it is read.
    Given(Span, String),
}

impl Editor<'_> {
    /// Where what is named at a place is drawn or declared, as it stands there: of a line that is redrawn, its last drawing
    /// before.
    pub fn definition(&self, at: usize) -> Option<Defined> {
        let of = self.defined(at)?;
        if let Some(place) = self.place(of) {
            return Some(Defined::At(place));
        }
        Some(Defined::Elsewhere(self.elsewhere_at(of)))
    }

    /// The same as a place in any of the draft's files: the name, or of an act its sentence.
    pub fn defined(&self, at: usize) -> Option<Span> {
        let byte = self.units.byte(at);
        let of = self.mention_at(byte).map(|mention| mention.of);
        of.or_else(|| self.declared_at(byte))
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
        let all = self.meant_at(at);
        all.iter().filter_map(|span| self.place(*span)).collect()
    }

    pub(super) fn all(&self) -> &[Mention] {
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

    /// What is named at a place; none where nothing that has a name is.
    pub fn thing(&self, at: usize) -> Option<Thing> {
        let byte = self.units.byte(at);
        let read = self.mention_at(byte);
        if let Some(read) = read.filter(|read| !self.is_named_there(read)) {
            let letters = self.session.sources().slice(read.at);
            return Some(Thing::Given(read.of, letters.to_owned()));
        }
        let first = read.map(|mention| mention.at);
        let first = first.or_else(|| self.declared_at(byte))?;
        Some(Thing::Named(self.named_as([first])))
    }

    /// Every place of a thing in the draft's files, in order.
    pub fn places_of(&self, thing: &Thing) -> Vec<Span> {
        match thing {
            Thing::Named(places) => places.clone(),
            // An act has drawn it on a panel of the text: its readings are known, and where it has its name is not.
            Thing::Given(of, letters) => {
                let sources = self.session.sources();
                let same = self.all().iter().filter(|one| one.of == *of);
                let same = same.map(|one| one.at);
                let same = same.filter(|at| sources.slice(*at) == letters);
                same.collect::<BTreeSet<Span>>().into_iter().collect()
            }
        }
    }

    /// All places of what is named at some of them, in order.
    pub fn named_as(&self, places: impl IntoIterator<Item = Span>) -> Vec<Span> {
        let edges = self.all().iter();
        let edges: Vec<&Mention> = edges.filter(|one| self.is_named_there(one)).collect();
        let mut found = BTreeSet::from_iter(places);
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

    /// The same of a byte of the draft's own text.
    pub(super) fn meant_at(&self, at: usize) -> Vec<Span> {
        let thing = self.thing(at);
        thing.map_or_else(Vec::new, |thing| self.places_of(&thing))
    }

    /// Whether what is read has its name where it is drawn, and not in an act that is called there.
    pub(super) fn is_named_there(&self, mention: &Mention) -> bool {
        let sources = self.session.sources();
        part_named(sources.slice(mention.at), sources.slice(mention.of)).is_some()
    }
}

/// The part of a word that a name takes in it: all; of one that an `each` lays out (`gore_2`), what stands before the number;
/// of `next gore`, what stands behind.
pub(super) fn part_named(word: &str, name: &str) -> Option<Range<usize>> {
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
