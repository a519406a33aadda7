//! Which figures of the text move a thing, and how.

use super::figure::{Fineness, Literal};
use super::{Hands, Thing};
use crate::session::Change;
use crate::session::places::Place;
use crate::session::trail::Trail;
use kurbo::{Point, Vec2};
use oaktag_language::check::program::{FormRef, OperationInfo, Site, SiteId};
use oaktag_language::draft::record::{EntryId, ValueId};
use oaktag_language::report::{FileId, Span};
use oaktag_language::syntax::lexer;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::{Link, SentenceKind};
use oaktag_language::voice;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::ops::Range;

/// A thing that moves less than this, in millimetres, for a whole step does not move.
const NOTHING: f64 = 1e-3;

/// What could move a thing.
#[derive(Debug, Serialize)]
pub struct Movers {
    /// Figures that move it, those of its own sentence first.
    pub movers: Vec<Mover>,
    /// What else it hangs on, and why a hand cannot move that.
    pub held: Vec<String>,
}

/// A figure that moves a thing.
#[derive(Clone, Debug, Serialize)]
pub struct Mover {
    /// Where it stands; an option that is not written yet stands nowhere, and would stand here.
    pub at: Place,
    /// As it is written; of an option that is not written, with what would be written.
    pub written: String,
    /// What it is: `bust ease`, or the sentence that it stands in.
    pub of: String,
    /// It is not written yet: `with front_neck_lower 8mm`.
    pub is_option: bool,
    /// The unit it is written in.
    pub unit: String,
    /// What it is now, in that unit.
    pub now: f64,
    /// How far one step goes.
    pub step: f64,
    /// The least and the most that are declared for it.
    pub range: Option<(f64, f64)>,
    /// How far the thing goes to the right for one of the unit, in millimetres.
    pub right: f64,
    /// How far it goes up.
    pub up: f64,
    #[serde(skip)]
    pub(super) put: Put,
}

/// Letters that another figure would take.
#[derive(Clone, Debug)]
pub(super) struct Put {
    pub bytes: Range<usize>,
    /// What stands before the figure, where it is not written yet.
    pub before: String,
    pub literal: Literal,
}

impl Put {
    /// The letters for a value.
    pub(super) fn letters(&self, value: f64, fineness: Fineness) -> String {
        format!("{}{}", self.before, self.literal.written(value, fineness))
    }
}

/// A figure that may move the thing.
struct Candidate {
    put: Put,
    of: String,
    range: Option<(f64, f64)>,
}

