//! The two sides laid over each other, piece by piece: what was there dashed, what is there now unbroken, edges that changed
//! heavy, and arrows from where points lay to where they lie. A piece that only moved on its sheet is moved back first.

use super::names::{self, Names, panel_of};
use super::verdict::verdict_words;
use super::{Comparison, PieceChange, Side, Verdict, pieces, words};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Size, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Edge, NotchMark, Pattern, Piece};
use oaktag_language::voice;
use oaktag_output::drawing::canvas::{Canvas, Of};
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::labels::size_of;
use oaktag_output::drawing::preface::Preface;
use oaktag_output::drawing::style::{Fill, Hand, Pen};
use oaktag_output::drawing::{Drawing, Layer};
use oaktag_output::path_data::bez;
use oaktag_output::sheet::Sheet;
use oaktag_output::{hang, layout, pages, svg};

/// The layer of its lines.
const LINES: Layer = Layer::Sew;
/// Room between pieces, for the names outside them.
const GAP: f64 = 40.0;
/// Room round the sheet.
const MARGIN: f64 = 30.0;
/// A piece is not drawn smaller than this to fit.
const SMALLEST: f64 = 0.05;
/// Arrows are drawn for moves longer than this.
const ARROW_FROM: f64 = 2.0;

/// A piece of either side, or of both, before it has its place.
pub(super) struct Laid<'a> {
    change: &'a PieceChange,
    /// The old piece, and how it is moved to lie over the new.
    old: Option<(&'a Piece, Affine)>,
    new: Option<&'a Piece>,
    /// Of both, y down.
    pub bounds: Rect,
}

/// The pens of the two sides.
pub(super) struct Pens {
    pub was: Pen,
    /// An edge that changed, as it was.
    pub was_other: Pen,
    pub is: Pen,
    /// An edge that changed, as it is.
    pub is_other: Pen,
}

/// For true size.
const LARGE: Pens = Pens {
    was: Pen::Was,
    was_other: Pen::WasOther,
    is: Pen::Is,
    is_other: Pen::IsOther,
};

/// For pictures that are much smaller, on which a centimetre is no wider than a pen.
pub(super) const SMALL: Pens = Pens {
    was: Pen::Gone,
    was_other: Pen::Held,
    is: Pen::Draft,
    is_other: Pen::Guide,
};

/// Draws the overlay at true size, for a sheet.
pub fn drawing(comparison: &Comparison, old: Side<'_>, new: Side<'_>, sheet: Sheet) -> Drawing {
    drawn(comparison, (old, new), (f64::INFINITY, sheet))
}

/// Writes the overlay as an SVG file at true size.
pub fn svg(comparison: &Comparison, old: Side<'_>, new: Side<'_>) -> String {
    svg::of_drawing(&drawing(comparison, old, new, Sheet::Fit))
}

/// Draws the overlay no wider and no higher than so many millimetres, its letters as large as ever.
pub fn fitted(comparison: &Comparison, sides: (Side<'_>, Side<'_>), most: f64) -> Drawing {
    drawn(comparison, sides, (most, Sheet::Fit))
}

