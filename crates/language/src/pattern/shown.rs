//! Which half of the wearer each piece's sheet shows, right side of the cloth up. A draft says it with a text `shown_half` on the
//! panel; else seams tell it, since what is sewn together without `mirrored` lies on one side of the body; else it is the
//! right half (common practice). Pieces cut in layers that face each other come both ways round and tell nothing.

use super::side::SHOWN_HALF;
use super::spec::Value;
use super::{Pattern, Piece, Seam, SideEdge, WearerSide};

/// What is known of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Which half its sheet shows.
    pub half: WearerSide,
    /// Whether the draft says so: by name, or by seams that lead to its first piece.
    pub is_told: bool,
}

impl Default for Shown {
    fn default() -> Self {
        Self {
            half: WearerSide::Right,
            is_told: false,
        }
    }
}

/// Two pieces that cannot both be drawn right side up: their seams follow each other the wrong way round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contrary {
    /// The pieces by number.
    pub pieces: (usize, usize),
    /// Seams by which it shows.
    pub seams: Vec<String>,
}

/// Whether a piece is cut in layers, as many one way round as the other.
pub fn is_layered(piece: &Piece) -> bool {
    let each = if piece.on_fold() { 1 } else { 2 };
    !piece.cut.alike && piece.cut.count > each && piece.cut.count.is_multiple_of(2 * each)
}

/// Which half each piece shows, by its number in the pattern, and two that lie the wrong way round. What a panel says goes
/// for what is sewn to it as well, unless another says otherwise there, or that alone puts pieces the wrong way round.
pub fn halves(pattern: &Pattern) -> (Vec<Shown>, Option<Contrary>) {
    let by_fellows = assigned(pattern, true);
    let Some(found) = contrary(pattern, &by_fellows) else {
        return (by_fellows, None);
    };
    let alone = assigned(pattern, false);
    if contrary(pattern, &alone).is_none() {
        return (alone, None);
    }
    (by_fellows, Some(found))
}

fn assigned(pattern: &Pattern, by_fellows: bool) -> Vec<Shown> {
    let mut groups = Groups::of(pattern.pieces.len());
    for seam in &pattern.seams {
        groups.sew(&reached(pattern, seam));
    }
    let told: Vec<Option<WearerSide>> = pattern
        .pieces
        .iter()
        .map(|piece| told(pattern, piece))
        .collect();
    // Layers tell nothing, so that the first that is cut once or as a pair leads.
    let lead = pattern.pieces.iter().position(|piece| !is_layered(piece));
    let first = groups.root(lead.unwrap_or_default()).0;
    (0..pattern.pieces.len())
        .map(|number| {
            let (root, turned) = groups.root(number);
            let by_name = told.get(number).copied().flatten();
            let mut by_fellow = told.iter().enumerate().filter_map(|(other, half)| {
                let (of, other_turned) = groups.root(other);
                let half = (*half).filter(|_| of == root)?;
                Some(turned_over(half, turned != other_turned))
            });
            // Fellows that contradict each other, as two layers that face each other do, say it of themselves alone.
            let first_said = by_fellow.next();
            let agreed = first_said.filter(|half| by_fellow.all(|other| other == *half));
            let found = by_name.or(agreed.filter(|_| by_fellows));
            // The first piece of a group shows the right half.
            let lead = (0..number + 1).find(|other| groups.root(*other).0 == root);
            let lead_turned = lead.is_some_and(|lead| groups.root(lead).1);
            Shown {
                half: found.unwrap_or(turned_over(WearerSide::Right, turned != lead_turned)),
                is_told: found.is_some() || root == first,
            }
        })
        .collect()
}

fn turned_over(half: WearerSide, is_turned: bool) -> WearerSide {
    if is_turned { half.other() } else { half }
}

/// What the piece's panel says.
fn told(pattern: &Pattern, piece: &Piece) -> Option<WearerSide> {
    let name = if piece.panel.is_empty() {
        SHOWN_HALF.to_owned()
    } else {
        format!("{}.{SHOWN_HALF}", piece.panel)
    };
    let said = pattern.values.iter().find(|value| value.name == name)?;
    match &said.value {
        Value::Text(word) => WearerSide::named(word),
        _ => None,
    }
}

/// The pieces a seam reaches, and whether it takes their twin's edge; none that are cut in layers.
fn reached(pattern: &Pattern, seam: &Seam) -> Vec<(usize, bool)> {
    let edges = seam.first.edges.iter().chain(&seam.second.edges);
    let mut found = Vec::new();
    for edge in edges {
        for (number, piece) in pattern.pieces.iter().enumerate() {
            let has = piece.edges.iter().any(|own| own.line == edge.line);
            let one = (number, edge.mirrored);
            if has && !is_layered(piece) && !found.contains(&one) {
                found.push(one);
            }
        }
    }
    found
}

/// Whether a seam joins the wearer's left to the right: its two sides lie on different halves.
pub fn crosses(pattern: &Pattern, shown: &[Shown], seam: &Seam) -> bool {
    let half = |edge: &SideEdge| {
        let pieces = pattern.pieces.iter().zip(shown);
        let mut of = pieces.filter(|(piece, _)| piece.edges.iter().any(|e| e.line == edge.line));
        let (piece, shown) = of.next()?;
        // Layers are taken as they lie on the outside.
        let half = if is_layered(piece) {
            WearerSide::Right
        } else {
            shown.half
        };
        Some(turned_over(half, edge.mirrored))
    };
    let first = seam.first.edges.first();
    let second = seam.second.edges.first();
    let same_line = first.zip(second).is_some_and(|(a, b)| {
        let panels = (a.line.rsplit_once('.'), b.line.rsplit_once('.'));
        panels.0.map(|p| p.0) == panels.1.map(|p| p.0)
    });
    match (first.and_then(half), second.and_then(half)) {
        // Only a piece sewn to its own twin is sewn across the middle.
        (Some(a), Some(b)) => same_line && a != b,
        _ => false,
    }
}

