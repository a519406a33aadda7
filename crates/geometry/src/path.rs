//! The path: a connected row of lines and cubics, or an endless straight line.
//!
//! A path is never empty, and never shorter than [`MEETING`] unless it is nothing: a place alone, which what goes along
//! several paths passes over. It knows its own length. Measuring is in `measure`,
//! cutting and joining in `edit`.

use super::segment::{self, raised, unit, with_start};
use super::{LARGEST, LENGTH_ACCURACY, MEETING};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};

/// A line or curve: a connected row of line and cubic segments, or an endless straight line.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pub(crate) shape: Shape,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Shape {
    /// Segments in order, and the arc length from the start to the end of each.
    Drawn { segs: Vec<PathSeg>, ends: Vec<f64> },
    /// A point on the line and its unit direction.
    Endless { through: Point, direction: Vec2 },
}

/// A place on a path: a segment and its parameter there. On an endless line `t` is millimetres from the point it was
/// drawn through. Places compare in path order.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Location {
    /// Index of the segment.
    pub segment: usize,
    /// Parameter in the segment, 0 to 1.
    pub t: f64,
}

/// Why a path cannot be drawn, measured or cut as asked. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum PathFault {
    /// Both ends fall together, so there is no line.
    NoLength {
        /// The point on which they fall together.
        at: Point,
    },
    /// A coordinate is not a number, or lies beyond [`LARGEST`].
    OffThePaper,
    /// One part ends where the next does not begin.
    Gap {
        /// Index of the part before the gap.
        after: usize,
        /// Width of the gap.
        gap: f64,
        /// End of the part before.
        from: Point,
        /// Start of the part after.
        to: Point,
    },
    /// The line is endless: it has no ends, length or parts.
    Endless,
    /// A place was asked for beyond the end.
    PastTheEnd {
        /// The length asked for.
        wanted: f64,
        /// The length there is.
        length: f64,
    },
    /// A place was asked for before the start.
    BeforeTheStart {
        /// The length asked for, negative.
        wanted: f64,
    },
    /// A cut that would leave a part without length.
    NothingLeft {
        /// Where the cut falls.
        at: Point,
    },
}

impl Path {
    /// The straight line from `a` to `b`; [`PathFault::NoLength`] where they are nearer than [`MEETING`].
    pub fn line(a: Point, b: Point) -> Result<Path, PathFault> {
        Path::from_segs(vec![PathSeg::Line(Line::new(a, b))])
    }

    /// The straight line from `a` to `b`, or nothing where they fall together.
    pub fn line_or_nothing(a: Point, b: Point) -> Result<Path, PathFault> {
        match Path::line(a, b) {
            Err(PathFault::NoLength { .. }) => Ok(Path::nothing(a)),
            other => other,
        }
    }

    /// A line of no length: a place, which what goes along several paths passes over.
    pub fn nothing(at: Point) -> Path {
        Path {
            shape: Shape::Drawn {
                segs: vec![PathSeg::Line(Line::new(at, at))],
                ends: vec![0.0],
            },
        }
    }

    /// Adds all that it is made of, bit for bit, after how much that is.
    pub(crate) fn push_bits(&self, bits: &mut Vec<u64>) {
        match &self.shape {
            Shape::Endless { through, direction } => {
                let place = [through.x, through.y, direction.x, direction.y];
                bits.push(0);
                bits.extend(place.map(f64::to_bits));
            }
            Shape::Drawn { segs, ends } => {
                bits.push(segs.len() as u64);
                for (seg, end) in segs.iter().zip(ends) {
                    let (kind, points): (u64, &[Point]) = match seg {
                        PathSeg::Line(l) => (1, &[l.p0, l.p1]),
                        PathSeg::Quad(q) => (2, &[q.p0, q.p1, q.p2]),
                        PathSeg::Cubic(c) => (3, &[c.p0, c.p1, c.p2, c.p3]),
                    };
                    bits.extend([kind, end.to_bits()]);
                    bits.extend(points.iter().flat_map(|p| [p.x.to_bits(), p.y.to_bits()]));
                }
            }
        }
    }

    /// Whether it is a line of no length.
    pub fn is_nothing(&self) -> bool {
        match &self.shape {
            Shape::Drawn { ends, .. } => ends.last().is_some_and(|length| *length == 0.0),
            Shape::Endless { .. } => false,
        }
    }

    /// A path of one cubic, kept as it is; [`PathFault::NoLength`] where it is shorter than [`MEETING`].
    pub fn cubic(cubic: CubicBez) -> Result<Path, PathFault> {
        Path::from_segs(vec![PathSeg::Cubic(cubic)])
    }

    /// The endless straight line through a point in a direction (of any length but none).
    pub fn endless(through: Point, direction: Vec2) -> Result<Path, PathFault> {
        if !on_paper(through) || !direction.is_finite() {
            return Err(PathFault::OffThePaper);
        }
        let direction = unit(direction);
        if direction == Vec2::ZERO {
            return Err(PathFault::NoLength { at: through });
        }
        Ok(Path {
            shape: Shape::Endless { through, direction },
        })
    }

