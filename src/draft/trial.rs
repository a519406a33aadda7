//! `try … until`: the value that makes a length come out. Each trial starts from the state before the block; the last
//! drawing is the one that stands and is recorded.

use super::fault::{Stop, quoted, with_step};
use super::machine::Machine;
use super::record::TrialSummary;
use crate::check::program::{Node, Trial};
use crate::geometry::solve::{self, Outcome, solve};
use crate::kind::Dimension;
use crate::phrase::{Fault, Value};
use crate::report::{Code, Diagnostic};
use crate::syntax::tree::Operator;

/// What the two sides were at one trial.
#[derive(Clone, Copy, Debug)]
struct Sides {
    value: f64,
    left: f64,
    right: f64,
}

impl<'a> Machine<'a> {
    /// Looks for the value. Where there is none, nothing that the block drew is left standing.
    pub fn trial(&mut self, trial: &'a Trial) -> Result<(), Stop> {
        let done = self.look_for(trial);
        if done.is_err() {
            self.put(trial.slot, None, None);
            self.withdraw(&trial.body);
        }
        done
    }

    fn look_for(&mut self, trial: &'a Trial) -> Result<(), Stop> {
        self.site = Some(trial.site);
        self.put(trial.slot, None, None);
        let (low, high) = (self.figure(&trial.low)?, self.figure(&trial.high)?);
        let mut sides: Vec<Sides> = Vec::new();
        let mut drawn = 0u32;
        self.strict += 1;
        self.quiet += 1;
        let outcome = solve(
            |value| {
                drawn += 1;
                let both = self.sides(trial, value)?;
                sides.push(both);
                Ok::<f64, Stop>(both.left - both.right)
            },
            low,
            high,
        );
        self.strict -= 1;
        self.quiet -= 1;
        self.site = Some(trial.site);
        if self.exhausted {
            return Err(Stop::Exhausted);
        }
        match outcome {
            Outcome::Found { value, others, .. } => self.stand(trial, value, others, drawn),
            Outcome::None {
                at_first,
                at_last,
                nearest,
                gaps,
            } => {
                let missing = gaps.iter().find_map(|gap| {
                    if let Stop::Missing(slot) = &gap.fault {
                        Some(*slot)
                    } else {
                        None
                    }
                });
                if let (Some(slot), None) = (missing, &at_first) {
                    return Err(Stop::Missing(slot));
                }
                let fault = self.nothing_solves(
                    trial,
                    (low, high),
                    (at_first, at_last, nearest),
                    &gaps,
                    &sides,
                );
                Err(self.in_the_authors_words(trial, fault))
            }
        }
    }

    /// Says first what the author of the draft says where no value will do.
    fn in_the_authors_words(&mut self, trial: &'a Trial, stop: Stop) -> Stop {
        let words = trial.otherwise.as_ref().map(|text| self.words(text));
        match (words, stop) {
            (Some(Ok(words)), Stop::Fault(mut faulted)) => {
                let plain = std::mem::replace(&mut faulted.fault.message, words.to_string());
                faulted.fault.notes.insert(0, plain);
                Stop::Fault(faulted)
            }
            (_, stop) => stop,
        }
    }

    /// Both sides at a value.
    fn sides(&mut self, trial: &'a Trial, value: f64) -> Result<Sides, Stop> {
        self.charge(5)?;
        self.put(trial.slot, Some(Value::Quantity(value)), None);
        self.ops(&trial.body)?;
        let (left, right) = (self.figure(&trial.left)?, self.figure(&trial.right)?);
        Ok(Sides { value, left, right })
    }

    /// Draws once more with the value found, for good.
    fn stand(
        &mut self,
        trial: &'a Trial,
        value: f64,
        others: Vec<f64>,
        drawn: u32,
    ) -> Result<(), Stop> {
        self.aids.clear();
        self.worked.clear();
        let before = self.told_so_far();
        let entry = self.open_entry(trial.site);
        self.put(trial.slot, Some(Value::Quantity(value)), entry);
        // Whatever is wrong is the trial's fault, which takes back all of it.
        self.strict += 1;
        let both = self
            .ops(&trial.body)
            .and_then(|()| Ok((self.figure(&trial.left)?, self.figure(&trial.right)?)));
        self.strict -= 1;
        let (left, right) = match both {
            Ok(both) => both,
            Err(stop) => {
                self.abandon_entry(entry);
                self.take_back(before);
                return Err(stop);
            }
        };
        self.aids.clear();
        self.worked.clear();
        self.site = Some(trial.site);
        let summary = TrialSummary {
            found: value,
            wanted: right,
            came_out: left,
            drawn,
            others: others.clone(),
        };
        self.close_entry(entry, vec![Value::Quantity(value)], Some(summary));
        if let (Some(other), 0) = (others.first(), self.quiet) {
            let span = self
                .program
                .sites
                .get(trial.site.0 as usize)
                .and_then(|s| s.targets.first())
                .map(|t| t.span)
                .unwrap_or_default();
            let name = quoted(self.sources, span);
            let unit = self.program.unit;
            let (first, second) = (
                unit.quantity(trial.dimension, value),
                unit.quantity(trial.dimension, *other),
            );
            let diagnostic = Diagnostic::warning(
                Code::TwoSolve,
                span,
                format!(
                    "Two values of {} will do: {first} and {second}. The first is taken.",
                    name.replace('_', " ")
                ),
            )
            .at(format!("{first} is taken"))
            .help("Narrow the range until it holds the one you mean.");
            self.diagnostics
                .push(with_step(diagnostic, self.program, Some(trial.site)));
        }
        Ok(())
    }

