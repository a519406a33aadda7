//! The measures of a dart, from which darts are moved, split, shortened and capped.
//!
//! The angle at the apex is what stays; the mouth is as wide as the distance from the apex makes it.

use super::MEETING;
use super::angle::Angle;
use super::moves::{MoveFault, mirror_over};
use super::segment::unit;
use kurbo::{Point, Vec2};

/// A dart by its apex and the ends of its two legs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dart {
    /// Where it comes to a point.
    pub apex: Point,
    /// The end of one leg.
    pub first: Point,
    /// The end of the other.
    pub second: Point,
}

impl Dart {
    /// A dart, each leg at least [`MEETING`] long.
    pub fn new(apex: Point, first: Point, second: Point) -> Result<Dart, MoveFault> {
        for at in [first, second] {
            if (at - apex).hypot() < MEETING {
                return Err(MoveFault::NoDirection { at });
            }
        }
        Ok(Dart {
            apex,
            first,
            second,
        })
    }

    /// The turn about the apex that takes the first leg to the second, clockwise positive: what closes the dart.
    pub fn angle(&self) -> Angle {
        Angle::between(self.first - self.apex, self.second - self.apex)
    }

    /// The distance between the ends of the legs in millimetres.
    pub fn mouth(&self) -> f64 {
        (self.second - self.first).hypot()
    }

    /// Lengths of the two legs in millimetres.
    pub fn legs(&self) -> (f64, f64) {
        (
            (self.first - self.apex).hypot(),
            (self.second - self.apex).hypot(),
        )
    }

    /// Unit direction from the apex between the legs.
    pub fn bisector(&self) -> Vec2 {
        (self.angle() / 2.0).turn(unit(self.first - self.apex))
    }

    /// The second leg's end moved along that leg so that both legs are as long as the first.
    pub fn trued(&self) -> Dart {
        let leg = unit(self.second - self.apex) * (self.first - self.apex).hypot();
        Dart {
            second: self.apex + leg,
            ..*self
        }
    }

    /// The dart whose apex lies `by` millimetres nearer to the mouth on its bisector, the legs' ends unmoved.
    pub fn shortened(&self, by: f64) -> Result<Dart, MoveFault> {
        Dart::new(self.apex + self.bisector() * by, self.first, self.second)
    }

    /// The cap point, at which the mouth's edge turns when the dart is pressed toward the first or the second leg.
    ///
    /// `seam` is the direction in which the seam leaves the leg it is pressed toward, away from the dart. The point
    /// lies on the bisector at r·sin β / sin(β + α/2) from the apex, β the angle between seam and leg: the seam
    /// mirrored in that leg meets the bisector there.
    pub fn cap(&self, pressed_toward_first: bool, seam: Vec2) -> Result<Point, MoveFault> {
        let leg_end = if pressed_toward_first {
            self.first
        } else {
            self.second
        };
        let leg = unit(leg_end - self.apex);
        let mirrored = mirror_over(self.apex, leg);
        let into = unit((mirrored * (self.apex + unit(seam))) - self.apex);
        let bisector = self.bisector();
        let cross = into.cross(bisector);
        if cross.abs() < 1e-9 {
            return Err(MoveFault::NoDirection { at: leg_end });
        }
        // apex + bisector·s = leg_end + into·t
        let along = (leg_end - self.apex).cross(into) / bisector.cross(into);
        Ok(self.apex + bisector * along)
    }
}

/// Distance of the cap point from the apex: r·sin β / sin(β + α/2), legs `leg` long, dart angle α, seam at β to the leg
/// toward which the dart is pressed.
pub fn cap_distance(leg: f64, angle: Angle, seam: Angle) -> f64 {
    let (above, below) = (seam.sin_cos().0, (seam + angle / 2.0).sin_cos().0);
    leg * above / below
}
