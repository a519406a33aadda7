//! Moves: turns, lengths swung onto paths, touches, mirrors, and seams laid on seams.

use crate::common::{arc, cubic, endless, line, near, near_point};
use kurbo::{Point, Vec2};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::moves::{
    MoveFault, lay, lay_seam, lay_seam_at, mirror, mouth, opening, pivot,
};
use oaktag_geometry::swing::{SwingFault, pivot_until_distance, pivot_until_on, swing};
use oaktag_geometry::touch::{NeverTouches, pivot_until_touches};
use std::f64::consts::PI;

#[test]
fn clockwise_is_clockwise_as_seen_on_the_paper() {
    let quarter = pivot(Point::new(10.0, 10.0), Angle::QUARTER);
    near_point(quarter * Point::new(10.0, 60.0), (60.0, 10.0), 1e-12);
    assert_eq!(
        Angle::QUARTER.turn(Vec2::new(0.0, 1.0)),
        Vec2::new(1.0, 0.0)
    );
    near(
        Angle::between(Vec2::new(0.0, 1.0), Vec2::new(1.0, 1.0)).degrees(),
        45.0,
        1e-12,
    );
    near(
        Angle::between(Vec2::new(1.0, 0.0), Vec2::new(-1.0, 0.0)).degrees(),
        180.0,
        1e-12,
    );
    near(Angle::from_degrees(-270.0).wrapped().degrees(), 90.0, 1e-12);
    near(Angle::from_radians(PI).degrees(), 180.0, 1e-12);
}

#[test]
fn a_mouth_and_its_angle() {
    let (at, about) = (Point::new(0.0, 100.0), Point::ORIGIN);
    let angle = opening(11.0, at, about).unwrap();
    near(
        angle.degrees(),
        2.0 * (11f64 / 200.0).asin().to_degrees(),
        1e-12,
    );
    near(mouth(angle, 100.0), 11.0, 1e-12);
    near((pivot(about, angle) * at).distance(at), 11.0, 1e-9);
    assert_eq!(
        opening(201.0, at, about),
        Err(MoveFault::MouthTooWide {
            mouth: 201.0,
            most: 200.0
        })
    );
    assert!(matches!(
        opening(1.0, at, at),
        Err(MoveFault::NoDirection { .. })
    ));
}

#[test]
fn a_length_swung_onto_a_line_or_a_curve() {
    let level = endless((0.0, 40.0), (1.0, 0.0));
    let both = swing(50.0, Point::ORIGIN, &level).unwrap();
    assert_eq!(both.len(), 2);
    near_point(both[0].point, (-30.0, 40.0), 1e-9);
    near_point(both[1].point, (30.0, 40.0), 1e-9);
    assert_eq!(swing(40.0, Point::ORIGIN, &level).unwrap().len(), 1);
    match swing(39.0, Point::ORIGIN, &level) {
        Err(SwingFault::TooShort { nearest, at, .. }) => {
            near(nearest, 40.0, 1e-12);
            near_point(at, (0.0, 40.0), 1e-12);
        }
        other => panic!("{other:?}"),
    }
    let piece = line((0.0, 40.0), (60.0, 40.0));
    assert_eq!(swing(50.0, Point::ORIGIN, &piece).unwrap().len(), 1);
    match swing(80.0, Point::ORIGIN, &piece) {
        Err(SwingFault::TooLong { farthest, .. }) => near(farthest, 60f64.hypot(40.0), 1e-9),
        other => panic!("{other:?}"),
    }
    // Two circles again: 100 round the origin, 80 round (150, 0).
    let circle = arc((150.0, 0.0), 80.0, 0.3, 2.0 * PI, 1e-9);
    let met = swing(100.0, Point::ORIGIN, &circle).unwrap();
    let x = (150.0f64 * 150.0 + 100.0 * 100.0 - 80.0 * 80.0) / 300.0;
    assert_eq!(met.len(), 2);
    for place in &met {
        near(place.point.x, x, 1e-5);
        near(place.point.to_vec2().hypot(), 100.0, 1e-9);
    }
    // Tangent from inside, and an end exactly at that length.
    assert_eq!(swing(70.0, Point::ORIGIN, &circle).unwrap().len(), 1);
    let end = line((30.0, 40.0), (100.0, 0.0));
    let at_end = swing(50.0, Point::ORIGIN, &end).unwrap();
    assert!(at_end.iter().any(|s| s.location == end.start_location()));
    let wave = cubic(
        (-120.0, 30.0),
        (-40.0, 160.0),
        (40.0, -120.0),
        (120.0, 30.0),
    );
    let places = swing(45.0, Point::ORIGIN, &wave).unwrap();
    for place in &places {
        near(place.point.to_vec2().hypot(), 45.0, 1e-9);
    }
    let along: Vec<f64> = places.iter().map(|s| wave.length_to(s.location)).collect();
    assert!(along.windows(2).all(|w| w[0] < w[1]));
}

