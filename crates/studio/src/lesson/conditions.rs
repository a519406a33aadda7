//! Conditions as they are read aloud, each figure with its name: "the length of the armhole (24.4 cm) is back smaller (0.5 cm)
//! longer than the length of the back armhole (23.9 cm)".

use super::speech::{Speech, is_plain, unbracketed};
use oaktag_language::kind::Kind;
use oaktag_language::syntax::tree::{Comparison, Expr, ExprKind, Relation};

impl Speech<'_> {
    /// What has to hold.
    pub(super) fn condition(&self, expr: &Expr) -> String {
        match &unbracketed(expr).kind {
            ExprKind::Compare {
                comparison,
                left,
                right,
            } => {
                let than = match comparison {
                    Comparison::Less => "less than",
                    Comparison::AtMost => "at most",
                    Comparison::Equal => "equal to",
                    Comparison::AtLeast => "at least",
                    Comparison::More => "more than",
                };
                let right = self.named_as(right, self.tried(left, 0.0));
                format!("{} is {than} {right}", self.named(left))
            }
            ExprKind::Is { subject, relation } => {
                format!(
                    "{} {}",
                    self.named(subject),
                    self.relation(subject, relation)
                )
            }
            ExprKind::Not(inner) => format!("it is not so that {}", self.condition(inner)),
            ExprKind::Both(one, other) => {
                format!("{} and {}", self.condition(one), self.condition(other))
            }
            ExprKind::Either(one, other) => {
                format!("{} or {}", self.condition(one), self.condition(other))
            }
            _ => self.named(expr),
        }
    }

    /// What a side of a trial comes to whose other side is so much longer.
    fn tried(&self, other: &Expr, longer: f64) -> Option<(f64, Kind)> {
        let trial = self.entry.trial.as_ref()?;
        let (_, kind) = self.value(other)?;
        Some((trial.wanted - longer, kind))
    }

    fn relation(&self, subject: &Expr, relation: &Relation) -> String {
        match relation {
            Relation::Drawn => "is drawn".to_owned(),
            Relation::Lies { how, than } => format!("lies {} {}", how.words(), self.noun(than)),
            Relation::Within { tolerance, of } => {
                format!("is within {} of {}", self.named(tolerance), self.named(of))
            }
            Relation::Between { low, high } => {
                format!("lies between {} and {}", self.named(low), self.named(high))
            }
            Relation::Than {
                by,
                up_to,
                more,
                word,
                than,
            } => {
                let longer = match (by, up_to) {
                    (Some(by), None) => self.value(by).map(|(by, _)| if *more { by } else { -by }),
                    _ => None,
                };
                let figure = longer.and_then(|longer| self.tried(subject, longer));
                let than = self.named_as(than, figure);
                let by = match (by, up_to) {
                    (Some(low), Some(high)) => {
                        format!("between {} and {} ", self.named(low), self.named(high))
                    }
                    (Some(by), None) => format!("{} ", self.named(by)),
                    (None, _) => String::new(),
                };
                format!("is {by}{} than {than}", word.text)
            }
        }
    }

    /// A figure by its name, and how much it is here.
    fn named(&self, expr: &Expr) -> String {
        self.named_as(expr, None)
    }

    /// The same, where how much it is may be known otherwise.
    fn named_as(&self, expr: &Expr, known: Option<(f64, Kind)>) -> String {
        let name = self.formula(unbracketed(expr));
        match self.value(expr).or(known) {
            Some((figure, kind)) if !is_plain(expr) => {
                format!("{name} ({})", self.printed(figure, &kind))
            }
            _ => name,
        }
    }
}
