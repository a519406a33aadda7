//! What a sentence of a piece says.

use super::{Place, Stage, Step, WearerSide, Written};
use crate::report::Span;
use serde::{Deserialize, Serialize};

says! {
    /// What a sentence of a piece says. A later sentence of the same word and edge stands in place of an earlier one.
    PieceSays by PieceStep {
        /// `outline a, b as c, d`: in order round the piece; each edge may run either way.
        Outline { edges: Vec<S::Outlined> = outline },
        /// `cut 2 alike on fold at L from main`: `alike` are all the same way up, not mirrored pairs. `cut 2 whole at L`: drawn as a
        /// half, and laid out and cut whole.
        Cut {
            count: S::Count = count,
            alike: bool = same,
            fold: Option<S::Edge> = edge,
            whole: bool = same,
            cloth: Option<S::Cloth> = cloth
        },
        /// `grain along L`: its direction and length as drawn; `grain across L`: square to it.
        Grain { along: S::Grain = grain, across: bool = same },
        /// `allow W on a, b`; on none, it is the width where neither edge nor seam says one. `allow W to V on a from P`: W at
        /// its end P, and evenly more or less from there to V at the other.
        Allow {
            width: S::Length = length,
            to: Option<S::Length> = maybe_length,
            on: Vec<S::Edge> = edges,
            from: Option<S::Point> = maybe_point
        },
        /// `corner a, b turned back`: first the hem, or the edge of the seam sewn first.
        Corner { treatment: S::Treatment = treatment, edges: S::Corner = corner },
        /// `finish a, b "hemmed 5 and 5"`: edges that no seam joins.
        Finish { edges: Vec<S::Edge> = edges, words: S::Text = text },
        /// `fold a, b onto c`: fold lines, notched where they cross the outline, and the line they are laid onto.
        Fold { onto: Option<S::Line> = line, lines: Vec<S::Line> = lines },
        /// `interline 1 alike from fusible by 2mm`: so far inside the sewing line; none takes back what was asked before.
        Interline {
            count: S::Count = count,
            alike: bool = same,
            cloth: Option<S::Cloth> = cloth,
            inside: S::Length = length
        },
        /// `notch double at …`
        Notch { form: S::NotchForm = notch_form, at: S::Notches = notches },
        /// `dart A to B at T [, U] [along L, M] [pressed toward P] [drill D] [sewn D]`. The mouth is in outline order, of a
        /// dart inside the piece its widest place, and that has another apex; legs are named where they are not straight;
        /// marks are drilled so far inside each apex; what is not sewn, from the mouth, is a pleat.
        Dart {
            drill: Option<S::Length> = maybe_length,
            sewn: Option<S::Length> = maybe_length,
            other_apex: Option<S::Point> = maybe_point,
            pressed: Option<S::Point> = maybe_point,
            legs: Option<(S::Line, S::Line)> = legs,
            mouth: (S::Point, S::Point) = mouth,
            apex: S::Point = point
        },
        /// `mark P, L "button" on left with diameter 12mm, thickness 3mm`: of no side in particular, all copies of the piece
        /// have it.
        Mark {
            words: S::Text = text,
            side: Option<WearerSide> = same,
            button: S::Button = button,
            what: Vec<S::Marked> = marked
        },
    }
}

/// One of a piece's edges, as a sentence of the piece names it once it is checked.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRef {
    /// Its name in the piece.
    pub name: String,
    /// The panel line's full name.
    pub line: String,
    /// Where the sentence names it.
    pub span: Span,
}

/// Where one notch of a piece alone stands.
#[derive(Clone, Debug)]
pub struct OwnNotch<S: Stage> {
    /// On or near the outline, or so far along it from one of its corners.
    pub place: Place<S>,
    /// The point from which the draft measures along a line to get there.
    pub along_from: Option<S::Point>,
}

/// The way from one stage to the next, for what a piece's sentences have.
pub(crate) trait PieceStep<'a, F: Stage, T: Stage>: Step<'a, F, T> {
    fn count(&mut self, count: &'a F::Count) -> Result<T::Count, Self::Stop>;
    fn cloth(&mut self, cloth: &'a Option<F::Cloth>) -> Result<Option<T::Cloth>, Self::Stop>;
    fn outline(&mut self, lines: &'a [F::Outlined]) -> Result<Vec<T::Outlined>, Self::Stop>;
    /// None also for an edge that the piece has no longer.
    fn edge(&mut self, edge: &'a Option<F::Edge>) -> Result<Option<T::Edge>, Self::Stop>;
    /// One name may stand for several edges.
    fn edges(&mut self, edges: &'a [F::Edge]) -> Result<Vec<T::Edge>, Self::Stop>;
    fn corner(&mut self, edges: &'a F::Corner) -> Result<T::Corner, Self::Stop>;
    fn treatment(&mut self, words: &'a F::Treatment) -> Result<T::Treatment, Self::Stop>;
    fn grain(&mut self, along: &'a F::Grain) -> Result<T::Grain, Self::Stop>;
    fn line(&mut self, line: &'a Option<F::Line>) -> Result<Option<T::Line>, Self::Stop>;
    fn legs(&mut self, legs: &'a Option<Pair<F>>) -> Result<Option<Pair<T>>, Self::Stop>;
    /// Those of some length.
    fn lines(&mut self, lines: &'a [F::Line]) -> Result<Vec<T::Line>, Self::Stop>;
    fn notches(&mut self, at: &'a F::Notches) -> Result<T::Notches, Self::Stop>;
    /// A list is marked item by item.
    fn marked(&mut self, what: &'a [F::Marked]) -> Result<Vec<T::Marked>, Self::Stop>;
    fn button(&mut self, button: &'a F::Button) -> Result<T::Button, Self::Stop>;

    fn mouth(
        &mut self,
        (one, other): &'a (F::Point, F::Point),
    ) -> Result<(T::Point, T::Point), Self::Stop> {
        Ok((self.point(one)?, self.point(other)?))
    }
}

/// The legs of a dart.
type Pair<S> = (<S as Stage>::Line, <S as Stage>::Line);

impl<F: Stage> OwnNotch<F> {
    /// The same at the next stage.
    pub(crate) fn carry<'a, T: Stage, P: Step<'a, F, T>>(
        &'a self,
        to: &mut P,
    ) -> Result<OwnNotch<T>, P::Stop> {
        Ok(OwnNotch {
            place: self.place.carry(to)?,
            along_from: to.maybe_point(&self.along_from)?,
        })
    }
}
