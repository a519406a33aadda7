//! Two drawings of a draft held against each other: what its author changed, what followed in the pattern, what stayed.
//! Names pair first, then equal formulas and equal shapes, so that a rename is told as one. Reads two outcomes and gives
//! a [`Comparison`]; what it says in words, figures and drawings is made from that alone.

pub mod card;
mod corners;
mod figures;
mod fit;
mod frame;
mod inside;
mod lies;
mod names;
mod notches;
pub mod overlay;
pub mod page;
mod piece_change;
mod pieces;
pub mod report;
mod report_pieces;
mod seams;
mod sentences;
pub mod text;
mod undrawn;
mod unmoved;
mod verdict;
pub mod words;

pub use piece_change::{
    EdgeChange, Inside, InsideChange, InsideEdit, Laid, Lies, NewPiece, NotchChange, Off,
    PieceChange, Verdict, Way,
};

use oaktag_language::draft::Outcome;
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::LengthUnit;
use oaktag_output::number::{MM_DECIMALS, rounded};
use serde::Serialize;

/// What lies nearer than this, in millimetres, has not moved: half of the last figure that is printed.
pub const SAME: f64 = 0.05;

/// One side of a comparison.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// What to call it: a file, or a revision and a file.
    pub label: &'a str,
    /// The texts; none where the draft is not there on this side.
    pub project: &'a Project,
    /// What was drawn of it, for the one body.
    pub outcome: &'a Outcome,
}

/// A figure before and after. Each is rounded as the JSON of a drawing is, and the difference is of the rounded figures,
/// so that it equals the difference of two such files.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The figure before, rounded.
    pub old: f64,
    /// The figure after, rounded.
    pub new: f64,
    /// How much more it is now than before; in its own unit.
    pub by: f64,
}

impl Change {
    /// Of two figures with so many decimals.
    pub fn of(old: f64, new: f64, decimals: usize) -> Self {
        let (old, new) = (rounded(old, decimals), rounded(new, decimals));
        Self {
            old,
            new,
            by: rounded(new - old, decimals),
        }
    }

    /// Of two lengths in millimetres.
    pub fn mm(old: f64, new: f64) -> Self {
        Self::of(old, new, MM_DECIMALS)
    }

    /// Whether the difference is more than what counts as none.
    pub(crate) fn is_change(&self) -> bool {
        self.by.abs() > SAME
    }
}

/// How a sentence of the author's came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edit {
    /// Says something else under the same name.
    Changed,
    /// Says the same under another name.
    Renamed,
    /// Says the same in another place.
    Moved,
    /// Stands on the new side alone.
    Added,
    /// Stood on the old side alone.
    TakenOut,
}

/// A sentence that the author wrote, altered or took out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SentenceChange {
    /// What happened to it.
    pub edit: Edit,
    /// The file, as the new side knows it (the old side's where it is gone).
    pub file: String,
    /// Panel and step it stands in.
    pub place: String,
    /// Its line before, from 1.
    pub old_line: Option<usize>,
    /// Its line now, from 1.
    pub new_line: Option<usize>,
    /// As it was written; none where it was not there.
    pub old: Option<String>,
    /// As it is written; none where it is gone.
    pub new: Option<String>,
}

/// A measure, choice or named figure that has another value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ValueChange {
    /// Full name on the new side.
    pub name: String,
    /// `length`, `angle`, `area`, `number`, `text` or `answer`.
    pub kind: &'static str,
    /// The figures, where it is one: millimetres, degrees (clockwise positive), square millimetres or a number.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub figures: Option<Change>,
    /// Before, as printed for people.
    pub was: String,
    /// After, as printed for people.
    pub is: String,
    /// A measure of the body.
    pub of_body: bool,
    /// Worked out by the draft on both sides, so that it followed.
    pub worked_out: bool,
}

/// What one name became.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Rename {
    /// `piece`, `panel`, `measure`, `seam`, or a value's kind.
    pub kind: &'static str,
    /// As it was called.
    pub old: String,
    /// As it is called now.
    pub new: String,
}

/// A named point that lies elsewhere in its piece, or on the sheet where its panel has none.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PointMove {
    /// Full name on the new side.
    pub name: String,
    /// To the right (negative: left) in millimetres.
    pub right_mm: f64,
    /// Up (negative: down) in millimetres.
    pub up_mm: f64,
    /// How far in all, in millimetres.
    pub distance_mm: f64,
    /// It is a corner of a piece.
    pub on_outline: bool,
}

