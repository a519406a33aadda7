//! Interlinings derived from their pieces: the same outline so much inside the sewing line, on the same fold and grain, cut
//! without an allowance. They are made anew with the piece, so that no revision leaves one behind.

use super::Piece;
use super::fault::Fault;
use super::piece::Edge;
use super::spec::{CutSpec, InterliningSpec, PieceSpec};
use crate::report::{Code, Put};
use crate::say;
use crate::voice::{self, figure};
use oaktag_geometry::allowance::{AllowanceFault, CutEdge};
use oaktag_geometry::inset::inset;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::Path;

/// How its edges end.
const FINISH: &str = "inside the sewing line";

/// The pieces, each followed by the interlining it asks for, numbered anew.
pub(crate) fn with_interlinings<'a>(
    pieces: Vec<Piece>,
    specs: &[PieceSpec],
    outlines: impl Iterator<Item = (&'a [usize], Option<&'a Outline>)>,
    faults: &mut Vec<Fault>,
) -> Vec<Piece> {
    let taken: Vec<String> = pieces.iter().map(|piece| piece.name.clone()).collect();
    let mut all: Vec<Piece> = Vec::with_capacity(pieces.len());
    for ((piece, spec), (declared, outline)) in pieces.into_iter().zip(specs).zip(outlines) {
        let wanted = spec.interlining.as_ref();
        let wanted = wanted.filter(|wanted| wanted.count > 0 && !spec.is_broken);
        let made = wanted.zip(outline).and_then(|(wanted, outline)| {
            match derived(&piece, (declared, outline), wanted, &taken) {
                Ok(made) => Some(made),
                Err(fault) => {
                    faults.push(told(&piece, wanted, &fault));
                    None
                }
            }
        });
        all.push(piece);
        all.extend(made);
    }
    let of = all.len();
    for (index, piece) in all.iter_mut().enumerate() {
        piece.number = (index + 1, of);
    }
    all
}

fn derived(
    piece: &Piece,
    (declared, outline): (&[usize], &Outline),
    wanted: &InterliningSpec,
    taken: &[String],
) -> Result<Piece, AllowanceFault> {
    let edge_at = |listed: usize| {
        let position = declared.iter().position(|index| *index == listed);
        position.and_then(|position| piece.edges.get(position))
    };
    let on_fold = |listed: usize| edge_at(listed).is_some_and(|edge| edge.on_fold);
    let widths: Vec<f64> = (0..outline.edges().len())
        .map(|listed| if on_fold(listed) { 0.0 } else { wanted.inside })
        .collect();
    let inside = inset(outline, &widths)?;
    let name = free_name(&piece.name, taken);
    let mut edges: Vec<Edge> = Vec::new();
    for (listed, parts) in runs(&inside.edges) {
        let path = Path::joined(&parts)?;
        if let Some(edge) = edge_at(listed) {
            edges.push(Edge {
                line: format!("{name}.{}", edge.name),
                length: path.length()?,
                path,
                allowance: Some(0.0.into()),
                finish: (!edge.on_fold).then(|| FINISH.to_owned()),
                seams: Vec::new(),
                taken: Vec::new(),
                beyond: Vec::new(),
                held: Vec::new(),
                open: Vec::new(),
                ..edge.clone()
            });
        }
    }
    let paths: Vec<Path> = edges.iter().map(|edge| edge.path.clone()).collect();
    let sewing = Path::joined(&paths)?;
    Ok(Piece {
        tag: wanted.tag,
        label: format!("{}, interlining", piece.label),
        panel: name.clone(),
        name,
        cut: CutSpec {
            count: wanted.count,
            alike: wanted.alike,
            fold_edge: edges.iter().position(|edge| edge.on_fold),
            whole: piece.cut.whole,
            cloth: wanted.cloth.clone(),
        },
        cut_edges: paths.into_iter().enumerate().collect(),
        edges,
        cutting: Some(sewing.clone()),
        sewing: Some(sewing),
        cut_holes: Vec::new(),
        inside_of: Some((piece.label.clone(), wanted.inside)),
        drawn_area: Some(inside.area),
        cut_area: Some(inside.area),
        fold_lines: Vec::new(),
        folded_onto: Vec::new(),
        corners: Vec::new(),
        notches: Vec::new(),
        darts: Vec::new(),
        marks: Vec::new(),
        cautions: Vec::new(),
        unfinished: false,
        ..piece.clone()
    })
}

/// The parts of each edge that follow each other, the run that goes over the end of the row put together.
fn runs(edges: &[CutEdge]) -> Vec<(usize, Vec<Path>)> {
    let mut runs: Vec<(usize, Vec<Path>)> = Vec::new();
    for edge in edges {
        match runs.last_mut() {
            Some((listed, parts)) if *listed == edge.edge => parts.push(edge.path.clone()),
            _ => runs.push((edge.edge, vec![edge.path.clone()])),
        }
    }
    if runs.len() > 1
        && runs.first().map(|run| run.0) == runs.last().map(|run| run.0)
        && let Some((_, mut parts)) = runs.pop()
        && let Some((_, first)) = runs.first_mut()
    {
        parts.append(first);
        *first = parts;
    }
    runs
}

/// `fall_interlining`, or with a number where the draft has a piece of that name.
fn free_name(piece: &str, taken: &[String]) -> String {
    let plain = format!("{piece}_interlining");
    let numbered = (2u32..).map(|number| format!("{plain}_{number}"));
    let mut names = std::iter::once(plain.clone()).chain(numbered);
    names.find(|name| !taken.contains(name)).unwrap_or(plain)
}

/// What a fusible needs at the least, common practice.
const LEAST: f64 = 2.0;

fn told(piece: &Piece, wanted: &InterliningSpec, fault: &AllowanceFault) -> Fault {
    let name = voice::name(&piece.name);
    let inside = figure::spoken(wanted.inside);
    let (message, wanted_words) = match fault {
        AllowanceFault::Width { .. } => (
            say!(
                "piece {}: its interlining is {} inside the sewing line",
                name,
                inside
            ),
            "Wanted: nothing or more, since an interlining lies inside the sewing line, or on it.",
        ),
        _ => (
            say!(
                "piece {}: its interlining is {} inside the sewing line all round, and nothing is left",
                name,
                inside
            ),
            "Wanted: a piece that is more than twice as wide, everywhere.",
        ),
    };
    Fault::error(Code::NoInterlining, wanted.tag, message)
        .note(wanted_words)
        .help(say!(
            "Write `by {}`, or what the fusible needs (2 to 3 mm is common practice).",
            figure::written(LEAST)
        ))
        .cure(wanted.tag, Put::Behind("by"), figure::written(LEAST))
        .on_piece(&piece.name)
        .print("Its interlining could not be drawn")
}
