//! Hands on the drawing: what could move a drawn thing, and which figure of the text brings it nearest to where a hand would have
//! it. Everything is tried on the draft itself: a figure is written into the text and drawn, so that what is promised is what the
//! text will say. One figure changes, in the step it is written in, within its declared range, and nothing else does; the default
//! of a measure of the body never changes.

mod drag;
mod figure;
mod movers;

pub use drag::Dragged;
pub use figure::Fineness;
pub use movers::{Mover, Movers};

use crate::session::Session;
use crate::session::places::Units;
use kurbo::Point;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::FileId;
use serde::{Deserialize, Serialize};

/// What a hand takes hold of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Thing {
    /// A point, by its full name: `back.underarm`.
    Point(String),
    /// A place on a line or curve, by its full name and the share of its length before that place.
    On(String, f64),
    /// A notch of a piece, by the piece's name and its number among the piece's notches, from 0.
    Notch(String, usize),
    /// A mark of a piece (a button, a drill hole), by the piece's name and its number among the piece's marks, from 0.
    Mark(String, usize),
}

impl Thing {
    /// Where it is in a drawing, in millimetres, y up; nowhere where it is not drawn.
    pub fn place(&self, outcome: &Outcome) -> Option<Point> {
        let pattern = &outcome.pattern;
        let value = |name: &str| {
            let mut values = pattern.values.iter();
            values.find(|one| one.name == *name).map(|one| &one.value)
        };
        match self {
            Thing::Point(name) => match value(name)? {
                Value::Point(point) => Some(*point),
                _ => None,
            },
            Thing::On(name, share) => match value(name)? {
                Value::Line(path) | Value::Curve(path) => {
                    let length = path.length().ok()?;
                    path.point_at(length * share).ok()
                }
                _ => None,
            },
            Thing::Notch(piece, number) => {
                let notch = pattern.piece(piece)?.notches.get(*number)?;
                notch.marks.first().map(|mark| mark.sewing)
            }
            Thing::Mark(piece, number) => match &pattern.piece(piece)?.marks.get(*number)?.shape {
                Value::Point(point) => Some(*point),
                Value::Line(path) | Value::Curve(path) => path.start().ok(),
                _ => None,
            },
        }
    }
}

/// A draft at hand, with a second one that figures are tried on.
pub struct Hands<'s> {
    session: &'s Session,
    tried: Session,
    own: FileId,
    units: Units,
}

impl Session {
    /// What moves what is drawn.
    pub fn hands(&self) -> Hands<'_> {
        self.hands_with(self.twin())
    }

    /// The same, with what figures were tried on before, of the same draft with the same values: it need not be drawn from nothing.
    pub(crate) fn hands_with(&self, tried: Session) -> Hands<'_> {
        Hands {
            session: self,
            tried,
            own: self.own_file().unwrap_or_default(),
            units: Units::of(self.text()),
        }
    }
}

impl Hands<'_> {
    /// What figures were tried on, for the next time.
    pub(crate) fn into_tried(self) -> Session {
        self.tried
    }
}
