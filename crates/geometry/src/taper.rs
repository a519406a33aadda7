//! The line beside a path at a distance that grows or runs out evenly along it: every point moved square to the path by a width
//! that changes in proportion to the length gone.

use super::allowance::Width;
use super::parallel::{MOST_PAIRS, ParallelFault, Raw};
use super::path::{Path, PathFault};
use super::segment;
use super::self_meet::self_meetings_within;
use super::{FITTING, LARGEST};
use kurbo::{
    CubicBez, CurveFitSample, Line, ParamCurve, ParamCurveArclen, ParamCurveFit, PathSeg, Point,
    Vec2,
};
use std::ops::Range;

/// How exactly a part's length is worked out, in millimetres.
pub(crate) const EXACT: f64 = 1e-6;
/// How often a stretch is halved at the most before its chord is taken for it.
const DEEPEST: u32 = 12;

/// The line beside `path`, at `from` millimetres from its start and `to` from its end, to the left if positive; and how many
/// pairs of its pieces were looked at.
///
/// # Errors
/// [`ParallelFault::TooTight`] where the path bends more tightly than the width there, and [`ParallelFault::Path`] for a path
/// without ends or a width off the paper.
pub fn tapered_of(path: &Path, from: f64, to: f64) -> (Result<Path, ParallelFault>, u64) {
    let mut left = MOST_PAIRS;
    let made = tapered(path, (from, to), &mut left);
    (made, MOST_PAIRS - left)
}

fn tapered(path: &Path, (from, to): (f64, f64), left: &mut u64) -> Result<Path, ParallelFault> {
    if !from.is_finite() || !to.is_finite() || from.abs().max(to.abs()) > LARGEST {
        return Err(PathFault::OffThePaper.into());
    }
    let total = path.length()?;
    let mut gone = 0.0;
    let mut tight = None;
    let raw = Raw::beside(path, |seg| {
        let length = seg.arclen(EXACT);
        let width = |gone: f64| from + (to - from) * gone / total;
        let widths = (width(gone), width(gone + length));
        gone += length;
        let (parts, too_tight) = beside(seg, widths, length);
        tight = tight.or(too_tight.then(|| seg.eval(0.5)));
        (parts, widths.1)
    })?;
    let (crossings, overlaps) = self_meetings_within(raw.path.segs(), path.is_closed(), left)
        .ok_or(ParallelFault::Wound)?;
    if let Some(place) = tight.or(crossings.first().map(|meeting| meeting.point)) {
        let distance = from.abs().max(to.abs());
        return Err(ParallelFault::NoRoom { place, distance });
    }
    if let Some(overlap) = overlaps.first() {
        let distance = from.abs().max(to.abs());
        return Err(ParallelFault::NoRoom {
            place: overlap.from,
            distance,
        });
    }
    Ok(raw.path)
}

/// What lies beside one segment, and whether the segment bends more tightly than it is wide there.
fn beside(seg: &PathSeg, (from, to): (f64, f64), length: f64) -> (Vec<PathSeg>, bool) {
    match seg {
        PathSeg::Cubic(cubic) if !segment::is_straight(seg, 1e-7) => {
            let source = Beside {
                cubic: *cubic,
                from,
                to,
                length,
            };
            let steps = 64;
            let turns_back =
                (0..=steps).any(|n| source.pace(f64::from(n) / f64::from(steps)) <= 0.0);
            let fitted = kurbo::fit_to_bezpath(&source, FITTING * 0.8);
            (fitted.segments().map(segment::raised).collect(), turns_back)
        }
        _ => {
            let up = segment::unit(seg.end() - seg.start()).turn_90();
            let line = Line::new(seg.start() + up * from, seg.end() + up * to);
            (vec![segment::raised(PathSeg::Line(line))], false)
        }
    }
}

/// What lies beside one segment on its right, at a width that changes evenly over its length in millimetres. Where it bends more
/// tightly than it is wide it turns back, in chords within [`FITTING`]: whoever asks has to find out which part of it counts.
pub(crate) fn outside(seg: &PathSeg, width: Width, length: f64) -> Vec<PathSeg> {
    let (row, turns_back) = beside(seg, (-width.start, -width.end), length);
    let PathSeg::Cubic(cubic) = seg else {
        return row;
    };
    if !turns_back {
        return row;
    }
    let (from, to) = (-width.start, -width.end);
    let source = Beside {
        cubic: *cubic,
        from,
        to,
        length,
    };
    let mut chords = Vec::new();
    let ends = (source.place(0.0), source.place(1.0));
    source.chords((0.0, 1.0), ends, DEEPEST, &mut chords);
    chords
}

/// A cubic moved square to itself by a width that changes in proportion to the length gone.
struct Beside {
    cubic: CubicBez,
    from: f64,
    to: f64,
    length: f64,
}

impl Beside {
    fn width(&self, t: f64) -> f64 {
        let gone = if t <= 0.0 {
            0.0
        } else {
            self.cubic.subsegment(0.0..t).arclen(EXACT)
        };
        self.from + (self.to - self.from) * gone / self.length
    }

    fn place(&self, t: f64) -> Point {
        let along = segment::tangent(&PathSeg::Cubic(self.cubic), t);
        self.cubic.eval(t) + along.turn_90() * self.width(t)
    }

    /// A stretch in chords, none farther off than the fit at its middle and quarters.
    fn chords(
        &self,
        (from, to): (f64, f64),
        (start, end): (Point, Point),
        deeper: u32,
        row: &mut Vec<PathSeg>,
    ) {
        let at = |share: f64| self.place(from + (to - from) * share);
        let middle = at(0.5);
        let off = |p: Point| segment::to_chord(p, (start, end)) > FITTING;
        if deeper > 0 && (off(middle) || off(at(0.25)) || off(at(0.75))) {
            let half = (from + to) / 2.0;
            self.chords((from, half), (start, middle), deeper - 1, row);
            self.chords((half, to), (middle, end), deeper - 1, row);
        } else {
            row.push(PathSeg::Line(Line::new(start, end)));
        }
    }

    /// How fast it goes along the cubic's own way, for each millimetre that the cubic goes: less than nothing where it turns back.
    fn pace(&self, t: f64) -> f64 {
        1.0 - segment::curvature(&PathSeg::Cubic(self.cubic), t) * self.width(t)
    }
}

impl ParamCurveFit for Beside {
    fn sample_pt_tangent(&self, t: f64, _sign: f64) -> CurveFitSample {
        let (p, tangent) = self.sample_pt_deriv(t);
        CurveFitSample { p, tangent }
    }

    fn sample_pt_deriv(&self, t: f64) -> (Point, Vec2) {
        let seg = PathSeg::Cubic(self.cubic);
        let speed = segment::derivatives(&seg, t).0;
        let along = segment::unit(speed);
        let up = along.turn_90();
        let place = self.cubic.eval(t) + up * self.width(t);
        let grows = (self.to - self.from) / self.length;
        (place, (along * self.pace(t) + up * grows) * speed.hypot())
    }

    fn break_cusp(&self, _range: Range<f64>) -> Option<f64> {
        None
    }
}
