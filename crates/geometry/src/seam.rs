//! A seam's side: a chain of edges in sewing order, measured from either end, and the walk of one chain against another.
//!
//! Edges may be handed over in any direction; they are turned so that each goes on where the one before ended.

use super::MEETING;
use super::path::{Path, PathFault};
use kurbo::{Point, Vec2};
use std::fmt;

/// Edges in walking order, each turned the way it is walked.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    edges: Vec<ChainEdge>,
    length: f64,
}

/// One edge of a chain.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainEdge {
    /// Its index in the list that the chain was made of.
    pub index: usize,
    /// The edge as it is walked.
    pub path: Path,
    /// Whether that is against the way it was drawn.
    pub reversed: bool,
    /// Length of the chain before it, in millimetres.
    pub from: f64,
}

/// Why edges make no chain, or a chain has no such place. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamFault {
    /// No edges.
    Empty,
    /// Two edges do not join, whichever way they are turned.
    Gap {
        /// Index of the edge before.
        before: usize,
        /// Index of the edge after.
        after: usize,
        /// The gap between their nearest ends.
        gap: f64,
        /// The end of the edge before.
        from: Point,
        /// The nearest end of the edge after.
        to: Point,
    },
    /// The point is at neither end of the chain.
    NotAnEnd {
        /// Its distance from the nearer end.
        distance: f64,
        /// That end.
        nearest: Point,
    },
    /// Notches are not in the same order on both sides.
    NotchOrder {
        /// Index of the notch that comes too early on one side.
        notch: usize,
        /// Its length on the first side.
        on_a: f64,
        /// Its length on the second side.
        on_b: f64,
    },
    /// An edge is endless or a place lies outside the chain.
    Path(PathFault),
}