/// A panel whose points all moved alike: nothing on it changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PanelMove {
    /// The panel, with the import's name before it.
    pub panel: String,
    /// To the right in millimetres.
    pub right_mm: f64,
    /// How far it moved up the sheet, in millimetres.
    pub up_mm: f64,
    /// How many of its points moved so.
    pub points: usize,
}

/// What was said and is not any more, and what is said now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SaidChange {
    /// What was said before, a sentence each.
    pub was: Vec<String>,
    /// What is said now, a sentence each.
    pub is: Vec<String>,
}

/// A seam before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeamChange {
    /// Its name on the new side.
    pub name: String,
    /// Its name before, where it had another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was_named: Option<String>,
    /// Only the new side sews it.
    pub added: bool,
    /// Only the old side sewed it.
    pub gone: bool,
    /// Length of the first side, where on both sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_mm: Option<Change>,
    /// Length of the second side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_mm: Option<Change>,
    /// How much longer the first side is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ease_mm: Option<Change>,
    /// What may pass before and after, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tolerance_mm: Option<Change>,
    /// How it is sewn before and after, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sewn: Option<(Option<String>, Option<String>)>,
    /// What is said of its sections, ease, darts and openings, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub said: Option<SaidChange>,
    /// Whether it fitted before.
    pub was_ok: bool,
    /// Whether it fits now.
    pub is_ok: bool,
}

/// A check before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckChange {
    /// The author's words on the new side.
    pub text: String,
    /// What was measured before, as printed; none where it is new.
    pub was: Option<String>,
    /// What is measured now; none where it is gone.
    pub is: Option<String>,
    /// Whether it held before; none where it was not there.
    pub was_ok: Option<bool>,
    /// Whether it holds now; none where it is gone.
    pub is_ok: Option<bool>,
    /// Where it did not stand in the finished draft: what was drawn anew, and where.
    pub was_overtaken: Option<String>,
    /// The same of the new side.
    pub is_overtaken: Option<String>,
}

/// What is the same on both sides.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Stayed {
    /// Measures and choices with one value on both sides.
    pub measures: usize,
    /// Named points in one place on both sides.
    pub points: usize,
    /// Named lines and curves.
    pub lines: usize,
    /// Named figures that come out alike.
    pub figures: usize,
    /// Names of the seams that are as they were.
    pub seams: Vec<String>,
    /// Checks that found the same.
    pub checks: usize,
}

/// Everything that two sides differ in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// What the old side is called.
    pub old: String,
    /// What the new side is called.
    pub new: String,
    /// The draft's title on the new side.
    pub title: String,
    /// The unit in which its figures are printed for people.
    pub unit: &'static str,
    #[serde(skip)]
    print: LengthUnit,
    /// Messages of a side that could not be drawn whole.
    pub troubles: Vec<String>,
    /// Messages of what is drawn and does not hold: seams, checks, allowances.
    pub faults: Vec<String>,
    /// Measures and choices that were given another value.
    pub values: Vec<ValueChange>,
    /// What the author wrote otherwise, file by file.
    pub sentences: Vec<SentenceChange>,
    /// What has another name and is otherwise the same.
    pub renamed: Vec<Rename>,
    /// Measures that the draft works out, and came out otherwise.
    pub worked_out: Vec<ValueChange>,
    /// Pieces, in the order of the new side, then those that are gone.
    pub pieces: Vec<PieceChange>,
    /// Named points that lie elsewhere on their sheet.
    pub points: Vec<PointMove>,
    /// Panels that moved as a whole.
    pub panels: Vec<PanelMove>,
    /// Named figures of the drawing that changed.
    pub figures: Vec<ValueChange>,
    /// Full names on the new side alone.
    pub names_added: Vec<String>,
    /// Full names on the old side alone.
    pub names_gone: Vec<String>,
    /// Seams that came, went, or are walked otherwise.
    pub seams: Vec<SeamChange>,
    /// In which order the seams are made up before and after, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<(Vec<String>, Vec<String>)>,
    /// Checks that came, went, or found something else.
    pub checks: Vec<CheckChange>,
    /// What has to be known before cutting now, and had not before.
    pub cautions_added: Vec<String>,
    /// What had to be known before cutting, and has not now.
    pub cautions_gone: Vec<String>,
    /// How much is the same.
    pub stayed: Stayed,
    /// Pieces of the new side that are declared and cannot be drawn, by their labels.
    pub not_drawn: Vec<String>,
    /// The new side is drawn whole.
    pub is_whole: bool,
}

