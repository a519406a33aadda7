//! What a phrase is handed. A function that carries one out says by its parameters what it takes: `Arg<Length>` for a place
//! that takes a length, `Option<Arg<Dot>>` for one that may be left out. They stand in the order of the row, places first,
//! then options; [`Form::disagreement`](super::Form::disagreement) holds them against it.

use super::call::{Call, Fault, settle};
use super::form::Takes;
use super::value::{Bearing, Value};
use crate::report::Code;
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use std::marker::PhantomData;
use std::ops::Deref;
use std::sync::Arc;

/// A sort of argument: the kinds it can be read from, and what a function gets of it.
pub trait Sort: 'static {
    /// What the function works with; figures are in millimetres, degrees, square millimetres or plain numbers.
    type Given;
    /// The kinds it can be read from.
    const TAKES: Takes;
    /// Whether it is several of them.
    const MANY: bool = false;

    /// Reads it from what stands in a place.
    ///
    /// # Errors
    /// Where nothing was left of it by a cut, or a line that has to lead somewhere has no length. The check of kinds lets
    /// nothing else through; still, a value of another kind is a message and not a panic.
    fn read(value: Value, call: &Call, place: usize) -> Result<Self::Given, Fault>;
}

/// An argument, which knows where in its phrase it stands.
pub struct Arg<S: Sort> {
    given: S::Given,
    place: usize,
}

impl<S: Sort> Arg<S> {
    /// Another reading of what stands in the same place.
    pub fn as_sort<T: Sort>(&self, value: Value, call: &Call) -> Result<Arg<T>, Fault> {
        Arg::of(value, call, self.place)
    }

    fn of(value: Value, call: &Call, place: usize) -> Result<Self, Fault> {
        let given = S::read(value, call, place)?;
        Ok(Self { given, place })
    }
}

impl<S: Sort> Deref for Arg<S> {
    type Target = S::Given;

    fn deref(&self) -> &S::Given {
        &self.given
    }
}

/// What a message can point at: an argument, or a place by its number in the row.
pub trait Placed {
    /// By place, then by option.
    fn place(&self) -> usize;
}

impl Placed for usize {
    fn place(&self) -> usize {
        *self
    }
}

impl<S: Sort> Placed for &Arg<S> {
    fn place(&self) -> usize {
        self.place
    }
}

/// What a parameter of a function asks of its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The kinds it can be read from.
    pub takes: Takes,
    /// Whether it is several of them.
    pub many: bool,
    /// Whether the function does without.
    pub optional: bool,
}

/// A parameter of a function that carries out a phrase.
pub trait Parameter: Sized {
    /// What it asks of its place.
    const ASKED: Asked;

    /// Reads it from its place.
    ///
    /// # Errors
    /// As [`Sort::read`].
    fn read(value: Option<Value>, call: &Call, place: usize) -> Result<Self, Fault>;
}

impl<S: Sort> Parameter for Arg<S> {
    const ASKED: Asked = Asked {
        takes: S::TAKES,
        many: S::MANY,
        optional: false,
    };

    fn read(value: Option<Value>, call: &Call, place: usize) -> Result<Self, Fault> {
        match value {
            Some(value) => Arg::of(value, call, place),
            None => Err(cannot_use(place)),
        }
    }
}

impl<S: Sort> Parameter for Option<Arg<S>> {
    const ASKED: Asked = Asked {
        optional: true,
        ..Arg::<S>::ASKED
    };

    fn read(value: Option<Value>, call: &Call, place: usize) -> Result<Self, Fault> {
        value.map(|value| Arg::of(value, call, place)).transpose()
    }
}

/// A function that carries out a phrase. Its parameters are `P`, after the call; `Alone<P>` where it does without the call.
pub trait CarriesOut<P>: Send + Sync + 'static {
    /// What each parameter asks of its place.
    const ASKED: &'static [Asked];

    /// Carries it out; the arguments are taken out of their places.
    ///
    /// # Errors
    /// Where there is no answer, or several.
    fn carry_out(&self, call: &mut Call, args: &mut [Option<Value>]) -> Result<Value, Fault>;
}

/// The parameters of a function that needs nothing of its call.
pub struct Alone<P>(PhantomData<P>);

