//! One piece of two drawings: as it is where they agree, a left and a right one, the whole of one that lay on the fold, or
//! the side of one that is cut once.

use super::agree;
use oaktag_language::pattern::halves::Apart;
use oaktag_language::pattern::shown::Shown;
use oaktag_language::pattern::{Piece, WearerSide};

/// What becomes of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fate {
    Same,
    /// Cut as a left and a right piece.
    Parted,
    /// Unfolded, and cut whole.
    Whole,
    /// Cut for one side alone.
    OneSided(WearerSide),
}

/// What becomes of a piece, from its two drawings.
pub(crate) fn fate(left: &Piece, right: &Piece, shown: Shown) -> Fate {
    if agree::pieces(left, right) {
        Fate::Same
    } else if right.on_fold() {
        Fate::Whole
    } else if right.cut.alike || right.cut.count == 1 {
        Fate::OneSided(shown.half)
    } else {
        Fate::Parted
    }
}

/// The drawing of a side.
pub(super) fn of<'a>(left: &'a Piece, right: &'a Piece, side: WearerSide) -> &'a Piece {
    match side {
        WearerSide::Left => left,
        WearerSide::Right => right,
    }
}

/// A left and a right piece of a pair.
pub(super) fn parted(left: &Piece, right: &Piece) -> [Piece; 2] {
    WearerSide::BOTH.map(|side| {
        let mut piece = of(left, right, side).of_side(side);
        for edge in &mut piece.edges {
            edge.line = side.of(&edge.line);
        }
        sheetless(&mut piece, side);
        piece
    })
}

/// The whole of a piece on the fold, the half that is shown as drawn and the other beside it.
///
/// # Errors
/// Where the halves do not meet on the fold.
pub(super) fn whole(left: &Piece, right: &Piece, shown: WearerSide) -> Result<Piece, Apart> {
    let (here, there) = (of(left, right, shown), of(left, right, shown.other()));
    let mut piece = here.with_other_half(there)?;
    let kept = piece.edges.len() / 2;
    for (number, edge) in piece.edges.iter_mut().enumerate() {
        let side = if number < kept { shown } else { shown.other() };
        edge.name = side.of(&edge.name);
        edge.line = side.of(&edge.line);
    }
    piece.cautions = cautions(left, right);
    sheetless(&mut piece, shown);
    Ok(piece)
}

/// A piece for one side alone.
pub(crate) fn one_sided(left: &Piece, right: &Piece, side: WearerSide) -> Piece {
    let mut piece = of(left, right, side).clone();
    for edge in &mut piece.edges {
        edge.line = side.of(&edge.line);
    }
    sheetless(&mut piece, side);
    piece
}

/// A piece that is the same on both sides.
pub(super) fn same(left: &Piece, right: &Piece) -> Piece {
    Piece {
        cautions: cautions(left, right),
        ..right.clone()
    }
}

/// The panel of a side holds no lines of its own: what was drawn on it lies as the half was drawn.
fn sheetless(piece: &mut Piece, side: WearerSide) {
    piece.panel = side.of(&piece.panel);
}

/// Cautions of both drawings; one that is of one side alone says so.
fn cautions(left: &Piece, right: &Piece) -> Vec<String> {
    join_words(&left.cautions, &right.cautions)
}

/// Sentences of both halves, each once; one that is of one side alone says so.
pub(crate) fn join_words(left: &[String], right: &[String]) -> Vec<String> {
    let both = right.iter().filter(|words| left.contains(words)).cloned();
    let of = |side: WearerSide, words: &String| format!("Wearer's {side}: {words}");
    let lefts = left.iter().filter(|words| !right.contains(words));
    let rights = right.iter().filter(|words| !left.contains(words));
    both.chain(lefts.map(|words| of(WearerSide::Left, words)))
        .chain(rights.map(|words| of(WearerSide::Right, words)))
        .collect()
}
