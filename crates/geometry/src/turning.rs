//! Where a cubic turns back on itself: a loop, a point, or a line run to and fro. No hand draws a seam so, and none can sew it.
//!
//! Method: a cubic has one double point at most, and its two parameters have a closed form (see [`self_meet`](super::self_meet)).
//! Both real and on the curve they are a loop's; as they come together it shrinks to a cusp; past that the curve only bends,
//! at first more tightly than a pencil line is wide. Where these regions lie: M. C. Stone and T. D. DeRose, *A geometric
//! characterization of parametric cubic curves*, ACM Transactions on Graphics 8 (3), 1989.

use super::segment::{curvature, derivatives, length_between, turns_of_to_and_fro};
use super::self_meet::double_point;
use super::{LENGTH_ACCURACY, MEETING};
use kurbo::{CubicBez, ParamCurve, PathSeg, Point};

/// A bend no wider than this, in millimetres, is a point on the cloth: a pencil line is as wide.
const A_POINT: f64 = 0.25;

/// How a cubic turns back on itself, and where. Lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurnsBack {
    /// It runs over itself.
    Loop {
        /// Where it does.
        at: Point,
        /// How far that is from its start, along it.
        along: f64,
        /// How long the loop is.
        long: f64,
    },
    /// It comes to a point and runs back from it.
    Point {
        /// The point.
        at: Point,
        /// How far that is from its start, along it.
        along: f64,
    },
}

impl TurnsBack {
    /// The same on a path that has gone so far before the cubic begins.
    pub fn farther(mut self, gone: f64) -> Self {
        let (Self::Loop { along, .. } | Self::Point { along, .. }) = &mut self;
        *along += gone;
        self
    }
}

/// How a cubic turns back on itself; none where it only bends.
pub fn turns_back(c: &CubicBez) -> Option<TurnsBack> {
    let seg = PathSeg::Cubic(*c);
    let along = |t: f64| length_between(&seg, 0.0, t, LENGTH_ACCURACY);
    let point = |t: f64| TurnsBack::Point {
        at: c.eval(t),
        along: along(t),
    };
    if let Some(turns) = turns_of_to_and_fro(&seg) {
        return turns.first().map(|t| point(*t));
    }
    let (sum, root) = double_point(c)?;
    if root > 0.0 {
        let (s, t) = (0.5 * (sum - root.sqrt()), 0.5 * (sum + root.sqrt()));
        if s < 0.0 || t > 1.0 {
            return None;
        }
        let long = along(t) - along(s);
        return Some(if long > MEETING {
            TurnsBack::Loop {
                at: c.eval(s),
                along: along(s),
                long,
            }
        } else {
            point(0.5 * sum)
        });
    }
    // Beside its slowest place a cubic runs as a parabola does; where its speed across is twice that at the tip, it has turned
    // by twice the angle of which 2 is the tangent.
    let t = 0.5 * sum;
    let (first, second) = derivatives(&seg, t);
    let reach = 2.0 * first.hypot() / second.hypot();
    let is_tight = curvature(&seg, t).abs() * A_POINT >= 1.0;
    (is_tight && t - reach > 0.0 && t + reach < 1.0).then(|| point(t))
}
