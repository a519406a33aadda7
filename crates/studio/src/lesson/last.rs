//! The end of a lesson: checks and seams to hold against one's own paper, the pieces, the measures that were used.

use super::steps::Maker;
use super::{
    Check, Figure, Lesson, Step, Work, class, making, places, seams, sewing, terms, tools, wholes,
};
use oaktag_language::pattern::said;
use oaktag_language::pattern::{Piece, Seam, Unfinished, spec};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::{Drawing, piece_figure};

impl Maker<'_> {
    /// Each check at the last step that draws something it reads.
    pub(crate) fn place_checks(&self, made: &mut [(Step, Vec<String>)]) {
        for check in &self.outcome.pattern.checks {
            let decides = |names: &Vec<String>| {
                check
                    .reads
                    .iter()
                    .any(|read| names.iter().any(|name| name == read))
            };
            if let Some((step, _)) = made.iter_mut().rev().find(|(_, names)| decides(names)) {
                // The step is told before what it draws is drawn anew.
                let overtaken = None;
                step.checks.push(Check {
                    overtaken,
                    ..checked(check)
                });
            }
        }
    }

    pub(super) fn finished(
        &self,
        steps: Vec<Step>,
        midway: Option<(String, Drawing)>,
        blocks: Vec<String>,
    ) -> Lesson {
        let pattern = &self.outcome.pattern;
        let used = |of_body: bool| -> Vec<Figure> {
            let measures = pattern
                .measures
                .iter()
                .filter(|measure| measure.of_body == of_body);
            measures.map(|measure| self.used(measure)).collect()
        };
        let (formulas, answers) = self.asked.finished();
        let options = self.options;
        let words = "Every piece as it is cut: the sewing line heavy, the cutting line thin.";
        let mut lesson = Lesson {
            title: pattern.told_title(),
            unit: match self.unit {
                LengthUnit::Millimetre => "millimetres",
                LengthUnit::Centimetre => "centimetres",
                LengthUnit::Inch => "inches",
            },
            body: used(true),
            choices: used(false),
            steps,
            midway,
            // One piece alone stands beside what is said of it.
            last: (pattern.pieces.len() > 1)
                .then(|| wholes::pieces("The pieces", words, pattern, self.room_for_wholes()))
                .flatten(),
            pieces: pattern
                .pieces
                .iter()
                .map(|piece| Work {
                    title: piece.label.clone(),
                    does: sewing::of_piece(piece, pattern),
                    plate: self.figure_of(piece),
                })
                .collect(),
            checks: pattern
                .checks
                .iter()
                .filter(|check| check.stands())
                .map(checked)
                .collect(),
            overtaken: overtaken(&pattern.checks),
            seams: pattern
                .seams
                .iter()
                .map(|seam| (self.sewn(seam), seams::of_seam(seam, pattern)))
                .collect(),
            cloths: sewing::cloths(pattern),
            order: making::order(pattern),
            order_found: making::found(pattern),
            cautions: pattern.cautions.clone(),
            unfinished: pattern.unfinished.as_ref().map(Unfinished::said),
            terms: Vec::new(),
            tools: String::new(),
            blocks,
            scale: options.scale,
            head: class::head(options.class, &options.issue, options.date.as_deref()),
            class: options.class,
            formulas,
            answers,
        };
        lesson.tools = tools::tools(&lesson);
        lesson.terms = terms::used(&lesson);
        lesson
    }

    /// A piece as it is drawn; one that is traced off another has its shape.
    fn figure_of(&self, piece: &Piece) -> Option<(Drawing, Vec<(String, String)>)> {
        let is_own = piece.inside_of.is_none();
        let pattern = &self.outcome.pattern;
        is_own
            .then(|| piece_figure::figure(piece, pattern, self.room_for_piece()))
            .flatten()
    }

    fn used(&self, measure: &spec::MeasureUsed) -> Figure {
        Figure {
            name: voice::capital(&voice::name(&measure.name)),
            value: said::value(&measure.value, self.unit),
            formula: provenance(measure).unwrap_or_default().to_owned(),
            text: measure.text.clone(),
        }
    }

    fn sewn(&self, seam: &Seam) -> Check {
        let pattern = &self.outcome.pattern;
        let lengths = [seam.first.length, seam.second.length];
        let lengths = self.unit.lengths_apart(&lengths, said::least_said(seam.ok));
        Check {
            text: seams::joined(seam, pattern),
            measured: lengths.join(" and "),
            wanted: if seam.is_eased() {
                let (low, high) = seam.wanted;
                let (side, low, high) = if high <= 0.0 && low < 0.0 {
                    (&seam.second, -high, -low)
                } else {
                    (&seam.first, low, high)
                };
                let by = if (high - low).abs() < places::SAME {
                    self.unit.length(low)
                } else {
                    format!("{} to {}", self.unit.length(low), self.unit.length(high))
                };
                format!("{} longer by {by}", seams::side(side, pattern))
            } else {
                format!("equal, within {}", self.unit.length(seam.tolerance))
            },
            ok: seam.ok,
            overtaken: None,
        }
    }
}

/// Where a value comes from that was neither measured nor chosen.
pub(super) fn provenance(measure: &spec::MeasureUsed) -> Option<&'static str> {
    if measure.worked_out {
        Some("worked out")
    } else if measure.example {
        Some("the library's example")
    } else {
        None
    }
}

/// Checks of what was drawn anew since, by what they belong to.
fn overtaken(checks: &[spec::Check]) -> Vec<(String, Vec<Check>)> {
    let mut groups: Vec<(String, Vec<Check>)> = Vec::new();
    for check in checks.iter().filter(|check| !check.stands()) {
        let of = match check.of.as_str() {
            "" => "Of the draft itself".to_owned(),
            of => format!("Of {}", unquoted(of)),
        };
        match groups.last_mut().filter(|(last, _)| *last == of) {
            Some((_, group)) => group.push(checked(check)),
            None => groups.push((of, vec![checked(check)])),
        }
    }
    groups
}

/// Words in which a name stands between backquotes, as a lesson says it: `shirt_body` is "shirt body".
fn unquoted(words: &str) -> String {
    let parts = words.split('`').enumerate();
    let said = parts.map(|(at, part)| match at % 2 {
        0 => part.to_owned(),
        _ => format!("“{}”", voice::name(part)),
    });
    said.collect()
}

fn checked(check: &spec::Check) -> Check {
    Check {
        text: check.text.clone(),
        measured: check.measured.clone(),
        wanted: check.wanted.clone(),
        ok: check.ok,
        overtaken: check.overtaken().map(|since| unquoted(&since)),
    }
}
