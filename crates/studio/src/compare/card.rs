//! One page for the hook: what to do with the paper, then each piece that changed, a small picture beside what became of it,
//! old dashed and new unbroken. Nobody measures on it: the pictures are as small as they must be.

use super::overlay::{self, Laid, SMALL};
use super::report::{Detail, report};
use super::report_pieces::piece_lines;
use super::verdict::verdict_words;
use super::{Comparison, Side, Verdict, names, pieces, verdict};
use kurbo::{Affine, Line, Point, Rect, Shape as _, Size};
use oaktag_language::voice;
use oaktag_output::drawing::canvas::{Canvas, Of};
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Anchor, Drawing, Layer, Shape, Text, text};

/// What is printed on a card and no draft says.
#[derive(Clone, Debug, Default)]
pub struct Heading {
    /// The old side: a file, or a revision with its day.
    pub old: String,
    /// The new side.
    pub new: String,
    /// Which version it is, in the user's words; without it a line is left to write on.
    pub revision: Option<String>,
    /// The body that both are drawn for.
    pub body: Option<String>,
}

/// Room round the page, in millimetres.
const MARGIN: f64 = 12.0;
/// Width of the pictures.
const PICTURE: f64 = 58.0;
/// Between a picture and the words beside it, and between rows.
const GUTTER: f64 = 6.0;
/// Room at the foot.
const FOOT: f64 = 14.0;
/// Heights that a picture may have, the tallest first.
const HEIGHTS: [f64; 8] = [90.0, 76.0, 64.0, 52.0, 42.0, 34.0, 27.0, 21.0];
/// Lines that are printed of a piece where room is short.
const FEWEST: usize = 2;
/// Most values that are printed.
const MOST_VALUES: usize = 6;
/// Hands for the title, the largest first.
const TITLES: [Hand; 3] = [Hand::Title, Hand::PieceName, Hand::StepName];

/// A piece that changed, and what is said of it.
struct Row<'a> {
    laid: Laid<'a>,
    heading: String,
    verdict: &'static str,
    lines: Vec<String>,
}

/// Draws the card on a page.
pub fn drawing(
    comparison: &Comparison,
    (old, new): (Side<'_>, Side<'_>),
    heading: &Heading,
    page: Size,
) -> Drawing {
    let names = names::pair(old, new);
    let before = &old.outcome.pattern.pieces;
    let pairs = pieces::pairs(&names, before, &new.outcome.pattern.pieces);
    let unit = comparison.print_unit();
    let rows: Vec<Row<'_>> = pairs
        .into_iter()
        .zip(&comparison.pieces)
        .filter(|(_, change)| !matches!(change.verdict, Verdict::Keep))
        .filter_map(|((old, new), change)| {
            let lines = piece_lines(change, unit).into_iter().map(|line| line.words);
            Some(Row {
                laid: overlay::lay(old, new, change)?,
                heading: change.label.clone(),
                verdict: verdict_words(change.verdict),
                // No cutter has a use for an area.
                lines: lines.filter(|line| !line.starts_with("area ")).collect(),
            })
        })
        .collect();
    let title = format!("{}: what changed", comparison.title);
    let said = report(comparison, Detail::Outline);
    let words = format!("{title}. {} {}", said.sides, said.verdict);
    let mut card = Card {
        canvas: Canvas::figure(page, &title, &words),
        y: MARGIN,
        page,
    };
    card.head(comparison, heading);
    card.rows(comparison, &rows);
    card.foot();
    card.canvas.finish()
}

struct Card {
    canvas: Canvas,
    /// Where the next line begins.
    y: f64,
    page: Size,
}

impl Card {
    fn width(&self) -> f64 {
        self.page.width - 2.0 * MARGIN
    }

