//! The single operations of the reference body, worked out by hand and by 48-point quadrature elsewhere.
//!
//! Source: `tests/data/reference_body_a.json`, `single_operations` (this project's own reference figures, y down the
//! sheet there, so y is negated here).

use crate::common::{chords, near, near_point, polygon};
use kurbo::Point;
use oaktag_geometry::allowance::{Corner, cut_outline};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::curves::{depth_for_fullness, fullness_for_depth, hollow, hollow_by_depth};
use oaktag_geometry::moves::{mouth, opening};
use oaktag_geometry::parallel::parallel;
use oaktag_geometry::swing::pivot_until_on;

fn figure(name: &str) -> f64 {
    let text = include_str!("../data/reference_body_a.json");
    let data: serde_json::Value = serde_json::from_str(text).unwrap();
    data["single_operations"][name]
        .as_f64()
        .unwrap_or_else(|| panic!("no figure {name:?}"))
}

fn hollow_of(fullness: f64) -> oaktag_geometry::path::Path {
    hollow(
        Point::new(0.0, 0.0),
        Point::new(0.0, -100.0),
        Point::new(60.0, -100.0),
        fullness,
    )
    .unwrap()
}

#[test]
fn the_hollow_curve_and_its_depth() {
    let (p, c, q) = (
        Point::new(0.0, 0.0),
        Point::new(0.0, -100.0),
        Point::new(60.0, -100.0),
    );
    let wanted = figure("hollow 100x60 k=0.6 depth");
    near(
        hollow_of(0.6).length().unwrap(),
        figure("hollow 100x60 k=0.6 length"),
        1e-9,
    );
    near(
        // Nearest to a quarter circle: 4(√2 - 1)/3.
        hollow_of(4.0 * (2f64.sqrt() - 1.0) / 3.0).length().unwrap(),
        figure("hollow 100x60 circle-like k=0.5523 length"),
        1e-9,
    );
    near(depth_for_fullness(p, c, q, 0.6), wanted, 1e-12);
    near(fullness_for_depth(p, c, q, wanted).unwrap(), 0.6, 1e-12);
    // Measured on the curve, from the corner toward the middle of the chord.
    near(
        hollow_by_depth(p, c, q, wanted)
            .unwrap()
            .nearest(c.lerp(p.midpoint(q), 0.55))
            .distance,
        {
            let on_it = c + (p.midpoint(q) - c) * (wanted / (p.midpoint(q) - c).hypot());
            let probe = c.lerp(p.midpoint(q), 0.55);
            hollow_of(0.6)
                .nearest(probe)
                .distance
                .min((on_it - probe).hypot())
        },
        1e-9,
    );
}

#[test]
fn the_hollow_curve_divided_by_length() {
    let (curve, length) = (hollow_of(0.6), hollow_of(0.6).length().unwrap());
    for n in 0..2 {
        let point = curve.point_at(length * f64::from(n + 1) / 3.0).unwrap();
        let x = figure(&format!(
            "that hollow curve in 3 equal parts, point {} x",
            n + 1
        ));
        let y = figure(&format!(
            "that hollow curve in 3 equal parts, point {} y",
            n + 1
        ));
        near_point(point, (x, -y), 1e-8);
    }
}

#[test]
fn its_parallels() {
    // Walking from (0, 0) down the paper, the corner lies to the right.
    for (name, side) in [("outside", -10.0), ("inside", 10.0)] {
        let wanted = figure(&format!("parallel 10 {name} that hollow curve, length"));
        for tolerance in [1e-1, 1e-2, 1e-3, 1e-4] {
            near(
                parallel(&hollow_of(0.6), side, tolerance)
                    .unwrap()
                    .length()
                    .unwrap(),
                wanted,
                tolerance,
            );
        }
    }
}

#[test]
fn the_angle_of_a_mouth() {
    for (mouth, deep, name) in [
        (24.0, 120.0, "dart cap: angle of dart (deg)"),
        (12.0, 180.0, "slash and spread: turn per cut (deg)"),
    ] {
        let angle = opening(mouth, Point::new(0.0, deep), Point::ORIGIN).unwrap();
        near(angle.degrees(), figure(name), 1e-9);
    }
}

#[test]
fn the_mitre_of_a_corner_of_70_degrees() {
    let (sin, cos) = 70f64.to_radians().sin_cos();
    let outline = polygon(&[(0.0, 0.0), (200.0, 0.0), (200.0 * cos, 200.0 * sin)]);
    let cut = cut_outline(&outline, &[10.0, 0.0, 15.0], &[Corner::Mitred; 3]).unwrap();
    let wanted = figure("mitre length, corner 70 deg, allowances 10 and 15");
    let tip = chords(cut.segments(), 0.1)
        .into_iter()
        .map(|p| p.to_vec2().hypot())
        .filter(|d| *d < 50.0)
        .fold(0.0, f64::max);
    near(tip, wanted, 1e-9);
}

#[test]
fn a_hem_turned_back_on_a_leaning_side() {
    // The side leans 8° and the hem is 30 deep: the raw corner moves 2·d·tan φ from the straight run-on.
    let lean = 8f64.to_radians().tan();
    let outline = polygon(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0 - 300.0 * lean, 300.0),
        (0.0, 300.0),
    ]);
    let cut = cut_outline(
        &outline,
        &[30.0, 0.0, 0.0, 0.0],
        &[
            Corner::TurnedBack { hem: 0 },
            Corner::Mitred,
            Corner::Mitred,
            Corner::TurnedBack { hem: 0 },
        ],
    )
    .unwrap();
    let corner = chords(cut.segments(), 0.1)
        .into_iter()
        .filter(|p| p.y < -29.9)
        .map(|p| p.x)
        .fold(0.0, f64::max);
    let run_on = 200.0 + 30.0 * lean;
    near(
        run_on - corner,
        figure("folded-back hem: offset of raw corner, 8 deg, 30 deep"),
        1e-9,
    );
}

#[test]
fn turns() {
    near(
        mouth(Angle::from_degrees(12.0), 150.0),
        figure("dart of 12 deg, opening at 150 from the apex"),
        1e-9,
    );
    let floor =
        oaktag_geometry::path::Path::endless(Point::new(0.0, -120.0), kurbo::Vec2::new(1.0, 0.0))
            .unwrap();
    let end = Point::new(180.0, 0.0);
    let wanted = figure("pivot 180 until it touches y=120: x");
    let on = pivot_until_on(end, Point::ORIGIN, &floor).unwrap();
    near(on[0].1.point.x, wanted, 1e-9);
    assert!(on[0].0.degrees() > 0.0, "down from the right is clockwise");
}