fn drawn(
    comparison: &Comparison,
    (old, new): (Side<'_>, Side<'_>),
    (most, sheet): (f64, Sheet),
) -> Drawing {
    let names = names::pair(old, new);
    let before = &old.outcome.pattern.pieces;
    let pairs = pieces::pairs(&names, before, &new.outcome.pattern.pieces);
    // A page's list speaks of every piece; on a sheet those that changed are enough.
    let only_changed = most.is_infinite() && !comparison.pieces.iter().all(is_kept);
    let laid: Vec<Laid<'_>> = pairs
        .into_iter()
        .zip(&comparison.pieces)
        .filter(|(_, change)| !only_changed || !is_kept(change))
        .filter_map(|((old, new), change)| lay(old, new, change))
        .collect();
    let (by, layout, pads) = arranged(&laid, &new.outcome.pattern, most);
    let (width, height) = (
        layout.size.width + 2.0 * MARGIN,
        layout.size.height + 2.0 * MARGIN,
    );
    let said = format!(
        "{}: each piece as it was, dashed, and as it is, unbroken; edges that changed are heavy. {}",
        comparison.title,
        super::report::report(comparison, super::report::Detail::Outline).verdict
    );
    let title = format!("{}: what changed", comparison.title);
    // A page says in its own words what stands above a sheet; tiles have it on a page before them.
    let preface = most
        .is_infinite()
        .then(|| preface(comparison, only_changed));
    let (head, room) = match &preface {
        Some(preface) if pages::tile(sheet).is_none() => {
            let (head, room) = preface.head(&title, MARGIN / 2.0);
            (Some(head), room)
        }
        Some(_) | None => (None, Size::ZERO),
    };
    let size = Size::new(
        width.max(120.0).max(room.width),
        height.max(60.0) + room.height,
    );
    let mut canvas = Canvas::figure(size, &title, &said);
    canvas.keep_below(room.height);
    let place = |one: &Laid<'_>, corner: &Point, pad: f64| {
        let to = *corner + Vec2::new(MARGIN, MARGIN + room.height + pad)
            - Point::new(one.bounds.x0 * by, one.bounds.y0 * by);
        Affine::translate(to) * Affine::scale(by) * Affine::FLIP_Y
    };
    let places = layout.places.iter().zip(&pads);
    for (one, (corner, pad)) in laid.iter().zip(places.clone()) {
        let place = place(one, corner, *pad);
        draw(&mut canvas, comparison, one, (place, &LARGE));
    }
    // What stands in the middle of each, before names that may go anywhere.
    for (one, (corner, pad)) in laid.iter().zip(places.clone()) {
        let centre = Point::new(one.bounds.center().x, -one.bounds.center().y);
        heading(&mut canvas, one, place(one, corner, *pad) * centre);
    }
    for (one, (corner, pad)) in laid.iter().zip(places) {
        let place = place(one, corner, *pad);
        letter(&mut canvas, comparison, &names, one, place);
    }
    let mut drawing = canvas.finish();
    match head {
        Some(head) => drawing.append(head),
        None => drawing.preface = preface,
    }
    drawing
}

/// Whether a piece's paper serves as it is.
fn is_kept(change: &PieceChange) -> bool {
    change.verdict == Verdict::Keep
}

/// How an overlay is read.
pub(super) const KEY: &str = "Dashed: as it was. Unbroken: as it is. Heavy: an edge that changed.";

/// What is read before a sheet: how to read it, which line is what, what to do with the paper.
fn preface(comparison: &Comparison, only_changed: bool) -> Preface {
    let left_out = if only_changed {
        " Pieces that are kept are not drawn."
    } else {
        ""
    };
    let lines = [
        format!("{}.", words::sides(comparison)),
        super::verdict::verdict(comparison),
        format!("True size.{left_out}"),
    ];
    let key = [
        (Pen::Was, "as it was"),
        (Pen::WasOther, "an edge that changed, as it was"),
        (Pen::WasCut, "cutting line as it was"),
        (Pen::Is, "as it is"),
        (Pen::IsOther, "an edge that changed, as it is"),
        (Pen::Allowance, "cutting line as it is"),
        (Pen::Notch, "notch"),
        (Pen::Arrow, "from where a corner lay"),
    ];
    Preface {
        lines: lines.into_iter().map(|line| (line, Hand::Sheet)).collect(),
        key: key.map(|(pen, words)| (pen, words.to_owned())).into(),
    }
}

/// The pieces as they lie, and the scale at which all of them take no more than so much each way; never larger than life.
/// How much lower each begins, so that neighbours hang level, comes with it.
fn arranged<'a>(
    laid: &[Laid<'a>],
    pattern: &Pattern,
    most: f64,
) -> (f64, layout::Layout, Vec<f64>) {
    let hung = laid.iter().filter_map(|one| {
        let piece = one.new.or(one.old.map(|(old, _)| old))?;
        Some((piece, Affine::FLIP_Y, one.bounds))
    });
    let hung: Vec<hang::OnSheet<'_>> = hung.collect();
    let scaled = |by: f64| {
        let smaller = |(piece, place, bounds): &hang::OnSheet<'a>| {
            let by = Affine::scale(by);
            (*piece, by * *place, by.transform_rect_bbox(*bounds))
        };
        hung.iter().map(smaller).collect::<Vec<_>>()
    };
    if most.is_infinite() {
        let lay = |boxes: &[Size]| layout::lay(boxes, GAP);
        let (layout, pads) = hang::laid(pattern, &hung, lay);
        return (1.0, layout, pads);
    }
    let free = most - 2.0 * MARGIN;
    let mut by = 1.0;
    loop {
        let lay = |boxes: &[Size]| layout::lay_within(boxes, GAP, free);
        let (layout, pads) = hang::laid(pattern, &scaled(by), lay);
        if by < SMALLEST || (layout.size.width <= free && layout.size.height <= free) {
            return (by, layout, pads);
        }
        by *= 0.9;
    }
}