    fn nothing_solves(
        &mut self,
        trial: &Trial,
        (low, high): (f64, f64),
        (first, last, nearest): (
            Option<solve::Trial>,
            Option<solve::Trial>,
            Option<solve::Trial>,
        ),
        gaps: &[solve::Gap<Stop>],
        sides: &[Sides],
    ) -> Stop {
        let unit = self.program.unit;
        let value = |v: f64| unit.quantity(trial.dimension, v);
        let side = |v: f64| unit.quantity(trial.sides, v);
        let site = self.program.sites.get(trial.site.0 as usize);
        let target = site.and_then(|site| site.targets.first());
        let name = target
            .map(|t| quoted(self.sources, t.span))
            .unwrap_or_default();
        let spoken = name.replace('_', " ");
        let message = format!(
            "No {spoken} between {} and {} will do it.",
            value(low),
            value(high)
        );
        let mut fault = Fault::new(Code::NothingSolves, message);
        let subject = quoted(self.sources, trial.subject);
        let at = |v: f64| {
            sides
                .iter()
                .rev()
                .find(|s| (s.value - v).abs() <= f64::EPSILON * v.abs().max(1.0))
                .copied()
        };
        let ends: Vec<Sides> = [first.as_ref(), last.as_ref()]
            .into_iter()
            .flatten()
            .filter_map(|t| at(t.value))
            .collect();
        if let [a, b] = ends.as_slice() {
            if (a.right - b.right).abs() < 1e-6 {
                fault = fault.note(self.what_is_wanted(trial, &subject, a.right));
                fault = fault.note(format!(
                    "At {} it is {}, at {} it is {}.",
                    value(a.value),
                    side(a.left),
                    value(b.value),
                    side(b.left)
                ));
            } else {
                fault = fault.note(format!("Wanted: {}.", quoted(self.sources, trial.wanted)));
                for end in [a, b] {
                    fault = fault.note(format!(
                        "At {} {subject} is {}, and {} is wanted.",
                        value(end.value),
                        side(end.left),
                        side(end.right)
                    ));
                }
            }
        }
        if let Some(near) = nearest.as_ref().and_then(|t| at(t.value)) {
            let miss = near.left - near.right;
            let words = if miss < 0.0 { "too short" } else { "too long" };
            let words = if trial.sides == crate::kind::Dimension::LENGTH {
                words
            } else if miss < 0.0 {
                "too little"
            } else {
                "too much"
            };
            fault = fault.note(format!(
                "The nearest is {}: still {} {words}.",
                value(near.value),
                side(miss.abs())
            ));
        }
        if let Some(gap) = gaps.iter().find(|gap| matches!(gap.fault, Stop::Fault(_)))
            && let Stop::Fault(inner) = &gap.fault
        {
            fault = fault.note(format!(
                "At {} it cannot be drawn: {}",
                value(gap.value),
                inner.fault.message
            ));
        }
        let grows = match ends.as_slice() {
            [a, b] => (b.left - b.right) - (a.left - a.right),
            _ => 0.0,
        };
        if grows == 0.0 && ends.len() == 2 {
            fault = fault.help(format!("Nothing on either side changes with {spoken}: does the block redraw what is measured?"));
        }
        let span = target.map(|t| t.span).unwrap_or_default();
        Stop::at(span, fault)
            .marked(format!("tried from {} to {}", value(low), value(high)))
            .seen(Some((trial.wanted, "this is wanted".into())))
    }

    /// "Wanted: length of armhole 21.8 cm, that is 0.4 cm longer than length of front.armhole (21.4 cm)."
    fn what_is_wanted(&self, trial: &Trial, subject: &str, right: f64) -> String {
        let side = |v: f64| self.program.unit.quantity(trial.sides, v);
        let wanted = format!("Wanted: {subject} {}", side(right));
        let (Some(than), Node::Sum(sum)) = (trial.than, &trial.right) else {
            return format!("{wanted}.");
        };
        let Node::Known(Value::Quantity(by)) = &sum.right else {
            return format!("{wanted}.");
        };
        let (base, word) = match sum.operator {
            Operator::Add => (right - by, "more"),
            _ => (right + by, "less"),
        };
        let word = match (trial.sides, word) {
            (Dimension::LENGTH, "more") => "longer",
            (Dimension::LENGTH, _) => "shorter",
            (_, word) => word,
        };
        let than = quoted(self.sources, than);
        format!(
            "{wanted}, that is {} {word} than {than} ({}).",
            side(*by),
            side(base)
        )
    }
}
