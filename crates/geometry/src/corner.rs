//! How two neighbouring allowances join at a corner of the sewing outline.
//!
//! Both sides are seen alike: a direction in which the edge would run on past the corner, the outward normal, a width,
//! and the row of segments that is the cut line, with the straight way in which that would run on. So each treatment is written once, whichever edge it favours.

use super::allowance::{Corner, MITRE_LIMIT, Width};
use super::meet_segments::meet;
use super::moves::mirror_over;
use super::segment::{arc_length, end_tangent, length_between, nearest, start_tangent, unit};
use super::{FITTING, MEETING};
use kurbo::{Line, ParamCurve, PathSeg, Point, Vec2};

/// Nothing shorter than this is drawn at a corner, in millimetres.
const NOTHING: f64 = 1e-6;
/// A mitre that runs out farther than its limit by no more than this, in millimetres, keeps its tip: cut off, it would be an edge
/// that no blade can follow.
const SPARED: f64 = 0.05;

/// One edge at a corner.
#[derive(Clone)]
pub(crate) struct Side<'r> {
    edge: usize,
    /// The width at the corner, and along the whole segment.
    width: f64,
    widths: Width,
    /// The segment of the sewing outline.
    seg: PathSeg,
    corner: Point,
    /// Unit direction of the edge run on past the corner.
    on: Vec2,
    /// The normal that points away from the cloth, of length one.
    normal: Vec2,
    /// The cut line run on past the corner: where the width changes it leans to the edge.
    run: Run,
    /// The cut line of the edge, in outline order.
    row: &'r [PathSeg],
    /// Whether the edge ends at the corner (else it starts there).
    ends_here: bool,
}

/// A straight line along which a cut line runs on.
#[derive(Clone, Copy)]
struct Run {
    on: Vec2,
    /// Away from the cloth, of length one.
    normal: Vec2,
    /// How far it passes from the corner.
    far: f64,
}

/// A place on a row: index and parameter.
pub(crate) type Place = (usize, f64);

/// What joins two rows: where each is cut back to, if it is, and the pieces between, with their edges.
#[derive(Clone, Debug, Default)]
pub(crate) struct Join {
    pub cut_before: Option<Place>,
    pub cut_after: Option<Place>,
    pub pieces: Vec<(usize, PathSeg)>,
}

impl<'r> Side<'r> {
    /// The side whose segment ends at the corner.
    pub(crate) fn ending(
        edge: usize,
        widths: Width,
        seg: &PathSeg,
        row: &'r [PathSeg],
    ) -> Side<'r> {
        let along = end_tangent(seg);
        let side = Side {
            edge,
            width: widths.end,
            widths,
            seg: *seg,
            corner: seg.end(),
            on: along,
            normal: -along.turn_90(),
            run: Run::along(along, -along.turn_90(), widths.end),
            row,
            ends_here: true,
        };
        side.leaning(row.last().map(end_tangent))
    }

    /// The side whose segment starts at the corner.
    pub(crate) fn starting(
        edge: usize,
        widths: Width,
        seg: &PathSeg,
        row: &'r [PathSeg],
    ) -> Side<'r> {
        let along = start_tangent(seg);
        let side = Side {
            edge,
            width: widths.start,
            widths,
            seg: *seg,
            corner: seg.start(),
            on: -along,
            normal: -along.turn_90(),
            run: Run::along(-along, -along.turn_90(), widths.start),
            row,
            ends_here: false,
        };
        side.leaning(row.first().map(|seg| -start_tangent(seg)))
    }

    /// The same, its cut line running on as its row does there, where the width changes.
    fn leaning(mut self, way: Option<Vec2>) -> Side<'r> {
        if let Some(on) = way.filter(|way| !self.widths.is_even() && way.dot(self.on) > 0.0) {
            let normal = if self.ends_here {
                -on.turn_90()
            } else {
                on.turn_90()
            };
            self.run = Run::along(on, normal, (self.foot() - self.corner).dot(normal));
        }
        self
    }

    /// Where its cut line stands square to the corner.
    fn foot(&self) -> Point {
        self.corner + self.normal * self.width
    }

    /// The first place of the row that a straight way from `from` meets, with the length of the way.
    fn met_by(&self, from: Point, to: Point) -> Option<(f64, Place, Point)> {
        let ray = PathSeg::Line(Line::new(from, to));
        let mut best: Option<(f64, Place, Point)> = None;
        for (index, seg) in self.row.iter().enumerate() {
            for (on_ray, on_row, p) in crossings(&ray, seg) {
                if best.is_none_or(|b| on_ray < b.0) {
                    best = Some((on_ray, (index, on_row), p));
                }
            }
        }
        best
    }

    /// How wide the cloth stands beyond a place of the segment.
    fn width_at(&self, t: f64) -> f64 {
        if self.widths.is_even() {
            return self.width;
        }
        let gone = length_between(&self.seg, 0.0, t, FITTING);
        let share = gone / arc_length(&self.seg, FITTING).max(NOTHING);
        self.widths.at(share)
    }

    /// Where its cut line, run on, lies square over a place to which the edge itself runs on.
    fn over(&self, place: Point) -> Point {
        if self.widths.is_even() {
            return place + self.normal * self.width;
        }
        let along = (place - self.corner).dot(self.on);
        self.foot() + self.run.on * (along / self.run.on.dot(self.on))
    }

    /// The piece of the cut line that the edge's own straight run-on adds, as far as a point.
    fn run_on(&self, to: Point) -> (usize, PathSeg) {
        (self.edge, PathSeg::Line(Line::new(self.foot(), to)))
    }
}

