//! Puts a pattern together from what a draft says: outlines first, then seams walked over them, then allowances, notches
//! and folds, and last what must be printed on the pieces because paper leaves the room.

use super::claim::Claims;
use super::cut_list::Laid;
use super::dart::{self, Dart};
use super::fault::Fault;
use super::kept::Kept;
use super::piece::{Edge, Held, Piece};
use super::seam::{self, Seam, Side};
use super::shown::{self, Shown};
use super::side::SHOWN_HALF;
use super::spec::{Drawn, MarkSpec, PieceSpec};
use super::{
    Pattern, allowance, cloth_width, corners, cut_count, cutting, fold, interlining, mark, notch,
    outline, seam_kind, unfinished,
};
use crate::report::{Code, Put, Severity};
use crate::say;
use crate::voice::{self, figure};
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::Path;

/// Builds the pattern. Faults come in the order of the draft's pieces and seams; every one leaves as much of the pattern
/// standing as can be drawn.
pub fn build(drawn: &Drawn) -> (Pattern, Vec<Fault>) {
    build_after(drawn, None)
}

/// The same, with what is kept of a pattern before taken over where it is equal.
pub(crate) fn build_after(drawn: &Drawn, mut kept: Option<&mut Kept>) -> (Pattern, Vec<Fault>) {
    let mut faults = Vec::new();
    let mut specs: Vec<PieceSpec> = Vec::with_capacity(drawn.pieces.len());
    let mut darts = Vec::with_capacity(drawn.pieces.len());
    for spec in &drawn.pieces {
        let (spec, of_piece) = dart::with_mouths(spec, &mut faults);
        specs.push(spec);
        darts.push(of_piece);
    }
    let (mut pieces, closed) = outlines(&specs, darts, kept.as_deref_mut(), &mut faults);
    let (mut seams, alone) = seam::walk_all(drawn, &mut pieces, &mut faults);
    let claims = Claims::of(drawn, &seams, &pieces);
    claims.take(&mut pieces);
    unfinished::mark(drawn, &specs, &mut pieces);
    let each = pieces.iter_mut().zip(&specs).zip(&closed);
    for (index, ((piece, spec), (declared, outline))) in each.enumerate() {
        allowance::widths(piece, spec, declared, index, &claims, &mut faults);
        dart::widths(piece);
        corners::settle(piece, spec, &drawn.order, &mut faults);
        if outline.is_some() && !piece.unfinished {
            cutting::draw(piece, index, kept.as_deref_mut(), &mut faults);
        }
        piece.unfinished |= piece.cutting.is_none();
        fold::check(piece, &mut faults);
    }
    if let Some(kept) = kept {
        kept.only(pieces.len());
    }
    for seam in &mut seams {
        let before = faults.len();
        notch::of_seam(seam, &mut pieces, &mut faults);
        seam.ok &= !faults
            .iter()
            .skip(before)
            .any(|fault| fault.severity == Severity::Error);
    }
    for seam in &alone {
        notch::of_alone(seam, &mut pieces);
    }
    for (piece, spec) in pieces.iter_mut().zip(&specs) {
        for own in &spec.notches {
            notch::own(own, piece, &mut faults);
        }
        notch::at_folds(piece);
        notch::at_darts(piece);
        notch::merge_equal(piece);
    }
    for seam in &seams {
        hold(seam, &mut pieces);
    }
    seam_kind::check(&drawn.seams, &seams, &pieces, &mut faults);
    cut_count::check(&seams, &pieces, &mut faults);
    let outlines = closed.iter();
    let outlines = outlines.map(|(declared, outline)| (declared.as_slice(), outline.as_ref()));
    let pieces = interlining::with_interlinings(pieces, &specs, outlines, &mut faults);
    cloth_width::check(&pieces, &drawn.cloths, &mut faults);
    mark::check(&pieces, &mut faults);
    dart::check_inside(&pieces, &mut faults);
    let unwalked = unwalked(&pieces, &mut faults);
    let mut pieces = pieces;
    for piece in pieces.iter_mut().filter(|piece| piece.sewing.is_none()) {
        // The mouth of a dart is made of the edges beside it, which may be missing.
        let has_mouth = piece.edges.iter().any(|edge| edge.mouth.is_some());
        if has_mouth {
            piece.edges.retain(|edge| edge.mouth.is_none());
            piece.cut.fold_edge = piece.edges.iter().position(|edge| edge.on_fold);
            piece.notches.clear();
            piece.darts.clear();
            piece.corners.clear();
        }
    }
    let mut pattern = Pattern {
        title: drawn.title.clone(),
        issue: super::Issue::default(),
        unit: drawn.unit,
        measures: drawn.measures.clone(),
        values: drawn.values.clone(),
        redrawn: drawn.redrawn.clone(),
        pieces,
        seams,
        order: drawn.order.clone(),
        checks: drawn.checks.clone(),
        cloths: drawn.cloths.clone(),
        cautions: drawn.cautions.clone(),
        unwalked,
        sides: Vec::new(),
        unfinished: None,
    };
    show_halves(&mut pattern, &mut faults);
    cut_whole(&mut pattern);
    print_cautions(&mut pattern, &faults);
    (pattern, faults)
}

