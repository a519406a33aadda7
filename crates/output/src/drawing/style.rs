//! The one table of what lines, texts and surfaces look like, read by every writer: on paper, and in a page whose colours
//! change with the light.
//!
//! Lines are told apart by weight and dash first and by colour last, so that a black-and-white print, a photocopy and a
//! colour-blind reader lose nothing. Three inks: black for what is cut and sewn, a slate blue for construction, a brick
//! red for what must not be overlooked and, in figures, for what is new.

use super::raster::Weight::{self, Faint, Firm, Light};
use super::{Drawing, Shape};
use crate::number;
use std::collections::BTreeSet;

/// A colour as red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

impl Ink {
    /// As style sheets write it.
    pub(crate) fn css(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

/// A colour: fixed on paper, in a page one that it names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Tone(Ink, &'static str);

impl Tone {
    pub(crate) fn ink(self) -> Ink {
        self.0
    }
}

const BLACK: Tone = Tone(Ink(0x1d, 0x1c, 0x1a), "ink");
const GREY: Tone = Tone(Ink(0x6b, 0x69, 0x64), "old");
const PALE: Tone = Tone(Ink(0xa8, 0xa6, 0xa0), "rule");
const SLATE: Tone = Tone(Ink(0x5d, 0x78, 0x93), "slate");
const DEEP_SLATE: Tone = Tone(Ink(0x3f, 0x5d, 0x7a), "slate");
const BRICK: Tone = Tone(Ink(0xa3, 0x3a, 0x2a), "new");
const PAPER: Tone = Tone(Ink(0xf7, 0xf5, 0xf0), "paper");
const WHITE: Tone = Tone(Ink(0xff, 0xff, 0xff), "card");
const CREAM: Tone = Tone(Ink(0xfd, 0xf1, 0xd8), "mark");

/// How a kind of line looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    /// Its class in a page and in an SVG.
    pub(crate) id: &'static str,
    pub(crate) tone: Tone,
    /// Its width in millimetres.
    pub(crate) width: f64,
    /// Dash and gap in millimetres, in turn; empty for an unbroken line.
    pub(crate) dashes: &'static [f64],
    /// How much it is in the way of names.
    pub(crate) weight: Weight,
}

/// How a kind of text looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Letters {
    pub(crate) id: &'static str,
    pub(crate) tone: Tone,
    /// Font size in millimetres.
    pub(crate) size: f64,
    pub(crate) bold: bool,
}

/// What a line means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// Where the scissors go.
    Cut,
    /// Where the needle goes.
    Sew,
    /// An edge on the fold of the cloth.
    FoldEdge,
    /// A fold line inside a piece.
    Fold,
    /// A line of a draft that has no pieces yet.
    Draft,
    /// A line the draft was built on.
    Construction,
    /// The arrow along the grain, and other arrows that say how cloth lies.
    Grain,
    /// A notch as it is cut.
    Notch,
    /// The way of a notch from the sewing line to the cut edge.
    NotchGuide,
    /// An edge that is eased in.
    Held,
    /// Where a seam is left open.
    Open,
    /// Something to copy onto the cloth.
    Mark,
    /// A hole to drill.
    Drill,
    /// A line that must lie on its like on the next piece: a stripe, a balance line.
    Match,
    /// From a name to what it names.
    Leader,
    /// Frame and rules of the sheet.
    Frame,
    /// The square that proves the scale, and rules as heavy.
    Square,
    /// Frame of a caution.
    Caution,
    /// Where sheets of paper are joined.
    Join,
    /// A size of a nest beside its base, by its number below [`Pen::NESTED_STYLES`].
    Nested(u8),
    /// In a figure: a line of an earlier step.
    Early,
    /// In a figure: a line as it was before it was drawn anew.
    Gone,
    /// In a figure: a new line without an end.
    Guide,
    /// In a figure: a new line.
    New,
    /// In a figure: what the hand leaves on the paper on its way.
    Aid,
    /// In a figure: the mark of a right angle.
    Corner,
    /// In a figure: round a point that is used.
    Ring,
    /// In a figure: the bar that shows its scale.
    Bar,
    /// In a small figure: the edge of a piece.
    Edge,
    /// In a figure: the cutting line, where edges matter more.
    Allowance,
    /// In a small figure: round the part that is shown large.
    Part,
    /// In an overlay: an edge as it was.
    Was,
    /// In an overlay: the cutting line as it was.
    WasCut,
    /// In an overlay: an edge as it was that has another line now.
    WasOther,
    /// In an overlay: an edge as it is.
    Is,
    /// In an overlay: an edge as it is that had another line.
    IsOther,
    /// In an overlay: from where a point lay to where it lies.
    Arrow,
}

