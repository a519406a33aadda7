//! One body of a search drawn: whether it holds, is refused by the draft's own limits, or fails, and how near each seam and
//! check of it is to failing.

use super::axis::Axis;
use crate::sizes::answer::{is_refusal, sentence_of};
use oaktag_language::check::Checked;
use oaktag_language::draft::inputs::{Given, Inputs};
use oaktag_language::draft::{self, Outcome};
use oaktag_language::report::{Code, Diagnostic, Span};
use oaktag_language::syntax::project::Project;

/// Values of every axis, in order.
pub(super) type Point = Vec<Given>;

/// Which failure it is: a code at a place. Two bodies on which the same sentence fails the same way fail alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Failure {
    /// Of the message that tells it.
    pub code: Code,
    /// The place in the draft that it is told at.
    pub span: Span,
}

/// How a body of a search fared.
#[derive(Clone, Debug)]
pub(super) enum Fate {
    /// Every seam and check holds. How far each is from failing, in millimetres or degrees: seams in their order, then
    /// checks.
    Holds(Vec<f64>),
    /// The draft says that it is not for this body: by which sentence.
    Refused(Failure),
    /// A sentence, a seam or a check fails: which, and its message.
    Fails(Failure, Box<Diagnostic>),
}

/// What is searched: a draft and the values that are not varied.
#[derive(Clone, Copy)]
pub(super) struct Subject<'a> {
    /// The draft, with what it imports.
    pub project: &'a Project,
    /// The same draft, checked.
    pub checked: &'a Checked,
    /// Settings and body for every drawing.
    pub inputs: &'a Inputs,
    /// Measures and choices that are varied; a point has a value for each.
    pub axes: &'a [Axis],
}

impl Subject<'_> {
    /// Draws the draft with these values on its axes, in their order.
    pub(super) fn draw(&self, point: &[Given]) -> Outcome {
        let mut inputs = self.inputs.clone();
        let varied = self.axes.iter().zip(point);
        let changed = varied.filter(|(axis, value)| axis.base != **value);
        inputs
            .set
            .extend(changed.map(|(axis, value)| axis.setting(value)));
        draft::draw(self.project, self.checked, &inputs)
    }

    /// Draws a point and judges it.
    pub(super) fn probe(&self, point: &[Given]) -> Fate {
        judge(&self.draw(point))
    }
}

/// What became of a drawing, from its messages alone.
pub(super) fn judge(outcome: &Outcome) -> Fate {
    let errors = || outcome.diagnostics.iter().filter(|d| d.is_error());
    let failure = |diagnostic: &Diagnostic| Failure {
        code: diagnostic.code,
        span: sentence_of(diagnostic),
    };
    if let Some(refusal) = errors().find(|d| is_refusal(d.code)) {
        return Fate::Refused(failure(refusal));
    }
    match errors().next() {
        Some(first) => Fate::Fails(failure(first), Box::new(first.clone())),
        None => Fate::Holds(margins(outcome)),
    }
}

/// How far each seam and check is from failing.
fn margins(outcome: &Outcome) -> Vec<f64> {
    let seams = outcome.pattern.seams.iter().map(|seam| {
        let (least, most) = seam.wanted;
        let ease = seam.ease();
        let whole = (ease - least).min(most - ease) + seam.tolerance;
        if seam.is_eased() {
            return whole;
        }
        let uneven = seam.intervals.iter().map(|interval| interval.ease().abs());
        whole.min(seam.tolerance - uneven.fold(0.0, f64::max))
    });
    let checks = outcome.record.margins.iter().map(|(_, margin)| *margin);
    seams.chain(checks).collect()
}