impl Hands<'_> {
    /// What could move a thing: so many figures at most, and what holds it besides. Nothing where it is not drawn.
    pub fn movers(&mut self, thing: &Thing, most: usize) -> Option<Movers> {
        let now = thing.place(self.session.outcome())?;
        let (candidates, held) = self.candidates(thing);
        let mut movers = Vec::new();
        for candidate in candidates {
            if movers.len() >= most {
                break;
            }
            if let Some(slope) = self.slope(thing, now, &candidate) {
                movers.push(self.mover(candidate, slope));
            }
        }
        Some(Movers { movers, held })
    }

    /// Where the thing is with another figure in the text; nowhere where it is then not drawn.
    pub(super) fn tried(
        &mut self,
        thing: &Thing,
        put: &Put,
        value: f64,
        fineness: Fineness,
    ) -> Option<Point> {
        let mut text = self.session.text().to_owned();
        text.replace_range(put.bytes.clone(), &put.letters(value, fineness));
        self.tried.change(Change::Text(text)).ok()?;
        let outcome = self.tried.outcome();
        let stood = self.session.outcome().pattern.unfinished.is_some();
        if outcome.pattern.unfinished.is_some() && !stood {
            return None;
        }
        thing.place(outcome)
    }

    /// How far the thing goes for one of the figure's unit, from a step either way.
    fn slope(&mut self, thing: &Thing, now: Point, candidate: &Candidate) -> Option<Vec2> {
        let literal = &candidate.put.literal;
        let step = literal.step(Fineness::AsWritten);
        let value = literal.value;
        let allowed = |value: &f64| {
            let range = candidate.range.unwrap_or((0.0, f64::INFINITY));
            *value >= range.0.max(0.0) - 1e-9 && *value <= range.1 + 1e-9
        };
        let mut at = |value: f64| {
            let value = Some(value).filter(allowed)?;
            self.tried(thing, &candidate.put, value, Fineness::AsWritten)
        };
        let (more, less) = (at(value + step), at(value - step));
        let gone = match (more, less) {
            (Some(more), Some(less)) => (more - less) / 2.0,
            (Some(more), None) => more - now,
            (None, Some(less)) => now - less,
            (None, None) => return None,
        };
        let turns = [more, less].into_iter().flatten();
        let is_moved = turns
            .into_iter()
            .any(|place| (place - now).hypot() > NOTHING);
        is_moved.then(|| gone / step)
    }

    fn mover(&self, candidate: Candidate, slope: Vec2) -> Mover {
        let Candidate { put, of, range } = candidate;
        let literal = &put.literal;
        Mover {
            at: self.units.place(put.bytes.clone()),
            written: put
                .letters(literal.value, Fineness::AsWritten)
                .trim_start_matches([',', ' '])
                .to_owned(),
            is_option: !put.before.is_empty(),
            of,
            unit: literal.unit.clone(),
            now: literal.value,
            step: literal.step(Fineness::AsWritten),
            range,
            right: slope.x,
            up: slope.y,
            put,
        }
    }

    /// Figures that the thing may hang on, the nearest first, and what it hangs on that no hand moves.
    fn candidates(&self, thing: &Thing) -> (Vec<Candidate>, Vec<String>) {
        let mut found = Vec::new();
        let mut taken = BTreeSet::new();
        let mut held = Vec::new();
        let mut names = Vec::new();
        match thing {
            Thing::Point(name) | Thing::On(name, _) => names.push(name.clone()),
            Thing::Mark(piece, number) => {
                let piece = self.session.outcome().pattern.piece(piece);
                let mark = piece.and_then(|piece| piece.marks.get(*number));
                names.extend(mark.map(|mark| mark.name.clone()));
            }
            Thing::Notch(piece, number) => {
                let piece = self.session.outcome().pattern.piece(piece);
                let notch = piece.and_then(|piece| piece.notches.get(*number));
                if let (Some(piece), Some(notch)) = (piece, notch) {
                    let of = [Some(piece.name.as_str()), notch.seam.as_deref()];
                    for name in of.into_iter().flatten().rev() {
                        let span = self.sewing_sentence(name);
                        self.figures_in(span, &mut taken, &mut found);
                    }
                    let edge = piece.edges.get(notch.edge);
                    names.extend(edge.map(|edge| edge.line.clone()));
                }
            }
        }
        self.follow(&names, &mut taken, &mut found, &mut held);
        (found, held)
    }

    /// The sentence of a piece or a seam of the draft's own.
    fn sewing_sentence(&self, name: &str) -> Option<Span> {
        let mut sentences = self.session.own_sentences().iter();
        let sentence = sentences.find(|sentence| match &sentence.kind {
            SentenceKind::Seam(seam) => *seam.name.text == *name,
            SentenceKind::Piece(piece) => *piece.name.text == *name,
            _ => false,
        });
        sentence.map(|sentence| sentence.span)
    }

    /// Goes from what drew the names to what that read, and so on, nearest first.
    fn follow(
        &self,
        names: &[String],
        taken: &mut BTreeSet<usize>,
        found: &mut Vec<Candidate>,
        held: &mut Vec<String>,
    ) {
        let outcome = self.session.outcome();
        let program = &outcome.program;
        let trail = Trail::of(outcome);
        let measures = program.measures.iter();
        let measures: BTreeMap<SiteId, &str> = measures
            .map(|measure| (measure.site, measure.name.as_str()))
            .collect();
        let mut open: VecDeque<ValueId> = trail.root(names).into_iter().collect();
        let mut seen: BTreeSet<(EntryId, u32)> = BTreeSet::new();
        while let Some(id) = open.pop_front() {
            let Some(entry) = trail.entry(id.entry) else {
                continue;
            };
            if !seen.insert((id.entry, id.at)) {
                continue;
            }
            let Some(site) = program.site(entry.site) else {
                continue;
            };
            if let Some(name) = measures.get(&entry.site) {
                self.of_measure(name, site, taken, found, held);
                continue;
            }
            // The sentence, and those that call the acts it stands in.
            let mut around = Some(entry);
            while let Some(one) = around {
                if let Some(site) = program.site(one.site) {
                    self.figures_in(Some(site.span), taken, found);
                    if let Some(FormRef::Operation(number)) = site.form
                        && let Some(act) = program.operations.get(number)
                    {
                        self.options_of(act, site, taken, found);
                    }
                }
                around = one.call.and_then(|call| trail.entry(call));
            }
            match trail.within(id) {
                Some(drawn) => open.push_back(drawn),
                None => open.extend(entry.read.iter().chain(&entry.replaced)),
            }
        }
    }

    /// A measure that the thing hangs on: the default of a choice is a figure like others, that of a body's measure is not.
    fn of_measure(
        &self,
        name: &str,
        site: &Site,
        taken: &mut BTreeSet<usize>,
        found: &mut Vec<Candidate>,
        held: &mut Vec<String>,
    ) {
        let used = self.session.outcome().pattern.measures.iter();
        let Some(used) = used.into_iter().find(|used| used.name == name) else {
            return;
        };
        let said = voice::name(name);
        if used.of_body {
            held.push(format!("held by {said}, a measure of the body"));
        } else if self.session.is_given(name) {
            held.push(format!("held by {said}, which is given beside the text"));
        } else if site.span.file != self.own {
            held.push(format!("held by {said}, a choice of another file"));
        } else {
            self.figures_in(Some(site.span), taken, found);
        }
    }

    /// The figures of a sentence of the draft's own text that a hand may change, in order.
    fn figures_in(
        &self,
        span: Option<Span>,
        taken: &mut BTreeSet<usize>,
        found: &mut Vec<Candidate>,
    ) {
        let Some(span) = span.filter(|span| span.file == self.own) else {
            return;
        };
        let text = self.session.text();
        let bytes = self.session.sources().bytes(span);
        let Some(letters) = text.get(bytes.clone()) else {
            return;
        };
        for figure in figures(letters) {
            let at = bytes.start + figure.bytes.start..bytes.start + figure.bytes.end;
            if !taken.insert(at.start) {
                continue;
            }
            let line = text
                .get(..at.start)
                .map_or(0, |before| before.rfind('\n').map_or(0, |n| n + 1));
            let line = text.get(line..).and_then(|rest| rest.lines().next());
            found.push(Candidate {
                put: Put {
                    bytes: at,
                    before: String::new(),
                    literal: figure.literal,
                },
                of: line.unwrap_or_default().trim().to_owned(),
                range: figure.range,
            });
        }
    }

    /// The options of an act that its call does not say, each with its default.
    fn options_of(
        &self,
        act: &OperationInfo,
        site: &Site,
        taken: &mut BTreeSet<usize>,
        found: &mut Vec<Candidate>,
    ) {
        if site.value.file != self.own {
            return;
        }
        let call = self.session.sources().bytes(site.value);
        let written = self.session.text().get(call.clone()).unwrap_or_default();
        // One call in the sentence: where there are several nobody knows whose option it would be.
        let heads = act.form.head.as_deref().unwrap_or_default();
        if !written.starts_with(heads) || written.contains('{') || !taken.insert(call.end) {
            return;
        }
        let has_with = tokens(written).any(|(tok, _)| tok == Tok::Link(Link::With));
        let said: BTreeSet<&str> = tokens(written)
            .filter_map(|(_, at)| written.get(at))
            .collect();
        let head = self.session.sources().slice(act.span);
        for option in &act.form.options {
            if said.contains(&*option.name) {
                continue;
            }
            let Some(figure) = default_of(head, &option.name) else {
                continue;
            };
            let before = match has_with {
                true => format!(", {} ", option.name),
                false => format!(" with {} ", option.name),
            };
            found.push(Candidate {
                put: Put {
                    bytes: call.end..call.end,
                    before,
                    literal: figure.literal,
                },
                of: format!("{} of {heads}", voice::name(&option.name)),
                range: figure.range,
            });
        }
    }
}