/// Unfolds what is drawn as a half and cut whole.
fn cut_whole(pattern: &mut Pattern) {
    for piece in pattern.pieces.iter_mut().filter(|piece| piece.cut.whole) {
        if let Some(whole) = piece.unfolded() {
            *piece = whole;
        }
    }
}

/// Tells each piece which half of the wearer it shows; an interlining shows its piece's. What is marked on one side alone
/// has to lie on a piece of which that is known.
fn show_halves(pattern: &mut Pattern, faults: &mut Vec<Fault>) {
    let (shown, _) = shown::halves(pattern);
    let all = pattern.pieces.iter().zip(&shown);
    let of_parents: Vec<(String, Shown)> = all
        .filter(|(piece, _)| piece.inside_of.is_none())
        .map(|(piece, shown)| (piece.label.clone(), *shown))
        .collect();
    for (piece, own) in pattern.pieces.iter_mut().zip(shown) {
        let parent = piece.inside_of.as_ref();
        let parent =
            parent.and_then(|(label, _)| of_parents.iter().find(|(known, _)| known == label));
        piece.shown = parent.map_or(own, |(_, shown)| *shown);
        let sided = piece.marks.iter().find(|mark| mark.side.is_some());
        let halved = piece.on_fold() || piece.laid() == Laid::Paired;
        if let Some(mark) = sided.filter(|_| halved && !piece.shown.is_told) {
            faults.push(half_not_told(piece, mark));
        }
    }
}

fn half_not_told(piece: &Piece, mark: &MarkSpec) -> Fault {
    let message = format!(
        "piece {}: something is marked on one side of the wearer alone, and the draft does not say which half its sheet shows; it is taken for the right",
        voice::name(&piece.name)
    );
    Fault::warning(Code::SideNotTold, mark.tag, message)
        .at("on one side alone")
        .help(format!(
            "Say it in the panel: `text {SHOWN_HALF} = \"right\"`"
        ))
        .cure(piece.tag, Put::Half, "right")
        .on_piece(&piece.name)
}

/// For each edge in outline order its index in the declaration, and the outline where it closes.
type Closed = (Vec<usize>, Option<Outline>);

/// Every piece with its outline.
fn outlines(
    specs: &[PieceSpec],
    darts: Vec<Vec<Dart>>,
    mut kept: Option<&mut Kept>,
    faults: &mut Vec<Fault>,
) -> (Vec<Piece>, Vec<Closed>) {
    let of = specs.len();
    let made = specs
        .iter()
        .zip(darts)
        .enumerate()
        .map(|(index, (spec, darts))| {
            let closed = outline::close(spec, index, kept.as_deref_mut(), faults);
            let mut cut = spec.cut.clone();
            cut.fold_edge = closed.edges.iter().position(|edge| edge.on_fold);
            let carried = |path: &Path| fold::carried(path, closed.sewing.as_ref());
            let fold_lines = spec
                .fold_lines
                .iter()
                .map(|(_, name, path)| (name.clone(), carried(path)));
            let folded_onto = spec.folded_onto.iter();
            let folded_onto = folded_onto.map(|(fold, onto)| (carried(fold), carried(onto)));
            let (fold_lines, folded_onto) = (fold_lines.collect(), folded_onto.collect());
            let piece = Piece {
                tag: spec.tag,
                name: spec.name.clone(),
                label: spec.label.clone(),
                number: (index + 1, of),
                panel: spec.panel.clone(),
                shown: Shown::default(),
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
                grain_words: spec.grain_words.clone(),
                mirror_line: None,
                fold_lines,
                folded_onto,
                corners: Vec::new(),
                notches: Vec::new(),
                darts,
                marks: spec.marks.clone(),
                cautions: Vec::new(),
                unfinished: false,
            };
            (piece, (closed.declared, closed.outline))
        });
    made.unzip()
}

