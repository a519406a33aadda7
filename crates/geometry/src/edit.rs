//! Cutting, turning, joining and lengthening paths.
//!
//! Each returns a new path and keeps true curves: a part of a cubic is a cubic.

use super::MEETING;
use super::path::{Drawn, Location, Path, PathFault, Shape};
use super::segment;
use kurbo::{Affine, Line, ParamCurve, PathSeg, Point};

/// An end of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The end that it is walked from.
    Start,
    /// The end that it is walked to.
    End,
}

impl Path {
    /// The same path walked the other way.
    pub fn reversed(&self) -> Path {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let length = drawn.length();
                let starts = drawn.ends().iter().rev().skip(1).map(|end| length - end);
                let turned = starts.chain(std::iter::once(length)).collect();
                let segs = drawn.segs().iter().rev().map(|seg| seg.reverse());
                Path {
                    shape: Shape::Drawn(Drawn::measured(segs.collect(), turned)),
                }
            }
            Shape::Endless { through, direction } => Path {
                shape: Shape::Endless {
                    through: *through,
                    direction: -*direction,
                },
            },
        }
    }

    /// The path moved, turned or mirrored. Lengths are measured anew unless the move is rigid.
    pub fn transformed(&self, by: Affine) -> Path {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let moved: Vec<PathSeg> = drawn.segs().iter().map(|seg| by * *seg).collect();
                if !is_rigid(by) {
                    return Path::of(moved);
                }
                let ends = drawn.ends().to_vec();
                Path {
                    shape: Shape::Drawn(Drawn::measured(moved, ends)),
                }
            }
            Shape::Endless { through, direction } => {
                let moved = by * *through;
                let direction = segment::unit(by * (*through + *direction) - moved);
                Path {
                    shape: Shape::Endless {
                        through: moved,
                        direction,
                    },
                }
            }
        }
    }

    /// The part between two places, running from the first to the second, backward if need be.
    pub fn part(&self, from: Location, to: Location) -> Result<Path, PathFault> {
        if self.is_endless() {
            return Path::line(self.point(from), self.point(to));
        }
        if to < from {
            return self.part(to, from).map(|part| part.reversed());
        }
        let inside = self.segs().iter().enumerate().skip(from.segment);
        let mut kept = Vec::new();
        for (index, seg) in inside.take(to.segment.saturating_sub(from.segment) + 1) {
            let t0 = if index == from.segment {
                from.t.clamp(0.0, 1.0)
            } else {
                0.0
            };
            let t1 = if index == to.segment {
                to.t.clamp(0.0, 1.0)
            } else {
                1.0
            };
            if t0 <= 0.0 && t1 >= 1.0 {
                kept.push(*seg);
            } else if t1 > t0 {
                kept.push(sub_segment(seg, t0, t1));
            }
        }
        match Path::from_segs(kept) {
            Err(PathFault::NoLength { .. }) => Err(PathFault::NothingLeft {
                at: self.point(from),
            }),
            other => other,
        }
    }

    /// The part between two lengths from the start.
    pub fn part_between(&self, from: f64, to: f64) -> Result<Path, PathFault> {
        self.part(self.location_at(from)?, self.location_at(to)?)
    }

    /// The parts left by cuts at lengths from the start, in order along the path.
    pub fn split_at(&self, lengths: &[f64]) -> Result<Vec<Path>, PathFault> {
        let mut places = lengths
            .iter()
            .map(|s| self.location_at(*s))
            .collect::<Result<Vec<_>, _>>()?;
        places.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
        self.split_at_locations(&places)
    }

    /// The parts left by cuts at places given in order along the path.
    pub(crate) fn split_at_locations(&self, places: &[Location]) -> Result<Vec<Path>, PathFault> {
        self.length()?;
        let mut from = self.start_location();
        let mut parts = Vec::with_capacity(places.len() + 1);
        for place in places
            .iter()
            .copied()
            .chain(std::iter::once(self.end_location()))
        {
            parts.push(self.part(from, place)?);
            from = place;
        }
        Ok(parts)
    }

    /// One path of several that follow one another, gaps up to [`MEETING`] closed. None may be endless.
    pub fn joined(parts: &[Path]) -> Result<Path, PathFault> {
        let mut segs: Vec<PathSeg> = Vec::new();
        for (index, part) in parts.iter().enumerate() {
            let start = part.start()?;
            if let Some(end) = segs.last().map(|seg| seg.end()) {
                let gap = (start - end).hypot();
                if gap > MEETING {
                    return Err(PathFault::Gap {
                        after: index.saturating_sub(1),
                        gap,
                        from: end,
                        to: start,
                    });
                }
            }
            segs.extend_from_slice(part.segs());
        }
        match Path::from_segs(segs) {
            // Nothing joined to nothing.
            Err(PathFault::NoLength { at }) if parts.iter().all(Path::is_nothing) => {
                Ok(Path::nothing(at))
            }
            other => other,
        }
    }

    /// The path carried straight on from one of its ends, in its direction there, for a length; less than nothing makes
    /// it so much shorter there.
    pub fn extended(&self, at: End, by: f64) -> Result<Path, PathFault> {
        if by <= 0.0 {
            let (length, off) = (self.length()?, -by);
            if off >= length {
                let wanted = off;
                return Err(PathFault::PastTheEnd { wanted, length });
            }
            return match at {
                End::Start => self.part_between(off, length),
                End::End => self.part_between(0.0, length - off),
            };
        }
        let mut segs = self.segs().to_vec();
        match at {
            End::Start => {
                let start = self.start()?;
                segs.insert(
                    0,
                    PathSeg::Line(Line::new(start - self.start_tangent() * by, start)),
                );
            }
            End::End => {
                let end = self.end()?;
                segs.push(PathSeg::Line(Line::new(end, end + self.end_tangent() * by)));
            }
        }
        Path::from_segs(segs)
    }

    /// The end of the path that lies nearer to a point.
    pub fn end_near(&self, p: Point) -> Result<End, PathFault> {
        let (start, end) = (self.start()?, self.end()?);
        Ok(if (start - p).hypot2() <= (end - p).hypot2() {
            End::Start
        } else {
            End::End
        })
    }

    /// The path running away from the end that lies nearer to a point.
    pub fn from_end_near(&self, p: Point) -> Result<Path, PathFault> {
        Ok(match self.end_near(p)? {
            End::Start => self.clone(),
            End::End => self.reversed(),
        })
    }

    /// Whether the path passes within `tolerance` millimetres of a point.
    pub fn passes(&self, p: Point, tolerance: f64) -> bool {
        match &self.shape {
            Shape::Drawn(drawn) => {
                let mut segs = drawn.segs().iter();
                segs.any(|seg| segment::passes(seg, p, tolerance))
            }
            Shape::Endless { .. } => self.nearest(p).distance <= tolerance,
        }
    }
}