/// A figure in some letters.
struct Figure {
    bytes: Range<usize>,
    literal: Literal,
    range: Option<(f64, f64)>,
}

fn tokens(letters: &str) -> impl Iterator<Item = (Tok, Range<usize>)> {
    let lexed = lexer::lex(letters, FileId::default(), &mut Messages::default());
    lexed
        .tokens
        .into_iter()
        .map(|(tok, span)| (tok, span.range()))
}

/// The figures of a sentence that may be moved: not the bounds of what it declares or looks for, nor the halves of a fraction, nor
/// what a text says.
fn figures(letters: &str) -> Vec<Figure> {
    let all: Vec<(Tok, Range<usize>)> = tokens(letters)
        .filter(|(tok, _)| *tok != Tok::Newline)
        .collect();
    let first = all.first().and_then(|(_, at)| letters.get(at.clone()));
    let declares = matches!(first, Some("choose" | "body" | "try" | "each"));
    let literal = |at: usize| {
        let (tok, bytes) = all.get(at)?;
        (*tok == Tok::Figure).then(|| letters.get(bytes.clone()).and_then(Literal::read))?
    };
    let is = |at: Option<usize>, wanted: Tok| {
        let found = at.and_then(|at| all.get(at));
        found.is_some_and(|(tok, _)| *tok == wanted)
    };
    let mut found = Vec::new();
    let mut in_bounds = false;
    for (at, (tok, bytes)) in all.iter().enumerate() {
        match tok {
            Tok::OpenBrace => in_bounds = false,
            Tok::Link(Link::Between) if declares => in_bounds = true,
            Tok::Link(Link::From) if first == Some("each") => in_bounds = true,
            _ => {}
        }
        let Some(figure) = literal(at).filter(|_| !in_bounds) else {
            continue;
        };
        let is_part = |other: Option<usize>| {
            let other = other.and_then(literal);
            figure.unit.is_empty() && other.is_some_and(|other| other.unit.is_empty())
        };
        let is_fraction = (is(Some(at + 1), Tok::Slash) && is_part(Some(at + 2)))
            || (is(at.checked_sub(1), Tok::Slash) && is_part(at.checked_sub(2)));
        if is_fraction {
            continue;
        }
        let range = is(Some(at + 1), Tok::Link(Link::Between))
            .then(|| bounds(letters, &all, at + 2))
            .flatten();
        found.push(Figure {
            bytes: bytes.clone(),
            literal: figure,
            range,
        });
    }
    found
}

