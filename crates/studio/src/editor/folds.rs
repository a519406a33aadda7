//! What can be folded away: blocks of more than one line.

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
}
