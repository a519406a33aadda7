//! The notches of a piece before and after, known by the seam that carries them and the edge they stand on. One is told by how
//! far it stands from an end of its edge: the one that the author named, else one that stayed, the same on both sides of its
//! seam. One that stands where it stood in its piece is not told, whatever its edge did.

use super::corners::{self, corner};
use super::frame;
use super::lies::way;
use super::names::Names;
use super::piece_change::NotchChange;
use super::{SAME, Side};
use kurbo::{Affine, Vec2};
use oaktag_language::pattern::{Notch, Piece, Seam};
use oaktag_output::number::{MM_DECIMALS, rounded};
use std::collections::BTreeMap;

/// A piece on both sides, laid over itself.
pub(super) struct Pair<'a> {
    pub old: &'a Piece,
    pub new: &'a Piece,
    /// The old edge of each new one.
    pub edges: Vec<Option<usize>>,
    /// How the old piece is laid under the new one.
    pub frame: Affine,
}

impl<'a> Pair<'a> {
    /// Lays a piece over itself.
    pub(super) fn of(
        names: &Names<'_>,
        old: &'a Piece,
        new: &'a Piece,
        held: Option<Vec2>,
    ) -> Self {
        let edges = frame::edges(names, old, new);
        let frame = frame::frame(old, new, &edges, held);
        Self {
            old,
            new,
            edges,
            frame,
        }
    }

    /// How the start or the end of an edge moved in the piece; none where the edge is new.
    fn corner_way(&self, edge: usize, end: bool) -> Option<Vec2> {
        let old = self.old.edges.get((*self.edges.get(edge)?)?)?;
        let new = self.new.edges.get(edge)?;
        Some(corner(new, end)? - self.frame * corner(old, end)?)
    }

    pub(super) fn corner_stayed(&self, edge: usize, end: bool) -> bool {
        self.corner_way(edge, end)
            .is_some_and(|way| way.hypot() <= SAME)
    }
}

/// Both sides, for those who look across a seam.
pub(super) struct Ground<'a> {
    pub old: Side<'a>,
    pub new: Side<'a>,
    /// The pieces that are on both.
    pub pairs: Vec<Pair<'a>>,
    /// Seams of the old side, by what they are called now.
    pub seams: BTreeMap<String, String>,
}

impl Ground<'_> {
    fn seam_now(&self, old: &str) -> String {
        self.seams
            .get(old)
            .cloned()
            .unwrap_or_else(|| old.to_owned())
    }

    fn seam_before(&self, new: &str) -> Option<&Seam> {
        let was = self.seams.iter().find(|(_, is)| *is == new);
        self.old
            .outcome
            .pattern
            .seam(was.map_or(new, |(was, _)| was))
    }

    /// From which end of its seam a notch that no author measured is told: from the start, unless that moved on one of the
    /// pieces that carry it and the end did on none.
    fn seam_end(&self, seam: &Seam, number: usize) -> bool {
        let mut stayed = [true, true];
        for pair in &self.pairs {
            let carried = pair.new.notches.iter().filter(|notch| {
                notch.seam.as_ref() == Some(&seam.name) && notch.number == Some(number)
            });
            for notch in carried {
                let Some((edge, ..)) = corners::on_side(seam, pair.new, notch) else {
                    continue;
                };
                let start = corners::toward_start(edge);
                for (slot, end) in stayed.iter_mut().zip([start, !start]) {
                    *slot &= pair.corner_stayed(notch.edge, end);
                }
            }
        }
        stayed == [false, true]
    }
}

/// From where a notch is counted, and how far from there it stood and stands.
struct Counted {
    from: String,
    old: Option<f64>,
    new: Option<f64>,
}

