//! The tables of a sheet: what is cut, which seams were walked, the measures and choices used. The
//! title block sets them side by side; a document of several pages sets them on a page of their own.

use super::canvas::{Canvas, Of};
use super::labels::size_of;
use super::style::Hand;
use super::{Anchor, Layer, Text, text};
use kurbo::{Point, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::cut_list::Laid;
use oaktag_language::pattern::said;
use oaktag_language::pattern::spec::{MeasureUsed, Value};
use oaktag_language::pattern::spec_sheet::SEAM_RULE;
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// Height of a row.
pub(super) const ROW: f64 = 6.4;

/// How a table is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    /// Height of a row, in millimetres.
    pub(super) row: f64,
    pub(super) hand: Hand,
}

impl Look {
    /// As reads best.
    pub(super) const LOOSE: Self = Self {
        row: ROW,
        hand: Hand::Sheet,
    };
    /// Where a page is saved by it, the larger letters first.
    pub(super) const TIGHT: [Self; 2] = [
        Self {
            row: 4.5,
            hand: Hand::Foot,
        },
        Self {
            row: 3.6,
            hand: Hand::FootSmall,
        },
    ];
}

/// Words about the safety of those who cut and wear; usual cautions of the trade, from memory.
pub(crate) const CARE: &str = "Nothing here has been sewn: make a toile first. Close a rotary cutter when you put it down, and cut \
    away from yourself. Children's wear and nightwear have rules of their own for cords, small parts and burning: the \
    law where it is sold or worn decides.";
/// Draws the cautions for those who cut and wear, no wider than `most`.
pub(super) fn care(canvas: &mut Canvas, corner: Point, most: f64) {
    let hand = Hand::Foot;
    for (row, line) in text::wrapped(CARE, hand.size(), hand.bold(), most)
        .iter()
        .enumerate()
    {
        let at = corner + Vec2::new(0.0, hand.size() * 1.35 * row as f64);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(line, at, Anchor::Start, hand),
        );
    }
}

/// A column of the block: its heading and rows of a name and a figure.
pub(super) struct Column {
    pub(super) heading: String,
    pub(super) rows: Vec<(String, String)>,
}

/// What a pattern has to tell, in columns of at most `most` rows.
pub(super) fn columns(pattern: &Pattern, most: usize) -> Vec<Column> {
    let mut columns = Vec::new();
    for cuts in pattern.cut_list() {
        let rows = cuts.pieces.iter().map(|piece| {
            let name = format!("{} {}", piece.number.0, piece.label);
            let count = match (piece.cut.count, piece.left_and_right(), piece.laid()) {
                (0, ..) => "–".to_owned(),
                (count, Some([left, right]), _) => format!("{count} ({left} L, {right} R)"),
                (2, None, Laid::Paired) => "2 (a pair)".to_owned(),
                (count, None, Laid::Paired) => format!("{count} (pairs)"),
                (count, None, laid) => format!("{count} {}", laid.word()),
            };
            (name, count)
        });
        columns.extend(split(&cuts.heading(), rows.collect(), most));
    }
    let steps = pattern.making_up().into_iter().flat_map(|step| {
        let name = format!("{} {}", step.number, step.seam);
        // A width for each side has a row of its own.
        let rows = if step.how.len() > 2 {
            step.how
        } else {
            vec![step.how()]
        };
        let names = std::iter::once(name).chain(std::iter::repeat(String::new()));
        names.zip(rows).collect::<Vec<_>>()
    });
    columns.extend(split("Making up, in this order", steps.collect(), most));
    let seams = pattern.seams.iter().map(|seam| {
        let (first, second) = (seam.first.length, seam.second.length);
        let unit = pattern.unit;
        let verdict = if seam.ok { "" } else { "  ✗" };
        let figures = format!("{} : {}{verdict}", unit.bare(first), unit.bare(second));
        (voice::letters(&seam.name), figures)
    });
    columns.extend(split("Seams walked", seams.collect(), most));
    let finished = pattern.spec_sheet();
    let seamless = finished.iter().filter(|line| line.rule != SEAM_RULE);
    let finished = seamless.map(|line| {
        let unit = pattern.unit;
        let figures = format!("{} ± {}", unit.bare(line.mm), unit.bare(line.tolerance));
        (line.name.clone(), figures)
    });
    columns.extend(split("Finished", finished.collect(), most));
    let measured = |of_body: bool| {
        let rows = pattern
            .measures
            .iter()
            .filter(move |one| one.of_body == of_body);
        rows.map(|one| (voice::letters(&one.name), value(one, pattern.unit)))
            .collect()
    };
    let mut body: Vec<(String, String)> = measured(true);
    let marked = |mark: fn(&MeasureUsed) -> bool| pattern.measures.iter().any(mark);
    if marked(|one| one.worked_out) {
        body.push(("* worked out".to_owned(), String::new()));
    }
    if marked(|one| one.example) {
        body.push(("† the library's example".to_owned(), String::new()));
    }
    columns.extend(split("Drawn for", body, most));
    columns.extend(split("Choices", measured(false), most));
    columns
}

