//! Loops and points of a cubic against where mathematics says that they lie.

use crate::common::{Chance, near, near_point};
use kurbo::{Affine, CubicBez, ParamCurve, ParamCurveArclen, ParamCurveNearest, Point, Vec2};
use oaktag_geometry::curves::{Handle, sweep};
use oaktag_geometry::turning::{TurnsBack, turns_back};

/// The sweep between two points a chord apart that leaves at an angle above it and arrives at the same below it.
fn arch(chord: f64, degrees: f64, handle: f64) -> CubicBez {
    let way = Vec2::from_angle(degrees.to_radians());
    let (p, q) = (Point::new(30.0, -20.0), Point::new(30.0 + chord, -20.0));
    let out = Handle::Length(handle);
    let path = sweep(p, way, q, Vec2::new(way.x, -way.y), out, out).unwrap();
    path.segs()[0].to_cubic()
}

/// With ends -a and a and handles that reach b along the chord, x = (t - s)·(a - (a + 3b)·ts) where s = 1 - t: it is nothing
/// beside t = s only where ts = a / (a + 3b), which is at most 1/4 if b ≥ 2a from the end. So it loops just where a handle
/// reaches past the other end.
#[test]
fn an_arch_loops_as_soon_as_a_handle_reaches_past_the_other_end() {
    let mut chance = Chance::seeded(11);
    for _ in 0..2_000 {
        let (chord, angle) = (chance.between(20.0, 400.0), chance.between(10.0, 80.0));
        let cusp = chord / angle.to_radians().cos();
        let share = chance.between(0.3, 2.0);
        let found = turns_back(&arch(chord, angle, share * cusp));
        // At the top its speed is 3/2·(a - b) along the chord, and 6·h·sin across is what is added to it.
        let (apart, rise) = (
            chord * (1.0 - share),
            share * chord * angle.to_radians().tan(),
        );
        let radius = 2.25 * apart * apart / (6.0 * rise);
        if share < 1.0 {
            let is_point = matches!(found, Some(TurnsBack::Point { .. }));
            let reaches = 3.0 * apart / (6.0 * rise) < 0.5;
            assert_eq!(
                is_point,
                radius <= 0.25 && reaches,
                "{chord} {angle} {share}: {found:?}"
            );
            assert!(
                is_point || found.is_none(),
                "{chord} {angle} {share}: {found:?}"
            );
        }
        if share > 1.0 {
            let curve = arch(chord, angle, share * cusp);
            let Some(TurnsBack::Loop { at, along, long }) = found else {
                // Too small to be told from a point.
                assert!(share < 1.001, "{chord} {angle} {share}: {found:?}");
                continue;
            };
            near(at.x, 30.0 + chord / 2.0, 1e-6);
            near(2.0 * along + long, curve.arclen(1e-9), 1e-6);
        }
    }
}

#[test]
fn a_cusp_is_a_point_though_its_figures_are_not_exact() {
    for off in [-1e-4, -1e-9, 0.0, 1e-9, 1e-6] {
        let curve = arch(100.0, 40.0, (1.0 + off) * 100.0 / 40f64.to_radians().cos());
        let found = turns_back(&curve);
        let Some(TurnsBack::Point { at, along }) = found else {
            panic!("{off}: {found:?}");
        };
        near_point(at, (80.0, curve.eval(0.5).y), 1e-3);
        near(along, curve.arclen(1e-9) / 2.0, 1e-2);
    }
}

/// Every cubic is an affine image of one from (0, 0) by (0, 1) and (1, 1) to (x, y); which place that is tells what it does
/// (Stone and DeRose, 1989; the three edges of the region of loops from memory).
#[test]
fn loops_lie_where_stone_and_derose_place_them() {
    let mut chance = Chance::seeded(5);
    let (mut loops, mut none) = (0, 0);
    for _ in 0..20_000 {
        let (x, y) = (chance.between(-4.0, 1.0), chance.between(-4.0, 2.0));
        let cusps = (-x * x + 2.0 * x + 3.0) / 4.0;
        let ends = if x <= 0.0 {
            (-x * x + 3.0 * x) / 3.0
        } else {
            ((3.0 * (4.0 * x - x * x)).sqrt() - x) / 2.0
        };
        // Beside the edges of the region a loop is too small, or its figures too fine.
        if (y - cusps).abs() < 0.02 || (y - ends).abs() < 1e-6 {
            continue;
        }
        let plain = CubicBez::new((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (x, y));
        let image = Affine::new([
            chance.between(40.0, 200.0),
            chance.between(-90.0, 90.0),
            chance.between(-30.0, 30.0),
            chance.between(40.0, 200.0),
            chance.between(-500.0, 500.0),
            chance.between(-500.0, 500.0),
        ]);
        let found = turns_back(&(image * plain));
        if y < cusps && y > ends {
            loops += 1;
            let Some(TurnsBack::Loop { at, .. }) = found else {
                panic!("({x}, {y}): {found:?}");
            };
            near(
                (image * plain).nearest(at, 1e-9).distance_sq.sqrt(),
                0.0,
                1e-4,
            );
        } else {
            none += 1;
            assert!(
                !matches!(found, Some(TurnsBack::Loop { .. })),
                "({x}, {y}): {found:?}"
            );
        }
    }
    assert!(loops > 2_000 && none > 2_000, "{loops} {none}");
}

#[test]
fn a_line_run_to_and_fro_comes_to_a_point() {
    let there = |at: f64| Point::new(10.0 + 3.0 * at, 20.0 + 4.0 * at);
    let run = |a: f64, b: f64, end: f64| {
        turns_back(&CubicBez::new(there(0.0), there(a), there(b), there(end)))
    };
    assert_eq!(run(3.0, 6.0, 9.0), None);
    assert_eq!(run(0.0, 9.0, 9.0), None);
    // It sets out the wrong way: s(t) = -9t(1 - t)² + 27t²(1 - t) + 9t³ turns where its slope, 9(-1 + 10t - 9t²), is nothing.
    let t = 1.0 / 9.0_f64;
    let s = -9.0 * t * (1.0 - t).powi(2) + 27.0 * t * t * (1.0 - t) + 9.0 * t.powi(3);
    let Some(TurnsBack::Point { at, along }) = run(-3.0, 9.0, 9.0) else {
        panic!("it turns");
    };
    near_point(at, (there(s).x, there(s).y), 1e-4);
    near(along, 5.0 * s.abs(), 1e-3);
}

/// Ways and lengths as garments have them: no neck, armhole or hem is taken for one that turns back.
#[test]
fn a_gentle_curve_never_turns_back() {
    let mut chance = Chance::seeded(77);
    for _ in 0..5_000 {
        let curve = chance.gentle();
        assert_eq!(turns_back(&curve), None, "{curve:?}");
    }
}
