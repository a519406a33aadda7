//! What can be folded away: blocks of more than one line, and remarks.

use super::Editor;
use crate::session::places::Place;
use oaktag_language::syntax::tokens::Tok;

impl Editor<'_> {
    /// The inside of each block that goes over lines, without its braces, in the order in which they end.
    pub fn folds(&self) -> Vec<Place> {
        let mut open = Vec::new();
        let mut folds = Vec::new();
        for ((tok, _), at) in self.tokens() {
            match tok {
                Tok::OpenBrace => open.push(at.end),
                Tok::CloseBrace => {
                    let inside = open.pop().map(|from| from..at.start);
                    let inside = inside.filter(|at| self.letters(at.clone()).contains('\n'));
                    folds.extend(inside.map(|at| self.units.place(at)));
                }
                _ => {}
            }
        }
        folds
    }

    /// Remarks that go over several lines with nothing between them.
    pub fn remarks(&self) -> Vec<Place> {
        let mut runs: Vec<(std::ops::Range<usize>, bool)> = Vec::new();
        for remark in &self.lexed.trivia.comments {
            let at = remark.span.range();
            let between = |end: usize| self.letters(end..at.start);
            match runs.last_mut() {
                Some((run, is_several))
                    if between(run.end).trim().is_empty()
                        && between(run.end).matches('\n').count() == 1 =>
                {
                    (run.end, *is_several) = (at.end, true);
                }
                _ => runs.push((at, false)),
            }
        }
        let several = runs.into_iter().filter(|(_, is_several)| *is_several);
        several.map(|(at, _)| self.units.place(at)).collect()
    }
}
