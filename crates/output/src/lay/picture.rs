//! The lays drawn at 1:10, one cloth beside the other: the stretch of cloth with its fold or selvedges, and the pieces on it by
//! their numbers and names.

use super::tables::{NOTE, left_out, stripes, taken};
use super::{Lay, Lays, Placed, Way, lays};
use crate::drawing::labels::size_of;
use crate::drawing::style::{Fill, Hand, Pen};
use crate::drawing::{Anchor, Drawing, Layer, Shape, Text, text};
use crate::pages::{BAR, ruler};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape as _, Vec2};
use oaktag_language::pattern::{Pattern, WearerSide};
use oaktag_language::voice::LengthUnit;

/// Millimetres of paper for one of the cloth.
const SCALE: f64 = 0.1;
/// Room round the sheet and between cloths.
const MARGIN: f64 = 12.0;
/// Least room for the words of a cloth.
const LEAST: f64 = 110.0;

/// Draws the lays of every cloth at 1:10, open and folded, the shorter first, with a gap of so many millimetres between pieces.
pub fn draw(pattern: &Pattern, gap: f64) -> Drawing {
    let mut drawing = Drawing::new(&pattern.title);
    let title = text::heading(pattern.title.trim());
    let mut lines = vec![(title.to_owned(), Hand::Title)];
    let issue = pattern.issue.words();
    lines.push((
        format!(
            "{issue}{}How the pieces lie, at 1:10; the grain runs down the page.",
            if issue.is_empty() { "" } else { ". " }
        ),
        Hand::Sheet,
    ));
    lines.push((NOTE.to_owned(), Hand::Foot));
    let mut y = MARGIN;
    let mut right = 0.0_f64;
    for (letters, hand) in lines {
        right = right.max(write(
            &mut drawing,
            Layer::Title,
            &letters,
            Point::new(MARGIN, y),
            hand,
            600.0,
        ));
        y += hand.size() * 1.6;
    }
    y += 4.0;
    let lays = lays(pattern, gap);
    right = right.max(key(&mut drawing, &lays, Point::new(MARGIN, y)));
    y += 12.0;
    let mut x = MARGIN;
    let mut bottom = y;
    for lays in lays {
        let (wide, high) = cloth(&mut drawing, pattern, &lays, Point::new(x, y));
        x += wide + MARGIN;
        bottom = bottom.max(y + high);
    }
    drawing.width = x.max(right + MARGIN).ceil();
    drawing.height = (bottom + MARGIN).ceil();
    let sheet = Rect::new(0.0, 0.0, drawing.width, drawing.height).to_path(0.1);
    drawing.add(Layer::Paper, None, None, Shape::Fill(sheet, Fill::Sheet));
    drawing
}

