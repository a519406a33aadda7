//! A drag: the figure that brings a thing nearest to where a hand would have it.

use super::figure::Fineness;
use super::{Hands, Mover, Thing};
use crate::session::view::Offer;
use kurbo::{Point, Vec2};
use serde::Serialize;

/// So often a figure is drawn before the nearest is taken.
const MOST_TRIED: usize = 7;

/// A figure without a range goes to so many times itself in one drag: a divisor would go on for ever.
const FARTHEST: f64 = 10.0;

/// What a drag comes to.
#[derive(Debug, Serialize)]
pub struct Dragged {
    /// The letters that change; none where the thing is as near as the figure can bring it already.
    pub edit: Option<Offer>,
    /// The figure as it would be written.
    pub written: String,
    /// Where the thing would be, in millimetres to the right.
    pub x: f64,
    /// And up.
    pub y: f64,
    /// Why it goes no farther, where it does not.
    pub stopped: Option<String>,
}

impl Hands<'_> {
    /// The figure of a mover that brings a thing nearest to a place, in its step; nothing where the thing is not drawn.
    pub fn drag(
        &mut self,
        thing: &Thing,
        mover: &Mover,
        to: Point,
        fineness: Fineness,
    ) -> Option<Dragged> {
        let literal = mover.put.literal.clone();
        let step = literal.step(fineness);
        let far = FARTHEST * literal.value + 100.0 * literal.step(Fineness::AsWritten);
        let (least, most) = mover.range.unwrap_or((0.0, far));
        let least = least.max(0.0);
        let here = thing.place(self.session.outcome())?;
        let mut known: Vec<(f64, Option<Point>)> = vec![(literal.value, Some(here))];
        let mut slope = Vec2::new(mover.right, mover.up);
        let (mut value, mut place) = (literal.value, here);
        for _ in 0..MOST_TRIED {
            let far = slope.hypot2();
            if far < 1e-12 {
                break;
            }
            let wanted = value + (to - place).dot(slope) / far;
            let next = literal.nearest(wanted.clamp(least, most), fineness);
            if known
                .iter()
                .any(|(tried, _)| (tried - next).abs() < step / 4.0)
            {
                break;
            }
            let found = self.tried(thing, &mover.put, next, fineness);
            known.push((next, found));
            match found {
                Some(found) => {
                    let gone = found - place;
                    if gone.hypot() > 1e-9 {
                        slope = gone / (next - value);
                    }
                    (value, place) = (next, found);
                }
                // There it cannot be drawn: half of the way.
                None => {
                    let half = literal.nearest(value + (next - value) / 2.0, fineness);
                    if (half - value).abs() < step / 2.0 {
                        break;
                    }
                    slope *= 2.0;
                }
            }
        }
        // The step on either side may be nearer still.
        let best = nearest(&known, to)?;
        for beside in [best.0 - step, best.0 + step] {
            let value = literal.nearest(beside, fineness);
            let is_known = known
                .iter()
                .any(|(tried, _)| (tried - value).abs() < step / 4.0);
            if value >= least - 1e-9 && value <= most + 1e-9 && !is_known {
                let found = self.tried(thing, &mover.put, value, fineness);
                known.push((value, found));
            }
        }
        let (value, place) = nearest(&known, to)?;
        let is_moved = (value - literal.value).abs() > step / 4.0;
        let letters = mover.put.letters(value, fineness);
        Some(Dragged {
            edit: is_moved.then(|| Offer {
                at: mover.at,
                text: letters.clone(),
            }),
            written: letters.trim_start_matches([',', ' ']).to_owned(),
            x: place.x,
            y: place.y,
            stopped: self.stopped(mover, value, (least, most), &known, step),
        })
    }

    fn stopped(
        &self,
        mover: &Mover,
        value: f64,
        (least, most): (f64, f64),
        known: &[(f64, Option<Point>)],
        step: f64,
    ) -> Option<String> {
        let bound = |at: f64| mover.put.literal.written(at, Fineness::AsWritten);
        if value <= least + step / 2.0 && mover.range.is_some() {
            return Some(format!("{} is the least here", bound(least)));
        }
        if value >= most - step / 2.0 {
            return Some(match mover.range {
                Some(_) => format!("{} is the most here", bound(most)),
                None => format!("{} is as far as one drag goes", bound(most)),
            });
        }
        let is_beside = |tried: &f64| (tried - value).abs() < step * 1.5;
        let cannot = known
            .iter()
            .any(|(tried, place)| place.is_none() && is_beside(tried));
        cannot.then(|| "beyond this it cannot be drawn".to_owned())
    }
}

/// The value whose place is nearest.
fn nearest(known: &[(f64, Option<Point>)], to: Point) -> Option<(f64, Point)> {
    let drawn = known
        .iter()
        .filter_map(|(value, place)| Some((*value, (*place)?)));
    drawn.min_by(|a, b| a.1.distance(to).total_cmp(&b.1.distance(to)))
}