impl Run {
    fn along(on: Vec2, normal: Vec2, far: f64) -> Self {
        Self { on, normal, far }
    }
}

fn crossings(a: &PathSeg, b: &PathSeg) -> Vec<(f64, f64, Point)> {
    let (mut hits, mut shared) = (Vec::new(), Vec::new());
    meet(a, b, &mut hits, &mut shared);
    hits.extend(shared.iter().map(|s| super::meet_segments::Hit {
        a: s.a.0,
        b: s.b.0,
        tangent: true,
    }));
    hits.iter()
        .map(|hit| (hit.a, hit.b, a.eval(hit.a)))
        .collect()
}

/// Joins the side that ends at a corner to the side that starts there.
pub(crate) fn join(before: &Side, after: &Side, corner: Corner) -> Join {
    let favoured = |edge: usize| edge == before.edge;
    let special = match corner {
        Corner::Mitred => None,
        Corner::Squared { first } if favoured(first) => squared(before, after),
        Corner::Squared { .. } => squared(after, before).map(swapped),
        Corner::TurnedBack { hem } if favoured(hem) => turned_back(after, before).map(swapped),
        Corner::TurnedBack { .. } => turned_back(before, after),
        Corner::Stepped { edge, .. } if before.edge == edge && after.edge != edge => {
            stepped(after, before).map(swapped)
        }
        Corner::Stepped { .. } => stepped(before, after),
    };
    special.unwrap_or_else(|| mitred(before, after))
}

/// The join that leaves both rows whole: outside a corner straight across, inside through the corner itself.
pub(crate) fn untrimmed(before: &Side, after: &Side) -> Join {
    let (foot, start) = (before.foot(), after.foot());
    let mut join = Join::default();
    if inward(before, after) {
        let corner = before.corner;
        join.pieces = lines(&[
            (before.edge, foot),
            (before.edge, corner),
            (after.edge, start),
        ]);
    } else {
        join.pieces = lines(&[(before.edge, foot), (wider(before, after), start)]);
    }
    join
}

/// Whether the outline turns inward (to the right) at the corner.
fn inward(before: &Side, after: &Side) -> bool {
    before.on.cross(-after.on) < 0.0
}

fn wider(before: &Side, after: &Side) -> usize {
    if before.width >= after.width {
        before.edge
    } else {
        after.edge
    }
}

