//! Fair curves: through their points, in the directions asked, with no bend that the points do not have.

use crate::common::{Chance, line, near, near_point};
use kurbo::{ParamCurve, ParamCurveDeriv, PathSeg, Point, Vec2};
use oaktag_geometry::curves::{
    CurveFault, Handle, hollow, hollow_by_depth, sweep, sweep_arriving, sweep_leaving,
};
use oaktag_geometry::edit::End;
use oaktag_geometry::fair::{blend, smooth};
use oaktag_geometry::path::Path;
use std::f64::consts::PI;

#[test]
fn a_circle_is_nearly_drawn_through_a_few_of_its_points() {
    // Half a circle of radius 100 through 3 and 4 points: within 0.03 and 0.003 mm (Hobby 1986 reports as much).
    for (count, off) in [(3, 0.03), (4, 0.003)] {
        let at =
            |n: usize| Point::ORIGIN + Vec2::from_angle(PI * n as f64 / (count - 1) as f64) * 100.0;
        let points: Vec<Point> = (0..count).map(at).collect();
        let path = smooth(
            &points,
            Some(Vec2::new(0.0, 1.0)),
            Some(Vec2::new(0.0, -1.0)),
        )
        .unwrap();
        for n in 0..=200 {
            let p = path.point(path.location_at_share(f64::from(n) / 200.0).unwrap());
            near(p.to_vec2().hypot(), 100.0, off);
        }
    }
}

/// Turns of a row of directions: how often the sign of the turn changes.
fn changes(turns: impl Iterator<Item = f64>) -> usize {
    let mut before = 0.0;
    turns.fold(0, |count, turn| {
        if turn == 0.0 {
            return count;
        }
        let changed = turn * before < 0.0;
        before = turn;
        count + usize::from(changed)
    })
}

fn curvature_changes(path: &Path) -> usize {
    let signs = path.segs().iter().flat_map(|seg| {
        let PathSeg::Cubic(c) = *seg else {
            panic!("a fair curve is made of cubics")
        };
        (1..100).map(move |k| {
            let t = f64::from(k) / 100.0;
            let (first, second) = (
                c.deriv().eval(t).to_vec2(),
                c.deriv().deriv().eval(t).to_vec2(),
            );
            let bend = first.cross(second);
            // Rounding noise on a straight stretch bends neither way.
            if bend.abs() < 1e-9 * first.hypot() * second.hypot() + 1e-9 {
                0.0
            } else {
                bend
            }
        })
    });
    changes(signs)
}

#[test]
fn curvature_changes_sign_no_oftener_than_the_points_turn() {
    let mut chance = Chance::seeded(11);
    for n in 0..1500 {
        // Fair rows: points of a smooth wave, unevenly spaced; and every third row anything that does not turn
        // by more than 100° at a point.
        let count = 3 + chance.below(7);
        let (swing, pace, lean) = (
            chance.between(0.0, 60.0),
            chance.between(0.5, 2.0),
            chance.between(-1.0, 1.0),
        );
        let mut x = 0.0;
        let mut points: Vec<Point> = Vec::new();
        let (mut at, mut direction) = (Point::ORIGIN, chance.between(0.0, 6.0));
        for _ in 0..count {
            x += chance.between(15.0, 90.0);
            if n % 3 == 0 {
                direction += chance.between(-1.7, 1.7);
                at += Vec2::from_angle(direction) * chance.between(15.0, 90.0);
                points.push(at);
            } else {
                points.push(Point::new(x, swing * (x / 60.0 * pace).sin() + lean * x));
            }
        }
        let chords: Vec<Vec2> = points.windows(2).map(|w| w[1] - w[0]).collect();
        let allowed = changes(chords.windows(2).map(|w| w[0].cross(w[1])));
        let path = smooth(&points, None, None).unwrap();
        let found = curvature_changes(&path);
        if found > allowed {
            let marks: Vec<(Point, &str)> = points.iter().map(|p| (*p, "#26c")).collect();
            crate::gallery::picture("wiggle", &[(&path, "#c22", 0.5)], &marks);
        }
        assert!(
            found <= allowed,
            "{n}: {found} changes, {allowed} in the points {points:?}"
        );
        for p in &points {
            near(path.nearest(*p).distance, 0.0, 1e-9);
        }
        for w in path.segs().windows(2) {
            let ends = (w[0], w[1]);
            let (a, b) = (
                Path::from_segs(vec![ends.0]).unwrap(),
                Path::from_segs(vec![ends.1]).unwrap(),
            );
            near(a.end_tangent().cross(b.start_tangent()), 0.0, 1e-9);
        }
    }
}

