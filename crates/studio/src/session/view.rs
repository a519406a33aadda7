//! All that a page shows of a draft at hand beside the picture, in one value: what is wrong, with the letters that mend it; which
//! sentences drew each name; what can be chosen, and within what; pieces, steps, seams and checks in words. Of a body that differs
//! left from right it has both figures, and says which piece and which seam is of which side.
//!
//! Places are of the draft's own text, in UTF-16 code units, as pages and editors count.

use super::Session;
use super::drawn_by::{DrawnBy, drawn_by};
use super::places::{Place, Units};
use crate::sizes::search::axis::{self, Range, axes};
use oaktag_language::draft::Outcome;
use oaktag_language::draft::inputs::Inputs;
use oaktag_language::kind::Dimension;
use oaktag_language::pattern::spec::{MeasureUsed, Value};
use oaktag_language::pattern::{Decided, Piece, Seam, WearerSide, said};
use oaktag_language::report::{Diagnostic, FileId, Severity, Span};
use oaktag_language::sewing::PieceSays;
use oaktag_language::syntax::tree::{PieceSentence, PieceSentenceKind, Sentence, SentenceKind};
use oaktag_language::voice::{self, Words};
use oaktag_output::svg;
use serde::Serialize;

/// What a page shows of a draft.
#[derive(Debug, Serialize)]
pub struct View {
    /// The draft's title; its file's name where it has none.
    pub title: String,
    /// The unit of figures that people read: `cm`.
    pub unit: &'static str,
    /// In a few words: "All well", "2 errors, 1 warning".
    pub verdict: String,
    /// Nothing is wrong.
    pub well: bool,
    /// What cannot be drawn, in words; none where the picture is whole.
    pub unfinished: Option<String>,
    /// What is wrong, errors first.
    pub messages: Vec<Message>,
    /// Something can be drawn.
    pub has_picture: bool,
    /// The pieces that the picture shows; none where the draft has none, and panels are shown under their own names.
    pub pieces: Vec<PieceSaid>,
    /// Which sentences drew what.
    pub drawn: DrawnBy,
    /// Of a body that differs left from right, in which measures, and what that does to each piece.
    pub sides: Vec<String>,
    /// Measures and choices, in the order they are settled.
    pub choices: Vec<Choice>,
    /// The draft's own steps.
    pub steps: Vec<Step>,
    /// Seams as walked.
    pub seams: Vec<SeamSaid>,
    /// Checks as judged.
    pub checks: Vec<CheckSaid>,
}

/// Something that is wrong, or should be looked at.
#[derive(Debug, Serialize)]
pub struct Message {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// Its name, which `oaktag explain` knows.
    pub code: &'static str,
    /// What it says.
    pub text: String,
    /// Words on the place.
    pub label: String,
    /// Further lines.
    pub notes: Vec<String>,
    /// What to do about it.
    pub help: Option<String>,
    /// Where it is; none where that is in another file.
    pub at: Option<Place>,
    /// The other file, with its line.
    pub elsewhere: Option<String>,
    /// Letters that mend it, each in a place of its own.
    pub offers: Vec<Offer>,
}

/// Letters that mend what is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// What they stand in place of.
    pub at: Place,
    /// The letters.
    pub text: String,
}

/// A measure or a choice.
#[derive(Debug, Serialize)]
pub struct Choice {
    /// With its import's name before it.
    pub name: String,
    /// How to take it, or what it does.
    pub text: String,
    /// Its value, as people read it.
    pub value: String,
    /// The same as it may be given: `bust_ease=10cm` without the name.
    pub typed: String,
    /// A measure of the body.
    pub of_body: bool,
    /// Worked out from others.
    pub worked_out: bool,
    /// The library's example, which nobody gave.
    pub example: bool,
    /// The values of both sides, where they differ; `value` then tells both.
    pub sides: Option<BothSides>,
    /// What it may be.
    pub may: May,
    /// The sentence that declares it, where that is in the draft.
    pub at: Option<Place>,
}

/// What a measure is on either side of the wearer.
#[derive(Debug, Serialize)]
pub struct BothSides {
    /// On the wearer's left.
    pub left: OfSide,
    /// On the wearer's right.
    pub right: OfSide,
}

/// What a measure is on one side.
#[derive(Debug, Serialize)]
pub struct OfSide {
    /// As people read it.
    pub value: String,
    /// As it may be given: `shoulder_slope.left=26deg` without the name.
    pub typed: String,
    /// In the unit of the figures that it may be.
    pub now: f64,
}

