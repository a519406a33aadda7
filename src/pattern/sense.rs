//! Which way each edge of a seam is walked. Two pieces sewn together lie edge to edge, so along a seam they run round
//! their outlines in opposite senses: all edges of the first side one way, all of the second the other. What is left to
//! find is which; the draft's `from`, or the joints within a side, decide.

use super::fault::{Fault, Words};
use super::figure;
use super::piece::Piece;
use super::spec::{SeamEdgeSpec, SeamPoint, SeamSpec};
use crate::geometry::path::Path;
use crate::report::Code;
use kurbo::Point;
use std::collections::BTreeMap;

/// Ends of lines this near to each other are one place, in millimetres: a hundredth, as finely as anything is drawn.
pub(crate) const SAME_PLACE: f64 = 0.01;

/// Which way a line is walked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// From its start to its end.
    AsDrawn,
    /// From its end to its start.
    Turned,
}

impl Way {
    fn other(self) -> Self {
        match self {
            Way::AsDrawn => Way::Turned,
            Way::Turned => Way::AsDrawn,
        }
    }
}

/// Which pieces outline a panel line, and which way.
#[derive(Default)]
pub(crate) struct Outlined {
    lines: BTreeMap<String, Vec<(String, Way)>>,
}

impl Outlined {
    /// Reads the pieces' edges; a way is known only of pieces that close.
    pub(crate) fn of(pieces: &[Piece]) -> Self {
        let mut lines: BTreeMap<String, Vec<(String, Way)>> = BTreeMap::new();
        for piece in pieces {
            for edge in &piece.edges {
                let way = if edge.as_drawn {
                    Way::AsDrawn
                } else {
                    Way::Turned
                };
                lines
                    .entry(edge.line.clone())
                    .or_default()
                    .push((piece.name.clone(), way));
            }
        }
        Self { lines }
    }

    /// Whether any piece outlines the line.
    pub(crate) fn has(&self, line: &str) -> bool {
        self.lines.contains_key(line)
    }

    /// The way that runs anticlockwise round the pieces that outline the line; none where they disagree, as the two
    /// pieces on either side of a line they are cut apart along do.
    fn anticlockwise(&self, edge: &SeamEdgeSpec) -> Option<Way> {
        let pieces = self.lines.get(&edge.line)?;
        let (_, way) = pieces.first()?;
        let agreed = pieces.iter().all(|(_, other)| other == way);
        agreed.then_some(if edge.mirrored { way.other() } else { *way })
    }

    /// Names of the pieces that outline any of the lines, each once, in order.
    pub(crate) fn pieces_of<'a>(&self, lines: impl Iterator<Item = &'a str>) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for line in lines {
            for (piece, _) in self.lines.get(line).into_iter().flatten() {
                if !names.contains(piece) {
                    names.push(piece.clone());
                }
            }
        }
        names
    }
}

/// The ways of all edges, first side and second. A `from` that neither side begins at is a fault.
pub(crate) fn ways(
    spec: &SeamSpec,
    outlined: &Outlined,
    faults: &mut Vec<Fault>,
) -> (Vec<Way>, Vec<Way>) {
    let trial = |anticlockwise_first: bool| {
        let first = side_ways(
            &spec.first,
            anticlockwise_first,
            spec.from.as_ref(),
            outlined,
        );
        let second = side_ways(
            &spec.second,
            !anticlockwise_first,
            spec.from.as_ref(),
            outlined,
        );
        let score = score(spec, &first, &second);
        (score, (first, second))
    };
    let (one, other) = (trial(true), trial(false));
    if let Some(from) = &spec.from
        && one.0.starts == 0
        && other.0.starts == 0
    {
        faults.push(start_fault(spec, from));
    }
    let several = spec.first.len().max(spec.second.len()) > 1;
    if several && spec.from.is_none() && one.0 == other.0 && one.1 != other.1 {
        faults.push(which_end_fault(spec));
    }
    if other.0 > one.0 { other.1 } else { one.1 }
}

/// How well a choice of ways agrees with the draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    /// 2 where the walk starts at `from` and its panel agrees, 1 where only the place does.
    starts: u8,
    /// Joints within sides where one edge ends as the next begins.
    joints: usize,
}

fn score(spec: &SeamSpec, first: &[Way], second: &[Way]) -> Score {
    let starts = spec.from.as_ref().map_or(0, |from| {
        let begins = |edges: &[SeamEdgeSpec], ways: &[Way]| {
            let (Some(edge), Some(way)) = (edges.first(), ways.first()) else {
                return 0;
            };
            agrees(from, start(&edge.path, *way), &edge.line)
        };
        begins(&spec.first, first).max(begins(&spec.second, second))
    });
    let joints = joints(&spec.first, first) + joints(&spec.second, second);
    Score { starts, joints }
}

/// 0 where a point named in a seam is not this place of a line, 1 where it is, 2 where its panel is the line's too.
pub(crate) fn agrees(named: &SeamPoint, place: Option<Point>, line: &str) -> u8 {
    match place {
        Some(place) if (place - named.point).hypot() <= SAME_PLACE => {
            let same = !named.name.is_empty() && panel_of(&named.name) == panel_of(line);
            1 + u8::from(same)
        }
        Some(_) | None => 0,
    }
}

