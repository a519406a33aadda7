//! Expressions: figures, names, phrases, conditions and what stands after a linking word.

use super::{Block, Name, Setting, Text, Word};
use crate::report::Span;
use serde::{Deserialize, Serialize};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the word it names")]
pub enum Link {
    From,
    To,
    Through,
    Around,
    Toward,
    At,
    On,
    Onto,
    By,
    For,
    About,
    Over,
    Along,
    Until,
    Near,
    With,
    Leaving,
    Arriving,
    Hollow,
    Into,
    Meets,
    Of,
    Between,
    And,
    Or,
    Not,
    That,
    Is,
    Within,
    Than,
    Above,
    Below,
    Joins,
    As,
    Gives,
    /// `of the way`, behind the share of something else than a phrase's own way.
    OfTheWay,
    /// `of the way from`
    WayFrom,
    /// `of the way along`
    WayAlong,
    /// `to level of`
    LevelOf,
    /// `for`, right behind the way that a curve leaves: how long it is kept.
    LeavingFor,
    /// The same as a share, `for … of the way`.
    LeavingShare,
    /// `for`, right behind the way in which a curve arrives.
    ArrivingFor,
    /// The same as a share.
    ArrivingShare,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the word it names")]
pub enum DirectionWord {
    Up,
    Down,
    Left,
    Right,
    Inside,
    Outside,
    Clockwise,
    Anticlockwise,
}

/// The units a figure may carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the unit it names")]
pub enum Unit {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Degree,
    Percent,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Expr {
    pub kind: ExprKind,
    pub span: Span,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the sign it names")]
pub enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
}

/// `<` `<=` `=` `>=` `>`
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the sign it names")]
pub enum Comparison {
    Less,
    AtMost,
    Equal,
    AtLeast,
    More,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ExprKind {
    /// `94cm`, `15 3/4in`, `0.5`, `3%`: the figure as written in that unit.
    Figure {
        /// In the unit written: 15.75 for `15 3/4in`.
        value: f64,
        /// None for a plain number.
        unit: Option<Unit>,
    },
    /// `"…"`
    Text(Text),
    /// `yes`, `no`
    Answer(bool),
    /// `origin`
    Origin,
    /// `back.neck`
    Name(Name),
    /// `right`, as a value or an argument
    Direction(DirectionWord),
    /// `[a, b]`
    List(Vec<Expr>),
    /// `-x`
    Negative(Box<Expr>),
    /// `a + b`
    Sum {
        operator: Operator,
        /// Where the sign stands.
        sign: Span,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    /// `HEAD of X` with one complete operand. Whether HEAD is tight is not known here.
    Of { head: Word, operand: Box<Expr> },
    /// `p right 3cm up by depth`, `p down until hem`, `p down to level of q`
    Displaced {
        from: Box<Expr>,
        /// The moves, one after the other.
        moves: Vec<Displacement>,
    },
    /// `X clockwise`, `X anticlockwise`
    Turn {
        angle: Box<Expr>,
        /// Whether it is clockwise.
        clockwise: bool,
        /// Where the sense stands.
        sense: Span,
    },
    /// What stands after `toward`, `leaving`, `arriving` when it is more than a plain value.
    Bearing(Bearing),
    /// `a < b`
    Compare {
        comparison: Comparison,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    /// `a is …`
    Is {
        /// What is spoken of.
        subject: Box<Expr>,
        /// What is said of it.
        relation: Box<Relation>,
    },
    /// `not a`
    Not(Box<Expr>),
    /// `a and b`
    Both(Box<Expr>, Box<Expr>),
    /// `a or b`
    Either(Box<Expr>, Box<Expr>),
    /// A phrase with at least one linking word or a head with a direct argument.
    Phrase(Box<Phrase>),
    /// `each n from 0 to 6 { … give X }`, `each p in spots { … }`
    Each(Box<Each>),
    /// `( … )`: kept, since a bracket is the place for a phrase.
    Bracketed(Box<Expr>),
    /// Could not be read; already reported.
    Broken,
}

/// One leg of a displacement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Displacement {
    pub direction: DirectionWord,
    /// Where the direction stands.
    pub span: Span,
    pub far: Far,
}

/// How far a displacement goes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Far {
    By(Expr),
    /// `until L`: to a path.
    Until(Expr),
    /// `to level of P`
    LevelOf(Expr),
}

/// A direction other than a plain word or name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Bearing {
    /// `along L`
    Along(Box<Expr>),
    /// `square to L [toward D]`
    SquareTo(Box<Expr>, Option<Box<Expr>>),
    /// `ANGLE below right`
    Leaning {
        angle: Box<Expr>,
        /// `below` rather than `above`.
        below: bool,
        /// From which level or plumb direction.
        from: DirectionWord,
        /// Where that word stands.
        from_span: Span,
    },
}

/// What `is` says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Relation {
    /// `is within T of B`
    Within { tolerance: Expr, of: Expr },
    /// `is between A and B`
    Between { low: Expr, high: Expr },
    /// `is 4mm longer than B`, `is between 0mm and 15mm longer than B`, `is longer than B`
    Than {
        /// How much, or the lower end; none for plain `longer than`.
        by: Option<Expr>,
        up_to: Option<Expr>,
        /// `longer` or `more`, rather than `shorter` or `less`.
        more: bool,
        /// Where that word stands.
        word: Word,
        than: Expr,
    },
    /// `is on L`, `is above P`, `is left of P`
    Lies { how: Lies, than: Expr },
    /// `is drawn`: whether the name is there, settled before any figure is known.
    Drawn,
}

/// Where a point is said to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[allow(missing_docs, reason = "each is the words it names")]
pub enum Lies {
    On,
    Above,
    Below,
    LeftOf,
    RightOf,
}

impl Lies {
    /// The words by which a draft writes it.
    pub fn words(self) -> &'static str {
        match self {
            Lies::On => "on",
            Lies::Above => "above",
            Lies::Below => "below",
            Lies::LeftOf => "left of",
            Lies::RightOf => "right of",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Phrase {
    /// What stands before the first linking word.
    pub lead: Lead,
    /// Linking words with their arguments, in the order written.
    pub clauses: Vec<Clause>,
    /// After `with`.
    pub options: Vec<Setting>,
}

/// What stands before the first linking word of a phrase.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Lead {
    /// Nothing: `from a to b`.
    Nothing,
    /// A word followed by an operand is a head: `pivot a, b about c …`.
    Head { word: Word, direct: Vec<Expr> },
    /// A word or value followed by a linking word: `parallel to …` or `depth along hem`, `part of x from …` or
    /// `length of x along hem`: whether it is a head is decided where heads are known.
    Value(Expr),
}

/// One linking word and its arguments.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Clause {
    pub link: Link,
    pub link_span: Span,
    /// One or more, separated by commas.
    pub arguments: Vec<Expr>,
}

/// `each NAME from A to B { … }` or `each NAME in LIST { … }`: a value, or a sentence that is laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Each {
    /// The name that runs.
    pub name: Word,
    pub over: EachOver,
    /// `all round`: after the last comes the first again.
    pub all_round: Option<Span>,
    /// `carrying reached from 2cm`
    pub carried: Vec<Carried>,
    /// Its sentences; of a value one is `give`.
    pub body: Block,
}

/// What an `each` carries on from time to time, and what it begins with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Carried {
    pub name: Word,
    pub from: Expr,
    /// From the name to the end of what it begins with.
    pub span: Span,
}

/// What `each` runs over.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum EachOver {
    /// Whole numbers from one figure to another.
    Count {
        from: Expr,
        /// The last number, which is taken too.
        to: Expr,
    },
    Items(Expr),
}