    /// A path of segments that follow one another. Gaps up to [`MEETING`] are closed by moving the later start;
    /// segments without any size are dropped; quadratics are raised to cubics. [`PathFault::Gap`] where a gap is wider,
    /// [`PathFault::NoLength`] where less than [`MEETING`] is left.
    pub fn from_segs(segs: Vec<PathSeg>) -> Result<Path, PathFault> {
        let mut kept: Vec<PathSeg> = Vec::with_capacity(segs.len());
        let mut at: Option<Point> = None;
        for (index, seg) in segs.into_iter().enumerate() {
            let mut seg: PathSeg = raised(seg);
            if !seg_on_paper(&seg) {
                return Err(PathFault::OffThePaper);
            }
            if let Some(end) = at {
                let gap = (seg.start() - end).hypot();
                if gap > MEETING {
                    let after = index.saturating_sub(1);
                    return Err(PathFault::Gap {
                        after,
                        gap,
                        from: end,
                        to: seg.start(),
                    });
                }
                if gap > 0.0 {
                    seg = with_start(seg, end);
                }
            }
            at = at.or(Some(seg.start()));
            if segment::size(&seg) > LENGTH_ACCURACY {
                at = Some(seg.end());
                kept.push(seg);
            }
        }
        let start = at.unwrap_or_default();
        let path = Path::of(kept);
        match &path.shape {
            Shape::Drawn { ends, .. } if ends.last().is_some_and(|length| *length >= MEETING) => {
                Ok(path)
            }
            _ => Err(PathFault::NoLength { at: start }),
        }
    }

    /// A path of segments known to connect, each with a size.
    pub(crate) fn of(segs: Vec<PathSeg>) -> Path {
        let mut length = 0.0;
        let measured = segs.iter().map(|seg| {
            length += segment::arc_length(seg, LENGTH_ACCURACY);
            length
        });
        let ends = measured.collect();
        Path {
            shape: Shape::Drawn { segs, ends },
        }
    }

    /// The segments, lines and cubics, each starting where the one before ends. An endless line has none: see
    /// [`Path::endless_line`].
    pub fn segs(&self) -> &[PathSeg] {
        match &self.shape {
            Shape::Drawn { segs, .. } => segs,
            Shape::Endless { .. } => &[],
        }
    }

    /// Whether this is an endless straight line.
    pub fn is_endless(&self) -> bool {
        matches!(self.shape, Shape::Endless { .. })
    }

    /// The point an endless line was drawn through and its unit direction.
    pub fn endless_line(&self) -> Option<(Point, Vec2)> {
        match self.shape {
            Shape::Endless { through, direction } => Some((through, direction)),
            Shape::Drawn { .. } => None,
        }
    }

    /// Whether the whole path is one straight line that never turns back, within a millionth of a millimetre.
    pub fn is_straight(&self) -> bool {
        self.direction_of_straight().is_some()
    }

    /// The unit direction of a straight path, endless or not; none for a curve or a bent line.
    pub fn direction_of_straight(&self) -> Option<Vec2> {
        const STRAIGHT: f64 = 1e-6;
        let segs = match &self.shape {
            Shape::Endless { direction, .. } => return Some(*direction),
            Shape::Drawn { segs, .. } => segs,
        };
        let (first, last) = (segs.first()?, segs.last()?);
        let along = unit(last.end() - first.start());
        let straight = segs.iter().all(|seg| {
            let (from, to) = (seg.start() - first.start(), seg.end() - first.start());
            segment::is_straight(seg, STRAIGHT)
                && along.cross(from).abs() <= STRAIGHT
                && along.cross(to).abs() <= STRAIGHT
                && along.dot(to) >= along.dot(from)
        });
        straight.then_some(along)
    }

    /// Where the path begins; [`PathFault::Endless`] where it does not.
    pub fn start(&self) -> Result<Point, PathFault> {
        self.segs()
            .first()
            .map(|seg| seg.start())
            .ok_or(PathFault::Endless)
    }

    /// Where the path ends; [`PathFault::Endless`] where it does not.
    pub fn end(&self) -> Result<Point, PathFault> {
        self.segs()
            .last()
            .map(|seg| seg.end())
            .ok_or(PathFault::Endless)
    }

    /// The length along the path in millimetres, right to about [`LENGTH_ACCURACY`]; [`PathFault::Endless`] where it has none.
    pub fn length(&self) -> Result<f64, PathFault> {
        match &self.shape {
            Shape::Drawn { ends, .. } => Ok(ends.last().copied().unwrap_or(0.0)),
            Shape::Endless { .. } => Err(PathFault::Endless),
        }
    }

    /// The unit direction in which the path leaves its start, handles of no length notwithstanding.
    pub fn start_tangent(&self) -> Vec2 {
        match &self.shape {
            Shape::Drawn { segs, .. } => {
                segs.first().map(segment::start_tangent).unwrap_or_default()
            }
            Shape::Endless { direction, .. } => *direction,
        }
    }

    /// The unit direction in which the path arrives at its end, handles of no length notwithstanding.
    pub fn end_tangent(&self) -> Vec2 {
        match &self.shape {
            Shape::Drawn { segs, .. } => segs.last().map(segment::end_tangent).unwrap_or_default(),
            Shape::Endless { direction, .. } => *direction,
        }
    }

    /// Whether the path ends where it starts, within [`MEETING`].
    pub fn is_closed(&self) -> bool {
        match (self.start(), self.end()) {
            (Ok(start), Ok(end)) => (end - start).hypot() <= MEETING,
            _ => false,
        }
    }
}

/// Whether a point is finite and no farther out than [`LARGEST`].
pub(crate) fn on_paper(p: Point) -> bool {
    p.x.abs() <= LARGEST && p.y.abs() <= LARGEST
}

fn seg_on_paper(seg: &PathSeg) -> bool {
    match seg {
        PathSeg::Line(l) => on_paper(l.p0) && on_paper(l.p1),
        PathSeg::Quad(q) => on_paper(q.p0) && on_paper(q.p1) && on_paper(q.p2),
        PathSeg::Cubic(c) => on_paper(c.p0) && on_paper(c.p1) && on_paper(c.p2) && on_paper(c.p3),
    }
}
