//! Notches: their forms, and where a piece's own stand.

use super::checker::Checker;
use super::program::AsChecked;
use super::scope::nearest_word;
use crate::kind::Kind;
use crate::pattern::spec::NotchForm;
use crate::report::{Code, Diagnostic, Span};
use crate::sewing::{OwnNotch, Place};
use crate::syntax::tree::{self, Link, NotchPlace};

impl<'a> Checker<'a> {
    /// Where a piece's own notches stand.
    pub(super) fn own_notches(
        &mut self,
        place: &'a NotchPlace,
        span: Span,
    ) -> Option<Vec<OwnNotch<AsChecked>>> {
        Some(match place {
            NotchPlace::Points(points) => points
                .iter()
                .map(|point| OwnNotch {
                    along_from: measured_from(point).map(|from| self.seam_point(from)),
                    place: Place::At(self.seam_point(point)),
                })
                .collect(),
            NotchPlace::Measured { distance, from } => {
                let far = self.wanted(distance, &Kind::LENGTH).node;
                let from = self.seam_point(from);
                vec![OwnNotch {
                    place: Place::Measured { far, from },
                    along_from: None,
                }]
            }
            NotchPlace::Joints => {
                let message = "A notch at joints belongs to a seam: a piece has its corners.";
                let help = "Write the point: `notch single at P`.";
                self.fail(Diagnostic::error(Code::SentenceOutOfPlace, span, message).help(help));
                return None;
            }
        })
    }

    /// `single` where nothing is said.
    pub(super) fn notch_form(&mut self, word: Option<&tree::Word>) -> NotchForm {
        let Some(word) = word else {
            return NotchForm::Single;
        };
        let other = match word.text.as_ref() {
            "T" => "tee",
            "V" => "vee",
            other => other,
        };
        let mut forms = NotchForm::ALL.into_iter();
        forms.find(|form| form.word() == other).unwrap_or_else(|| {
            let message =
                format!("There is no `{other}` notch; it is single, double, tee, vee or slit.");
            let mut diagnostic =
                Diagnostic::error(Code::WordsDoNotFit, word.span, message).at("no such notch");
            let near = nearest_word(other, NotchForm::ALL.map(NotchForm::word));
            if let Some(near) = near {
                diagnostic = diagnostic.meant(near);
            }
            self.fail(diagnostic);
            NotchForm::Single
        })
    }
}

/// The named point from which a place is measured along a line: `8cm along armhole from underarm`.
fn measured_from(place: &tree::Expr) -> Option<&tree::Expr> {
    let phrase = match &place.kind {
        tree::ExprKind::Bracketed(inner) => return measured_from(inner),
        tree::ExprKind::Phrase(phrase) => phrase,
        _ => return None,
    };
    let clause = |link| phrase.clauses.iter().find(|clause| clause.link == link);
    clause(Link::Along)?;
    let from = clause(Link::From)?.arguments.first()?;
    matches!(from.kind, tree::ExprKind::Name(_)).then_some(from)
}
