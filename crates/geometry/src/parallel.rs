//! The parallel of a path at a distance on one side: every point moved square to the path by the distance.
//!
//! Cubics are fitted by kurbo's offset (within a stated tolerance, a few cubics each), corners are run on until they
//! meet, and where the path bends more tightly than the distance the folded part is cut off at the place where the
//! parallel crosses itself. If that would eat an end, the parallel is refused with the place and the radius.

use super::measure::Bend;
use super::path::{Path, PathFault};
use super::segment::{self, end_tangent, start_tangent, with_start};
use super::self_meet::self_meetings_within;
use super::{FITTING, LARGEST, LENGTH_ACCURACY, MEETING};
use kurbo::offset::offset_cubic;
use kurbo::{Affine, BezPath, CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};

/// Corners are run on until they meet, up to this many times the distance; beyond it the gap is closed straight.
const LONGEST_CORNER: f64 = 4.0;

/// Pairs of pieces that are looked at for one parallel, at most: those of it that come near each other (eight times, where they
/// are bent), and for each place at which it crosses itself all of the line's, since every stretch in between is held against
/// the whole line.
pub const MOST_PAIRS: u64 = 3_000_000;

/// What a stretch costs besides, in pairs (measured).
const A_STRETCH: u64 = 200;

/// A side of a path, for somebody walking along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left of somebody walking along the path.
    Left,
    /// Right of somebody walking along the path.
    Right,
}

/// A parallel, with the places at which a fold was cut off.
#[derive(Clone, Debug, PartialEq)]
pub struct Parallel {
    /// The parallel, walked the same way as the path.
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
        /// The point that should tell the side.
        place: Point,
    },
    /// It crosses itself so often that more than [`MOST_PAIRS`] would have to be looked at.
    Wound,
    /// The result is not a path.
    Path(PathFault),
}

impl From<PathFault> for ParallelFault {
    fn from(fault: PathFault) -> ParallelFault {
        ParallelFault::Path(fault)
    }
}

/// The parallel at `distance` millimetres, to the left if positive, fitted within `tolerance` millimetres. Where the path
/// bends too tightly for it a fold is cut off; what cannot be cut is refused, with the place.
pub fn parallel(path: &Path, distance: f64, tolerance: f64) -> Result<Path, ParallelFault> {
    parallel_with_cuts(path, distance, tolerance).map(|parallel| parallel.path)
}

/// The side of a path on which a point lies, judged at the nearest place (at a corner by both segments);
/// [`ParallelFault::NoSide`] where it lies on the path.
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

/// The side of a path toward which a direction points, judged at the middle of its length; [`ParallelFault::NoSide`] where
/// it points along the path there.
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
    let mut left = MOST_PAIRS;
    counted(path, distance, tolerance, &mut left)
}

