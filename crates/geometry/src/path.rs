//! The path: a connected row of lines and cubics, or an endless straight line.
//!
//! A path is never empty, and never shorter than [`MEETING`] unless it is nothing: a place alone, which what goes along
//! several paths passes over. It works out its length when it is first asked for it: most lines of a draft never are.
//! Measuring is in `measure`, cutting and joining in `edit`.

use super::segment::{self, raised, unit, with_start};
use super::{LARGEST, LENGTH_ACCURACY, MEETING};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};
use std::sync::OnceLock;

/// A line or curve: a connected row of line and cubic segments, or an endless straight line.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pub(crate) shape: Shape,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Shape {
    Drawn(Drawn),
    /// A point on the line and its unit direction.
    Endless {
        through: Point,
        direction: Vec2,
    },
}

/// Segments in order.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    segs: Row<PathSeg>,
    /// The arc length from the start to the end of each.
    ends: OnceLock<Row<f64>>,
}

/// One, where it stands, or several elsewhere: most paths have one segment.
#[derive(Clone, Debug)]
enum Row<T> {
    One([T; 1]),
    Many(Vec<T>),
}

impl<T> Row<T> {
    fn as_slice(&self) -> &[T] {
        match self {
            Self::One(one) => one,
            Self::Many(many) => many,
        }
    }
}

impl<T: Copy> From<Vec<T>> for Row<T> {
    fn from(many: Vec<T>) -> Self {
        match many.as_slice() {
            [one] => Self::One([*one]),
            _ => Self::Many(many),
        }
    }
}

impl Drawn {
    fn new(segs: Row<PathSeg>) -> Self {
        let ends = OnceLock::new();
        Self { segs, ends }
    }

    /// Segments whose lengths are known.
    pub(crate) fn measured(segs: Vec<PathSeg>, ends: Vec<f64>) -> Self {
        Self {
            segs: segs.into(),
            ends: OnceLock::from(Row::from(ends)),
        }
    }

    pub(crate) fn segs(&self) -> &[PathSeg] {
        self.segs.as_slice()
    }

    /// The arc length from the start to the end of each segment.
    pub(crate) fn ends(&self) -> &[f64] {
        let ends = self.ends.get_or_init(|| {
            let arc = |seg| segment::arc_length(seg, LENGTH_ACCURACY);
            match &self.segs {
                Row::One([seg]) => Row::One([arc(seg)]),
                Row::Many(segs) => {
                    let mut length = 0.0;
                    let measured = segs.iter().map(|seg| {
                        length += arc(seg);
                        length
                    });
                    Row::Many(measured.collect())
                }
            }
        });
        ends.as_slice()
    }

    pub(crate) fn length(&self) -> f64 {
        self.ends().last().copied().unwrap_or(0.0)
    }

    /// Whether it is no shorter than [`MEETING`].
    fn is_long(&self) -> bool {
        let ends = self.segs().first().zip(self.segs().last());
        let chord = ends.map_or(0.0, |(first, last)| (last.end() - first.start()).hypot());
        chord >= 2.0 * MEETING || self.length() >= MEETING
    }
}

