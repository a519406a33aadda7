//! The parallel of a path at a distance on one side: every point moved square to the path by the distance.
//!
//! Cubics are fitted by kurbo's offset (within a stated tolerance, a few cubics each), corners are run on until they
//! meet, and where the path bends more tightly than the distance the folded part is cut off at the place where the
//! parallel crosses itself. If that would eat an end, the parallel is refused with the place and the radius.

use super::measure::Bend;
use super::path::{Path, PathFault};
use super::segment::{self, end_tangent, start_tangent};
use super::self_meet::self_meetings;
use super::{FITTING, MEETING};
use kurbo::offset::offset_cubic;
use kurbo::{Affine, BezPath, CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};
use std::fmt;

/// Corners are run on until they meet, up to this many times the distance; beyond it the gap is closed straight.
const LONGEST_CORNER: f64 = 4.0;

/// A side of a path, for somebody walking along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

/// A parallel, with the places at which a fold was cut off.
#[derive(Clone, Debug, PartialEq)]
pub struct Parallel {
    /// The parallel itself.
    pub path: Path,
    /// Where it had to be cut, in order.
    pub cuts: Vec<Cut>,
}

/// A fold cut off a parallel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The corner left in the parallel.
    pub at: Point,
    /// The bend of the original that the parallel could not follow; none if the path came too near itself or turned
    /// a corner there.
    pub bend: Option<Bend>,
}

/// Why there is no parallel.
#[derive(Clone, Debug, PartialEq)]
pub enum ParallelFault {
    /// The distance is greater than the radius of the bend, and cutting off the fold would eat an end.
    TooTight {
        /// The tightest place on the original.
        place: Point,
        /// Its radius of curvature in millimetres.
        radius: f64,
        /// The distance asked for.
        distance: f64,
    },
    /// The path comes too near itself for the distance, or is too short beside a corner.
    NoRoom {
        /// Where on the original.
        place: Point,
        /// The distance asked for.
        distance: f64,
    },
    /// The point that should tell the side lies on the path itself.
    NoSide {
        /// The point.
        place: Point,
    },
    /// The result is not a path.
    Path(PathFault),
}

