//! The tree of a draft: sentences and expressions with their places in the text.
//!
//! Where the text alone cannot tell (is `depth along hem` a phrase with the head `depth`, or a value `depth` placed along
//! the hem?), the tree keeps what was written and the check of kinds decides.

#![allow(
    missing_docs,
    reason = "a part is named as in the sentence or phrase that stands above its type"
)]

mod expression;
mod letters;
mod sewing;

pub use expression::*;
pub use sewing::*;

use crate::report::Span;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Before a name: what it is the next time.
pub const NEXT: &str = "next";

/// One word as written, in normal form C.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Word {
    #[serde(with = "letters")]
    pub text: Arc<str>,
    pub span: Span,
}

/// A dotted name: `back`, `back.neck`, `arm.top.crown`. In an `each` that is laid out, `next gore.left` is what `gore.left`
/// is the next time: its first word is `next gore`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Name {
    /// At least one word.
    pub words: Vec<Word>,
    /// From the first word to the last.
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct File {
    /// The sentences at the left margin, in order.
    pub sentences: Vec<Sentence>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sentence {
    pub kind: SentenceKind,
    /// From its first word to its last, a block's closing brace included.
    pub span: Span,
}

/// What a block `{ … }` holds.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Block {
    /// The sentences in order.
    pub sentences: Vec<Sentence>,
    /// The block, its braces included.
    pub span: Span,
}

/// Every sentence of the language.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// `slip MEASURED is FIGURE "…"`
    Slip(Slip),
    /// `terms back_width, scye`
    Terms(Vec<Name>),
    /// `try lift between 0mm and 30mm { … } until CONDITION`
    Try(Try),
    /// `each n from 1 to 6 { … }` as a sentence: its block is laid out, one copy a time.
    Each(Each),
    /// `carry reached = reached + width`: what an `each` carries is that the next time.
    Carry(Carry),
    /// `if CONDITION { … } else { … }`
    If(If),
    /// `operation … gives … { … }`
    Operation(Operation),
    /// `give a, b`
    Give(Vec<Expr>),
    /// `piece back "Back" { … }`
    Piece(Piece),
    /// `pieces of house without band`, `seams of house`: takes what another file or an operation offers.
    Take(Take),
    /// `seam side joins … to … { … }`
    Seam(Seam),
    /// `order shoulder, side, facing`: seams as they are made up.
    Order(Vec<Word>),
    /// `cloth main "poplin" width 150cm`: a cloth to cut from.
    Cloth(Cloth),
    /// A sentence that could not be read; already reported.
    #[serde(skip)]
    Broken(Lost),
}

/// What is known of a sentence that could not be read: what it would have drawn is not drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Lost {
    /// The word that begins it, where one begins a sentence; else empty.
    pub word: &'static str,
    /// The kind of what it would have drawn, where it says so.
    pub kind: Option<KindWord>,
    /// The names that it would have drawn, or declared.
    pub names: Vec<Word>,
    /// More names would follow, and cannot be read.
    pub is_torn: bool,
    /// Its blocks, where they can be read.
    pub blocks: Vec<Block>,
}

/// A text with holes: `"the {front.neck} neck"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Text {
    /// Letters and holes in order.
    pub parts: Vec<TextPart>,
    /// With both quotation marks.
    pub span: Span,
}

/// A part of a [`Text`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum TextPart {
    /// Letters, `{{` already one brace.
    Letters(#[serde(with = "letters")] Arc<str>),
    /// `{EXPRESSION}`
    Hole(Expr),
}

/// `import "FILE" as NAME with …`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Import {
    /// The path as written.
    pub path: Text,
    /// The name it goes by here.
    pub name: Word,
    /// Choices set for it.
    pub with: Vec<Setting>,
}

/// `name value` or `name low to high`, after `with`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// The option or choice.
    pub name: Word,
    /// Its value, or the lower end.
    pub value: Expr,
    /// The upper end of a range.
    pub to: Option<Expr>,
}

/// Whose value it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum MeasureOf {
    /// `body`: one name, one value in a run.
    Body,
    /// `choose`: belongs to its file.
    Choice,
}