/// The point where both cut lines run on meet: V + [(a - b·c)n₁ + (b - a·c)n₂] / (1 - c²). None where they are parallel.
fn mitre_point(one: &Side, two: &Side) -> Option<Point> {
    let (one, two, corner) = (one.run, two.run, one.corner);
    let c = one.normal.dot(two.normal);
    let s = one.normal.cross(two.normal);
    let (a, b) = (one.far, two.far);
    let way = (one.normal * (a - b * c) + two.normal * (b - a * c)) / (s * s);
    (s.abs() > 1e-9 && way.is_finite()).then(|| corner + way)
}

fn mitred(before: &Side, after: &Side) -> Join {
    let (foot, start) = (before.foot(), after.foot());
    let mut join = Join::default();
    if (start - foot).hypot() <= MEETING * 0.1 {
        return join;
    }
    let longest = MITRE_LIMIT * before.width.max(after.width);
    let Some(point) = mitre_point(before, after) else {
        join.pieces = flat(before, after, longest);
        return join;
    };
    let way = point - before.corner;
    let beyond = |side: &Side, foot: Point| (point - foot).dot(side.run.on);
    let (on_before, on_after) = (beyond(before, foot), beyond(after, start));
    let limited = way.hypot() > longest + SPARED;
    match (on_before >= -NOTHING, on_after >= -NOTHING) {
        (true, true) if limited => join.pieces = blunt(before, after, unit(way), longest),
        (true, true) => {
            join.pieces = lines(&[
                (before.edge, foot),
                (before.edge, point),
                (after.edge, start),
            ]);
        }
        (false, false) => return inside(before, after).unwrap_or_else(|| untrimmed(before, after)),
        _ if limited => join.pieces = lines(&[(before.edge, foot), (wider(before, after), start)]),
        (true, false) => {
            return runs_into(before, after).unwrap_or_else(|| untrimmed(before, after));
        }
        (false, true) => {
            return runs_into(after, before)
                .map(swapped)
                .unwrap_or_else(|| untrimmed(before, after));
        }
    }
    join
}

/// Both edges in one line: a step square to them; or the second straight back along the first: a blunt end.
fn flat(before: &Side, after: &Side, longest: f64) -> Vec<(usize, PathSeg)> {
    let (foot, start) = (before.foot(), after.foot());
    if before.run.on.dot(after.run.on) < 0.0 {
        return lines(&[(before.edge, foot), (wider(before, after), start)]);
    }
    blunt(before, after, before.run.on, longest)
}

/// A tip cut off square to the way to it, `longest` from the corner.
fn blunt(before: &Side, after: &Side, way: Vec2, longest: f64) -> Vec<(usize, PathSeg)> {
    let tip = |side: &Side| {
        let (foot, reach) = (side.foot(), side.run.on.dot(way));
        let by = (longest - (foot - side.corner).dot(way)) / reach;
        foot + side.run.on * if by.is_finite() { by.max(0.0) } else { 0.0 }
    };
    let (one, two) = (tip(before), tip(after));
    lines(&[
        (before.edge, before.foot()),
        (before.edge, one),
        (wider(before, after), two),
        (after.edge, after.foot()),
    ])
}

/// In an inward corner the two cut lines cross: both are cut back to there. None where they cross more than once or
/// a fold crosses, and the winding has to decide.
fn inside(before: &Side, after: &Side) -> Option<Join> {
    let mut found: Option<Join> = None;
    for (i, seg) in before.row.iter().enumerate() {
        for (j, other) in after.row.iter().enumerate() {
            for (on_before, on_after, p) in crossings(seg, other) {
                let clear = |side: &Side| {
                    let (t, distance) = nearest(&side.seg, p);
                    distance >= side.width_at(t) - 2.0 * FITTING
                };
                if found.is_some() || !clear(before) || !clear(after) {
                    return None;
                }
                found = Some(Join {
                    cut_before: Some((i, on_before)),
                    cut_after: Some((j, on_after)),
                    pieces: Vec::new(),
                });
            }
        }
    }
    found
}

