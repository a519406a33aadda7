//! An outline moved inward: every edge by a width of its own, met again at the corners, with what crosses itself cleared away
//! as for a cutting line. An interlining is cut along it.

use super::allowance::{AllowanceFault, CutOutline, named_paths};
use super::edit::End;
use super::meet::meetings;
use super::outline::Outline;
use super::parallel::parallel;
use super::path::{Location, Path};
use super::positive::{Named, enclosed};
use super::{FITTING, LARGEST, MEETING};
use kurbo::{Line, PathSeg, Point, Shape as _};

/// An edge moved inward is run on by this many widths to meet its neighbours.
const RUN_ON: f64 = 6.0;
/// What is left of a width where curves are fitted.
const KEPT: f64 = 0.9;

/// The outline inside an outline, `widths` by edge as listed; an edge of no width stays where it is.
///
/// # Errors
/// Widths that are less than nothing or not one an edge; [`AllowanceFault::NoCutLine`] where nothing is left inside.
pub fn inset(outline: &Outline, widths: &[f64]) -> Result<CutOutline, AllowanceFault> {
    let count = outline.edges().len();
    if widths.len() != count {
        return Err(AllowanceFault::Count {
            edges: count,
            widths: widths.len(),
            corners: count,
        });
    }
    let wrong = |width: &f64| !(*width >= 0.0 && *width <= LARGEST / 100.0);
    if let Some((edge, width)) = widths.iter().enumerate().find(|(_, width)| wrong(width)) {
        let width = *width;
        return Err(AllowanceFault::Width { edge, width });
    }
    let width_of = |edge: usize| widths.get(edge).copied().unwrap_or(0.0);
    let widest = widths.iter().copied().fold(0.0, f64::max);
    let mut moved: Vec<(usize, Path)> = Vec::with_capacity(count);
    for edge in outline.edges() {
        let width = width_of(edge.index);
        let path = match width {
            0.0 => edge.path.clone(),
            // A bend too tight for the width: its corner is cut by the neighbours.
            width => parallel(&edge.path, width, FITTING).map_err(|_| AllowanceFault::NoCutLine)?,
        };
        moved.push((edge.index, path));
    }
    let raw = raw(&moved, RUN_ON * widest)?;
    let centre = outline.bounds().center();
    let found = enclosed(&raw, centre, 0.0).ok_or(AllowanceFault::NoCutLine)?;
    let cut = CutOutline {
        edges: named_paths(&found.outer)?,
        holes: Vec::new(),
        area: super::measure::signed_area_about(&segments(&found.outer), centre),
        curved: found.curved,
    };
    let points = cut.edges.iter().flat_map(|edge| edge.path.segs());
    let is_inside = points
        .map(|seg| kurbo::ParamCurve::eval(seg, 0.5))
        .all(|p| {
            let near = |edge: &super::outline::OutlineEdge| {
                edge.path.nearest(p).distance < KEPT * width_of(edge.index)
            };
            let on_rim = outline.distance(p) < MEETING;
            (on_rim || outline.contains(p)) && !outline.edges().iter().any(near)
        });
    (is_inside && cut.area > 0.0)
        .then_some(cut)
        .ok_or(AllowanceFault::NoCutLine)
}

fn segments(row: &[Named]) -> Vec<PathSeg> {
    row.iter().map(|named| named.seg).collect()
}

/// The moved edges, each from where it meets the one before to where it meets the next.
fn raw(moved: &[(usize, Path)], run_on: f64) -> Result<Vec<Named>, AllowanceFault> {
    let count = moved.len();
    let mut corners: Vec<Option<(Path, Path, Location, Location)>> = Vec::with_capacity(count);
    for (at, (_, path)) in moved.iter().enumerate() {
        let next = moved.get((at + 1) % count).map(|(_, path)| path);
        corners.push(next.and_then(|next| corner(path, next, run_on)));
    }
    let mut row: Vec<Named> = Vec::new();
    for (at, (edge, path)) in moved.iter().enumerate() {
        let before = corners
            .get((at + count - 1) % count)
            .and_then(Option::as_ref);
        let after = corners.get(at).and_then(Option::as_ref);
        let start = before.map_or_else(|| path.start(), |met| Ok(met.1.point(met.3)))?;
        let end = after.map_or_else(|| path.end(), |met| Ok(met.0.point(met.2)))?;
        for seg in between(path, start, end, run_on)? {
            append(&mut row, *edge, seg);
        }
    }
    if let (Some(first), Some(last)) = (row.first().copied(), row.last().copied()) {
        let (from, to) = (end_of(&last.seg), start_of(&first.seg));
        if (to - from).hypot() > 1e-9 {
            let seg = PathSeg::Line(Line::new(from, to));
            row.push(Named {
                edge: last.edge,
                seg,
            });
        }
    }
    Ok(row)
}