/// The same, which takes off `left` the pairs of pieces that it looks at.
fn counted(
    path: &Path,
    distance: f64,
    tolerance: f64,
    left: &mut u64,
) -> Result<Parallel, ParallelFault> {
    if !distance.is_finite() || distance.abs() > LARGEST {
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
    if let Some(place) = path
        .segs()
        .iter()
        .filter_map(segment::to_and_fro)
        .find_map(|turns| turns.get(1).copied())
    {
        return Err(ParallelFault::TooTight {
            place,
            radius: 0.0,
            distance: distance.abs(),
        });
    }
    let raw = Raw::of(path, distance, tolerance)?;
    let folds = raw.folded.contains(&true);
    let (crossings, overlaps) = if raw.path.segs().len() == 1 && !folds {
        Default::default()
    } else {
        self_meetings_within(raw.path.segs(), path.is_closed(), left).ok_or(ParallelFault::Wound)?
    };
    if crossings.is_empty() && overlaps.is_empty() && !folds {
        return Ok(Parallel {
            path: raw.path,
            cuts: Vec::new(),
        });
    }
    let mut stops: Vec<_> = crossings.iter().flat_map(|m| [m.on_a, m.on_b]).collect();
    stops.extend(
        overlaps
            .iter()
            .flat_map(|o| [o.on_a.0, o.on_a.1, o.on_b.0, o.on_b.1]),
    );
    let pairs = stops.len() as u64 * (path.segs().len() as u64 + A_STRETCH);
    *left = left.checked_sub(pairs).ok_or(ParallelFault::Wound)?;
    trimmed(path, &raw, stops, distance, tolerance)
}

/// The offset of each segment, joined at the corners, folds and all.
pub(crate) struct Raw {
    pub(crate) path: Path,
    /// For each of its segments, whether it runs against the original: the inside of a fold.
    folded: Vec<bool>,
}

impl Raw {
    fn of(path: &Path, distance: f64, tolerance: f64) -> Result<Raw, PathFault> {
        Raw::beside(path, |seg| {
            (offset_segment(seg, distance, tolerance), distance)
        })
    }

    /// What `beside` gives for each segment in turn, with its distance at the segment's end, joined at the corners.
    pub(crate) fn beside(
        path: &Path,
        mut beside: impl FnMut(&PathSeg) -> (Vec<PathSeg>, f64),
    ) -> Result<Raw, PathFault> {
        let mut row = Row {
            segs: Vec::with_capacity(path.segs().len() * 4),
            folded: Vec::new(),
        };
        let closing = path.segs().last().filter(|_| path.is_closed());
        let mut before: Option<&PathSeg> = None;
        let mut distance = 0.0;
        for seg in path.segs() {
            let (own, at_end) = beside(seg);
            if let (Some(previous), Some(start)) = (before, own.first().map(|s| s.start())) {
                row.bridge(
                    start,
                    seg.start(),
                    (end_tangent(previous), start_tangent(seg)),
                    distance,
                );
            }
            row.append(seg, &own);
            before = Some(seg);
            distance = at_end;
        }
        if let (Some(last), Some(first)) = (closing, path.segs().first()) {
            let start = row.segs.first().map_or(first.start(), |s| s.start());
            row.bridge(
                start,
                first.start(),
                (end_tangent(last), start_tangent(first)),
                distance,
            );
        }
        let path = Path::of(row.segs);
        if path.length()? < MEETING {
            return Err(PathFault::NoLength {
                at: path.start().unwrap_or_default(),
            });
        }
        Ok(Raw {
            path,
            folded: row.folded,
        })
    }
}

struct Row {
    segs: Vec<PathSeg>,
    folded: Vec<bool>,
}

impl Row {
    fn push(&mut self, seg: PathSeg, folded: bool) {
        if segment::size(&seg) > LENGTH_ACCURACY {
            let seg = match self.segs.last() {
                Some(last) if last.end() != seg.start() => with_start(seg, last.end()),
                _ => seg,
            };
            self.segs.push(seg);
            self.folded.push(folded);
        }
    }

    /// The offset of one segment: it runs against the original from one cusp to the next.
    fn append(&mut self, seg: &PathSeg, own: &[PathSeg]) {
        let mut folded = own
            .first()
            .is_some_and(|first| start_tangent(first).dot(start_tangent(seg)) < 0.0);
        let mut before: Option<&PathSeg> = None;
        for piece in own
            .iter()
            .filter(|piece| segment::size(piece) > LENGTH_ACCURACY)
        {
            if before.is_some_and(|b| end_tangent(b).dot(start_tangent(piece)) < -0.5) {
                folded = !folded;
            }
            self.push(*piece, folded);
            before = Some(piece);
        }
    }

    /// Closes the gap between the offsets of two segments at their corner.
    fn bridge(&mut self, to: Point, corner: Point, (t1, t2): (Vec2, Vec2), distance: f64) {
        let Some(from) = self.segs.last().map(|seg| seg.end()) else {
            return;
        };
        if (to - from).hypot() <= MEETING {
            return;
        }
        let cross = t1.cross(t2);
        if cross * distance < 0.0 {
            let meet = from + t1 * ((to - from).cross(t2) / cross);
            if (meet - corner).hypot() <= LONGEST_CORNER * distance.abs() {
                self.push(PathSeg::Line(Line::new(from, meet)), false);
                self.push(PathSeg::Line(Line::new(meet, to)), false);
                return;
            }
        }
        self.push(PathSeg::Line(Line::new(from, to)), false);
    }
}

/// The offset of one segment, to the left if positive; cubics fitted within `tolerance`.
pub(crate) fn offset_segment(seg: &PathSeg, distance: f64, tolerance: f64) -> Vec<PathSeg> {
    if let Some(turns) = segment::to_and_fro(seg) {
        let pairs = turns.iter().zip(turns.iter().skip(1));
        let lines = pairs.map(|(p, q)| PathSeg::Line(Line::new(*p, *q)));
        return lines
            .flat_map(|line| offset_segment(&line, distance, tolerance))
            .collect();
    }
    let straight = segment::is_straight(seg, 1e-7);
    match seg {
        PathSeg::Cubic(c) if !straight => {
            let mut fitted: Vec<PathSeg> = Vec::new();
            let mut from = 0.0;
            for to in hairpin_stops(seg, distance)
                .into_iter()
                .chain(std::iter::once(1.0))
            {
                if to > from {
                    let part = if from == 0.0 && to == 1.0 {
                        *c
                    } else {
                        c.subsegment(from..to)
                    };
                    let mut row = BezPath::new();
                    offset_cubic(steady_handles(&part), distance, tolerance * 0.8, &mut row);
                    fitted.extend(row.segments().map(segment::raised));
                    from = to;
                }
            }
            fitted
        }
        _ => {
            let along = segment::unit(seg.end() - seg.start());
            vec![Affine::translate(along.turn_90() * distance) * segment::raised(*seg)]
        }
    }
}

/// Where to divide a cubic before it is fitted: about each bend far tighter than the distance, whose turn happens in so
/// short a stretch that the fit would look past it.
fn hairpin_stops(seg: &PathSeg, distance: f64) -> Vec<f64> {
    const FAR_TIGHTER: f64 = 0.05;
    let mut stops = Vec::new();
    if least_radius(seg) >= FAR_TIGHTER * distance.abs() {
        return stops;
    }
    for t in segment::curvature_extremes(seg) {
        let radius = 1.0 / segment::curvature(seg, t).abs();
        if !(t > 0.0 && t < 1.0 && radius < FAR_TIGHTER * distance.abs()) {
            continue;
        }
        let stretch = radius / segment::derivatives(seg, t).0.hypot();
        stops.push(t);
        if stretch.is_finite() && stretch > 1e-9 {
            let wide = [1.0, 4.0, 16.0, 64.0].map(|times| times * stretch);
            stops.extend(wide.iter().flat_map(|by| [t - by, t + by]));
        }
    }
    stops.retain(|t| *t > 1e-6 && *t < 1.0 - 1e-6);
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|later, earlier| *later - *earlier < 1e-9);
    stops
}