impl fmt::Display for ParallelFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ParallelFault::TooTight {
                radius, distance, ..
            } => {
                write!(
                    f,
                    "the line bends with a radius of {radius:.3}, too tight for a parallel at {distance:.3}"
                )
            }
            ParallelFault::NoRoom { distance, .. } => {
                write!(f, "there is no room for a parallel at {distance:.3}")
            }
            ParallelFault::NoSide { .. } => write!(
                f,
                "the point lies on the line itself, so it does not tell a side"
            ),
            ParallelFault::Path(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for ParallelFault {}

impl From<PathFault> for ParallelFault {
    fn from(fault: PathFault) -> ParallelFault {
        ParallelFault::Path(fault)
    }
}

/// The parallel at `distance` millimetres, to the left if positive, fitted within `tolerance`.
pub fn parallel(path: &Path, distance: f64, tolerance: f64) -> Result<Path, ParallelFault> {
    parallel_with_cuts(path, distance, tolerance).map(|parallel| parallel.path)
}

/// The side of a path on which a point lies, judged at the nearest place (at a corner by both segments).
pub fn side_of(path: &Path, p: Point) -> Result<Side, ParallelFault> {
    let near = path.nearest(p);
    let way = p - near.point;
    if near.distance <= MEETING * 0.1 {
        return Err(ParallelFault::NoSide { place: p });
    }
    let mut along = path.tangent_at(near.location);
    let segs = path.segs();
    let neighbour = if near.location.t >= 1.0 {
        segs.get(near.location.segment + 1).map(start_tangent)
    } else if near.location.t <= 0.0 {
        near.location
            .segment
            .checked_sub(1)
            .and_then(|i| segs.get(i))
            .map(end_tangent)
    } else {
        None
    };
    if let Some(other) = neighbour {
        along += other;
    }
    Ok(if along.cross(way) >= 0.0 {
        Side::Left
    } else {
        Side::Right
    })
}

/// The side of a path toward which a direction points, judged at the middle of its length.
pub fn side_toward(path: &Path, direction: Vec2) -> Result<Side, ParallelFault> {
    let middle = if path.is_endless() {
        path.start_location()
    } else {
        path.location_at_share(0.5)?
    };
    let cross = path.tangent_at(middle).cross(direction);
    if cross.abs() <= 1e-9 * direction.hypot() {
        return Err(ParallelFault::NoSide {
            place: path.point(middle),
        });
    }
    Ok(if cross > 0.0 { Side::Left } else { Side::Right })
}

/// The parallel with its cuts told.
pub fn parallel_with_cuts(
    path: &Path,
    distance: f64,
    tolerance: f64,
) -> Result<Parallel, ParallelFault> {
    if !distance.is_finite() {
        return Err(PathFault::OffThePaper.into());
    }
    if let Some((through, direction)) = path.endless_line() {
        let moved = Path::endless(through + direction.turn_90() * distance, direction)?;
        return Ok(Parallel {
            path: moved,
            cuts: Vec::new(),
        });
    }
    if distance == 0.0 {
        return Ok(Parallel {
            path: path.clone(),
            cuts: Vec::new(),
        });
    }
    let raw = raw_parallel(path, distance, tolerance)?;
    let closed = path.is_closed();
    let bend = path
        .tightest_toward(distance > 0.0)
        .filter(|bend| bend.radius() < distance.abs());
    let (crossings, overlaps) = if raw.segs().len() == 1 && bend.is_none() {
        Default::default()
    } else {
        self_meetings(raw.segs(), closed)
    };
    if crossings.is_empty() && overlaps.is_empty() && bend.is_none() {
        return Ok(Parallel {
            path: raw,
            cuts: Vec::new(),
        });
    }
    let mut stops: Vec<_> = crossings.iter().flat_map(|m| [m.on_a, m.on_b]).collect();
    stops.extend(
        overlaps
            .iter()
            .flat_map(|o| [o.on_a.0, o.on_a.1, o.on_b.0, o.on_b.1]),
    );
    trimmed(path, &raw, stops, distance, tolerance, bend)
}

/// The offset of each segment, joined at the corners, folds and all.
fn raw_parallel(path: &Path, distance: f64, tolerance: f64) -> Result<Path, ParallelFault> {
    let mut raw: Vec<PathSeg> = Vec::with_capacity(path.segs().len() * 4);
    let mut before: Option<&PathSeg> = None;
    for seg in path.segs() {
        let mut own = offset_segment(seg, distance, tolerance);
        if let (Some(previous), Some(start)) = (before, own.first().map(|s| s.start())) {
            let directions = (end_tangent(previous), start_tangent(seg));
            bridge(&mut raw, start, seg.start(), directions, distance);
        }
        raw.append(&mut own);
        before = Some(seg);
    }
    if let (true, Some(last), Some(first)) =
        (path.is_closed(), path.segs().last(), path.segs().first())
    {
        let directions = (end_tangent(last), start_tangent(first));
        if let Some(start) = raw.first().map(|s| s.start()) {
            bridge(&mut raw, start, first.start(), directions, distance);
        }
    }
    Ok(Path::from_segs(raw)?)
}

/// Closes the gap between the offsets of two segments at their corner.
fn bridge(raw: &mut Vec<PathSeg>, to: Point, corner: Point, (t1, t2): (Vec2, Vec2), distance: f64) {
    let Some(from) = raw.last().map(|seg| seg.end()) else {
        return;
    };
    if (to - from).hypot() <= MEETING {
        return;
    }
    let cross = t1.cross(t2);
    let outside = cross * distance < 0.0;
    if outside {
        let meet = from + t1 * ((to - from).cross(t2) / cross);
        if (meet - corner).hypot() <= LONGEST_CORNER * distance.abs() {
            raw.push(PathSeg::Line(Line::new(from, meet)));
            raw.push(PathSeg::Line(Line::new(meet, to)));
            return;
        }
    }
    raw.push(PathSeg::Line(Line::new(from, to)));
}

/// The offset of one segment, to the left if positive; cubics fitted within `tolerance`.
pub(crate) fn offset_segment(seg: &PathSeg, distance: f64, tolerance: f64) -> Vec<PathSeg> {
    let straight = segment::is_straight(seg, 1e-7);
    match seg {
        PathSeg::Cubic(c) if !straight => {
            let mut fitted = BezPath::new();
            offset_cubic(steady_handles(c), distance, tolerance * 0.8, &mut fitted);
            fitted.segments().map(segment::raised).collect()
        }
        _ => {
            let along = segment::unit(seg.end() - seg.start());
            vec![Affine::translate(along.turn_90() * distance) * segment::raised(*seg)]
        }
    }
}

/// The same curve to within a hair, with handles long enough to give the ends a direction.
fn steady_handles(c: &CubicBez) -> CubicBez {
    let least = 1e-6 * (c.p3 - c.p0).hypot().max((c.p2 - c.p1).hypot());
    let seg = PathSeg::Cubic(*c);
    let mut steady = *c;
    if (c.p1 - c.p0).hypot() < least {
        steady.p1 = c.p0 + start_tangent(&seg) * least;
    }
    if (c.p3 - c.p2).hypot() < least {
        steady.p2 = c.p3 - end_tangent(&seg) * least;
    }
    steady
}

/// The parts of the raw parallel that keep their distance from the original, if they still run from end to end.
fn trimmed(
    path: &Path,
    raw: &Path,
    mut stops: Vec<super::path::Location>,
    distance: f64,
    tolerance: f64,
    bend: Option<Bend>,
) -> Result<Parallel, ParallelFault> {
    stops.sort_by(|x, y| x.partial_cmp(y).unwrap_or(std::cmp::Ordering::Equal));
    let refuse = |place: Point| match bend {
        Some(bend) => ParallelFault::TooTight {
            place: bend.point,
            radius: bend.radius(),
            distance: distance.abs(),
        },
        None => ParallelFault::NoRoom {
            place,
            distance: distance.abs(),
        },
    };
    let mut kept: Vec<Path> = Vec::new();
    let mut cuts = Vec::new();
    let mut from = raw.start_location();
    for stop in stops.into_iter().chain(std::iter::once(raw.end_location())) {
        let Ok(part) = raw.part(from, stop) else {
            continue;
        };
        from = stop;
        if keeps_distance(path, &part, distance.abs() - 4.0 * tolerance) {
            kept.push(part);
        } else if let Ok(at) = part.start() {
            cuts.push(Cut {
                at,
                bend: bend.filter(|b| (b.point - at).hypot() <= 2.0 * distance.abs()),
            });
        }
    }
    let (Some(first), Some(last)) = (kept.first(), kept.last()) else {
        return Err(refuse(path.point_at(0.0)?));
    };
    let far = |p: Point, q: Point| (p - q).hypot() > 2.0 * MEETING;
    if path.is_closed() {
        let (start, end) = (first.start()?, last.end()?);
        if far(start, end) {
            return Err(refuse(start));
        }
    } else if far(first.start()?, raw.start()?) {
        return Err(refuse(path.start()?));
    } else if far(last.end()?, raw.end()?) {
        return Err(refuse(path.end()?));
    }
    match Path::joined(&kept) {
        Ok(joined) => Ok(Parallel { path: joined, cuts }),
        Err(PathFault::Gap { from, .. }) => Err(refuse(path.nearest(from).point)),
        Err(other) => Err(other.into()),
    }
}

/// Whether sample places of a part keep a distance from the original.
fn keeps_distance(path: &Path, part: &Path, least: f64) -> bool {
    let Ok(length) = part.length() else {
        return false;
    };
    [0.5, 0.25, 0.75, 0.1, 0.9].iter().all(|share| {
        let place = part.point_at(length * share);
        place.is_ok_and(|p| path.nearest(p).distance >= least)
    })
}

/// The parallel fitted within the usual tolerance.
pub fn parallel_of(path: &Path, distance: f64) -> Result<Path, ParallelFault> {
    parallel(path, distance, FITTING)
}
