//! The cutter's two curve tools in closed form: the hollow curve in a corner and the sweep between two directions.
//!
//! *Hollow* from P to Q in corner C with fullness k: control points P, P + k(C - P), Q + k(C - Q), Q. It passes C at
//! the hollow depth d = (1 - 3k/4)·|CM|, M the middle of PQ, measured on CM. *Sweep* from P in direction u to Q in
//! direction v with handles a, b: control points P, P + a·u, Q - b·v, Q.

use super::MEETING;
use super::path::{Path, PathFault, on_paper};
use super::segment::unit;
use kurbo::{CubicBez, Point, Vec2};
/// The share of the chord that a sweep's handles take where nothing else is said.
pub(crate) const SWEEP_HANDLE: f64 = 1.0 / 3.0;

/// The length of a handle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Handle {
    /// A share of the straight distance between the ends.
    Share(f64),
    /// A length in millimetres, whatever the distance between the ends.
    Length(f64),
}

impl Default for Handle {
    fn default() -> Handle {
        Handle::Share(SWEEP_HANDLE)
    }
}

impl Handle {
    fn on(self, chord: f64) -> f64 {
        match self {
            Handle::Share(share) => share * chord,
            Handle::Length(length) => length,
        }
    }
}

/// Why a curve cannot be drawn. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum CurveFault {
    /// A fullness outside 0 to 1.
    Fullness {
        /// The fullness asked for.
        wanted: f64,
    },
    /// A hollow depth outside the range this corner allows.
    Depth {
        /// The depth asked for.
        wanted: f64,
        /// The shallowest curve passes the corner this near (fullness 1).
        least: f64,
        /// The straight line passes it this far off (fullness 0).
        most: f64,
    },
    /// The corner lies on the straight line between the ends, half way, so no depth can be measured.
    NoCorner {
        /// The corner, half way between the ends.
        corner: Point,
    },
    /// A handle that runs backward.
    Handle {
        /// The length asked for, below nothing.
        wanted: f64,
    },
    /// A direction of no length.
    NoDirection,
    /// Fewer than two points, or two neighbours that coincide.
    TooFewPoints {
        /// Where two coincide, or the only point.
        at: Point,
    },
    /// The stretch to be smoothed is longer than the line, or has no length.
    Stretch {
        /// The stretch asked for.
        wanted: f64,
        /// The length of the line.
        length: f64,
    },
    /// The result is not a path.
    Path(PathFault),
}

impl From<PathFault> for CurveFault {
    fn from(fault: PathFault) -> CurveFault {
        CurveFault::Path(fault)
    }
}

/// The hollow curve from `p` to `q` in a corner, with a fullness of 0 to 1.
pub fn hollow(p: Point, corner: Point, q: Point, fullness: f64) -> Result<Path, CurveFault> {
    if !(0.0..=1.0).contains(&fullness) {
        return Err(CurveFault::Fullness { wanted: fullness });
    }
    let cubic = CubicBez::new(
        p,
        p + (corner - p) * fullness,
        q + (corner - q) * fullness,
        q,
    );
    Ok(Path::cubic(cubic)?)
}

/// The hollow curve from `p` to `q` that passes the corner at a depth in millimetres.
pub fn hollow_by_depth(p: Point, corner: Point, q: Point, depth: f64) -> Result<Path, CurveFault> {
    hollow(p, corner, q, fullness_for_depth(p, corner, q, depth)?)
}

/// The fullness at which the hollow passes the corner at a depth in millimetres.
pub fn fullness_for_depth(
    p: Point,
    corner: Point,
    q: Point,
    depth: f64,
) -> Result<f64, CurveFault> {
    let most = (corner - p.midpoint(q)).hypot();
    if most < MEETING {
        return Err(CurveFault::NoCorner { corner });
    }
    let (least, slack) = (0.25 * most, 1e-9 * most);
    if !(depth >= least - slack && depth <= most + slack) {
        return Err(CurveFault::Depth {
            wanted: depth,
            least,
            most,
        });
    }
    Ok(((1.0 - depth / most) / 0.75).clamp(0.0, 1.0))
}

