//! Moves: turns, lengths swung onto paths, mirrors, and points laid on points.

use crate::common::{arc, cubic, endless, line, near, near_point};
use kurbo::{Point, Vec2};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::moves::{MoveFault, lay, mirror, mouth, opening, pivot};
use oaktag_geometry::swing::{SwingFault, pivot_until_on, swing};
use std::f64::consts::PI;

#[test]
fn clockwise_is_clockwise_as_seen_on_the_paper() {
    let quarter = pivot(Point::new(10.0, 10.0), Angle::from_degrees(90.0));
    near_point(quarter * Point::new(10.0, 60.0), (60.0, 10.0), 1e-12);
    assert_eq!(
        Angle::from_degrees(90.0).turn(Vec2::new(0.0, 1.0)),
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
}