/// `body NAME = DEFAULT between A and B "how to take it"`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    pub of: MeasureOf,
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Claim {
    /// What the author calls it, or says by it.
    pub text: Text,
    pub condition: Expr,
}

/// The kind word that begins a drawing sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Draw {
    /// `guide` before it: an aid, which the act that draws it keeps to itself.
    pub is_guide: bool,
    /// The kind word and where it stands.
    pub kind: KindWord,
    /// Where the kind word stands.
    pub kind_span: Span,
    pub names: Vec<Word>,
    pub value: Expr,
}

/// `redraw a, b = VALUE`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Redraw {
    pub names: Vec<Word>,
    pub value: Expr,
}

/// `carry NAME = VALUE`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Carry {
    pub name: Word,
    pub value: Expr,
}

/// `slip MEASURED is FIGURE "…"`: a usual mistake, by the figure it gives.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Slip {
    /// The figure it is made in, or a line, which is measured.
    pub of: Expr,
    /// What comes out by mistake.
    pub figure: Expr,
    /// What was done to get it, and what to do.
    pub text: Text,
}

/// `panel NAME traced from OTHER { … }`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Panel {
    pub name: Word,
    /// The panel it is traced from.
    pub traced_from: Option<Name>,
    /// What is drawn on it.
    pub body: Block,
}

/// `step "NAME" { … }`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    pub name: Text,
    /// What is done in it.
    pub body: Block,
}

/// `try NAME between A and B { … } until CONDITION`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Try {
    /// The value that is looked for.
    pub name: Word,
    pub low: Expr,
    pub high: Expr,
    /// Drawn afresh in each trial.
    pub body: Block,
    pub until: Expr,
    /// `else "…"`: the author's words where no value will do.
    pub otherwise: Option<Text>,
}

/// `if … { … } else …`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct If {
    /// Each condition with its block, in order.
    pub branches: Vec<(Expr, Block)>,
    /// The last block; none is an empty one.
    pub otherwise: Option<Block>,
}

/// The kind of a parameter or result in an operation's head.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct KindPhrase {
    /// The kind; of a list, that of its items.
    pub kind: KindWord,
    /// `list of KIND`
    pub is_list: bool,
    pub span: Span,
}

/// One parameter `(KIND NAME = DEFAULT "what it is")`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Parameter {
    pub kind: KindPhrase,
    /// Its name inside the operation; of an option, outside too.
    pub name: Word,
    /// Without one it must be given.
    pub default: Option<Expr>,
    /// `between A and B`: the values that make sense.
    pub range: Option<(Expr, Expr)>,
    /// `of "left", "right"`: the texts it may be.
    pub choices: Vec<Text>,
    pub doc: Option<Text>,
}

/// `(curve body.back.armhole "from shoulder to underarm")` after `needs`: names that a panel must have.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Need {
    pub kind: KindPhrase,
    /// With the panels it lies on, the parameter's name first.
    pub first: Name,
    /// Others of that kind on the same panel.
    pub more: Vec<Word>,
    /// `if drawn`: used where it is there, and not missed where it is not.
    pub if_drawn: bool,
    pub doc: Option<Text>,
    /// Brackets included.
    pub span: Span,
}

impl Need {
    /// Every name it says, panels first.
    pub fn names(&self) -> impl Iterator<Item = Name> {
        let panels = self.first.words.split_last();
        let panels = panels.map_or(&[][..], |(_, panels)| panels);
        let beside = |word: &Word| Name {
            words: panels.iter().chain([word]).cloned().collect(),
            span: word.span,
        };
        std::iter::once(self.first.clone()).chain(self.more.iter().map(beside))
    }
}

/// `operation HEAD (DIRECT) from (…) to (…) with (…), (…) needs (…), (…) gives KIND "…" { … }`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Operation {
    pub head: Word,
    pub direct: Option<Parameter>,
    /// Each linking word with its parameter.
    pub places: Vec<(Link, Span, Parameter)>,
    /// The options after `with`.
    pub options: Vec<Parameter>,
    /// What its panels must have, where the head says so.
    pub needs: Option<Vec<Need>>,
    pub gives: KindPhrase,
    /// Two lines on what it does.
    pub doc: Option<Text>,
    /// Its sentences, with `give` among them.
    pub body: Block,
}