/// What tells the sizes of a nest apart: no two alike to the eye.
const NESTED: [(&str, &[f64]); 8] = [
    ("nested-0", &[8.0, 2.0]),
    ("nested-1", &[2.5, 1.5]),
    ("nested-2", &[10.0, 1.8, 1.0, 1.8]),
    ("nested-3", &[]),
    ("nested-4", &[0.7, 1.4]),
    ("nested-5", &[8.0, 1.5, 1.0, 1.5, 1.0, 1.5]),
    ("nested-6", &[5.0, 4.0]),
    ("nested-7", &[14.0, 2.0, 4.0, 2.0]),
];
const FOLDED: &[f64] = &[9.0, 2.0, 1.2, 2.0];
/// Into points, for small figures, and into dashes, for true size.
const FINE: &[f64] = &[1.6, 1.4];
const LONG: &[f64] = &[5.0, 3.0];

impl Pen {
    /// How many lines of a nest there are beside the base's.
    pub const NESTED_STYLES: u8 = 8;

    /// Its row of the table.
    #[rustfmt::skip]
    pub(crate) fn look(self) -> Line {
        let (id, tone, width, dashes, weight): (_, _, _, &[f64], _) = match self {
            Pen::Cut          => ("cut", BLACK, 0.7, &[], Firm),
            Pen::Sew          => ("sew", BLACK, 0.4, &[6.0, 2.0], Firm),
            Pen::FoldEdge     => ("fold-edge", BLACK, 0.6, FOLDED, Firm),
            Pen::Fold         => ("fold", BLACK, 0.4, FOLDED, Firm),
            Pen::Draft        => ("draft", BLACK, 0.4, &[], Firm),
            Pen::Construction => ("construction", SLATE, 0.2, &[], Faint),
            Pen::Grain        => ("grain", BLACK, 0.4, &[], Firm),
            Pen::Notch        => ("notch", BLACK, 0.6, &[], Firm),
            Pen::NotchGuide   => ("notch-guide", GREY, 0.2, &[0.8, 0.8], Light),
            Pen::Held         => ("held", BLACK, 0.3, &[2.0, 1.5], Firm),
            Pen::Open         => ("open", BLACK, 0.9, &[0.9, 1.8], Firm),
            Pen::Mark         => ("mark", BLACK, 0.4, &[], Firm),
            Pen::Drill        => ("drill", BLACK, 0.4, &[], Firm),
            Pen::Match        => ("match", BLACK, 0.3, &[12.0, 1.5, 1.2, 1.5, 1.2, 1.5], Firm),
            Pen::Leader       => ("leader", GREY, 0.2, &[], Light),
            Pen::Frame        => ("frame", GREY, 0.25, &[], Firm),
            Pen::Square       => ("square", BLACK, 0.5, &[], Firm),
            Pen::Caution      => ("caution-frame", BRICK, 0.5, &[], Firm),
            Pen::Join         => ("join", GREY, 0.2, &[3.0, 3.0], Firm),
            Pen::Nested(number) => {
                let known = NESTED.get(usize::from(number)).copied();
                let (id, dashes) = known.unwrap_or(("nested-3", &[]));
                (id, BLACK, 0.35, dashes, Firm)
            }
            Pen::Early        => ("early", GREY, 0.28, &[], Light),
            Pen::Gone         => ("gone", GREY, 0.28, FINE, Light),
            Pen::Guide        => ("guide", BRICK, 0.4, &[], Firm),
            Pen::New          => ("new", BRICK, 0.85, &[], Firm),
            Pen::Aid          => ("aid", DEEP_SLATE, 0.28, FINE, Faint),
            Pen::Corner       => ("corner", BRICK, 0.3, &[], Faint),
            Pen::Ring         => ("ring", DEEP_SLATE, 0.4, &[], Firm),
            Pen::Bar          => ("bar", BLACK, 0.35, &[], Firm),
            Pen::Edge         => ("edge", BLACK, 0.5, &[], Firm),
            Pen::Allowance    => ("allowance", GREY, 0.25, &[], Light),
            Pen::Part         => ("part", BRICK, 0.8, &[], Firm),
            Pen::Was          => ("was", GREY, 0.5, LONG, Light),
            Pen::WasCut       => ("was-cut", GREY, 0.25, FINE, Light),
            Pen::WasOther     => ("was-other", DEEP_SLATE, 0.9, LONG, Light),
            Pen::Is           => ("is", BLACK, 0.6, &[], Firm),
            Pen::IsOther      => ("is-other", BRICK, 1.3, &[], Firm),
            Pen::Arrow        => ("arrow", BRICK, 0.5, &[], Light),
        };
        Line { id, tone, width, dashes, weight }
    }

