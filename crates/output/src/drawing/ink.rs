//! Pens, inks and hands: what each kind of line and text looks like, said once for every writer.
//!
//! Lines are told apart by weight and dash first and by colour last, so that a black-and-white print, a photocopy and a
//! colour-blind reader lose nothing. Three inks: black for what is cut and sewn, a slate blue for construction, a brick
//! red for what must not be overlooked.

/// A colour as red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

/// Warm black.
pub(crate) const BLACK: Ink = Ink(0x1d, 0x1c, 0x1a);
/// Grey for the second voice.
pub(crate) const GREY: Ink = Ink(0x6b, 0x69, 0x64);
/// Pale grey, under everything.
pub(crate) const PALE: Ink = Ink(0xa8, 0xa6, 0xa0);
/// Slate blue, for construction.
pub(crate) const SLATE: Ink = Ink(0x5d, 0x78, 0x93);
/// Brick red, for cautions.
pub(crate) const BRICK: Ink = Ink(0xa3, 0x3a, 0x2a);
/// The sheet.
pub const SHEET: Ink = Ink(0xf7, 0xf5, 0xf0);
/// A piece.
pub const PIECE: Ink = Ink(0xff, 0xff, 0xff);

/// What a line means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
    /// Grain arrow.
    Grain,
    /// Notch.
    Notch,
    /// The way of a notch from the sewing line to the cut edge.
    NotchGuide,
    /// An edge that is eased in.
    Held,
    /// Something to copy onto the cloth.
    Mark,
    /// A line that must lie on its like on the next piece: a stripe, a balance line.
    Match,
    /// From a name to what it names.
    Leader,
    /// Frame and rules of the sheet.
    Frame,
    /// The test square.
    Square,
    /// Frame of a caution.
    Caution,
    /// Where sheets of paper are joined.
    Join,
    /// A size of a nest beside its base, by its number below [`Pen::NESTED_STYLES`].
    Nested(u8),
    /// A line of a plate, as its page describes it.
    Plate(PlateLine),
}

/// A kind of line on plates: the same in a page and on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlateLine {
    /// Its class in a page.
    pub class: &'static str,
    /// Its colour.
    pub tone: Tone,
    /// Its width in hundredths of a millimetre.
    pub hundredths: u16,
    /// How it is broken.
    pub broken: Broken,
}

/// How a line of a plate is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Broken {
    /// Not at all.
    No,
    /// Into points, for small figures.
    Fine,
    /// Into dashes, for true size.
    Long,
}

/// A colour that a page names, since it changes with the light, and paper fixes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Letters and lines of what is.
    Ink,
    /// What is new.
    New,
    /// What was there before.
    Old,
    /// What is used.
    Slate,
    /// A surface that stands out.
    Mark,
}

impl Tone {
    /// As a page's style names it, with the colour of paper for want of one.
    pub fn css(self) -> &'static str {
        match self {
            Tone::Ink => "var(--ink,#1d1c1a)",
            Tone::New => "var(--new,#a33a2a)",
            Tone::Old => "var(--old,#6b6964)",
            Tone::Slate => "var(--slate,#3f5d7a)",
            Tone::Mark => "var(--mark,#fdf1d8)",
        }
    }

    /// On paper.
    pub fn ink(self) -> Ink {
        match self {
            Tone::Ink => BLACK,
            Tone::New => BRICK,
            Tone::Old => GREY,
            Tone::Slate => Ink(0x3f, 0x5d, 0x7a),
            Tone::Mark => Ink(0xfd, 0xf1, 0xd8),
        }
    }
}

impl Broken {
    /// Dash and gap in millimetres, in turn.
    pub fn dashes(self) -> &'static [f64] {
        match self {
            Broken::No => &[],
            Broken::Fine => &[1.6, 1.4],
            Broken::Long => &[5.0, 3.0],
        }
    }
}

/// What tells the sizes of a nest apart: a name, and dashes and gaps in millimetres, no two alike to the eye.
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

