//! All that a page shows of a draft at hand, in one value: what is wrong, with the letters that mend it; the picture; which
//! sentence drew each name last; what can be chosen, and within what; steps, seams and checks in words.
//!
//! Places are of the draft's own text, in UTF-16 code units, as pages and editors count.

use super::Session;
use super::places::{Place, Units};
use crate::sizes::search::axis::{self, Range, axes};
use oaktag_language::draft::Outcome;
use oaktag_language::draft::inputs::Inputs;
use oaktag_language::draft::record::EntryId;
use oaktag_language::pattern::spec::MeasureUsed;
use oaktag_language::pattern::{Decided, said};
use oaktag_language::report::{Diagnostic, FileId, Severity, Span};
use oaktag_language::voice::{self, Words};
use oaktag_output::svg;
use serde::Serialize;
use std::collections::BTreeMap;

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
    /// The pattern at true size, SVG; none where nothing can be drawn.
    pub picture: Option<String>,
    /// Each piece by its name, with the panel that its lines are of.
    pub panels: BTreeMap<String, String>,
    /// Each name with the place of the sentence that drew it last.
    pub drawn: BTreeMap<String, Place>,
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
#[derive(Clone, Debug, Serialize)]
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
    /// What it may be.
    pub may: May,
    /// The sentence that declares it, where that is in the draft.
    pub at: Option<Place>,
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
    /// The draft's own name of it.
    pub name: String,
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
    /// All that a page shows of the draft.
    pub fn view(&self) -> View {
        self.viewed(self.picture().map(svg::of_drawing))
    }

    /// The same with this picture, or without one.
    pub(crate) fn viewed(&self, picture: Option<String>) -> View {
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
            picture,
            panels: panels(outcome),
            drawn: texts.drawn(outcome),
            choices: self.choices(outcome, &texts),
            steps: texts.steps(),
            seams: seams(outcome),
            checks: checks(outcome),
        }
    }

    fn choices(&self, outcome: &Outcome, texts: &Texts<'_>) -> Vec<Choice> {
        let (moved, fixed) = axes(&outcome.program, &Inputs::default(), outcome);
        let one = |used: &MeasureUsed| {
            let code = outcome
                .program
                .measures
                .iter()
                .find(|code| code.name == used.name);
            let axis = moved.iter().find(|axis| axis.name == used.name);
            let why = fixed.iter().find(|one| one.name == used.name);
            let typed = axis.map(|axis| axis::typed(&axis.base, self.unit()));
            Choice {
                name: used.name.clone(),
                text: used.text.clone(),
                value: said::value(&used.value, self.unit()),
                typed: typed.unwrap_or_default(),
                of_body: used.of_body,
                worked_out: used.worked_out,
                example: used.example,
                may: match axis {
                    Some(axis) => self.may(axis),
                    None => May::Not(why.map_or("nothing reads it", |one| one.why)),
                },
                at: code.and_then(|code| texts.place(code.span)),
            }
        };
        outcome.pattern.measures.iter().map(one).collect()
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

    /// Each name with the sentence of the draft's own text that drew it last: what an act draws, the sentence that calls it.
    fn drawn(&self, outcome: &Outcome) -> BTreeMap<String, Place> {
        let (record, sites) = (&outcome.record, &outcome.program.sites);
        let mut drawn = BTreeMap::new();
        for entry in &record.entries {
            let Some(site) = sites.get(entry.site.0 as usize) else {
                continue;
            };
            let mut place = self.place(site.span);
            let mut call = entry.call;
            while let (None, Some(EntryId(number))) = (place, call) {
                let Some(caller) = record.entries.get(number as usize) else {
                    break;
                };
                let site = sites.get(caller.site.0 as usize);
                place = site.and_then(|site| self.place(site.span));
                call = caller.call;
            }
            let Some(place) = place else { continue };
            for target in &site.targets {
                drawn.insert(target.name.to_string(), place);
            }
        }
        drawn
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

/// The panels of pieces; where none are declared the drawing shows panels under their own names.
fn panels(outcome: &Outcome) -> BTreeMap<String, String> {
    let pieces = outcome.pattern.pieces.iter();
    pieces
        .map(|piece| (piece.name.clone(), piece.panel.clone()))
        .collect()
}

fn seams(outcome: &Outcome) -> Vec<SeamSaid> {
    let pattern = &outcome.pattern;
    let one = |seam: &oaktag_language::pattern::Seam| SeamSaid {
        said: voice::name(&seam.name),
        name: seam.name.clone(),
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
    };
    let lost = outcome.record.not_judged.iter();
    let lost = lost.filter(|one| one.is_seam).map(|one| SeamSaid {
        said: voice::name(&one.name),
        name: one.name.clone(),
        verdict: "not judged",
        ok: false,
        lengths: Vec::new(),
        lines: vec!["What it needs is not drawn.".into()],
    });
    pattern.seams.iter().map(one).chain(lost).collect()
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