    /// The class in a page and in an SVG.
    pub fn name(self) -> &'static str {
        self.look().id
    }

    /// How broad its line is on paper, in millimetres.
    pub fn width(self) -> f64 {
        self.look().width
    }

    /// Dash and gap in millimetres, in turn; empty for an unbroken line.
    pub fn dashes(self) -> &'static [f64] {
        self.look().dashes
    }
}

/// What a surface means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fill {
    /// The sheet under everything.
    Sheet,
    /// A piece of cloth.
    Piece,
    /// A point of an outline.
    Dot,
    /// A point of the construction.
    ConstructionDot,
    /// In a figure: a new point.
    NewDot,
    /// In an overlay: a piece that changed.
    Changed,
}

impl Fill {
    /// The class in a page and in an SVG, and the colour.
    fn look(self) -> (&'static str, Tone) {
        match self {
            Fill::Sheet => ("sheet", PAPER),
            Fill::Piece => ("piece", WHITE),
            Fill::Dot => ("dot", BLACK),
            Fill::ConstructionDot => ("construction-dot", SLATE),
            Fill::NewDot => ("new-dot", BRICK),
            Fill::Changed => ("face", CREAM),
        }
    }

    /// The class in a page and in an SVG.
    pub fn name(self) -> &'static str {
        self.look().0
    }

    pub(crate) fn ink(self) -> Ink {
        self.look().1.0
    }
}

/// What a text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hand {
    /// The draft's title at the head of a sheet.
    Title,
    /// The name at the head of a piece's label.
    PieceName,
    /// What the cutter must know of a piece.
    PieceText,
    /// The same on a small piece.
    PieceSmall,
    /// The same where nothing larger fits.
    PieceTiny,
    /// The name on a piece that is not large.
    PieceNameMid,
    /// The name on a small piece.
    PieceNameSmall,
    /// The name where nothing larger fits.
    PieceNameTiny,
    /// How an edge is sewn: its allowance and its finish.
    EdgeWords,
    /// An edge and its length.
    EdgeName,
    /// A point of the outline, a fold, a mark.
    PointName,
    /// The same where it would lie on a line otherwise.
    PointSmall,
    /// A point or line of the construction.
    ConstructionName,
    /// Something that must not be overlooked.
    Caution,
    /// The same on a small piece.
    CautionSmall,
    /// Across a sheet that lacks something.
    Unfinished,
    /// Words of the title block.
    Sheet,
    /// A heading of the title block.
    Heading,
    /// The name of a tile.
    TileName,
    /// What stands at the foot of a page.
    Foot,
    /// The same, and words of a table, where they would be cut otherwise.
    FootSmall,
    /// The name of a small piece on a lay.
    LayName,
    /// In a figure: the name of something new.
    Fresh,
    /// In a figure: the name of something used.
    Used,
    /// In a figure: the name of a piece or a panel.
    Whole,
    /// In a figure: the length of its bar.
    Scale,
    /// In an overlay: what changed.
    Change,
    /// In an overlay: a piece.
    Changed,
    /// Words of a booklet.
    Reading,
    /// The same, to be noticed.
    ReadingBold,
    /// The heading of a step.
    StepName,
}

