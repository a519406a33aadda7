//! Parallels: distance kept everywhere, known lengths, corners, and folds cut off or refused.

use crate::common::{Chance, arc, cubic, endless, near, near_point, through, tightest};
use kurbo::{Point, Vec2};
use oaktag_geometry::parallel::{
    ParallelFault, Side, parallel, parallel_with_cuts, side_of, side_toward,
};
use oaktag_geometry::path::Path;
use oaktag_geometry::self_meet::self_meetings;

#[test]
fn a_parallel_of_an_arc_is_an_arc() {
    let path = arc((10.0, 20.0), 120.0, 0.2, 1.7, 1e-9);
    for (distance, tolerance) in [
        (30.0, 1e-2),
        (-30.0, 1e-3),
        (119.0, 1e-4),
        (-500.0, 1e-5),
        (10.0, 1e-6),
    ] {
        let made = parallel(&path, distance, tolerance).unwrap();
        near(
            made.length().unwrap(),
            (120.0 - distance) * 1.7,
            4.0 * tolerance + 1e-6,
        );
        for n in 0..=40 {
            let p = made.point(made.location_at_share(f64::from(n) / 40.0).unwrap());
            near(
                p.distance(Point::new(10.0, 20.0)),
                120.0 - distance,
                tolerance * 1.2 + 1e-7,
            );
        }
    }
    let few = parallel(&path, 10.0, 1e-3).unwrap().segs().len();
    assert!(few <= 24, "{few} cubics");
}

#[test]
fn length_changes_by_the_distance_times_the_turning() {
    // trade definition: the length of a parallel changes by a × total turning (common practice; Steiner).
    let mut chance = Chance::seeded(8);
    let mut tried = 0;
    while tried < 300 {
        let c = chance.gentle();
        let path = Path::cubic(c).unwrap();
        let distance = chance.between(-25.0, 25.0);
        if tightest(&path).unwrap().radius() < 30.0 {
            continue;
        }
        tried += 1;
        // Total turning by the unwrapped tangent angle.
        let mut turning = 0.0;
        let mut before = path.start_tangent();
        for n in 1..=200 {
            let now = path.tangent_at(path.location_at_share(f64::from(n) / 200.0).unwrap());
            turning += before.cross(now).atan2(before.dot(now));
            before = now;
        }
        let made = parallel(&path, distance, 1e-4).unwrap();
        near(
            made.length().unwrap(),
            path.length().unwrap() - distance * turning,
            2e-3,
        );
    }
}

#[test]
fn corners_run_on_outside_and_are_cut_back_inside() {
    let path = through(&[(0.0, 0.0), (100.0, 0.0), (100.0, 80.0)]);
    let outside = parallel(&path, -10.0, 1e-3).unwrap();
    near(outside.length().unwrap(), 110.0 + 90.0, 1e-9);
    let inside = parallel_with_cuts(&path, 10.0, 1e-3).unwrap();
    near(inside.path.length().unwrap(), 90.0 + 70.0, 1e-9);
    near_point(inside.cuts[0].at, (90.0, 10.0), 1e-9);
}

#[test]
fn a_fold_is_cut_off_where_the_parallel_crosses_itself() {
    // A hairpin with a radius of about 6 at the bend: at 20 inside, the two legs' parallels meet.
    let path = cubic((0.0, 0.0), (150.0, 30.0), (150.0, -10.0), (0.0, 60.0));
    let bend = tightest(&path).unwrap();
    assert!(bend.radius() < 20.0, "{bend:?}");
    let made = parallel_with_cuts(&path, 20.0, 1e-3).unwrap();
    assert_eq!(made.cuts.len(), 1, "{:?}", made.cuts);
    near(made.cuts[0].bend.unwrap().radius(), bend.radius(), 1e-9);
    let length = made.path.length().unwrap();
    for n in 0..=100 {
        let p = made.path.point_at(length * f64::from(n) / 100.0).unwrap();
        assert!(path.nearest(p).distance >= 20.0 - 2e-3);
    }
    assert!(self_meetings(made.path.segs(), false).0.is_empty());
}

#[test]
fn a_bend_that_would_eat_an_end_is_refused_with_its_radius() {
    let path = arc((0.0, 0.0), 30.0, 0.0, 2.5, 1e-9);
    match parallel(&path, 45.0, 1e-3) {
        Err(ParallelFault::TooTight {
            radius,
            distance,
            place,
        }) => {
            near(radius, 30.0, 0.05);
            near(distance, 45.0, 1e-12);
            near(place.distance(Point::ORIGIN), 30.0, 1e-4);
        }
        other => panic!("{other:?}"),
    }
    assert!(parallel(&path, -45.0, 1e-3).is_ok());
}

#[test]
fn sides_are_told_by_a_point_or_a_direction() {
    let path = cubic((0.0, 0.0), (50.0, 0.0), (100.0, 50.0), (100.0, 100.0));
    assert_eq!(side_of(&path, Point::new(20.0, 60.0)).unwrap(), Side::Left);
    assert_eq!(side_of(&path, Point::new(90.0, 5.0)).unwrap(), Side::Right);
    assert!(matches!(
        side_of(&path, path.point_at(40.0).unwrap()),
        Err(ParallelFault::NoSide { .. })
    ));
    assert_eq!(side_toward(&path, Vec2::new(0.0, 1.0)).unwrap(), Side::Left);
    assert_eq!(
        side_toward(&endless((0.0, 0.0), (0.0, -1.0)), Vec2::new(1.0, 0.1)).unwrap(),
        Side::Left
    );
    let moved = parallel(&endless((0.0, 0.0), (0.0, -1.0)), 15.0, 1e-3).unwrap();
    near(moved.nearest(Point::new(15.0, 99.0)).distance, 0.0, 1e-12);
}