#[test]
fn turns_that_land_a_point_come_smallest_first() {
    let level = endless((0.0, 40.0), (1.0, 0.0));
    let turns = pivot_until_on(Point::new(0.0, 50.0), Point::ORIGIN, &level).unwrap();
    assert_eq!(turns.len(), 2);
    near(
        turns[0].0.degrees().abs(),
        (0.8f64).acos().to_degrees(),
        1e-9,
    );
    near(turns[0].0.degrees() + turns[1].0.degrees(), 0.0, 1e-9);
    for (turn, place) in &turns {
        near_point(
            pivot(Point::ORIGIN, *turn) * Point::new(0.0, 50.0),
            place.point.into(),
            1e-9,
        );
    }
    let (p, q) = (Point::new(100.0, 0.0), Point::new(150.0, 0.0));
    assert_eq!(
        pivot_until_distance(p, Point::ORIGIN, q, 50.0)
            .unwrap()
            .len(),
        1
    );
    assert_eq!(
        pivot_until_distance(p, Point::ORIGIN, q, 250.0)
            .unwrap()
            .len(),
        1
    );
    assert_eq!(
        pivot_until_distance(p, Point::ORIGIN, q, 120.0)
            .unwrap()
            .len(),
        2
    );
    assert!(
        matches!(pivot_until_distance(p, Point::ORIGIN, q, 49.0), Err(SwingFault::TooShort { nearest, .. }) if nearest == 50.0)
    );
    assert!(
        matches!(pivot_until_distance(p, Point::ORIGIN, q, 251.0), Err(SwingFault::TooLong { farthest, .. }) if farthest == 250.0)
    );
}

#[test]
fn a_curve_turned_until_it_touches_a_line_is_tangent_to_it() {
    // A circle of radius 50 round (120, 0), turned about the origin until it touches y = -90: its centre comes to y = -40.
    let disc = arc((120.0, 0.0), 50.0, 0.7, 2.0 * PI, 1e-9);
    let floor = endless((0.0, -90.0), (1.0, 0.0));
    let touches = pivot_until_touches(&disc, Point::ORIGIN, &floor).unwrap();
    let wanted = (40f64 / 120.0).asin().to_degrees();
    near(touches[0].by.degrees(), wanted, 1e-4);
    near_point(
        touches[0].at,
        ((120.0f64 * 120.0 - 1600.0).sqrt(), -90.0),
        0.05,
    );
    // The other way round it comes down on the far side.
    near(
        touches[1].by.degrees(),
        -(180.0 + wanted - 2.0 * wanted),
        180.0,
    );
    // Two circles touch when their centres are the sum of the radii apart.
    let other = arc((0.0, -150.0), 60.0, 0.1, 2.0 * PI, 1e-9);
    let found = pivot_until_touches(&disc, Point::ORIGIN, &other).unwrap();
    let centre = pivot(Point::ORIGIN, found[0].by) * Point::new(120.0, 0.0);
    near(centre.distance(Point::new(0.0, -150.0)), 110.0, 0.03);
    // An arm against the end of a short line.
    let stop = line((60.0, -30.0), (60.0, -80.0));
    let arm = line((0.0, 0.0), (200.0, 0.0));
    let found = pivot_until_touches(&arm, Point::ORIGIN, &stop).unwrap();
    near(found[0].by.degrees(), (0.5f64).atan().to_degrees(), 1e-7);
    near_point(found[0].at, (60.0, -30.0), 1e-9);
    // Already touching; never touching.
    assert_eq!(
        pivot_until_touches(&arm, Point::ORIGIN, &line((50.0, 0.0), (50.0, 9.0))).unwrap()[0].by,
        Angle::ZERO
    );
    match pivot_until_touches(&arm, Point::ORIGIN, &line((300.0, -50.0), (300.0, 50.0))) {
        Err(NeverTouches { gap, by }) => {
            near(gap, 100.0, 1e-3);
            near(by.degrees().abs() % 360.0, 0.0, 20.0);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn mirrors_and_lays() {
    let fold = endless((10.0, 0.0), (0.0, 3.0));
    near_point(
        mirror(&fold).unwrap() * Point::new(4.0, 7.0),
        (16.0, 7.0),
        1e-12,
    );
    let slant = line((0.0, 0.0), (50.0, 50.0));
    near_point(
        mirror(&slant).unwrap() * Point::new(10.0, 0.0),
        (0.0, 10.0),
        1e-12,
    );
    assert_eq!(
        mirror(&arc((0.0, 0.0), 10.0, 0.0, 1.0, 1e-6)),
        Err(MoveFault::NotStraight)
    );
    let (by, gap) = lay(
        (0.0, 0.0).into(),
        (100.0, 0.0).into(),
        (5.0, 5.0).into(),
        (5.0, 108.0).into(),
    )
    .unwrap();
    near_point(by * Point::new(100.0, 0.0), (5.0, 105.0), 1e-12);
    near(gap, 3.0, 1e-12);
    // A congruent seam lies exactly; a fuller one shows by how much it bulges.
    let seam = cubic((0.0, 0.0), (30.0, 20.0), (70.0, 20.0), (100.0, 0.0));
    let moved = seam.transformed(pivot(Point::new(30.0, -9.0), Angle::from_degrees(77.0)));
    let laid = lay_seam(&moved, &seam).unwrap();
    near(laid.left.max(laid.right), 0.0, 1e-9);
    near(laid.short, 0.0, 1e-9);
    let fuller = cubic((0.0, 0.0), (30.0, 28.0), (70.0, 28.0), (100.0, 0.0));
    let laid = lay_seam(&fuller, &seam).unwrap();
    near(laid.left, 6.0, 1e-3);
    near(laid.right, 0.0, 1e-9);
    near_point(laid.left_at, (50.0, 21.0), 1e-6);
    let at = lay_seam_at(&moved, 40.0, &seam, 40.0).unwrap();
    near(at.left.max(at.right), 0.0, 1e-7);
}