    fn write(&mut self, letters: &str, at: Point, hand: Hand) {
        let layer = match hand {
            Hand::Caution | Hand::CautionSmall => Layer::Cautions,
            _ => Layer::Title,
        };
        let text = Text::new(letters, at, Anchor::Start, hand);
        self.canvas.put(layer, Of::default(), Shape::Text(text));
    }

    /// Words across the page, broken into lines.
    fn across(&mut self, words: &str, hand: Hand) {
        let width = self.width();
        for line in text::wrapped(&text::printable(words), hand.size(), hand.bold(), width) {
            self.y += hand.size() * text::LEADING;
            self.write(&line, Point::new(MARGIN, self.y), hand);
        }
    }

    fn rule(&mut self, y: f64, from: f64, to: f64) {
        let line = Line::new((from, y), (to, y)).to_path(0.1);
        self.canvas
            .put(Layer::Title, Of::default(), Shape::Stroke(line, Pen::Frame));
    }

    fn head(&mut self, comparison: &Comparison, heading: &Heading) {
        let width = self.width();
        let title = text::printable(&comparison.title);
        let (title, hand) = text::shrunk(&title, &TITLES, width);
        self.y += hand.size();
        self.write(&title, Point::new(MARGIN, self.y), hand);
        self.y += 1.5;
        let sides = if heading.old == heading.new {
            format!("{}, with other values", heading.new)
        } else {
            format!("Was: {}   Is: {}", heading.old, heading.new)
        };
        self.across(&sides, Hand::Reading);
        if let Some(body) = &heading.body {
            self.across(&format!("Body: {body}"), Hand::Reading);
        }
        self.y += 7.0;
        let third = width / 3.0;
        let given = [
            ("Revision", heading.revision.as_deref()),
            ("Date", None),
            ("Cut again by", None),
        ];
        for (at, (label, given)) in given.into_iter().enumerate() {
            let x = MARGIN + third * at as f64;
            self.write(label, Point::new(x, self.y), Hand::Reading);
            let from = x + text::width(label, Hand::Reading.size(), false) + 2.0;
            let room = x + third - 5.0 - from;
            match given {
                Some(words) => {
                    let words = text::fitted(words, Hand::ReadingBold.size(), true, room);
                    self.write(&words, Point::new(from, self.y), Hand::ReadingBold);
                }
                None => self.rule(self.y + 0.8, from, from + room),
            }
        }
        self.y += 3.0;
        self.across(&verdict::verdict(comparison), Hand::Changed);
        self.y += 1.0;
        self.values(comparison);
        for fault in comparison.troubles.iter().chain(&comparison.faults) {
            self.across(fault, Hand::CautionSmall);
        }
    }

    fn values(&mut self, comparison: &Comparison) {
        let unit = comparison.print_unit();
        let all: Vec<String> = comparison
            .values
            .iter()
            .map(|one| super::report::value(one, unit).words)
            .collect();
        for words in all.iter().take(MOST_VALUES) {
            self.across(words, Hand::Reading);
        }
        if let Some(more) = all.len().checked_sub(MOST_VALUES).filter(|more| *more > 0) {
            self.across(
                &format!("and {}", voice::count(more, "value")),
                Hand::Reading,
            );
        }
    }

