//! A seam walked: both sides as chains of edges in sewing order, their lengths laid against each other from notch to
//! notch, and a verdict.

use super::fault::{Fault, Words};
use super::seam_faults;
use super::sense::{self, Outlined, Way};
use super::spec::{SeamSpec, Sewn, Tag};
use crate::geometry::path::Path;

/// What may pass on a plain seam ("plain seam pair", common practice): ± this many millimetres …
const PLAIN: f64 = 0.5;
/// … and this many on a long one …
const PLAIN_LONG: f64 = 1.0;
/// … which is one longer than this.
const LONG: f64 = 500.0;
/// What may pass beside a stated ease.
const EASED: f64 = 0.5;
/// A stated range of ease is kept to within what counts as equal.
pub(super) const EQUAL: f64 = 0.001;

/// A seam.
#[derive(Clone, Debug)]
pub struct Seam {
    /// Its sentence.
    pub tag: Tag,
    /// Its name.
    pub name: String,
    /// How it is sewn; none where the draft does not say.
    pub sewn: Option<Sewn>,
    /// The side named first.
    pub first: Side,
    /// The other side.
    pub second: Side,
    /// Least and most that the first side may be longer than the second, before tolerance.
    pub wanted: (f64, f64),
    /// What may pass beyond that.
    pub tolerance: f64,
    /// The seam's notch places, in walking order.
    pub notches: Vec<SeamNotch>,
    /// From notch to notch.
    pub intervals: Vec<Interval>,
    /// Whether it can be sewn as stated.
    pub ok: bool,
}

impl Seam {
    /// How much longer the first side is.
    pub fn ease(&self) -> f64 {
        self.first.length - self.second.length
    }

    /// How far the ease lies outside what was wanted, zero within: positive where the first side is too long.
    pub fn excess(&self) -> f64 {
        let (least, most) = self.wanted;
        let ease = self.ease();
        if ease > most {
            ease - most
        } else if ease < least {
            ease - least
        } else {
            0.0
        }
    }

    /// A side as a sentence calls it: by its edge, or by its place where it has several.
    pub(super) fn called(&self, side: &Side) -> String {
        match (side.edges.as_slice(), std::ptr::eq(side, &self.first)) {
            ([_], _) => side.spoken(),
            (_, true) => "the first side".to_owned(),
            (_, false) => "the second side".to_owned(),
        }
    }

    /// Whether the draft states an ease.
    pub fn is_eased(&self) -> bool {
        self.wanted != (0.0, 0.0)
    }
}

/// One side of a seam.
#[derive(Clone, Debug, Default)]
pub struct Side {
    /// Its edges in sewing order.
    pub edges: Vec<SideEdge>,
    /// Its whole length.
    pub length: f64,
}

impl Side {
    /// A place by its length from the start of the side: the edge's index, and the length along that edge.
    pub fn locate(&self, at: f64) -> Option<(usize, f64)> {
        let within = |edge: &SideEdge| at <= edge.from + edge.length + EQUAL;
        let index = self.edges.iter().position(within)?;
        let edge = self.edges.get(index)?;
        Some((index, (at - edge.from).clamp(0.0, edge.length)))
    }

    /// Lengths at which one edge ends and the next begins.
    pub fn joints(&self) -> Vec<f64> {
        self.edges.iter().skip(1).map(|edge| edge.from).collect()
    }

    /// Its edges as one says them: `back armhole and front armhole`.
    pub fn spoken(&self) -> String {
        let name = |edge: &SideEdge| {
            let name = super::figure::name(&edge.line);
            if edge.mirrored {
                format!("mirrored {name}")
            } else {
                name
            }
        };
        let names: Vec<String> = self.edges.iter().map(name).collect();
        match names.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            Some((last, _)) => last.clone(),
            None => String::new(),
        }
    }

    pub(super) fn with_verb(&self) -> String {
        let verb = if self.edges.len() > 1 {
            "are together"
        } else {
            "is"
        };
        format!("{} {verb}", self.spoken())
    }
}

/// One edge of a side, running as it is sewn.
#[derive(Clone, Debug)]
pub struct SideEdge {
    /// The name in the sentence.
    pub tag: Tag,
    /// The panel line, by full name.
    pub line: String,
    /// The twin's edge.
    pub mirrored: bool,
    /// The line in walking direction.
    pub path: Path,
    /// Length of the side before it.
    pub from: f64,
    /// Its own length.
    pub length: f64,
}

/// A place on both sides that is notched.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamNotch {
    /// Its sentence.
    pub tag: Tag,
    /// Its shape.
    pub form: super::spec::NotchForm,
    /// Lengths from the start of the first side: one, or two for a double.
    pub first: Vec<f64>,
    /// The same on the second side.
    pub second: Vec<f64>,
    /// The place where the first mark counts for intervals and proportions.
    pub main: (f64, f64),
    /// Stands at a joint of edges on the first side, on the second.
    pub at_joint: (bool, bool),
}

