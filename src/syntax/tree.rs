//! The tree of a draft: sentences and expressions with their places in the text.
//!
//! Where the text alone cannot tell (is `depth along hem` a phrase with the head `depth`, or a value `depth` placed along
//! the hem?), the tree keeps what was written and the check of kinds decides.

use crate::report::Span;
use std::sync::Arc;

/// One word as written, in normal form C.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Word {
    /// The letters.
    pub text: Arc<str>,
    /// Where.
    pub span: Span,
}

/// A dotted name: `back`, `back.neck`, `arm.top.crown`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// At least one word.
    pub words: Vec<Word>,
    /// From the first word to the last.
    pub span: Span,
}

/// One file.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct File {
    /// The sentences at the left margin, in order.
    pub sentences: Vec<Sentence>,
}

/// One sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Sentence {
    /// What it says.
    pub kind: SentenceKind,
    /// From its first word to its last, a block's closing brace included.
    pub span: Span,
}

/// What a block `{ … }` holds.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Block {
    /// The sentences in order.
    pub sentences: Vec<Sentence>,
    /// With both braces.
    pub span: Span,
}

/// Every sentence of the language.
#[derive(Clone, Debug, PartialEq)]
pub enum SentenceKind {
    /// `edition 1`
    Edition(Expr),
    /// `draft "Ferry shirt"`
    Draft(Text),
    /// `unit cm`
    Unit(Word),
    /// `import "block.draft" as block with bust_ease 10cm`
    Import(Import),
    /// `use shirt`
    Use(Word),
    /// `body …` and `choose …`
    Measure(Measure),
    /// `require "text" that CONDITION`
    Require(Claim),
    /// `check "text" that CONDITION`
    Check(Claim),
    /// `point a, b = …`
    Draw(Draw),
    /// `redraw a, b = …`
    Redraw(Redraw),
    /// `panel back traced from house.back { … }`
    Panel(Panel),
    /// `cloth at blade_point`, inside a panel: which side of its lines is cloth.
    ClothAt(Expr),
    /// `step "Frame" { … }`
    Step(Step),
    /// `note "…"`
    Note(Text),
    /// `why "…"`
    Why(Text),
    /// `caution "…"`: what the reader of the drawing must know before cutting.
    Caution(Text),
    /// `slip EXPRESSION "…"`
    Slip(Expr, Text),
    /// `terms back_width, scye`
    Terms(Vec<Name>),
    /// `try lift between 0mm and 30mm { … } until CONDITION`
    Try(Try),
    /// `if CONDITION { … } else { … }`
    If(If),
    /// `operation … gives … { … }`
    Operation(Operation),
    /// `give a, b`
    Give(Vec<Expr>),
    /// `piece back "Back" { … }`
    Piece(Piece),
    /// `pieces of arm`: takes what another file or an operation offers.
    TakePieces(Name),
    /// `seam side joins … to … { … }`
    Seam(Seam),
    /// `order shoulder, side, facing`: seams as they are made up.
    Order(Vec<Word>),
    /// `cloth main "poplin" width 150cm`: a cloth to cut from.
    Cloth(Cloth),
    /// A sentence that could not be read; already reported.
    Broken,
}

/// A text with holes: `"the {front.neck} neck"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Letters and holes in order.
    pub parts: Vec<TextPart>,
    /// With both quotation marks.
    pub span: Span,
}

/// A part of a [`Text`].
#[derive(Clone, Debug, PartialEq)]
pub enum TextPart {
    /// Letters, `{{` already one brace.
    Letters(Arc<str>),
    /// `{EXPRESSION}`
    Hole(Expr),
}

/// `import "FILE" as NAME with …`
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// The path as written.
    pub path: Text,
    /// The name it goes by here.
    pub name: Word,
    /// Choices set for it.
    pub with: Vec<Setting>,
}

/// `name value` or `name low to high`, after `with`.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The option or choice.
    pub name: Word,
    /// Its value, or the lower end.
    pub value: Expr,
    /// The upper end of a range.
    pub to: Option<Expr>,
}

/// Whose value it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeasureOf {
    /// `body`: one name, one value in a run.
    Body,
    /// `choose`: belongs to its file.
    Choice,
}

