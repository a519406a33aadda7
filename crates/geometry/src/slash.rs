//! Slash and open: a sheet is cut straight across, what lies beyond the cut is moved, and what the cut tore is bridged.
//! Several slashes are a row of them, each laid through the sheet as those before it left it. And a stretch taken off a line between two of its points.

use super::MEETING;
use super::angle::Angle;
use super::meet::meetings;
use super::moves::{MoveFault, opening, pivot};
use super::path::{Path, PathFault};
use kurbo::{Affine, ParamCurve, PathSeg, Point, Vec2};
use std::cmp::Ordering;
use std::f64::consts::TAU;

/// A sheet slashed: where each thing on it goes. It moves points and paths alike, so that what met still meets.
#[derive(Clone, Debug)]
pub enum Slash {
    /// What lies beyond a straight line slides; where it comes nearer, the strip it comes over is folded out.
    Slide {
        /// A point of the slash.
        through: Point,
        /// The unit direction of the slash.
        along: Vec2,
        /// The unit vector square to it, on the side that moves.
        beyond: Vec2,
        /// Which way things move, of length one.
        way: Vec2,
        /// How far, in millimetres; below nothing a strip is folded out.
        far: f64,
    },
    /// What lies between two ways from a point turns about it.
    Turn {
        /// The point held still.
        about: Point,
        /// The unit direction of the slash: what lies on it stays.
        slash: Vec2,
        /// The unit direction of the last that turns.
        last: Vec2,
        /// The angle from the one to the other, in the sense of the turn, in radians.
        between: f64,
        /// The turn.
        by: Angle,
    },
}

/// Why a sheet cannot be slashed.
#[derive(Clone, Debug, PartialEq)]
pub enum SlashFault {
    /// The slash runs the very way that things are to be slid, so that nothing opens.
    AlongItself,
    /// Two slashes of a row cross each other, by their places in it.
    Cross(usize, usize),
    /// The slash is not straight, or a point that should give a direction falls on the one held still.
    Move(MoveFault),
}

impl From<MoveFault> for SlashFault {
    fn from(fault: MoveFault) -> Self {
        Self::Move(fault)
    }
}

/// What becomes of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fate {
    Stays,
    Moves,
    /// It lies in the strip that is folded out, and comes to lie on the slash.
    FoldedOut,
}

impl Slash {
    /// Slashed along a straight line, what lies beyond it in the direction `way` slid that way by `far` millimetres.
    ///
    /// # Errors
    /// Where the line is not straight, or runs that very way.
    pub fn sliding(line: &Path, way: Vec2, far: f64) -> Result<Self, SlashFault> {
        const LEAST_SINE: f64 = 0.01;
        let along = line.direction_of_straight().ok_or(MoveFault::NotStraight)?;
        let way = way.normalize();
        let square = Vec2::new(-along.y, along.x);
        let sine = square.dot(way);
        if !sine.is_finite() || sine.abs() < LEAST_SINE {
            return Err(SlashFault::AlongItself);
        }
        Ok(Self::Slide {
            through: line.point(line.start_location()),
            along,
            beyond: square * sine.signum(),
            way,
            far,
        })
    }

    /// Slashed from `about` through `from`: what lies between that and the way through `to`, swept in the sense of the
    /// turn, turns about it. What lies on the slash itself stays.
    ///
    /// # Errors
    /// Where either point falls on the one held still.
    pub fn turning(about: Point, by: Angle, from: Point, to: Point) -> Result<Self, SlashFault> {
        let way = |at: Point| {
            let way = at - about;
            if way.hypot() < MEETING {
                Err(MoveFault::NoDirection { at })
            } else {
                Ok(way.normalize())
            }
        };
        let (slash, last) = (way(from)?, way(to)?);
        let swept = swept(slash, last, by);
        let between = if swept < 1e-9 { TAU } else { swept };
        Ok(Self::Turn {
            about,
            slash,
            last,
            between,
            by,
        })
    }

    /// Slashes that turn, each from a point where it opens by so many millimetres, straight across, to a point that is its hinge.
    /// All that lies beyond one in the direction `way` turns, the slashes there with it.
    ///
    /// # Errors
    /// Where two cross, one runs that very way, or one is too short to open so far.
    pub fn fan(slashes: &[(Point, Point, f64)], way: Vec2) -> Result<Vec<Self>, SlashFault> {
        const LEAST_SINE: f64 = 0.0175;
        let opens = slashes.iter().map(|slash| slash.0);
        let mut row: Vec<(usize, Self)> = Vec::with_capacity(slashes.len());
        for at in in_order(opens, way) {
            let Some(&(open, hinge, wide)) = slashes.get(at) else {
                continue;
            };
            let (mut open, mut hinge) = (open, hinge);
            for (other, earlier) in &row {
                for place in [&mut open, &mut hinge] {
                    *place = earlier
                        .carried(*place)
                        .ok_or(SlashFault::Cross(*other, at))?;
                }
            }
            let angle = opening(wide, open, hinge)?;
            let arm = open - hinge;
            let clockwise = Vec2::new(arm.y, -arm.x).dot(way) / way.hypot();
            if clockwise.abs() <= LEAST_SINE * arm.hypot() {
                return Err(SlashFault::AlongItself);
            }
            if wide > 0.0 {
                let by = if clockwise > 0.0 { angle } else { -angle };
                row.push((at, Self::turning(hinge, by, open, hinge - arm)?));
            }
        }
        Ok(row.into_iter().map(|(_, slash)| slash).collect())
    }

