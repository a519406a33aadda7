//! The label of a piece: what it is, how it is cut, of which cloth; and, in a frame, what must be read before it is cut.

use super::canvas::{Canvas, Of, block_size};
use super::compose::Placed;
use super::frame::TextFrame;
use super::labels::{Keep, Labels};
use super::region::Region;
use super::style::{Hand, Pen};
use super::{Anchor, Layer, Shape, text};
use kurbo::{Point, Rect, Vec2};
use oaktag_language::voice;
use std::cell::OnceCell;

/// A way to write a label: the hands of its name and of its facts, and where lines are broken.
struct Form {
    name: Hand,
    facts: Hand,
    widest: f64,
}

/// From the one that reads best to those for small pieces.
const FORMS: [Form; 5] = [
    Form::of(Hand::PieceName, Hand::PieceText, WIDEST),
    Form::of(Hand::PieceName, Hand::PieceText, 70.0),
    Form::of(Hand::PieceText, Hand::PieceText, 70.0),
    Form::of(Hand::PieceText, Hand::PieceSmall, 90.0),
    Form::of(Hand::PieceText, Hand::PieceSmall, 50.0),
];
/// For a narrow piece, its facts run on from one to the next.
const ROWS: [Form; 3] = [
    Form::of(Hand::PieceText, Hand::PieceSmall, 120.0),
    Form::of(Hand::PieceSmall, Hand::PieceSmall, 90.0),
    Form::of(Hand::PieceSmall, Hand::PieceSmall, 170.0),
];

impl Form {
    const fn of(name: Hand, facts: Hand, widest: f64) -> Self {
        Self {
            name,
            facts,
            widest,
        }
    }

    fn lines(&self, label: &str, facts: &[String]) -> Vec<(String, Hand)> {
        let broken = |text: &str, hand: Hand, widest: f64| {
            let lines = text::wrapped(&text::printable(text), hand.size(), hand.bold(), widest);
            lines.into_iter().map(move |line| (line, hand))
        };
        let facts = facts
            .iter()
            .flat_map(|fact| broken(fact, self.facts, self.widest));
        broken(label, self.name, self.widest).chain(facts).collect()
    }
}

/// The label of a piece, with its cautions below it.
pub(super) fn draw(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    let facts = facts(placed);
    let run_on = [facts.join(" · ")];
    let forms = FORMS.iter().map(|form| (form, facts.as_slice()));
    let rows = ROWS.iter().map(|form| (form, run_on.as_slice()));
    let found = forms.chain(rows).find_map(|(form, facts)| {
        let lines = form.lines(&placed.piece.label, facts);
        Some((room(canvas, placed.sewn(), &lines)?, lines))
    });
    let (frame, lines) = found.unwrap_or_else(|| {
        let widest = placed.bounds.width().clamp(50.0, WIDEST);
        let form = Form::of(Hand::PieceText, Hand::PieceSmall, widest);
        let lines = form.lines(&placed.piece.label, &facts);
        (below(canvas, placed, &lines), lines)
    });
    canvas.block(Layer::Text, of, frame, &lines, Anchor::Start);
    cautions(canvas, placed);
}

