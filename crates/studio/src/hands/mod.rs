//! Hands on the drawing: what could move a drawn thing, which figure of the text brings it nearest to where a hand would have it,
//! and which sentence draws a thing where a hand sets it. Everything is tried on the draft itself: it is written into the text and
//! drawn, so that what is promised is what the text will say. A drag changes one figure, in the step it is written in, within its
//! declared range, and nothing else; the default of a measure of the body never changes.

mod adding;
mod candidates;
mod drag;
mod figure;
mod movers;
mod overlay;
mod place;
mod thing;

pub use adding::{Added, Adding};
pub use drag::Dragged;
pub use figure::Fineness;
pub use movers::{Mover, Movers};
pub use thing::{End, Thing};

pub(crate) use drag::Track;
pub(crate) use movers::Search;
pub(crate) use thing::{handle, line, value};

use crate::session::Session;
use crate::session::places::Units;
use oaktag_language::report::FileId;
use overlay::Overlay;
use std::sync::Arc;

/// A draft at hand, with a second one that is tried on.
pub struct Hands<'s> {
    session: &'s Session,
    bench: Bench,
    own: FileId,
    units: Units,
}

/// What is tried on: another draft at hand, and what it reads in place of an import.
pub(crate) struct Bench {
    tried: Session,
    overlay: Arc<Overlay>,
}

impl Session {
    /// What moves what is drawn.
    pub fn hands(&self) -> Hands<'_> {
        let overlay = Arc::new(Overlay::on(self.reader()));
        let tried = self.twin(overlay.clone());
        self.hands_with(Bench { tried, overlay })
    }

    /// The same, with what was tried on before, of the same draft with the same values: it need not be drawn from nothing.
    pub(crate) fn hands_with(&self, bench: Bench) -> Hands<'_> {
        Hands {
            session: self,
            bench,
            own: self.own_file().unwrap_or_default(),
            units: Units::of(self.text()),
        }
    }
}

impl Hands<'_> {
    /// What was tried on, for the next time.
    pub(crate) fn into_bench(self) -> Bench {
        self.bench
    }

    /// The draft as it was tried last.
    pub(crate) fn tried_last(&self) -> &Session {
        &self.bench.tried
    }
}
