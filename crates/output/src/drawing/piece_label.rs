//! The label of a piece: what it is, how it is cut, of which cloth; and, in a frame, what must be read before it is cut. Both stand
//! inside the piece's own line, along a narrow piece and in small letters where nothing else fits. Where no letters do, its
//! number stands inside, and the label beside it in room that is kept for it when the pieces are laid out.

use super::canvas::{Canvas, Of, block_size, chords, on_sheet};
use super::compose::Placed;
use super::frame::TextFrame;
use super::label_room::{Lines, MOST_LINES, holds, roomy, tight};
use super::labels::{Keep, Labels};
use super::style::{Hand, Pen};
use super::{Anchor, Layer, Shape, piece_lines, text};
use crate::cut_list;
use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, Point, Rect, Shape as _, Size};
use oaktag_language::pattern::spec::Value;
use oaktag_language::voice;

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
    Form::of(Hand::PieceNameMid, Hand::PieceText, 70.0),
    Form::of(Hand::PieceNameMid, Hand::PieceSmall, 90.0),
    Form::of(Hand::PieceNameMid, Hand::PieceSmall, 50.0),
];
/// For a narrow piece, its facts run on from one to the next.
const ROWS: [Form; 3] = [
    Form::of(Hand::PieceNameMid, Hand::PieceSmall, 120.0),
    Form::of(Hand::PieceNameSmall, Hand::PieceSmall, 90.0),
    Form::of(Hand::PieceNameSmall, Hand::PieceSmall, 170.0),
];
/// Lines of a label are cut at this width.
const WIDEST: f64 = 180.0;

/// For a small piece: the hands of its name and of its facts, and how many rows either takes; no row of its own where the facts
/// run on behind the name.
const SMALL_HANDS: [(Hand, Hand); 2] = [
    (Hand::PieceNameSmall, Hand::PieceSmall),
    (Hand::PieceNameTiny, Hand::PieceTiny),
];
const SMALL_ROWS: [(usize, usize); 10] = [
    (1, 3),
    (1, 2),
    (1, 1),
    (2, 3),
    (1, 4),
    (2, 5),
    (3, 6),
    (3, 0),
    (2, 0),
    (1, 0),
];

/// What the lines under a label in small letters may cost: nearly nothing; then what can still be read.
const SMALL_LINES: [f64; 2] = [5.0, 24.0];

/// A piece this narrow, or that fills less of its box than this share, may have no room for its label.
const NARROW: f64 = 70.0;
const FILLED: f64 = 0.4;
/// Between a piece and the label that stands beside it, and the longest leader.
const OFF: f64 = 6.0;
const LEADER: f64 = 15.0;

/// How a piece holds its label.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Fit {
    /// Inside, with room round it.
    Roomy,
    /// Inside, in small letters: it is written before anything else is.
    Tight,
    /// Beside it, in room of this size.
    Beside(Size),
}

impl Form {
    const fn of(name: Hand, facts: Hand, widest: f64) -> Self {
        Self {
            name,
            facts,
            widest,
        }
    }

