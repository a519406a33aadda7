//! The notches of a piece before and after, known by the seam that carries them, their number there and their turn.

use super::names::Names;
use super::{NotchChange, SAME};
use crate::output::number::{MM_DECIMALS, rounded};
use crate::pattern::spec::NotchForm;
use crate::pattern::{Notch, Piece};

/// Notches that moved along their edge, changed their shape, came or went.
pub(super) fn changes(
    names: &Names<'_>,
    old: &Piece,
    new: &Piece,
    seam: impl Fn(&str) -> String,
) -> Vec<NotchChange> {
    let edge = |piece: &Piece, notch: &Notch| {
        piece
            .edges
            .get(notch.edge)
            .map_or_else(String::new, |edge| edge.line.clone())
    };
    let mut left: Vec<&Notch> = old.notches.iter().collect();
    let mut found = Vec::new();
    for notch in &new.notches {
        let own = |other: &Notch| {
            other.seam.as_deref().map(&seam) == notch.seam
                && names.value(&edge(old, other)) == edge(new, notch)
        };
        // Pairs the same number first, so that one notch more in between is one notch more.
        let same_place = |other: &Notch| {
            own(other) && !moved(other, notch) && other.marks.len() == notch.marks.len()
        };
        let at = left.iter().position(|other| same_place(other)).or_else(|| {
            left.iter()
                .position(|other| own(other) && other.number == notch.number)
        });
        let before = at.map(|at| left.remove(at));
        let is_same = before.is_some_and(|other| !moved(other, notch) && other.form == notch.form);
        if !is_same {
            found.push(change(new, before, Some(notch)));
        }
    }
    found.extend(left.into_iter().map(|notch| change(old, Some(notch), None)));
    found
}

fn along(notch: &Notch) -> Option<f64> {
    notch
        .marks
        .first()
        .map(|mark| rounded(mark.from_start, MM_DECIMALS))
}

fn moved(old: &Notch, new: &Notch) -> bool {
    let far = |(a, b): (f64, f64)| (a - b).abs() > SAME;
    old.marks.len() != new.marks.len() || along(old).zip(along(new)).is_some_and(far)
}

fn change(piece: &Piece, old: Option<&Notch>, new: Option<&Notch>) -> NotchChange {
    let notch = new.or(old);
    let form = match (old, new) {
        (Some(old), Some(new)) if old.form != new.form => {
            Some((name(old.form).into(), name(new.form).into()))
        }
        _ => None,
    };
    NotchChange {
        seam: notch.and_then(|notch| notch.seam.clone()),
        number: notch.and_then(|notch| notch.number),
        edge: notch
            .and_then(|notch| piece.edges.get(notch.edge))
            .map_or_else(String::new, |edge| edge.name.clone()),
        old_mm: old.and_then(along),
        new_mm: new.and_then(along),
        form,
    }
}

fn name(form: NotchForm) -> &'static str {
    match form {
        NotchForm::Single => "single",
        NotchForm::Double => "double",
        NotchForm::Tee => "tee",
        NotchForm::Vee => "vee",
        NotchForm::Slit => "slit",
    }
}
