//! What a sentence of a seam says.

use super::{Stage, Step, Written};
use serde::{Deserialize, Serialize};

/// What is done with the cloth of a side that is not as long as its partner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum EaseHow {
    /// Longer, and held in.
    Ease,
    /// Longer, and drawn up.
    Gather,
    /// The edge is shorter than its partner, and is pulled to it.
    Stretch,
}

impl EaseHow {
    /// As a draft writes it.
    pub fn word(self) -> &'static str {
        match self {
            EaseHow::Ease => "ease",
            EaseHow::Gather => "gather",
            EaseHow::Stretch => "stretch",
        }
    }
}

/// A place along a seam or an edge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(bound = "S: Written")]
pub enum Place<S: Stage> {
    /// `P`
    At(S::Point),
    /// `85mm from P`
    Measured {
        /// How far along the edge.
        far: S::Length,
        /// From which of its ends or corners.
        from: S::Point,
    },
}

/// A stretch of a seam, from one place to another.
pub type Between<S> = (Place<S>, Place<S>);

/// Where a seam's notch stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(bound = "S: Written")]
pub enum SeamNotchPlace<S: Stage> {
    /// So far from an end of the seam (a point at an end of either side), the same on both sides.
    Measured {
        /// How far along the seam.
        distance: S::Length,
        /// The end of the seam from which it is measured.
        from: S::Point,
    },
    /// A point of one side and its fellow on the other.
    Pair(S::Point, S::Point),
    /// A point on one side, carried to the other in proportion between neighbouring notches.
    One(S::Point),
    /// Wherever edges of one side meet, carried to the other in proportion between neighbouring notches.
    Joints,
}

/// What is done with the cloth of a side, and how much of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Held<A> {
    /// Held in, drawn up or pulled.
    pub how: EaseHow,
    /// The least that is held in, or all of it where one amount is said.
    pub low: A,
    /// Most, where it is not exact.
    pub high: Option<A>,
}

/// How a seam is sewn, and the widths this takes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SewnAs<K, W> {
    /// The way to sew it.
    pub how: K,
    /// None, one for both sides, or one for each.
    pub widths: Vec<W>,
}

says! {
    /// What a sentence of a seam says.
    SeamSays by SeamStep {
        /// `ease 4mm to 12mm on a, b between P and Q`, and `gather` and `stretch` alike; between none is anywhere.
        Ease {
            held: S::Held = held,
            between: Option<Between<S>> = maybe_between,
            on: Vec<S::SeamEdge> = seam_edges
        },
        /// `notch double at …`, on both sides.
        Notch { form: S::NotchForm = notch_form, at: S::SeamNotch = seam_notch },
        /// `P meets Q`: a point of either side, without a notch.
        Meets { one: S::Point = point, other: S::Point = point },
        /// `open between P and Q "zip"`: not sewn there.
        Open { between: Between<S> = between, words: S::Text = text },
        /// `corner at P "…"`: an end where the lines beside the seam are meant to turn, and why.
        Corner { at: S::Point = point, words: S::Text = text },
        /// `allow W on a`; on none, it is for both sides.
        Allow { width: S::Length = length, on: Vec<S::SeamEdge> = seam_edges },
        /// `sewn felled 6mm, 16mm`
        Sewn { sewn: S::Sewn = sewn },
        /// `tolerance 1mm`: what may pass.
        Tolerance { width: S::Length = length },
    }
}

/// The way from one stage to the next, for what a seam's sentences have.
pub(crate) trait SeamStep<'a, F: Stage, T: Stage>: Step<'a, F, T> {
    fn held(&mut self, held: &'a F::Held) -> Result<T::Held, Self::Stop>;
    /// One name may stand for several edges.
    fn seam_edges(&mut self, edges: &'a [F::SeamEdge]) -> Result<Vec<T::SeamEdge>, Self::Stop>;
    fn seam_notch(&mut self, at: &'a F::SeamNotch) -> Result<T::SeamNotch, Self::Stop>;
    fn sewn(&mut self, sewn: &'a F::Sewn) -> Result<T::Sewn, Self::Stop>;

    fn between(&mut self, (one, other): &'a Between<F>) -> Result<Between<T>, Self::Stop>
    where
        Self: Sized,
    {
        Ok((one.carry(self)?, other.carry(self)?))
    }

    fn maybe_between(
        &mut self,
        between: &'a Option<Between<F>>,
    ) -> Result<Option<Between<T>>, Self::Stop>
    where
        Self: Sized,
    {
        let between = between.as_ref().map(|between| self.between(between));
        between.transpose()
    }
}

impl<A> Held<A> {
    /// The same at the next stage.
    pub(crate) fn carry<'a, B, E>(
        &'a self,
        mut much: impl FnMut(&'a A) -> Result<B, E>,
    ) -> Result<Held<B>, E> {
        Ok(Held {
            how: self.how,
            low: much(&self.low)?,
            high: self.high.as_ref().map(much).transpose()?,
        })
    }
}

impl<F: Stage> Place<F> {
    /// The same at the next stage.
    pub(crate) fn carry<'a, T: Stage, P: Step<'a, F, T>>(
        &'a self,
        to: &mut P,
    ) -> Result<Place<T>, P::Stop> {
        Ok(match self {
            Self::At(point) => Place::At(to.point(point)?),
            Self::Measured { far, from } => Place::Measured {
                far: to.length(far)?,
                from: to.point(from)?,
            },
        })
    }

    /// The point that stands there, or from which it is measured.
    pub(crate) fn point(&self) -> &F::Point {
        match self {
            Self::At(point) | Self::Measured { from: point, .. } => point,
        }
    }

    /// The same, to be changed.
    pub(crate) fn point_mut(&mut self) -> &mut F::Point {
        match self {
            Self::At(point) | Self::Measured { from: point, .. } => point,
        }
    }
}

impl<F: Stage> SeamNotchPlace<F> {
    /// The same at the next stage.
    pub(crate) fn carry<'a, T: Stage, P: Step<'a, F, T>>(
        &'a self,
        to: &mut P,
    ) -> Result<SeamNotchPlace<T>, P::Stop> {
        Ok(match self {
            Self::Measured { distance, from } => SeamNotchPlace::Measured {
                distance: to.length(distance)?,
                from: to.point(from)?,
            },
            Self::Pair(one, other) => SeamNotchPlace::Pair(to.point(one)?, to.point(other)?),
            Self::One(point) => SeamNotchPlace::One(to.point(point)?),
            Self::Joints => SeamNotchPlace::Joints,
        })
    }
}
