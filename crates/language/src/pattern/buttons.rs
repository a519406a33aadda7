//! Buttons and their holes at true size. A mark that says `button` shows one, a mark that says `buttonhole` the hole it wants,
//! a mark that says both shows both, as on a front whose twin carries the buttons. So the same button has the same hole wherever
//! it is: a point gives the place of its button, a line where the hole begins and which way it lies.

use super::Piece;
use super::spec::{Button, MarkSpec, Value};
use kurbo::{Point, Vec2};

/// An upright buttonhole begins this far above its button: the button hangs in the upper end of it (common practice).
const ABOVE: f64 = 3.0;

/// A button where it is sewn on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sewn {
    /// The middle of the button, in millimetres on the piece's sheet.
    pub at: Point,
    /// Half of its diameter in millimetres.
    pub radius: f64,
}

/// What a mark's words say of buttons: whether it is one, whether it is a hole.
fn said(text: &str) -> (bool, bool) {
    let text = text.to_lowercase();
    let hole = text.contains("buttonhole");
    (text.replace("buttonhole", "").contains("button"), hole)
}

impl MarkSpec {
    fn sized(&self) -> Option<(Point, Button)> {
        match (&self.shape, self.button) {
            (Value::Point(at), Some(button)) => Some((*at, button)),
            _ => None,
        }
    }

    /// The button that is marked, where its size is given.
    pub fn sewn_button(&self) -> Option<Sewn> {
        let (at, button) = self.sized()?;
        let radius = button.diameter / 2.0;
        said(&self.text).0.then_some(Sewn { at, radius })
    }
}

impl Piece {
    /// The buttonhole that a mark stands for. At a point, from its upper end: upright along the grain, as on a centre front. On
    /// a line, from the line's start and along it, as on a band: as long as the button wants, or as the line where
    /// no size is given.
    pub fn buttonhole(&self, mark: &MarkSpec) -> Option<(Point, Point)> {
        if !said(&mark.text).1 {
            return None;
        }
        if let Value::Line(path) | Value::Curve(path) = &mark.shape {
            let (start, along) = (path.start().ok()?, path.direction_of_straight()?);
            let long = match mark.button {
                Some(button) => button.hole(),
                None => path.length().ok()?,
            };
            return Some((start, start + along * long));
        }
        let (at, button) = mark.sized()?;
        let along = self.grain.as_ref().and_then(|grain| {
            grain.direction_of_straight().or_else(|| {
                let (a, b) = (grain.start().ok()?, grain.end().ok()?);
                let way = b - a;
                (way.hypot() > 0.0).then(|| way / way.hypot())
            })
        });
        let up = match along {
            Some(along) if along.y < 0.0 => -along,
            Some(along) => along,
            None => Vec2::new(0.0, 1.0),
        };
        let top = at + up * ABOVE.min(button.hole() / 2.0);
        Some((top, top - up * button.hole()))
    }
}

#[cfg(test)]
mod tests {
    use super::said;

    #[test]
    fn words_tell_buttons_from_holes() {
        assert_eq!(said("button"), (true, false));
        assert_eq!(said("Buttonhole"), (false, true));
        assert_eq!(
            said("buttonholes on the right, buttons on the other"),
            (true, true)
        );
        assert_eq!(said("drill"), (false, false));
    }
}