/// A piece of the pattern.
#[derive(Debug, Serialize)]
pub struct PieceSaid {
    /// Its name in the drawing: `front`, `front.left`.
    pub name: String,
    /// As it is printed on it.
    pub said: String,
    /// The panel that its lines are of.
    pub panel: String,
    /// The side of the wearer that it is cut for alone.
    pub side: Option<&'static str>,
    /// The sentence of the draft that says it, or takes it from where it is said.
    pub at: Option<Place>,
    /// The sentences of its darts, in the order in which darts are numbered; none where they are not in the draft's own text.
    pub darts: Vec<Place>,
}

/// What a choice may be.
#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum May {
    /// It is fixed here, with the reason.
    Not(&'static str),
    /// A figure: the least, the most and the value in the unit of `figures`.
    Figure {
        /// The least.
        least: f64,
        /// The most.
        most: f64,
        /// What it is now.
        now: f64,
        /// How far one move goes.
        step: f64,
        /// The unit that the three stand in, as written behind a figure; empty for a number.
        unit: &'static str,
    },
    /// One of these, as it may be given.
    Words(Vec<String>),
}

/// A step of the draft.
#[derive(Debug, Serialize)]
pub struct Step {
    /// From 1.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// Its sentence, the block included.
    pub at: Place,
}

/// A seam as it was walked.
#[derive(Debug, Serialize)]
pub struct SeamSaid {
    /// Its name, as people say it, and as the draft does.
    pub said: String,
    /// The draft's own name of it; of one that differs left from right, with the side: `armhole.left`.
    pub name: String,
    /// The side of the wearer on which it is.
    pub side: Option<&'static str>,
    /// The sentence of the draft that says it, or takes it from where it is said.
    pub at: Option<Place>,
    /// `fits`, `does not fit`, `not judged`.
    pub verdict: &'static str,
    /// It fits.
    pub ok: bool,
    /// Both lengths.
    pub lengths: Vec<String>,
    /// Sections, and what runs on at its ends.
    pub lines: Vec<String>,
}

/// A check as it was judged.
#[derive(Debug, Serialize)]
pub struct CheckSaid {
    /// What the author calls it.
    pub text: String,
    /// What was found.
    pub measured: String,
    /// What was wanted.
    pub wanted: String,
    /// It holds.
    pub ok: bool,
}

impl Session {
    /// The pattern at true size, SVG; none where nothing can be drawn.
    pub fn picture(&self) -> Option<String> {
        self.drawing().map(svg::of_drawing)
    }

    /// All that a page shows of the draft but its picture.
    pub fn view(&self) -> View {
        let outcome = self.outcome();
        let pattern = &outcome.pattern;
        let own = self.own_file();
        let texts = Texts {
            session: self,
            own,
            units: Units::of(&self.text),
        };
        let errors = outcome.diagnostics.iter().filter(|d| d.is_error()).count();
        let warnings = outcome.diagnostics.len() - errors;
        let mut messages: Vec<Message> = outcome
            .diagnostics
            .iter()
            .map(|d| texts.message(d))
            .collect();
        messages.sort_by_key(|one| one.severity != "error");
        let mut verdict = match errors {
            0 => "All well".to_owned(),
            _ => voice::count(errors, "error"),
        };
        if warnings > 0 {
            verdict = format!("{verdict}, {}", voice::count(warnings, "warning"));
        }
        View {
            title: match pattern.title.trim() {
                "" => self.name.clone(),
                title => title.to_owned(),
            },
            unit: self.unit().name(),
            verdict,
            well: errors == 0,
            unfinished: pattern.unfinished.as_ref().map(|lacks| lacks.said()),
            messages,
            has_picture: self.has_picture(),
            pieces: texts.pieces(outcome),
            drawn: drawn_by(self, outcome, &|span| texts.place(span)),
            sides: pattern.sides.clone(),
            choices: self.choices(outcome, &texts),
            steps: texts.steps(),
            seams: texts.seams(outcome),
            checks: checks(outcome),
        }
    }

