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

/// A step that would bring the thing nearer by less than this share of itself is tried; one that leads away is not.
const DOUBT: f64 = 0.2;

/// What a drag comes to.
#[derive(Debug, Serialize)]
pub struct Dragged {
    /// The letters that change; none where the thing is as near as the figure can bring it already.
    pub edit: Option<Offer>,
    /// The file that they are of, below the root of imports; none of the draft's own text.
    pub file: Option<String>,
    /// The figure as it would be written.
    pub written: String,
    /// Where the thing would be, in millimetres to the right.
    pub x: f64,
    /// And up.
    pub y: f64,
    /// Why it goes no farther, where it does not.
    pub stopped: Option<String>,
}

/// Where the thing is for figures that were tried in one drag.
#[derive(Default)]
pub(crate) struct Track(Vec<(f64, Option<Point>)>);

impl Track {
    fn has(&self, value: f64, step: f64) -> bool {
        let mut tried = self.0.iter();
        tried.any(|(tried, _)| (tried - value).abs() < step / 4.0)
    }

    /// The figures that it could be drawn for.
    fn drawn(&self) -> impl Iterator<Item = (f64, Point)> {
        let all = self.0.iter();
        all.filter_map(|(value, place)| Some((*value, (*place)?)))
    }

    /// The value whose place is nearest.
    fn nearest(&self, to: Point) -> Option<(f64, Point)> {
        self.drawn()
            .min_by(|a, b| a.1.distance(to).total_cmp(&b.1.distance(to)))
    }

    /// How the thing goes about a value, from the nearest other that was tried.
    fn slope(&self, (value, place): (f64, Point)) -> Option<Vec2> {
        let others = self
            .drawn()
            .filter(|(other, _)| (other - value).abs() > 1e-9);
        let nearest = others.min_by(|a, b| (a.0 - value).abs().total_cmp(&(b.0 - value).abs()))?;
        let slope = (nearest.1 - place) / (nearest.0 - value);
        (slope.hypot2() > 1e-12).then_some(slope)
    }
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
        self.drag_on(thing, mover, to, fineness, &mut Track::default())
    }

    /// The same, with what was tried before for this thing and mover. The draft that is tried on is left as the drag has it.
    pub(crate) fn drag_on(
        &mut self,
        thing: &Thing,
        mover: &Mover,
        to: Point,
        fineness: Fineness,
        track: &mut Track,
    ) -> Option<Dragged> {
        let literal = mover.put.literal.clone();
        let step = literal.step(fineness);
        let far = FARTHEST * literal.value + 100.0 * literal.step(Fineness::AsWritten);
        let (least, most) = mover.range.unwrap_or((0.0, far));
        let least = literal.least(least);
        if track.0.is_empty() {
            let here = thing.place(self.session.outcome())?;
            track.0.push((literal.value, Some(here)));
        }
        let (mut value, mut place) = track.nearest(to)?;
        let first = Vec2::new(mover.right, mover.up);
        let mut slope = track.slope((value, place)).unwrap_or(first);
        for _ in 0..MOST_TRIED {
            let far = slope.hypot2();
            if far < 1e-12 {
                break;
            }
            let wanted = value + (to - place).dot(slope) / far;
            let next = literal.nearest(wanted.clamp(least, most), fineness);
            if track.has(next, step) {
                break;
            }
            let found = self.tried(thing, &mover.put, next, fineness);
            track.0.push((next, found));
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
        self.beside(thing, mover, to, (fineness, step, least, most), track);
        let (value, place) = track.nearest(to)?;
        let is_moved = (value - literal.value).abs() > step / 4.0;
        let letters = mover.put.letters(value, fineness);
        if is_moved {
            self.put(&mover.put, &letters)?;
        } else {
            self.put_back();
        }
        Some(Dragged {
            edit: is_moved.then_some(Offer {
                at: mover.at,
                text: letters,
            }),
            file: mover.file.as_ref().map(|(file, _)| file.clone()),
            written: mover.put.shown(value, fineness),
            x: place.x,
            y: place.y,
            stopped: self.stopped(mover, value, (least, most), track, step),
        })
    }

    /// Tries the steps on either side of the nearest figure, where they may bring the thing nearer.
    fn beside(
        &mut self,
        thing: &Thing,
        mover: &Mover,
        to: Point,
        (fineness, step, least, most): (Fineness, f64, f64, f64),
        track: &mut Track,
    ) {
        for _ in 0..MOST_TRIED {
            let Some((value, place)) = track.nearest(to) else {
                return;
            };
            let slope = track.slope((value, place));
            let literal = &mover.put.literal;
            let before = track.0.len();
            for by in [-step, step] {
                let next = literal.nearest(value + by, fineness);
                let is_within = next >= least - 1e-9 && next <= most + 1e-9;
                if !is_within || track.has(next, step) {
                    continue;
                }
                let leads_away = slope.is_some_and(|slope| {
                    let gone = slope * (next - value);
                    (place + gone).distance(to) > place.distance(to) + DOUBT * gone.hypot()
                });
                if !leads_away {
                    let found = self.tried(thing, &mover.put, next, fineness);
                    track.0.push((next, found));
                }
            }
            if track.0.len() == before {
                return;
            }
        }
    }

    fn stopped(
        &self,
        mover: &Mover,
        value: f64,
        (least, most): (f64, f64),
        track: &Track,
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
        let cannot = track
            .0
            .iter()
            .any(|(tried, place)| place.is_none() && is_beside(tried));
        cannot.then(|| "beyond this it cannot be drawn".to_owned())
    }
}
