//! `try … until`: the value that makes a length come out. Each trial starts from the state before the block; the last
//! drawing is the one that stands and is recorded.

use super::condition::slack;
use super::fault::{Stop, quoted, with_step};
use super::machine::Machine;
use super::record::TrialSummary;
use crate::check::program::{Node, Trial};
use crate::kind::{Dimension, Kind};
use crate::phrase::{Fault, Value};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::Operator;
use crate::voice;
use oaktag_geometry::solve::{Outcome, solve};

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
        let holds = slack(&Kind::Quantity(trial.sides));
        let outcome = solve(
            |value| {
                drawn += 1;
                let both = self.sides(trial, value)?;
                sides.push(both);
                Ok::<f64, Stop>(both.left - both.right)
            },
            low,
            high,
            holds,
        );
        self.strict -= 1;
        self.quiet -= 1;
        self.site = Some(trial.site);
        if self.exhausted {
            return Err(Stop::Exhausted);
        }
        if !outcome.answers.is_empty() {
            return self.stand(trial, outcome, drawn);
        }
        let missing = outcome.gaps.iter().find_map(|gap| match &gap.fault {
            Stop::Missing(slot) => Some(*slot),
            _ => None,
        });
        if let (Some(slot), None) = (missing, &outcome.at_first) {
            return Err(Stop::Missing(slot));
        }
        let fault = self.nothing_solves(trial, (low, high), &outcome, &sides);
        Err(self.in_the_authors_words(trial, fault))
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
        self.record.trials += 1;
        self.put(trial.slot, Some(Value::Quantity(value)), None);
        self.ops(&trial.body)?;
        let (left, right) = (self.figure(&trial.left)?, self.figure(&trial.right)?);
        Ok(Sides { value, left, right })
    }

    /// Draws once more with the value found, for good.
    fn stand(&mut self, trial: &'a Trial, outcome: Outcome<Stop>, drawn: u32) -> Result<(), Stop> {
        let mut answers = outcome.answers.iter().map(|answer| answer.value);
        let value = answers.next().unwrap_or_default();
        let others: Vec<f64> = answers.collect();
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
        let kind = Kind::Quantity(trial.sides);
        self.keep_worked(trial.subject, &Value::Quantity(left), Some(kind));
        let summary = TrialSummary {
            found: value,
            wanted: right,
            came_out: left,
            drawn,
            others: others.clone(),
        };
        self.close_entry(entry, vec![Value::Quantity(value)], Some(summary));
        if self.quiet == 0 {
            let told = match self.more_may_solve(trial, value, &others, &outcome.unsure) {
                Some(told) => Some(told),
                None => self.more_solve(trial, value, &others),
            };
            if let Some(told) = told {
                self.diagnostics
                    .push(with_step(told, self.program, Some(trial.site)));
            }
        }
        Ok(())
    }

    /// The name of the value that is looked for, and its place.
    fn looked_for(&self, trial: &Trial) -> (String, Span) {
        let site = self.program.sites.get(trial.site.0 as usize);
        let target = site.and_then(|site| site.targets.first());
        let span = target.map(|target| target.span).unwrap_or_default();
        (voice::name(&quoted(self.sources, span)), span)
    }

    /// Warns that other values will do as well.
    fn more_solve(&self, trial: &Trial, value: f64, others: &[f64]) -> Option<Diagnostic> {
        let (name, span) = self.looked_for(trial);
        let unit = self.program.unit;
        let (other, rest) = others.split_first()?;
        let [first, second] = unit.apart(trial.dimension, [value, *other]);
        let message = match rest {
            [] => {
                format!("Two values of {name} will do: {first} and {second}. The first is taken.")
            }
            [one] => {
                let [a, b, c] = unit.apart(trial.dimension, [value, *other, *one]);
                format!("Three values of {name} will do: {a}, {b} and {c}. The first is taken.")
            }
            more => format!(
                "Many values of {name} will do: {first}, {second} and {} more. The first is taken.",
                more.len()
            ),
        };
        let told = Diagnostic::warning(Code::TwoSolve, span, message);
        Some(
            told.at(format!("{first} is taken"))
                .help("Narrow the range until it holds the one you mean."),
        )
    }

    /// Warns that a part of the range could not be looked through.
    fn more_may_solve(
        &self,
        trial: &Trial,
        value: f64,
        others: &[f64],
        unsure: &[(f64, f64)],
    ) -> Option<Diagnostic> {
        let (name, span) = self.looked_for(trial);
        let stretches = self.stretches(trial, unsure)?;
        let taken = self.program.unit.quantity(trial.dimension, value);
        let others = match others {
            [] => String::new(),
            [one] => {
                let one = self.program.unit.quantity(trial.dimension, *one);
                format!(" {one} too,")
            }
            more => format!(" {} more too,", more.len()),
        };
        let message = format!("{taken} will do,{others} and another {name} may: {stretches}.");
        let told = Diagnostic::warning(Code::MoreMaySolve, span, message);
        Some(
            told.at(format!("{taken} is taken"))
                .help("Narrow the range until it holds the one you mean."),
        )
    }

    /// Where it changes too fast to be looked through, in words.
    fn stretches(&self, trial: &Trial, unsure: &[(f64, f64)]) -> Option<String> {
        let said = |(from, to): &(f64, f64)| {
            let [from, to] = self.program.unit.apart(trial.dimension, [*from, *to]);
            format!("between {from} and {to}")
        };
        let (first, last) = (unsure.first()?, unsure.last()?);
        let stretch = if unsure.len() > 3 {
            said(&(first.0, last.1))
        } else {
            unsure.iter().map(said).collect::<Vec<_>>().join(", and ")
        };
        Some(format!(
            "{stretch} what is measured changes too fast to be looked through"
        ))
    }

    fn nothing_solves(
        &mut self,
        trial: &Trial,
        (low, high): (f64, f64),
        outcome: &Outcome<Stop>,
        sides: &[Sides],
    ) -> Stop {
        let unit = self.program.unit;
        let value = |v: f64| unit.quantity(trial.dimension, v);
        let (spoken, span) = self.looked_for(trial);
        let [from, to] = unit.apart(trial.dimension, [low, high]);
        let message = match self.stretches(trial, &outcome.unsure) {
            None => format!("No {spoken} between {from} and {to} will do it."),
            Some(stretches) => format!(
                "No {spoken} between {from} and {to} was found that will do it, and one may be there: {stretches}."
            ),
        };
        let mut fault = Fault::new(Code::NothingSolves, message);
        let subject = quoted(self.sources, trial.subject);
        let at = |v: f64| {
            sides
                .iter()
                .rev()
                .find(|s| (s.value - v).abs() <= f64::EPSILON * v.abs().max(1.0))
                .copied()
        };
        let ends: Vec<Sides> = [outcome.at_first, outcome.at_last]
            .into_iter()
            .flatten()
            .filter_map(|t| at(t.value))
            .collect();
        if let [a, b] = ends.as_slice() {
            let [at_a, at_b] = unit.apart(trial.dimension, [a.value, b.value]);
            if (a.right - b.right).abs() < 1e-6 {
                let [wanted, left_a, left_b] = unit.apart(trial.sides, [a.right, a.left, b.left]);
                fault = fault.note(self.what_is_wanted(trial, &subject, a.right, &wanted));
                fault = fault.note(if a.value == b.value {
                    format!("At {at_a}, the one place that can be drawn, it is {left_a}.")
                } else {
                    format!("At {at_a} it is {left_a}, at {at_b} it is {left_b}.")
                });
            } else {
                fault = fault.note(format!("Wanted: {}.", quoted(self.sources, trial.wanted)));
                for (end, place) in [(a, at_a), (b, at_b)] {
                    let [is, wanted] = unit.apart(trial.sides, [end.left, end.right]);
                    fault = fault.note(format!(
                        "At {place} {subject} is {is}, and {wanted} is wanted."
                    ));
                }
            }
        }
        if let Some(near) = outcome.nearest.and_then(|t| at(t.value)) {
            let miss = near.left - near.right;
            let words = match (trial.sides == Dimension::LENGTH, miss < 0.0) {
                (true, true) => "too short",
                (true, false) => "too long",
                (false, true) => "too little",
                (false, false) => "too much",
            };
            fault = fault.note(format!(
                "The nearest is {}: still {} {words}.",
                value(near.value),
                unit.not_nothing(trial.sides, miss.abs())
            ));
        }
        if let Some((a, b)) = outcome.jump
            && let (Some(a), Some(b)) = (at(a.value), at(b.value))
        {
            let [before, after] = unit.apart(trial.sides, [a.left, b.left]);
            fault = fault.note(format!(
                "At {} it jumps past what is wanted, between {before} and {after}.",
                value(a.value)
            ));
        }
        if let Some(gap) = outcome
            .gaps
            .iter()
            .find(|gap| matches!(gap.fault, Stop::Fault(_)))
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
        Stop::at(span, fault)
            .marked(format!("tried from {from} to {to}"))
            .seen(Some((trial.wanted, "this is wanted".into())))
    }

    /// "Wanted: length of armhole 21.8 cm, that is 0.4 cm longer than length of front.armhole (21.4 cm)."
    fn what_is_wanted(&self, trial: &Trial, subject: &str, right: f64, wanted: &str) -> String {
        let side = |v: f64| self.program.unit.quantity(trial.sides, v);
        let wanted = format!("Wanted: {subject} {wanted}");
        let (Some(than), Node::Sum(sum)) = (trial.than, &trial.right) else {
            return format!("{wanted}.");
        };
        let Some(by) = self.program.figure_of(&sum.right) else {
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
            side(by),
            side(base)
        )
    }
}
