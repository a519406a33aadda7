//! Measuring a path: places by length, tangents, the nearest place, bounds, area and curvature.
//!
//! Everything divides **by length, never by parameter**. A place within [`MEETING`] beyond an end is the end.

use super::path::{Location, Path, PathFault, Shape};
use super::segment;
use super::{LENGTH_ACCURACY, MEETING};
use kurbo::{Affine, ParamCurve, ParamCurveArea, PathSeg, Point, Rect, Shape as _, Vec2};

/// The place on a path nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Where on the path.
    pub location: Location,
    /// That place as a point.
    pub point: Point,
    /// How far it is, in millimetres.
    pub distance: f64,
}

/// Where a path bends most tightly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Where on the path.
    pub location: Location,
    /// That place as a point.
    pub point: Point,
    /// Signed curvature in 1/mm, positive where the path bends to its left; infinite at a cusp.
    pub curvature: f64,
}

impl Bend {
    /// Radius of curvature in millimetres; infinite where the path is straight.
    pub fn radius(&self) -> f64 {
        1.0 / self.curvature.abs()
    }
}

impl Path {
    /// Whether a path with ends lies along this one, to so many millimetres: looked at in seventeen places.
    pub fn covers(&self, other: &Path, within: f64) -> bool {
        (0..=16).all(|n| {
            let at = other.location_at_share(f64::from(n) / 16.0);
            at.is_ok_and(|at| self.nearest(other.point(at)).distance <= within)
        })
    }

    /// The place at a length in millimetres from the start. Up to [`MEETING`] beyond an end it is the end; farther out
    /// [`PathFault::PastTheEnd`] or [`PathFault::BeforeTheStart`], and [`PathFault::Endless`] on an endless line.
    pub fn location_at(&self, wanted: f64) -> Result<Location, PathFault> {
        let (segs, ends, length) = match &self.shape {
            Shape::Drawn(drawn) => (drawn.segs(), drawn.ends(), drawn.length()),
            Shape::Endless { .. } => return Err(PathFault::Endless),
        };
        if wanted.is_nan() || wanted > length + MEETING {
            return Err(PathFault::PastTheEnd { wanted, length });
        }
        if wanted < -MEETING {
            return Err(PathFault::BeforeTheStart { wanted });
        }
        if wanted <= 0.0 {
            return Ok(self.start_location());
        }
        if wanted >= length {
            return Ok(self.end_location());
        }
        let segment = ends
            .partition_point(|end| *end <= wanted)
            .min(segs.len().saturating_sub(1));
        let before = segment
            .checked_sub(1)
            .and_then(|i| ends.get(i))
            .copied()
            .unwrap_or(0.0);
        let here = ends.get(segment).copied().unwrap_or(length) - before;
        let t = segs.get(segment).map_or(0.0, |seg| {
            segment::parameter_at(seg, wanted - before, here, LENGTH_ACCURACY)
        });
        Ok(Location { segment, t })
    }

    /// The point at a length in millimetres from the start; faults as of [`Path::location_at`].
    pub fn point_at(&self, length: f64) -> Result<Point, PathFault> {
        self.location_at(length)
            .map(|location| self.point(location))
    }

    /// The place at a share of the whole length, 0 the start and 1 the end.
    pub fn location_at_share(&self, share: f64) -> Result<Location, PathFault> {
        self.location_at(share * self.length()?)
    }

    /// Where the path begins, as a place.
    pub fn start_location(&self) -> Location {
        Location { segment: 0, t: 0.0 }
    }

    /// Where the path ends, as a place (on an endless line, the point it was drawn through).
    pub fn end_location(&self) -> Location {
        match self.segs().len() {
            0 => self.start_location(),
            n => Location {
                segment: n - 1,
                t: 1.0,
            },
        }
    }

    /// A place as a point.
    pub fn point(&self, at: Location) -> Point {
        match &self.shape {
            Shape::Drawn(drawn) => match drawn.segs().get(at.segment).or(drawn.segs().last()) {
                Some(seg) if at.t >= 1.0 => seg.end(),
                Some(seg) => seg.eval(at.t),
                None => Point::ZERO,
            },
            Shape::Endless { through, direction } => *through + *direction * at.t,
        }
    }

