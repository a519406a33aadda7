//! Puts a pattern together from what a draft says: outlines first, then seams walked over them, then allowances, notches
//! and folds, and last what must be printed on the pieces because paper leaves the room.

use super::fault::{Fault, Words};
use super::piece::Piece;
use super::seam::{self, Seam};
use super::sense::Outlined;
use super::spec::Drawn;
use super::{
    Pattern, allowance, cloth_width, corners, cut_count, cutting, figure, fold, interlining, notch,
    outline, seam_kind,
};
use crate::geometry::outline::Outline;
use crate::report::Code;

/// Builds the pattern. Faults come in the order of the draft's pieces and seams; every one leaves as much of the pattern
/// standing as can be drawn.
pub fn build(drawn: &Drawn) -> (Pattern, Vec<Fault>) {
    let mut faults = Vec::new();
    let (mut pieces, closed) = outlines(drawn, &mut faults);
    let outlined = Outlined::of(&pieces);
    let mut seams: Vec<Seam> = Vec::new();
    for spec in &drawn.seams {
        seams.extend(seam::walk(spec, &outlined, &mut faults));
    }
    for seam in &seams {
        take(seam, &mut pieces);
    }
    for ((piece, spec), (declared, outline)) in pieces.iter_mut().zip(&drawn.pieces).zip(&closed) {
        allowance::widths(piece, spec, declared, &drawn.seams, &mut faults);
        corners::settle(piece, spec, &drawn.order, &mut faults);
        cutting::draw(piece, outline.as_ref(), declared, &mut faults);
        fold::check(piece, &mut faults);
    }
    for seam in &seams {
        notch::of_seam(seam, &mut pieces);
    }
    for (piece, spec) in pieces.iter_mut().zip(&drawn.pieces) {
        for own in &spec.notches {
            notch::own(own, piece, &mut faults);
        }
        notch::at_folds(piece);
    }
    seam_kind::check(&drawn.seams, &pieces, &mut faults);
    cut_count::check(&drawn.seams, &pieces, &mut faults);
    let outlines = closed.iter();
    let outlines = outlines.map(|(declared, outline)| (declared.as_slice(), outline.as_ref()));
    let pieces = interlining::with_interlinings(pieces, drawn, outlines, &mut faults);
    cloth_width::check(&pieces, &drawn.cloths, &mut faults);
    let unwalked = unwalked(&pieces, &mut faults);
    let mut pattern = Pattern {
        title: drawn.title.clone(),
        issue: super::Issue::default(),
        unit: drawn.unit,
        measures: drawn.measures.clone(),
        values: drawn.values.clone(),
        pieces,
        seams,
        order: drawn.order.clone(),
        checks: drawn.checks.clone(),
        cloths: drawn.cloths.clone(),
        cautions: drawn.cautions.clone(),
        unwalked,
        sides: Vec::new(),
    };
    print_cautions(&mut pattern, &faults);
    (pattern, faults)
}

/// For each edge in outline order its index in the declaration, and the outline where it closes.
type Closed = (Vec<usize>, Option<Outline>);

/// Every piece with its outline.
fn outlines(drawn: &Drawn, faults: &mut Vec<Fault>) -> (Vec<Piece>, Vec<Closed>) {
    let of = drawn.pieces.len();
    let made = drawn.pieces.iter().enumerate().map(|(index, spec)| {
        let closed = outline::close(spec, faults);
        let mut cut = spec.cut.clone();
        cut.fold_edge = closed.edges.iter().position(|edge| edge.on_fold);
        let fold_lines = spec
            .fold_lines
            .iter()
            .map(|(_, name, path)| (name.clone(), path.clone()));
        let piece = Piece {
            tag: spec.tag,
            name: spec.name.clone(),
            label: spec.label.clone(),
            number: (index + 1, of),
            panel: spec.panel.clone(),
            edges: closed.edges,
            sewing: closed.sewing,
            cutting: None,
            cut_edges: Vec::new(),
            cut_holes: Vec::new(),
            inside_of: None,
            net: false,
            cut,
            drawn_area: closed.outline.as_ref().map(Outline::area),
            cut_area: None,
            grain: spec.grain.clone(),
            mirror_line: None,
            fold_lines: fold_lines.collect(),
            folded_onto: spec.folded_onto.clone(),
            corners: Vec::new(),
            notches: Vec::new(),
            marks: spec.marks.clone(),
            cautions: Vec::new(),
        };
        (piece, (closed.declared, closed.outline))
    });
    made.unzip()
}

/// Tells the edges which seam takes them.
fn take(seam: &Seam, pieces: &mut [Piece]) {
    let lines: Vec<&str> = seam
        .first
        .edges
        .iter()
        .chain(&seam.second.edges)
        .map(|edge| edge.line.as_str())
        .collect();
    for edge in pieces.iter_mut().flat_map(|piece| &mut piece.edges) {
        if lines.contains(&edge.line.as_str()) && !edge.seams.contains(&seam.name) {
            edge.seams.push(seam.name.clone());
        }
    }
}

/// Edges that nobody walks, each with a warning.
fn unwalked(pieces: &[Piece], faults: &mut Vec<Fault>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for piece in pieces {
        for edge in piece.edges.iter().filter(|edge| !edge.is_walked()) {
            let message = Words::new(format!(
                "piece {}: nothing accounts for {}",
                figure::name(&piece.name),
                figure::name(&edge.name)
            ));
            let fault = Fault::warning(Code::EdgeNotWalked, edge.tag, message)
                .at(Words::new("in no seam, on no fold, without a finish"))
                .with_help(Words::new("Join it in a seam, or say how it is finished."))
                .on_piece(&piece.name);
            faults.push(fault);
            found.push((piece.name.clone(), edge.name.clone()));
        }
    }
    found
}

/// Prints faults and failed checks on the pieces they concern, the rest on the sheet.
fn print_cautions(pattern: &mut Pattern, faults: &[Fault]) {
    let unit = pattern.unit;
    for fault in faults {
        let Some(text) = fault.caution(unit) else {
            continue;
        };
        for piece in pattern
            .pieces
            .iter_mut()
            .filter(|piece| fault.pieces().contains(&piece.name))
        {
            push_once(&mut piece.cautions, &text);
        }
    }
    for check in pattern.checks.iter().filter(|check| !check.ok) {
        let text = format!(
            "Check fails: {}: {}, wanted {}",
            check.text, check.measured, check.wanted
        );
        let concerns = |piece: &&mut Piece| {
            piece
                .edges
                .iter()
                .any(|edge| check.reads.contains(&edge.line))
        };
        let mut printed = false;
        for piece in pattern.pieces.iter_mut().filter(concerns) {
            push_once(&mut piece.cautions, &text);
            printed = true;
        }
        if !printed {
            push_once(&mut pattern.cautions, &text);
        }
    }
}

fn push_once(cautions: &mut Vec<String>, text: &str) {
    if !cautions.iter().any(|caution| caution == text) {
        cautions.push(text.to_owned());
    }
}