/// `4cm and 25cm`, or `-2cm and 3cm`, in the unit of both.
fn bounds(letters: &str, all: &[(Tok, Range<usize>)], from: usize) -> Option<(f64, f64)> {
    let mut at = from;
    let mut next = || {
        let is_less = all.get(at).is_some_and(|(tok, _)| *tok == Tok::Minus);
        at += usize::from(is_less);
        let (_, bytes) = all.get(at)?;
        at += 2;
        let literal = Literal::read(letters.get(bytes.clone())?)?;
        Some(if is_less {
            -literal.value
        } else {
            literal.value
        })
    };
    Some((next()?, next()?))
}

/// The default of an option in the head of an act: `(length ease = 10cm between 0cm and 40cm …)`.
fn default_of(head: &str, option: &str) -> Option<Figure> {
    let all: Vec<(Tok, Range<usize>)> = tokens(head)
        .filter(|(tok, _)| *tok != Tok::Newline)
        .collect();
    let named = |one: &[(Tok, Range<usize>)]| match one {
        [(Tok::Name, name), (Tok::Equal, _), (Tok::Figure, figure)] => {
            head.get(name.clone()) == Some(option) && head.get(figure.clone()).is_some()
        }
        _ => false,
    };
    let at = all.windows(3).position(named)? + 2;
    let (_, bytes) = all.get(at)?;
    let literal = Literal::read(head.get(bytes.clone())?)?;
    // A formula stands there, and not a figure.
    let after = all.get(at + 1).map(|(tok, _)| *tok);
    let is_alone = !after.is_some_and(Tok::is_operator);
    let range = (after == Some(Tok::Link(Link::Between))).then(|| bounds(head, &all, at + 2));
    is_alone.then_some(Figure {
        bytes: bytes.clone(),
        literal,
        range: range.flatten(),
    })
}
