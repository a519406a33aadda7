//! The tokens of a draft, as logos finds them, and what stands beside them: comments and blank lines, which nothing after
//! the lexer sees and which the canonical layout puts back.

use super::tree::{DirectionWord, Link};
use crate::report::Span;
use logos::Logos;

/// One token, without its letters: those are found through its span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t\r]+")]
#[allow(missing_docs, reason = "each is the sign or word it names")]
pub enum Tok {
    #[token("\n")]
    Newline,
    #[regex(r"#[^\n]*", allow_greedy = true)]
    #[regex(r"//[^\n]*", allow_greedy = true)]
    Comment,
    /// A character beyond ASCII; what it begins is found by hand.
    #[regex(r"[^\x00-\x7f]")]
    Foreign,
    /// Spaces that do not look like what they are.
    HardSpace,

    /// `neck_point`, statement words and kinds included: those are known by their place.
    #[regex(r"[A-Za-z_][A-Za-z0-9_]*", priority = 2)]
    Name,
    /// `back.neck`
    #[regex(r"[A-Za-z_][A-Za-z0-9_]*(\.[A-Za-z_][A-Za-z0-9_]*)+", priority = 2)]
    Dotted,

    /// `94cm`, `0.5`, `3%`, `3/8in`, `15 3/4in`
    #[regex(r"[0-9]+(\.[0-9]+)?([A-Za-z%][A-Za-z0-9_]*)?")]
    #[regex(r"([0-9]+ )?[0-9]+/[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    Figure,
    /// A figure in a form that another pen would use: read all the same, with a message.
    #[regex(r"[0-9]+,[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    #[regex(r#"[0-9]+(\.[0-9]+)?""#)]
    #[regex(r#"([0-9]+[ -])?[0-9]+/[0-9]+""#)]
    #[regex(r"[0-9]+-[0-9]+/[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    #[regex(r"\.[0-9]+([A-Za-z%][A-Za-z0-9_]*)?")]
    #[regex(r"[0-9]+\.([A-Za-z%][A-Za-z0-9_]*)?")]
    OddFigure,

    /// A text without holes.
    #[regex(r#""[^"\n]*""#)]
    Text,
    #[regex(r#""[^"\n]*"#)]
    OpenText,
    /// A text in curly, angled or single quotation marks.
    #[regex(r"'[^'\n]*'")]
    CurlyText,
    /// The same, not closed on its line.
    OpenCurlyText,
    /// `"the {`
    TextHead,
    /// `} and the {`
    TextMiddle,
    /// `} neck"`
    TextTail,

    #[token("(")]
    OpenRound,
    #[token(")")]
    CloseRound,
    #[token("[")]
    OpenSquare,
    #[token("]")]
    CloseSquare,
    #[token("{")]
    OpenBrace,
    #[token("}")]
    CloseBrace,
    #[token(",")]
    Comma,
    #[token("+")]
    Plus,
    #[token("-")]
    Minus,
    #[token("*")]
    Star,
    #[token("/")]
    Slash,
    #[token("<")]
    Less,
    #[token("<=")]
    AtMost,
    #[token("=")]
    Equal,
    #[token(">=")]
    AtLeast,
    #[token(">")]
    More,

    #[token("if")]
    If,
    #[token("otherwise")]
    #[token("else")]
    Otherwise,
    #[token("each")]
    Each,
    #[token("yes")]
    Yes,
    #[token("no")]
    No,
    #[token("origin")]
    Origin,

    #[token("from", |_| Link::From)]
    #[token("to", |_| Link::To)]
    #[token("through", |_| Link::Through)]
    #[token("around", |_| Link::Around)]
    #[token("toward", |_| Link::Toward)]
    #[token("at", |_| Link::At)]
    #[token("on", |_| Link::On)]
    #[token("onto", |_| Link::Onto)]
    #[token("by", |_| Link::By)]
    #[token("for", |_| Link::For)]
    #[token("about", |_| Link::About)]
    #[token("over", |_| Link::Over)]
    #[token("along", |_| Link::Along)]
    #[token("until", |_| Link::Until)]
    #[token("near", |_| Link::Near)]
    #[token("with", |_| Link::With)]
    #[token("leaving", |_| Link::Leaving)]
    #[token("arriving", |_| Link::Arriving)]
    #[token("hollow", |_| Link::Hollow)]
    #[token("into", |_| Link::Into)]
    #[token("meets", |_| Link::Meets)]
    #[token("of", |_| Link::Of)]
    #[token("between", |_| Link::Between)]
    #[token("and", |_| Link::And)]
    #[token("or", |_| Link::Or)]
    #[token("not", |_| Link::Not)]
    #[token("that", |_| Link::That)]
    #[token("is", |_| Link::Is)]
    #[token("within", |_| Link::Within)]
    #[token("than", |_| Link::Than)]
    #[token("above", |_| Link::Above)]
    #[token("below", |_| Link::Below)]
    #[token("joins", |_| Link::Joins)]
    #[token("as", |_| Link::As)]
    #[token("gives", |_| Link::Gives)]
    Link(Link),

    #[token("up", |_| DirectionWord::Up)]
    #[token("down", |_| DirectionWord::Down)]
    #[token("left", |_| DirectionWord::Left)]
    #[token("right", |_| DirectionWord::Right)]
    #[token("inside", |_| DirectionWord::Inside)]
    #[token("outside", |_| DirectionWord::Outside)]
    #[token("clockwise", |_| DirectionWord::Clockwise)]
    #[token("anticlockwise", |_| DirectionWord::Anticlockwise)]
    Direction(DirectionWord),

    /// The end of a sentence.
    End,
    /// A sentence that was taken out, with a message already given.
    Damaged,
}

impl Tok {
    /// `+ - * / < <= = >= >`
    pub fn is_operator(self) -> bool {
        matches!(
            self,
            Tok::Plus
                | Tok::Minus
                | Tok::Star
                | Tok::Slash
                | Tok::Less
                | Tok::AtMost
                | Tok::Equal
                | Tok::AtLeast
                | Tok::More
        )
    }

    /// Whether a value may begin with it, direction words and signs left aside.
    pub(crate) fn begins_operand(self) -> bool {
        matches!(
            self,
            Tok::Name
                | Tok::Dotted
                | Tok::Figure
                | Tok::OddFigure
                | Tok::OpenRound
                | Tok::OpenSquare
                | Tok::Yes
                | Tok::No
                | Tok::Origin
                | Tok::Each
        ) || self.begins_text()
    }

    /// Whether a text begins with it.
    pub(crate) fn begins_text(self) -> bool {
        matches!(self, Tok::Text | Tok::TextHead)
    }
}

/// A token and where it stands.
pub type Placed = (Tok, Span);

/// Comments and blank lines: what the tree does not keep.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trivia {
    /// Comments in the order of the text.
    pub comments: Vec<Comment>,
    /// The first byte of each blank line, in order.
    pub blank_lines: Vec<u32>,
}

/// A remark, which the layout keeps and the draft does not read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comment {
    /// From `#` to the last letter.
    pub span: Span,
    /// Nothing but spaces stands before it on its line.
    pub own_line: bool,
}
