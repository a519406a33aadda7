//! Properties that hold of any shape: rigid moves, parallels there and back, placement on the paper, allowances.

use crate::common::{Chance, bodice, near, tightest};
use kurbo::{Affine, CubicBez, Point, Vec2};
use oaktag_geometry::allowance::{Corner, cut_outline};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::moves::{mirror, pivot};
use oaktag_geometry::outline::Outline;
use oaktag_geometry::parallel::parallel;
use oaktag_geometry::path::Path;
use oaktag_geometry::swing::swing;
use proptest::prelude::*;

fn point() -> impl Strategy<Value = Point> {
    (-300.0..300.0f64, -300.0..300.0f64).prop_map(Point::from)
}

fn curve() -> impl Strategy<Value = Path> {
    [point(), point(), point(), point()].prop_filter_map("has a length", |[a, b, c, d]| {
        Path::cubic(CubicBez::new(a, b, c, d)).ok()
    })
}

/// A turn and a shift of up to ten metres.
fn placement() -> impl Strategy<Value = Affine> {
    (
        -180.0..180.0f64,
        -10_000.0..10_000.0f64,
        -10_000.0..10_000.0f64,
    )
        .prop_map(|(turn, x, y)| {
            Affine::translate((x, y)) * pivot(Point::ORIGIN, Angle::from_degrees(turn))
        })
}

const FAR: f64 = 1e-6;

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn moving_the_drawing_changes_no_length_place_or_area(path in curve(), by in placement(), share in 0.0..1.0f64, p in point()) {
        let moved = path.transformed(by);
        let measured = Path::from_segs(moved.segs().to_vec()).unwrap();
        prop_assert!((measured.length().unwrap() - path.length().unwrap()).abs() <= FAR);
        let at = path.point(path.location_at_share(share).unwrap());
        let there = measured.point(measured.location_at_share(share).unwrap());
        prop_assert!((by * at - there).hypot() <= FAR);
        prop_assert!((path.nearest(p).distance - measured.nearest(by * p).distance).abs() <= FAR);
        let area = |path: &Path| Outline::new(&[path.clone(), Path::line(path.end()?, path.start()?)?]).map(|outline| outline.area());
        if let (Ok(before), Ok(after)) = (area(&path), area(&measured)) {
            prop_assert!((before - after).abs() <= FAR * 10.0);
        }
    }

    #[test]
    fn moving_the_drawing_changes_no_meeting(a in curve(), b in curve(), by in placement()) {
        let here = meetings(&a, &b);
        let there = meetings(&a.transformed(by), &b.transformed(by));
        prop_assert_eq!(here.crossings.len(), there.crossings.len());
        for (m, n) in here.crossings.iter().zip(&there.crossings) {
            let angle = a.tangent_at(m.on_a).cross(b.tangent_at(m.on_b)).abs();
            prop_assert!((by * m.point - n.point).hypot() <= FAR / angle.max(1e-3));
        }
    }

    #[test]
    fn a_path_mirrored_or_turned_twice_is_itself(path in curve(), p in point(), q in point(), turn in -180.0..180.0f64) {
        prop_assume!((q - p).hypot() > 1.0);
        let over = mirror(&Path::line(p, q).unwrap()).unwrap();
        let back = path.transformed(over).transformed(over);
        prop_assert!((back.end().unwrap() - path.end().unwrap()).hypot() <= 1e-9);
        let turned = path.transformed(pivot(p, Angle::from_degrees(turn))).transformed(pivot(p, Angle::from_degrees(-turn)));
        prop_assert!((turned.end().unwrap() - path.end().unwrap()).hypot() <= 1e-9);
        prop_assert!((path.reversed().length().unwrap() - path.length().unwrap()).abs() <= 1e-9);
    }

    #[test]
    fn parts_add_up(path in curve(), cuts in prop::collection::vec(0.01..0.99f64, 1..5)) {
        let length = path.length().unwrap();
        let mut at: Vec<f64> = cuts.iter().map(|c| c * length).collect();
        at.sort_by(f64::total_cmp);
        prop_assume!(at.windows(2).all(|w| w[1] - w[0] > 0.01) && at[0] > 0.01);
        let parts = path.split_at(&at).unwrap();
        let sum: f64 = parts.iter().map(|part| part.length().unwrap()).sum();
        prop_assert!((sum - length).abs() <= 1e-7);
        prop_assert!((parts[0].length().unwrap() - at[0]).abs() <= 1e-7);
    }

    #[test]
    fn a_swung_length_is_that_length(path in curve(), from in point(), share in 0.0..1.0f64) {
        // A length known to reach: to some place of the path.
        let target = path.point(path.location_at_share(share).unwrap());
        let length = (target - from).hypot();
        prop_assume!(length > 1.0);
        let found = swing(length, from, &path).unwrap();
        prop_assert!(found.iter().any(|s| (s.point - target).hypot() <= 0.01) || found.iter().all(|s| ((s.point - from).hypot() - length).abs() < 2e-3));
        for s in &found {
            prop_assert!(((s.point - from).hypot() - length).abs() <= 1.1e-3);
        }
    }
}