/// Where an edge, run on, meets the next, run back: as near to where they end as can be.
fn corner(one: &Path, next: &Path, run_on: f64) -> Option<(Path, Path, Location, Location)> {
    let (a, b) = (one.end().ok()?, next.start().ok()?);
    if (a - b).hypot() < MEETING {
        return None;
    }
    let one = one.extended(End::End, run_on).ok()?;
    let next = next.extended(End::Start, run_on).ok()?;
    let middle = a.midpoint(b);
    let nearest = meetings(&one, &next).crossings.into_iter().min_by(|x, y| {
        (x.point - middle)
            .hypot()
            .total_cmp(&(y.point - middle).hypot())
    })?;
    Some((one, next, nearest.on_a, nearest.on_b))
}

/// The stretch of an edge, run on at both ends, between two points on it; backward where the second comes first, so that
/// what its neighbours swallow winds the wrong way and is cleared.
fn between(
    path: &Path,
    start: Point,
    end: Point,
    run_on: f64,
) -> Result<Vec<PathSeg>, AllowanceFault> {
    let long = path
        .extended(End::Start, run_on)?
        .extended(End::End, run_on)?;
    let place = |p: Point| long.nearest(p).location;
    let (from, to) = (place(start), place(end));
    let (s, e) = (long.length_to(from), long.length_to(to));
    if (s - e).abs() < MEETING {
        return Ok(vec![PathSeg::Line(Line::new(start, end))]);
    }
    if s < e {
        Ok(long.part(from, to)?.segs().to_vec())
    } else {
        Ok(long.part(to, from)?.reversed().segs().to_vec())
    }
}

fn start_of(seg: &PathSeg) -> Point {
    kurbo::ParamCurve::start(seg)
}

fn end_of(seg: &PathSeg) -> Point {
    kurbo::ParamCurve::end(seg)
}

/// Adds a segment where the last ended, bridging what gap there is.
fn append(row: &mut Vec<Named>, edge: usize, seg: PathSeg) {
    if seg.bounding_box().width() + seg.bounding_box().height() < 1e-9 {
        return;
    }
    if let Some(end) = row.last().map(|named| end_of(&named.seg))
        && (start_of(&seg) - end).hypot() > 1e-9
    {
        let bridge = PathSeg::Line(Line::new(end, start_of(&seg)));
        row.push(Named { edge, seg: bridge });
    }
    row.push(Named { edge, seg });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn polygon(points: &[(f64, f64)]) -> Outline {
        let point = |at: usize| {
            let (x, y) = points[at % points.len()];
            Point::new(x, y)
        };
        let edges: Vec<Path> = (0..points.len())
            .map(|at| Path::line(point(at), point(at + 1)).unwrap())
            .collect();
        Outline::new(&edges).unwrap()
    }

    #[test]
    fn a_rectangle_loses_twice_the_width_each_way_and_none_at_the_fold() {
        let outline = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)]);
        let found = inset(&outline, &[2.0; 4]).unwrap();
        assert!((found.area - 96.0 * 36.0).abs() < 1e-6, "{}", found.area);
        // The last edge on the fold.
        let found = inset(&outline, &[2.0, 2.0, 2.0, 0.0]).unwrap();
        assert!((found.area - 98.0 * 36.0).abs() < 1e-6, "{}", found.area);
        assert_eq!(found.edges.len(), 4);
    }

    /// A regular polygon's inner one has the apothem less the width: area scales with its square (closed form).
    #[test]
    fn a_hexagon_by_closed_form() {
        let corner = |n: usize| {
            let angle = (n as f64) * std::f64::consts::FRAC_PI_3;
            (100.0 * angle.cos(), 100.0 * angle.sin())
        };
        let points: Vec<(f64, f64)> = (0..6).map(corner).collect();
        let outline = polygon(&points);
        let apothem = 50.0 * 3f64.sqrt();
        let wanted = outline.area() * ((apothem - 3.0) / apothem).powi(2);
        let found = inset(&outline, &[3.0; 6]).unwrap();
        assert!(
            (found.area - wanted).abs() < 1e-6,
            "{} {wanted}",
            found.area
        );
    }

    #[test]
    fn an_inward_corner_and_an_edge_that_is_swallowed() {
        let corner = polygon(&[
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 60.0),
            (30.0, 60.0),
            (30.0, 30.0),
            (0.0, 30.0),
        ]);
        let found = inset(&corner, &[5.0; 6]).unwrap();
        // 50 by 20 and, above it, 20 by 30.
        assert!(
            (found.area - (50.0 * 20.0 + 20.0 * 30.0)).abs() < 1e-6,
            "{}",
            found.area
        );
        let clipped = polygon(&[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 99.0),
            (99.0, 100.0),
            (0.0, 100.0),
        ]);
        let found = inset(&clipped, &[10.0; 5]).unwrap();
        assert!((found.area - 80.0 * 80.0).abs() < 1.0, "{}", found.area);
    }

    #[test]
    fn nothing_is_left_of_what_is_too_narrow() {
        let strip = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 8.0), (0.0, 8.0)]);
        assert_eq!(inset(&strip, &[5.0; 4]), Err(AllowanceFault::NoCutLine));
        let small = polygon(&[(0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0)]);
        assert_eq!(inset(&small, &[5.0; 4]), Err(AllowanceFault::NoCutLine));
        assert!(matches!(
            inset(&small, &[-1.0; 4]),
            Err(AllowanceFault::Width { .. })
        ));
    }
}
