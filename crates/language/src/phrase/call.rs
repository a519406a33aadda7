//! A phrase being carried out: the words for a message, and the aids it leaves on the paper.

use super::aid::Aid;
use super::argument::Placed;
use super::value::Bearing;
use crate::report::{Code, Put, Trouble};
use crate::voice::Words;
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use std::sync::Arc;

/// What a fault of a phrase concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blamed {
    /// The phrase as a whole.
    Phrase,
    /// The argument in this place.
    Argument(usize),
}

/// A construction that has no answer, or several. The places in the text are added by those who know them.
pub type Fault = Trouble<Blamed>;

impl Fault {
    /// A fault with its sentence.
    pub fn new(code: Code, message: impl Into<Words>) -> Self {
        Self::error(code, Blamed::Phrase, message)
    }

    /// Points at an argument.
    pub fn label(self, at: impl Placed, words: impl Into<Words>) -> Self {
        self.see(Blamed::Argument(at.place()), words)
    }

    /// Letters that mend it, put where an argument stands.
    pub(crate) fn cure_at(self, at: impl Placed, put: Put, words: impl Into<Words>) -> Self {
        self.cure(Blamed::Argument(at.place()), put, words)
    }
}

/// A phrase being carried out, beside its arguments.
pub struct Call<'a> {
    /// The name of each argument that is a plain name, for messages.
    pub names: &'a [Option<Arc<str>>],
    /// What is left on the paper; nobody asks for it while a trial is being drawn.
    pub aids: Option<&'a mut Vec<Aid>>,
    /// Work that shows only while it is done, beyond what the size of the arguments tells.
    pub more_work: u64,
    /// What is worth a look, though it was drawn.
    pub remarks: Vec<Fault>,
}

impl Call<'_> {
    /// A phrase carried out aside, of arguments without names; nothing is kept of it but its value.
    pub fn aside() -> Self {
        Self {
            names: &[],
            aids: None,
            more_work: 0,
            remarks: Vec::new(),
        }
    }

    /// The argument in words: "the side guide" where it has a name, else `otherwise`.
    pub fn named(&self, argument: impl Placed, otherwise: &str) -> String {
        self.named_at(argument.place(), otherwise)
    }

    pub(super) fn named_at(&self, place: usize, otherwise: &str) -> String {
        match self.names.get(place) {
            Some(Some(name)) => crate::voice::the(name),
            _ => otherwise.to_owned(),
        }
    }

    /// Leaves an aid on the paper.
    pub fn leave(&mut self, aid: Aid) {
        if let Some(aids) = &mut self.aids {
            aids.push(aid);
        }
    }
}

/// Which way a bearing goes at a place.
///
/// # Errors
/// When the place is the point headed for, or both senses are within a degree of a tie.
pub(super) fn settle(bearing: &Bearing, at: Point, way_on: Option<Vec2>) -> Result<Vec2, Fault> {
    let unit = |v: Vec2| (v.hypot() > 1e-9).then(|| v / v.hypot());
    match bearing {
        Bearing::Fixed(way) => Ok(*way),
        Bearing::At(point) => unit(*point - at).ok_or_else(no_way),
        Bearing::AwayFrom(point) => unit(at - *point).ok_or_else(no_way),
        Bearing::Along(path) => choose_sense(tangent_near(path, at), way_on, "along"),
        Bearing::SquareTo(path, toward) => {
            let tangent = tangent_near(path, at);
            let normal = Vec2::new(-tangent.y, tangent.x);
            let chosen = match toward {
                Some(toward) => Some(settle(toward, at, way_on)?),
                None => way_on,
            };
            choose_sense(normal, chosen, "square to")
        }
    }
}

fn no_way() -> Fault {
    Fault::new(
        Code::NoLength,
        "The direction has nowhere to go: it starts on the very point it heads for.",
    )
}

/// Unit tangent of a path at its nearest place.
pub(super) fn tangent_near(path: &Path, at: Point) -> Vec2 {
    path.tangent_at(path.nearest(at).location)
}

fn choose_sense(way: Vec2, way_on: Option<Vec2>, words: &str) -> Result<Vec2, Fault> {
    let Some(on) = way_on.filter(|v| v.hypot() > 1e-9) else {
        return Err(which_sense(words));
    };
    let cosine = way.dot(on) / on.hypot();
    // Within a degree of a right angle neither sense is the way on.
    if cosine.abs() < 1f64.to_radians().sin() {
        return Err(which_sense(words));
    }
    Ok(if cosine > 0.0 { way } else { -way })
}

fn which_sense(words: &str) -> Fault {
    let help = match words {
        "along" => "Write a direction word, or a point after `toward`.",
        _ => "Say the side: `square to L toward right`, or toward a point.",
    };
    Fault::new(
        Code::WhichSense,
        format!(
            "`{words}` has two senses here, and the next point lies as near to one as to the other."
        ),
    )
    .help(help)
}