#[test]
fn a_parallel_there_and_back_returns() {
    let mut chance = Chance::seeded(21);
    let mut tried = 0;
    while tried < 400 {
        let path = Path::cubic(chance.gentle()).unwrap();
        let distance = chance.between(-30.0, 30.0);
        if tightest(&path).unwrap().radius() < 2.0 * distance.abs() {
            continue;
        }
        tried += 1;
        let back = parallel(&parallel(&path, distance, 1e-3).unwrap(), -distance, 1e-3).unwrap();
        near(
            (back.start().unwrap() - path.start().unwrap()).hypot(),
            0.0,
            1e-6,
        );
        for n in 0..=20 {
            let p = back.point(back.location_at_share(f64::from(n) / 20.0).unwrap());
            near(path.nearest(p).distance, 0.0, 3e-3);
        }
    }
}

#[test]
fn away_from_corners_the_cut_line_lies_its_width_from_the_sewing_line() {
    let outline = Outline::new(&bodice()).unwrap();
    let widths = [30.0, 10.0, 10.0, 16.0, 6.0, 0.0];
    let cut = cut_outline(&outline, &widths, &[Corner::Mitred; 6]).unwrap();
    for edge in outline.edges() {
        let (length, width) = (edge.path.length().unwrap(), widths[edge.index]);
        for n in 0..=100 {
            let along = length * f64::from(n) / 100.0;
            // Away from corners: farther along the edge than any width at either end.
            if along < 45.0 || length - along < 45.0 {
                continue;
            }
            let at = edge.path.location_at(along).unwrap();
            let out = edge.path.point(at) - edge.path.normal_at(at) * width;
            let nearest = cut
                .edges
                .iter()
                .filter(|e| e.edge == edge.index)
                .map(|e| e.path.nearest(out).distance);
            near(nearest.fold(f64::INFINITY, f64::min), 0.0, 0.01);
        }
    }
}

#[test]
fn placing_a_piece_elsewhere_moves_its_cut_line_along() {
    let widths = [30.0, 10.0, 10.0, 16.0, 6.0, 0.0];
    let mut corners = [Corner::Mitred; 6];
    corners[0] = Corner::TurnedBack { hem: 0 };
    corners[2] = Corner::Squared { first: 3 };
    let here = cut_outline(&Outline::new(&bodice()).unwrap(), &widths, &corners).unwrap();
    for (turn, shift) in [
        (0.0, Vec2::new(10_000.0, -10_000.0)),
        (37.0, Vec2::ZERO),
        (-122.0, Vec2::new(-9_000.0, 4.0)),
    ] {
        let by = Affine::translate(shift) * pivot(Point::ORIGIN, Angle::from_degrees(turn));
        let moved: Vec<Path> = bodice().iter().map(|edge| edge.transformed(by)).collect();
        let there = cut_outline(&Outline::new(&moved).unwrap(), &widths, &corners).unwrap();
        assert_eq!(here.edges.len(), there.edges.len());
        for (a, b) in here.edges.iter().zip(&there.edges) {
            assert_eq!(a.edge, b.edge);
            near(
                (by * a.path.end().unwrap() - b.path.end().unwrap()).hypot(),
                0.0,
                1e-6,
            );
            near(a.path.length().unwrap(), b.path.length().unwrap(), 1e-6);
        }
    }
}
