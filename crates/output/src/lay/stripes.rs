//! Stripes: a line that is marked to lie on the stripes of the cloth, or on the bars of its plaid, is laid on one, counted from the
//! left edge or the fold and from the end of the cloth. Where such lines of two pieces meet in a seam, the cloth is then matched
//! across it; where it is not, it is told why. A seam asks for that by a line of either piece that runs to it.

use super::{OnStripe, Placed};
use crate::drawing::stretches_inside;
use crate::path_data::bez;
use kurbo::{Affine, BezPath, Shape as _};
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::cut_list::ClothCuts;
use oaktag_language::pattern::spec::{ClothSpec, MarkSpec, Value};
use oaktag_language::pattern::{MatchLine, Pattern, Piece, Seam, Side};
use oaktag_language::voice;

/// Stripes finer than this, in millimetres, nobody matches.
const FINEST: f64 = 2.0;
/// A line lies on a stripe, and reaches an edge, within this; what may pass on a plain seam (common practice).
const ON: f64 = 0.5;
/// Lines meet in a seam within this, beside what the seam eases in.
const MEET: f64 = 1.0;

/// A line of a piece that is to lie on the cloth's pattern.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// What it is called, by its full name.
    pub(super) name: String,
    /// From one stripe to the next, in millimetres.
    pub(super) repeat: f64,
    pub(super) path: BezPath,
}

impl Line {
    pub(super) fn moved(&self, by: Affine) -> Self {
        Self {
            path: by * self.path.clone(),
            ..self.clone()
        }
    }

    /// Where it stands across the cloth, if it runs along it.
    pub(super) fn across(&self) -> Option<f64> {
        let bounds = self.path.bounding_box();
        (bounds.width() < ON && bounds.height() > ON).then(|| bounds.center().x)
    }

    /// Where it stands along the cloth, if it runs square across.
    pub(super) fn along(&self) -> Option<f64> {
        let bounds = self.path.bounding_box();
        (bounds.height() < ON && bounds.width() > ON).then(|| bounds.center().y)
    }

    /// The line where it has come to lie.
    pub(super) fn laid(&self) -> OnStripe {
        let on = |at: f64| (at - (at / self.repeat).round() * self.repeat).abs() <= ON;
        OnStripe {
            name: self.name.clone(),
            path: self.path.clone(),
            lies: self.across().or(self.along()).is_some_and(on),
        }
    }
}

/// What a mark is laid on: stripes where it says plaid and the cloth has no plaid, and the other way round.
fn repeat(cloth: &ClothSpec, mark: &MarkSpec) -> Option<f64> {
    let repeat = match mark.match_line()? {
        MatchLine::Stripe => cloth.stripe.or(cloth.plaid),
        MatchLine::Plaid => cloth.plaid.or(cloth.stripe),
        MatchLine::Balance => None,
    };
    repeat.filter(|repeat| *repeat >= FINEST)
}

/// The lines of a piece that are to lie on the pattern of its cloth, in the piece's own coordinates.
pub(super) fn lines(piece: &Piece, cloth: &ClothSpec) -> Vec<Line> {
    let of_mark = |mark: &MarkSpec| {
        Some(Line {
            name: mark.name.clone(),
            repeat: repeat(cloth, mark)?,
            path: bez(&path(piece, mark)?),
        })
    };
    piece.marks.iter().filter_map(of_mark).collect()
}

/// The line that is marked; of an endless one its longest stretch on the piece.
fn path(piece: &Piece, mark: &MarkSpec) -> Option<Path> {
    let (Value::Line(path) | Value::Curve(path)) = &mark.shape else {
        return None;
    };
    let Some((through, direction)) = path.endless_line() else {
        return Some(path.clone());
    };
    let stretches = stretches_inside(piece.outer()?, through, direction).into_iter();
    let long = |(a, b): &(kurbo::Point, kurbo::Point)| (*b - *a).hypot2();
    let (a, b) = stretches.max_by(|one, other| long(one).total_cmp(&long(other)))?;
    Path::line(a, b).ok()
}

/// A line that meets a side of a seam.
struct Meeting<'a> {
    piece: &'a Piece,
    mark: &'a MarkSpec,
    /// How far along the side.
    at: f64,
}

