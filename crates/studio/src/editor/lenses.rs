//! What stands above the sentences of pieces and seams: how the piece is cut, whether the seam fits.

use super::Editor;
use crate::session::places::Place;
use oaktag_language::pattern::{Decided, Pattern, Piece, Seam};
use oaktag_language::report::Span;
use oaktag_language::syntax::tree::SentenceKind;
use oaktag_language::voice;

/// A piece or a seam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sewn {
    /// The piece of that name.
    Piece(String),
    /// The seam of that name.
    Seam(String),
}

/// What is said of one above its sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Above {
    /// Its sentence.
    pub at: Place,
    /// Which it is.
    pub of: Sewn,
    /// In a few words: `fits, 0 cm`, `cut 1 on the fold`.
    pub words: String,
    /// Whether it can be shown: a seam that was walked, a piece that is drawn.
    pub is_shown: bool,
    /// Whether the sentence takes it from an act or another file, with others.
    pub is_taken: bool,
}

impl Editor<'_> {
    /// What is said above each piece and seam of the draft's own text, and above the sentences that take some of others.
    pub fn above(&self) -> Vec<Above> {
        let outcome = self.session.outcome();
        let (program, pattern) = (&outcome.program, &outcome.pattern);
        let mut found = Vec::new();
        for sentence in self.session.own_sentences() {
            let Some(at) = self.place(sentence.span) else {
                continue;
            };
            let mut add = |of: Sewn, is_taken: bool| {
                let said = match &of {
                    Sewn::Piece(name) => pattern.piece(name).map(Piece::cut_words),
                    Sewn::Seam(name) => {
                        let mut walked = pattern.seams.iter();
                        let walked = walked.find(|one| one.name == *name);
                        walked.map(|seam| seam_said(seam, pattern))
                    }
                };
                let is_shown = said.is_some();
                let words = said.filter(|words| !words.is_empty());
                let words = words.unwrap_or_else(|| {
                    let words = match (&of, is_shown) {
                        (Sewn::Piece(_), true) => "drawn",
                        (Sewn::Piece(_), false) => "not drawn",
                        (Sewn::Seam(_), _) => "not judged",
                    };
                    words.to_owned()
                });
                let words = match (&of, is_taken) {
                    (_, false) => words,
                    (Sewn::Piece(name) | Sewn::Seam(name), true) => {
                        format!("{}: {words}", voice::name(name))
                    }
                };
                found.push(Above {
                    at,
                    of,
                    words,
                    is_shown,
                    is_taken,
                });
            };
            match &sentence.kind {
                SentenceKind::Piece(piece) => add(Sewn::Piece(piece.name.text.to_string()), false),
                SentenceKind::Seam(seam) => add(Sewn::Seam(seam.name.text.to_string()), false),
                SentenceKind::Take(_) => {
                    let here = |taken: Option<Span>| taken == Some(sentence.span);
                    let pieces = program.pieces.iter().filter(|one| here(one.taken));
                    pieces.for_each(|one| add(Sewn::Piece(one.name.clone()), true));
                    let seams = program.seams.iter().filter(|one| here(one.taken));
                    seams.for_each(|one| add(Sewn::Seam(one.name.clone()), true));
                }
                _ => {}
            }
        }
        found
    }
}

/// The verdict on a seam, with what its sides differ by.
fn seam_said(seam: &Seam, pattern: &Pattern) -> String {
    let verdict = match (seam.ok, seam.decided) {
        (true, _) => "fits",
        (false, Decided::Unsure) => return "not judged: which ends meet is not decided".to_owned(),
        (false, _) => "does not fit",
    };
    let by = pattern.unit.difference(seam.ease().abs());
    match seam.is_eased() {
        true => format!("{verdict}, {by} eased"),
        false => format!("{verdict}, {by}"),
    }
}