    /// Slashes that slide, each along a straight line, opened all along by so many millimetres the way `way`.
    ///
    /// # Errors
    /// Where two cross, or one is not straight or runs that very way.
    pub fn row(slashes: &[(&Path, f64)], way: Vec2) -> Result<Vec<Self>, SlashFault> {
        let opens = slashes
            .iter()
            .map(|(line, _)| line.point(line.start_location()));
        let mut row: Vec<(usize, Self)> = Vec::with_capacity(slashes.len());
        for at in in_order(opens, way) {
            let Some(&(line, far)) = slashes.get(at) else {
                continue;
            };
            let mut line = line.clone();
            for (other, earlier) in &row {
                let crosses = SlashFault::Cross(*other, at);
                let moved = match line.endless_line() {
                    Some((through, along)) => {
                        let through = earlier.carried(through).ok_or_else(|| crosses.clone())?;
                        let beside = matches!(earlier, Self::Slide { along: own, .. } if own.cross(along).abs() < 1e-9);
                        beside.then(|| Path::endless(through, along))
                    }
                    None => {
                        let ends = [line.start(), line.end()].map(|end| earlier.carried(end.ok()?));
                        let [start, end] = ends;
                        start.zip(end).map(|(start, end)| Path::line(start, end))
                    }
                };
                line = moved.ok_or(crosses)?.map_err(MoveFault::from)?;
            }
            row.push((at, Self::sliding(&line, way, far)?));
        }
        Ok(row.into_iter().map(|(_, slash)| slash).collect())
    }

    /// Where a point goes that moves, or that is held still as the hinge.
    fn carried(&self, at: Point) -> Option<Point> {
        let is_hinge = matches!(self, Self::Turn { about, .. } if (at - *about).hypot() < MEETING);
        (is_hinge || self.fate(at) == Fate::Moves).then(|| self.point(at))
    }

    /// Where a point goes.
    pub fn point(&self, at: Point) -> Point {
        self.moved(at, self.fate(at))
    }

    /// Where a path goes: each part as it lies, and a straight line between two that no longer meet.
    ///
    /// # Errors
    /// Those of a path that is cut.
    pub fn path(&self, path: &Path) -> Result<Path, PathFault> {
        if let Some((through, direction)) = path.endless_line() {
            return self.endless(through, direction);
        }
        if path.is_nothing() {
            return Ok(Path::nothing(self.point(path.start()?)));
        }
        let mut segs: Vec<PathSeg> = Vec::new();
        for part in self.parts(path)? {
            let fate = self.fate(part.point_at(0.5 * part.length()?)?);
            let piece = match fate {
                Fate::Stays => part,
                Fate::Moves => part.transformed(self.motion()),
                Fate::FoldedOut => {
                    let ends = [part.start()?, part.end()?].map(|end| self.moved(end, fate));
                    Path::line_or_nothing(ends[0], ends[1])?
                }
            };
            if let Some(end) = segs.last().map(|seg: &PathSeg| seg.end()) {
                let bridge = Path::line_or_nothing(end, piece.start()?)?;
                segs.extend_from_slice(bridge.segs());
            }
            segs.extend_from_slice(piece.segs());
        }
        match Path::from_segs(segs) {
            // All of it was folded out.
            Err(PathFault::NoLength { at }) => Ok(Path::nothing(at)),
            other => other,
        }
    }

    fn motion(&self) -> Affine {
        match *self {
            Self::Slide { way, far, .. } => Affine::translate(way * far),
            Self::Turn { about, by, .. } => pivot(about, by),
        }
    }

    fn moved(&self, at: Point, fate: Fate) -> Point {
        match (fate, self) {
            (Fate::Stays, _) => at,
            (
                Fate::FoldedOut,
                Self::Slide {
                    through,
                    beyond,
                    way,
                    ..
                },
            ) => at - *way * (beyond.dot(at - *through) / beyond.dot(*way)),
            _ => self.motion() * at,
        }
    }

