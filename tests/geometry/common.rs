//! Shapes and comparisons that several tests share.

use kurbo::Point;
use oaktag::geometry::outline::Outline;
use oaktag::geometry::path::Path;

/// Straight edges through the points and back to the first.
pub fn polygon(points: &[(f64, f64)]) -> Outline {
    let points: Vec<Point> = points.iter().map(|p| Point::from(*p)).collect();
    let edges: Vec<Path> = (0..points.len())
        .map(|n| Path::line(points[n], points[(n + 1) % points.len()]).unwrap())
        .collect();
    Outline::new(&edges).unwrap()
}

/// Fails with the figures unless two numbers agree.
#[track_caller]
pub fn near(found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "found {found}, wanted {wanted} within {within}"
    );
}
