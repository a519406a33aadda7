//! Shapes, random numbers and comparisons that several tests share.

pub use crate::chords::chords;
use kurbo::{CubicBez, PathSeg, Point, Vec2};
use oaktag_geometry::measure::Bend;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::Path;

/// A small generator with a fixed seed, so that every run sees the same shapes (xorshift64*, Vigna 2016).
pub struct Chance(u64);

impl Chance {
    pub fn seeded(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number in 0..1.
    pub fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.unit() * n as f64) as usize
    }

    pub fn point(&mut self, size: f64) -> Point {
        Point::new(self.between(0.0, size), self.between(0.0, size))
    }

    /// A curve such as garments have: a chord of 50 to 400 mm with handles that leave it at up to 80°.
    pub fn gentle(&mut self) -> CubicBez {
        let (p, length, turn) = (
            self.point(400.0),
            self.between(50.0, 400.0),
            self.between(0.0, std::f64::consts::TAU),
        );
        let along = Vec2::from_angle(turn);
        let q = p + along * length;
        let (u, v) = (self.between(-1.4, 1.4), self.between(-1.4, 1.4));
        let (a, b) = (
            length * self.between(0.2, 0.5),
            length * self.between(0.2, 0.5),
        );
        CubicBez::new(
            p,
            p + Vec2::from_angle(turn + u) * a,
            q - Vec2::from_angle(turn + v) * b,
            q,
        )
    }

    /// Anything at all: loops, cusps, handles of no length, folded lines.
    pub fn wild(&mut self) -> CubicBez {
        let [a, b, c, d] = [(); 4].map(|()| self.point(300.0));
        match self.below(6) {
            0 => CubicBez::new(a, a, c, d),
            1 => CubicBez::new(a, b, d, d),
            2 => CubicBez::new(a, d, a + (d - a) * self.unit() * 1.5, d),
            3 => CubicBez::new(a, a + (d - a) * 0.3, a + (d - a) * 0.6, d),
            _ => CubicBez::new(a, b, c, d),
        }
    }
}

/// Straight edges through the points and back to the first.
pub fn polygon(points: &[(f64, f64)]) -> Outline {
    Outline::new(&sides(points)).unwrap()
}

/// The sides of a polygon as paths.
pub fn sides(points: &[(f64, f64)]) -> Vec<Path> {
    let points: Vec<Point> = points.iter().map(|p| Point::from(*p)).collect();
    (0..points.len())
        .map(|n| Path::line(points[n], points[(n + 1) % points.len()]).unwrap())
        .collect()
}

pub fn line(a: (f64, f64), b: (f64, f64)) -> Path {
    Path::line(a.into(), b.into()).unwrap()
}

pub fn endless(through: (f64, f64), direction: (f64, f64)) -> Path {
    Path::endless(through.into(), direction.into()).unwrap()
}

pub fn cubic(a: (f64, f64), b: (f64, f64), c: (f64, f64), d: (f64, f64)) -> Path {
    Path::cubic(CubicBez::new(a, b, c, d)).unwrap()
}

/// Straight lines through the points in order, as one path.
pub fn through<P: Copy + Into<Point>>(points: &[P]) -> Path {
    let line = |pair: &[P]| PathSeg::Line(kurbo::Line::new(pair[0], pair[1]));
    Path::from_segs(points.windows(2).map(line).collect()).unwrap()
}

/// Where a path bends most tightly, to either side.
pub fn tightest(path: &Path) -> Option<Bend> {
    let both = [true, false].map(|left| path.tightest_toward(left));
    let sharper = |a: &Bend, b: &Bend| b.radius().total_cmp(&a.radius());
    both.into_iter().flatten().max_by(sharper)
}

/// A circular arc as cubics, right to `tolerance`, anticlockwise from the angle `from` through `sweep` radians.
pub fn arc(centre: (f64, f64), radius: f64, from: f64, sweep: f64, tolerance: f64) -> Path {
    use kurbo::{Arc, BezPath, Shape};
    let arc = Arc::new(centre, (radius, radius), from, sweep, 0.0);
    let bez: BezPath = arc.to_path(tolerance);
    Path::from_segs(bez.segments().collect()).unwrap()
}

/// The body's shape of a bodice front in millimetres: straight and curved edges, a deep hollow at neck and armhole.
pub fn bodice() -> Vec<Path> {
    use oaktag_geometry::curves::hollow;
    let p = |x: f64, y: f64| Point::new(x, y);
    vec![
        line((0.0, 0.0), (240.0, 0.0)),
        cubic((240.0, 0.0), (228.0, 70.0), (232.0, 130.0), (250.0, 200.0)),
        hollow(p(250.0, 200.0), p(190.0, 205.0), p(185.0, 330.0), 0.6).unwrap(),
        line((185.0, 330.0), (70.0, 372.0)),
        hollow(p(70.0, 372.0), p(66.0, 300.0), p(0.0, 300.0), 0.6).unwrap(),
        line((0.0, 300.0), (0.0, 0.0)),
    ]
}

/// Fails with the figures unless two numbers agree.
#[track_caller]
pub fn near(found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "found {found}, wanted {wanted} within {within}"
    );
}

/// Fails with the figures unless two points agree.
#[track_caller]
pub fn near_point(found: Point, wanted: (f64, f64), within: f64) {
    let off = (found - Point::from(wanted)).hypot();
    assert!(
        off <= within,
        "found {found:?}, wanted {wanted:?}, {off} apart, allowed {within}"
    );
}
