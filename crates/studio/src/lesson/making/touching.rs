//! Which seams, finishes and pieces touch: edges beside a seam at its ends, the seams that cross there, what hangs between others.

use super::Spot;
use crate::lesson::places::SAME;
use oaktag_language::pattern::{After, Pattern, Piece, Seam, Side, SideEdge};
use std::collections::BTreeSet;

pub(super) fn side_edges(seam: &Seam) -> impl Iterator<Item = &SideEdge> {
    seam.first.edges.iter().chain(&seam.second.edges)
}

fn spot(edge: &SideEdge, pattern: &Pattern) -> Option<Spot> {
    let piece = pattern
        .pieces
        .iter()
        .position(|piece| piece.name == edge.piece)?;
    let mut edges = pattern.pieces.get(piece)?.edges.iter();
    let at = edges.position(|one| one.name == edge.edge && one.line == edge.line && !one.mirrored);
    Some((piece, at?))
}

fn spots(side: &Side, pattern: &Pattern) -> BTreeSet<Spot> {
    let edges = side.edges.iter();
    edges.filter_map(|edge| spot(edge, pattern)).collect()
}

pub(super) fn pieces_of(seam: &Seam) -> BTreeSet<&str> {
    side_edges(seam).map(|edge| edge.piece.as_str()).collect()
}

pub(super) fn area(pieces: &BTreeSet<&str>, pattern: &Pattern) -> f64 {
    let found = pieces.iter().filter_map(|name| pattern.piece(name)?.area());
    found.sum()
}

/// The seams that take an edge of a piece.
pub(super) fn taking(piece: &Piece, pattern: &Pattern) -> BTreeSet<usize> {
    let seams = pattern.seams.iter().enumerate();
    let takes = |seam: &Seam| side_edges(seam).any(|edge| edge.piece == piece.name);
    seams
        .filter(|(_, seam)| takes(seam))
        .map(|(at, _)| at)
        .collect()
}

/// The edges beside a seam at its ends: of each end, that beside the first side and that beside the second. Where it is not known
/// which ends meet, every pair.
pub(super) fn tips(seam: &Seam, pattern: &Pattern) -> Vec<[Option<Spot>; 2]> {
    use oaktag_language::pattern::Decided;
    let [first, second] = [&seam.first, &seam.second].map(|side| {
        [true, false].map(|start| {
            let edge = if start {
                side.edges.first()
            } else {
                side.edges.last()
            };
            beside(edge?, start, pattern)
        })
    });
    let ([a, b], [c, d]) = (first, second);
    match seam.decided {
        Decided::Whole | Decided::Unsure => vec![[a, c], [a, d], [b, c], [b, d]],
        _ => vec![[a, c], [b, d]],
    }
}

/// The edge of the piece that meets an edge where it begins or ends; none in the middle of an edge, and none on a fold.
fn beside(edge: &SideEdge, start: bool, pattern: &Pattern) -> Option<Spot> {
    let (number, at) = spot(edge, pattern)?;
    let piece = pattern.pieces.get(number)?;
    let count = piece.edges.len();
    let along = if start { edge.along.0 } else { edge.along.1 };
    let next = if along <= SAME {
        (at + count - 1) % count
    } else if along >= piece.edges.get(at)?.length - SAME {
        (at + 1) % count
    } else {
        return None;
    };
    (!piece.edges.get(next)?.on_fold).then_some((number, next))
}

/// The seams that cross one at its end: one side takes both edges beside it, or two seams take one each and lie on one piece.
pub(super) fn crossing(ends: [Option<Spot>; 2], own: usize, pattern: &Pattern) -> Vec<usize> {
    let [Some(one), Some(other)] = ends else {
        return Vec::new();
    };
    let sides = |seam: &Seam| [&seam.first, &seam.second].map(|side| spots(side, pattern));
    let all: Vec<(usize, [BTreeSet<Spot>; 2])> = pattern
        .seams
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != own)
        .map(|(at, seam)| (at, sides(seam)))
        .collect();
    let mut found: Vec<usize> = all
        .iter()
        .filter(|(_, sides)| {
            let mut sides = sides.iter();
            sides.any(|side| side.contains(&one) && side.contains(&other))
        })
        .map(|(at, _)| *at)
        .collect();
    // The pieces on the other side of the seam that takes an edge.
    let across = |spot: Spot| {
        let taken = all.iter().flat_map(move |(at, [first, second])| {
            let mut found = Vec::new();
            if first.contains(&spot) {
                found.push((*at, second));
            }
            if second.contains(&spot) {
                found.push((*at, first));
            }
            found
        });
        taken.collect::<Vec<_>>()
    };
    for (a, beyond) in across(one) {
        for (b, other_beyond) in across(other) {
            let piece = |spot: &Spot| spot.0;
            let shared = beyond.iter().map(piece).any(|piece| {
                piece != one.0
                    && piece != other.0
                    && other_beyond.iter().any(|spot| spot.0 == piece)
            });
            if a != b && shared {
                found.extend([a, b]);
            }
        }
    }
    found
}

