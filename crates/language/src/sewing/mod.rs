//! What the sentences of pieces and seams say, in one shape for every stage: as written, as checked, as drawn. A [`Stage`]
//! settles what a length, a point or an edge is there; a [`Step`] takes what is said from one stage to the next, part by
//! part. What a sentence says is listed here and nowhere else: each part with the word of the step that takes it on.

/// Declares what sentences say: their parts, each with the method of the step that takes it to the next stage, in the
/// order in which they are taken there.
macro_rules! says {
    ($(#[$what:meta])* $name:ident by $step:ident {
        $($(#[$sentence:meta])* $variant:ident { $($part:ident: $type:ty = $take:ident),* },)*
    }) => {
        $(#[$what])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(bound = "S: Written")]
        #[allow(missing_docs, reason = "parts are named as in the sentence that stands above them")]
        pub enum $name<S: Stage> {
            $($(#[$sentence])* $variant { $($part: $type),* },)*
        }

        impl<F: Stage> $name<F> {
            /// The same at the next stage.
            pub(crate) fn carry<'a, T: Stage, P: $step<'a, F, T>>(
                &'a self,
                to: &mut P,
            ) -> Result<$name<T>, P::Stop> {
                Ok(match self {
                    $(Self::$variant { $($part),* } => $name::$variant {
                        $($part: to.$take($part)?),*
                    },)*
                })
            }
        }
    };
}

mod piece;
mod seam;
pub mod side;

pub(crate) use piece::PieceStep;
pub use piece::{EdgeRef, OwnNotch, PieceSays};
pub(crate) use seam::SeamStep;
pub use seam::{Between, EaseHow, Held, Place, SeamNotchPlace, SeamSays, SewnAs};
pub use side::WearerSide;

use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt::Debug;

/// What the parts of sentences are at one stage.
pub trait Stage: Clone + Debug + PartialEq + 'static {
    /// A length; in millimetres once it is drawn.
    type Length: Clone + Debug;
    /// A point, with its name where it has one.
    type Point: Clone + Debug;
    /// Words in quotation marks, where there are any; once drawn with their figures, and empty where there are none.
    type Text: Clone + Debug;
    /// The form of a notch.
    type NotchForm: Clone + Debug;

    /// How many are cut.
    type Count: Clone + Debug;
    /// The name of a cloth.
    type Cloth: Clone + Debug;
    /// A line of the panel that becomes an edge of the piece.
    type Outlined: Clone + Debug;
    /// One of the piece's edges.
    type Edge: Clone + Debug;
    /// The two edges of a corner.
    type Corner: Clone + Debug;
    /// How the allowance is shaped at a corner.
    type Treatment: Clone + Debug;
    /// The line that the grain runs along.
    type Grain: Clone + Debug;
    /// A line of the panel by its name.
    type Line: Clone + Debug;
    /// Where the notches of a piece alone stand.
    type Notches: Clone + Debug;
    /// A point or line that is copied onto the cloth.
    type Marked: Clone + Debug;
    /// A button's diameter and thickness, where a mark has them.
    type Button: Clone + Debug;

    /// What is done with the cloth of a longer or shorter side, and how much of it.
    type Held: Clone + Debug;
    /// An edge by the name that a seam has for it.
    type SeamEdge: Clone + Debug;
    /// Where a seam's notch stands.
    type SeamNotch: Clone + Debug;
    /// How a seam is sewn, and how wide.
    type Sewn: Clone + Debug;
}

/// The stage of sentences as they stand in the text, so that they can be kept in a file.
pub trait Written:
    Stage<
        Length: Serialize + DeserializeOwned,
        Point: Serialize + DeserializeOwned,
        Text: Serialize + DeserializeOwned,
        NotchForm: Serialize + DeserializeOwned,
        Count: Serialize + DeserializeOwned,
        Cloth: Serialize + DeserializeOwned,
        Outlined: Serialize + DeserializeOwned,
        Edge: Serialize + DeserializeOwned,
        Corner: Serialize + DeserializeOwned,
        Treatment: Serialize + DeserializeOwned,
        Grain: Serialize + DeserializeOwned,
        Line: Serialize + DeserializeOwned,
        Notches: Serialize + DeserializeOwned,
        Marked: Serialize + DeserializeOwned,
        Button: Serialize + DeserializeOwned,
        Held: Serialize + DeserializeOwned,
        SeamEdge: Serialize + DeserializeOwned,
        SeamNotch: Serialize + DeserializeOwned,
        Sewn: Serialize + DeserializeOwned,
    >
{
}

/// The way from one stage to the next, for the parts that both a piece and a seam have.
pub(crate) trait Step<'a, F: Stage, T: Stage> {
    /// Why a sentence cannot be taken on.
    type Stop;

    fn length(&mut self, length: &'a F::Length) -> Result<T::Length, Self::Stop>;
    fn point(&mut self, point: &'a F::Point) -> Result<T::Point, Self::Stop>;
    fn text(&mut self, words: &'a F::Text) -> Result<T::Text, Self::Stop>;
    fn notch_form(&mut self, form: &'a F::NotchForm) -> Result<T::NotchForm, Self::Stop>;

    /// What is the same at all stages.
    fn same<X: Clone>(&mut self, part: &X) -> Result<X, Self::Stop> {
        Ok(part.clone())
    }

    fn maybe_length(
        &mut self,
        length: &'a Option<F::Length>,
    ) -> Result<Option<T::Length>, Self::Stop> {
        length.as_ref().map(|far| self.length(far)).transpose()
    }

    fn maybe_point(&mut self, point: &'a Option<F::Point>) -> Result<Option<T::Point>, Self::Stop> {
        point.as_ref().map(|point| self.point(point)).transpose()
    }
}