/// The first side's cut line, run on, reaches the second's within its length: the second is cut back to there.
fn runs_into(first: &Side, second: &Side) -> Option<Join> {
    let reach = 2.0 * MITRE_LIMIT * first.width.max(second.width) + 1.0;
    let (_, place, p) = second.met_by(first.foot(), first.foot() + first.run.on * reach)?;
    let pieces = lines(&[(first.edge, first.foot()), (first.edge, p)]);
    Some(cut_second(place, pieces))
}

/// A join from a first side to a second, the second cut back to a place.
fn cut_second(place: Place, pieces: Vec<(usize, PathSeg)>) -> Join {
    Join {
        cut_before: None,
        cut_after: Some(place),
        pieces,
    }
}

/// The same join read the other way, for sides handed over in the opposite order.
fn swapped(join: Join) -> Join {
    let pieces = join
        .pieces
        .iter()
        .rev()
        .map(|(edge, seg)| (*edge, seg.reverse()))
        .collect();
    Join {
        cut_before: join.cut_after,
        cut_after: join.cut_before,
        pieces,
    }
}

/// Cut square to the first-sewn seam, where its line, run on, reaches the cut line of the second.
fn squared(first: &Side, second: &Side) -> Option<Join> {
    // The sine of the turn, positive in an outward corner whichever side comes first.
    let turn = first.on.dot(second.run.normal);
    let longest = MITRE_LIMIT * first.width.max(second.width);
    let reach = second.run.far / turn;
    if !(turn > 1e-6 && reach <= longest) {
        return None;
    }
    let seam_end = first.corner + first.on * reach;
    let tip = first.over(seam_end);
    let mut pieces = vec![first.run_on(tip)];
    // Past the second side's foot its own line is cut back; short of it that line runs on to the square.
    if (seam_end - second.foot()).dot(second.run.on) >= -NOTHING {
        pieces.extend(lines(&[
            (first.edge, tip),
            (first.edge, seam_end),
            (second.edge, second.foot()),
        ]));
        return Some(Join {
            pieces,
            ..Join::default()
        });
    }
    let beyond = seam_end - first.normal * (first.width + second.width);
    let (_, place, p) = second.met_by(tip, beyond)?;
    pieces.extend(lines(&[(first.edge, tip), (first.edge, p)]));
    Some(cut_second(place, pieces))
}

/// The side's cut line mirrored in the fold of the hem, from the fold to the hem's cut line.
fn turned_back(side: &Side, hem: &Side) -> Option<Join> {
    // A longer turned-back edge belongs to a corner too sharp to turn a hem back at.
    let longest = 2.0 * MITRE_LIMIT * hem.width.max(side.width);
    let far = 4.0 * (side.width + hem.width) + 1.0;
    let (fold_from, fold_to) = (side.corner - hem.on * far, side.corner + hem.on * far);
    // The side's cut line, walked from the fold into the piece.
    let outward = (side.foot() - side.corner).dot(hem.normal);
    let slope = side.run.on.dot(hem.normal);
    // An inward corner has no hem to turn back beside it.
    if side.on.dot(hem.normal).min(slope) <= 1e-6 {
        return None;
    }
    let (mut inner, cut, at_fold): (Vec<PathSeg>, Option<Place>, Point) = if outward <= 0.0 {
        let at_fold = side.foot() + side.run.on * (-outward / slope);
        (
            vec![PathSeg::Line(Line::new(at_fold, side.foot()))],
            None,
            at_fold,
        )
    } else {
        let (_, place, p) = side.met_by(fold_from, fold_to)?;
        (Vec::new(), Some(place), p)
    };
    inner.extend(walked_in(side, cut));
    let last = inner.last()?;
    let straight_on = last.end() + end_tangent(last) * far;
    inner.push(PathSeg::Line(Line::new(last.end(), straight_on)));
    let fold = mirror_over(side.corner, hem.on);
    let mut pieces = match cut {
        None => vec![side.run_on(at_fold)],
        Some(_) => Vec::new(),
    };
    let hem_line = PathSeg::Line(Line::new(hem.foot() + hem.run.on * far, hem.foot()));
    let mut length = 0.0;
    for seg in inner
        .iter()
        .filter(|seg| super::segment::size(seg) > NOTHING)
        .map(|seg| fold * *seg)
    {
        let on_run = crossings(&seg, &hem_line)
            .into_iter()
            .map(|(t, _, p)| (t, None, p));
        let rows = hem.row.iter().enumerate();
        let on_row = rows.flat_map(|(n, row)| {
            crossings(&seg, row)
                .into_iter()
                .map(move |(t, u, p)| (t, Some((n, u)), p))
        });
        let hit = on_run.chain(on_row).min_by(|x, y| x.0.total_cmp(&y.0));
        let Some((t, place, p)) = hit else {
            length += (seg.end() - seg.start()).hypot();
            pieces.push((side.edge, seg));
            continue;
        };
        if length + (p - seg.start()).hypot() > longest {
            return None;
        }
        if t > 0.0 {
            pieces.push((side.edge, super::edit::sub_segment(&seg, 0.0, t)));
        }
        let cut_after = match place {
            Some(place) if place != hem.corner_place() => Some(place),
            _ => {
                pieces.extend(lines(&[(hem.edge, p), (hem.edge, hem.foot())]));
                None
            }
        };
        return Some(Join {
            cut_before: cut,
            cut_after,
            pieces,
        });
    }
    None
}