    /// The rows, as large as the page allows; what has no room is named.
    fn rows(&mut self, comparison: &Comparison, rows: &[Row<'_>]) {
        self.y += GUTTER;
        let room = self.page.height - MARGIN - FOOT - self.y;
        let width = self.width() - PICTURE - GUTTER;
        let leading = Hand::Reading.size() * text::LEADING;
        let broken = |row: &Row<'_>, most: usize| -> Vec<String> {
            let all = row.lines.iter();
            let lines: Vec<String> = all
                .flat_map(|line| text::wrapped(line, Hand::Reading.size(), false, width))
                .collect();
            if lines.len() <= most {
                return lines;
            }
            let kept = lines.iter().take(most.saturating_sub(1)).cloned();
            let more = "… the rest stands in the comparison".to_owned();
            kept.chain([more]).collect()
        };
        let head = Hand::Changed.size() * text::LEADING;
        let high = |row: &Row<'_>, (tall, most): (f64, usize)| {
            let words = head + leading * broken(row, most).len() as f64;
            let picture = row.laid.bounds.height() * self::scale(&row.laid, tall);
            words.max(picture) + GUTTER
        };
        // All lines beside smaller pictures before fewer lines beside larger ones.
        let all = HEIGHTS.into_iter().map(|tall| (tall, usize::MAX));
        let few = HEIGHTS.into_iter().map(|tall| {
            let most = ((tall - head) / leading).floor() as usize;
            (tall, most.max(FEWEST))
        });
        let mut sizes = all.chain(few);
        let fits =
            |size: &(f64, usize)| rows.iter().map(|row| high(row, *size)).sum::<f64>() <= room;
        let least = (21.0, FEWEST);
        let size = sizes.find(fits).unwrap_or(least);
        let bottom = self.y + room;
        let mut left: Vec<&str> = Vec::new();
        for row in rows {
            let tall = high(row, size);
            if self.y + tall > bottom + GUTTER || !left.is_empty() {
                left.push(&row.heading);
                continue;
            }
            self.row(comparison, row, &broken(row, size.1), size.0);
            self.y += tall;
        }
        if !left.is_empty() {
            let words = format!("No room for {}: see the comparison.", voice::list(&left));
            self.y = bottom - 2.0;
            self.across(&words, Hand::CautionSmall);
        }
    }

    fn row(&mut self, comparison: &Comparison, row: &Row<'_>, lines: &[String], tall: f64) {
        self.rule(self.y - GUTTER / 2.0, MARGIN, self.page.width - MARGIN);
        let by = scale(&row.laid, tall);
        let bounds = row.laid.bounds;
        let corner = Point::new(MARGIN + (PICTURE - bounds.width() * by) / 2.0, self.y);
        let place = Affine::translate(corner - Point::new(bounds.x0 * by, bounds.y0 * by))
            * Affine::scale(by)
            * Affine::FLIP_Y;
        overlay::draw(&mut self.canvas, comparison, &row.laid, (place, &SMALL));
        let x = MARGIN + PICTURE + GUTTER;
        let mut y = self.y + Hand::Changed.size();
        self.write(&row.heading, Point::new(x, y), Hand::Changed);
        let after = x + text::width(&row.heading, Hand::Changed.size(), true) + 3.0;
        self.write(row.verdict, Point::new(after, y), Hand::Change);
        y += 1.0;
        for line in lines {
            y += Hand::Reading.size() * text::LEADING;
            self.write(line, Point::new(x, y), Hand::Reading);
        }
    }

    fn foot(&mut self) {
        let y = self.page.height - MARGIN;
        let mut x = MARGIN;
        for (pen, words) in [
            (SMALL.was_other, "as it was"),
            (SMALL.is_other, "as it is"),
            (Pen::WasCut, "cut so before"),
        ] {
            let line = Line::new((x, y - 1.3), (x + 14.0, y - 1.3)).to_path(0.1);
            self.canvas
                .put(Layer::Title, Of::default(), Shape::Stroke(line, pen));
            self.write(words, Point::new(x + 16.0, y), Hand::Foot);
            x += 16.0 + text::width(words, Hand::Foot.size(), false) + 6.0;
        }
        let care = "The pictures are no measure: cut from the pattern printed anew.";
        let at = Point::new(MARGIN, y - 5.0);
        self.write(care, at, Hand::Foot);
    }
}

/// How small a piece is drawn, so that it fits its box.
fn scale(laid: &Laid<'_>, tall: f64) -> f64 {
    let bounds: Rect = laid.bounds;
    let (wide, high) = (bounds.width().max(1.0), bounds.height().max(1.0));
    (PICTURE / wide).min((tall - 2.0) / high).min(1.0)
}
