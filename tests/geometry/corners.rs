//! Each treatment of a corner against its formula, at 40°, 90°, 140° and an inward corner of 220°.
//!
//! The formulas are the trade's definitions (common practice): mitre V + [(a - b·c)n₁ + (b - a·c)n₂] / (1 - c²);
//! squared: the first-sewn line run on to the second's cut line, cut square there; turned back: the side's cut line
//! mirrored in the fold; stepped: both widths to the stated point, the jump square to the edge.

use crate::common::{chords, near, near_point, polygon};
use kurbo::{Point, Vec2};
use oaktag_geometry::allowance::{AllowanceFault, Corner, CutOutline, MITRE_LIMIT, cut_outline};
use oaktag_geometry::outline::Outline;

/// A piece with a corner of so many degrees at the origin: edge 0 arrives along +x, edge 1 leaves from it.
fn piece(degrees: f64) -> Outline {
    let away = Vec2::from_angle((180.0 - degrees).to_radians()) * 400.0;
    let (far, back) = (Point::ORIGIN + away, Point::new(-400.0, 0.0));
    if degrees > 180.0 {
        let close = Point::new(-400.0, 600.0);
        let side = Point::new(far.x, 600.0);
        let points = [
            (0.0, 0.0),
            far.into(),
            side.into(),
            close.into(),
            back.into(),
        ];
        let listed: Vec<(f64, f64)> = std::iter::once(points[4])
            .chain(points[..4].iter().copied())
            .collect();
        return polygon(&listed);
    }
    polygon(&[back.into(), (0.0, 0.0), far.into()])
}

fn normals(degrees: f64) -> (Vec2, Vec2) {
    let turn = (180.0 - degrees).to_radians();
    (Vec2::new(0.0, -1.0), Vec2::new(turn.sin(), -turn.cos()))
}

fn cut(degrees: f64, a: f64, b: f64, corner: Corner) -> CutOutline {
    let outline = piece(degrees);
    let count = outline.edges().len();
    let mut widths = vec![0.0; count];
    let mut corners = vec![Corner::Mitred; count];
    (widths[0], widths[1], corners[0]) = (a, b, corner);
    let cut = cut_outline(&outline, &widths, &corners).unwrap();
    assert!(
        cut.curved && cut.holes.is_empty(),
        "{degrees} {a} {b} {corner:?} {cut:#?}"
    );
    cut
}

/// Whether the cut line turns at a point.
#[track_caller]
fn has_corner(cut: &CutOutline, at: Point) {
    has_corner_within(cut, at, 1e-6);
}

fn has_corner_within(cut: &CutOutline, at: Point, tolerance: f64) {
    let points = chords(cut.segments(), 0.01);
    let nearest = points
        .iter()
        .map(|p| p.distance(at))
        .fold(f64::INFINITY, f64::min);
    assert!(
        nearest < tolerance,
        "no corner at {at:?} (nearest {nearest}): {points:?}"
    );
}

fn mitre(degrees: f64, a: f64, b: f64) -> Point {
    let (n1, n2) = normals(degrees);
    let c = n1.dot(n2);
    Point::ORIGIN + (n1 * (a - b * c) + n2 * (b - a * c)) / (1.0 - c * c)
}

#[test]
fn mitred() {
    for degrees in [90.0, 140.0, 220.0, 60.0] {
        for (a, b) in [(10.0, 10.0), (10.0, 15.0), (15.0, 10.0), (20.0, 12.0)] {
            has_corner(&cut(degrees, a, b, Corner::Mitred), mitre(degrees, a, b));
        }
    }
    // At 40° equal widths run out to 1/sin 20° = 2.92 of them, beyond the limit: cut off square at 2.5.
    let blunt = cut(40.0, 10.0, 10.0, Corner::Mitred);
    let tip = mitre(40.0, 10.0, 10.0) - Point::ORIGIN;
    near(tip.hypot(), 10.0 / 20f64.to_radians().sin(), 1e-9);
    let way = tip / tip.hypot();
    let farthest: Vec<f64> = chords(blunt.segments(), 0.01)
        .iter()
        .map(|p| p.to_vec2().dot(way))
        .collect();
    near(
        farthest.iter().copied().fold(0.0, f64::max),
        MITRE_LIMIT * 10.0,
        1e-9,
    );
    assert_eq!(
        farthest
            .iter()
            .filter(|d| (**d - 25.0).abs() < 1e-9)
            .count(),
        2
    );
    // With a narrower second width it stays inside the limit.
    has_corner(
        &cut(40.0, 10.0, 4.0, Corner::Mitred),
        mitre(40.0, 10.0, 4.0),
    );
}

#[test]
fn squared_to_the_seam_sewn_first() {
    for degrees in [40.0, 90.0, 140.0] {
        let turn = (180.0f64 - degrees).to_radians();
        for (a, b) in [(10.0, 10.0), (12.0, 8.0)] {
            // Edge 0 first: its line, run on along +x, reaches the cut line of edge 1 at b / sin of the turn.
            let end = Point::new(b / turn.sin(), 0.0);
            let made = cut(degrees, a, b, Corner::Squared { first: 0 });
            has_corner(&made, end + Vec2::new(0.0, -a));
            if degrees > 90.0 {
                near(normals(degrees).1.dot(end.to_vec2()), b, 1e-9);
            } else {
                has_corner(&made, end);
            }
            // Edge 1 first: the same, mirrored.
            let along = Vec2::from_angle(turn);
            let end = Point::ORIGIN - along * (a / turn.sin());
            let made = cut(degrees, a, b, Corner::Squared { first: 1 });
            has_corner(&made, end + normals(degrees).1 * b);
        }
    }
    // An inward corner has nothing to square: it is cut back to the mitre.
    has_corner(
        &cut(220.0, 10.0, 10.0, Corner::Squared { first: 0 }),
        mitre(220.0, 10.0, 10.0),
    );
}