/// Pieces in groups that are sewn together, each turned over or not against the group's root.
struct Groups {
    parent: Vec<(usize, bool)>,
}

impl Groups {
    fn of(count: usize) -> Self {
        Self {
            parent: (0..count).map(|number| (number, false)).collect(),
        }
    }

    /// A piece's root, and whether it is turned over against it.
    fn root(&self, number: usize) -> (usize, bool) {
        let (mut at, mut turned) = (number, false);
        // Each step leads to a smaller number.
        while let Some((parent, over)) = self.parent.get(at).copied() {
            if parent == at {
                break;
            }
            (at, turned) = (parent, turned != over);
        }
        (at, turned)
    }

    /// Joins the pieces of a seam. One that takes a piece with its own twin crosses the middle, and tells nothing.
    fn sew(&mut self, pieces: &[(usize, bool)]) {
        let own_twin = |(number, over): &(usize, bool)| pieces.contains(&(*number, !over));
        if pieces.iter().any(own_twin) {
            return;
        }
        let Some((first, first_over)) = pieces.first().copied() else {
            return;
        };
        for (other, over) in pieces.iter().skip(1) {
            let (a, a_turned) = self.root(first);
            let (b, b_turned) = self.root(*other);
            if a == b {
                continue;
            }
            let turned = (a_turned != first_over) != (b_turned != *over);
            let (low, high) = (a.min(b), a.max(b));
            if let Some(parent) = self.parent.get_mut(high) {
                *parent = (low, turned);
            }
        }
    }
}

/// The first two pieces that lie the wrong way round. Round two pieces of one surface, both right side up, what they have
/// in common follows in opposite order (the dual of a plane graph is plane, from memory of its proof).
fn contrary(pattern: &Pattern, shown: &[Shown]) -> Option<Contrary> {
    let rounds: Vec<Vec<String>> = pattern.pieces.iter().map(round).collect();
    let numbers = 0..pattern.pieces.len();
    for a in numbers.clone() {
        for b in numbers.clone().skip(a + 1) {
            let layered = |n: usize| pattern.pieces.get(n).is_some_and(is_layered);
            if layered(a) || layered(b) {
                continue;
            }
            let (Some(x), Some(y), Some(p), Some(q)) =
                (rounds.get(a), rounds.get(b), shown.get(a), shown.get(b))
            else {
                continue;
            };
            let common = |round: &[String], other: &[String]| -> Vec<String> {
                let once = |name: &&String| {
                    let times = |of: &[String]| of.iter().filter(|one| one == name).count();
                    times(round) == 1 && times(other) == 1
                };
                round.iter().filter(once).cloned().collect()
            };
            let (x, y) = (common(x, y), common(y, x));
            let Some(same_way) = same_way(&x, &y) else {
                continue;
            };
            if same_way == (p.half == q.half) {
                return Some(Contrary {
                    pieces: (a, b),
                    seams: x.into_iter().filter(|name| name != FOLD).collect(),
                });
            }
        }
    }
    None
}

const FOLD: &str = "\u{0}fold";

/// The seams round a piece in the order of its edges, and its fold.
fn round(piece: &Piece) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for edge in &piece.edges {
        let fold = edge.on_fold.then(|| FOLD.to_owned());
        names.extend(fold.into_iter().chain(edge.seams.iter().cloned()));
    }
    names.dedup();
    if names.len() > 1 && names.first() == names.last() {
        names.pop();
    }
    names
}

/// Whether two rounds of the same names run the same way; none where they run neither way, or are too short to tell.
fn same_way(a: &[String], b: &[String]) -> Option<bool> {
    if a.len() < 3 || a.len() != b.len() {
        return None;
    }
    let turned: Vec<String> = b.iter().rev().cloned().collect();
    let is_turn_of = |round: &[String]| {
        let start = round.iter().position(|name| Some(name) == a.first());
        start.is_some_and(|start| {
            let turned = round.iter().cycle().skip(start).take(a.len());
            turned.eq(a.iter())
        })
    };
    match (is_turn_of(b), is_turn_of(&turned)) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_are_told_apart() {
        let of = |names: &str| -> Vec<String> { names.chars().map(String::from).collect() };
        assert_eq!(same_way(&of("abc"), &of("bca")), Some(true));
        assert_eq!(same_way(&of("abc"), &of("acb")), Some(false));
        assert_eq!(same_way(&of("abcd"), &of("acbd")), None);
        assert_eq!(same_way(&of("ab"), &of("ba")), None);
    }

    #[test]
    fn turned_pieces_are_followed_through_seams() {
        let mut groups = Groups::of(5);
        groups.sew(&[(1, true), (2, false)]);
        groups.sew(&[(3, false), (2, true)]);
        groups.sew(&[(4, false), (4, true)]);
        groups.sew(&[(0, false), (3, false)]);
        let turned: Vec<(usize, bool)> = (0..5).map(|n| groups.root(n)).collect();
        assert_eq!(
            turned,
            [(0, false), (0, false), (0, true), (0, false), (4, false)]
        );
    }
}
