//! What is done in making up, a sentence each.

use super::Job;
use super::touching::is_finished;
use crate::lesson::seams;
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::voice;

impl Job<'_> {
    pub(super) fn said(&self, pattern: &Pattern) -> String {
        match self {
            Job::Seam(seam) => {
                let how = pattern.how(seam).join(", ");
                let how = if how.is_empty() {
                    how
                } else {
                    format!(": {how}")
                };
                let name = voice::letters(&seam.name);
                let mut said = vec![format!("Sew the {name}{how}.")];
                said.extend(seams::done(seam, pattern));
                said.join(" ")
            }
            Job::Darts(piece) => {
                let piece_name = seams::called(&piece.name, pattern);
                match piece.darts.len() {
                    1 => format!("Sew the dart of {piece_name}."),
                    count => format!("Sew the {count} darts of {piece_name}."),
                }
            }
            Job::Folds(piece, folds) => {
                format!("Fold {}.", folded(piece, folds, pattern))
            }
            Job::Finish(pieces) => format!("Finish {}.", finished(pieces, pattern)),
            Job::Part(piece) => {
                let name = seams::called(&piece.name, pattern);
                format!("Make up {name} and set it in: {}.", by_itself(piece))
            }
            Job::Lone(piece) => {
                let name = seams::called(&piece.name, pattern);
                let own = by_itself(piece);
                let own = if own.is_empty() {
                    own
                } else {
                    format!(": {own}")
                };
                format!("Make up {name}{own}.{}", set_on(piece, pattern))
            }
            Job::Interlining(piece) => {
                let name = seams::called(&piece.name, pattern);
                let (of, inside) = piece.inside_of.clone().unwrap_or_default();
                let inside = if inside < 0.01 {
                    String::new()
                } else {
                    format!(", {} inside its sewing line", pattern.unit.length(inside))
                };
                format!("Lay {name} on {of}{inside}.")
            }
        }
    }
}

/// All that is done to a piece that has no seam of its own.
fn by_itself(piece: &Piece) -> String {
    let finished: Vec<usize> = (0..piece.edges.len())
        .filter(|at| is_finished(piece, *at))
        .collect();
    let folds: Vec<usize> = (0..piece.fold_lines.len()).collect();
    let mut said = Vec::new();
    if !folds.is_empty() {
        said.push(format!("fold it {}", along(piece, &folds)));
    }
    if !finished.is_empty() {
        said.push(told(&finishes(piece, &finished)));
    }
    said.join("; ")
}

fn folded(piece: &Piece, folds: &[usize], pattern: &Pattern) -> String {
    let name = seams::called(&piece.name, pattern);
    format!("{name} {}", along(piece, folds))
}

fn along(piece: &Piece, folds: &[usize]) -> String {
    let lines = folds.iter().filter_map(|fold| piece.fold_lines.get(*fold));
    let said = lines.map(|(name, path)| {
        let line = voice::the_thing(name, "line");
        match piece.laid_onto(path) {
            Some(onto) => format!("{line} (laid onto {})", voice::the_thing(onto, "line")),
            None => line,
        }
    });
    format!("along {}", voice::list(&said.collect::<Vec<_>>()))
}

fn finished(pieces: &[(&Piece, Vec<usize>)], pattern: &Pattern) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for (piece, edges) in pieces {
        let of = seams::called(&piece.name, pattern);
        for (words, names) in finishes(piece, edges) {
            let name = format!("{} of {of}", voice::list(&names));
            match groups.iter_mut().find(|(known, _)| *known == words) {
                Some((_, names)) => names.push(name),
                None => groups.push((words, vec![name])),
            }
        }
    }
    told(&groups)
}

/// Edges of a piece by the words of their finishes.
fn finishes<'p>(piece: &'p Piece, edges: &[usize]) -> Vec<(&'p str, Vec<String>)> {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for edge in edges.iter().filter_map(|at| piece.edges.get(*at)) {
        let words = edge.finish.as_deref().unwrap_or_default();
        let name = voice::the_thing(&edge.name, "edge");
        match groups.iter_mut().find(|(known, _)| *known == words) {
            Some((_, names)) => names.push(name),
            None => groups.push((words, vec![name])),
        }
    }
    groups
}

fn told(groups: &[(&str, Vec<String>)]) -> String {
    let said = groups.iter().map(|(words, names)| {
        let names = voice::list(names);
        if words.is_empty() {
            format!("{names}, each by itself")
        } else {
            format!("{names}: {words}")
        }
    });
    said.collect::<Vec<_>>().join("; ")
}

/// Where another piece is marked for one that no seam takes, in the author's words.
fn set_on(piece: &Piece, pattern: &Pattern) -> String {
    let name = voice::letters(&piece.name);
    let says = |text: &str| format!(" {text} ").contains(&format!(" {name} "));
    for other in pattern
        .pieces
        .iter()
        .filter(|other| other.name != piece.name)
    {
        let mut marks = other.marks.iter();
        if let Some(mark) = marks.find(|mark| says(&mark.text)) {
            return format!(
                " {} is marked “{}” for it: sew it on there while that lies flat.",
                seams::called(&other.name, pattern),
                mark.text
            );
        }
    }
    String::new()
}

/// What is worked and sewn on last.
pub(super) fn buttons(pattern: &Pattern) -> Option<String> {
    let has = |piece: &&Piece| {
        let mut marks = piece.marks.iter();
        marks.any(|mark| mark.sewn_button().is_some() || piece.buttonhole(mark).is_some())
    };
    let named = pattern.pieces.iter().filter(has);
    let named: Vec<String> = named
        .map(|piece| seams::called(&piece.name, pattern))
        .collect();
    (!named.is_empty()).then(|| {
        format!(
            "Last, work the buttonholes and sew the buttons on, as marked on {}.",
            voice::list(&named)
        )
    })
}