#[test]
fn turned_back_in_the_fold_of_a_hem() {
    // Edge 0 is the fold, the hem d deep; edge 1 the side with its allowance.
    for degrees in [40.0, 90.0, 140.0f64] {
        for (d, b) in [(30.0, 10.0), (20.0, 0.0), (8.0, 15.0)] {
            let (_, n2) = normals(degrees);
            let along = Vec2::from_angle((180.0 - degrees).to_radians());
            // The side's cut line meets the fold (y = 0) and, mirrored, the hem's cut line (y = -d).
            let foot = Point::ORIGIN + n2 * b;
            let at = |y: f64| foot + along * ((y - foot.y) / along.y);
            let made = cut(degrees, d, b, Corner::TurnedBack { hem: 0 });
            has_corner(&made, at(0.0));
            let raw = at(d);
            has_corner(&made, Point::new(raw.x, -d));
            // Measured as the trade does: from the straight run-on by 2·d·tan φ, φ the lean of the side.
            let run_on = at(-d);
            near(
                raw.x - run_on.x,
                -2.0 * d * (90.0 - degrees).to_radians().tan(),
                1e-9,
            );
        }
    }
    let made = cut(220.0, 10.0, 8.0, Corner::TurnedBack { hem: 0 });
    assert!(made.area > piece(220.0).area());
}

#[test]
fn stepped() {
    for degrees in [40.0, 90.0, 140.0, 220.0] {
        let (_, n2) = normals(degrees);
        let along = Vec2::from_angle((180.0f64 - degrees).to_radians());
        // Edge 0's width runs on along edge 1 for 120 mm, then jumps square to it.
        let made = cut(degrees, 12.0, 20.0, Corner::Stepped { edge: 1, at: 120.0 });
        let at = Point::ORIGIN + along * 120.0;
        has_corner(&made, at + n2 * 12.0);
        has_corner(&made, at + n2 * 20.0);
        // And the other way: edge 1's width runs back on edge 0.
        let made = cut(degrees, 12.0, 20.0, Corner::Stepped { edge: 0, at: 90.0 });
        has_corner(&made, Point::new(-90.0, -12.0));
        has_corner(&made, Point::new(-90.0, -20.0));
    }
    let made = cut(90.0, 12.0, 20.0, Corner::Stepped { edge: 1, at: 0.0 });
    has_corner(&made, Point::new(12.0, 0.0));
    has_corner(&made, Point::new(20.0, 0.0));
    has_corner(&made, Point::new(12.0, -12.0));
}

#[test]
fn nearly_straight_corners_stay_near_their_edges() {
    for degrees in [179.0, 181.0, 179.99, 180.01] {
        let made = cut(degrees, 10.0, 10.0, Corner::Mitred);
        // A piece of a tenth of a thousandth may be left out there.
        has_corner_within(&made, mitre(degrees, 10.0, 10.0), 1e-3);
        // Unlike widths: a step, not a spike running along the edge.
        let made = cut(degrees, 10.0, 30.0, Corner::Mitred);
        for p in chords(made.segments(), 0.01) {
            let deepest = if p.x < -1.0 { -10.0 } else { -30.0 };
            assert!(p.x > 300.0 || p.y > deepest - 0.1, "{p:?}");
        }
        has_corner(&made, Point::new(0.0, -10.0));
    }
}

#[test]
fn edges_keep_their_names_whichever_way_they_are_listed() {
    let points = [(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)];
    let ccw = polygon(&points);
    let made = cut_outline(&ccw, &[5.0, 10.0, 15.0, 20.0], &[Corner::Mitred; 4]).unwrap();
    let longest = |cut: &CutOutline, edge: usize| {
        let own = cut.edges.iter().filter(|e| e.edge == edge);
        own.map(|e| e.path.length().unwrap()).fold(0.0, f64::max)
    };
    near(longest(&made, 0), 130.0, 1e-9);
    near(longest(&made, 1), 100.0, 1e-9);
    let turned: Vec<(f64, f64)> = points.iter().rev().copied().collect();
    let cw = polygon(&turned);
    assert!(cw.was_clockwise());
    // Edge 0 is now the top (100,80)-(0,80) reversed: (0,80)→(100,80), then the right side down, and so on.
    let made = cut_outline(&cw, &[15.0, 10.0, 5.0, 20.0], &[Corner::Mitred; 4]).unwrap();
    near(made.area, 130.0 * 100.0, 1e-9);
    near(longest(&made, 0), 130.0, 1e-9);
    near(longest(&made, 3), 100.0, 1e-9);
    let corner = Corner::Squared { first: 2 };
    let wrong = cut_outline(
        &cw,
        &[1.0; 4],
        &[corner, Corner::Mitred, Corner::Mitred, Corner::Mitred],
    );
    assert_eq!(
        wrong,
        Err(AllowanceFault::NotAtCorner { corner: 0, edge: 2 })
    );
    let beyond = Corner::Stepped { edge: 0, at: 101.0 };
    let wrong = cut_outline(
        &cw,
        &[1.0; 4],
        &[beyond, Corner::Mitred, Corner::Mitred, Corner::Mitred],
    );
    assert!(
        matches!(wrong, Err(AllowanceFault::StepBeyond { edge: 0, .. })),
        "{wrong:?}"
    );
    assert!(matches!(
        cut_outline(&cw, &[-1.0; 4], &[Corner::Mitred; 4]),
        Err(AllowanceFault::Width { .. })
    ));
    near_point(
        made.edges[0].path.start().unwrap(),
        made.edges[0].path.start().unwrap().into(),
        0.0,
    );
}