/// The depth at which a hollow of a fullness passes the corner, in millimetres.
pub fn depth_for_fullness(p: Point, corner: Point, q: Point, fullness: f64) -> f64 {
    (1.0 - 0.75 * fullness) * (corner - p.midpoint(q)).hypot()
}

/// The sweep from `p` leaving in direction `u` to `q` arriving in direction `v`.
pub fn sweep(
    p: Point,
    u: Vec2,
    q: Point,
    v: Vec2,
    out: Handle,
    into: Handle,
) -> Result<Path, CurveFault> {
    let (u, v) = (unit(u), unit(v));
    if u == Vec2::ZERO || v == Vec2::ZERO {
        return Err(CurveFault::NoDirection);
    }
    let chord = (q - p).hypot();
    if chord < MEETING {
        return Err(PathFault::NoLength { at: p }.into());
    }
    let (a, b) = (out.on(chord), into.on(chord));
    for wanted in [a, b] {
        if wanted.is_nan() || wanted < 0.0 {
            return Err(CurveFault::Handle { wanted });
        }
    }
    Ok(Path::cubic(CubicBez::new(p, p + u * a, q - v * b, q))?)
}

/// The curve of one bend from `p` leaving in direction `u` to `q`, no direction given there: as a circle would run,
/// it arrives turned as much again as it left off the straight line.
pub fn sweep_leaving(p: Point, u: Vec2, q: Point) -> Result<Path, CurveFault> {
    let (chord, u) = (unit(q - p), unit(u));
    if u == Vec2::ZERO {
        return Err(CurveFault::NoDirection);
    }
    if chord == Vec2::ZERO {
        return Err(PathFault::NoLength { at: p }.into());
    }
    let v = mirrored_direction(u, chord);
    let share = arc_handle(u.dot(chord));
    sweep(p, u, q, v, Handle::Share(share), Handle::Share(share))
}

/// The curve of one bend from `p` to `q` arriving in direction `v`, no direction given at the start.
pub fn sweep_arriving(p: Point, q: Point, v: Vec2) -> Result<Path, CurveFault> {
    sweep_leaving(q, -v, p).map(|path| path.reversed())
}

/// A direction mirrored in another.
fn mirrored_direction(u: Vec2, axis: Vec2) -> Vec2 {
    axis * (2.0 * u.dot(axis)) - u
}

/// Handle of a circular arc as a share of its chord, by the cosine of the angle between chord and end direction:
/// 4/3·tan(θ/4) over 2·sin(θ/2), with θ/2 that angle. At the full half circle and beyond it stays as it is there.
fn arc_handle(cosine: f64) -> f64 {
    let half = cosine
        .clamp(-1.0, 1.0)
        .acos()
        .min(std::f64::consts::FRAC_PI_2 * 1.5);
    if half < 1e-6 {
        SWEEP_HANDLE
    } else {
        (2.0 / 3.0) * (half / 2.0).tan() / half.sin()
    }
}

/// Whether every point is on the paper and no two neighbours coincide; names the first that does.
pub(crate) fn apart_points(points: &[Point]) -> Result<(), CurveFault> {
    if points.iter().any(|p| !on_paper(*p)) {
        return Err(PathFault::OffThePaper.into());
    }
    let mut pairs = points.iter().zip(points.iter().skip(1));
    if points.len() < 2 {
        return Err(CurveFault::TooFewPoints {
            at: points.first().copied().unwrap_or_default(),
        });
    }
    match pairs.find(|(a, b)| (**b - **a).hypot() < MEETING) {
        Some((a, _)) => Err(CurveFault::TooFewPoints { at: *a }),
        None => Ok(()),
    }
}