/// A radius that no bend of a segment comes under, quickly: zero where the control polygon turns back.
fn least_radius(seg: &PathSeg) -> f64 {
    let PathSeg::Cubic(c) = seg else {
        return f64::INFINITY;
    };
    let sides = [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2];
    let along = segment::unit(c.p3 - c.p0);
    // |c'| is at least 3·slowest, and |c' × c''| at most 18·widest, by the hulls of their Bernstein forms.
    let slowest = sides
        .iter()
        .map(|side| along.dot(*side))
        .fold(f64::INFINITY, f64::min)
        .max(0.0);
    let [d0, d1, d2] = sides;
    let widest = d0
        .cross(d1)
        .abs()
        .max(0.5 * d0.cross(d2).abs())
        .max(d1.cross(d2).abs());
    1.5 * slowest * slowest * slowest / widest
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
    Raw { path: raw, folded }: &Raw,
    mut stops: Vec<super::path::Location>,
    distance: f64,
    tolerance: f64,
) -> Result<Parallel, ParallelFault> {
    let bend = path
        .tightest_toward(distance > 0.0)
        .filter(|bend| bend.radius() < distance.abs());
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
    let mut cutting = false;
    let mut from = raw.start_location();
    for stop in stops.into_iter().chain(std::iter::once(raw.end_location())) {
        let Ok(part) = raw.part(from, stop) else {
            continue;
        };
        let own = folded
            .iter()
            .take(stop.segment + usize::from(stop.t > 0.0))
            .skip(from.segment);
        let folds = own.skip(usize::from(from.t >= 1.0)).any(|folds| *folds);
        from = stop;
        if !folds && keeps_distance(path, &part, distance.abs() - 4.0 * tolerance) {
            kept.push(part);
            cutting = false;
        } else if !cutting && let Ok(at) = part.start() {
            cutting = true;
            let near = |b: &Bend| part.nearest(b.point).distance <= distance.abs() + tolerance;
            cuts.push(Cut {
                at,
                bend: bend.filter(near),
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

/// Whether sample places of a part keep their distance from the original. Beside an end of the original, where the
/// parallel may run round it, the distance does not tell.
fn keeps_distance(path: &Path, part: &Path, least: f64) -> bool {
    let Ok(length) = part.length() else {
        return false;
    };
    let open = !path.is_closed();
    [0.5, 0.25, 0.75, 0.1, 0.9].iter().all(|share| {
        let Ok(p) = part.point_at(length * share) else {
            return false;
        };
        let near = path.nearest(p);
        let at_end = near.location == path.start_location() || near.location == path.end_location();
        near.distance >= least || (open && at_end)
    })
}

/// The parallel fitted within the usual tolerance, or why there is none, and how many pairs of pieces were looked at.
pub fn parallel_of(path: &Path, distance: f64) -> (Result<Path, ParallelFault>, u64) {
    let mut left = MOST_PAIRS;
    let made = counted(path, distance, FITTING, &mut left);
    (made.map(|made| made.path), MOST_PAIRS - left)
}