/// The row of a side walked away from the corner, from a place on it.
fn walked_in(side: &Side, from: Option<Place>) -> Vec<PathSeg> {
    let place = from.unwrap_or_else(|| side.corner_place());
    let part = |(n, seg): (usize, &PathSeg)| match n.cmp(&place.0) {
        std::cmp::Ordering::Equal if side.ends_here => {
            super::edit::sub_segment(seg, 0.0, place.1).reverse()
        }
        std::cmp::Ordering::Equal => super::edit::sub_segment(seg, place.1, 1.0),
        _ if side.ends_here => seg.reverse(),
        _ => *seg,
    };
    let rows = side.row.iter().enumerate();
    if side.ends_here {
        rows.filter(|(n, _)| *n <= place.0)
            .rev()
            .map(part)
            .collect()
    } else {
        rows.filter(|(n, _)| *n >= place.0).map(part).collect()
    }
}

impl Side<'_> {
    /// The end of the row that lies at the corner.
    fn corner_place(&self) -> Place {
        if self.ends_here {
            (self.row.len().saturating_sub(1), 1.0)
        } else {
            (0, 0.0)
        }
    }
}

/// The first side's width runs on to the second edge and jumps square to it at the corner.
fn stepped(first: &Side, second: &Side) -> Option<Join> {
    let jump = second.corner + second.normal * first.width;
    let as_wide = Side {
        run: Run::along(second.on, second.normal, first.width),
        ..second.clone()
    };
    let turn = first.on.dot(second.normal);
    let mut pieces = if turn > 1e-6 {
        let point = mitre_point(first, &as_wide)?;
        if (point - first.corner).hypot() > MITRE_LIMIT * first.width {
            return None;
        }
        lines(&[
            (first.edge, first.foot()),
            (first.edge, point),
            (first.edge, jump),
        ])
    } else {
        lines(&[(first.edge, first.foot()), (first.edge, jump)])
    };
    let wider = if first.width >= second.width {
        first.edge
    } else {
        second.edge
    };
    pieces.extend(lines(&[(first.edge, jump), (wider, second.foot())]));
    Some(Join {
        pieces,
        ..Join::default()
    })
}

/// Straight pieces from each point to the next, named by the later one; none without length.
fn lines(points: &[(usize, Point)]) -> Vec<(usize, PathSeg)> {
    let pairs = points.iter().zip(points.iter().skip(1));
    pairs
        .filter(|(from, to)| (to.1 - from.1).hypot() > NOTHING)
        .map(|(from, to)| (to.0, PathSeg::Line(Line::new(from.1, to.1))))
        .collect()
}