macro_rules! carries_out {
    ($($parameter:ident)*) => {
        carries_out!(($($parameter,)*); call: &mut Call; $($parameter)*);
        carries_out!(Alone<($($parameter,)*)>;; $($parameter)*);
    };
    ($parameters:ty; $($call:ident: $of:ty)?; $($parameter:ident)*) => {
        impl<Does, $($parameter: Parameter,)*> CarriesOut<$parameters> for Does
        where
            Does: Fn($($of,)? $($parameter),*) -> Result<Value, Fault> + Send + Sync + 'static,
        {
            const ASKED: &'static [Asked] = &[$($parameter::ASKED),*];

            #[allow(non_snake_case, unused, reason = "one for each number of parameters")]
            fn carry_out(&self, call: &mut Call, args: &mut [Option<Value>]) -> Result<Value, Fault> {
                let mut places = args.iter_mut().map(Option::take).enumerate();
                $(
                    let (place, value) = places.next().unwrap_or_default();
                    let $parameter = $parameter::read(value, call, place)?;
                )*
                $(let $call = call;)?
                self($($call,)? $($parameter),*)
            }
        }
    };
}

carries_out!();
carries_out!(A);
carries_out!(A B);
carries_out!(A B C);
carries_out!(A B C D);
carries_out!(A B C D E);
carries_out!(A B C D E F);
carries_out!(A B C D E F G);
carries_out!(A B C D E F G H);
carries_out!(A B C D E F G H I);

/// A function of a row, whatever its parameters.
#[derive(Clone)]
pub struct Function {
    carry_out: Arc<CarryOut>,
    /// What each parameter asks of its place.
    pub(super) asked: &'static [Asked],
}

type CarryOut = dyn Fn(&mut Call, &mut [Option<Value>]) -> Result<Value, Fault> + Send + Sync;

impl Function {
    pub(super) fn of<P, F: CarriesOut<P>>(function: F) -> Self {
        Self {
            carry_out: Arc::new(move |call, args| function.carry_out(call, args)),
            asked: F::ASKED,
        }
    }

    /// Carries out the phrase with its arguments, by place, then by option; none where left out.
    ///
    /// # Errors
    /// Where there is no answer, or several.
    pub fn carry_out(&self, call: &mut Call, args: &mut [Option<Value>]) -> Result<Value, Fault> {
        (self.carry_out)(call, args)
    }
}