/// Lengths follow from the segments.
impl PartialEq for Drawn {
    fn eq(&self, other: &Self) -> bool {
        self.segs() == other.segs()
    }
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
        Path::one(PathSeg::Line(Line::new(a, b)))
    }

    /// A path of one line or cubic.
    fn one(seg: PathSeg) -> Result<Path, PathFault> {
        if !seg_on_paper(&seg) {
            return Err(PathFault::OffThePaper);
        }
        if segment::size(&seg) <= LENGTH_ACCURACY {
            return Err(PathFault::NoLength { at: seg.start() });
        }
        let drawn = Drawn::new(Row::One([seg]));
        if !drawn.is_long() {
            return Err(PathFault::NoLength { at: seg.end() });
        }
        let shape = Shape::Drawn(drawn);
        Ok(Path { shape })
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
        let drawn = Drawn::new(Row::One([PathSeg::Line(Line::new(at, at))]));
        let shape = Shape::Drawn(drawn);
        Path { shape }
    }

    /// Adds all that it is made of, bit for bit, after how much that is.
    pub(crate) fn push_bits(&self, bits: &mut Vec<u64>) {
        match &self.shape {
            Shape::Endless { through, direction } => {
                let place = [through.x, through.y, direction.x, direction.y];
                bits.push(0);
                bits.extend(place.map(f64::to_bits));
            }
            Shape::Drawn(drawn) => {
                bits.push(drawn.segs().len() as u64);
                for (seg, end) in drawn.segs().iter().zip(drawn.ends()) {
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
            Shape::Drawn(drawn) => match drawn.segs() {
                [PathSeg::Line(line)] => line.p0 == line.p1,
                _ => false,
            },
            Shape::Endless { .. } => false,
        }
    }

    /// A path of one cubic, kept as it is; [`PathFault::NoLength`] where it is shorter than [`MEETING`].
    pub fn cubic(cubic: CubicBez) -> Result<Path, PathFault> {
        Path::one(PathSeg::Cubic(cubic))
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
    pub fn from_segs(mut segs: Vec<PathSeg>) -> Result<Path, PathFault> {
        let (mut at, mut index, mut fault): (Option<Point>, usize, Option<PathFault>) =
            (None, 0, None);
        segs.retain_mut(|seg| {
            if fault.is_some() {
                return false;
            }
            match following(*seg, at, index) {
                Ok(next) => *seg = next,
                Err(why) => {
                    fault = Some(why);
                    return false;
                }
            }
            index += 1;
            at = at.or(Some(seg.start()));
            let has_size = segment::size(seg) > LENGTH_ACCURACY;
            if has_size {
                at = Some(seg.end());
            }
            has_size
        });
        if let Some(fault) = fault {
            return Err(fault);
        }
        let path = Path::of(segs);
        match &path.shape {
            Shape::Drawn(drawn) if drawn.is_long() => Ok(path),
            _ => Err(PathFault::NoLength {
                at: at.unwrap_or_default(),
            }),
        }
    }

    /// A path of segments known to connect, each with a size.
    pub(crate) fn of(segs: Vec<PathSeg>) -> Path {
        let shape = Shape::Drawn(Drawn::new(segs.into()));
        Path { shape }
    }

    /// The segments, lines and cubics, each starting where the one before ends. An endless line has none: see
    /// [`Path::endless_line`].
    pub fn segs(&self) -> &[PathSeg] {
        match &self.shape {
            Shape::Drawn(drawn) => drawn.segs(),
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
            Shape::Drawn(_) => None,
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
            Shape::Drawn(drawn) => drawn.segs(),
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
            Shape::Drawn(drawn) => Ok(drawn.length()),
            Shape::Endless { .. } => Err(PathFault::Endless),
        }
    }

    /// The unit direction in which the path leaves its start, handles of no length notwithstanding.
    pub fn start_tangent(&self) -> Vec2 {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let first = drawn.segs().first();
                first.map(segment::start_tangent).unwrap_or_default()
            }
            Shape::Endless { direction, .. } => *direction,
        }
    }

    /// The unit direction in which the path arrives at its end, handles of no length notwithstanding.
    pub fn end_tangent(&self) -> Vec2 {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let last = drawn.segs().last();
                last.map(segment::end_tangent).unwrap_or_default()
            }
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

/// A segment that follows a place, its start moved onto it; `index` is its own among those that are joined.
fn following(seg: PathSeg, at: Option<Point>, index: usize) -> Result<PathSeg, PathFault> {
    let seg = raised(seg);
    if !seg_on_paper(&seg) {
        return Err(PathFault::OffThePaper);
    }
    let Some(end) = at else {
        return Ok(seg);
    };
    let gap = (seg.start() - end).hypot();
    if gap > MEETING {
        return Err(PathFault::Gap {
            after: index.saturating_sub(1),
            gap,
            from: end,
            to: seg.start(),
        });
    }
    Ok(if gap > 0.0 { with_start(seg, end) } else { seg })
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
