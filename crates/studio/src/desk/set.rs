//! What is added by hand on the drawing, with places of the sheet.

use super::AtHand;
use super::grip::lie;
use super::question::{AddAsked, What};
use crate::hands::{Added, Adding};
use crate::session::view::Offer;
use kurbo::Point;
use oaktag_language::voice;
use oaktag_output::svg;
use serde::Serialize;

/// A sentence that draws something where a hand has set it.
#[derive(Serialize)]
pub(super) struct Set {
    sentence: String,
    name: String,
    edit: Offer,
    x: f64,
    y: f64,
    /// A line as it would be drawn, as path data.
    path: Option<String>,
}

impl AtHand {
    /// The sentence for what a hand would add.
    ///
    /// # Errors
    /// Why there is none, in words.
    pub(super) fn add(&mut self, asked: &AddAsked) -> Result<Set, String> {
        let lies = lie(&self.session, &asked.piece, false);
        let lies = lies.ok_or_else(|| format!("{} is not drawn now", voice::name(&asked.piece)))?;
        let spot = || {
            let at = asked.at.ok_or_else(|| "a place is wanted".to_owned());
            at.map(|at| lies.inverse() * Point::from(at))
        };
        let pattern = &self.session.outcome().pattern;
        let piece = pattern.piece(&asked.piece);
        let panel = piece.map_or(&asked.piece, |piece| &piece.panel).clone();
        let adding = match asked.what {
            What::Point => Adding::Point {
                panel,
                at: spot()?,
                near: asked.near.unwrap_or(2.0).clamp(0.0, 100.0),
            },
            What::Line | What::Curve => Adding::Line {
                panel,
                ends: asked.ends.clone().ok_or("two points are wanted")?,
                is_curve: asked.what == What::Curve,
            },
            What::Notch => Adding::Notch {
                piece: asked.piece.clone(),
                at: spot()?,
            },
        };
        let called = asked.called.as_deref();
        let Added {
            sentence,
            name,
            edit,
            at,
            line,
        } = self.by_hand(|hands| hands.add(&adding, called))?;
        let at = lies * at;
        Ok(Set {
            sentence,
            name,
            edit,
            x: at.x,
            y: at.y,
            path: line.map(|line| svg::path(&(lies * line))),
        })
    }
}