/// Sorts that are read off the shape of the value alone.
macro_rules! sorts {
    ($($(#[$doc:meta])* $sort:ident is $given:ty, $takes:expr, $($shape:pat => $read:expr),+;)*) => {$(
        $(#[$doc])*
        pub enum $sort {}

        impl Sort for $sort {
            type Given = $given;
            const TAKES: Takes = $takes;

            fn read(value: Value, call: &Call, place: usize) -> Result<$given, Fault> {
                match value {
                    $($shape => Ok($read),)+
                    other => Err(wrong(&other, call, place)),
                }
            }
        }
    )*};
}

sorts! {
    /// A length in millimetres.
    Length is f64, Takes::LENGTH, Value::Quantity(mm) => mm;
    /// An angle in degrees, without a sense.
    Angle is f64, Takes::ANGLE, Value::Quantity(degrees) => degrees;
    /// A figure without a unit.
    Number is f64, Takes::NUMBER, Value::Quantity(number) => number;
    /// A figure of any kind, whose kind does not matter.
    Figure is f64, Takes::FIGURE.or(Takes::UNNAMED), Value::Quantity(figure) => figure;
    /// An angle with its sense, in degrees, clockwise positive.
    Turn is f64, Takes::TURN, Value::Turn(degrees) => degrees;
    /// A point of the sheet.
    Dot is Point, Takes::POINT, Value::Point(at) => at;
    /// A line or curve, of no length too.
    LineOrNothing is Arc<Path>, Takes::PATH, Value::Path(path) => path;
    /// A way to go: a direction, fixed or settled on the spot, or a point to head for.
    Way is Bearing, Takes::BEARING.or(Takes::POINT),
        Value::Direction(way) => Bearing::Fixed(way),
        Value::Point(point) => Bearing::At(point),
        Value::Bearing(bearing) => *bearing;
    /// A list of anything.
    Items is Arc<[Value]>, Takes::LIST, Value::List(items) => items;
}

/// Whatever is drawn, one or several, kept as it is.
pub enum Things {}

impl Sort for Things {
    type Given = Value;
    const TAKES: Takes = Takes::DRAWN.or(Takes::PANEL);
    const MANY: bool = true;

    fn read(value: Value, _: &Call, _: usize) -> Result<Value, Fault> {
        Ok(value)
    }
}

/// A line or curve that leads somewhere.
pub enum Line {}

impl Sort for Line {
    type Given = Arc<Path>;
    const TAKES: Takes = Takes::PATH;

    fn read(value: Value, call: &Call, place: usize) -> Result<Arc<Path>, Fault> {
        let path = LineOrNothing::read(value, call, place)?;
        if path.is_nothing() {
            let line = call.named_at(place, "this line");
            let message = format!("Here {line} has no length, so it leads nowhere.");
            return Err(Fault::new(Code::NoLength, message).label(place, "no length"));
        }
        Ok(path)
    }
}

/// A line to run to or be cut by, or a point to be level with or be cut at.
pub enum LineOrDot {
    /// A line or curve, of no length too.
    Line(Arc<Path>),
    /// A point of the sheet.
    Dot(Point),
}

impl Sort for LineOrDot {
    type Given = LineOrDot;
    const TAKES: Takes = Takes::PATH.or(Takes::POINT);

    fn read(value: Value, call: &Call, place: usize) -> Result<LineOrDot, Fault> {
        match value {
            Value::Path(path) => Ok(LineOrDot::Line(path)),
            Value::Point(at) => Ok(LineOrDot::Dot(at)),
            other => Err(wrong(&other, call, place)),
        }
    }
}

impl Arg<Way> {
    /// Which way it goes at a point, as a unit vector; `way_on` chooses between two senses.
    ///
    /// # Errors
    /// Where it goes nowhere, or either way.
    pub fn settled(&self, at: Point, way_on: Option<Vec2>) -> Result<Vec2, Fault> {
        settle(self, at, way_on).map_err(|fault| fault.label(self, ""))
    }
}

/// Something with the sense in which it is gone round or to.
pub struct Round<T> {
    /// A length in millimetres, or a point.
    pub far: T,
    /// As seen on the paper.
    pub clockwise: bool,
}

/// Reads something with its sense.
fn round<S: Sort>(value: Value, call: &Call, place: usize) -> Result<Round<S::Given>, Fault> {
    if let Value::List(items) = &value
        && let [far, Value::Answer(clockwise)] = items.as_ref()
    {
        return Ok(Round {
            far: S::read(far.clone(), call, place)?,
            clockwise: *clockwise,
        });
    }
    Err(wrong(&value, call, place))
}

/// A length to be gone round a circle.
pub enum LengthRound {}

impl Sort for LengthRound {
    type Given = Round<f64>;
    const TAKES: Takes = Takes::LENGTH_ROUND;

    fn read(value: Value, call: &Call, place: usize) -> Result<Round<f64>, Fault> {
        round::<Length>(value, call, place)
    }
}

/// A point that is gone to round a circle.
pub enum DotRound {}

impl Sort for DotRound {
    type Given = Round<Point>;
    const TAKES: Takes = Takes::POINT_ROUND;

    fn read(value: Value, call: &Call, place: usize) -> Result<Round<Point>, Fault> {
        round::<Dot>(value, call, place)
    }
}

/// Several of a sort, or a list of them; one stands for itself.
pub struct Several<S>(PhantomData<S>);

/// Several points, in the order they are named.
pub type Dots = Several<Dot>;
/// Several lines, of no length too.
pub type Lines = Several<LineOrNothing>;
/// Several lengths, in millimetres.
pub type Lengths = Several<Length>;
/// Several figures of one kind.
pub type Figures = Several<Figure>;

impl<S: Sort> Sort for Several<S> {
    type Given = Vec<S::Given>;
    const TAKES: Takes = S::TAKES.or(Takes::LIST);
    const MANY: bool = true;

    fn read(value: Value, call: &Call, place: usize) -> Result<Self::Given, Fault> {
        match value {
            Value::List(items) => items
                .iter()
                .map(|item| S::read(item.clone(), call, place))
                .collect(),
            one => Ok(vec![S::read(one, call, place)?]),
        }
    }
}

/// A value that its place cannot use, or of which nothing is left.
fn wrong(value: &Value, call: &Call, place: usize) -> Fault {
    let Value::Absent = value else {
        return cannot_use(place);
    };
    let line = call.named_at(place, "this line");
    let message =
        format!("Nothing of {line} is left here: it lay wholly on the other side of a cut.");
    Fault::new(Code::CannotBeDrawn, message).label(place, "cut away")
}

fn cannot_use(place: usize) -> Fault {
    let message = "This phrase cannot use the value given here.";
    Fault::new(Code::WrongKind, message).label(place, "")
}