    fn lines(&self, label: &str, facts: &[String]) -> Lines {
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

/// How a piece holds its label, asked of its outline alone, before the pieces are laid out.
pub(super) fn fit(placed: &Placed<'_>) -> Fit {
    let bounds = placed.bounds;
    let area = placed.outer.area().abs();
    if bounds.width().min(bounds.height()) >= NARROW && area >= FILLED * bounds.area() {
        return Fit::Roomy;
    }
    if in_room(&Labels::default(), placed).is_some() {
        return Fit::Roomy;
    }
    // Letters that lie on its own lines, or on its arrow, cannot be read.
    let mut labels = Labels::default();
    for path in own_lines(placed) {
        for row in chords(&path) {
            labels.avoid(&row, Pen::Fold.look().weight);
        }
    }
    let arrow = piece_lines::grain_arrow(&labels, placed);
    for row in arrow.iter().flat_map(chords) {
        labels.avoid(&row, Pen::Grain.look().weight);
    }
    let mut smallest = small_rows(placed).into_iter().rev();
    let [_, most] = SMALL_LINES;
    let holds = |lines: &Lines| {
        let mut regions = [placed.sewn(), placed.cut()].into_iter();
        regions.any(|inside| holds(&labels, placed, inside, lines, most))
    };
    if smallest.any(|lines| holds(&lines)) {
        Fit::Tight
    } else {
        let (width, height) = block_size(&beside_lines(placed));
        Fit::Beside(Size::new(width, height))
    }
}

/// The lines of a piece that its label has to keep off.
fn own_lines(placed: &Placed<'_>) -> Vec<BezPath> {
    let piece = placed.piece;
    let edges = piece.edges.iter().map(|edge| &edge.path);
    let folds = piece.folds().map(|(_, path)| path);
    let marks = piece.marks.iter().filter_map(|mark| match &mark.shape {
        Value::Line(path) | Value::Curve(path) => Some(path),
        _ => None,
    });
    let all = edges.chain(folds).chain(marks);
    all.filter_map(|path| on_sheet(path, placed.place, placed.bounds))
        .collect()
}

/// The label of a piece.
pub(super) fn draw(canvas: &mut Canvas, placed: &Placed<'_>) {
    let labels = &canvas.labels;
    let found = match placed.fit {
        Fit::Roomy => in_room(labels, placed).or_else(|| in_small(labels, placed)),
        Fit::Tight => in_small(labels, placed),
        Fit::Beside(_) => None,
    };
    match found {
        Some((frame, lines)) => {
            let of = Of::piece(&placed.piece.name);
            canvas.block(Layer::Text, of, frame, &lines, Anchor::Start);
        }
        None => beside(canvas, placed),
    }
}

fn in_room(labels: &Labels, placed: &Placed<'_>) -> Option<(TextFrame, Lines)> {
    let facts = facts(placed);
    let run_on = [facts.join(" · ")];
    let forms = FORMS.iter().map(|form| (form, facts.as_slice()));
    let rows = ROWS.iter().map(|form| (form, run_on.as_slice()));
    // A block of a size that found no room finds none in other words.
    let mut tried = Vec::new();
    forms.chain(rows).find_map(|(form, facts)| {
        let lines = form.lines(&placed.piece.label, facts);
        is_fresh(&mut tried, &lines).then_some(())?;
        Some((roomy(labels, placed.sewn(), &lines)?, lines))
    })
}

/// Whether no block of lines of this size was tried before.
fn is_fresh(tried: &mut Vec<(f64, f64)>, lines: &Lines) -> bool {
    let size = block_size(lines);
    let is_fresh = !tried.contains(&size);
    tried.push(size);
    is_fresh
}

/// The name with the number, then what is needed at the table, as large as it can be read inside the cutting line.
fn in_small(labels: &Labels, placed: &Placed<'_>) -> Option<(TextFrame, Lines)> {
    let rows = small_rows(placed);
    // Clear of lines in small letters rather than over them in larger ones; where lines are everywhere, over as few as can be.
    let room = |lines: &Lines, most: f64| {
        let regions = [placed.sewn(), placed.cut()].into_iter();
        let mut found = regions.filter_map(|inside| tight(labels, placed, inside, lines, most));
        found.next()
    };
    for most in SMALL_LINES {
        let mut tried = Vec::new();
        for lines in rows.iter().filter(|lines| is_fresh(&mut tried, lines)) {
            if let Some(frame) = room(lines, most) {
                return Some((frame, lines.clone()));
            }
        }
    }
    let all = rows
        .into_iter()
        .filter_map(|lines| Some((room(&lines, f64::INFINITY)?, lines)));
    all.min_by(|(a, _), (b, _)| labels.line_cost(a).total_cmp(&labels.line_cost(b)))
}

/// Ways to write the label of a small piece, the largest first.
fn small_rows(placed: &Placed<'_>) -> Vec<Lines> {
    let piece = placed.piece;
    let name = format!("{} {}", piece.number.0, piece.label);
    let facts = short_facts(placed).join(" · ");
    let ways = SMALL_HANDS
        .into_iter()
        .flat_map(|hands| SMALL_ROWS.into_iter().map(move |rows| (hands, rows)));
    let written = ways.map(|((of_name, of_facts), (names, rest))| {
        if rest == 0 {
            return in_rows(&format!("{name} · {facts}"), of_name, names);
        }
        let mut lines = in_rows(&name, of_name, names);
        lines.extend(in_rows(&facts, of_facts, rest));
        lines
    });
    written.collect()
}

/// Words in at most so many rows, as narrow as they then are.
fn in_rows(words: &str, hand: Hand, rows: usize) -> Lines {
    let words = text::printable(words);
    let width = |words: &str| text::width(words, hand.size(), hand.bold());
    let longest = words.split_whitespace().map(width).fold(0.0, f64::max);
    let mut widest = (width(&words) / rows as f64).max(longest) + 0.01;
    let mut lines = text::wrapped(&words, hand.size(), hand.bold(), widest);
    while lines.len() > rows {
        widest *= 1.06;
        lines = text::wrapped(&words, hand.size(), hand.bold(), widest);
    }
    // The dot between two facts belongs to neither row.
    let dot = |c: char| c == '·' || c == ' ';
    let lines = lines.iter().map(|line| line.trim_matches(dot).to_owned());
    lines.map(|line| (line, hand)).collect()
}

fn beside_lines(placed: &Placed<'_>) -> Lines {
    let name = format!("{} {}", placed.piece.number.0, placed.piece.label);
    Form::of(Hand::PieceNameSmall, Hand::PieceSmall, 50.0).lines(&name, &short_facts(placed))
}

/// What the lines under a number may cost, where smaller letters do with less.
const NUMBER_LINES: f64 = 3.0;

/// The number inside the piece, and the label beside it with a leader.
fn beside(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    let number = placed.piece.number.0.to_string();
    let hands = [
        Hand::PieceNameMid,
        Hand::PieceNameSmall,
        Hand::PieceNameTiny,
    ];
    let clear = hands.into_iter().map(|hand| (hand, NUMBER_LINES));
    let mut sizes = clear.chain([(Hand::PieceNameTiny, f64::INFINITY)]);
    let found = sizes.find_map(|(hand, most)| {
        let lines = vec![(number.clone(), hand)];
        let frame = tight(&canvas.labels, placed, placed.cut(), &lines, most)?;
        Some((frame, lines))
    });
    let from = match &found {
        Some((frame, lines)) => {
            canvas.block(Layer::Text, of, *frame, lines, Anchor::Middle);
            *frame
        }
        None => TextFrame::upright(Rect::from_center_size(on_edge(placed), Size::ZERO)),
    };
    let lines = beside_lines(placed);
    let frame = beside_room(&canvas.labels, placed, &from, &lines);
    canvas.block(Layer::Text, of, frame, &lines, Anchor::Start);
    let to = frame.nearest(from.centre);
    let mut leader = Line::new(from.nearest(to), to);
    if (leader.p1 - leader.p0).hypot() > LEADER {
        // To the piece itself, where its number stands far off.
        leader = to_rim(placed, &frame).unwrap_or(leader);
    }
    if kurbo::ParamCurveArclen::arclen(&leader, 0.1) > 1.0 {
        let leader = Shape::Stroke(leader.to_path(0.1), Pen::Leader);
        canvas.drawing.add(Layer::Text, of.piece, None, leader);
    }
}

/// The shortest way from the outermost line of a piece to a box beside it.
fn to_rim(placed: &Placed<'_>, frame: &TextFrame) -> Option<Line> {
    let ways = placed.outer.segments().map(|seg| {
        let mut way = Line::new(frame.centre, frame.centre);
        // A box and a flat line: each is asked in turn for what is nearest of it.
        for _ in 0..4 {
            let on = seg.eval(seg.nearest(way.p1, 1e-3).t);
            way = Line::new(on, frame.nearest(on));
        }
        way
    });
    let long = |way: &Line| (way.p1 - way.p0).hypot2();
    ways.min_by(|one, other| long(one).total_cmp(&long(other)))
}

/// A place of the piece that a leader may end at: the middle of its first edge.
fn on_edge(placed: &Placed<'_>) -> Point {
    let edge = placed.piece.edges.first();
    let middle = edge.and_then(|edge| edge.path.point_at(edge.length / 2.0).ok());
    middle.map_or(placed.bounds.center(), |middle| placed.place * middle)
}

/// The cheapest box round a piece for words that belong to it, within the room that is its own; failing that, the room kept for
/// its label.
fn beside_room(labels: &Labels, placed: &Placed<'_>, from: &TextFrame, lines: &Lines) -> TextFrame {
    let (width, height) = block_size(lines);
    let (bounds, near) = (placed.bounds, from.centre);
    let mut boxes = Vec::new();
    for off in [OFF, 1.5 * OFF, 2.0 * OFF] {
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let (x, y) = (near.x - share * width, near.y - share * height);
            for corner in [
                Point::new(x, bounds.y1 + off),
                Point::new(bounds.x1 + off, y),
                Point::new(x, bounds.y0 - off - height),
                Point::new(bounds.x0 - off - width, y),
            ] {
                let rect = Rect::from_origin_size(corner, Size::new(width, height));
                let frame = TextFrame::upright(rect);
                let to = frame.nearest(near);
                let led = (to - from.nearest(to)).hypot();
                if led <= LEADER {
                    boxes.push((led, move || Some(frame)));
                }
            }
        }
    }
    let keep = Keep {
        area: Some(placed.own),
        ..Keep::default()
    };
    let kept = placed.label_room().unwrap_or_else(|| {
        Rect::from_origin_size(
            Point::new(bounds.x0, bounds.y1 + OFF),
            Size::new(width, height),
        )
    });
    let found = labels.cheapest(boxes, keep);
    found.unwrap_or_else(|| TextFrame::upright(kept))
}

/// Where the label of a piece stands that has no room for it: below, or beside one that is taller than wide.
pub(super) fn kept_room(bounds: Rect, label: Size) -> Rect {
    let corner = if bounds.height() > bounds.width() {
        Point::new(bounds.x1 + OFF, bounds.y0)
    } else {
        Point::new(bounds.x0, bounds.y1 + OFF)
    };
    Rect::from_origin_size(corner, label)
}

fn facts(placed: &Placed<'_>) -> Vec<String> {
    let (number, of) = placed.piece.number;
    let title = placed.pattern.title.trim();
    let title = (!title.is_empty()).then(|| title.to_owned());
    // How many there will be is not known while something is wrong.
    let is_known = placed.pattern.unfinished.is_none();
    let number = is_known.then(|| format!("piece {number} of {of}"));
    let heads = title.into_iter().chain(number);
    heads.chain(short_facts(placed)).collect()
}

/// What is needed at the table beside the name and the number.
fn short_facts(placed: &Placed<'_>) -> Vec<String> {
    let piece = placed.piece;
    let mut lines = Vec::new();
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
        lines.extend(declared.and_then(|cloth| cut_list::one_way(cloth, placed.unit())));
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
pub(super) fn cautions(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    if piece.cautions.is_empty() {
        return;
    }
    let of = Of::piece(&piece.name);
    let (frame, lines) = caution_room(&canvas.labels, placed);
    canvas.block(Layer::Cautions, of, frame, &lines, Anchor::Start);
    canvas.labels.take(frame.grown(2.0));
    let corners = frame.grown(BORDER).corners();
    let mut border = BezPath::new();
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

/// The frame of a caution stands this far off its letters.
const BORDER: f64 = 1.6;

fn caution_room(labels: &Labels, placed: &Placed<'_>) -> (TextFrame, Lines) {
    let widest = (placed.bounds.width() * 0.7).clamp(70.0, 160.0);
    let broken = |hand: Hand, widest: f64| -> Lines {
        let words = placed.piece.cautions.iter().flat_map(|caution| {
            text::wrapped(&text::printable(caution), hand.size(), hand.bold(), widest)
        });
        words.map(|line| (line, hand)).collect()
    };
    let large = broken(Hand::Caution, widest);
    if let Some(frame) = roomy(labels, placed.sewn(), &large) {
        return (frame, large);
    }
    for widest in [120.0, 60.0, 35.0] {
        let small = broken(Hand::CautionSmall, widest);
        if let Some(frame) = tight(labels, placed, placed.cut(), &small, MOST_LINES) {
            return (frame, small);
        }
    }
    let small = broken(Hand::CautionSmall, 60.0);
    let from = TextFrame::upright(Rect::from_center_size(on_edge(placed), Size::ZERO));
    let frame = beside_room(labels, placed, &from, &small);
    (frame, small)
}

/// A box below the piece, for words that are on no cloth.
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
