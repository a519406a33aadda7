//! A closed outline of edges in order: turned so that they chain, checked for gaps and crossings, run anticlockwise.

use super::MEETING;
use super::measure::signed_area_about;
use super::meet::{Meeting, Overlap};
use super::path::{Path, PathFault};
use super::seam::{EdgeGap, chained, ends};
use super::segment::{self, control_box};
use super::self_meet::self_meetings;
use kurbo::{ParamCurve, PathSeg, Point, Rect, Shape};

/// A closed outline, cloth on its left: the edges in the order and direction of an anticlockwise walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    edges: Vec<OutlineEdge>,
    area: f64,
    clockwise: bool,
}

/// One edge of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEdge {
    /// Its index in the list that the outline was made of.
    pub index: usize,
    /// The edge as the outline walks it.
    pub path: Path,
    /// Whether that is against the way it was drawn.
    pub reversed: bool,
}

/// Why edges make no outline. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineFault {
    /// There is no edge to make an outline of.
    Empty,
    /// Two neighbouring edges do not join.
    Gap(EdgeGap),
    /// The outline crosses itself.
    Crosses {
        /// Index of the earlier edge.
        first: usize,
        /// Index of the later edge.
        second: usize,
        /// The first place at which it does.
        at: Point,
    },
    /// The outline encloses nothing.
    NoArea,
    /// An edge is endless.
    Path(PathFault),
}

impl From<PathFault> for OutlineFault {
    fn from(fault: PathFault) -> OutlineFault {
        OutlineFault::Path(fault)
    }
}

impl Outline {
    /// An outline of edges in order round the piece, either way round and each drawn either way. Gaps up to
    /// [`MEETING`] are taken as closed; a wider one is [`OutlineFault::Gap`]. Crossings are not looked for: see [`Outline::crossing`].
    pub fn new(edges: &[Path]) -> Result<Outline, OutlineFault> {
        let turned = closed_orientations(edges)?;
        let mut walked: Vec<OutlineEdge> = edges
            .iter()
            .zip(turned)
            .enumerate()
            .map(|(index, (edge, reversed))| {
                let path = if reversed {
                    edge.reversed()
                } else {
                    edge.clone()
                };
                OutlineEdge {
                    index,
                    path,
                    reversed,
                }
            })
            .collect();
        let centre = walked
            .first()
            .map_or(Ok(Point::ZERO), |edge| edge.path.start())?;
        let area: f64 = walked
            .iter()
            .map(|edge| signed_area_about(edge.path.segs(), centre))
            .sum();
        if area < 0.0 {
            walked.reverse();
            for edge in &mut walked {
                (edge.path, edge.reversed) = (edge.path.reversed(), !edge.reversed);
            }
        }
        let outline = Outline {
            edges: walked,
            area: area.abs(),
            clockwise: area < 0.0,
        };
        if outline.area <= MEETING * MEETING {
            return Err(OutlineFault::NoArea);
        }
        Ok(outline)
    }

    /// The edges in the order they are walked, anticlockwise.
    pub fn edges(&self) -> &[OutlineEdge] {
        &self.edges
    }

    /// Enclosed area in mm².
    pub fn area(&self) -> f64 {
        self.area
    }

    /// Whether the edges were listed clockwise, so that the outline walks them in the opposite order.
    pub fn was_clockwise(&self) -> bool {
        self.clockwise
    }

    /// All segments, anticlockwise, each with the position of its edge in [`Outline::edges`].
    pub fn segments(&self) -> impl Iterator<Item = (usize, &PathSeg)> {
        self.edges
            .iter()
            .enumerate()
            .flat_map(|(at, edge)| edge.path.segs().iter().map(move |seg| (at, seg)))
    }

    /// The smallest upright box around the outline.
    pub fn bounds(&self) -> Rect {
        let boxes = self.segments().map(|(_, seg)| seg.bounding_box());
        boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
    }

    /// Whether a point lies inside; on the outline itself either answer may come.
    pub fn contains(&self, p: Point) -> bool {
        self.winding(p) != 0
    }

    /// How often the outline runs round a point, anticlockwise positive.
    pub(crate) fn winding(&self, p: Point) -> i32 {
        winding(self.segments().map(|(_, seg)| seg), p)
    }