impl Pen {
    /// How many lines of a nest there are beside the base's.
    pub const NESTED_STYLES: u8 = 8;

    fn nested(number: u8) -> (&'static str, &'static [f64]) {
        let known = NESTED.get(usize::from(number));
        known.copied().unwrap_or(("nested-3", &[]))
    }

    /// Every pen that a drawing usually has; those of joins, nests and lines to match are for those that have them.
    pub const ALL: [Pen; 15] = [
        Pen::Cut,
        Pen::Sew,
        Pen::FoldEdge,
        Pen::Fold,
        Pen::Draft,
        Pen::Construction,
        Pen::Grain,
        Pen::Notch,
        Pen::NotchGuide,
        Pen::Held,
        Pen::Mark,
        Pen::Leader,
        Pen::Frame,
        Pen::Square,
        Pen::Caution,
    ];

    /// A short fixed name: the class in an SVG.
    pub fn name(self) -> &'static str {
        match self {
            Pen::Cut => "cut",
            Pen::Sew => "sew",
            Pen::FoldEdge => "fold-edge",
            Pen::Fold => "fold",
            Pen::Draft => "draft",
            Pen::Construction => "construction",
            Pen::Grain => "grain",
            Pen::Notch => "notch",
            Pen::NotchGuide => "notch-guide",
            Pen::Held => "held",
            Pen::Mark => "mark",
            Pen::Match => "match",
            Pen::Leader => "leader",
            Pen::Frame => "frame",
            Pen::Square => "square",
            Pen::Caution => "caution-frame",
            Pen::Join => "join",
            Pen::Nested(number) => Self::nested(number).0,
            Pen::Plate(line) => line.class,
        }
    }

    /// How broad its line is on paper, in millimetres.
    pub fn width(self) -> f64 {
        match self {
            Pen::Cut => 0.7,
            Pen::FoldEdge => 0.6,
            Pen::Notch => 0.6,
            Pen::Square | Pen::Caution => 0.5,
            Pen::Sew | Pen::Grain | Pen::Mark | Pen::Fold | Pen::Draft => 0.4,
            Pen::Nested(_) => 0.35,
            Pen::Match | Pen::Held => 0.3,
            Pen::Plate(line) => f64::from(line.hundredths) / 100.0,
            Pen::Frame => 0.25,
            Pen::Construction | Pen::NotchGuide | Pen::Leader | Pen::Join => 0.2,
        }
    }

    /// Dash and gap in millimetres, in turn; empty for an unbroken line.
    pub fn dashes(self) -> &'static [f64] {
        match self {
            Pen::Sew => &[6.0, 2.0],
            Pen::FoldEdge | Pen::Fold => &[9.0, 2.0, 1.2, 2.0],
            Pen::Match => &[12.0, 1.5, 1.2, 1.5, 1.2, 1.5],
            Pen::NotchGuide => &[0.8, 0.8],
            Pen::Held => &[2.0, 1.5],
            Pen::Join => &[3.0, 3.0],
            Pen::Nested(number) => Self::nested(number).1,
            Pen::Plate(line) => line.broken.dashes(),
            Pen::Cut
            | Pen::Draft
            | Pen::Construction
            | Pen::Grain
            | Pen::Notch
            | Pen::Mark
            | Pen::Leader
            | Pen::Frame
            | Pen::Square
            | Pen::Caution => &[],
        }
    }

    /// The colour that it is drawn in.
    pub fn ink(self) -> Ink {
        match self {
            Pen::Construction => SLATE,
            Pen::Caution => BRICK,
            Pen::Plate(line) => line.tone.ink(),
            Pen::Leader | Pen::Frame | Pen::NotchGuide | Pen::Join => GREY,
            Pen::Cut
            | Pen::Sew
            | Pen::FoldEdge
            | Pen::Fold
            | Pen::Draft
            | Pen::Grain
            | Pen::Notch
            | Pen::Held
            | Pen::Mark
            | Pen::Match
            | Pen::Nested(_)
            | Pen::Square => BLACK,
        }
    }
}