/// Notches that moved in their piece, changed their shape, came or went.
pub(super) fn changes(ground: &Ground<'_>, pair: &Pair<'_>) -> Vec<NotchChange> {
    let one = OfPiece { ground, pair };
    let mut left: Vec<&Notch> = pair.old.notches.iter().collect();
    let mut before: Vec<Option<&Notch>> = vec![None; pair.new.notches.len()];
    type Fits<'f> = &'f dyn Fn(&Notch, &Notch) -> bool;
    // What stands where it stood comes first, so that one notch more in between is one notch more.
    let place: Fits<'_> = &|old, new| one.is_own(old, new) && !one.moved(old, new);
    let number: Fits<'_> = &|old, new| one.is_own(old, new) && old.number == new.number;
    for fits in [place, number] {
        for (notch, slot) in pair.new.notches.iter().zip(&mut before) {
            if slot.is_none() {
                let at = left.iter().position(|other| fits(other, notch));
                *slot = at.map(|at| left.remove(at));
            }
        }
    }
    let mut found: Vec<NotchChange> = pair
        .new
        .notches
        .iter()
        .zip(before)
        .filter(|(notch, before)| {
            before.is_none_or(|old| one.moved(old, notch) || old.form != notch.form)
        })
        .map(|(notch, before)| one.change(before, Some(notch)))
        .collect();
    found.extend(left.into_iter().map(|gone| one.change(Some(gone), None)));
    found
}

struct OfPiece<'a> {
    ground: &'a Ground<'a>,
    pair: &'a Pair<'a>,
}

