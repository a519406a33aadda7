//! What is drawn while something is wrong: pieces whose edges are drawn in part, and pieces of which it is not known how they
//! are cut. Neither has a cutting line, so that nobody cuts along what is only half said.

use super::Pattern;
use super::outline;
use super::piece::Piece;
use super::seam::{Meant, meant};
use super::shown::Shown;
use super::spec::{Drawn, EdgeName, LostPiece, PieceSpec, SeamSpec};

/// What is missing from a pattern because something is wrong.
#[derive(Clone, Debug, Default)]
pub struct Unfinished {
    /// What cannot be drawn, in words: "step 15, Balance the armholes, cannot be drawn".
    pub words: String,
    /// Names of what is not drawn: values, panels, pieces, and sentences that take pieces.
    pub not_drawn: Vec<String>,
    /// Pieces as far as they go: edges that are drawn, and no line round them.
    pub pieces: Vec<Piece>,
}

impl Unfinished {
    /// As it stands across the sheet and at the foot of each piece.
    pub fn said(&self) -> String {
        format!("UNFINISHED: {}", self.words)
    }
}

impl Pattern {
    /// The title as it stands on paper and pages: of what lacks something, that comes first.
    pub fn told_title(&self) -> String {
        match (&self.unfinished, self.title.trim()) {
            (None, _) => self.title.clone(),
            (Some(_), "") => "UNFINISHED".to_owned(),
            (Some(_), title) => format!("UNFINISHED: {title}"),
        }
    }
}

/// Tells the pieces of which it is not known how they are cut: one of their sentences is wrong, or a seam that may give one
/// of their edges its width.
pub(crate) fn mark(drawn: &Drawn, specs: &[PieceSpec], pieces: &mut [Piece]) {
    let lost = &drawn.lost;
    let broken = drawn.seams.iter().filter(|seam| seam.is_broken);
    let unknown = lost.seams.iter().filter(|seam| !seam.is_known);
    let seams: Vec<&SeamSpec> = broken.chain(unknown.map(|seam| &seam.spec)).collect();
    let mut waiting = vec![false; pieces.len()];
    for seam in seams {
        let on = seam.allowance_on.iter().map(|(name, _)| name);
        let edges = seam.first.edges.iter().chain(&seam.second.edges);
        for name in edges.map(|edge| &edge.name).chain(on) {
            for piece in concerned(name, pieces) {
                if let Some(waits) = waiting.get_mut(piece) {
                    *waits = true;
                }
            }
        }
    }
    let in_words = |piece: &Piece| {
        let mut sentences = lost.words.iter();
        sentences.any(|words| piece.edges.iter().any(|edge| is_said(piece, edge, words)))
    };
    for ((piece, spec), waits) in pieces.iter_mut().zip(specs).zip(waiting) {
        // A seam that is not known at all may take any edge.
        let is_any = lost.words.iter().any(Vec::is_empty);
        let left_over = !lost.words.is_empty() && piece.edges.iter().any(|edge| !edge.is_walked());
        piece.unfinished =
            spec.is_broken || waits || left_over || lost.order || is_any || in_words(piece);
    }
}

fn concerned(name: &EdgeName, pieces: &[Piece]) -> Vec<usize> {
    match meant(name, pieces) {
        Meant::One(piece, _) | Meant::NotOf(piece) => vec![piece],
        Meant::Several(all) => all.into_iter().map(|(piece, _)| piece).collect(),
        Meant::Nowhere => Vec::new(),
    }
}

/// Whether one of the names in a sentence may be that edge.
fn is_said(piece: &Piece, edge: &super::Edge, words: &[String]) -> bool {
    let own = format!("{}.{}", piece.name, edge.name);
    words.iter().any(|word| {
        let of_line = edge.line.strip_suffix(word.as_str());
        *word == edge.name
            || *word == own
            || of_line.is_some_and(|rest| rest.is_empty() || rest.ends_with('.'))
    })
}

/// A piece that cannot be made, as far as it goes; none where nothing of it is drawn.
pub(crate) fn piece(lost: &LostPiece) -> Option<Piece> {
    let spec = &lost.spec;
    let edges = outline::open(spec);
    if edges.is_empty() {
        return None;
    }
    Some(Piece {
        tag: spec.tag,
        name: spec.name.clone(),
        label: spec.label.clone(),
        number: (1, 1),
        panel: spec.panel.clone(),
        shown: Shown::default(),
        edges,
        sewing: None,
        cutting: None,
        cut: spec.cut.clone(),
        cut_edges: Vec::new(),
        cut_holes: Vec::new(),
        inside_of: None,
        net: false,
        drawn_area: None,
        cut_area: None,
        grain: spec.grain.clone(),
        grain_words: spec.grain_words.clone(),
        mirror_line: None,
        fold_lines: Vec::new(),
        folded_onto: Vec::new(),
        corners: Vec::new(),
        notches: Vec::new(),
        darts: Vec::new(),
        marks: Vec::new(),
        cautions: vec![missing(&lost.missing)],
        unfinished: true,
    })
}

fn missing(edges: &[String]) -> String {
    let names: Vec<String> = edges.iter().map(|edge| crate::voice::name(edge)).collect();
    match names.as_slice() {
        [] => "Not drawn whole".to_owned(),
        _ => format!("Not drawn: {}", crate::voice::list(&names)),
    }
}