impl Hand {
    /// Its row of the table. At arm's length (600 mm) 3.5 mm is about a third of a degree, as book type is in the hand.
    #[rustfmt::skip]
    pub(crate) fn look(self) -> Letters {
        let (id, tone, size, bold) = match self {
            Hand::Title            => ("title", BLACK, 12.0, true),
            Hand::PieceName        => ("piece-name", BLACK, 9.0, true),
            Hand::PieceText        => ("piece-text", BLACK, 5.0, false),
            Hand::PieceSmall       => ("piece-small", BLACK, 3.6, false),
            Hand::PieceTiny        => ("piece-tiny", BLACK, 2.4, false),
            Hand::PieceNameMid     => ("piece-name-mid", BLACK, 5.0, true),
            Hand::PieceNameSmall   => ("piece-name-small", BLACK, 3.6, true),
            Hand::PieceNameTiny    => ("piece-name-tiny", BLACK, 2.4, true),
            Hand::EdgeWords        => ("edge-words", BLACK, 2.8, false),
            Hand::EdgeName         => ("edge-name", BLACK, 4.2, false),
            Hand::PointName        => ("point-name", GREY, 3.8, false),
            Hand::PointSmall       => ("point-small", GREY, 2.8, false),
            Hand::ConstructionName => ("construction-name", SLATE, 3.5, false),
            Hand::Caution          => ("caution", BRICK, 5.0, true),
            Hand::CautionSmall     => ("caution-small", BRICK, 3.0, true),
            Hand::Unfinished       => ("unfinished", BRICK, 14.0, true),
            Hand::Sheet            => ("sheet-text", BLACK, 4.2, false),
            Hand::Heading          => ("heading", BLACK, 4.2, true),
            Hand::TileName         => ("tile-name", PALE, 12.0, true),
            Hand::Foot             => ("foot", GREY, 3.2, false),
            Hand::FootSmall        => ("foot-small", GREY, 2.6, false),
            Hand::LayName          => ("lay-name", GREY, 2.2, false),
            Hand::Fresh            => ("fresh", BRICK, 3.8, false),
            Hand::Used             => ("used", DEEP_SLATE, 3.5, false),
            Hand::Whole            => ("whole", BLACK, 3.8, false),
            Hand::Scale            => ("scale", BLACK, 3.5, false),
            Hand::Change           => ("change", BRICK, 4.2, false),
            Hand::Changed          => ("changed", BLACK, 5.0, true),
            Hand::Reading          => ("reading", BLACK, 3.25, false),
            Hand::ReadingBold      => ("reading-bold", BLACK, 3.25, true),
            Hand::StepName         => ("step-name", BLACK, 5.4, true),
        };
        Letters { id, tone, size, bold }
    }

    /// The class in a page and in an SVG.
    pub fn name(self) -> &'static str {
        self.look().id
    }

    /// Font size in millimetres.
    pub fn size(self) -> f64 {
        self.look().size
    }

    /// Whether the letters are bold.
    pub fn bold(self) -> bool {
        self.look().bold
    }

    pub(crate) fn ink(self) -> Ink {
        self.look().tone.0
    }
}

/// Whose colours a style sheet has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colours {
    /// Those of paper, the same in any light.
    Fixed,
    /// The page's own by name, which change with the light.
    OfPage,
}

/// A style sheet for what is drawn in some drawings.
pub fn css<'a>(drawings: impl IntoIterator<Item = &'a Drawing>, colours: Colours) -> String {
    let (mut pens, mut fills, mut hands) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for shape in drawings.into_iter().flat_map(Drawing::shapes) {
        match shape {
            Shape::Stroke(_, pen) => pens.insert(*pen),
            Shape::Fill(_, fill) => fills.insert(*fill),
            Shape::Text(text) => hands.insert(text.hand),
        };
    }
    let colour = |tone: Tone| match colours {
        Colours::Fixed => tone.0.css(),
        Colours::OfPage => format!("var(--{})", tone.1),
    };
    let mut css = String::from("\n");
    for Line {
        id,
        tone,
        width,
        dashes,
        ..
    } in pens.into_iter().map(Pen::look)
    {
        let (tone, width) = (colour(tone), number::short(width, 2));
        let cap = if dashes.is_empty() { "round" } else { "butt" };
        css.push_str(&format!(
            ".{id}{{fill:none;stroke:{tone};stroke-width:{width};stroke-linecap:{cap};stroke-linejoin:round"
        ));
        if !dashes.is_empty() {
            let dashes: Vec<String> = dashes.iter().map(|dash| number::short(*dash, 2)).collect();
            css.push_str(&format!(";stroke-dasharray:{}", dashes.join(" ")));
        }
        css.push_str("}\n");
    }
    for (id, tone) in fills.into_iter().map(Fill::look) {
        css.push_str(&format!(".{id}{{fill:{};stroke:none}}\n", colour(tone)));
    }
    for Letters {
        id,
        tone,
        size,
        bold,
    } in hands.into_iter().map(Hand::look)
    {
        let (tone, size) = (colour(tone), number::short(size, 2));
        let weight = if bold { "bold" } else { "normal" };
        css.push_str(&format!(
            ".{id}{{fill:{tone};font-size:{size}px;font-weight:{weight}}}\n"
        ));
    }
    css
}
