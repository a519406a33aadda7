//! Measuring against results that mathematics gives in closed form.

use crate::common::{arc, cubic, line, near, near_point, tightest};
use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, PathSeg, Point, QuadBez, Vec2};
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::{Path, PathFault};
use std::f64::consts::{FRAC_PI_2, PI};

const TOLERANCES: [f64; 7] = [1.0, 1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6];

/// Complete elliptic integrals of the second kind E(m), m = k²: Abramowitz and Stegun, *Handbook of Mathematical
/// Functions*, table 17.1 (from memory; the next test works them out again by the arithmetic-geometric mean).
const E_OF_M: [(f64, f64); 10] = [
    (0.0, FRAC_PI_2),
    (0.1, 1.530_757_636_897_763),
    (0.2, 1.489_035_058_095_853),
    (0.3, 1.445_363_064_412_665),
    (0.4, 1.399_392_138_897_432),
    (0.5, 1.350_643_881_047_676),
    (0.6, 1.298_428_035_046_913),
    (0.7, 1.241_670_567_945_823),
    (0.8, 1.178_489_924_327_839),
    (0.9, 1.104_774_732_704_073),
];

#[test]
fn the_table_of_elliptic_integrals_agrees_with_the_arithmetic_geometric_mean() {
    for (m, wanted) in E_OF_M {
        let (mut a, mut b, mut c) = (1.0_f64, (1.0 - m).sqrt(), m.sqrt());
        let (mut sum, mut power) = (c * c / 2.0, 1.0);
        while c.abs() > 1e-16 {
            let next = ((a + b) / 2.0, (a * b).sqrt());
            c = (a - b) / 2.0;
            (a, b) = next;
            sum += power * c * c;
            power *= 2.0;
        }
        near(PI / (2.0 * a) * (1.0 - sum), wanted, 1e-14);
    }
}

#[test]
fn a_quarter_ellipse_is_as_long_as_its_elliptic_integral() {
    for (m, e) in E_OF_M {
        let (a, b) = (250.0, 250.0 * (1.0 - m).sqrt());
        for tolerance in TOLERANCES {
            // An arc of cubics that stays within a thousandth of the tolerance of the ellipse.
            let bez = kurbo::Shape::to_path(
                &kurbo::Arc::new((0.0, 0.0), (a, b), 0.0, FRAC_PI_2, 0.0),
                (tolerance * 1e-3).max(1e-10),
            );
            let path = Path::from_segs(bez.segments().collect()).unwrap();
            near(path.length().unwrap(), a * e, tolerance);
        }
    }
}

#[test]
fn an_arc_is_divided_by_its_angle() {
    for tolerance in TOLERANCES {
        let path = arc((40.0, -30.0), 180.0, 0.3, 2.0, tolerance * 1e-4);
        near(path.length().unwrap(), 360.0, tolerance);
        for n in 1..8 {
            let turn = 0.3 + 2.0 * f64::from(n) / 8.0;
            let point = path.point_at(45.0 * f64::from(n)).unwrap();
            near_point(
                point,
                (40.0 + 180.0 * turn.cos(), -30.0 + 180.0 * turn.sin()),
                tolerance,
            );
            let at = path.location_at(45.0 * f64::from(n)).unwrap();
            let square = path.tangent_at(at).dot(Vec2::from_angle(turn));
            near(square, 0.0, (tolerance * 0.01).max(1e-6));
            near_point(
                Point::ORIGIN + path.normal_at(at),
                (-turn.cos(), -turn.sin()),
                (tolerance * 0.01).max(1e-6),
            );
        }
    }
}

/// The parabola y = x²/(4f): s(x) = x/2·√(1 + x²/4f²) + f·asinh(x/2f).
fn parabola_length(f: f64, x: f64) -> f64 {
    let u = x / (2.0 * f);
    f * (u * (1.0 + u * u).sqrt() + u.asinh())
}

#[test]
fn a_parabola_has_its_closed_length_and_divides_by_it() {
    let (f, end) = (60.0, 240.0);
    let quad = QuadBez::new((0.0, 0.0), (end / 2.0, 0.0), (end, end * end / (4.0 * f)));
    let seg = PathSeg::Quad(quad);
    let total = parabola_length(f, end);
    let path = Path::from_segs(vec![seg]).unwrap();
    near(path.length().unwrap(), total, 1e-9);
    for x in [1e-3, 10.0, 77.0, 120.0, 200.0, 239.0] {
        let t = path.location_at(parabola_length(f, x)).unwrap().t;
        near(parabola_length(f, end * t), parabola_length(f, x), 1e-8);
    }
    near_point(
        path.point_at(parabola_length(f, 100.0)).unwrap(),
        (100.0, 100.0 * 100.0 / 240.0),
        1e-8,
    );
}

