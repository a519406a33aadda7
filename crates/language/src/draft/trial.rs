//! `try … until`: the value that makes a length come out. Each trial starts from the state before the block; the last
//! drawing is the one that stands and is recorded.

use super::condition::slack;
use super::fault::{Stop, quoted, with_step};
use super::machine::Machine;
use super::record::{TrialSummary, ValueId};
use crate::check::program::{Node, Trial};
use crate::kind::{Dimension, Kind};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::syntax::tree::Operator;
use crate::voice::{self, Figure, Words, figure};
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
    pub(super) fn trial(&mut self, trial: &'a Trial) -> Result<(), Stop> {
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
            (Some(Ok(words)), Stop::Told(mut told)) => {
                let plain = std::mem::replace(&mut told.message, words);
                told.notes.insert(0, plain);
                Stop::Told(told)
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
        self.put(
            trial.slot,
            Some(Value::Quantity(value)),
            entry.map(ValueId::only),
        );
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
        let site = self.program.site(trial.site);
        let target = site.and_then(|site| site.targets.first());
        let span = target.map(|target| target.span).unwrap_or_default();
        (voice::name(&quoted(self.sources, span)), span)
    }

    /// Warns that other values will do as well.
    fn more_solve(&self, trial: &Trial, value: f64, others: &[f64]) -> Option<Diagnostic> {
        let (name, span) = self.looked_for(trial);
        let (other, rest) = others.split_first()?;
        let [first, second] = figure::apart(trial.dimension, [value, *other]);
        let taken = say!("{} is taken", first);
        let message = match rest {
            [] => say!(
                "Two values of {} will do: {} and {}. The first is taken.",
                name,
                first,
                second
            ),
            [one] => {
                let [a, b, c] = figure::apart(trial.dimension, [value, *other, *one]);
                say!(
                    "Three values of {} will do: {}, {} and {}. The first is taken.",
                    name,
                    a,
                    b,
                    c
                )
            }
            more => say!(
                "Many values of {} will do: {}, {} and {} more. The first is taken.",
                name,
                first,
                second,
                more.len()
            ),
        };
        let told = Diagnostic::warning(Code::TwoSolve, span, message);
        Some(
            told.at(taken)
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
        let taken = figure::quantity(trial.dimension, value);
        let others = match others {
            [] => Words::default(),
            [one] => say!(" {} too,", figure::quantity(trial.dimension, *one)),
            more => say!(" {} more too,", more.len()),
        };
        let message = say!(
            "{} will do,{} and another {} may: {}.",
            taken,
            others,
            name,
            stretches
        );
        let told = Diagnostic::warning(Code::MoreMaySolve, span, message);
        Some(
            told.at(say!("{} is taken", taken))
                .help("Narrow the range until it holds the one you mean."),
        )
    }

    /// Where it changes too fast to be looked through, in words.
    fn stretches(&self, trial: &Trial, unsure: &[(f64, f64)]) -> Option<Words> {
        let said = |(from, to): &(f64, f64)| {
            let [from, to] = figure::apart(trial.dimension, [*from, *to]);
            say!("between {} and {}", from, to)
        };
        let (first, last) = (unsure.first()?, unsure.last()?);
        let stretch = if unsure.len() > 3 {
            said(&(first.0, last.1))
        } else {
            Words::joined(unsure.iter().map(said), ", and ")
        };
        Some(say!(
            "{} what is measured changes too fast to be looked through",
            stretch
        ))
    }

    fn nothing_solves(
        &mut self,
        trial: &Trial,
        (low, high): (f64, f64),
        outcome: &Outcome<Stop>,
        sides: &[Sides],
    ) -> Stop {
        let value = |v: f64| figure::quantity(trial.dimension, v);
        let (spoken, span) = self.looked_for(trial);
        let [from, to] = figure::apart(trial.dimension, [low, high]);
        let tried = say!("tried from {} to {}", from, to);
        let message = match self.stretches(trial, &outcome.unsure) {
            None => say!("No {} between {} and {} will do it.", spoken, from, to),
            Some(stretches) => say!(
                "No {} between {} and {} was found that will do it, though there may be one: {}.",
                spoken,
                from,
                to,
                stretches
            ),
        };
        let mut told = Diagnostic::error(Code::NothingSolves, span, message).at(tried);
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
            let [at_a, at_b] = figure::apart(trial.dimension, [a.value, b.value]);
            if (a.right - b.right).abs() < 1e-6 {
                let [wanted, left_a, left_b] =
                    figure::apart(trial.sides, [a.right, a.left, b.left]);
                told = told.note(self.what_is_wanted(trial, &subject, a.right, wanted));
                told = told.note(if a.value == b.value {
                    say!(
                        "At {}, the one place that can be drawn, it is {}.",
                        at_a,
                        left_a
                    )
                } else {
                    say!(
                        "At {} it is {}, at {} it is {}.",
                        at_a,
                        left_a,
                        at_b,
                        left_b
                    )
                });
            } else {
                told = told.note(say!("Wanted: {}.", quoted(self.sources, trial.wanted)));
                for (end, place) in [(a, at_a), (b, at_b)] {
                    let [is, wanted] = figure::apart(trial.sides, [end.left, end.right]);
                    told = told.note(say!(
                        "At {} {} is {}, and {} is wanted.",
                        place,
                        subject,
                        is,
                        wanted
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
            told = told.note(say!(
                "The nearest is {}: still {} {}.",
                value(near.value),
                figure::not_nothing(trial.sides, miss.abs()),
                words
            ));
        }
        if let Some((a, b)) = outcome.jump
            && let (Some(a), Some(b)) = (at(a.value), at(b.value))
        {
            let [before, after] = figure::apart(trial.sides, [a.left, b.left]);
            told = told.note(say!(
                "At {} it jumps past what is wanted, between {} and {}.",
                value(a.value),
                before,
                after
            ));
        }
        let mut gaps = outcome.gaps.iter();
        let inner = gaps.find_map(|gap| match &gap.fault {
            Stop::Told(inner) => Some((gap.value, &inner.message)),
            _ => None,
        });
        if let Some((at, message)) = inner {
            told = told.note(say!("At {} it cannot be drawn: {}", value(at), message));
        }
        let grows = match ends.as_slice() {
            [a, b] => (b.left - b.right) - (a.left - a.right),
            _ => 0.0,
        };
        if grows == 0.0 && ends.len() == 2 {
            told = told.help(say!(
                "Nothing on either side changes with {}: does the block redraw what is measured?",
                spoken
            ));
        }
        told.see(trial.wanted, "this is wanted").into()
    }

    /// "Wanted: length of armhole 21.8 cm, that is 0.4 cm longer than length of front.armhole (21.4 cm)."
    fn what_is_wanted(&self, trial: &Trial, subject: &str, right: f64, wanted: Figure) -> Words {
        let side = |v: f64| figure::quantity(trial.sides, v);
        let wanted = say!("Wanted: {} {}", subject, wanted);
        let (Some(than), Node::Sum(sum)) = (trial.than, &trial.right) else {
            return say!("{}.", wanted);
        };
        let Some(by) = self.program.figure_of(&sum.right) else {
            return say!("{}.", wanted);
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
        say!(
            "{}, that is {} {} than {} ({}).",
            wanted,
            side(by),
            word,
            than,
            side(base)
        )
    }
}
