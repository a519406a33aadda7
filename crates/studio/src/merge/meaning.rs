//! Whether a merged draft means what its two versions meant: every name that a sentence reads is drawn by the sentence that
//! drew it in the version the reader is from, and nothing is wrong that was right in both. Which sentence a name means is
//! asked of the check.

use super::nodes::{Block, Id, Node, Words};
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::said;
use oaktag_language::phrase::Value;
use oaktag_language::report::{Diagnostic, Span};
use oaktag_language::{kind::Kind, voice};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::session::Session;

/// What a name is drawn or declared by.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum By {
    /// A sentence of the draft, under this name.
    Own(Id, String),
    /// A sentence of another file.
    Elsewhere(String, u32),
}

/// A name where it is read: the sentence, the letters, and which of several alike in it.
type Place = (Id, String, usize);

/// A figure that a sentence comes to.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Figure {
    /// As it is printed.
    Said(String),
    /// A place on the sheet, in millimetres, right and up.
    At(f64, f64),
}

/// A version of the draft, read and checked.
pub(super) struct Version<'a> {
    session: Session,
    nodes: BTreeMap<Id, &'a Node>,
    /// Where the words of each sentence stand, in order.
    at: Vec<(Range<usize>, Id)>,
}

impl<'a> Version<'a> {
    /// A text whose sentences are these.
    pub(super) fn new(session: Session, block: &'a Block) -> Self {
        let (mut nodes, mut at) = (BTreeMap::new(), Vec::new());
        block.each(&mut |node| {
            nodes.insert(node.id, node);
            at.extend(
                node.words()
                    .map(|words: &Words| (words.at.clone(), node.id)),
            );
        });
        at.sort_by_key(|(range, _)| range.start);
        Self { session, nodes, at }
    }

    pub(super) fn node(&self, id: Id) -> Option<&'a Node> {
        self.nodes.get(&id).copied()
    }

    pub(super) fn session(&self) -> &Session {
        &self.session
    }

    /// The sentence that a byte stands in.
    fn at(&self, byte: usize) -> Option<Id> {
        let next = self.at.partition_point(|(range, _)| range.start <= byte);
        let (range, id) = self.at.get(next.checked_sub(1)?)?;
        (byte <= range.end).then_some(*id)
    }

    /// The bytes of a span of the draft's own text.
    fn own(&self, span: Span) -> Option<Range<usize>> {
        (Some(span.file) == self.session.own_file()).then(|| self.session.sources().bytes(span))
    }

    /// By what each name that is read is drawn. What a name means where an `each` lays it out several times is several.
    fn read(&self) -> BTreeMap<Place, BTreeSet<By>> {
        let sources = self.session.sources();
        let mut spans: BTreeMap<(usize, usize), BTreeSet<By>> = BTreeMap::new();
        for mention in &self.session.program().mentions {
            let Some(at) = self.own(mention.at) else {
                continue;
            };
            let by = match self.own(mention.of).and_then(|of| self.at(of.start)) {
                Some(id) => By::Own(id, sources.slice(mention.of).to_owned()),
                None => By::Elsewhere(sources.name(mention.of.file).to_owned(), mention.of.start),
            };
            spans.entry((at.start, at.end)).or_default().insert(by);
        }
        let mut found = BTreeMap::new();
        let mut counts: BTreeMap<(Id, String), usize> = BTreeMap::new();
        for ((start, end), by) in spans {
            let Some(id) = self.at(start) else { continue };
            let letters = self.session.text().get(start..end).unwrap_or("").to_owned();
            let count = counts.entry((id, letters.clone())).or_default();
            found.insert((id, letters, *count), by);
            *count += 1;
        }
        found
    }

    /// The errors of the drawn draft: their codes with the sentences that they are told at.
    pub(super) fn errors(&self) -> Vec<(&Diagnostic, String, Option<Id>)> {
        let told = self.session.outcome().diagnostics.iter();
        let errors = told.filter(|told| told.is_error()).map(|told| {
            let id = self.own(told.place).and_then(|at| self.at(at.start));
            (told, told.code.name().to_owned(), id)
        });
        errors.collect()
    }

    /// What a sentence comes to, under each name that it draws or declares.
    pub(super) fn figures(&self, id: Id) -> Vec<(String, Figure)> {
        let outcome: &Outcome = self.session.outcome();
        let is_here = |span: Span| self.own(span).and_then(|at| self.at(at.start)) == Some(id);
        let unit = self.session.unit();
        let mut found = Vec::new();
        for measure in &outcome.program.measures {
            let used = outcome.pattern.measures.iter();
            let used = used.filter(|used| used.name == measure.name && is_here(measure.name_span));
            found.extend(used.map(|used| {
                (
                    used.name.clone(),
                    Figure::Said(said::value(&used.value, unit)),
                )
            }));
        }
        for entry in outcome
            .record
            .entries
            .iter()
            .filter(|entry| entry.call.is_none())
        {
            let Some(site) = outcome.program.site(entry.site) else {
                continue;
            };
            for (target, value) in site.targets.iter().zip(&entry.values) {
                if !is_here(target.span) || found.iter().any(|(name, _)| *name == *target.name) {
                    continue;
                }
                if let Some(figure) = self.figure(value, &target.kind) {
                    found.push((target.name.to_string(), figure));
                }
            }
        }
        found
    }

    fn figure(&self, value: &Value, kind: &Kind) -> Option<Figure> {
        let unit = self.session.unit();
        match (value, kind) {
            (Value::Point(at), _) => Some(Figure::At(at.x, at.y)),
            (Value::Path(path), _) => {
                let length = path.length().ok()?;
                Some(Figure::Said(unit.length(length)))
            }
            (Value::Quantity(figure), kind) if *kind == Kind::LENGTH => {
                Some(Figure::Said(unit.length(*figure)))
            }
            (Value::Quantity(figure), kind) if *kind == Kind::ANGLE => {
                Some(Figure::Said(voice::angle(*figure)))
            }
            (Value::Quantity(figure), kind) if *kind == Kind::AREA => {
                Some(Figure::Said(unit.area(*figure)))
            }
            (Value::Quantity(figure), kind) if *kind == Kind::NUMBER => {
                Some(Figure::Said(voice::number(*figure)))
            }
            (Value::Text(text), _) => Some(Figure::Said(text.to_string())),
            _ => None,
        }
    }
}