pub(super) fn lay<'a>(
    old: Option<&'a Piece>,
    new: Option<&'a Piece>,
    change: &'a PieceChange,
) -> Option<Laid<'a>> {
    let old = old.map(|old| (old, change.frame));
    let mut bounds: Option<Rect> = None;
    let mut add = |path: Option<&Path>, place: Affine| {
        if let Some(path) = path {
            let its = (Affine::FLIP_Y * place * bez(path)).bounding_box();
            bounds = Some(bounds.map_or(its, |known| known.union(its)));
        }
    };
    if let Some(new) = new {
        add(new.outer(), Affine::IDENTITY);
        new.edges
            .iter()
            .for_each(|edge| add(Some(&edge.path), Affine::IDENTITY));
    }
    if let Some((old, place)) = &old {
        old.edges
            .iter()
            .for_each(|edge| add(Some(&edge.path), *place));
    }
    Some(Laid {
        change,
        old,
        new,
        bounds: bounds?,
    })
}

/// Draws a piece at its place: the old one dashed, edges that changed heavy.
pub(super) fn draw(
    canvas: &mut Canvas,
    comparison: &Comparison,
    laid: &Laid<'_>,
    (place, pens): (Affine, &Pens),
) {
    let piece = laid.change.name.as_str();
    let of = Of::piece(piece);
    let is_same = laid.change.verdict.keeps_outline();
    if let Some(outer) = laid.new.and_then(Piece::outer).filter(|_| !is_same) {
        canvas.fill(Layer::Pieces, of, place * bez(outer), Fill::Changed);
    }
    if let Some(cutting) = laid.new.and_then(|new| new.cutting.as_ref()) {
        canvas.stroke(Layer::Cut, of, place * bez(cutting), Pen::Allowance);
    }
    if let Some((old, moved)) = laid.old.filter(|_| !is_same) {
        if let Some(cutting) = &old.cutting {
            canvas.stroke(Layer::Cut, of, place * moved * bez(cutting), Pen::WasCut);
        }
        for edge in &old.edges {
            let pen = if was_changed(laid.change, edge) {
                pens.was_other
            } else {
                pens.was
            };
            let path = place * moved * bez(&edge.path);
            canvas.stroke(LINES, of.named(&edge.name), path, pen);
        }
    }
    let Some(new) = laid.new else { return };
    for edge in &new.edges {
        let pen = if is_changed(laid.change, edge) {
            pens.is_other
        } else {
            pens.is
        };
        canvas.stroke(LINES, of.named(&edge.name), place * bez(&edge.path), pen);
    }
    let mut notch = |pen, place: Affine, mark: &NotchMark| {
        let line = kurbo::Line::new(mark.sewing, mark.sewing + mark.outward * 5.0);
        canvas.stroke(LINES, of, place * line.to_path(0.1), pen);
    };
    let now: Vec<&NotchMark> = new.notches.iter().flat_map(|one| &one.marks).collect();
    for (old, moved) in laid.old.iter().filter(|_| !laid.change.notches.is_empty()) {
        for mark in old.notches.iter().flat_map(|one| &one.marks) {
            let at = *moved * mark.sewing;
            if now
                .iter()
                .all(|new| (new.sewing - at).hypot() > super::SAME)
            {
                notch(pens.was_other, place * *moved, mark);
            }
        }
    }
    for mark in now {
        notch(Pen::Notch, place, mark);
    }
    for point in comparison
        .points
        .iter()
        .filter(|point| panel_of(&point.name) == new.panel)
    {
        if point.on_outline && point.distance_mm > ARROW_FROM && !is_same {
            let by = Vec2::new(point.right_mm, point.up_mm);
            arrow(canvas, laid, place, &point.name, by);
        }
    }
}

fn was_changed(change: &PieceChange, edge: &Edge) -> bool {
    change.edges_gone.iter().any(|(name, _)| *name == edge.name)
        || change.edges.iter().any(|one| {
            one.has_another_line() && *one.was_named.as_ref().unwrap_or(&one.name) == edge.name
        })
}

fn is_changed(change: &PieceChange, edge: &Edge) -> bool {
    change.verdict == Verdict::New
        || change
            .edges_added
            .iter()
            .any(|(name, _)| *name == edge.name)
        || change
            .edges
            .iter()
            .any(|one| one.has_another_line() && one.name == edge.name)
}

