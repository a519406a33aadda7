//! What an editor asks of a draft at hand, at a place in its text: where a name is drawn and read, what it is, what may stand
//! here, which words are words of the language. Places are in UTF-16 code units, as in [`crate::session::view`].

mod acts;
mod colours;
mod complete;
mod figures;
mod folds;
mod hover;
mod lenses;
mod links;
mod names;
mod outline;
mod renamed;
mod signature;
mod sketch;
mod tidied;
mod why;

pub use acts::asks;
pub use colours::{Colour, Tint};
pub use complete::{Choices, Offered};
pub use figures::FigureBeside;
pub use hover::Hover;
pub use lenses::{Above, Sewn};
pub use links::Leads;
pub use names::{Defined, Elsewhere, Thing};
pub use outline::{Part, outline_of};
pub use renamed::{NameAt, Renamed, is_name, means_otherwise};
pub use signature::{FormSaid, Written};
pub use tidied::tidied;
pub use why::{Read, WhyHere};

use crate::session::Session;
use crate::session::places::{Place, Units};
use crate::session::view::Offer;
use oaktag_language::report::{FileId, Span};
use oaktag_language::syntax::lexer::{self, Lexed};
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::{Placed, Tok};
use std::ops::Range;

/// A draft at hand, as an editor looks at it.
pub struct Editor<'s> {
    session: &'s Session,
    own: FileId,
    units: Units,
    lexed: Lexed,
    /// The bytes at which sentences begin, in order.
    begins: Vec<usize>,
}

impl Session {
    /// What an editor asks.
    pub fn editor(&self) -> Editor<'_> {
        let own = self.own_file().unwrap_or_default();
        let lexed = lexer::lex(self.text(), own, &mut Messages::default());
        Editor {
            session: self,
            own,
            units: Units::of(self.text()),
            begins: beginnings(&lexed.tokens),
            lexed,
        }
    }
}

/// Where sentences begin: on a new line or behind a brace, outside of brackets, and not where a line goes on.
fn beginnings(tokens: &[Placed]) -> Vec<usize> {
    let mut begins = Vec::new();
    let mut depth = 0_usize;
    let (mut is_fresh, mut goes_on) = (true, false);
    for (tok, span) in tokens {
        match tok {
            Tok::Newline | Tok::End => {
                is_fresh = true;
                continue;
            }
            Tok::OpenBrace | Tok::CloseBrace => {
                (is_fresh, goes_on, depth) = (true, false, 0);
                continue;
            }
            Tok::OpenRound | Tok::OpenSquare => depth += 1,
            Tok::CloseRound | Tok::CloseSquare => depth = depth.saturating_sub(1),
            _ => {}
        }
        let is_first = is_fresh && !goes_on && depth == 0;
        if is_first && !tok.is_operator() && !matches!(tok, Tok::Link(_) | Tok::Comma) {
            begins.push(span.start as usize);
        }
        is_fresh = false;
        goes_on = tok.is_operator() || matches!(tok, Tok::Link(_) | Tok::Comma);
    }
    begins
}

impl Editor<'_> {
    /// The draft's own text.
    fn text(&self) -> &str {
        self.session.text()
    }

    /// The letters of a range of bytes.
    fn letters(&self, bytes: Range<usize>) -> &str {
        self.text().get(bytes).unwrap_or_default()
    }

    /// The bytes of a place as the checked draft knows it; none of another file.
    fn bytes(&self, span: Span) -> Option<Range<usize>> {
        (span.file == self.own).then(|| self.session.sources().bytes(span))
    }

    /// The place of what the checked draft knows; none of another file.
    fn place(&self, span: Span) -> Option<Place> {
        Some(self.units.place(self.bytes(span)?))
    }

    /// The tokens of the text as it stands, with their bytes.
    fn tokens(&self) -> impl DoubleEndedIterator<Item = (&Placed, Range<usize>)> {
        let tokens = self.lexed.tokens.iter();
        tokens.map(|token| (token, token.1.range()))
    }

    /// Whether a sentence begins at a byte.
    fn begins_sentence(&self, byte: usize) -> bool {
        self.begins.binary_search(&byte).is_ok()
    }

    /// Letters in place of others.
    fn offer(&self, bytes: Range<usize>, text: &str) -> Offer {
        Offer {
            at: self.units.place(bytes),
            text: text.to_owned(),
        }
    }
}