fn facts(placed: &Placed<'_>) -> Vec<String> {
    let piece = placed.piece;
    let (number, of) = piece.number;
    let mut lines = match placed.pattern.unfinished {
        // How many there will be is not known.
        Some(_) => Vec::new(),
        None => vec![format!("piece {number} of {of}")],
    };
    let title = placed.pattern.title.trim();
    if !title.is_empty() {
        lines.insert(0, title.to_owned());
    }
    let issue = placed.pattern.issue.words();
    if !issue.is_empty() {
        lines.push(issue);
    }
    let how = piece.cut_words();
    if !how.is_empty() {
        lines.push(how);
    }
    if piece.left_and_right().is_some() && piece.has_one_sided() {
        lines.push(format!("drawn: the wearer's {}", piece.shown.half));
    }
    if let Some(cloth) = &piece.cut.cloth {
        let declared = placed.pattern.cloths.iter().find(|one| one.name == *cloth);
        let words = declared
            .map(|one| one.label.as_str())
            .filter(|label| !label.is_empty());
        lines.push(match words {
            Some(label) => format!("{}: {label}", voice::letters(cloth)),
            None => voice::letters(cloth),
        });
    }
    if piece.grain.is_none() && !piece.unfinished {
        lines.push("no grain line stated".to_owned());
    }
    if piece.unfinished {
        lines.push("not to be cut: no cutting line is drawn".to_owned());
    } else if piece.cutting.is_none() || piece.cutting == piece.sewing {
        let stated = piece.edges.iter().all(|edge| edge.allowance.is_some());
        lines.push(if piece.net || piece.cutting.is_none() || !stated {
            "no allowance: the line is the sewing line".to_owned()
        } else {
            "no allowance: cut on the line".to_owned()
        });
    }
    lines
}

/// What must be read before cutting, in a frame.
fn cautions(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    if piece.cautions.is_empty() {
        return;
    }
    let widest = (placed.bounds.width() * 0.7).clamp(70.0, 160.0);
    let mut lines = Vec::new();
    for caution in &piece.cautions {
        let wrapped = text::wrapped(
            &text::printable(caution),
            Hand::Caution.size(),
            true,
            widest,
        );
        lines.extend(wrapped.into_iter().map(|line| (line, Hand::Caution)));
    }
    let of = Of::piece(&piece.name);
    let frame =
        room(canvas, placed.sewn(), &lines).unwrap_or_else(|| below(canvas, placed, &lines));
    canvas.block(Layer::Cautions, of, frame, &lines, Anchor::Start);
    canvas.labels.take(frame.grown(2.0));
    let corners = frame.grown(1.6).corners();
    let mut border = kurbo::BezPath::new();
    for (index, corner) in corners.into_iter().enumerate() {
        if index == 0 {
            border.move_to(corner);
        } else {
            border.line_to(corner);
        }
    }
    border.close_path();
    canvas.drawing.add(
        Layer::Cautions,
        of.piece,
        None,
        Shape::Stroke(border, Pen::Caution),
    );
}

/// Lines of a label are cut at this width.
const WIDEST: f64 = 180.0;
/// Room kept between a label and the lines round it: where the piece has it, and where it is tight.
const CLEAR: [f64; 2] = [5.0, 1.0];
/// A label stands this far inside the line of its piece.
const BORDER: f64 = 3.0;
/// What the lines under a label may cost.
const MOST_LINES: f64 = 12.0;
/// What a millimetre from the middle of the piece costs it.
const FROM_MIDDLE: f64 = 0.04;

/// The best free box inside the piece for a block of lines: upright or, in a narrow piece, along it.
fn room(canvas: &Canvas, inside: &Region, lines: &[(String, Hand)]) -> Option<TextFrame> {
    let (width, height) = block_size(lines);
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    ways.into_iter().find_map(|along| {
        let frame = TextFrame {
            centre: Point::ZERO,
            along,
            half_width: width / 2.0,
            half_height: height / 2.0,
        };
        let places = Places::of(inside, frame)?;
        CLEAR
            .into_iter()
            .find_map(|clear| places.best(&canvas.labels, clear))
    })
}

/// Places tried for a label, across a piece and down.
const PLACES: (u32, u32) = (16, 24);

/// How far off each column is, and where.
type Columns = Vec<(f64, f64)>;

/// The places in a piece that hold a label, those nearest to its middle first.
struct Places<'r> {
    inside: &'r Region,
    frame: TextFrame,
    columns: Vec<(f64, f64)>,
    /// How far off a row is, its height, and, once it is asked for, which columns hold the label there.
    rows: Vec<(f64, f64, OnceCell<Columns>)>,
}