/// `body NAME = DEFAULT between A and B "how to take it"`
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Measure or choice.
    pub of: MeasureOf,
    /// Its name.
    pub name: Word,
    /// The default: a figure or a formula over measures above.
    pub default: Expr,
    /// `between A and B`
    pub range: Option<(Expr, Expr)>,
    /// `of "left", "right"`: the texts a choice may take.
    pub choices: Vec<Text>,
    /// How to take it, or what it does.
    pub text: Option<Text>,
}

/// `"text" that CONDITION`, of `require` and `check`.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    /// The author's words.
    pub text: Text,
    /// What must hold.
    pub condition: Expr,
}

/// The kind word that begins a drawing sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KindWord {
    /// `point`
    Point,
    /// `line`
    Line,
    /// `curve`
    Curve,
    /// `length`
    Length,
    /// `angle`
    Angle,
    /// `area`
    Area,
    /// `number`
    Number,
    /// `direction`
    Direction,
    /// `text`
    Text,
    /// `list`
    List,
    /// `panel`
    Panel,
    /// `answer`: yes or no.
    Answer,
}

/// `KIND a, b = VALUE`; `panel arm = shirt_arm …` too.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// The kind word and where it stands.
    pub kind: KindWord,
    /// Where the kind word stands.
    pub kind_span: Span,
    /// The fresh names.
    pub names: Vec<Word>,
    /// What is drawn.
    pub value: Expr,
}

/// `redraw a, b = VALUE`
#[derive(Clone, Debug, PartialEq)]
pub struct Redraw {
    /// Names already drawn.
    pub names: Vec<Word>,
    /// What they become.
    pub value: Expr,
}

/// `panel NAME traced from OTHER { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Its name.
    pub name: Word,
    /// The panel it is traced from.
    pub traced_from: Option<Name>,
    /// What is drawn on it.
    pub body: Block,
}

/// `step "NAME" { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name.
    pub name: Text,
    /// What is done in it.
    pub body: Block,
}

/// `try NAME between A and B { … } until CONDITION`
#[derive(Clone, Debug, PartialEq)]
pub struct Try {
    /// The value that is looked for.
    pub name: Word,
    /// The first bound.
    pub low: Expr,
    /// The second bound.
    pub high: Expr,
    /// Drawn afresh in each trial.
    pub body: Block,
    /// An equality.
    pub until: Expr,
    /// `else "…"`: the author's words where no value will do.
    pub otherwise: Option<Text>,
}

/// `if … { … } else …`
#[derive(Clone, Debug, PartialEq)]
pub struct If {
    /// Each condition with its block, in order.
    pub branches: Vec<(Expr, Block)>,
    /// The last block; none is an empty one.
    pub otherwise: Option<Block>,
}

/// The kind of a parameter or result in an operation's head.
#[derive(Clone, Debug, PartialEq)]
pub struct KindPhrase {
    /// The kind; of a list, that of its items.
    pub kind: KindWord,
    /// `list of KIND`
    pub is_list: bool,
    /// Where.
    pub span: Span,
}

/// One parameter `(KIND NAME = DEFAULT "what it is")`.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// Its kind.
    pub kind: KindPhrase,
    /// Its name inside the operation; of an option, outside too.
    pub name: Word,
    /// Without one it must be given.
    pub default: Option<Expr>,
    /// `between A and B`: the values that make sense.
    pub range: Option<(Expr, Expr)>,
    /// What it is.
    pub doc: Option<Text>,
}

/// `operation HEAD (DIRECT) from (…) to (…) with (…), (…) gives KIND "…" { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// The head word.
    pub head: Word,
    /// The direct argument.
    pub direct: Option<Parameter>,
    /// Each linking word with its parameter.
    pub places: Vec<(Link, Span, Parameter)>,
    /// The options after `with`.
    pub options: Vec<Parameter>,
    /// What it gives.
    pub gives: KindPhrase,
    /// Two lines on what it does.
    pub doc: Option<Text>,
    /// Its sentences, with `give` among them.
    pub body: Block,
}

/// The linking words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
}

/// The direction words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "each is the unit it names")]
pub enum Unit {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Degree,
    Percent,
}

/// An expression.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// What it is.
    pub kind: ExprKind,
    /// Where.
    pub span: Span,
}

/// Sums and products.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "each is the sign it names")]
pub enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
}

/// `<` `<=` `=` `>=` `>`
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "each is the sign it names")]
pub enum Comparison {
    Less,
    AtMost,
    Equal,
    AtLeast,
    More,
}

