//! The true arc: struck about a point, as a pair of compasses does.
//!
//! An arc is made of cubics of at most 30°, whose handles are 4/3·tan(θ/4) of the radius (the usual fit, exact at the ends
//! and the middle of each part): they stay within 4·10⁻⁷ of the radius.

use super::angle::Angle;
use super::path::{Path, PathFault};
use kurbo::{CubicBez, PathSeg, Point, Vec2};

/// Most degrees in one cubic.
const PART: f64 = 30.0;

/// The arc about `centre` from `start`, turned by an angle, clockwise if positive.
///
/// # Errors
/// Where the start is the centre, or nothing is turned.
pub fn arc(centre: Point, start: Point, turn: Angle) -> Result<Path, PathFault> {
    let degrees = turn.radians().to_degrees();
    let parts = (degrees.abs() / PART - 1e-9).ceil().max(1.0);
    let part = Angle::from_degrees(degrees / parts);
    // Clockwise is down from the right: against the sense in which x turns into y.
    let handle = -4.0 / 3.0 * (part.radians() / 4.0).tan();
    let square = |way: Vec2| Vec2::new(-way.y, way.x) * handle;
    let arm = start - centre;
    let at = |n: f64| -> Vec2 {
        let (sin, cos) = (-(part.radians() * n)).sin_cos();
        Vec2::new(arm.x * cos - arm.y * sin, arm.x * sin + arm.y * cos)
    };
    let segs = (0..parts as u32).map(|n| {
        let (from, to) = (at(f64::from(n)), at(f64::from(n + 1)));
        PathSeg::Cubic(CubicBez::new(
            centre + from,
            centre + from + square(from),
            centre + to - square(to),
            centre + to,
        ))
    });
    Path::from_segs(segs.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;
    use std::f64::consts::PI;

    #[test]
    fn an_arc_is_true_to_its_circle() {
        let centre = Point::new(12.0, -7.0);
        for radius in [3.0, 150.0, 2000.0] {
            for degrees in [1.0, 29.0, 45.0, 90.0, 120.0, 180.0, 270.0, 359.0, 360.0] {
                for sense in [1.0, -1.0] {
                    let start = centre + Vec2::new(0.6, 0.8) * radius;
                    let path = arc(centre, start, Angle::from_degrees(sense * degrees)).unwrap();
                    let length = path.length().unwrap();
                    let true_length = radius * PI * degrees / 180.0;
                    assert!(
                        (length / true_length - 1.0).abs() < 1e-6,
                        "{degrees}: {length}"
                    );
                    for seg in path.segs() {
                        for t in 0..=40 {
                            let off = (seg.eval(f64::from(t) / 40.0) - centre).hypot();
                            assert!((off / radius - 1.0).abs() < 1e-6, "{degrees}: {off}");
                        }
                    }
                    let end = path.end().unwrap() - centre;
                    let turned =
                        (Vec2::new(0.6, 0.8).cross(end)).atan2(Vec2::new(0.6, 0.8).dot(end));
                    let wanted = -(sense * degrees).to_radians();
                    let off = (turned - wanted).rem_euclid(2.0 * PI);
                    assert!(off.min(2.0 * PI - off) < 1e-9, "{degrees}: {turned}");
                }
            }
        }
        // A quarter clockwise from the top ends at the right.
        let quarter = arc(
            Point::ORIGIN,
            Point::new(0.0, 10.0),
            Angle::from_degrees(90.0),
        )
        .unwrap();
        assert!((quarter.end().unwrap() - Point::new(10.0, 0.0)).hypot() < 1e-9);
        assert!((quarter.start_tangent() - Vec2::new(1.0, 0.0)).hypot() < 1e-9);
    }

    #[test]
    fn nothing_turned_is_no_arc() {
        assert!(arc(Point::ORIGIN, Point::ORIGIN, Angle::from_degrees(90.0)).is_err());
        assert!(
            arc(
                Point::ORIGIN,
                Point::new(5.0, 0.0),
                Angle::from_degrees(0.0)
            )
            .is_err()
        );
    }
}
