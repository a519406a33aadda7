//! Local search: from the bodies on which a seam or check came nearest to failing, one value at a time is moved toward
//! failing, by steps that are halved whenever none helps (coordinate search, as in any textbook of optimisation).

use super::CHUNK;
use super::axis::Range;
use super::probe::{Fate, Point, Subject};
use oaktag_language::draft::inputs::Given;
use std::rc::Rc;

/// How many times steps are halved, from a quarter of a range on.
const HALVINGS: usize = 7;

/// A body and how far one seam or check of it is from failing.
#[derive(Clone, Debug)]
pub(crate) struct Near {
    /// The body, which may be the nearest of many seams.
    pub point: Rc<Point>,
    /// How far the target is from failing on it.
    pub margin: f64,
}

/// The bodies nearest to failing of each seam and check, from a sweep.
#[derive(Clone, Debug, Default)]
pub(super) struct Nearest {
    targets: Vec<Target>,
}

#[derive(Clone, Debug)]
struct Target {
    near: Near,
    widest: f64,
}

impl Nearest {
    /// Looks at a body that holds.
    pub(super) fn see(&mut self, point: &Point, margins: &[f64]) {
        let mut kept: Option<Rc<Point>> = None;
        let mut keep = || kept.get_or_insert_with(|| Rc::new(point.clone())).clone();
        for (at, margin) in margins.iter().enumerate() {
            match self.targets.get_mut(at) {
                Some(target) => {
                    target.widest = target.widest.max(*margin);
                    if *margin < target.near.margin {
                        target.near = Near {
                            point: keep(),
                            margin: *margin,
                        };
                    }
                }
                None => self.targets.push(Target {
                    near: Near {
                        point: keep(),
                        margin: *margin,
                    },
                    widest: *margin,
                }),
            }
        }
    }

    /// Seams and checks that move at all, by their number, each with its nearest body.
    pub(super) fn moving(&self) -> Vec<(usize, Near)> {
        let moves = |target: &&Target| {
            target.near.margin.is_finite() && target.widest - target.near.margin > 1e-6
        };
        let numbered = self.targets.iter().enumerate();
        let moving = numbered.filter(|(_, target)| moves(target));
        moving
            .map(|(at, target)| (at, target.near.clone()))
            .collect()
    }
}

/// The moves of one value by a share of its range, from a point, each made when it is asked for.
fn moves<'a>(
    subject: &'a Subject<'_>,
    point: &'a Point,
    share: f64,
) -> impl Iterator<Item = Point> + 'a {
    let axes = subject.axes.iter().zip(point).enumerate();
    axes.flat_map(move |(at, (axis, now))| {
        let values: Vec<Given> = match &axis.range {
            Range::Figure { .. } => {
                let from = axis.share(now);
                vec![axis.at(from - share), axis.at(from + share)]
            }
            Range::Words(words) => words.clone(),
        };
        let other = values.into_iter().filter(move |value| value != now);
        other.map(move |value| {
            let mut one = point.clone();
            if let Some(place) = one.get_mut(at) {
                *place = value;
            }
            one
        })
    })
}

/// Moves a body toward failing. `draw` judges many bodies at once and counts them; it gives none where no more may be
/// drawn. Ends at the first failing body, or where no step helps.
pub(crate) fn descend(
    subject: &Subject<'_>,
    target: usize,
    start: Near,
    draw: &mut dyn FnMut(Vec<Point>) -> Option<Vec<(Point, Fate)>>,
) -> bool {
    let mut here = start;
    let mut share = 0.25;
    for _ in 0..HALVINGS {
        loop {
            let mut best: Option<Near> = None;
            let mut left = moves(subject, &here.point, share).peekable();
            while left.peek().is_some() {
                let Some(drawn) = draw(left.by_ref().take(CHUNK).collect()) else {
                    return false;
                };
                for (point, fate) in drawn {
                    match fate {
                        Fate::Fails(..) => return true,
                        Fate::Refused(_) => {}
                        Fate::Holds(margins) => {
                            let margin = margins.get(target).copied().unwrap_or(f64::INFINITY);
                            let least = best.as_ref().map_or(here.margin, |near| near.margin);
                            if margin < least - 1e-9 {
                                let point = Rc::new(point);
                                best = Some(Near { point, margin });
                            }
                        }
                    }
                }
            }
            drop(left);
            match best {
                Some(near) => here = near,
                None => break,
            }
        }
        share /= 2.0;
    }
    false
}