/// Every expression.
#[derive(Clone, Debug, PartialEq)]
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
        /// Which.
        operator: Operator,
        /// Where the sign stands.
        sign: Span,
        /// Left operand.
        left: Box<Expr>,
        /// Right operand.
        right: Box<Expr>,
    },
    /// `HEAD of X` with one complete operand. Whether HEAD is tight is not known here.
    Of {
        /// The head.
        head: Word,
        /// The operand.
        operand: Box<Expr>,
    },
    /// `p right 3cm up 2cm`, `p down until hem`
    Displaced {
        /// From where.
        from: Box<Expr>,
        /// In order.
        moves: Vec<Displacement>,
    },
    /// `X clockwise`, `X anticlockwise`
    Turn {
        /// The angle.
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
        /// Which.
        comparison: Comparison,
        /// Left side.
        left: Box<Expr>,
        /// Right side.
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
#[derive(Clone, Debug, PartialEq)]
pub struct Displacement {
    /// Which way.
    pub direction: DirectionWord,
    /// Where the direction stands.
    pub span: Span,
    /// How far.
    pub far: Far,
}

/// How far a displacement goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Far {
    /// A length.
    By(Expr),
    /// `until X`: to a path, or level with a point.
    Until(Expr),
}

/// A direction other than a plain word or name.
#[derive(Clone, Debug, PartialEq)]
pub enum Bearing {
    /// `along L`
    Along(Box<Expr>),
    /// `square to L [toward D]`
    SquareTo(Box<Expr>, Option<Box<Expr>>),
    /// `ANGLE below right`
    Leaning {
        /// How much.
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
#[derive(Clone, Debug, PartialEq)]
pub enum Relation {
    /// `is within T of B`
    Within {
        /// The tolerance.
        tolerance: Expr,
        /// The figure wanted.
        of: Expr,
    },
    /// `is between A and B`
    Between {
        /// Lower end.
        low: Expr,
        /// Upper end.
        high: Expr,
    },
    /// `is 4mm longer than B`, `is between 0mm and 15mm longer than B`, `is longer than B`
    Than {
        /// How much, or the lower end; none for plain `longer than`.
        by: Option<Expr>,
        /// The upper end.
        up_to: Option<Expr>,
        /// `longer` or `more`, rather than `shorter` or `less`.
        more: bool,
        /// Where that word stands.
        word: Word,
        /// Than what.
        than: Expr,
    },
}

/// A phrase.
#[derive(Clone, Debug, PartialEq)]
pub struct Phrase {
    /// What stands before the first linking word.
    pub lead: Lead,
    /// Linking words with their arguments, in the order written.
    pub clauses: Vec<Clause>,
    /// After `with`.
    pub options: Vec<Setting>,
}

/// What stands before the first linking word of a phrase.
#[derive(Clone, Debug, PartialEq)]
pub enum Lead {
    /// Nothing: `from a to b`.
    Nothing,
    /// A word followed by an operand is a head: `pivot a, b about c …`.
    Head {
        /// The head.
        word: Word,
        /// The direct argument.
        direct: Vec<Expr>,
    },
    /// A word or value followed by a linking word: `parallel to …` or `depth along hem`, `part of x from …` or
    /// `length of x along hem`: whether it is a head is decided where heads are known.
    Value(Expr),
}

/// One linking word and its arguments.
#[derive(Clone, Debug, PartialEq)]
pub struct Clause {
    /// The word.
    pub link: Link,
    /// Where it stands.
    pub link_span: Span,
    /// One or more, separated by commas.
    pub arguments: Vec<Expr>,
}

/// `each NAME from A to B { … }` or `each NAME in LIST { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Each {
    /// The name that runs.
    pub name: Word,
    /// Over what.
    pub over: EachOver,
    /// Its sentences, one of them `give`.
    pub body: Block,
}

/// What `each` runs over.
#[derive(Clone, Debug, PartialEq)]
pub enum EachOver {
    /// Whole numbers.
    Count {
        /// First.
        from: Expr,
        /// Last, included.
        to: Expr,
    },
    /// A list's items.
    Items(Expr),
}

/// `piece NAME "LABEL" of PANEL { … }` or `piece NAME traced from PIECE { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: Word,
    /// As printed on it.
    pub label: Option<Text>,
    /// The panel whose lines it takes; without one the panel of its own name.
    pub of: Option<Name>,
    /// The offered piece it alters.
    pub traced_from: Option<Name>,
    /// What it says.
    pub sentences: Vec<PieceSentence>,
    /// With both braces.
    pub body: Span,
}