impl Comparison {
    /// Whether both sides say and draw the same.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty() && self.sentences.is_empty() && self.is_same_pattern()
    }

    /// Whether the pattern is the same, whatever its text says.
    pub fn is_same_pattern(&self) -> bool {
        self.renamed.is_empty()
            && self.worked_out.is_empty()
            && self
                .pieces
                .iter()
                .all(|piece| piece.verdict == Verdict::Keep)
            && self.points.is_empty()
            && self.panels.is_empty()
            && self.figures.is_empty()
            && self.names_added.is_empty()
            && self.names_gone.is_empty()
            && self.seams.is_empty()
            && self.order.is_none()
            && self.checks.is_empty()
            && self.cautions_added.is_empty()
            && self.cautions_gone.is_empty()
            && self.troubles.is_empty()
            && self.faults.is_empty()
    }

    /// In which unit its figures are printed.
    pub(crate) fn print_unit(&self) -> LengthUnit {
        self.print
    }

    /// Labels of the pieces with that verdict.
    pub fn labels(&self, verdict: Verdict) -> Vec<&str> {
        let of = |piece: &&PieceChange| piece.verdict == verdict;
        self.pieces
            .iter()
            .filter(of)
            .map(|piece| piece.label.as_str())
            .collect()
    }
}

/// How two sides are laid over each other.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Points, by full name on the new side, that are held still; each aligns its own panel.
    pub align: Vec<String>,
}

/// Why a point cannot be held still.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSuchPoint(pub String);

/// Compares two sides.
///
/// # Errors
/// Where a point to align on is not on both sides.
pub fn compare(old: Side<'_>, new: Side<'_>, options: &Options) -> Result<Comparison, NoSuchPoint> {
    let sentences = sentences::changes(old, new);
    let names = names::pair(old, new);
    let held = figures::held(&names, &options.align)?;
    let not_drawn = undrawn::labels(new);
    let pieces = pieces::compare(&names, old, new, &held);
    let frames = figures::Frames::of(held, &pieces.changes, &new.outcome.pattern);
    let seams = seams::compare(&names, old, new, &pieces.changes);
    let values = figures::measures(&names, old, new);
    let (worked_out, values): (Vec<_>, Vec<_>) = values.into_iter().partition(|v| v.worked_out);
    let (points, panels) = figures::points(&names, new, &frames);
    let (figures, same_figures) = figures::figures(&names, old, new);
    let (checks, same_checks) = figures::checks(old, new);
    let (cautions_added, cautions_gone) = figures::cautions(old, new);
    let mut renamed = names.renames.clone();
    renamed.extend(pieces.renames);
    renamed.extend(seams.renames);
    let sentences = figures::without_values(sentences, &values);
    let sentences = sentences::with_renames(sentences, &renamed);
    let stayed = Stayed {
        measures: names.measures.len() - values.len() - worked_out.len(),
        points: figures::points_that_stayed(&names, &frames),
        lines: figures::lines_that_stayed(&names, &frames),
        figures: same_figures,
        seams: seams.stayed,
        checks: same_checks,
    };
    Ok(Comparison {
        old: old.label.to_owned(),
        new: new.label.to_owned(),
        title: new.outcome.pattern.title.clone(),
        unit: new.outcome.pattern.unit.name(),
        print: new.outcome.pattern.unit,
        troubles: figures::troubles(old, new, false),
        faults: figures::troubles(old, new, true),
        values,
        sentences,
        renamed,
        worked_out,
        pieces: pieces.changes,
        points,
        panels,
        figures,
        names_added: names.added,
        names_gone: names.gone,
        seams: seams.changes,
        order: order(old, new),
        checks,
        cautions_added,
        cautions_gone,
        stayed,
        not_drawn: not_drawn.into_iter().map(|one| one.label).collect(),
        is_whole: new.outcome.is_whole(),
    })
}

/// The order of making up on both sides, each with its own names, where it is another.
fn order(old: Side<'_>, new: Side<'_>) -> Option<(Vec<String>, Vec<String>)> {
    let (was, is) = (&old.outcome.pattern.order, &new.outcome.pattern.order);
    (was != is).then(|| (was.clone(), is.clone()))
}