#[test]
fn straight_and_degenerate_cubics_measure_as_the_lines_they_are() {
    let chord = 130.0_f64;
    let (p, q) = (Point::new(0.0, 0.0), Point::new(50.0, 120.0));
    let at = |s: f64| p.lerp(q, s);
    let cases = [
        CubicBez::new(p, at(1.0 / 3.0), at(2.0 / 3.0), q),
        CubicBez::new(p, p, q, q),
        CubicBez::new(p, p, at(0.2), q),
        CubicBez::new(p, at(0.9), q, q),
        CubicBez::new(p, at(0.05), at(0.1), q),
    ];
    for c in cases {
        let path = Path::cubic(c).unwrap();
        assert!(path.is_straight());
        near(path.length().unwrap(), chord, 1e-8);
        for wanted in [0.01, 1.0, 40.0, 65.0, 129.99] {
            let t = path.location_at(wanted).unwrap().t;
            near(c.eval(t).distance(p), wanted, 1e-8);
        }
        near_point(
            Point::ORIGIN + path.start_tangent(),
            (5.0 / 13.0, 12.0 / 13.0),
            1e-12,
        );
        near_point(
            Point::ORIGIN + path.end_tangent(),
            (5.0 / 13.0, 12.0 / 13.0),
            1e-12,
        );
        near_point(path.point_at(65.0).unwrap(), (25.0, 60.0), 1e-8);
    }
    // A line that folds back on itself: out to the extreme and home again.
    let folded = CubicBez::new((0.0, 0.0), (300.0, 0.0), (-200.0, 0.0), (100.0, 0.0));
    let d = |t: f64| folded.eval(t).x;
    // x'(t) = 900 - 4800t + 4800t²: zero at t = 1/4 and 3/4.
    let folded = Path::cubic(folded).unwrap();
    near(
        folded.length().unwrap(),
        d(0.25) + (d(0.25) - d(0.75)) + (100.0 - d(0.75)),
        1e-6,
    );
    assert!(!folded.is_straight());
}

#[test]
fn a_cusp_is_as_long_as_its_two_halves() {
    // Semicubical parabola (t², t³) from t = -1 to 1 scaled by 27: each half is 13√13 - 8 long (Neile).
    // (27(2u-1)², 27(2u-1)³) in Bernstein form.
    let cusp = CubicBez::new((27.0, -27.0), (-9.0, 27.0), (-9.0, -27.0), (27.0, 27.0));
    near_point(cusp.eval(0.25), (27.0 * 0.25, -27.0 * 0.125), 1e-12);
    let wanted = 2.0 * (13.0 * 13.0_f64.sqrt() - 8.0);
    let path = Path::cubic(cusp).unwrap();
    near(path.length().unwrap(), wanted, 1e-6);
    near_point(path.point_at(wanted / 2.0).unwrap(), (0.0, 0.0), 1e-6);
    assert!(tightest(&path).unwrap().radius() < 1e-6);
}

#[test]
fn areas_and_boxes_are_exact() {
    let circle = arc((1000.0, 2000.0), 150.0, 0.0, 2.0 * PI, 1e-9);
    for (path, clockwise) in [(circle.clone(), false), (circle.reversed(), true)] {
        let outline = Outline::new(&[path]).unwrap();
        near(outline.area(), PI * 150.0 * 150.0, 1e-4);
        assert_eq!(outline.was_clockwise(), clockwise);
    }
    let bounds = circle.bounds().unwrap();
    near(bounds.x0, 850.0, 1e-6);
    near(bounds.y1, 2150.0, 1e-6);
    // Under the parabola y = x² (scaled): a third of the box, by Archimedes two thirds above it.
    let quad = PathSeg::Quad(QuadBez::new((0.0, 0.0), (50.0, 0.0), (100.0, 100.0)));
    let up = PathSeg::Line(kurbo::Line::new((100.0, 100.0), (0.0, 0.0)));
    let segment = Path::from_segs(vec![quad, up]).unwrap();
    near(
        Outline::new(&[segment]).unwrap().area(),
        100.0 * 100.0 * (0.5 - 1.0 / 3.0),
        1e-9,
    );
}