/// A sentence of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceSentence {
    /// What it says.
    pub kind: PieceSentenceKind,
    /// Where.
    pub span: Span,
}

/// What a sentence of a piece says.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceSentenceKind {
    /// `outline a, b as c, d`
    Outline(Vec<OutlineEdge>),
    /// `cut 2 alike on fold at L from main`
    Cut {
        /// How many.
        count: Expr,
        /// `alike`: not a mirrored pair.
        alike: bool,
        /// `on fold at L`
        fold: Option<Name>,
        /// `from CLOTH`
        cloth: Option<Word>,
    },
    /// `grain along L`
    Grain(Expr),
    /// `allow W on a, b`; without edges the piece's default.
    Allow(Expr, Vec<Name>),
    /// `corner a, b turned back` and the other treatments.
    Corner {
        /// The two edges that meet there.
        edges: Vec<Name>,
        /// The words of the treatment: `turned back`, `squared`, `stepped`, `mitred`.
        treatment: Vec<Word>,
    },
    /// `finish a, b "hemmed 5 and 5"`: an edge that no seam joins.
    Finish(Vec<Name>, Option<Text>),
    /// `fold a, b`: fold lines, notched where they cross the outline.
    Fold(Vec<Name>),
    /// `notch double at …`
    Notch(Notch),
    /// `mark P "button" with diameter 12mm`, `mark L "stitch"`: a point or line to copy onto the cloth.
    Mark {
        /// What is marked.
        what: Vec<Expr>,
        /// What it is for.
        text: Option<Text>,
        /// `with diameter 12mm, thickness 3mm`
        settings: Vec<Setting>,
    },
    /// `if` around sentences of a piece.
    If(Vec<(Expr, Vec<PieceSentence>)>, Vec<PieceSentence>),
    /// Already reported.
    Broken,
}

/// One edge of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEdge {
    /// The panel's line.
    pub name: Name,
    /// `as` another name.
    pub as_name: Option<Word>,
}

/// `notch KIND at PLACE …`
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// `single`, `double` and so on.
    pub form: Option<Word>,
    /// Where.
    pub place: NotchPlace,
}

/// Where a notch stands.
#[derive(Clone, Debug, PartialEq)]
pub enum NotchPlace {
    /// `at 85mm from back.underarm`
    Measured {
        /// How far.
        distance: Expr,
        /// From which end.
        from: Expr,
    },
    /// `at arm.crown, body.shoulder_point`: the same notch on both sides. One point in a piece.
    Points(Vec<Expr>),
    /// `at joints`
    Joints,
}

/// An edge as a seam names it.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEdge {
    /// `mirrored` before it: the twin's edge.
    pub mirrored: bool,
    /// The panel's line.
    pub name: Name,
}

/// `seam NAME joins … to … from P { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Its name.
    pub name: Word,
    /// The first side in sewing order.
    pub first: Vec<SeamEdge>,
    /// The second side in sewing order.
    pub second: Vec<SeamEdge>,
    /// Where the walk starts.
    pub from: Option<Expr>,
    /// What its block says.
    pub sentences: Vec<SeamSentence>,
}

/// A sentence of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamSentence {
    /// What it says.
    pub kind: SeamSentenceKind,
    /// Where.
    pub span: Span,
}

/// What a sentence of a seam says.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamSentenceKind {
    /// `ease 4mm to 12mm on a, b`: that side is longer by so much.
    Ease {
        /// Least, or exact.
        low: Expr,
        /// Most.
        high: Option<Expr>,
        /// Edges of the longer side.
        on: Vec<Name>,
    },
    /// `notch …`
    Notch(Notch),
    /// `allow W` or `allow W on a`
    Allow(Expr, Vec<Name>),
    /// `sewn felled 6mm, 16mm`: how it is sewn, and the widths that this takes.
    Sewn(Word, Vec<Expr>),
    /// `tolerance 1mm`
    Tolerance(Expr),
    /// Already reported.
    Broken,
}

/// `cloth NAME "…" width 150cm, …`
#[derive(Clone, Debug, PartialEq)]
pub struct Cloth {
    /// Its name.
    pub name: Word,
    /// What it is.
    pub label: Option<Text>,
    /// `width 150cm, thickness 0.4mm`
    pub settings: Vec<Setting>,
}
