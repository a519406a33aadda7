//! The search for a body on which a draft fails: corners of the declared ranges, an even sweep through them, then a local
//! search toward whatever seam or check came nearest to failing. What is found is shrunk to as few changed values as will
//! do, at the roundest figures. The same seed finds the same, whatever the number of threads.

pub mod axis;
mod descent;
mod probe;
mod shrink;
mod sweep;

use super::ordered;
use axis::{Axis, Fixed};
use descent::Nearest;
use oaktag_language::check::Checked;
use oaktag_language::draft;
use oaktag_language::draft::inputs::{Given, Inputs};
use oaktag_language::report::Diagnostic;
use oaktag_language::syntax::project::Project;
pub use probe::Failure;
use probe::{Fate, Point, Subject};
use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::ops::ControlFlow;

/// How far a search goes, where it starts, and by how many threads.
#[derive(Clone, Copy, Debug)]
pub struct Plan {
    /// Where the sweep starts.
    pub seed: u64,
    /// Most bodies to try.
    pub tries: usize,
    /// Most different failures to look for; the search ends with the last.
    pub most: usize,
    /// Draw by so many threads.
    pub threads: NonZeroUsize,
}

/// A failure and the plainest body found on which it happens.
#[derive(Clone, Debug)]
pub struct Found {
    /// Its message, on that body.
    pub diagnostic: Diagnostic,
    /// What was changed: full names and values.
    pub changed: Vec<(String, Given)>,
    /// How many bodies were tried before it was met.
    pub tried: usize,
}

/// How much of a measure's or choice's range was drawn and held.
#[derive(Clone, Debug)]
pub struct Covered {
    /// The measure or choice, with the range that it was varied over.
    pub axis: Axis,
    /// Least and most of it on a body that was not refused; none for words.
    pub drawn: Option<(f64, f64)>,
}

/// What a search has to tell.
#[derive(Clone, Debug)]
pub struct Report {
    /// Bodies tried, those drawn to shrink aside.
    pub tried: usize,
    /// Bodies on which everything holds.
    pub held: usize,
    /// Bodies that the draft refuses, by what refuses them.
    pub refused: BTreeMap<Failure, usize>,
    /// Bodies on which something fails.
    pub failed: usize,
    /// The different failures, each with the plainest body on which it happens.
    pub found: Vec<Found>,
    /// How far each measure and choice was varied.
    pub covered: Vec<Covered>,
    /// Measures and choices that were not varied.
    pub fixed: Vec<Fixed>,
}

/// Why there was no search.
#[derive(Clone, Debug)]
pub enum NoSearch {
    /// The draft is not well as it stands; its messages are told by checking it.
    NotWell,
    /// Nothing in it can be varied.
    NothingToVary,
}

struct Search<'a> {
    subject: Subject<'a>,
    plan: Plan,
    report: Report,
    nearest: Nearest,
    raw: Vec<(Failure, Point, usize)>,
    step: &'a mut dyn FnMut(),
}

/// Searches a draft; `step` is called for every body tried.
///
/// # Errors
/// Where there is nothing to search.
pub fn search(
    project: &Project,
    checked: &Checked,
    inputs: &Inputs,
    plan: Plan,
    step: &mut dyn FnMut(),
) -> Result<Report, NoSearch> {
    let base = draft::draw(project, checked, inputs);
    if base.has_errors() {
        return Err(NoSearch::NotWell);
    }
    let (axes, fixed) = axis::axes(&checked.program, inputs, &base);
    if axes.is_empty() {
        return Err(NoSearch::NothingToVary);
    }
    let covered = axes.iter().map(|axis| Covered {
        axis: axis.clone(),
        drawn: None,
    });
    let report = Report {
        tried: 0,
        held: 0,
        refused: BTreeMap::new(),
        failed: 0,
        found: Vec::new(),
        covered: covered.collect(),
        fixed,
    };
    let mut search = Search {
        subject: Subject {
            project,
            checked,
            inputs,
            axes: &axes,
        },
        plan,
        report,
        nearest: Nearest::default(),
        raw: Vec::new(),
        step,
    };
    search.look();
    Ok(search.told())
}

/// Shares of the tries: corners at most a quarter, the sweep up to three quarters, the rest for local search.
const FOURTHS: (usize, usize) = (1, 3);

/// Bodies that are made and drawn before failures are counted.
const CHUNK: usize = 256;

