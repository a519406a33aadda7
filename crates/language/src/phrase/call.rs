//! A phrase being carried out: its arguments, the words for a message, and the aids it leaves on the paper.

use super::aid::Aid;
use super::value::{Bearing, Value};
use crate::report::{Code, Trouble};
use crate::voice::{LengthUnit, Words};
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use std::sync::Arc;

/// What a fault of a phrase concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blamed {
    /// All of it.
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
    pub fn label(self, place: usize, words: impl Into<Words>) -> Self {
        self.see(Blamed::Argument(place), words)
    }
}

/// A phrase being carried out.
pub struct Call<'a> {
    /// By place, then by option; none where left out.
    pub args: &'a [Option<Value>],
    /// The name of each argument that is a plain name, for messages.
    pub names: &'a [Option<Arc<str>>],
    /// For each option whose place takes a share or a length: whether a length was given.
    pub lengths: &'a [bool],
    /// The draft's unit.
    pub unit: LengthUnit,
    /// What is left on the paper; nobody asks for it while a trial is being drawn.
    pub aids: Option<&'a mut Vec<Aid>>,
    /// Work that shows only while it is done, beyond what the size of the arguments tells.
    pub more_work: u64,
}

impl Call<'_> {
    /// Whether the place or option was given.
    pub fn has(&self, place: usize) -> bool {
        self.arg(place).is_some()
    }

    /// The argument, where given.
    pub fn arg(&self, place: usize) -> Option<&Value> {
        self.args.get(place).and_then(Option::as_ref)
    }

    /// A point.
    pub fn point(&self, place: usize) -> Result<Point, Fault> {
        match self.arg(place) {
            Some(Value::Point(point)) => Ok(*point),
            _ => Err(self.mismatch(place)),
        }
    }

    /// A point where one was given.
    pub fn maybe_point(&self, place: usize) -> Option<Point> {
        self.point(place).ok()
    }

    /// A line or curve that leads somewhere.
    pub fn path(&self, place: usize) -> Result<Arc<Path>, Fault> {
        let path = self.path_or_nothing(place)?;
        if path.is_nothing() {
            let line = self.named(place, "this line");
            let message = format!("Here {line} has no length, so it leads nowhere.");
            return Err(Fault::new(Code::NoLength, message).label(place, "no length"));
        }
        Ok(path)
    }

    /// A line or curve, of no length too.
    pub fn path_or_nothing(&self, place: usize) -> Result<Arc<Path>, Fault> {
        match self.arg(place) {
            Some(Value::Path(path)) => Ok(Arc::clone(path)),
            _ => Err(self.mismatch(place)),
        }
    }

    /// A figure: millimetres, degrees, square millimetres or a number.
    pub fn figure(&self, place: usize) -> Result<f64, Fault> {
        match self.arg(place) {
            Some(Value::Quantity(figure) | Value::Turn(figure)) => Ok(*figure),
            _ => Err(self.mismatch(place)),
        }
    }

    /// A length, and whether it goes round clockwise.
    pub fn length_round(&self, place: usize) -> Result<(f64, bool), Fault> {
        match self.round(place) {
            Some((Value::Quantity(length), clockwise)) => Ok((*length, clockwise)),
            _ => Err(self.mismatch(place)),
        }
    }

    /// A point, and whether it is gone to clockwise.
    pub fn point_round(&self, place: usize) -> Result<(Point, bool), Fault> {
        match self.round(place) {
            Some((Value::Point(point), clockwise)) => Ok((*point, clockwise)),
            _ => Err(self.mismatch(place)),
        }
    }

    fn round(&self, place: usize) -> Option<(&Value, bool)> {
        match self.arg(place)? {
            Value::List(items) => match items.as_ref() {
                [value, Value::Answer(clockwise)] => Some((value, *clockwise)),
                _ => None,
            },
            _ => None,
        }
    }

    /// Whether the figure in a place that takes a length or a number is a length.
    pub fn is_length(&self, place: usize) -> bool {
        self.lengths.get(place).copied().unwrap_or(false)
    }

    /// Several values: a list's items, or the one value given.
    pub fn items(&self, place: usize) -> Result<Vec<Value>, Fault> {
        match self.arg(place) {
            Some(Value::List(items)) => Ok(items.to_vec()),
            Some(one) => Ok(vec![one.clone()]),
            None => Err(self.mismatch(place)),
        }
    }

    /// Several points.
    pub fn points(&self, place: usize) -> Result<Vec<Point>, Fault> {
        let as_point = |value: &Value| {
            if let Value::Point(point) = value {
                Some(*point)
            } else {
                None
            }
        };
        self.items(place)?
            .iter()
            .map(|v| as_point(v).ok_or_else(|| self.mismatch(place)))
            .collect()
    }

    /// Several lines or curves.
    pub fn paths(&self, place: usize) -> Result<Vec<Arc<Path>>, Fault> {
        let as_path = |value: &Value| {
            if let Value::Path(path) = value {
                Some(Arc::clone(path))
            } else {
                None
            }
        };
        self.items(place)?
            .iter()
            .map(|v| as_path(v).ok_or_else(|| self.mismatch(place)))
            .collect()
    }

    /// A direction as written.
    pub fn bearing(&self, place: usize) -> Result<Bearing, Fault> {
        match self.arg(place) {
            Some(Value::Direction(way)) => Ok(Bearing::Fixed(*way)),
            Some(Value::Point(point)) => Ok(Bearing::At(*point)),
            Some(Value::Bearing(bearing)) => Ok((**bearing).clone()),
            _ => Err(self.mismatch(place)),
        }
    }

    /// Which way the direction in `place` goes at `at`; `way_on` chooses between two senses.
    pub fn direction(&self, place: usize, at: Point, way_on: Option<Vec2>) -> Result<Vec2, Fault> {
        let bearing = self.bearing(place)?;
        settle(&bearing, at, way_on).map_err(|fault| fault.label(place, ""))
    }

    /// A length for people.
    pub fn length(&self, mm: f64) -> String {
        self.unit.length(mm)
    }

    /// The argument in words: "the side guide" where it has a name, else `otherwise`.
    pub fn named(&self, place: usize, otherwise: &str) -> String {
        match self.names.get(place) {
            Some(Some(name)) => format!("the {}", crate::voice::name(name)),
            _ => otherwise.to_owned(),
        }
    }

    /// Leaves an aid on the paper.
    pub fn leave(&mut self, aid: Aid) {
        if let Some(aids) = &mut self.aids {
            aids.push(aid);
        }
    }

    /// The check of kinds lets no such call through; still, it is a message and not a panic.
    fn mismatch(&self, place: usize) -> Fault {
        match self.arg(place) {
            Some(Value::Absent) => Fault::new(
                Code::CannotBeDrawn,
                format!(
                    "Nothing of {} is left here: it lay wholly on the other side of a cut.",
                    self.named(place, "this line")
                ),
            )
            .label(place, "cut away"),
            _ => Fault::new(
                Code::WrongKind,
                "This phrase cannot use the value given here.",
            )
            .label(place, ""),
        }
    }
}

/// Which way a bearing goes at a place.
///
/// # Errors
/// When the place is the point headed for, or both senses are within a degree of a tie.
pub fn settle(bearing: &Bearing, at: Point, way_on: Option<Vec2>) -> Result<Vec2, Fault> {
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
pub fn tangent_near(path: &Path, at: Point) -> Vec2 {
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