fn joints(edges: &[SeamEdgeSpec], ways: &[Way]) -> usize {
    let walked: Vec<_> = edges.iter().zip(ways).collect();
    let pairs = walked.iter().zip(walked.iter().skip(1));
    let meets = |a: Option<Point>, b: Option<Point>| match (a, b) {
        (Some(a), Some(b)) => (b - a).hypot() <= SAME_PLACE,
        _ => false,
    };
    pairs
        .filter(|((a, way_a), (b, way_b))| meets(end(&a.path, **way_a), start(&b.path, **way_b)))
        .count()
}

/// Ways of one side's edges for a sense; an edge whose sense is not known is turned to chain with the one before it, or
/// else with the next, or to start at `from`.
fn side_ways(
    edges: &[SeamEdgeSpec],
    anticlockwise: bool,
    from: Option<&SeamPoint>,
    outlined: &Outlined,
) -> Vec<Way> {
    let known = |edge: &SeamEdgeSpec| {
        let way = outlined.anticlockwise(edge)?;
        Some(if anticlockwise { way } else { way.other() })
    };
    let mut ways: Vec<Way> = Vec::new();
    for (index, edge) in edges.iter().enumerate() {
        let way = known(edge).unwrap_or_else(|| {
            let before = index
                .checked_sub(1)
                .and_then(|n| Some((edges.get(n)?, *ways.get(n)?)));
            match before {
                Some((prior, way)) => chained(end(&prior.path, way), &edge.path),
                None => opening(edge, edges.get(1), from),
            }
        });
        ways.push(way);
    }
    ways
}

/// The way of a side's first edge where no piece tells it.
fn opening(edge: &SeamEdgeSpec, next: Option<&SeamEdgeSpec>, from: Option<&SeamPoint>) -> Way {
    let starts =
        |way: Way| from.is_some_and(|from| agrees(from, start(&edge.path, way), &edge.line) > 0);
    if starts(Way::Turned) && !starts(Way::AsDrawn) {
        return Way::Turned;
    }
    let touches = |way: Way| {
        next.is_some_and(|next| {
            [Way::AsDrawn, Way::Turned].into_iter().any(|other| {
                let (a, b) = (end(&edge.path, way), start(&next.path, other));
                a.zip(b).is_some_and(|(a, b)| (b - a).hypot() <= SAME_PLACE)
            })
        })
    };
    if touches(Way::Turned) && !touches(Way::AsDrawn) {
        Way::Turned
    } else {
        Way::AsDrawn
    }
}

fn chained(at: Option<Point>, path: &Path) -> Way {
    let far = |way: Way| match (at, start(path, way)) {
        (Some(a), Some(b)) => (b - a).hypot(),
        _ => f64::INFINITY,
    };
    if far(Way::Turned) < far(Way::AsDrawn) {
        Way::Turned
    } else {
        Way::AsDrawn
    }
}

pub(crate) fn start(path: &Path, way: Way) -> Option<Point> {
    match way {
        Way::AsDrawn => path.start().ok(),
        Way::Turned => path.end().ok(),
    }
}

fn end(path: &Path, way: Way) -> Option<Point> {
    start(path, way.other())
}

/// The panel a full name belongs to: all before the last dot.
pub(crate) fn panel_of(name: &str) -> &str {
    name.rsplit_once('.').map_or("", |(panel, _)| panel)
}

/// Both ways round fit: with several edges in a side the notches would stand elsewhere.
fn which_end_fault(spec: &SeamSpec) -> Fault {
    let name = figure::name(&spec.name);
    let message = Words::new(format!(
        "seam {name}: its edges can be walked from either end"
    ));
    let fault = Fault::warning(Code::SeamBroken, spec.tag, message);
    fault.with_help(Words::new(
        "Write  from  and the point where sewing starts, an end of the first edge of either side.",
    ))
}

fn start_fault(spec: &SeamSpec, from: &SeamPoint) -> Fault {
    let place = if from.name.is_empty() {
        "that point".to_owned()
    } else {
        figure::name(&from.name)
    };
    let message = Words::new(format!(
        "seam {}: the walk is to start from {place}, where neither side begins",
        figure::name(&spec.name)
    ));
    let mut fault = Fault::error(Code::SeamBroken, spec.tag, message);
    for edges in [&spec.first, &spec.second] {
        if let Some(edge) = edges.first() {
            let gap = [edge.path.start(), edge.path.end()]
                .into_iter()
                .flatten()
                .map(|end| (end - from.point).hypot());
            let nearest = gap.fold(f64::INFINITY, f64::min);
            if nearest.is_finite() {
                let words = Words::new(format!("{place} is "))
                    .length(nearest)
                    .text(" from its nearer end");
                fault = fault.and_see(edge.tag, words);
            }
        }
    }
    fault.with_help(Words::new(
        "Name the end where sewing starts: an end of the first edge of either side.",
    ))
}
