//! A piece's outline as it is sewn: its edges in order, less what pleats take out, and how each follows the one before:
//! it touches it, or lies across a closed dart or a folded pleat.

use super::super::piece::Piece;
use super::SAME_PLACE;
use kurbo::Vec2;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::Path;

/// What of an edge is sewn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    /// Index in [`Piece::edges`].
    pub(super) edge: usize,
    /// Lengths along that edge, anticlockwise.
    pub(super) from: f64,
    pub(super) to: f64,
}

/// How a stretch follows the one before it round the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Follows {
    Touching,
    OverDart,
    OverPleat,
}

/// One stretch and what lies between it and the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Linked {
    pub(super) stretch: Stretch,
    /// How the next one follows.
    pub(super) then: Follows,
    /// The turn to the next, dart and pleat closed, in degrees: positive where the piece has a corner of less than 180.
    pub(super) turn: f64,
}

/// An end of a stretch, anticlockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Start,
    Finish,
}

impl End {
    pub(super) fn other(self) -> End {
        match self {
            End::Start => End::Finish,
            End::Finish => End::Start,
        }
    }
}

/// The stretches of a piece, anticlockwise, and the edges that lie whole in a pleat.
#[derive(Clone, Debug, Default)]
pub(super) struct Rim {
    pub(super) linked: Vec<Linked>,
    pub(super) pleated: Vec<usize>,
}

impl Rim {
    pub(super) fn of(piece: &Piece) -> Rim {
        let mut ends = Vec::with_capacity(piece.edges.len() + 1);
        let mut whole = 0.0;
        for edge in &piece.edges {
            ends.push(whole);
            whole += edge.length;
        }
        ends.push(whole);
        let pleats = pleats(piece, &ends, whole);
        let mut rim = Rim::default();
        let mut found: Vec<(Stretch, f64)> = Vec::new();
        for (index, edge) in piece.edges.iter().enumerate() {
            if edge.mouth.is_some() || edge.length <= SAME_PLACE {
                continue;
            }
            let at = ends.get(index).copied().unwrap_or(0.0);
            let mut free: Vec<(f64, f64)> = vec![(0.0, edge.length)];
            for pleat in &pleats {
                for (from, to) in pleat.on(at, edge.length, whole) {
                    free = free
                        .into_iter()
                        .flat_map(|(a, b)| [(a, b.min(from)), (a.max(to), b)])
                        .filter(|(a, b)| b - a > SAME_PLACE)
                        .collect();
                }
            }
            if free.is_empty() {
                rim.pleated.push(index);
            }
            found.extend(free.into_iter().map(|(from, to)| {
                let edge = index;
                (Stretch { edge, from, to }, at + from)
            }));
        }
        let next = found.iter().cycle().skip(1);
        for ((stretch, _), (after, begins)) in found.iter().zip(next) {
            let end = ends.get(stretch.edge).copied().unwrap_or(0.0) + stretch.to;
            let pleat = pleats.iter().find(|pleat| {
                same_place(pleat.from, end, whole) && same_place(pleat.to, *begins, whole)
            });
            let mut behind = piece.edges.iter().cycle().skip(stretch.edge + 1);
            let mouth = behind.next().filter(|edge| edge.mouth.is_some());
            let reaches_corner = piece
                .edges
                .get(stretch.edge)
                .is_some_and(|edge| edge.length - stretch.to <= SAME_PLACE);
            let (u, v) = (way_out(piece, stretch), way_in(piece, after));
            let (then, turn) = match (pleat, mouth.filter(|_| reaches_corner)) {
                (Some(pleat), _) => (
                    Follows::OverPleat,
                    turned(u, pleat.into.0) + turned(-pleat.into.1, v) - 180.0,
                ),
                (None, Some(mouth)) => {
                    let dart = mouth.mouth.and_then(|dart| piece.darts.get(dart));
                    let ends = mouth.path.start().ok().zip(mouth.path.end().ok());
                    let turn = dart.zip(ends).map_or(0.0, |(dart, (a, b))| {
                        turned(u, dart.apex - a) + turned(b - dart.apex, v) - 180.0
                    });
                    (Follows::OverDart, turn)
                }
                (None, None) => (Follows::Touching, turned(u, v)),
            };
            rim.linked.push(Linked {
                stretch: *stretch,
                then,
                turn: wrapped(turn),
            });
        }
        rim
    }

    /// The stretch beyond an end, and the link between.
    pub(super) fn beyond(&self, at: usize, end: End) -> Option<(usize, Linked)> {
        let count = self.linked.len();
        match end {
            End::Finish => Some(((at + 1) % count.max(1), *self.linked.get(at)?)),
            End::Start => {
                let before = (at + count - 1) % count.max(1);
                Some((before, *self.linked.get(before)?))
            }
        }
    }
}

fn way_out(piece: &Piece, stretch: &Stretch) -> Vec2 {
    tangent(piece, stretch.edge, stretch.to)
}

fn way_in(piece: &Piece, stretch: &Stretch) -> Vec2 {
    tangent(piece, stretch.edge, stretch.from)
}