/// A bar that proves the scale, and which line is what; returns how far right they reach.
fn key(drawing: &mut Drawing, lays: &[Lays<'_>], corner: Point) -> f64 {
    let layer = Layer::TestSquare;
    let base = corner + Vec2::new(0.0, 5.0);
    let bar = Shape::Stroke(ruler(base), Pen::Frame);
    drawing.add(layer, None, Some("50 mm"), bar);
    let words = "50 mm, half a metre of cloth";
    let mut x = write(
        drawing,
        layer,
        words,
        corner + Vec2::new(BAR + 2.0, 2.0),
        Hand::Foot,
        200.0,
    );
    let lies = || lays.iter().flat_map(Lays::drawn);
    let striped = lies().any(|lay| lay.placed.iter().any(|one| !one.stripes.is_empty()));
    let folded = lies().any(|lay| lay.way == Way::Folded);
    let rows = [
        (Pen::Draft, "cut", true),
        (Pen::Frame, "edge of the cloth", true),
        (Pen::FoldEdge, "fold of the cloth", folded),
        (Pen::Match, "lies on a stripe", striped),
    ];
    for (pen, words, _) in rows.into_iter().filter(|(.., used)| *used) {
        let from = Point::new(x + 10.0, base.y - 1.2);
        let sample = Line::new(from, from + Vec2::new(24.0, 0.0)).to_path(0.1);
        drawing.add(Layer::Title, None, Some(words), Shape::Stroke(sample, pen));
        let corner = Point::new(from.x + 26.0, corner.y + 2.0);
        x = write(drawing, Layer::Title, words, corner, Hand::Foot, 200.0);
    }
    x
}

/// Writes a line with its top at a corner, no wider than `most`; returns how far right it reaches.
fn write(
    drawing: &mut Drawing,
    layer: Layer,
    letters: &str,
    corner: Point,
    hand: Hand,
    most: f64,
) -> f64 {
    let letters = text::fitted(&text::printable(letters), hand.size(), hand.bold(), most);
    let at = corner + Vec2::new(0.0, hand.size());
    drawing.add(
        layer,
        None,
        None,
        Shape::Text(Text::new(&letters, at, Anchor::Start, hand)),
    );
    corner.x + size_of(&letters, hand).0
}

/// A cloth with its words above it; returns the room it takes.
fn cloth(drawing: &mut Drawing, pattern: &Pattern, lays: &Lays<'_>, corner: Point) -> (f64, f64) {
    let unit = pattern.unit;
    let mut words = vec![(lays.cuts.words(), Hand::Heading)];
    for (way, lay) in [(Way::Open, &lays.open), (Way::Folded, &lays.folded)] {
        let said = match lay {
            Ok(lay) => format!("{}: {}", way.words(), taken(lay, unit)),
            Err(fault) => format!("{}: {}", way.words(), fault.words(unit)),
        };
        words.push((said, Hand::Foot));
    }
    words.extend(left_out(lays, unit).map(|words| (words, Hand::Caution)));
    words.extend(stripes(lays).into_iter().map(|words| (words, Hand::Foot)));
    let spreads: Vec<(&Lay<'_>, String, f64)> = lays
        .drawn()
        .into_iter()
        .map(|lay| {
            let words = spread(lay, unit);
            let wide = (SCALE * lay.width).max(size_of(&words, Hand::Foot).0 + 1.0);
            (lay, words, wide)
        })
        .collect();
    let longest = words
        .iter()
        .map(|(words, hand)| size_of(words, *hand).0)
        .fold(LEAST, f64::max);
    let beside: f64 = spreads.iter().map(|(.., wide)| wide + MARGIN).sum();
    let wide = (beside - MARGIN).max(longest + 1.0);
    let mut y = corner.y;
    for (letters, hand) in words {
        write(
            drawing,
            Layer::Title,
            &letters,
            Point::new(corner.x, y),
            hand,
            wide,
        );
        y += hand.size() * 1.5;
    }
    y += 3.0;
    let (mut x, mut foot) = (corner.x, y);
    for (lay, words, wide) in &spreads {
        let place = Affine::translate((x, y)) * Affine::scale(SCALE);
        stretch(drawing, lay, place, (words, *wide));
        for placed in &lay.placed {
            piece(drawing, placed, place);
        }
        x += wide + MARGIN;
        foot = foot.max(y + SCALE * lay.length + 8.0);
    }
    (wide, foot - corner.y)
}

/// How the cloth lies.
fn spread(lay: &Lay<'_>, unit: LengthUnit) -> String {
    let width = unit.length(lay.width);
    let apart = match lay.gap > 0.0 {
        true => format!(", {} between pieces", unit.length(lay.gap)),
        false => String::new(),
    };
    match lay.way {
        Way::Open => format!("open, face up: {width} of usable width{apart}"),
        Way::Folded => {
            format!("folded, face to face: fold at the left, {width} of usable width{apart}")
        }
    }
}

/// The stretch of cloth: its edges, the fold at the left where it is folded, and words below it, no wider than said.
fn stretch(drawing: &mut Drawing, lay: &Lay<'_>, place: Affine, (words, wide): (&str, f64)) {
    let (right, foot) = (lay.width, lay.length);
    let at = |x: f64, y: f64| place * Point::new(x, y);
    let mut edges = BezPath::new();
    for (a, b) in [
        (at(0.0, 0.0), at(right, 0.0)),
        (at(right, 0.0), at(right, foot)),
        (at(right, foot), at(0.0, foot)),
    ] {
        edges.move_to(a);
        edges.line_to(b);
    }
    drawing.add(
        Layer::Title,
        None,
        Some("cloth"),
        Shape::Stroke(edges, Pen::Frame),
    );
    let left = Line::new(at(0.0, 0.0), at(0.0, foot)).to_path(0.1);
    let (layer, pen, name) = match lay.way {
        Way::Open => (Layer::Title, Pen::Frame, "selvedge"),
        Way::Folded => (Layer::Fold, Pen::FoldEdge, "fold"),
    };
    drawing.add(layer, None, Some(name), Shape::Stroke(left, pen));
    let corner = at(0.0, foot) + Vec2::new(0.0, 1.5);
    write(drawing, Layer::Title, words, corner, Hand::Foot, wide);
}

fn piece(drawing: &mut Drawing, placed: &Placed<'_>, place: Affine) {
    let name = placed.piece.name.as_str();
    let outline = place * placed.outline.clone();
    drawing.add(
        Layer::Pieces,
        Some(name),
        None,
        Shape::Fill(outline.clone(), Fill::Piece),
    );
    drawing.add(
        Layer::Cut,
        Some(name),
        None,
        Shape::Stroke(outline.clone(), Pen::Draft),
    );
    for stripe in placed.stripes.iter().filter(|stripe| stripe.lies) {
        let line = Shape::Stroke(place * stripe.path.clone(), Pen::Match);
        drawing.add(Layer::Marks, Some(name), Some(&stripe.name), line);
    }
    let bounds = outline.bounding_box();
    let sides: Vec<&str> = placed.sides.iter().map(|side| letter(*side)).collect();
    let sides = match sides.join(" + ") {
        sides if sides.is_empty() => sides,
        sides => format!(" {sides}"),
    };
    let number = placed.piece.number.0;
    let full = format!("{number} {}{sides}", placed.piece.label);
    let number = format!("{number}{sides}");
    let upright = bounds.width() >= bounds.height();
    let along = if upright {
        Vec2::new(1.0, 0.0)
    } else {
        Vec2::new(0.0, -1.0)
    };
    let across = Vec2::new(-along.y, along.x);
    // A curve may come in between the corners of a box.
    let fits = |letters: &str, hand: Hand, middle: Point| {
        let (width, height) = size_of(letters, hand);
        let rim = (0..=8).flat_map(|step| {
            let x = f64::from(step) / 8.0 - 0.5;
            [(x, -0.5), (x, 0.5)]
        });
        let at = |(x, y): (f64, f64)| middle + along * (x * width) + across * (y * height);
        rim.into_iter().all(|spot| outline.contains(at(spot)))
    };
    let names = [
        (&full, Hand::Foot),
        (&full, Hand::LayName),
        (&number, Hand::Foot),
        (&number, Hand::LayName),
    ];
    let found = names.into_iter().find_map(|(letters, hand)| {
        let middle = places(bounds)
            .into_iter()
            .find(|middle| fits(letters, hand, *middle))?;
        Some((letters, hand, middle))
    });
    if let Some((letters, hand, middle)) = found {
        let at = middle + across * (0.35 * hand.size());
        let said = Text::new(letters, at, Anchor::Middle, hand).along(along);
        drawing.add(Layer::Text, Some(name), None, Shape::Text(said));
    }
}

/// The wearer's side as cutting rooms write it.
fn letter(side: WearerSide) -> &'static str {
    match side {
        WearerSide::Left => "L",
        WearerSide::Right => "R",
    }
}

/// Places for a name, the middle of the box first.
fn places(bounds: Rect) -> Vec<Point> {
    let tries = (1..10).flat_map(|column| {
        (1..10).map(move |row| (f64::from(column) / 10.0, f64::from(row) / 10.0))
    });
    let middle = bounds.center();
    let mut places: Vec<Point> = tries
        .map(|(x, y)| bounds.origin() + Vec2::new(bounds.width() * x, bounds.height() * y))
        .collect();
    places.sort_by(|a, b| (*a - middle).hypot().total_cmp(&(*b - middle).hypot()));
    places
}