/// The stretch between two neighbouring notches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Where it begins on each side, from the start.
    pub from: (f64, f64),
    /// Where it ends.
    pub to: (f64, f64),
}

impl Interval {
    /// Length on each side.
    pub fn lengths(&self) -> (f64, f64) {
        (self.to.0 - self.from.0, self.to.1 - self.from.1)
    }

    /// How much longer the first side is.
    pub fn ease(&self) -> f64 {
        let (first, second) = self.lengths();
        first - second
    }
}

/// Walks a seam. `outlined` knows which way pieces run along panel lines.
pub(crate) fn walk(spec: &SeamSpec, outlined: &Outlined, faults: &mut Vec<Fault>) -> Option<Seam> {
    for edge in spec.first.iter().chain(&spec.second) {
        if !outlined.has(&edge.line) {
            faults.push(seam_faults::not_taken(spec, &edge.line, edge.tag));
        }
    }
    let ways = sense::ways(spec, outlined, faults);
    let first = side(&spec.first, &ways.0)?;
    let second = side(&spec.second, &ways.1)?;
    let notches = super::seam_notch::places(spec, &first, &second, faults);
    let intervals = intervals(&notches, &first, &second);
    let wanted = spec.ease.unwrap_or((0.0, 0.0));
    let tolerance = spec
        .tolerance
        .unwrap_or_else(|| usual_tolerance(wanted, &first, &second));
    let mut seam = Seam {
        tag: spec.tag,
        name: spec.name.clone(),
        sewn: spec.sewn,
        first,
        second,
        wanted,
        tolerance,
        notches,
        intervals,
        ok: true,
    };
    judge(&mut seam, spec, outlined, faults);
    Some(seam)
}

fn side(edges: &[super::spec::SeamEdgeSpec], ways: &[Way]) -> Option<Side> {
    let mut side = Side::default();
    for (edge, way) in edges.iter().zip(ways) {
        let path = match way {
            Way::AsDrawn => edge.path.clone(),
            Way::Turned => edge.path.reversed(),
        };
        let length = path.length().ok()?;
        side.edges.push(SideEdge {
            tag: edge.tag,
            line: edge.line.clone(),
            mirrored: edge.mirrored,
            path,
            from: side.length,
            length,
        });
        side.length += length;
    }
    (!side.edges.is_empty()).then_some(side)
}

fn usual_tolerance(wanted: (f64, f64), first: &Side, second: &Side) -> f64 {
    if wanted == (0.0, 0.0) {
        let long = first.length.max(second.length) > LONG;
        if long { PLAIN_LONG } else { PLAIN }
    } else if wanted.0 == wanted.1 {
        EASED
    } else {
        EQUAL
    }
}

fn intervals(notches: &[SeamNotch], first: &Side, second: &Side) -> Vec<Interval> {
    let mut stops: Vec<(f64, f64)> = notches.iter().map(|notch| notch.main).collect();
    stops.push((first.length, second.length));
    let mut from = (0.0, 0.0);
    let mut found = Vec::new();
    for to in stops {
        if to.0 - from.0 > EQUAL || to.1 - from.1 > EQUAL {
            found.push(Interval { from, to });
            from = to;
        }
    }
    found
}

/// A plain seam must fit in every interval; an eased one as a whole.
fn judge(seam: &mut Seam, spec: &SeamSpec, outlined: &Outlined, faults: &mut Vec<Fault>) {
    let whole = seam.excess().abs() <= seam.tolerance;
    let worst = seam
        .intervals
        .iter()
        .copied()
        .max_by(|a, b| a.ease().abs().total_cmp(&b.ease().abs()));
    let uneven = match worst {
        Some(interval) if !seam.is_eased() && interval.ease().abs() > seam.tolerance => {
            Some(interval)
        }
        Some(_) | None => None,
    };
    seam.ok = whole && uneven.is_none();
    if seam.ok {
        return;
    }
    let fault = if whole {
        uneven.map(|interval| seam_faults::uneven(seam, interval))
    } else {
        Some(seam_faults::differs(seam))
    };
    let pieces = outlined.pieces_of(
        seam.first
            .edges
            .iter()
            .chain(&seam.second.edges)
            .map(|edge| edge.line.as_str()),
    );
    if let Some(mut fault) = fault {
        for (tag, words) in &spec.last_changed {
            fault = fault.and_see(*tag, Words::new(words.clone()));
        }
        for piece in pieces {
            fault = fault.on_piece(&piece);
        }
        faults.push(fault);
    }
}