    /// Distance from a point to the outline in millimetres.
    pub fn distance(&self, p: Point) -> f64 {
        self.edges
            .iter()
            .map(|edge| edge.path.nearest(p).distance)
            .fold(f64::INFINITY, f64::min)
    }

    /// All that it is made of, bit for bit: outlines of equal bits are equal in every figure that is worked out of them.
    pub fn bits(&self) -> Vec<u64> {
        let mut bits = vec![self.area.to_bits(), u64::from(self.clockwise)];
        bits.push(self.edges.len() as u64);
        for edge in &self.edges {
            bits.extend([edge.index as u64, u64::from(edge.reversed)]);
            edge.path.push_bits(&mut bits);
        }
        bits
    }

    /// The first place where the outline crosses, touches or runs along itself: an [`OutlineFault::Crosses`].
    pub fn crossing(&self) -> Option<OutlineFault> {
        let segments = self.segments().map(|(owner, seg)| (owner, *seg));
        let (owners, segs): (Vec<usize>, Vec<PathSeg>) = segments.unzip();
        let (crossings, overlaps) = self_meetings(&segs, true);
        let edge = |segment: usize| {
            let at = owners.get(segment).copied().unwrap_or(0);
            self.edges.get(at).map_or(0, |edge| edge.index)
        };
        let crossed = |m: &Meeting| OutlineFault::Crosses {
            first: edge(m.on_a.segment),
            second: edge(m.on_b.segment),
            at: m.point,
        };
        let shared = |o: &Overlap| OutlineFault::Crosses {
            first: edge(o.on_a.0.segment),
            second: edge(o.on_b.0.segment),
            at: o.from,
        };
        crossings
            .first()
            .map(crossed)
            .or_else(|| overlaps.first().map(shared))
    }
}

/// For each edge whether it is turned round so that they chain and close.
fn closed_orientations(edges: &[Path]) -> Result<Vec<bool>, OutlineFault> {
    let ends = ends(edges)?;
    let Some(first) = ends.first() else {
        return Err(OutlineFault::Empty);
    };
    let closed = |first_turned: bool| {
        let (turned, from) = chained(&ends, first_turned, MEETING)?;
        let to = if first_turned { first.1 } else { first.0 };
        let width = (to - from).hypot();
        let gap = EdgeGap {
            before: ends.len() - 1,
            after: 0,
            width,
            from,
            to,
        };
        if width > MEETING {
            Err(gap)
        } else {
            Ok(turned)
        }
    };
    let as_drawn = match closed(false) {
        Ok(turned) => return Ok(turned),
        Err(gap) => gap,
    };
    // Told of the way round in which the edges chained farther.
    closed(true).map_err(|turned| {
        let farther = turned.before > as_drawn.before;
        OutlineFault::Gap(if farther { turned } else { as_drawn })
    })
}

/// How often closed segments run round a point, anticlockwise positive.
///
/// Crossings of the ray to the right are counted on pieces that run one way vertically, each owning its lower end.
pub(crate) fn winding<'s>(segs: impl Iterator<Item = &'s PathSeg>, p: Point) -> i32 {
    segs.map(|seg| winding_of(seg, p, 48)).sum()
}

fn winding_of(seg: &PathSeg, p: Point, depth: u32) -> i32 {
    let b = control_box(seg);
    if p.y < b.y0 || p.y > b.y1 || p.x > b.x1 {
        return 0;
    }
    let (start, end) = (seg.start(), seg.end());
    let across =
        i32::from(start.y <= p.y && end.y > p.y) - i32::from(end.y <= p.y && start.y > p.y);
    if p.x < b.x0 {
        return across;
    }
    if let PathSeg::Line(_) = seg {
        let side = (end - start).cross(p - start);
        let left_of_it = if across > 0 { side > 0.0 } else { side < 0.0 };
        return if left_of_it { across } else { 0 };
    }
    if depth == 0 || segment::size(seg) < 1e-12 {
        return across;
    }
    let (first, second) = seg.subdivide();
    winding_of(&first, p, depth - 1) + winding_of(&second, p, depth - 1)
}