/// A part of a segment, its ends exactly where evaluation puts them.
pub(crate) fn sub_segment(seg: &PathSeg, t0: f64, t1: f64) -> PathSeg {
    let start = if t0 <= 0.0 { seg.start() } else { seg.eval(t0) };
    let end = if t1 >= 1.0 { seg.end() } else { seg.eval(t1) };
    match seg.subsegment(t0..t1) {
        PathSeg::Cubic(mut c) => {
            (c.p0, c.p3) = (start, end);
            PathSeg::Cubic(c)
        }
        _ => PathSeg::Line(Line::new(start, end)),
    }
}

/// Adds the points after the start of a segment, chords within `tolerance`.
///
/// Halves until the control points lie within `tolerance` of the chord (times 3/4, the most a cubic can bulge).
pub(crate) fn flatten_segment(seg: &PathSeg, tolerance: f64, points: &mut Vec<Point>) {
    fn halve(seg: &PathSeg, tolerance: f64, depth: u32, points: &mut Vec<Point>) {
        if depth == 0 || segment::is_straight(seg, tolerance / 0.75) {
            points.push(seg.end());
            return;
        }
        let (first, second) = seg.subdivide();
        halve(&first, tolerance, depth - 1, points);
        halve(&second, tolerance, depth - 1, points);
    }
    halve(seg, tolerance.max(1e-9), 16, points);
}

/// Whether a move keeps all lengths.
pub(crate) fn is_rigid(by: Affine) -> bool {
    let [a, b, c, d, _, _] = by.as_coeffs();
    (a.hypot(b) - 1.0).abs() < 1e-12
        && (c.hypot(d) - 1.0).abs() < 1e-12
        && (a * c + b * d).abs() < 1e-12
}