fn tangent(piece: &Piece, edge: usize, at: f64) -> Vec2 {
    let Some(edge) = piece.edges.get(edge) else {
        return Vec2::ZERO;
    };
    if at <= SAME_PLACE {
        edge.path.start_tangent()
    } else if at >= edge.length - SAME_PLACE {
        edge.path.end_tangent()
    } else {
        let location = edge.path.location_at(at);
        location.map_or(Vec2::ZERO, |at| edge.path.tangent_at(at))
    }
}

/// The turn from one way to another in degrees, positive to the left.
pub(super) fn turned(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to)).to_degrees()
}

/// An angle between -180 and 180 degrees.
fn wrapped(degrees: f64) -> f64 {
    let turn = (degrees + 180.0).rem_euclid(360.0) - 180.0;
    if turn == -180.0 { 180.0 } else { turn }
}

fn same_place(a: f64, b: f64, whole: f64) -> bool {
    let apart = (a - b).rem_euclid(whole.max(f64::MIN_POSITIVE));
    apart.min(whole - apart) <= 2.0 * SAME_PLACE
}

/// What a pleat takes out of the outline: from one length round the piece to another, anticlockwise, and the ways of its
/// folds into the piece there.
#[derive(Clone, Copy, Debug)]
struct Pleat {
    from: f64,
    to: f64,
    into: (Vec2, Vec2),
}

impl Pleat {
    /// The parts of an edge that it takes, as lengths along the edge.
    fn on(&self, at: f64, length: f64, whole: f64) -> Vec<(f64, f64)> {
        let long = (self.to - self.from).rem_euclid(whole);
        let begin = (self.from - at).rem_euclid(whole);
        let pieces = [(begin, begin + long), (begin - whole, begin - whole + long)];
        pieces
            .into_iter()
            .map(|(a, b)| (a.max(0.0), b.min(length)))
            .filter(|(a, b)| b - a > SAME_PLACE)
            .collect()
    }
}

/// Where a fold meets the outline: the length round the piece, and its way into the piece there.
type Met = (f64, Vec2);

fn pleats(piece: &Piece, ends: &[f64], whole: f64) -> Vec<Pleat> {
    let mut found = Vec::new();
    for (fold, onto) in &piece.folded_onto {
        let places = [met(piece, ends, fold), met(piece, ends, onto)];
        found.extend(paired(&places, whole));
    }
    found
}

/// Pairs each place of one fold with the place of the other beside it: the shortest stretches of outline between.
fn paired([one, other]: &[Vec<Met>; 2], whole: f64) -> Vec<Pleat> {
    let mut candidates: Vec<(f64, usize, usize, Pleat)> = Vec::new();
    for (i, a) in one.iter().enumerate() {
        for (j, b) in other.iter().enumerate() {
            for (from, to) in [(a, b), (b, a)] {
                let long = (to.0 - from.0).rem_euclid(whole);
                let pleat = Pleat {
                    from: from.0,
                    to: to.0,
                    into: (from.1, to.1),
                };
                candidates.push((long, i, j, pleat));
            }
        }
    }
    candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut taken: Vec<Pleat> = Vec::new();
    let (mut used, mut met): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    for (long, i, j, pleat) in candidates {
        if !used.contains(&i) && !met.contains(&j) {
            used.push(i);
            met.push(j);
            // Folds that end in one point take nothing there.
            if long.min(whole - long) > SAME_PLACE {
                taken.push(pleat);
            }
        }
    }
    taken
}

fn met(piece: &Piece, ends: &[f64], fold: &Path) -> Vec<Met> {
    let own = piece
        .edges
        .iter()
        .position(|edge| same_line(&edge.path, fold));
    if let Some(index) = own
        && let Some(edge) = piece.edges.get(index)
        && let (Some(from), Some(to)) = (ends.get(index), ends.get(index + 1))
    {
        return vec![
            (*from, edge.path.start_tangent()),
            (*to, -edge.path.end_tangent()),
        ];
    }
    let Some(sewing) = &piece.sewing else {
        return Vec::new();
    };
    let mut found: Vec<Met> = Vec::new();
    for meeting in meetings(fold, sewing).crossings {
        let along = fold.tangent_at(meeting.on_a);
        let inward = sewing.normal_at(meeting.on_b);
        let into = if along.dot(inward) >= 0.0 {
            along
        } else {
            -along
        };
        let at = sewing.length_to(meeting.on_b);
        let whole = ends.last().copied().unwrap_or(0.0);
        if !found.iter().any(|(known, _)| same_place(*known, at, whole)) {
            found.push((at, into));
        }
    }
    found
}

/// Whether two paths are one line, drawn either way.
fn same_line(a: &Path, b: &Path) -> bool {
    let near = |p: Option<kurbo::Point>, q: Option<kurbo::Point>| match (p, q) {
        (Some(p), Some(q)) => (p - q).hypot() <= SAME_PLACE,
        _ => false,
    };
    let (a0, a1) = (a.start().ok(), a.end().ok());
    let (b0, b1) = (b.start().ok(), b.end().ok());
    let ends = (near(a0, b0) && near(a1, b1)) || (near(a0, b1) && near(a1, b0));
    let lengths = a.length().ok().zip(b.length().ok());
    ends && lengths.is_some_and(|(a, b)| (a - b).abs() <= SAME_PLACE)
}
