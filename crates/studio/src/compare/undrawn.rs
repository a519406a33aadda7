//! Pieces that a draft declares and that could not be drawn.

use super::Side;
use oaktag_language::syntax::tree::SentenceKind;
use oaktag_language::voice;

/// A piece that is wanted and is not there.
pub(super) struct Undrawn {
    pub name: String,
    /// What would be printed on it.
    pub label: String,
}

/// The pieces that a side declares and does not draw, in the order of its text, then those that it takes from elsewhere.
pub(super) fn labels(side: Side<'_>) -> Vec<Undrawn> {
    if side.outcome.is_whole() {
        return Vec::new();
    }
    let mut found: Vec<Undrawn> = Vec::new();
    let drawn = |name: &str| side.outcome.pattern.piece(name).is_some();
    let own = side.project.files.first().into_iter();
    for sentence in own.flat_map(|file| &file.tree.sentences) {
        let SentenceKind::Piece(piece) = &sentence.kind else {
            continue;
        };
        let name = piece.name.text.to_string();
        let label = piece.label.as_ref().map(|label| {
            let words = side.project.sources.slice(label.span);
            words.trim_matches('"').to_owned()
        });
        if !drawn(&name) {
            let label = label.filter(|label| !label.is_empty());
            let label = label.unwrap_or_else(|| voice::capital(&voice::letters(&name)));
            found.push(Undrawn { name, label });
        }
    }
    for code in &side.outcome.program.pieces {
        if !drawn(&code.name) && !found.iter().any(|one| one.name == code.name) {
            let label = code.known_label().filter(|label| !label.is_empty());
            let label = label.map_or_else(
                || voice::capital(&voice::letters(&code.name)),
                str::to_owned,
            );
            found.push(Undrawn {
                name: code.name.clone(),
                label,
            });
        }
    }
    found
}
