//! How each edge of a piece is sewn, in few words: how wide the cloth stands beyond it, and how it is finished. Edges have numbers,
//! by which a small piece and the ticket speak of the same one.

use oaktag_language::pattern::{Allowance, Edge, Pattern, Piece};

/// Widths that differ by less than this are one, in millimetres.
const SAME: f64 = 0.01;

/// An edge that somebody sews or finishes.
pub(crate) struct Sewn<'a> {
    /// Its number on the piece, from 1.
    pub(crate) number: usize,
    pub(crate) edge: &'a Edge,
    /// `1 cm: turned twice, 5 and 5 mm`
    pub(crate) words: String,
    /// The same, of a width that tapers with the end at which it begins.
    pub(crate) told: String,
}

/// The edges of a piece with their words: those on the fold and the mouths of darts are sewn to nothing; an interlining is cut on
/// its line all round, which its label says.
pub(crate) fn of<'a>(pattern: &Pattern, piece: &'a Piece) -> Vec<Sewn<'a>> {
    if piece.inside_of.is_some() {
        return Vec::new();
    }
    let edges = piece.edges.iter().enumerate();
    let sewn = edges.filter(|(_, edge)| !edge.on_fold && edge.mouth.is_none() && !edge.mirrored);
    let told = sewn.enumerate().map(|(index, (at, edge))| {
        let tapers = piece.tapers_from(at).is_some();
        let said = piece.allowance_said(at, pattern.unit).filter(|_| tapers);
        Sewn {
            number: index + 1,
            edge,
            words: words(pattern, piece, edge, None),
            told: words(pattern, piece, edge, said),
        }
    });
    told.filter(|sewn| !sewn.words.is_empty()).collect()
}

/// With how wide it is said to be, where that is not simply its widths.
fn words(pattern: &Pattern, piece: &Piece, edge: &Edge, tapers: Option<String>) -> String {
    // What is cut on its line all round says so in its label.
    let mut words = if piece.net || piece.cutting == piece.sewing {
        String::new()
    } else {
        tapers.unwrap_or_else(|| width(pattern, edge))
    };
    let kinds = edge.seams.iter().filter_map(|name| {
        let seam = pattern.seam(name)?;
        Some(seam.sewn?.kind.said())
    });
    for kind in kinds {
        if !words.contains(kind) {
            let comma = if words.is_empty() { "" } else { ", " };
            words = format!("{words}{comma}{kind}");
        }
    }
    match &edge.finish {
        Some(finish) if words.is_empty() => finish.clone(),
        Some(finish) => format!("{words}: {finish}"),
        None => words,
    }
}

fn width(pattern: &Pattern, edge: &Edge) -> String {
    let Some(allowance) = &edge.allowance else {
        return "no allowance stated".to_owned();
    };
    let mut widths = vec![allowance.clone()];
    for (.., part) in &edge.beyond {
        let part = Allowance::from(*part);
        if !widths.iter().any(|known| known.is_like(&part, SAME)) {
            widths.push(part);
        }
    }
    let said = widths.iter().map(|allowance| {
        if allowance.is_nothing() {
            "no allowance".to_owned()
        } else {
            allowance.words(pattern.unit)
        }
    });
    said.collect::<Vec<_>>().join(" and ")
}