/// The seams in which a piece hangs between others that no seam joins to it, where it is in no other seam.
pub(super) fn hangs_in(piece: &Piece, pattern: &Pattern) -> BTreeSet<usize> {
    let hangs = |side: &Side| {
        let own = |edge: &SideEdge| edge.piece == piece.name;
        let pairs = side.edges.iter().zip(side.edges.iter().skip(1));
        let mut apart = pairs.filter(|(_, edge)| edge.after == After::Apart);
        apart.any(|(before, edge)| own(before) || own(edge))
    };
    let seams = taking(piece, pattern);
    let all = seams.iter().all(|at| {
        let seam = pattern.seams.get(*at);
        seam.is_some_and(|seam| hangs(&seam.first) || hangs(&seam.second))
    });
    let others = |edge: &oaktag_language::pattern::Edge| {
        edge.on_fold || edge.mouth.is_some() || edge.finish.is_some() || !edge.seams.is_empty()
    };
    if all && seams.len() == 1 && piece.edges.iter().all(others) && has_finish(piece) {
        seams
    } else {
        BTreeSet::new()
    }
}

fn has_finish(piece: &Piece) -> bool {
    (0..piece.edges.len()).any(|at| is_finished(piece, at))
}

pub(super) fn is_finished(piece: &Piece, at: usize) -> bool {
    let edge = piece.edges.get(at);
    edge.is_some_and(|edge| edge.finish.is_some() && edge.seams.is_empty() && !edge.mirrored)
}

/// The finished edges of a piece, those together that follow each other and are finished alike.
pub(super) fn finish_groups(number: usize, piece: &Piece) -> Vec<Vec<Spot>> {
    let count = piece.edges.len();
    let mut groups: Vec<Vec<Spot>> = Vec::new();
    for at in (0..count).filter(|at| is_finished(piece, *at)) {
        let follows = |group: &&mut Vec<Spot>| {
            let last = at.wrapping_sub(1);
            group.last() == Some(&(number, last)) && alike(piece, last, at)
        };
        match groups.last_mut().filter(follows) {
            Some(group) => group.push((number, at)),
            None => groups.push(vec![(number, at)]),
        }
    }
    // The last follows on into the first.
    let wraps = groups.len() > 1
        && groups.first().and_then(|group| group.first()) == Some(&(number, 0))
        && groups.last().and_then(|group| group.last()) == Some(&(number, count - 1))
        && alike(piece, count - 1, 0);
    if wraps
        && let Some(mut last) = groups.pop()
        && let Some(first) = groups.first_mut()
    {
        last.append(first);
        *first = last;
    }
    groups
}

fn alike(piece: &Piece, one: usize, other: usize) -> bool {
    let words = |at: usize| piece.edges.get(at)?.finish.as_deref();
    words(one) == words(other)
}

/// Finishes that run on into each other over a seam are one.
pub(super) fn joined_over_seams(groups: Vec<Vec<Spot>>, pattern: &Pattern) -> Vec<Vec<Spot>> {
    let mut joined: Vec<Vec<Spot>> = groups;
    let spot = |piece: &str, edge: &str| {
        let number = pattern.pieces.iter().position(|one| one.name == piece)?;
        let mut edges = pattern.pieces.get(number)?.edges.iter();
        Some((number, edges.position(|one| one.name == edge)?))
    };
    for end in pattern.seams.iter().flat_map(|seam| &seam.ends) {
        if end.corner.is_some() {
            continue;
        }
        let (Some(one), Some(other)) = (
            spot(&end.pieces.0, &end.edges.0),
            spot(&end.pieces.1, &end.edges.1),
        ) else {
            continue;
        };
        let place = |spot: &Spot| joined.iter().position(|group| group.contains(spot));
        let (Some(a), Some(b)) = (place(&one), place(&other)) else {
            continue;
        };
        if a == b {
            continue;
        }
        let moved = joined.remove(a.max(b));
        if let Some(group) = joined.get_mut(a.min(b)) {
            group.extend(moved);
        }
    }
    joined
}

/// Whether one side of a seam takes both neighbours of a finished edge.
pub(super) fn passes(seam: usize, finished: &[Spot], pattern: &Pattern) -> bool {
    let Some(seam) = pattern.seams.get(seam) else {
        return false;
    };
    let sides = [&seam.first, &seam.second].map(|side| spots(side, pattern));
    finished.iter().any(|(piece, at)| {
        let count = pattern.pieces.get(*piece).map_or(1, |one| one.edges.len());
        let beside = [
            (*piece, (at + count - 1) % count),
            (*piece, (at + 1) % count),
        ];
        let [one, other] = beside;
        one != other
            && sides
                .iter()
                .any(|side| side.contains(&one) && side.contains(&other))
    })
}