    fn fate(&self, at: Point) -> Fate {
        match *self {
            Self::Slide {
                through,
                beyond,
                way,
                far,
                ..
            } => {
                let depth = beyond.dot(at - through);
                let strip = (-far).max(0.0) * beyond.dot(way);
                if depth <= MEETING {
                    Fate::Stays
                } else if depth < strip {
                    Fate::FoldedOut
                } else {
                    Fate::Moves
                }
            }
            Self::Turn {
                about,
                slash,
                last,
                between,
                by,
            } => {
                let way = at - about;
                let is_on = |ray: Vec2| ray.cross(way).abs() <= MEETING && ray.dot(way) > 0.0;
                if way.hypot() < MEETING || is_on(slash) {
                    Fate::Stays
                } else if is_on(last) || swept(slash, way, by) < between {
                    Fate::Moves
                } else {
                    Fate::Stays
                }
            }
        }
    }

    fn endless(&self, through: Point, direction: Vec2) -> Result<Path, PathFault> {
        // One that crosses the slash is cut by it and has no end to be bridged; one beside it goes where its points go.
        let beside = match self {
            Self::Slide { along, .. } => along.cross(direction).abs() < 1e-9,
            Self::Turn { .. } => false,
        };
        let through = if beside { self.point(through) } else { through };
        Path::endless(through, direction)
    }

    /// The parts between which the fate of a path changes.
    fn parts(&self, path: &Path) -> Result<Vec<Path>, PathFault> {
        let length = path.length()?;
        let mut places = Vec::new();
        for cut in self.cuts(path)? {
            let found = meetings(path, &cut);
            places.extend(found.crossings.iter().map(|meeting| meeting.on_a));
            places.extend(found.overlaps.iter().flat_map(|o| [o.on_a.0, o.on_a.1]));
        }
        if let Self::Turn { about, .. } = self {
            let nearest = path.nearest(*about);
            if nearest.distance <= MEETING {
                places.push(nearest.location);
            }
        }
        places.retain(|place| {
            let along = path.length_to(*place);
            along > MEETING && along < length - MEETING
        });
        places.sort_by(|a, b| a.partial_cmp(b).unwrap_or(Ordering::Equal));
        places.dedup_by(|a, b| (path.length_to(*a) - path.length_to(*b)).abs() <= MEETING);
        path.split_at_locations(&places)
    }

    /// The lines at which the fate of what lies beside them changes.
    fn cuts(&self, path: &Path) -> Result<Vec<Path>, PathFault> {
        match *self {
            Self::Slide {
                through,
                along,
                way,
                far,
                ..
            } => {
                let mut cuts = vec![Path::endless(through, along)?];
                if far < 0.0 {
                    cuts.push(Path::endless(through - way * far, along)?);
                }
                Ok(cuts)
            }
            Self::Turn {
                about, slash, last, ..
            } => {
                let bounds = path.bounds()?;
                let corners = [bounds.origin(), Point::new(bounds.x1, bounds.y1)];
                let off = corners.map(|corner| (corner - about).hypot());
                let far = off[0] + off[1] + bounds.width() + bounds.height() + 1.0;
                let ray = |way: Vec2| Path::line(about, about + way * far);
                Ok(vec![ray(slash)?, ray(last)?])
            }
        }
    }
}

/// The places of points in a row, from the first to the last that way.
fn in_order(points: impl Iterator<Item = Point>, way: Vec2) -> Vec<usize> {
    let mut far: Vec<(usize, f64)> = points.map(|at| at.to_vec2().dot(way)).enumerate().collect();
    far.sort_by(|one, other| one.1.total_cmp(&other.1));
    far.into_iter().map(|(at, _)| at).collect()
}

/// How far one has to turn, in the sense of `by`, from one direction to another: radians, from nothing to a whole turn.
fn swept(from: Vec2, to: Vec2, by: Angle) -> f64 {
    let clockwise = -from.cross(to).atan2(from.dot(to));
    let turned = if by.radians() < 0.0 {
        -clockwise
    } else {
        clockwise
    };
    turned.rem_euclid(TAU)
}

/// A path without what lies between two of its points: of the parts left, the one nearer to `keep`. None where the path
/// does not run through both, or ends in both, so that there is nothing to be taken off it.
///
/// # Errors
/// Those of a path that is cut.
pub fn without_stretch(
    path: &Path,
    from: Point,
    to: Point,
    keep: Point,
) -> Result<Option<Path>, PathFault> {
    if path.is_endless() || path.is_nothing() {
        return Ok(None);
    }
    let ends = [from, to].map(|at| path.nearest(at));
    if ends.iter().any(|end| end.distance > MEETING) {
        return Ok(None);
    }
    let mut places = ends.map(|end| path.length_to(end.location));
    places.sort_by(f64::total_cmp);
    let [first, second] = places;
    let length = path.length()?;
    let mut left = Vec::new();
    if first > MEETING {
        left.push(path.part_between(0.0, first)?);
    }
    if second < length - MEETING {
        left.push(path.part_between(second, length)?);
    }
    if second - first <= MEETING {
        return Ok(None);
    }
    let off = |part: &Path| part.nearest(keep).distance;
    Ok(left.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))))
}
