//! Where a notch stands, in the author's words: from the end that the draft measures from, at the point that it names, else
//! from the nearer corner. A corner is told by the edge that meets there.

use super::seams;
use oaktag_language::pattern::{Edge, Notch, Pattern, Piece, PlaceSaid, Side};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// Places this near to each other are one, in millimetres: nothing on a page is told more finely.
pub(super) const SAME: f64 = 0.05;

/// Where a piece's own notch stands: "on the armhole, 8 cm from the underarm".
pub(super) fn of_notch(notch: &Notch, piece: &Piece, unit: LengthUnit) -> Option<String> {
    let edge = piece.edges.get(notch.edge)?;
    let along: Vec<f64> = notch.marks.iter().map(|mark| mark.from_start).collect();
    let ends = [true, false].map(|start| neighbour(piece, notch.edge, start));
    let name = voice::the_thing(&edge.name, "edge");
    let place = Along {
        places: &along,
        length: edge.length,
        said: &notch.said,
        ends,
        unit,
    };
    Some(match place.corner() {
        Some(other) => format!("{} of {name} and {other}", place.at_corner()),
        None => format!("on {name}, {}", place.words()),
    })
}

/// Where a notch stands on both sides of a seam, each on the edge that carries it.
pub(super) fn of_sides(sides: [(&Side, &[f64], &PlaceSaid); 2], pattern: &Pattern) -> String {
    let [first, second] = sides.map(|(side, places, said)| {
        let found = of_side(side, places, said, pattern);
        found.unwrap_or_else(|| {
            (
                seams::side(side, pattern),
                "where the picture has it".to_owned(),
            )
        })
    });
    if first.1 == second.1 {
        format!("on both sides {}", first.1)
    } else {
        format!("on {} {}; on {} {}", first.0, first.1, second.0, second.1)
    }
}

/// A place so far along a side, in a phrase with `between` or `from`: "the corner with the armhole", "2 cm from the corner with
/// the hem of Front"; with its edge, where there are several.
pub(super) fn along(side: &Side, far: f64, several: bool, pattern: &Pattern) -> String {
    let Some((edge, words)) = of_side(side, &[far], &PlaceSaid::Unnamed, pattern) else {
        return format!("{} from its start", pattern.unit.length(far));
    };
    let words = words.strip_prefix("at ").unwrap_or(&words);
    if several {
        format!("{words} on {edge}")
    } else {
        words.to_owned()
    }
}

/// The edge that carries a notch of a seam, and where on it.
fn of_side(
    side: &Side,
    places: &[f64],
    said: &PlaceSaid,
    pattern: &Pattern,
) -> Option<(String, String)> {
    let (index, _) = side.locate(*places.first()?)?;
    let edge = side.edges.get(index)?;
    let piece = pattern.piece(&edge.piece)?;
    let is_it = |one: &Edge| one.name == edge.edge && one.line == edge.line && !one.mirrored;
    let at = piece.edges.iter().position(is_it)?;
    let sense = (edge.along.1 - edge.along.0).signum();
    let local = |far: f64| edge.along.0 + sense * (far - edge.from);
    let along: Vec<f64> = places.iter().map(|far| local(*far)).collect();
    let (said, end) = match said {
        PlaceSaid::From(name, far) => (PlaceSaid::From(name.clone(), local(*far)), Some(*far)),
        other => (other.clone(), None),
    };
    let last = side.edges.len() - 1;
    let elsewhere = end.is_some_and(|end| index != if end < SAME { 0 } else { last });
    let place = Along {
        places: &along,
        length: piece.edges.get(at)?.length,
        said: &said,
        ends: [true, false].map(|start| neighbour(piece, at, start)),
        unit: pattern.unit,
    };
    let words = match place.corner() {
        Some(other) => format!("{} with {other}", place.at_corner()),
        None if elsewhere => format!("{}, along the seam", place.words()),
        None => place.words(),
    };
    Some((seams::edges(&[edge], pattern), words))
}

/// Places along an edge.
struct Along<'a> {
    places: &'a [f64],
    length: f64,
    said: &'a PlaceSaid,
    /// What meets it at its start and its end.
    ends: [Option<String>; 2],
    unit: LengthUnit,
}

impl Along<'_> {
    fn first(&self) -> f64 {
        self.places.first().copied().unwrap_or(0.0)
    }

    /// The edge that meets a single notch at a corner.
    fn corner(&self) -> Option<&str> {
        let [start, end] = &self.ends;
        match self.places {
            [at] if *at < SAME => start.as_deref(),
            [at] if *at > self.length - SAME => end.as_deref(),
            _ => None,
        }
    }

    fn at_corner(&self) -> String {
        match self.said {
            PlaceSaid::At(name) => format!("at the {}, the corner", voice::own_name(name)),
            _ => "at the corner".to_owned(),
        }
    }

    /// "8.5 cm and 9.5 cm from the underarm", "at the waist side, 23 cm from its corner with the hem".
    fn words(&self) -> String {
        if let PlaceSaid::From(name, from) = self.said {
            return format!(
                "{} from the {}",
                self.measured(*from),
                voice::own_name(name)
            );
        }
        let at_end = self.first() > self.length / 2.0;
        let from = if at_end { self.length } else { 0.0 };
        let [start, end] = &self.ends;
        let corner = match if at_end { end } else { start } {
            Some(other) => format!("the corner with {other}"),
            None => "its end".to_owned(),
        };
        let far = match self.places {
            [at, other] if (at - from).abs() < SAME => {
                let other = self.unit.length((other - from).abs());
                format!("at {corner} and {other} from it")
            }
            _ => format!("{} from {corner}", self.measured(from)),
        };
        match self.said {
            PlaceSaid::At(name) => format!("at the {}, {far}", voice::own_name(name)),
            _ => far,
        }
    }

    fn measured(&self, from: f64) -> String {
        let far = self.places.iter();
        let far: Vec<String> = far.map(|at| self.unit.length((at - from).abs())).collect();
        voice::list(&far)
    }
}

/// The edge that meets one at its start or end.
fn neighbour(piece: &Piece, edge: usize, start: bool) -> Option<String> {
    let count = piece.edges.len();
    let at = if start { edge + count - 1 } else { edge + 1 };
    let other = piece.edges.get(at % count.max(1))?;
    Some(match other.mouth {
        Some(_) => "the dart".to_owned(),
        None => voice::the_thing(&other.name, "edge"),
    })
}