#[test]
fn end_directions_are_kept_and_add_at_most_one_bend_each() {
    let mut chance = Chance::seeded(12);
    for n in 0..600 {
        // Points of an ellipse with its own directions at the ends: one hollow, no change at all.
        let (wide, high, sweep) = (
            chance.between(40.0, 200.0),
            chance.between(40.0, 200.0),
            chance.between(0.6, 2.8),
        );
        let count = 3 + chance.below(4);
        let turn = |k: usize| {
            sweep * (k as f64 + if k == 0 || k == count - 1 { 0.0 } else { 0.2 })
                / (count - 1) as f64
        };
        let points: Vec<Point> = (0..count)
            .map(|k| Point::new(wide * turn(k).cos(), high * turn(k).sin()))
            .collect();
        let way = |k: usize| Vec2::new(-wide * turn(k).sin(), high * turn(k).cos());
        let path = smooth(&points, Some(way(0)), Some(way(count - 1))).unwrap();
        assert_eq!(curvature_changes(&path), 0, "{n}: {points:?}");
        // Any directions at all: the first and the last cubic may change twice each, the others not.
        let (u, v) = (
            Vec2::from_angle(chance.between(-3.0, 3.0)),
            Vec2::from_angle(chance.between(-3.0, 3.0)),
        );
        let path = smooth(&points, Some(u), Some(v)).unwrap();
        near(path.start_tangent().cross(u), 0.0, 1e-9);
        near(path.end_tangent().cross(v), 0.0, 1e-9);
        assert!(curvature_changes(&path) <= 4, "{n}: {points:?} {u:?} {v:?}");
    }
}

#[test]
fn what_cannot_be_smooth_is_said() {
    let p = Point::new(3.0, 4.0);
    assert!(matches!(
        smooth(&[p], None, None),
        Err(CurveFault::TooFewPoints { .. })
    ));
    assert!(matches!(
        smooth(&[p, p], None, None),
        Err(CurveFault::TooFewPoints { .. })
    ));
    assert_eq!(
        smooth(&[p, Point::ORIGIN], Some(Vec2::ZERO), None),
        Err(CurveFault::NoDirection)
    );
    let two = smooth(&[Point::ORIGIN, Point::new(30.0, 40.0)], None, None).unwrap();
    assert!(two.is_straight());
    assert!(matches!(
        hollow(p, p, Point::ORIGIN, 1.2),
        Err(CurveFault::Fullness { .. })
    ));
    let corner = Point::new(0.0, 100.0);
    match hollow_by_depth(Point::ORIGIN, corner, Point::new(60.0, 100.0), 5.0) {
        Err(CurveFault::Depth { least, most, .. }) => {
            near(most, 30f64.hypot(50.0), 1e-12);
            near(least, most / 4.0, 1e-12);
        }
        other => panic!("{other:?}"),
    }
    let back = sweep(
        Point::ORIGIN,
        Vec2::new(1.0, 0.0),
        p,
        Vec2::new(1.0, 0.0),
        Handle::Length(-1.0),
        Handle::default(),
    );
    assert!(matches!(back, Err(CurveFault::Handle { .. })));
}

#[test]
fn a_parabola_is_the_hollow_of_two_thirds() {
    let (p, c, q) = (
        Point::new(0.0, 0.0),
        Point::new(40.0, 90.0),
        Point::new(120.0, 100.0),
    );
    let path = hollow(p, c, q, 2.0 / 3.0).unwrap();
    for t in [0.1, 0.35, 0.5, 0.8] {
        let by_hand = p.lerp(c, t).lerp(c.lerp(q, t), t);
        near(path.segs()[0].eval(t).distance(by_hand), 0.0, 1e-12);
    }
}

#[test]
fn a_sweep_with_one_direction_runs_as_a_circle_would() {
    // From (100, 0) upward to 60° on the circle of radius 100: handles of 4/3·tan(θ/4) give it within 1e-3 of 100.
    let q = Point::ORIGIN + Vec2::from_angle(PI / 3.0) * 100.0;
    let path = sweep_leaving(Point::new(100.0, 0.0), Vec2::new(0.0, 1.0), q).unwrap();
    for n in 0..=20 {
        let p = path.point(path.location_at_share(f64::from(n) / 20.0).unwrap());
        near(p.to_vec2().hypot(), 100.0, 3e-3);
    }
    let back = sweep_arriving(q, Point::new(100.0, 0.0), Vec2::new(0.0, -1.0)).unwrap();
    near(back.length().unwrap(), path.length().unwrap(), 1e-9);
    let straight =
        sweep_leaving(Point::ORIGIN, Vec2::new(3.0, 4.0), Point::new(30.0, 40.0)).unwrap();
    assert!(straight.is_straight());
}

#[test]
fn a_blend_leaves_square_and_runs_into_the_old_line() {
    let hem = line((0.0, 0.0), (280.0, 30.0));
    let made = blend(&hem, End::Start, Vec2::new(1.0, 0.0), 60.0).unwrap();
    near(made.start_tangent().cross(Vec2::new(1.0, 0.0)), 0.0, 1e-12);
    near_point(made.start().unwrap(), (0.0, 0.0), 1e-12);
    near_point(made.end().unwrap(), (280.0, 30.0), 1e-12);
    near(
        made.nearest(hem.point_at(60.0).unwrap()).distance,
        0.0,
        1e-9,
    );
    near(
        made.nearest(hem.point_at(200.0).unwrap()).distance,
        0.0,
        1e-9,
    );
    let first = Path::from_segs(vec![made.segs()[0]]).unwrap();
    near(first.end_tangent().cross(hem.start_tangent()), 0.0, 1e-12);
    let other = blend(&hem, End::End, Vec2::new(1.0, 0.0), 60.0).unwrap();
    near(other.end_tangent().cross(Vec2::new(1.0, 0.0)), 0.0, 1e-12);
    assert!(matches!(
        blend(&hem, End::Start, Vec2::new(1.0, 0.0), 400.0),
        Err(CurveFault::Stretch { .. })
    ));
}