impl fmt::Display for SeamFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SeamFault::Empty => write!(f, "there are no edges"),
            SeamFault::Gap { gap, .. } => write!(
                f,
                "two edges do not join: their nearest ends are {gap:.3} apart"
            ),
            SeamFault::NotAnEnd { distance, .. } => {
                write!(
                    f,
                    "the point is not at an end of the seam: the nearer end is {distance:.3} away"
                )
            }
            SeamFault::NotchOrder { .. } => {
                write!(f, "the notches do not come in the same order on both sides")
            }
            SeamFault::Path(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for SeamFault {}

impl From<PathFault> for SeamFault {
    fn from(fault: PathFault) -> SeamFault {
        SeamFault::Path(fault)
    }
}

/// For each edge whether it is turned round so that the row chains, gaps up to `tolerance` millimetres.
///
/// The first edge is turned toward the second; a single edge stays as drawn.
pub fn orientations(edges: &[Path], tolerance: f64) -> Result<Vec<bool>, SeamFault> {
    let ends = edges
        .iter()
        .map(|e| Ok((e.start()?, e.end()?)))
        .collect::<Result<Vec<_>, PathFault>>()?;
    let Some(first) = ends.first() else {
        return Err(SeamFault::Empty);
    };
    let first_turned = match ends.get(1) {
        Some(second) => {
            let nearer = |p: Point| (p - second.0).hypot().min((p - second.1).hypot());
            // Equally near (a closed pair): as drawn, if that goes on.
            nearer(first.0) + tolerance.max(MEETING) < nearer(first.1)
        }
        None => false,
    };
    let mut turned = vec![first_turned];
    let mut at = if first_turned { first.0 } else { first.1 };
    for (index, (start, end)) in ends.iter().enumerate().skip(1) {
        let (to_start, to_end) = ((*start - at).hypot(), (*end - at).hypot());
        let reversed = to_end < to_start;
        let (gap, to) = if reversed {
            (to_end, *end)
        } else {
            (to_start, *start)
        };
        if gap > tolerance {
            return Err(SeamFault::Gap {
                before: index.saturating_sub(1),
                after: index,
                gap,
                from: at,
                to,
            });
        }
        turned.push(reversed);
        at = if reversed { *start } else { *end };
    }
    Ok(turned)
}

impl Chain {
    /// A chain of edges in sewing order, each turned so that it goes on where the one before ended.
    pub fn new(edges: &[Path]) -> Result<Chain, SeamFault> {
        let turned = orientations(edges, MEETING)?;
        Chain::turned(edges, &turned)
    }

    /// A chain of edges that need not touch: parts of one seam on several pieces. Each is walked as `turned` says.
    pub fn turned(edges: &[Path], turned: &[bool]) -> Result<Chain, SeamFault> {
        if edges.is_empty() {
            return Err(SeamFault::Empty);
        }
        let mut chain = Chain {
            edges: Vec::with_capacity(edges.len()),
            length: 0.0,
        };
        for (index, (edge, reversed)) in edges.iter().zip(turned).enumerate() {
            let path = if *reversed {
                edge.reversed()
            } else {
                edge.clone()
            };
            let from = chain.length;
            chain.length += path.length()?;
            chain.edges.push(ChainEdge {
                index,
                path,
                reversed: *reversed,
                from,
            });
        }
        Ok(chain)
    }

    /// The edges in walking order.
    pub fn edges(&self) -> &[ChainEdge] {
        &self.edges
    }

    /// The whole length in millimetres.
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Where the walk begins.
    pub fn start(&self) -> Point {
        self.edges
            .first()
            .and_then(|edge| edge.path.start().ok())
            .unwrap_or_default()
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        self.edges
            .last()
            .and_then(|edge| edge.path.end().ok())
            .unwrap_or_default()
    }

    /// The same chain walked from the other end.
    pub fn reversed(&self) -> Chain {
        let turn = |edge: &ChainEdge| {
            let length = edge.path.length().unwrap_or(0.0);
            ChainEdge {
                index: edge.index,
                path: edge.path.reversed(),
                reversed: !edge.reversed,
                from: self.length - edge.from - length,
            }
        };
        Chain {
            edges: self.edges.iter().rev().map(turn).collect(),
            length: self.length,
        }
    }

    /// The chain walked from the end at which a point lies, within [`MEETING`].
    pub fn from_end(&self, p: Point) -> Result<Chain, SeamFault> {
        let (to_start, to_end) = ((p - self.start()).hypot(), (p - self.end()).hypot());
        if to_start.min(to_end) > MEETING {
            let nearest = if to_start <= to_end {
                self.start()
            } else {
                self.end()
            };
            return Err(SeamFault::NotAnEnd {
                distance: to_start.min(to_end),
                nearest,
            });
        }
        Ok(if to_start <= to_end {
            self.clone()
        } else {
            self.reversed()
        })
    }

    /// The place at a length from the start: index in [`Chain::edges`], the point, and the direction of the walk.
    pub fn place_at(&self, length: f64) -> Result<Place, SeamFault> {
        let past = || PathFault::PastTheEnd {
            wanted: length,
            length: self.length,
        };
        if length < -MEETING {
            return Err(PathFault::BeforeTheStart { wanted: length }.into());
        }
        if length.is_nan() || length > self.length + MEETING {
            return Err(past().into());
        }
        let number = self
            .edges
            .partition_point(|edge| edge.from <= length)
            .max(1)
            - 1;
        let edge = self.edges.get(number).ok_or_else(past)?;
        let along = (length - edge.from).clamp(0.0, edge.path.length()?);
        let location = edge.path.location_at(along)?;
        let (point, direction) = (edge.path.point(location), edge.path.tangent_at(location));
        Ok(Place {
            edge: number,
            along,
            point,
            direction,
        })
    }

    /// The place at a length from the end.
    pub fn place_from_end(&self, length: f64) -> Result<Place, SeamFault> {
        match self.place_at(self.length - length) {
            Err(SeamFault::Path(PathFault::BeforeTheStart { .. })) => Err(PathFault::PastTheEnd {
                wanted: length,
                length: self.length,
            }
            .into()),
            Err(SeamFault::Path(PathFault::PastTheEnd { .. })) => {
                Err(PathFault::BeforeTheStart { wanted: length }.into())
            }
            other => other,
        }
    }

    /// The length from the start to the place on the chain nearest to a point, and how far the point is from it.
    pub fn length_to(&self, p: Point) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for edge in &self.edges {
            let near = edge.path.nearest(p);
            if near.distance < best.1 {
                best = (
                    edge.from + edge.path.length_to(near.location),
                    near.distance,
                );
            }
        }
        best
    }

    /// Lengths from the start to each joint between two edges.
    pub fn joints(&self) -> Vec<f64> {
        self.edges.iter().skip(1).map(|edge| edge.from).collect()
    }
}