/// The corner of the piece that a point is.
fn corner(laid: &Laid<'_>, at: Point) -> bool {
    let edges = laid.new.iter().flat_map(|piece| &piece.edges);
    edges
        .filter_map(|edge| edge.path.start().ok())
        .any(|start| (start - at).hypot() <= super::SAME)
}

fn arrow(canvas: &mut Canvas, laid: &Laid<'_>, place: Affine, name: &str, by: Vec2) {
    let Some(to) = laid.new.and_then(|piece| corner_named(piece, laid, by)) else {
        return;
    };
    let (a, b) = (place * (to - by), place * to);
    let along = (b - a).normalize();
    let across = Vec2::new(-along.y, along.x);
    let head = (b - a).hypot().min(6.0) * 0.5;
    let mut path: BezPath = kurbo::Line::new(a, b).to_path(0.1);
    path.move_to(b - along * head + across * head * 0.5);
    path.line_to(b);
    path.line_to(b - along * head - across * head * 0.5);
    let of = Of::piece(&laid.change.name).named(name);
    canvas.stroke(LINES, of, path, Pen::Arrow);
}

/// The corner that moved by so much: the old outline has one where it came from.
fn corner_named(piece: &Piece, laid: &Laid<'_>, by: Vec2) -> Option<Point> {
    let (old, moved) = laid.old.as_ref()?;
    let starts = piece.edges.iter().filter_map(|edge| edge.path.start().ok());
    starts.into_iter().find(|to| {
        let from = *to - by;
        old.edges
            .iter()
            .filter_map(|edge| edge.path.start().ok())
            .any(|start| (*moved * start - from).hypot() <= super::SAME * 2.0)
    })
}

fn letter(
    canvas: &mut Canvas,
    comparison: &Comparison,
    names: &Names<'_>,
    laid: &Laid<'_>,
    place: Affine,
) {
    let unit = comparison.print_unit();
    let piece = laid.change.name.as_str();
    let of = Of::piece(piece);
    let edges = laid.new.iter().flat_map(|new| &new.edges);
    for edge in edges.filter(|edge| is_changed(laid.change, edge)) {
        let change = laid.change.edges.iter().find(|one| one.name == edge.name);
        let name = voice::name(&edge.name);
        let said = match change {
            Some(change) if change.length_mm.is_change() => {
                let printed = words::Printed::lengths(&change.length_mm, unit);
                format!("{name} {}", printed.signed())
            }
            Some(_) => format!("{name}, another line"),
            None => format!("{name} {}", unit.length(edge.length)),
        };
        if let Ok(middle) = edge.path.point_at(edge.length / 2.0) {
            let (of, hand) = (of.named(&edge.name), Hand::Change);
            canvas.name(Layer::Text, of, &said, place * middle, hand, f64::INFINITY);
        }
    }
    let Some(new) = laid.new else { return };
    for point in comparison
        .points
        .iter()
        .filter(|point| panel_of(&point.name) == new.panel)
    {
        let value = names
            .values
            .iter()
            .find(|(_, value)| value.name == point.name)
            .map(|(_, value)| &value.value);
        let Some(Value::Point(at)) = value else {
            continue;
        };
        if !corner(laid, *at) || point.distance_mm <= ARROW_FROM {
            continue;
        }
        let member = point.name.rsplit('.').next().unwrap_or(&point.name);
        let said = format!(
            "{}: {}",
            voice::name(member),
            words::way(point.right_mm, point.up_mm, unit)
        );
        let (of, hand) = (of.named(&point.name), Hand::Fresh);
        canvas.name(Layer::Text, of, &said, place * *at, hand, f64::INFINITY);
    }
}

/// The piece's label and what to do with its paper, in its middle.
fn heading(canvas: &mut Canvas, laid: &Laid<'_>, centre: Point) {
    let of = Of::piece(&laid.change.name);
    let verdict = verdict_words(laid.change.verdict);
    let mut at = centre;
    for (letters, hand) in [
        (laid.change.label.as_str(), Hand::Changed),
        (verdict, Hand::Change),
    ] {
        let (width, height) = size_of(letters, hand);
        let frame = TextFrame::upright(Rect::from_center_size(at, Size::new(width, height)));
        canvas.written(Layer::Text, of, letters, frame, hand);
        at.y += height * 1.4;
    }
}
