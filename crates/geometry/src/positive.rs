//! The part of a self-crossing closed row of segments that it runs round anticlockwise (positive winding), with true
//! curves kept.
//!
//! The row is cut at its crossings; a piece is kept if the winding number is positive on its left and not on its
//! right, and the kept pieces are chained. A polygon overlay (i_overlay) of the same row is the referee: where areas
//! disagree, its polygon is taken instead, each piece named by the nearest of the row.

use super::edit::{flatten_segment, sub_segment};
use super::measure::signed_area_about;
use super::outline::winding;
use super::segment::{self, control_box, with_start};
use super::self_meet::self_meetings;
use super::{FITTING, MEETING};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{Line, ParamCurve, ParamCurveArclen, PathSeg, Point};

/// A segment and the edge that it belongs to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Named {
    pub edge: usize,
    pub seg: PathSeg,
}

/// What is enclosed: one outer line, anticlockwise, and holes, clockwise.
pub(crate) struct Enclosed {
    pub outer: Vec<Named>,
    pub holes: Vec<Vec<Named>>,
    pub curved: bool,
}

/// The enclosed part of a closed row. `least` is an area in mm² that it cannot be less than.
pub(crate) fn enclosed(raw: &[Named], centre: Point, least: f64) -> Option<Enclosed> {
    let segs: Vec<PathSeg> = raw.iter().map(|named| named.seg).collect();
    let length: f64 = segs.iter().map(|seg| seg.arclen(0.01)).sum();
    let (crossings, overlaps) = self_meetings(&segs, true);
    let slack = FITTING * length;
    if crossings.is_empty()
        && overlaps.is_empty()
        && signed_area_about(&segs, centre) >= least - slack
    {
        return Some(Enclosed {
            outer: raw.to_vec(),
            holes: Vec::new(),
            curved: true,
        });
    }
    let mut stops: Vec<(usize, f64)> = Vec::new();
    let mut stop = |at: super::path::Location| stops.push((at.segment, at.t));
    crossings
        .iter()
        .for_each(|m| [m.on_a, m.on_b].into_iter().for_each(&mut stop));
    overlaps.iter().for_each(|o| {
        [o.on_a.0, o.on_a.1, o.on_b.0, o.on_b.1]
            .into_iter()
            .for_each(&mut stop)
    });
    let referee = referee(&segs, centre);
    let judged: f64 = referee.iter().map(|ring| ring_area(ring)).sum();
    let kept = boundary(raw, &segs, stops);
    if let Some(found) = chained(kept, centre) {
        let area: f64 = area_of(&found.outer, centre)
            + found.holes.iter().map(|h| area_of(h, centre)).sum::<f64>();
        if (area - judged).abs() <= 2.0 * slack + 0.01 {
            return Some(found);
        }
    }
    polygon(raw, &referee, centre)
}

fn area_of(row: &[Named], centre: Point) -> f64 {
    let segs: Vec<PathSeg> = row.iter().map(|named| named.seg).collect();
    signed_area_about(&segs, centre)
}

/// The pieces with the inside on their left only.
fn boundary(raw: &[Named], segs: &[PathSeg], mut stops: Vec<(usize, f64)>) -> Vec<Named> {
    /// How far to the side the winding is looked up, in millimetres.
    const ASIDE: f64 = 2e-5;
    stops.sort_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)));
    let mut kept = Vec::new();
    for (index, named) in raw.iter().enumerate() {
        let from = stops.partition_point(|stop| stop.0 < index);
        let own = stops
            .iter()
            .skip(from)
            .take_while(|stop| stop.0 == index)
            .map(|stop| stop.1);
        let mut t0 = 0.0;
        for t1 in own.chain(std::iter::once(1.0)) {
            let piece = sub_segment(&named.seg, t0, t1);
            if t1 <= t0 || segment::size(&piece) <= 1e-7 {
                continue;
            }
            t0 = t1;
            let (middle, aside) = (
                piece.eval(0.5),
                segment::tangent(&piece, 0.5).turn_90() * ASIDE,
            );
            let inside = |p: Point| winding(segs.iter(), p) > 0;
            if inside(middle + aside) && !inside(middle - aside) {
                kept.push(Named {
                    edge: named.edge,
                    seg: piece,
                });
            }
        }
    }
    kept
}