    /// The unit direction of the path at a place; between two segments, that of the segment the place names.
    pub fn tangent_at(&self, at: Location) -> Vec2 {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let seg = drawn.segs().get(at.segment).or(drawn.segs().last());
                seg.map_or(Vec2::ZERO, |seg| segment::tangent(seg, at.t))
            }
            Shape::Endless { direction, .. } => *direction,
        }
    }

    /// The unit direction square to the path at a place, to its left.
    pub fn normal_at(&self, at: Location) -> Vec2 {
        self.tangent_at(at).turn_90()
    }

    /// Length from the start to a place; on an endless line, from the point it was drawn through.
    pub fn length_to(&self, at: Location) -> f64 {
        let drawn = match &self.shape {
            Shape::Drawn(drawn) => drawn,
            Shape::Endless { .. } => return at.t,
        };
        let upto = |n: usize| drawn.ends().get(n).copied();
        if at.t >= 1.0 {
            return upto(at.segment).unwrap_or_else(|| drawn.length());
        }
        let before = at.segment.checked_sub(1).and_then(upto).unwrap_or(0.0);
        let here = drawn.segs().get(at.segment).filter(|_| at.t > 0.0);
        before
            + here.map_or(0.0, |seg| {
                segment::length_between(seg, 0.0, at.t, LENGTH_ACCURACY)
            })
    }

    /// The place on the path nearest to a point; of several equally near, the first.
    pub fn nearest(&self, p: Point) -> Nearest {
        let segs = match &self.shape {
            Shape::Drawn(drawn) => drawn.segs(),
            Shape::Endless { through, direction } => {
                let t = direction.dot(p - *through);
                let point = *through + *direction * t;
                let location = Location { segment: 0, t };
                return Nearest {
                    location,
                    point,
                    distance: (point - p).hypot(),
                };
            }
        };
        // Along a path that comes nearer all the while each segment would be asked: the one of the nearest box is, first.
        let from = |seg: &PathSeg| box_distance(&segment::control_box(seg), p);
        let nearest_box = segs
            .iter()
            .map(|seg| (seg, from(seg)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let bound = match nearest_box {
            // A hair more: a place on a curve may lie a rounding outside its box.
            Some((seg, _)) if segs.len() > 2 => segment::nearest(seg, p).1 + 1e-9,
            _ => f64::INFINITY,
        };
        let mut best = (Location { segment: 0, t: 0.0 }, f64::INFINITY);
        for (index, seg) in segs.iter().enumerate() {
            let away = from(seg);
            if away >= best.1 || away > bound {
                continue;
            }
            let (t, distance) = segment::nearest(seg, p);
            if distance < best.1 {
                best = (Location { segment: index, t }, distance);
            }
        }
        let (location, distance) = best;
        Nearest {
            location,
            point: self.point(location),
            distance,
        }
    }

    /// The smallest upright box around the path.
    pub fn bounds(&self) -> Result<Rect, PathFault> {
        let boxes = self.segs().iter().map(|seg| seg.bounding_box());
        boxes.reduce(|a, b| a.union(b)).ok_or(PathFault::Endless)
    }

    /// Where the path bends most tightly toward its left (`true`) or its right; none where it never does.
    pub fn tightest_toward(&self, left: bool) -> Option<Bend> {
        let sign = if left { 1.0 } else { -1.0 };
        self.tightest_by(|curvature| {
            if curvature.is_infinite() {
                curvature.abs()
            } else {
                sign * curvature
            }
        })
        .filter(|bend| bend.curvature.is_infinite() || sign * bend.curvature > 0.0)
    }

    fn tightest_by(&self, measure: impl Fn(f64) -> f64) -> Option<Bend> {
        let mut best: Option<Bend> = None;
        for (index, seg) in self.segs().iter().enumerate() {
            for t in segment::curvature_extremes(seg) {
                let curvature = segment::curvature(seg, t);
                if best.is_none_or(|b| measure(curvature) > measure(b.curvature)) {
                    let location = Location { segment: index, t };
                    best = Some(Bend {
                        location,
                        point: self.point(location),
                        curvature,
                    });
                }
            }
        }
        best
    }
}

/// Green's theorem about a point near the drawing, so that a drawing far from the origin loses no digits.
pub(crate) fn signed_area_about(segs: &[PathSeg], centre: Point) -> f64 {
    let near = Affine::translate(-centre.to_vec2());
    segs.iter().map(|seg| (near * *seg).signed_area()).sum()
}

/// Distance from a point to a box, zero inside.
pub(crate) fn box_distance(b: &Rect, p: Point) -> f64 {
    let dx = (b.x0 - p.x).max(p.x - b.x1).max(0.0);
    let dy = (b.y0 - p.y).max(p.y - b.y1).max(0.0);
    dx.hypot(dy)
}