/// A place on a chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Which edge, as an index in [`Chain::edges`].
    pub edge: usize,
    /// Length along that edge as walked, in millimetres.
    pub along: f64,
    /// Where.
    pub point: Point,
    /// Unit direction of the walk there.
    pub direction: Vec2,
}

/// One interval of a walked seam, from one notch (or end) to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Where it begins and ends on the first side, as lengths from the start of the walk.
    pub on_a: (f64, f64),
    /// Where it begins and ends on the second side.
    pub on_b: (f64, f64),
}

impl Interval {
    /// Length on the first side.
    pub fn length_a(&self) -> f64 {
        self.on_a.1 - self.on_a.0
    }

    /// Length on the second side.
    pub fn length_b(&self) -> f64 {
        self.on_b.1 - self.on_b.0
    }

    /// How much longer the first side is; negative where it is shorter.
    pub fn ease(&self) -> f64 {
        self.length_a() - self.length_b()
    }

    /// The ease as a share of the second side; zero where that has no length.
    pub fn ease_share(&self) -> f64 {
        if self.length_b() > 0.0 {
            self.ease() / self.length_b()
        } else {
            0.0
        }
    }
}

/// Walks two chains against each other from their starts. `notches` are pairs of lengths, on the first and on the
/// second side, in sewing order; the intervals between them are returned, one more than there are notches.
pub fn walk(a: &Chain, b: &Chain, notches: &[(f64, f64)]) -> Result<Vec<Interval>, SeamFault> {
    let mut from = (0.0, 0.0);
    let mut intervals = Vec::with_capacity(notches.len() + 1);
    for (index, to) in notches
        .iter()
        .copied()
        .chain(std::iter::once((a.length, b.length)))
        .enumerate()
    {
        if to.0 < from.0 - MEETING || to.1 < from.1 - MEETING {
            return Err(SeamFault::NotchOrder {
                notch: index,
                on_a: to.0,
                on_b: to.1,
            });
        }
        for (length, chain) in [(to.0, a), (to.1, b)] {
            if length.is_nan() || length > chain.length + MEETING {
                return Err(PathFault::PastTheEnd {
                    wanted: length,
                    length: chain.length,
                }
                .into());
            }
        }
        intervals.push(Interval {
            on_a: (from.0, to.0),
            on_b: (from.1, to.1),
        });
        from = to;
    }
    Ok(intervals)
}

/// Carries a length on the first side to the second, in proportion between the neighbouring notch pairs.
pub fn carried(
    a: &Chain,
    b: &Chain,
    notches: &[(f64, f64)],
    length: f64,
) -> Result<f64, SeamFault> {
    let intervals = walk(a, b, notches)?;
    let holds = |i: &&Interval| length <= i.on_a.1 && i.length_a() > 0.0;
    let interval = intervals
        .iter()
        .find(holds)
        .or(intervals.last())
        .ok_or(SeamFault::Empty)?;
    if interval.length_a() <= 0.0 {
        return Ok(interval.on_b.0);
    }
    Ok(interval.on_b.0 + (length - interval.on_a.0) * interval.length_b() / interval.length_a())
}
