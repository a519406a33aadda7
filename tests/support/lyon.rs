//! Curves as `lyon_geom` has them, for the tests and the benches of the geometry.

use kurbo::{CubicBez, Point};
use lyon_geom::CubicBezierSegment;

/// The same curve.
pub fn lyon(c: &CubicBez) -> CubicBezierSegment<f64> {
    let p = |p: Point| lyon_geom::point(p.x, p.y);
    CubicBezierSegment {
        from: p(c.p0),
        ctrl1: p(c.p1),
        ctrl2: p(c.p2),
        to: p(c.p3),
    }
}
