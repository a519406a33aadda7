//! A thing of the drawing that a hand holds, kept while it is dragged.

use super::AtHand;
use crate::hands::{Dragged, Fineness, Movers, Thing};
use crate::session::Session;
use kurbo::Point;

/// What a hand holds.
#[derive(Default)]
pub(super) struct Grip {
    /// What figures are tried on.
    tried: Option<Session>,
    held: Option<Held>,
}

/// A thing of a text with what moves it; none of a thing that is not drawn.
struct Held {
    text: String,
    thing: Thing,
    most: usize,
    movers: Option<Movers>,
}

/// More figures than these are not looked for while a thing is dragged.
const MOST: usize = 8;

impl AtHand {
    /// Takes hold of a thing, or holds on to it.
    pub(super) fn take_hold(&mut self, thing: &Thing, most: usize) {
        let text = self.session.text();
        let is_held = self
            .grip
            .held
            .as_ref()
            .is_some_and(|held| held.thing == *thing && held.text == text && held.most >= most);
        if is_held {
            return;
        }
        let tried = self.grip.tried.take();
        let mut hands = match tried {
            Some(tried) => self.session.hands_with(tried),
            None => self.session.hands(),
        };
        let movers = hands.movers(thing, most);
        self.grip.tried = Some(hands.into_tried());
        self.grip.held = Some(Held {
            text: text.to_owned(),
            thing: thing.clone(),
            most,
            movers,
        });
    }

    /// What moves the thing that is held.
    pub(super) fn held(&self) -> Option<&Movers> {
        self.grip.held.as_ref()?.movers.as_ref()
    }

    /// Where one of its movers can bring it.
    pub(super) fn dragged(
        &mut self,
        thing: &Thing,
        mover: usize,
        to: (f64, f64),
        fineness: Fineness,
    ) -> Option<Dragged> {
        self.take_hold(thing, MOST);
        let mover = self.held()?.movers.get(mover)?.clone();
        let tried = self.grip.tried.take();
        let mut hands = match tried {
            Some(tried) => self.session.hands_with(tried),
            None => self.session.hands(),
        };
        let dragged = hands.drag(thing, &mover, Point::from(to), fineness);
        self.grip.tried = Some(hands.into_tried());
        dragged
    }
}