fn value(measure: &MeasureUsed, unit: LengthUnit) -> String {
    let text = match &measure.value {
        Value::Length(mm) => unit.bare(*mm),
        other => said::value(other, unit),
    };
    match (measure.worked_out, measure.example) {
        (true, _) => format!("{text} *"),
        (_, true) => format!("{text} †"),
        _ => text,
    }
}

fn split(heading: &str, rows: Vec<(String, String)>, most: usize) -> Vec<Column> {
    let chunks = rows.chunks(most.max(1)).enumerate();
    let column = |(index, rows): (usize, &[(String, String)])| Column {
        heading: if index == 0 { heading } else { "" }.to_owned(),
        rows: rows.to_vec(),
    };
    chunks.map(column).collect()
}

fn name_width(column: &Column, hand: Hand) -> f64 {
    let widest = column.rows.iter().map(|(name, _)| size_of(name, hand).0);
    widest.fold(0.0, f64::max).min(90.0)
}

fn figure_width(column: &Column, hand: Hand) -> f64 {
    let widest = column
        .rows
        .iter()
        .map(|(_, figure)| size_of(figure, hand).0);
    widest.fold(0.0, f64::max).min(70.0)
}

/// Headings are cut at this width.
const WIDEST_HEADING: f64 = 100.0;

/// Width of a column.
pub(super) fn column_width(column: &Column, look: Look) -> f64 {
    let (heading, hand) = fitted_heading(column, f64::INFINITY, look);
    let heading = size_of(&heading, hand).0;
    (name_width(column, look.hand) + 5.0 + figure_width(column, look.hand)).max(heading)
}

/// The least width that no name or figure of a column is cut at, nor its heading in the smallest letters.
pub(super) fn least_width(column: &Column, look: Look) -> f64 {
    let heading = size_of(&column.heading, Hand::PieceNameTiny).0 + 0.5;
    (name_width(column, look.hand) + 5.0 + figure_width(column, look.hand)).max(heading)
}

/// Draws a heading.
pub(super) fn heading_row(canvas: &mut Canvas, words: &str, corner: Point) {
    written_heading(canvas, words, Hand::Heading, corner);
}

fn written_heading(canvas: &mut Canvas, words: &str, hand: Hand, corner: Point) {
    let at = corner + Vec2::new(0.0, 3.4);
    let text = Text::new(words, at, Anchor::Start, hand);
    canvas.text(Layer::Title, Of::default(), text);
}

/// A heading no wider than its column may be.
fn fitted_heading(column: &Column, most: f64, look: Look) -> (String, Hand) {
    let hands = [Hand::Heading, Hand::PieceNameSmall, Hand::PieceNameTiny];
    let hands = hands
        .into_iter()
        .filter(|hand| hand.size() <= look.hand.size() * 1.2);
    let hands: Vec<Hand> = hands.collect();
    let heading = text::printable(&column.heading);
    text::shrunk(&heading, &hands, most.min(WIDEST_HEADING))
}

/// Draws a column no wider than `most`; a longer name is cut.
pub(super) fn rows(canvas: &mut Canvas, column: &Column, corner: Point, (most, look): (f64, Look)) {
    let (heading, hand) = fitted_heading(column, most, look);
    written_heading(canvas, &heading, hand, corner);
    let figures = figure_width(column, look.hand);
    let names = name_width(column, look.hand)
        .min(most - figures - 5.0)
        .max(10.0);
    for (row, (name, figure)) in column.rows.iter().enumerate() {
        let first = (1.6 * look.row).max(3.4 + 1.25 * look.hand.size());
        let y = corner.y + first + look.row * row as f64;
        // In smaller letters rather than cut.
        let hands = [look.hand, Hand::Foot, Hand::FootSmall];
        let shrunk =
            |words: &str, most: f64| text::shrunk(&text::printable(words), &hands, most + 0.01);
        let (name, hand) = shrunk(name, names);
        let at = Point::new(corner.x, y);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(&name, at, Anchor::Start, hand),
        );
        let (figure, hand) = shrunk(figure, figures);
        let at = Point::new(corner.x + names + 5.0 + figures, y);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(&figure, at, Anchor::End, hand),
        );
    }
}