/// Tells the edges where a seam holds them in, pulls them, or leaves them open.
fn hold(seam: &Seam, pieces: &mut [Piece]) {
    for ease in seam.eases.iter().filter(|ease| ease.most > 0.0) {
        let side = if ease.on_first {
            &seam.first
        } else {
            &seam.second
        };
        for span in &ease.spans {
            on_edges(side, *span, pieces, |edge, along| {
                edge.held.push(Held {
                    seam: seam.name.clone(),
                    how: ease.how,
                    along,
                    amount: (ease.least, ease.most),
                    ratio: ease.ratio,
                    placed: ease.placed,
                });
            });
        }
    }
    for open in &seam.openings {
        let (first, second) = ((open.from.0, open.to.0), (open.from.1, open.to.1));
        for (side, span) in [(&seam.first, first), (&seam.second, second)] {
            on_edges(side, span, pieces, |edge, (from, to)| {
                // Of a seam with its own twin both sides are this edge.
                let same = |other: &(f64, f64, String)| {
                    (other.0 - from).abs() < seam::SAME_PLACE
                        && (other.1 - to).abs() < seam::SAME_PLACE
                        && other.2 == open.words
                };
                if !edge.open.iter().any(same) {
                    edge.open.push((from, to, open.words.clone()));
                }
            });
        }
    }
}

/// Does something with each edge that lies between two lengths of a side, and where along it.
fn on_edges(
    side: &Side,
    (from, to): (f64, f64),
    pieces: &mut [Piece],
    mut with: impl FnMut(&mut Edge, (f64, f64)),
) {
    for part in &side.edges {
        let of_piece = pieces.get_mut(part.at.0);
        let Some(edge) = of_piece.and_then(|piece| piece.edges.get_mut(part.at.1)) else {
            continue;
        };
        let (from, to) = (
            (from - part.from).max(0.0),
            (to - part.from).min(part.length),
        );
        if to - from > seam::SAME_PLACE {
            let (a, b) = (part.along_at(from), part.along_at(to));
            with(edge, (a.min(b), a.max(b)));
        }
    }
}

/// Edges that nobody walks, each with a warning.
fn unwalked(pieces: &[Piece], faults: &mut Vec<Fault>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for piece in pieces {
        for edge in piece.edges.iter().filter(|edge| !edge.is_walked()) {
            let mut message = say!(
                "piece {}: nothing accounts for {}",
                voice::name(&piece.name),
                voice::name(&edge.name)
            );
            if let Some((from, to)) = edge.left().filter(|_| !edge.seams.is_empty()) {
                let left = figure::length(to - from);
                message = say!("{} where no seam takes it, {} of it", message, left);
            }
            let fault = Fault::warning(Code::EdgeNotWalked, edge.tag, message)
                .at("in no seam, on no fold, without a finish")
                .help("Join it in a seam, or say how it is finished.")
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
        let Some(caution) = &fault.caution else {
            continue;
        };
        let text = caution.in_unit(unit);
        for piece in pattern
            .pieces
            .iter_mut()
            .filter(|piece| fault.pieces.contains(&piece.name))
        {
            push_once(&mut piece.cautions, &text);
        }
    }
    for check in pattern.checks.iter().filter(|check| !check.ok) {
        let fails = if check.stands() {
            "Check fails"
        } else {
            "Check failed then"
        };
        let text = format!(
            "{fails}: {}: {}, wanted {}",
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
