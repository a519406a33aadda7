//! How a lesson says a phrase, as templates in its row. `{from}` is what stands in the place of that linking word, `{length}`
//! the direct argument of that name, each said as its kind is ([`Manner`]). What stands in `[ ]` is left out where one of its
//! places was not given, or is a figure that comes to nothing; `[this|that]` says then the other.

use super::form::{Form, Place, Takes};
use crate::syntax::tree::Link;

/// A part of a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// Letters as they stand.
    Letters(&'static str),
    /// What stands in the place of that number.
    Place(usize, Manner),
    /// What is said where all its places were given, and what otherwise.
    Where(Vec<Part>, Vec<Part>),
}

/// How what stands in a place is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// As a thing: "the nape".
    Thing,
    /// As a figure: "24 cm (bust girth ÷ 4)".
    Figure,
    /// As a way to go: "straight down", "toward the nape".
    Way,
    /// As the way that a curve goes at its end: "down", "square to the shoulder".
    Course,
    /// With its sense round a circle: "the tip, clockwise".
    WithSense,
    /// One after the other: "the neck, the side and the hem".
    List,
    /// As lines to be joined; those without a name have commas of their own.
    EndToEnd,
    /// As fold lines, each with the edge traced through it as far as the next.
    FoldAfterFold,
}

impl Manner {
    fn of(place: &Place) -> Self {
        let figure = Takes::FIGURE.or(Takes::TURN).or(Takes::UNNAMED);
        let round = Takes::LENGTH_ROUND.or(Takes::POINT_ROUND);
        match place.link {
            _ if place.many => Self::List,
            _ if place.takes.within(round) => Self::WithSense,
            Some(Link::Leaving | Link::Arriving) => Self::Course,
            _ if !place.takes.disjoint(Takes::BEARING) => Self::Way,
            _ if !place.takes.disjoint(figure) => Self::Figure,
            _ => Self::Thing,
        }
    }

    fn named(name: &str) -> Option<Self> {
        match name {
            "end to end" => Some(Self::EndToEnd),
            "fold after fold" => Some(Self::FoldAfterFold),
            _ => None,
        }
    }
}

/// What a hand is told of a line beside its sentence, because no ruler gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ByHand {
    /// Nothing: it is straight, or follows from lines that lie there.
    Nothing,
    /// Its length, and places squared out from the straight line between its ends.
    ItsPlaces,
    /// The same of those of its parts that have no name.
    PlacesOfParts,
}

/// How a lesson says a phrase: its templates, and what it tells beside them.
#[derive(Clone, Copy, Debug)]
pub struct Taught {
    pub(super) thing: Option<&'static str>,
    pub(super) act: Option<&'static str>,
    pub(super) drawn: Option<&'static str>,
    /// What is told beside the sentence.
    pub by_hand: ByHand,
}

impl Taught {
    /// Word by word as it stands in the draft, names and figures spoken.
    pub(crate) const AS_WRITTEN: Self = Self {
        thing: None,
        act: None,
        drawn: None,
        by_hand: ByHand::Nothing,
    };

    /// What it is called, as something that is there; none where its own words do.
    pub fn thing(&self, form: &Form) -> Option<Vec<Part>> {
        match (self.thing, self.drawn) {
            (Some(thing), _) => parts(form, thing).ok(),
            (None, Some(drawn)) => after("the ", form, drawn),
            (None, None) => None,
        }
    }

    /// What is to be done; none where it is enough to name the thing.
    pub fn act(&self, form: &Form) -> Option<Vec<Part>> {
        match (self.act, self.drawn) {
            (Some(act), _) => parts(form, act).ok(),
            (None, Some(drawn)) => after("draw a ", form, drawn),
            (None, None) => None,
        }
    }

    pub(super) fn disagreement(&self, form: &Form) -> Option<String> {
        let templates = [self.thing, self.act, self.drawn].into_iter().flatten();
        templates.map(|one| parts(form, one)).find_map(Result::err)
    }
}

fn after(lead: &'static str, form: &Form, template: &'static str) -> Option<Vec<Part>> {
    let mut parts = parts(form, template).ok()?;
    parts.insert(0, Part::Letters(lead));
    Some(parts)
}

/// Reads a template of a row; otherwise what is wrong with it.
fn parts(form: &Form, template: &'static str) -> Result<Vec<Part>, String> {
    let mut read = Vec::new();
    let mut rest = template;
    while let Some(at) = rest.find(['{', '[']) {
        let (letters, marked) = rest.split_at(at);
        read.push(Part::Letters(letters));
        let close = if marked.starts_with('{') { '}' } else { ']' };
        let (inside, after) = marked
            .get(1..)
            .and_then(|marked| marked.split_once(close))
            .ok_or_else(|| format!("`{close}` is missing in \"{template}\""))?;
        read.push(if close == '}' {
            place(form, inside)?
        } else {
            let (this, that) = inside.split_once('|').unwrap_or((inside, ""));
            Part::Where(parts(form, this)?, parts(form, that)?)
        });
        rest = after;
    }
    read.push(Part::Letters(rest));
    read.retain(|part| *part != Part::Letters(""));
    Ok(read)
}

fn place(form: &Form, named: &str) -> Result<Part, String> {
    let (word, manner) = match named.split_once(':') {
        Some((word, manner)) => (word, Some(manner)),
        None => (named, None),
    };
    let is_it = |place: &Place| match place.link {
        Some(link) => link.place() == word,
        None => place.name == word,
    };
    let at = form.places.iter().position(is_it);
    let (at, place) = at
        .and_then(|at| Some((at, form.places.get(at)?)))
        .ok_or_else(|| format!("it is taught by a place `{word}` that it has not got"))?;
    let manner = match manner {
        Some(name) => Manner::named(name).ok_or_else(|| format!("nothing is said \"{name}\""))?,
        None => Manner::of(place),
    };
    Ok(Part::Place(at, manner))
}