    fn choices(&self, outcome: &Outcome, texts: &Texts<'_>) -> Vec<Choice> {
        let (moved, fixed) = axes(&outcome.program, &Inputs::default(), outcome);
        let mut choices: Vec<Choice> = Vec::new();
        let mut measures = outcome.pattern.measures.iter().peekable();
        while let Some(used) = measures.next() {
            let split = WearerSide::split(&used.name);
            let other = split.and_then(|(name, side)| {
                measures.next_if(|next| next.name == side.other().of(name))
            });
            let name = other
                .and(split)
                .map_or(used.name.as_str(), |(name, _)| name);
            let code = outcome
                .program
                .measures
                .iter()
                .find(|code| code.name == name);
            let why = fixed.iter().find(|one| one.name == name);
            let axis = moved.iter().find(|axis| axis.name == name).cloned();
            // What is worked out may be given, too.
            let is_worked = why.is_some_and(|fixed| fixed.why == axis::WORKED_OUT);
            let axis = axis.or_else(|| axis::given(code.filter(|_| is_worked)?, &used.value));
            let typed = axis
                .as_ref()
                .map(|axis| axis::typed(&axis.base, self.unit()));
            let mut sides = [Some(used), other];
            sides.sort_by_key(|one| one.map(|one| one.name.as_str()));
            let sides = match sides {
                [Some(left), Some(right)] => Some(BothSides {
                    left: self.of_side(left),
                    right: self.of_side(right),
                }),
                _ => None,
            };
            choices.push(Choice {
                name: name.to_owned(),
                text: used.text.clone(),
                value: match &sides {
                    Some(sides) => {
                        format!("{} left, {} right", sides.left.value, sides.right.value)
                    }
                    None => said::value(&used.value, self.unit()),
                },
                typed: typed.unwrap_or_default(),
                of_body: used.of_body,
                worked_out: used.worked_out,
                example: used.example,
                sides,
                may: match &axis {
                    Some(axis) => self.may(axis),
                    None => May::Not(why.map_or("nothing reads it", |one| one.why)),
                },
                at: code.and_then(|code| texts.place(code.span)),
            });
        }
        choices
    }

    fn of_side(&self, used: &MeasureUsed) -> OfSide {
        let given = axis::given_of(&used.value);
        OfSide {
            value: said::value(&used.value, self.unit()),
            typed: given.map_or_else(String::new, |given| axis::typed(&given, self.unit())),
            now: match &used.value {
                Value::Length(figure) => figure / axis::moved_in(Dimension::LENGTH, self.unit()).1,
                Value::Angle(figure) | Value::Number(figure) => *figure,
                _ => 0.0,
            },
        }
    }

    fn may(&self, axis: &axis::Axis) -> May {
        let (low, high, dimension, whole) = match &axis.range {
            Range::Words(words) => {
                let words = words.iter().map(|word| axis::typed(word, self.unit()));
                return May::Words(words.collect());
            }
            Range::Figure {
                low,
                high,
                dimension,
                whole,
            } => (*low, *high, *dimension, *whole),
        };
        let now = axis.figure().unwrap_or(low);
        let (unit, per, step) = axis::moved_in(dimension, self.unit());
        May::Figure {
            least: low / per,
            most: high / per,
            now: now / per,
            step: if whole { 1.0 } else { step },
            unit,
        }
    }
}

/// The texts of a session, and where its own file's places are.
struct Texts<'s> {
    session: &'s Session,
    own: Option<FileId>,
    units: Units,
}