impl Search<'_> {
    fn look(&mut self) {
        let base: Point = self
            .subject
            .axes
            .iter()
            .map(|axis| axis.base.clone())
            .collect();
        let _ = self.draw(vec![base]);
        let tries = self.plan.tries;
        let mut corners = sweep::corners(self.subject.axes).take(tries / 4 * FOURTHS.0);
        loop {
            let chunk: Vec<Point> = corners.by_ref().take(CHUNK).collect();
            if chunk.is_empty() {
                break;
            }
            if self.draw(chunk).is_none() {
                return;
            }
        }
        let sweep = sweep::Sweep::new(self.subject.axes, self.plan.seed);
        let mut number = 0;
        while self.report.tried < tries / 4 * FOURTHS.1 {
            let points = (number..number + CHUNK).map(|number| sweep.point(number));
            if self.draw(points.collect()).is_none() {
                return;
            }
            number += CHUNK;
        }
        self.descend();
        // What local search leaves is for the sweep.
        while self.report.tried < tries {
            let points = (number..number + CHUNK).map(|number| sweep.point(number));
            if self.draw(points.collect()).is_none() {
                return;
            }
            number += CHUNK;
        }
    }

    fn descend(&mut self) {
        let moving = self.nearest.moving();
        let axes = self.subject.axes;
        let subject = Subject {
            axes,
            ..self.subject
        };
        for (target, near) in moving {
            let _ = descent::descend(&subject, target, near, &mut |points| self.draw(points));
        }
    }

    /// Draws bodies, counts them and keeps what fails; none where no more may be tried or wanted.
    fn draw(&mut self, mut points: Vec<Point>) -> Option<Vec<(Point, Fate)>> {
        points.truncate(self.plan.tries.saturating_sub(self.report.tried));
        if points.is_empty() || self.distinct() >= self.plan.most {
            return None;
        }
        let mut fates: Vec<Option<Fate>> = Vec::with_capacity(points.len());
        let subject = &self.subject;
        let step = &mut self.step;
        let work = |number: usize| points.get(number).map(|point| subject.probe(point));
        ordered::in_order(0..points.len(), self.plan.threads, work, |_, fate| {
            // A body on which the program itself fails is passed over: a check of it alone would tell.
            fates.push(fate.ok().flatten());
            step();
            ControlFlow::Continue(())
        });
        let drawn: Vec<(Point, Fate)> = points
            .into_iter()
            .zip(fates)
            .filter_map(|(point, fate)| fate.map(|fate| (point, fate)))
            .collect();
        for (point, fate) in &drawn {
            self.count(point, fate);
        }
        Some(drawn)
    }

    fn distinct(&self) -> usize {
        self.raw.len()
    }

    fn count(&mut self, point: &Point, fate: &Fate) {
        self.report.tried += 1;
        match fate {
            Fate::Refused(failure) => {
                *self.report.refused.entry(*failure).or_default() += 1;
                return;
            }
            Fate::Holds(margins) => {
                self.report.held += 1;
                self.nearest.see(point, margins);
            }
            Fate::Fails(failure, _) => {
                self.report.failed += 1;
                if !self.raw.iter().any(|(known, ..)| known == failure) {
                    self.raw.push((*failure, point.clone(), self.report.tried));
                }
            }
        }
        for (covered, value) in self.report.covered.iter_mut().zip(point) {
            if let Given::Figure(figure, _) = value {
                let (low, high) = covered.drawn.unwrap_or((*figure, *figure));
                covered.drawn = Some((low.min(*figure), high.max(*figure)));
            }
        }
    }

    /// Shrinks what was found.
    fn told(mut self) -> Report {
        let unit = self.subject.checked.program.unit;
        let raw = std::mem::take(&mut self.raw);
        for (failure, point, tried) in raw.into_iter().take(self.plan.most) {
            let (point, _) = shrink::shrink(&self.subject, point, failure, unit);
            let Fate::Fails(_, diagnostic) = self.subject.probe(&point) else {
                continue;
            };
            let values = self.subject.axes.iter().zip(&point);
            let changed = values
                .filter(|(axis, value)| axis.base != **value)
                .map(|(axis, value)| (axis.name.clone(), value.clone()));
            self.report.found.push(Found {
                diagnostic: *diagnostic,
                changed: changed.collect(),
                tried,
            });
        }
        self.report
    }
}
