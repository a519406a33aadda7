//! Which figures of the text move a thing, and how.

use super::candidates::{Candidate, Put};
use super::figure::Fineness;
use super::{Hands, Thing};
use crate::session::Change;
use crate::session::places::{Place, Units};
use kurbo::{Point, Vec2};
use serde::Serialize;
use std::collections::VecDeque;

/// A thing that moves less than this, in millimetres, for a whole step does not move.
const NOTHING: f64 = 1e-3;

/// What could move a thing.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Movers {
    /// Figures that move it, those of its own sentence first.
    pub movers: Vec<Mover>,
    /// What else it hangs on, and why a hand cannot move that.
    pub held: Vec<String>,
    /// There may be more figures than were looked for.
    pub more: bool,
}

/// A figure that moves a thing.
#[derive(Clone, Debug, Serialize)]
pub struct Mover {
    /// Where it stands; an option that is not written yet stands nowhere, and would stand here.
    pub at: Place,
    /// The file it stands in, below the root of imports, and its line there, from 1; none of the draft's own text.
    pub file: Option<(String, usize)>,
    /// As it is written; of an option that is not written, with what would be written.
    pub written: String,
    /// What it is: `bust ease`, or the sentence that it stands in.
    pub of: String,
    /// It is not written yet: `with front_neck_lower 8mm`.
    pub is_option: bool,
    /// The unit it is written in.
    pub unit: String,
    /// What it is now, in that unit.
    pub now: f64,
    /// How far one step goes.
    pub step: f64,
    /// The least and the most that are declared for it.
    pub range: Option<(f64, f64)>,
    /// How far the thing goes to the right for one of the unit, in millimetres.
    pub right: f64,
    /// How far it goes up.
    pub up: f64,
    #[serde(skip)]
    pub(super) put: Put,
}

/// Figures that are still to be tried, and what was found.
pub(crate) struct Search {
    now: Point,
    open: VecDeque<Candidate>,
    pub(crate) found: Movers,
}

impl Hands<'_> {
    /// What could move a thing: so many figures at most, and what holds it besides. Nothing where it is not drawn.
    pub fn movers(&mut self, thing: &Thing, most: usize) -> Option<Movers> {
        let mut search = self.search(thing)?;
        self.find(thing, &mut search, most);
        Some(search.found)
    }

    /// Figures that may move a thing, none of them tried yet.
    pub(crate) fn search(&self, thing: &Thing) -> Option<Search> {
        let now = thing.place(self.session.outcome())?;
        let (open, held) = self.candidates(thing);
        Some(Search {
            now,
            found: Movers {
                held,
                more: !open.is_empty(),
                ..Movers::default()
            },
            open: open.into(),
        })
    }

    /// Tries further figures until so many are found that move the thing.
    pub(crate) fn find(&mut self, thing: &Thing, search: &mut Search, most: usize) {
        while search.found.movers.len() < most
            && let Some(candidate) = search.open.pop_front()
        {
            if let Some(slope) = self.slope(thing, search.now, &candidate) {
                search.found.movers.push(self.mover(candidate, slope));
            }
        }
        search.found.more = !search.open.is_empty();
        let Movers {
            movers, held, more, ..
        } = &mut search.found;
        if movers.is_empty() && held.is_empty() && !*more {
            held.push(self.no_figure(thing));
        }
    }

    /// Where the thing is with another figure in the text; nowhere where it is then not drawn.
    pub(super) fn tried(
        &mut self,
        thing: &Thing,
        put: &Put,
        value: f64,
        fineness: Fineness,
    ) -> Option<Point> {
        self.put(put, &put.letters(value, fineness))?;
        let outcome = self.bench.tried.outcome();
        let stood = self.session.outcome().pattern.unfinished.is_some();
        if outcome.pattern.unfinished.is_some() && !stood {
            return None;
        }
        thing.place(outcome)
    }

    /// Writes letters into the draft that is tried on, or into what it imports.
    pub(super) fn put(&mut self, put: &Put, letters: &str) -> Option<()> {
        let mut text = self.session.text().to_owned();
        let import = put.file.map(|file| {
            let sources = self.session.sources();
            let mut text = sources.text(file).to_owned();
            text.replace_range(put.bytes.clone(), letters);
            (sources.name(file).to_owned(), text)
        });
        if import.is_none() {
            text.replace_range(put.bytes.clone(), letters);
        }
        self.bench.overlay.put(import);
        self.bench.tried.change(Change::Text(text)).ok()
    }

    /// Takes back what was written into the draft that is tried on.
    pub(super) fn put_back(&mut self) {
        self.bench.overlay.put(None);
        // The text stood there before, so it can be laid there again.
        let _ = self
            .bench
            .tried
            .change(Change::Text(self.session.text().to_owned()));
    }

    /// How far the thing goes for one of the figure's unit, from a step either way.
    fn slope(&mut self, thing: &Thing, now: Point, candidate: &Candidate) -> Option<Vec2> {
        let literal = &candidate.put.literal;
        let step = literal.step(Fineness::AsWritten);
        let (least, most) = candidate.bounds();
        let mut gone = |by: f64| {
            let value = literal.value + by;
            let is_allowed = value >= least - 1e-9 && value <= most + 1e-9;
            let value = Some(value).filter(|_| is_allowed)?;
            let place = self.tried(thing, &candidate.put, value, Fineness::AsWritten)?;
            Some(place - now)
        };
        let is_moved = |gone: &Vec2| gone.hypot() > NOTHING;
        // Where it goes one way it is not asked how far it goes the other; a thing that only the step down moves is found by that.
        let slope = gone(step).filter(is_moved).map(|gone| gone / step);
        slope.or_else(|| gone(-step).filter(is_moved).map(|gone| -gone / step))
    }

    fn mover(&self, candidate: Candidate, slope: Vec2) -> Mover {
        let Candidate { put, of, range, .. } = candidate;
        let literal = &put.literal;
        let at = match put.file {
            None => self.units.place(put.bytes.clone()),
            Some(file) => Units::of(self.session.sources().text(file)).place(put.bytes.clone()),
        };
        let file = put.file.map(|file| {
            let sources = self.session.sources();
            let before = sources.text(file).get(..put.bytes.start);
            let line = before.map_or(0, |before| before.matches('\n').count()) + 1;
            (sources.name(file).to_owned(), line)
        });
        Mover {
            at,
            file,
            written: put.shown(literal.value, Fineness::AsWritten),
            is_option: !put.before.is_empty(),
            of,
            unit: literal.unit.clone(),
            now: literal.value,
            step: literal.step(Fineness::AsWritten),
            range,
            right: slope.x,
            up: slope.y,
            put,
        }
    }
}