impl OfPiece<'_> {
    /// Whether two notches belong to one seam; on one edge, or at one place where edges meet.
    fn is_own(&self, old: &Notch, new: &Notch) -> bool {
        let seam = old.seam.as_deref().map(|seam| self.ground.seam_now(seam));
        let edge = self.pair.edges.get(new.edge).copied().flatten();
        seam == new.seam && (edge == Some(old.edge) || !self.moved(old, new))
    }

    fn moved(&self, old: &Notch, new: &Notch) -> bool {
        let far = |(a, b): (
            &oaktag_language::pattern::NotchMark,
            &oaktag_language::pattern::NotchMark,
        )| { (self.pair.frame * a.sewing - b.sewing).hypot() > SAME };
        old.marks.len() != new.marks.len() || old.marks.iter().zip(&new.marks).any(far)
    }

    fn change(&self, old: Option<&Notch>, new: Option<&Notch>) -> NotchChange {
        let counted = self.counted(old, new);
        let notch = new.or(old);
        let piece = if new.is_some() {
            self.pair.new
        } else {
            self.pair.old
        };
        let form = match (old, new) {
            (Some(old), Some(new)) if old.form != new.form => {
                Some((old.form.word().into(), new.form.word().into()))
            }
            _ => None,
        };
        let marks = old
            .and_then(|old| old.marks.first())
            .zip(new.and_then(|new| new.marks.first()));
        NotchChange {
            seam: notch.and_then(|notch| notch.seam.clone()),
            number: notch.and_then(|notch| notch.number),
            edge: notch
                .and_then(|notch| piece.edges.get(notch.edge))
                .map_or_else(String::new, |edge| edge.name.clone()),
            from: counted.from,
            old_mm: counted.old.map(|mm| rounded(mm, MM_DECIMALS)),
            new_mm: counted.new.map(|mm| rounded(mm, MM_DECIMALS)),
            moved: marks.map(|(a, b)| way(b.sewing - self.pair.frame * a.sewing)),
            form,
        }
    }

    fn counted(&self, old: Option<&Notch>, new: Option<&Notch>) -> Counted {
        if let (Some(old), Some(new)) = (old, new) {
            return self
                .along_seam(old, new)
                .unwrap_or_else(|| self.along_edge(Some(old), new));
        }
        match (old, new) {
            (_, Some(new)) => self.alone(self.ground.new, self.pair.new, new, false),
            (Some(old), None) => self.alone(self.ground.old, self.pair.old, old, true),
            (None, None) => Counted {
                from: String::new(),
                old: None,
                new: None,
            },
        }
    }

    /// A notch that the author counts from an end of its seam.
    fn along_seam(&self, old: &Notch, new: &Notch) -> Option<Counted> {
        let measured = corners::of_seam(self.ground.new, new)?;
        let name = new.seam.as_deref()?;
        let (seam, was) = (
            self.ground.new.outcome.pattern.seam(name)?,
            self.ground.seam_before(name)?,
        );
        let (edge, at, length) = corners::on_side(seam, self.pair.new, new)?;
        let (old_edge, old_at, old_length) = corners::on_side(was, self.pair.old, old)?;
        let same_way = corners::toward_start(edge) == corners::toward_start(old_edge);
        let far = |at: f64, length: f64, from_start| if from_start { at } else { length - at };
        Some(Counted {
            from: corners::spoken(&measured.name),
            old: Some(far(old_at, old_length, measured.from_start == same_way)),
            new: Some(far(at, length, measured.from_start)),
        })
    }

    /// A notch counted along its own edge, from the end that the author of a lone notch named, or from one that stayed.
    fn along_edge(&self, old: Option<&Notch>, new: &Notch) -> Counted {
        let pair = self.pair;
        let named = own_end(pair.new, new);
        let (end, from) = named.unwrap_or_else(|| {
            let end = self.kept_end(new);
            let pattern = &self.ground.new.outcome.pattern;
            (end, corners::called(pattern, pair.new, new.edge, end))
        });
        Counted {
            from,
            old: old.and_then(|old| along(pair.old, old, end)),
            new: along(pair.new, new, end),
        }
    }

    /// The end of a notch's edge that stayed; where both or neither did, of a seam its start, of a lone notch the nearer.
    fn kept_end(&self, notch: &Notch) -> bool {
        let seam = notch.seam.as_deref().and_then(|name| {
            let seam = self.ground.new.outcome.pattern.seam(name)?;
            let (edge, ..) = corners::on_side(seam, self.pair.new, notch)?;
            let far_end = self.ground.seam_end(seam, notch.number?);
            Some(corners::toward_start(edge) != far_end)
        });
        seam.unwrap_or_else(|| {
            let stayed = |end| self.pair.corner_stayed(notch.edge, end);
            match (stayed(false), stayed(true)) {
                (true, false) => false,
                (false, true) => true,
                _ => {
                    let far = |end| along(self.pair.new, notch, end).unwrap_or(0.0);
                    far(true) < far(false)
                }
            }
        })
    }

    /// A notch of one side alone, that came or went.
    fn alone(&self, side: Side<'_>, piece: &Piece, notch: &Notch, went: bool) -> Counted {
        let measured = || {
            let measured = corners::of_seam(side, notch)?;
            let seam = side.outcome.pattern.seam(notch.seam.as_deref()?)?;
            let (_, at, length) = corners::on_side(seam, piece, notch)?;
            let far = if measured.from_start { at } else { length - at };
            Some((corners::spoken(&measured.name), far))
        };
        let own = || {
            let (end, name) = own_end(piece, notch)?;
            Some((name, along(piece, notch, end)?))
        };
        let nearer = || {
            let far = |end| along(piece, notch, end).unwrap_or(0.0);
            let end = far(true) < far(false);
            let name = corners::called(&side.outcome.pattern, piece, notch.edge, end);
            (name, far(end))
        };
        let (from, far) = measured().or_else(own).unwrap_or_else(nearer);
        Counted {
            from,
            old: went.then_some(far),
            new: (!went).then_some(far),
        }
    }
}

/// How far along its edge a notch stands, from the edge's start or its end.
fn along(piece: &Piece, notch: &Notch, end: bool) -> Option<f64> {
    let (edge, mark) = (piece.edges.get(notch.edge)?, notch.marks.first()?);
    Some(if end {
        edge.length - mark.from_start
    } else {
        mark.from_start
    })
}

/// The end of its edge from which a lone notch is counted, and its name.
fn own_end(piece: &Piece, notch: &Notch) -> Option<(bool, String)> {
    if notch.seam.is_some() {
        return None;
    }
    corners::of_own(piece.edges.get(notch.edge)?, notch)
}