/// Whose a sentence of the merged draft is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// Ours wrote it, or wrote it otherwise.
    Ours,
    /// Theirs did.
    Theirs,
    /// It stands in both alike, or is made of both.
    Both,
}

/// A name that would mean what neither version meant.
#[derive(Debug)]
pub(super) struct Rebound {
    /// The sentence that reads it.
    pub id: Id,
    pub of: Of,
    pub name: String,
    /// By what it is drawn in the version that the sentence is from; none where it reads no such name.
    pub meant: BTreeSet<By>,
    /// By what it would be drawn.
    pub means: BTreeSet<By>,
}

/// Every name of the merged draft that would mean what neither version meant.
pub(super) fn rebound(
    [base, ours, theirs]: [&Version<'_>; 3],
    merged: &Version<'_>,
    skipped: &BTreeSet<Id>,
) -> Vec<Rebound> {
    let [in_base, in_ours, in_theirs, is] = [base, ours, theirs, merged].map(Version::read);
    let all = in_ours.keys().chain(in_theirs.keys()).chain(is.keys());
    let places: BTreeSet<&Place> = all.collect();
    let mut found = Vec::new();
    for place in places {
        let (id, name, _) = place;
        let Some(node) = merged.node(*id).filter(|_| !skipped.contains(id)) else {
            continue;
        };
        let says = |version: &Version<'_>| version.node(*id).is_some_and(|other| other.says(node));
        let [b, o, t, m] = [&in_base, &in_ours, &in_theirs, &is].map(|read| read.get(place));
        let three_ways = |b: Option<&BTreeSet<By>>| {
            if o == t || t == b {
                Some(o)
            } else if o == b {
                Some(t)
            } else {
                None
            }
        };
        let (of, wanted) = match (says(ours), says(theirs)) {
            (true, false) if b.is_none() || t.is_none() => (Of::Ours, Some(o)),
            (false, true) if b.is_none() || o.is_none() => (Of::Theirs, Some(t)),
            (true, false) => (Of::Ours, three_ways(b)),
            (false, true) => (Of::Theirs, three_ways(b)),
            (true, true) => (Of::Both, three_ways(b)),
            // The words before a block are of one version, those behind it of the other.
            (false, false) => match (o, t) {
                (Some(_), Some(_)) => (Of::Both, three_ways(b)),
                _ => (Of::Both, Some(o.or(t))),
            },
        };
        let is_lost = |by: &By| matches!(by, By::Own(id, _) if skipped.contains(id));
        let is_open = |set: Option<&BTreeSet<By>>| set.is_some_and(|set| set.iter().any(is_lost));
        if wanted == Some(m) || is_open(m) || is_open(o) || is_open(t) {
            continue;
        }
        let meant = match of {
            Of::Ours => o,
            Of::Theirs => t,
            Of::Both => o.or(t),
        };
        found.push(Rebound {
            id: *id,
            of,
            name: name.clone(),
            meant: meant.cloned().unwrap_or_default(),
            means: m.cloned().unwrap_or_default(),
        });
    }
    found
}
