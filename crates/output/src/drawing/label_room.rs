//! Room for lines of words inside a piece: upright or along it, clear of lines where it is roomy, as near to its outline as can be
//! read where it is not.

use super::canvas::block_size;
use super::compose::Placed;
use super::frame::TextFrame;
use super::labels::{Keep, Labels};
use super::piece_names::readable;
use super::region::Region;
use super::style::Hand;
use kurbo::{Point, Vec2};
use std::cell::OnceCell;

/// Lines of words, each in its hand.
pub(super) type Lines = Vec<(String, Hand)>;

/// Room kept between a label and the lines round it: where the piece has it, and where it is tight.
const CLEAR: [f64; 2] = [5.0, 1.0];
/// A label stands this far inside the line of its piece; in a small one at least this far.
const BORDER: f64 = 3.0;
const NEAR: f64 = 0.6;
/// What the lines under a label may cost.
pub(super) const MOST_LINES: f64 = 12.0;
/// What a millimetre from the middle of the piece costs it, and what a direction that is less easily read.
const FROM_MIDDLE: f64 = 0.04;
const TURNED: f64 = 1.5;

/// The best free box inside the piece for a block of lines: upright or, in a narrow piece, along it.
pub(super) fn roomy(labels: &Labels, inside: &Region, lines: &Lines) -> Option<TextFrame> {
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
            .find_map(|clear| places.best(labels, clear))
    })
}

/// The best free box in a small piece, level, upright or along one of its long edges, on lines that cost less than `most`.
pub(super) fn tight(
    labels: &Labels,
    placed: &Placed<'_>,
    inside: &Region,
    lines: &Lines,
    most: f64,
) -> Option<TextFrame> {
    searched((labels, placed), inside, lines, (most, false))
}

/// Whether there is such a box.
pub(super) fn holds(
    labels: &Labels,
    placed: &Placed<'_>,
    inside: &Region,
    lines: &Lines,
    most: f64,
) -> bool {
    searched((labels, placed), inside, lines, (most, true)).is_some()
}

/// The best box, or any.
fn searched(
    (labels, placed): (&Labels, &Placed<'_>),
    inside: &Region,
    lines: &Lines,
    (most, any): (f64, bool),
) -> Option<TextFrame> {
    let (width, height) = block_size(lines);
    let bounds = inside.bounds();
    let keep = Keep {
        lines: most,
        ..Keep::default()
    };
    let mut best: Option<(f64, TextFrame)> = None;
    for (turned, along) in directions(placed) {
        let frame = TextFrame {
            centre: Point::ZERO,
            along,
            half_width: width / 2.0,
            half_height: height / 2.0,
        };
        let (across, down) = reach(&frame);
        let places = bounds.inflate(-across, -down);
        if places.width() < 0.0 || places.height() < 0.0 {
            continue;
        }
        let middle = bounds.center();
        let columns = from_middle(places.x0, places.x1, PLACES.1, middle.x);
        for (off, y) in from_middle(places.y0, places.y1, PLACES.1, middle.y) {
            if best.is_some_and(|(least, _)| turned + FROM_MIDDLE * off >= least) {
                break;
            }
            for (aside, x) in held(inside, &frame.grown(NEAR), y, &columns) {
                let least = best.map_or(f64::INFINITY, |(least, _)| least);
                let own = turned + FROM_MIDDLE * off.hypot(aside);
                if own >= least {
                    break;
                }
                let frame = TextFrame {
                    centre: Point::new(x, y),
                    ..frame
                };
                if let Some(cost) = labels.cost(&frame.grown(NEAR), own, keep, least) {
                    if any {
                        return Some(frame);
                    }
                    best = Some((cost, frame));
                }
            }
        }
    }
    best.map(|(_, frame)| frame)
}

/// Ways to write in a piece, with what each costs: level, upright, along its longest edges.
fn directions(placed: &Placed<'_>) -> Vec<(f64, Vec2)> {
    let mut found = vec![(0.0, Vec2::new(1.0, 0.0)), (TURNED, Vec2::new(0.0, -1.0))];
    let chord = |edge: &oaktag_language::pattern::Edge| {
        let (from, to) = (edge.path.start().ok()?, edge.path.end().ok()?);
        Some(placed.place * to - placed.place * from)
    };
    let mut chords: Vec<Vec2> = placed.piece.edges.iter().filter_map(chord).collect();
    chords.sort_by(|a, b| b.hypot2().total_cmp(&a.hypot2()));
    for chord in chords.into_iter().take(3) {
        let along = readable(chord.normalize());
        let known = |(_, other): &(f64, Vec2)| along.cross(*other).abs() < 0.01;
        if chord.hypot() > 1.0 && !found.iter().any(known) {
            found.push((TURNED, along));
        }
    }
    found
}

/// Places tried for a label, across a piece and down.
const PLACES: (u32, u32) = (16, 24);

/// How far off each column is, and where.
type Columns = Vec<(f64, f64)>;

/// The places in a piece that hold a label, those nearest to its middle first.
struct Places<'r> {
    inside: &'r Region,
    frame: TextFrame,
    columns: Columns,
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

    /// The cheapest place that is free, and clear of lines for so many millimetres.
    fn best(&self, labels: &Labels, clear: f64) -> Option<TextFrame> {
        let keep = Keep {
            lines: MOST_LINES,
            ..Keep::default()
        };
        let mut best: Option<(f64, TextFrame)> = None;
        for (off, y, holding) in &self.rows {
            if best.is_some_and(|(least, _)| FROM_MIDDLE * off >= least) {
                break;
            }
            for (aside, x) in holding
                .get_or_init(|| held(self.inside, &self.frame.grown(BORDER), *y, &self.columns))
            {
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

/// The columns that hold a box at a height.
fn held(inside: &Region, frame: &TextFrame, y: f64, columns: &Columns) -> Columns {
    let centre = Point::new(inside.bounds().center().x, y);
    let room = inside.room(&TextFrame { centre, ..*frame });
    let holds = |(_, x): &(f64, f64)| room.iter().any(|(from, to)| from <= x && x <= to);
    if room.is_empty() {
        return Columns::new();
    }
    columns.iter().copied().filter(holds).collect()
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