impl Texts<'_> {
    /// The place in the draft's own text; none of another.
    fn place(&self, span: Span) -> Option<Place> {
        if Some(span.file) != self.own {
            return None;
        }
        Some(self.units.place(self.session.sources().bytes(span)))
    }

    fn message(&self, told: &Diagnostic) -> Message {
        let sources = self.session.sources();
        let unit = self.session.unit();
        let said = |words: &Words| words.in_unit(unit).into_owned();
        let at = self.place(told.place);
        let elsewhere = || {
            let (name, line) = (sources.name(told.place.file), sources.line(told.place));
            format!("{name}, line {line}")
        };
        let offers = told.offers.iter().filter_map(|offer| {
            Some(Offer {
                at: self.place(offer.place)?,
                text: offer.text.clone(),
            })
        });
        Message {
            severity: match told.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
            },
            code: told.code.name(),
            text: said(&told.message),
            label: said(&told.label),
            notes: told.notes.iter().map(said).collect(),
            help: told.help.as_ref().map(said),
            elsewhere: at.is_none().then(elsewhere),
            at,
            offers: offers.collect(),
        }
    }

    fn pieces(&self, outcome: &Outcome) -> Vec<PieceSaid> {
        let pieces = &outcome.pattern.pieces;
        let one = |piece: &Piece| {
            let (stem, side) = of_side(&piece.name);
            // An interlining is of the piece that it lies inside.
            let outer = piece.inside_of.as_ref();
            let outer = outer.and_then(|(label, _)| pieces.iter().find(|one| one.label == *label));
            let of = outer.map_or(stem, |outer| of_side(&outer.name).0);
            let said = outcome.program.pieces.iter().find(|code| code.name == of);
            PieceSaid {
                name: piece.name.clone(),
                said: piece.label.clone(),
                panel: of_side(&piece.panel).0.to_owned(),
                side,
                at: said.and_then(|code| self.said_at(code.taken, code.head)),
                darts: self.darts(stem, piece.darts.len()),
            }
        };
        pieces.iter().map(one).collect()
    }

    /// The sentence that says something, without its block, or the whole one that takes it from where it is said.
    fn said_at(&self, taken: Option<Span>, head: Span) -> Option<Place> {
        let Some(word) = taken else {
            return self.place(head);
        };
        let mut own = self.session.own_sentences().iter();
        let holds = |one: &&Sentence| {
            let Span { file, start, end } = one.span;
            file == word.file && start <= word.start && word.end <= end
        };
        self.place(own.find(holds).map_or(word, |one| one.span))
    }

    /// The dart sentences of a piece of that name that has so many darts.
    fn darts(&self, name: &str, count: usize) -> Vec<Place> {
        let own = self.session.own_sentences().iter();
        let mut pieces = own.filter_map(|one| match &one.kind {
            SentenceKind::Piece(piece) if *piece.name.text == *name => Some(piece),
            _ => None,
        });
        let said = pieces.next().map_or(&[][..], |piece| &piece.sentences);
        let is_dart = |one: &&PieceSentence| {
            matches!(one.kind, PieceSentenceKind::Says(PieceSays::Dart { .. }))
        };
        let found = said.iter().filter(is_dart);
        let found: Vec<Place> = found.filter_map(|one| self.place(one.span)).collect();
        // Where others come from elsewhere, or by an `if`, it is not known which is which.
        if found.len() == count {
            found
        } else {
            Vec::new()
        }
    }

    fn seams(&self, outcome: &Outcome) -> Vec<SeamSaid> {
        let pattern = &outcome.pattern;
        let place = |name: &str| {
            let code = outcome
                .program
                .seams
                .iter()
                .find(|code| code.name == name)?;
            self.said_at(code.taken, code.head)
        };
        let one = |seam: &Seam| {
            let (stem, side) = of_side(&seam.name);
            SeamSaid {
                said: match side {
                    Some(side) => format!("{}, {side}", voice::name(stem)),
                    None => voice::name(&seam.name),
                },
                name: seam.name.clone(),
                side,
                at: place(stem),
                verdict: match (seam.ok, seam.decided) {
                    (true, _) => "fits",
                    (false, Decided::Unsure) => "not judged",
                    (false, _) => "does not fit",
                },
                ok: seam.ok,
                lengths: pattern.unit.lengths_apart(
                    &[seam.first.length, seam.second.length],
                    said::least_said(seam.ok),
                ),
                lines: said::of_seam(seam, pattern),
            }
        };
        let lost = outcome.record.not_judged.iter();
        let lost = lost.filter(|one| one.is_seam).map(|one| SeamSaid {
            said: voice::name(&one.name),
            name: one.name.clone(),
            side: None,
            at: place(&one.name),
            verdict: "not judged",
            ok: false,
            lengths: Vec::new(),
            lines: vec![format!("{}.", voice::capital(&one.why))],
        });
        pattern.seams.iter().map(one).chain(lost).collect()
    }

    fn steps(&self) -> Vec<Step> {
        let steps = self.session.program().steps.iter();
        let own = steps
            .filter(|step| step.file.is_empty())
            .filter_map(|step| {
                Some(Step {
                    number: step.number,
                    name: step.name.clone(),
                    at: self.place(step.span)?,
                })
            });
        own.collect()
    }
}

/// A name without the side of the wearer that it is of, and the side.
fn of_side(name: &str) -> (&str, Option<&'static str>) {
    match WearerSide::split(name) {
        Some((stem, side)) => (stem, Some(side.word())),
        None => (name, None),
    }
}

fn checks(outcome: &Outcome) -> Vec<CheckSaid> {
    let checks = outcome.pattern.checks.iter().map(|check| CheckSaid {
        text: check.text.clone(),
        measured: check.measured.clone(),
        wanted: check.wanted.clone(),
        ok: check.ok,
    });
    let lost = outcome.record.not_judged.iter();
    let lost = lost.filter(|one| !one.is_seam).map(|one| CheckSaid {
        text: one.name.clone(),
        measured: "not judged: what it needs is not drawn".into(),
        wanted: String::new(),
        ok: false,
    });
    checks.chain(lost).collect()
}