#[test]
fn the_tightest_place_of_a_parabola_is_its_vertex() {
    // y = x²/(4f) has its smallest radius 2f at the vertex.
    let f = 60.0;
    let quad = QuadBez::new(
        (-100.0, 10_000.0 / (4.0 * f)),
        (0.0, -10_000.0 / (4.0 * f)),
        (100.0, 10_000.0 / (4.0 * f)),
    );
    let path = Path::from_segs(vec![PathSeg::Quad(quad)]).unwrap();
    let bend = tightest(&path).unwrap();
    near(bend.radius(), 2.0 * f, 1e-9);
    near_point(bend.point, (0.0, 0.0), 1e-7);
    assert!(bend.curvature > 0.0, "it bends to its left");
    assert!(path.tightest_toward(false).is_none());
}

#[test]
fn the_nearest_place_on_a_circle_is_on_its_radius() {
    let path = arc((0.0, 0.0), 100.0, -1.0, 2.0, 1e-9);
    for (angle, radius) in [
        (0.0, 160.0),
        (0.5, 20.0),
        (-0.7, 99.9),
        (0.3, 100.0),
        (0.9, 500.0),
    ] {
        let near_place = path.nearest(Point::ORIGIN + Vec2::from_angle(angle) * radius);
        near(near_place.distance, (radius - 100.0).abs(), 1e-7);
        near(
            path.length_to(near_place.location),
            100.0 * (angle + 1.0),
            1e-4,
        );
    }
    near(
        path.nearest(Point::new(-50.0, 0.0)).distance,
        Vec2::new(50.0 + 100.0 * 1f64.cos(), 100.0 * 1f64.sin()).hypot(),
        1e-9,
    );
}

#[test]
fn lengths_split_and_add_up() {
    let path = Path::joined(&[
        line((0.0, 0.0), (30.0, 0.0)),
        cubic((30.0, 0.0), (60.0, 0.0), (80.0, 20.0), (80.0, 60.0)),
        line((80.0, 60.0), (80.0, 100.0)),
    ])
    .unwrap();
    let length = path.length().unwrap();
    let cuts = [10.0, 30.0, 47.11, 100.0];
    let parts = path.split_at(&cuts).unwrap();
    let lengths: Vec<f64> = parts.iter().map(|part| part.length().unwrap()).collect();
    near(lengths.iter().sum::<f64>(), length, 1e-8);
    near(lengths[1], 20.0, 1e-8);
    near(lengths[2], 17.11, 1e-8);
    for (part, next) in parts.iter().zip(&parts[1..]) {
        assert_eq!(part.end().unwrap(), next.start().unwrap());
    }
    near_point(
        path.point_at(length * 2.0 / 3.0).unwrap(),
        (path.reversed().point_at(length / 3.0).unwrap()).into(),
        1e-8,
    );
}

#[test]
fn what_has_no_length_and_what_lies_beyond_is_said_with_figures() {
    let path = line((0.0, 0.0), (100.0, 0.0));
    assert_eq!(
        path.point_at(104.0),
        Err(PathFault::PastTheEnd {
            wanted: 104.0,
            length: 100.0
        })
    );
    assert_eq!(
        path.point_at(-4.0),
        Err(PathFault::BeforeTheStart { wanted: -4.0 })
    );
    assert!(path.point_at(f64::NAN).is_err());
    near_point(path.point_at(100.0009).unwrap(), (100.0, 0.0), 0.0);
    let endless = Path::endless(Point::ORIGIN, Vec2::new(2.0, 0.0)).unwrap();
    assert_eq!(endless.length(), Err(PathFault::Endless));
    assert_eq!(endless.start(), Err(PathFault::Endless));
    assert!(endless.is_straight());
    assert!(matches!(
        Path::line(Point::ORIGIN, Point::new(0.0, 5e-4)),
        Err(PathFault::NoLength { .. })
    ));
    assert_eq!(
        Path::line(Point::ORIGIN, Point::new(f64::NAN, 0.0)),
        Err(PathFault::OffThePaper)
    );
    let gap = Path::joined(&[path.clone(), line((100.0, 2.0), (100.0, 50.0))]);
    assert!(matches!(gap, Err(PathFault::Gap { after: 0, gap, .. }) if gap == 2.0));
    let kurbo_says = CubicBez::new((0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 0.0)).arclen(1e-9);
    near(kurbo_says, 3.0, 1e-9);
}
