//! The line beside a path at a width that grows evenly, against closed forms: beside a straight line it is straight, and beside
//! a circle it is the spiral of Archimedes, whose radius grows in proportion to the angle (common knowledge of curves).

use kurbo::{Point, Vec2};
use oaktag_geometry::angle::Angle;
use oaktag_geometry::arc::arc;
use oaktag_geometry::path::Path;
use oaktag_geometry::taper::tapered_of;

const FITTED: f64 = 0.002;

#[test]
fn beside_a_straight_line_it_is_straight() {
    let line = Path::line(Point::new(10.0, 5.0), Point::new(310.0, 5.0)).unwrap();
    let beside = tapered_of(&line, 5.0, 10.0).0.unwrap();
    assert!(beside.is_straight());
    assert!((beside.start().unwrap() - Point::new(10.0, 10.0)).hypot() < 1e-9);
    assert!((beside.end().unwrap() - Point::new(310.0, 15.0)).hypot() < 1e-9);
}

#[test]
fn beside_a_circle_it_is_a_spiral() {
    let (centre, radius) = (Point::new(20.0, -30.0), 100.0);
    for (from, to) in [
        (5.0, 10.0),
        (0.0, 12.0),
        (9.0, 0.0),
        (-4.0, -20.0),
        (6.0, -6.0),
    ] {
        let turn = Angle::from_degrees(-120.0);
        let circle = arc(centre, centre + Vec2::new(radius, 0.0), turn).unwrap();
        let beside = tapered_of(&circle, from, to).0.unwrap();
        let length = beside.length().unwrap();
        for step in 0..=200 {
            let p = beside.point_at(length * f64::from(step) / 200.0).unwrap() - centre;
            let share = p.atan2() / 120_f64.to_radians();
            // Anticlockwise the cloth on the left lies inside the circle.
            let wanted = radius - (from + (to - from) * share);
            let off = (p.hypot() - wanted).abs();
            assert!(off < FITTED, "{from} to {to} at {share}: {off}");
        }
    }
}

#[test]
fn an_even_width_is_the_parallel() {
    let circle = arc(
        Point::ORIGIN,
        Point::new(80.0, 0.0),
        Angle::from_degrees(-75.0),
    )
    .unwrap();
    let beside = tapered_of(&circle, 7.0, 7.0).0.unwrap();
    let parallel = oaktag_geometry::parallel::parallel(&circle, 7.0, 0.001).unwrap();
    for step in 0..=50 {
        let at = parallel.length().unwrap() * f64::from(step) / 50.0;
        assert!(beside.nearest(parallel.point_at(at).unwrap()).distance < FITTED);
    }
}

#[test]
fn a_bend_tighter_than_the_width_is_refused() {
    let circle = arc(
        Point::ORIGIN,
        Point::new(20.0, 0.0),
        Angle::from_degrees(-90.0),
    )
    .unwrap();
    assert!(tapered_of(&circle, 5.0, 30.0).0.is_err());
    assert!(tapered_of(&circle, -5.0, -30.0).0.is_ok());
}
