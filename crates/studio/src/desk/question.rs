//! A question as it comes in.

use crate::hands::{Fineness, Thing};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What a page asks about a draft.
#[derive(Debug, Deserialize)]
pub struct Question {
    /// The draft's path below the root, with `/`: what messages call it.
    pub name: String,
    /// The draft as the page holds it.
    #[serde(default)]
    pub text: String,
    /// `NAME=VALUE`, as on a command line.
    #[serde(default)]
    pub values: Vec<String>,
    /// The body that it is drawn for; without one, the draft's own.
    #[serde(default)]
    pub body: Option<BodyAsked>,
    /// Texts that the draft may import, by their paths below the root, where the page has them.
    #[serde(default)]
    pub files: BTreeMap<String, String>,
    /// While something is wrong, what can be drawn in forms too that one cuts or counts from.
    #[serde(default)]
    pub unfinished: bool,
    /// What is asked.
    #[serde(flatten)]
    pub asked: Asked,
}

/// A body out of a table.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct BodyAsked {
    /// What messages call the table.
    pub table: String,
    /// The table, CSV.
    pub text: String,
    /// Which of its bodies.
    pub name: String,
}

/// What is asked, by `form`. Places are code units of the text.
#[derive(Debug, Deserialize)]
#[serde(tag = "form", rename_all = "lowercase")]
pub enum Asked {
    /// All that a page shows but the picture: [`View`](crate::session::view::View).
    View,
    /// The picture of the whole, as JSON: `mark`, and either the SVG, `whole`, or `puts`, what is put into the picture that the
    /// page has: from which of its parts on, how many are taken out, and which parts stand there instead. A part is a line of the
    /// file; of a text, all its lines. The root alone of the frame round lines and texts may be among what is put in. Nothing, where nothing
    /// is drawn.
    Picture {
        /// The mark of the picture that the page has.
        #[serde(default)]
        has: Option<String>,
    },
    /// What is wrong, as `check --format json` writes it, always behind [`WRONG`](super::WRONG).
    Messages,
    /// The pattern at true size, or these pieces of it.
    Svg {
        /// None says all.
        #[serde(default)]
        pieces: Vec<String>,
    },
    /// To print, on this sheet.
    Pdf {
        /// As `--sheet` takes it.
        #[serde(default)]
        sheet: Option<String>,
    },
    /// A preview.
    Png {
        /// Dots per inch.
        #[serde(default)]
        resolution: Option<f64>,
    },
    /// For a cutting room.
    Dxf,
    /// All figures.
    Json,
    /// The cutting ticket.
    Txt,
    /// What is cut.
    Csv,
    /// The walk of a seam, SVG.
    Walk {
        /// Its name in the draft.
        seam: String,
    },
    /// The draft as a lesson, a page of its own.
    Lesson,
    /// The drawing as it stands after a step of the draft, SVG.
    After {
        /// From 1.
        step: usize,
    },
    /// What changed since an older text: in words, and laid over each other as SVG.
    Compare {
        /// The older text.
        with: String,
    },
    /// The names of the bodies in a table.
    Bodies {
        /// What messages call it.
        table: String,
        /// The table, CSV.
        csv: String,
    },
    /// What may stand at a place.
    Complete {
        /// Where.
        at: usize,
    },
    /// What stands at a place.
    Hover {
        /// Where.
        at: usize,
    },
    /// Why a thing of the drawing is where it is.
    Why {
        /// Its full name.
        thing: String,
    },
    /// Where what is named at a place is drawn.
    Define {
        /// Where it is named.
        at: usize,
    },
    /// Everywhere that it is drawn or read.
    Mentions {
        /// Where it is named.
        at: usize,
    },
    /// What another name for it would change.
    Rename {
        /// Where it is named.
        at: usize,
        /// The other name.
        to: String,
    },
    /// What could move a thing of the drawing.
    Hold {
        /// The thing.
        #[serde(flatten)]
        shown: Shown,
        /// So many figures are looked for at most.
        #[serde(default = "several")]
        most: usize,
    },
    /// Where a figure can bring it, and the drawing there.
    Drag(DragAsked),
    /// The sentence that draws something where a hand sets it.
    Add(AddAsked),
    /// The text in the one layout.
    Tidy,
    /// What the parts of the text are.
    Colours,
    /// Figures beside the text.
    Figures,
    /// Blocks that can be folded away.
    Folds,
}

/// A thing as a page shows it.
#[derive(Debug, Deserialize)]
pub struct Shown {
    /// The piece that it is shown on, or the panel.
    pub piece: String,
    /// What it is.
    #[serde(default)]
    pub sort: Sort,
    /// Its full name in the draft; of a mark, its name on the piece.
    #[serde(default)]
    pub called: String,
    /// Where it was taken, in millimetres of the sheet to the right and down.
    #[serde(default)]
    pub at: Option<(f64, f64)>,
}

/// What a thing is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sort {
    /// A point or a line.
    #[default]
    Named,
    /// A notch of the piece, the one nearest to the place.
    Notch,
    /// A mark of the piece.
    Mark,
    /// The handle of a curve where it begins.
    Start,
    /// The handle where it ends.
    End,
}

/// A drag as it is asked about.
#[derive(Debug, Deserialize)]
pub struct DragAsked {
    /// The thing, as the answer to [`Asked::Hold`] names it.
    pub thing: Thing,
    /// The piece that it is shown on.
    pub piece: String,
    /// It was taken on the half that is mirrored.
    #[serde(default)]
    pub mirrored: bool,
    /// Which of its movers, from 0.
    pub mover: usize,
    /// To where, in millimetres of the sheet to the right and down.
    pub to: (f64, f64),
    /// How finely.
    #[serde(default)]
    pub fineness: Fineness,
    /// The mark of the picture that the page has.
    #[serde(default)]
    pub has: Option<String>,
    /// With messages, seams and checks.
    #[serde(default)]
    pub beside: bool,
}

/// What is added by hand.
#[derive(Debug, Deserialize)]
pub struct AddAsked {
    /// What.
    pub what: What,
    /// The piece, or the panel, that it is set on.
    pub piece: String,
    /// Where, in millimetres of the sheet to the right and down.
    #[serde(default)]
    pub at: Option<(f64, f64)>,
    /// What lies nearer than this, in millimetres, is meant.
    #[serde(default)]
    pub near: Option<f64>,
    /// The points between which a line goes, by their full names.
    #[serde(default)]
    pub ends: Option<[String; 2]>,
    /// What it is to be called.
    #[serde(default)]
    pub called: Option<String>,
}

/// What can be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// A point.
    Point,
    /// A straight line.
    Line,
    /// A curve.
    Curve,
    /// A notch.
    Notch,
}

/// More figures than these nobody chooses among.
fn several() -> usize {
    8
}