impl<'r> Places<'r> {
    /// None where the label is larger than the piece.
    fn of(inside: &'r Region, frame: TextFrame) -> Option<Self> {
        let bounds = inside.bounds();
        let (across, down) = reach(&frame);
        let places = bounds.inflate(-across - 1.0, -down - 1.0);
        if places.width() < 0.0 || places.height() < 0.0 {
            return None;
        }
        let middle = bounds.center() - Vec2::new(0.0, 0.12 * bounds.height());
        let rows = from_middle(places.y0, places.y1, PLACES.1, middle.y);
        let rows = rows.into_iter().map(|(off, y)| (off, y, OnceCell::new()));
        Some(Self {
            inside,
            frame,
            columns: from_middle(places.x0, places.x1, PLACES.0, middle.x),
            rows: rows.collect(),
        })
    }

    /// The columns that hold the label at a height.
    fn held(&self, y: f64) -> Vec<(f64, f64)> {
        let (across, down) = reach(&self.frame);
        let half = across + BORDER;
        let (top, bottom) = (y - down - BORDER, y + down + BORDER);
        let stretches = self.inside.common(top, bottom, 2.0 * half);
        let holds = |(_, x): &(f64, f64)| {
            let mut stretches = stretches.iter();
            stretches.any(|(from, to)| *from <= x - half && x + half <= *to)
        };
        if stretches.is_empty() {
            return Vec::new();
        }
        self.columns.iter().copied().filter(holds).collect()
    }

    /// The cheapest place that is free, and clear of lines for so many millimetres.
    fn best(&self, labels: &Labels, clear: f64) -> Option<TextFrame> {
        let keep = Keep {
            lines: MOST_LINES,
            ..Keep::default()
        };
        let mut best: Option<(f64, TextFrame)> = None;
        for (off, y, held) in &self.rows {
            if best.is_some_and(|(least, _)| FROM_MIDDLE * off >= least) {
                break;
            }
            for (aside, x) in held.get_or_init(|| self.held(*y)) {
                let least = best.map_or(f64::INFINITY, |(least, _)| least);
                let own = FROM_MIDDLE * off.hypot(*aside);
                if own >= least {
                    break;
                }
                let frame = TextFrame {
                    centre: Point::new(*x, *y),
                    ..self.frame
                };
                // The lines are asked of a larger box, so that the label stands clear of them.
                if let Some(cost) = labels.cost(&frame.grown(clear), own, keep, least) {
                    best = Some((cost, frame));
                }
            }
        }
        best.map(|(_, frame)| frame)
    }
}

/// How far a box reaches from its middle, across and down.
fn reach(frame: &TextFrame) -> (f64, f64) {
    (
        frame.reach(Vec2::new(1.0, 0.0)),
        frame.reach(Vec2::new(0.0, 1.0)),
    )
}

/// Places from one end to another, those nearest to the middle first, with how far off they are.
fn from_middle(from: f64, to: f64, count: u32, middle: f64) -> Vec<(f64, f64)> {
    let places = (0..=count).map(|n| from + (to - from) * f64::from(n) / f64::from(count));
    let mut places: Vec<(f64, f64)> = places.map(|at| ((at - middle).abs(), at)).collect();
    // In millionths: mirror places are alike, and of two alike the first stays first.
    places.sort_by_key(|(off, _)| (off * 1e6) as u64);
    places
}

/// A box below the piece, for one too small to hold its label.
pub(super) fn below(canvas: &Canvas, placed: &Placed<'_>, lines: &[(String, Hand)]) -> TextFrame {
    let (width, height) = block_size(lines);
    let mut top = placed.bounds.y1 + 4.0;
    loop {
        let rect = Rect::new(
            placed.bounds.x0,
            top,
            placed.bounds.x0 + width,
            top + height,
        );
        let frame = TextFrame::upright(rect);
        let clear = canvas.labels.is_free(&frame) && canvas.labels.line_cost(&frame) < MOST_LINES;
        if clear || top > placed.bounds.y1 + 400.0 {
            return frame;
        }
        top += 4.0;
    }
}
