//! How far a path reaches in a direction.

use super::path::{Path, PathFault};
use kurbo::{Affine, ParamCurve, ParamCurveExtrema, PathSeg, Point, Vec2};

impl Path {
    /// The point of the path that lies farthest in a direction: where its tangent is square to it, or an end.
    ///
    /// # Errors
    /// [`PathFault::Endless`] where the line has no end.
    pub fn farthest_along(&self, way: Vec2) -> Result<Point, PathFault> {
        let start = self.start()?;
        let upright = Affine::rotate(-way.atan2());
        let mut far = start;
        for seg in self.segs() {
            let turned = upright * *seg;
            for t in places(turned).into_iter().chain([0.0, 1.0]) {
                let point = seg.eval(t);
                if point.to_vec2().dot(way) > far.to_vec2().dot(way) {
                    far = point;
                }
            }
        }
        Ok(far)
    }
}

fn places(seg: PathSeg) -> Vec<f64> {
    match seg {
        PathSeg::Line(line) => line.extrema().to_vec(),
        PathSeg::Quad(quad) => quad.extrema().to_vec(),
        PathSeg::Cubic(cubic) => cubic.extrema().to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::CubicBez;

    #[test]
    fn a_symmetric_arch_reaches_three_quarters_of_its_handles() {
        // A cubic with both handles at height h rises to 3/4 h: B(1/2) = (P0 + 3 P1 + 3 P2 + P3)/8.
        let arch = Path::cubic(CubicBez::new(
            (0.0, 0.0),
            (10.0, 40.0),
            (90.0, 40.0),
            (100.0, 0.0),
        ))
        .unwrap();
        for (degrees, flip) in [0.0, 25.0, 90.0, 137.0, 180.0, -61.0]
            .into_iter()
            .flat_map(|degrees: f64| [(degrees, 1.0), (degrees, -1.0)])
        {
            let laid = Affine::rotate(degrees.to_radians()) * Affine::scale_non_uniform(1.0, flip);
            let way = laid * Point::new(0.0, 1.0);
            let top = arch
                .transformed(laid)
                .farthest_along(way.to_vec2())
                .unwrap();
            let wanted = laid * Point::new(50.0, 30.0);
            assert!((top - wanted).hypot() < 1e-9, "{degrees} {flip}: {top:?}");
        }
    }
}