/// Where lines that are to be matched meet a side.
fn meeting<'a>(pattern: &'a Pattern, side: &Side) -> Vec<Meeting<'a>> {
    let mut found: Vec<Meeting<'a>> = Vec::new();
    for edge in &side.edges {
        let Some(piece) = pattern.piece(&edge.piece) else {
            continue;
        };
        let is_wanted = |mark: &&MarkSpec| {
            let kind = mark.match_line();
            matches!(kind, Some(MatchLine::Stripe | MatchLine::Plaid))
        };
        for mark in piece.marks.iter().filter(is_wanted) {
            let Some(line) = path(piece, mark) else {
                continue;
            };
            let ends = [line.start(), line.end()].into_iter().flatten();
            let ends = ends.map(|end| edge.path.nearest(end));
            let ends = ends.filter(|nearest| nearest.distance <= ON);
            let crossings = meetings(&line, &edge.path).crossings;
            let crossings = crossings.iter().map(|one| edge.path.nearest(one.point));
            for nearest in ends.chain(crossings) {
                let at = edge.from + edge.path.length_to(nearest.location);
                let is_known = |one: &Meeting<'_>| {
                    std::ptr::eq(one.mark, mark) && (one.at - at).abs() <= 2.0 * ON
                };
                if !found.iter().any(is_known) {
                    found.push(Meeting { piece, mark, at });
                }
            }
        }
    }
    found
}

/// What is said of the seams that ask for matched stripes: across which they meet in a lay, and across which not, and why.
/// Empty where the cloth has none.
pub(super) fn said(pattern: &Pattern, cuts: &ClothCuts<'_>, placed: &[Placed<'_>]) -> Vec<String> {
    let Some(cloth) = cuts.cloth else {
        return Vec::new();
    };
    if cloth.stripe.or(cloth.plaid).is_none() {
        return Vec::new();
    }
    let (mut met, mut not) = (Vec::new(), Vec::new());
    for seam in &pattern.seams {
        let sides = (
            meeting(pattern, &seam.first),
            meeting(pattern, &seam.second),
        );
        let of_cloth = |one: &Meeting<'_>| one.piece.cut.cloth.as_deref() == Some(cuts.name);
        if !sides.0.iter().chain(&sides.1).any(of_cloth) {
            continue;
        }
        let name = voice::letters(&seam.name);
        let found = apart(pattern, seam, &sides).or_else(|| off(cuts, cloth, placed, &sides));
        match found {
            None => met.push(name),
            Some(why) => not.push(format!("NOT MATCHED across {name}: {why}")),
        }
    }
    if met.is_empty() && !not.is_empty() {
        return not;
    }
    let words = match met.is_empty() {
        true => "Stripes are not matched: no line marked stripe or plaid runs to a seam".to_owned(),
        false => format!("Stripes meet across {}", voice::list(&met)),
    };
    not.insert(0, words);
    not
}

/// Why the lines of one side do not meet those of the other; none where they do.
fn apart(
    pattern: &Pattern,
    seam: &Seam,
    (first, second): &(Vec<Meeting<'_>>, Vec<Meeting<'_>>),
) -> Option<String> {
    let most = MEET + seam.ease().abs();
    for (own, others, side) in [(first, second, &seam.second), (second, first, &seam.first)] {
        for one in own {
            let kind = one.mark.match_line();
            let others = others
                .iter()
                .filter(|other| other.mark.match_line() == kind);
            let far = others.map(|other| (other.at - one.at).abs());
            let far = far.fold(f64::INFINITY, f64::min);
            if far.is_infinite() {
                return Some(format!("{} has no such line there", side.spoken()));
            }
            if far > most {
                return Some(format!(
                    "its lines meet it {} apart",
                    pattern.unit.length(far)
                ));
            }
        }
    }
    None
}

/// Why lines that meet do not lie on the cloth's pattern; none where all do.
fn off(
    cuts: &ClothCuts<'_>,
    cloth: &ClothSpec,
    placed: &[Placed<'_>],
    (first, second): &(Vec<Meeting<'_>>, Vec<Meeting<'_>>),
) -> Option<String> {
    for one in first.iter().chain(second) {
        let label = &one.piece.label;
        if one.piece.cut.cloth.as_deref() != Some(cuts.name) {
            return Some(format!("{label} is of another cloth"));
        }
        if repeat(cloth, one.mark).is_none() {
            return Some("they are too fine".to_owned());
        }
        let copies = placed
            .iter()
            .filter(|other| other.piece.name == one.piece.name);
        let stripes = copies.flat_map(|copy| &copy.stripes);
        let mut own = stripes
            .filter(|stripe| stripe.name == one.mark.name)
            .peekable();
        if own.peek().is_none() {
            return Some(format!("{label} is not in this lay"));
        }
        if !own.all(|stripe| stripe.lies) {
            let name = one.mark.name.rsplit('.').next().unwrap_or_default();
            return Some(format!("{} of {label} lies on none", voice::letters(name)));
        }
    }
    None
}