/// Chains pieces end to start into closed rings; the ring of the largest area is the outer line.
fn chained(mut pieces: Vec<Named>, centre: Point) -> Option<Enclosed> {
    let near = 3.0 * MEETING;
    // The same stretch kept twice, from edges that run along each other.
    let mut index = 0;
    while let Some(piece) = pieces.get(index).copied() {
        let twin = |other: &Named| {
            (other.seg.eval(0.5) - piece.seg.eval(0.5)).hypot() <= near
                && (other.seg.start() - piece.seg.start()).hypot() <= near
                && (other.seg.end() - piece.seg.end()).hypot() <= near
        };
        let mut at = 0;
        pieces.retain(|other| {
            at += 1;
            at <= index + 1 || !twin(other)
        });
        index += 1;
    }
    let mut rings: Vec<Vec<Named>> = Vec::new();
    while !pieces.is_empty() {
        let first = pieces.remove(0);
        let begin = first.seg.start();
        let mut ring = vec![first];
        while let Some(last) = ring.last().copied() {
            let (end, along) = (last.seg.end(), segment::end_tangent(&last.seg));
            if (end - begin).hypot() <= near && (ring.len() > 1 || segment::size(&last.seg) > near)
            {
                break;
            }
            // Of several pieces that go on here, the sharpest turn to the left closes the smallest ring.
            let turn = |piece: &Named| {
                super::angle::Angle::between(along, segment::start_tangent(&piece.seg)).degrees()
            };
            let next = pieces
                .iter()
                .enumerate()
                .filter(|(_, piece)| (piece.seg.start() - end).hypot() <= near)
                .min_by(|x, y| turn(x.1).total_cmp(&turn(y.1)))
                .map(|(at, _)| at)?;
            let mut piece = pieces.remove(next);
            piece.seg = with_start(piece.seg, end);
            ring.push(piece);
        }
        if let (Some(end), Some(first)) =
            (ring.last().map(|named| named.seg.end()), ring.first_mut())
        {
            first.seg = with_start(first.seg, end);
        }
        rings.push(ring);
    }
    sorted(rings, centre, true)
}

fn sorted(rings: Vec<Vec<Named>>, centre: Point, curved: bool) -> Option<Enclosed> {
    const LEAST_HOLE: f64 = 0.01;
    let mut outer: Option<(f64, Vec<Named>)> = None;
    let mut holes = Vec::new();
    for ring in rings {
        let area = area_of(&ring, centre);
        if area < -LEAST_HOLE {
            holes.push(ring);
        } else if area > outer.as_ref().map_or(0.0, |(largest, _)| *largest) {
            outer = Some((area, ring));
        }
    }
    Some(Enclosed {
        outer: outer?.1,
        holes,
        curved,
    })
}

/// Rings of the same region as polygons: outer lines anticlockwise, holes clockwise.
fn referee(segs: &[PathSeg], centre: Point) -> Vec<Vec<Point>> {
    let mut points = Vec::new();
    for seg in segs {
        flatten_segment(seg, FITTING, &mut points);
    }
    let ring: Vec<[f64; 2]> = points
        .iter()
        .map(|p| [p.x - centre.x, p.y - centre.y])
        .collect();
    let shapes = ring.simplify_shape(FillRule::Positive);
    let back = |p: &[f64; 2]| Point::new(p[0] + centre.x, p[1] + centre.y);
    shapes
        .iter()
        .flatten()
        .map(|ring| ring.iter().map(back).collect())
        .collect()
}

fn ring_area(ring: &[Point]) -> f64 {
    let origin = ring.first().copied().unwrap_or_default();
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    pairs
        .map(|(p, q)| 0.5 * (*p - origin).cross(*q - origin))
        .sum()
}

/// The referee's own rings, each straight piece named by the nearest of the row.
fn polygon(raw: &[Named], rings: &[Vec<Point>], centre: Point) -> Option<Enclosed> {
    let owner = |p: Point| {
        let mut best = (f64::INFINITY, 0);
        for named in raw {
            if super::measure::box_distance(&control_box(&named.seg), p) < best.0 {
                let distance = segment::nearest(&named.seg, p).1;
                if distance < best.0 {
                    best = (distance, named.edge);
                }
            }
        }
        best.1
    };
    let named = rings.iter().map(|ring| {
        let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
        pairs
            .filter(|(p, q)| (**q - **p).hypot() > 1e-9)
            .map(|(p, q)| Named {
                edge: owner(p.midpoint(*q)),
                seg: PathSeg::Line(Line::new(*p, *q)),
            })
            .collect()
    });
    sorted(named.collect(), centre, false)
}