/// What a text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// The draft's title.
    Title,
    /// A piece's name.
    PieceName,
    /// What the cutter must know of a piece.
    PieceText,
    /// The same on a small piece.
    PieceSmall,
    /// An edge and its length.
    EdgeName,
    /// A point of the outline.
    PointName,
    /// A point or line of the construction.
    ConstructionName,
    /// Something that must not be overlooked.
    Caution,
    /// Words of the title block.
    Sheet,
    /// A heading of the title block.
    Heading,
    /// The name of a tile.
    TileName,
    /// What stands at the foot of a page.
    Foot,
    /// The name of a small piece on a lay.
    LayName,
    /// The name of something new in a figure.
    Fresh,
    /// Words of a booklet.
    Reading,
    /// The same, to be noticed.
    ReadingBold,
    /// The heading of a step.
    StepName,
}

impl Hand {
    /// Every hand of a drawing; those of tiles are for documents of several pages.
    pub const ALL: [Hand; 10] = [
        Hand::Title,
        Hand::PieceName,
        Hand::PieceText,
        Hand::PieceSmall,
        Hand::EdgeName,
        Hand::PointName,
        Hand::ConstructionName,
        Hand::Caution,
        Hand::Sheet,
        Hand::Heading,
    ];

    /// Those that few drawings have.
    pub const OTHERS: [Hand; 3] = [Hand::TileName, Hand::Foot, Hand::LayName];

    /// A short fixed name: the class in an SVG.
    pub fn name(self) -> &'static str {
        match self {
            Hand::Title => "title",
            Hand::PieceName => "piece-name",
            Hand::PieceText => "piece-text",
            Hand::PieceSmall => "piece-small",
            Hand::EdgeName => "edge-name",
            Hand::PointName => "point-name",
            Hand::ConstructionName => "construction-name",
            Hand::Caution => "caution",
            Hand::Sheet => "sheet-text",
            Hand::Heading => "heading",
            Hand::TileName => "tile-name",
            Hand::Foot => "foot",
            Hand::LayName => "lay-name",
            Hand::Fresh => "fresh",
            Hand::Reading => "reading",
            Hand::ReadingBold => "reading-bold",
            Hand::StepName => "step-name",
        }
    }

    /// Font size in millimetres. At arm's length (600 mm) 3.5 mm is about a third of a degree, as book type is in the hand.
    pub fn size(self) -> f64 {
        match self {
            Hand::Title => 12.0,
            Hand::PieceName => 9.0,
            Hand::PieceText => 5.0,
            Hand::PieceSmall => 3.6,
            Hand::EdgeName => 4.2,
            Hand::PointName => 3.8,
            Hand::ConstructionName => 3.5,
            Hand::Caution => 5.0,
            Hand::Sheet => 4.2,
            Hand::Heading => 4.2,
            Hand::TileName => 12.0,
            Hand::Foot => 3.2,
            Hand::LayName => 2.2,
            Hand::Fresh => 3.8,
            Hand::Reading | Hand::ReadingBold => 3.5,
            Hand::StepName => 5.4,
        }
    }

    /// Whether the letters are bold.
    pub fn bold(self) -> bool {
        matches!(
            self,
            Hand::Title
                | Hand::PieceName
                | Hand::Caution
                | Hand::Heading
                | Hand::TileName
                | Hand::ReadingBold
                | Hand::StepName
        )
    }

    /// The colour that it is drawn in.
    pub fn ink(self) -> Ink {
        match self {
            Hand::ConstructionName => SLATE,
            Hand::Caution | Hand::Fresh => BRICK,
            Hand::PointName | Hand::Foot | Hand::LayName => GREY,
            Hand::TileName => PALE,
            Hand::Title
            | Hand::PieceName
            | Hand::PieceText
            | Hand::PieceSmall
            | Hand::EdgeName
            | Hand::Sheet
            | Hand::Heading
            | Hand::Reading
            | Hand::ReadingBold
            | Hand::StepName => BLACK,
        }
    }
}
