//! The figures of a lesson: earlier lines faint, new lines heavy, points that are used ringed, square marks where a line is
//! squared, what a hand leaves on the paper dashed, and names that do not touch each other.

use super::plate_names;
use super::sheets::Mark;
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Size, Vec2};
use oaktag_language::phrase::aid::Aid;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::canvas::{Canvas, Of, on_sheet};
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::labels::size_of;
use oaktag_output::drawing::style::{Fill, Hand, Pen};
use oaktag_output::drawing::{Drawing, Layer};
use oaktag_output::path_data::bez;
use std::collections::BTreeMap;

/// Width and greatest height of a figure on a screen, where it is as wide as a telephone: its letters, 3.5 mm high or more, have
/// 12 pixels there and are no larger than the words beside them elsewhere.
pub(super) const SCREEN: Size = Size::new(92.0, 120.0);
/// Where a figure at a fixed scale may be as large as it comes out.
pub(super) const ENDLESS: Size = Size::new(f64::MAX, f64::MAX);
/// A figure on paper is drawn no smaller than so many times.
const SMALLEST_SCALE: f64 = 64.0;
/// Room for names round what is shown, as a share of the figure's width.
const MARGIN: f64 = 0.11;
/// The same at a fixed scale, so that a large scale fits a small paper.
const NARROW: f64 = 10.0;
/// The strip along the foot that holds the bar, within either margin; no line of the drawing enters it.
const FOOT: f64 = 7.0;
/// The room at the foot on the right, for what a thin broken line is.
const KEY: f64 = 34.0;
/// The layer of its lines.
const LINES: Layer = Layer::Construction;
/// A step that shows less than this share of the sheet's width gets a small picture of the whole.
const LOCATE: f64 = 0.6;
/// Smallest stretch shown, so that a step of one point is not blown up beyond sense.
const LEAST: f64 = 90.0;

/// What a step's figure shows.
#[derive(Default)]
pub(super) struct Shown {
    /// Earlier lines and points, on the same sheets.
    pub earlier: Vec<Mark>,
    /// Lines and points that were redrawn in this step, as they were.
    pub replaced: Vec<Mark>,
    /// What is new, by name; whether its name is worth a label.
    pub new: Vec<(String, Mark)>,
    /// What is used, by name.
    pub used: Vec<(String, Mark)>,
    /// Left on the paper on the way.
    pub aids: Vec<Aid>,
    /// By which act each new thing is drawn.
    pub acts: BTreeMap<String, usize>,
    /// Numbers that stand for points, in place of their names.
    pub numbers: BTreeMap<String, String>,
    /// How long lines are is left to be measured.
    pub bare: bool,
}

/// The picture of a step.
pub(super) struct Picture {
    /// What is new, large.
    pub plate: Drawing,
    /// The whole sheet small, where the figure shows but a part of it.
    pub locator: Option<Drawing>,
    /// Numbers that stand for names in the figure; names for which it has no room at all have none.
    pub key: Vec<(String, String)>,
    /// So many millimetres of the sheet to one of the figure, where that was asked for.
    pub scale: Option<f64>,
}

/// The picture of a step, in a room of so many millimetres' height.
pub(super) fn step(
    title: &str,
    words: &str,
    shown: &Shown,
    unit: LengthUnit,
    (scale, room): (Option<f64>, Size),
) -> Option<Picture> {
    let view = view(shown)?;
    let scale = scale.map(|scale| scale_that_fits(view, scale, room));
    let (mut canvas, place) = opened(title, words, view, (scale, room));
    let key = draw(&mut canvas, place, shown, unit);
    let whole = bounds(
        shown
            .earlier
            .iter()
            .chain(shown.new.iter().map(|(_, mark)| mark)),
    );
    let locator = whole.filter(|whole| {
        view.width() < LOCATE * whole.width() || view.height() < LOCATE * whole.height()
    });
    let locator = locator.map(|whole| small(title, whole.union(view), view, shown));
    Some(Picture {
        plate: canvas.finish(),
        locator,
        key,
        scale,
    })
}

/// The scale asked for, or half of it and half again, as the paper demands.
fn scale_that_fits(view: Rect, scale: f64, room: Size) -> f64 {
    let fits = |scale: f64| {
        view.width() / scale + 2.0 * NARROW <= room.width
            && view.height() / scale + 2.0 * NARROW <= room.height
    };
    let mut scale = scale;
    while !fits(scale) && scale < SMALLEST_SCALE {
        scale *= 2.0;
    }
    scale
}

pub(super) fn bounds<'a>(marks: impl Iterator<Item = &'a Mark>) -> Option<Rect> {
    let boxes = marks.filter_map(|mark| match mark {
        Mark::Point(at) => Some(Rect::from_points(*at, *at)),
        Mark::Line(path) if path.is_endless() => {
            path.endless_line().map(|(at, _)| Rect::from_points(at, at))
        }
        Mark::Line(path) => Some(bez(path).bounding_box()),
    });
    boxes.reduce(|a, b| a.union(b))
}

/// The part of the sheet that is shown: what is new and what it is drawn from.
fn view(shown: &Shown) -> Option<Rect> {
    let new = bounds(shown.new.iter().map(|(_, mark)| mark))?;
    let points = shown
        .used
        .iter()
        .map(|(_, mark)| mark)
        .filter(|mark| matches!(mark, Mark::Point(_)));
    let used = bounds(points).map_or(new, |used| used.union(new));
    let grow = |size: f64| ((LEAST - size) / 2.0).max(0.0);
    Some(used.inflate(grow(used.width()), grow(used.height())))
}

/// An empty plate for a part of the sheet, and how the sheet lies on it.
fn opened(
    title: &str,
    words: &str,
    view: Rect,
    (scale, room): (Option<f64>, Size),
) -> (Canvas, Affine) {
    let margin = match scale {
        Some(_) => NARROW,
        None => (MARGIN * room.width).max(NARROW),
    };
    let free = (room.width - 2.0 * margin, room.height - 2.0 * margin);
    let fitted = (free.0 / view.width()).min(free.1 / view.height()).min(1.0);
    let by = scale.map_or(fitted, |scale| 1.0 / scale);
    let (width, height) = (
        view.width() * by + 2.0 * margin,
        view.height() * by + 2.0 * margin,
    );
    let width = if scale.is_some() {
        width.max(60.0)
    } else {
        room.width
    };
    let size = Size::new(width, height);
    let middle = Point::new(size.width / 2.0, size.height / 2.0);
    let place = Affine::translate(middle.to_vec2())
        * Affine::FLIP_Y
        * Affine::scale(by)
        * Affine::translate(-view.center().to_vec2());
    (Canvas::figure(size, title, words), place)
}

fn draw(
    canvas: &mut Canvas,
    place: Affine,
    shown: &Shown,
    unit: LengthUnit,
) -> Vec<(String, String)> {
    let Size { width, height } = canvas.size();
    let sheet = Rect::new(0.0, 0.0, width, height - FOOT).inflate(-1.0, -1.0);
    let of = Of::default();
    scale_bar(canvas, place, unit, !shown.replaced.is_empty());
    if !shown.replaced.is_empty() {
        key_to_replaced(canvas);
    }
    for (pen, marks) in [(Pen::Early, &shown.earlier), (Pen::Gone, &shown.replaced)] {
        for mark in marks {
            match mark {
                Mark::Line(path) => {
                    if let Some(path) = on_sheet(path, place, sheet) {
                        canvas.stroke(LINES, of, path, pen);
                    }
                }
                Mark::Point(at) if pen == Pen::Gone => {
                    canvas.ring(LINES, of, place * *at, 0.8, pen);
                }
                Mark::Point(_) => {}
            }
        }
    }
    for aid in &shown.aids {
        for (pen, path) in aid_paths(aid, place) {
            canvas.stroke(LINES, of, path, pen);
        }
    }
    for (name, mark) in &shown.new {
        if let Mark::Line(line) = mark
            && let Some(path) = on_sheet(line, place, sheet)
        {
            let pen = if line.is_endless() {
                Pen::Guide
            } else {
                Pen::New
            };
            canvas.stroke(LINES, of.named(name), path, pen);
        }
    }
    for (name, mark) in &shown.used {
        if let Mark::Point(at) = mark {
            canvas.ring(LINES, of.named(name), place * *at, 1.5, Pen::Ring);
        }
    }
    for (name, mark) in &shown.new {
        if let Mark::Point(at) = mark {
            canvas.dot(LINES, of.named(name), place * *at, 0.8, Fill::NewDot);
        }
    }
    plate_names::name_all(canvas, place, shown, unit)
}

/// A bar of 10 cm, or 4 in, that shows how large the figure is; a shorter one where that has no room beside its letters.
fn scale_bar(canvas: &mut Canvas, place: Affine, unit: LengthUnit, keyed: bool) {
    let lengths = match unit {
        LengthUnit::Inch => [(101.6, "4 in"), (50.8, "2 in"), (25.4, "1 in")],
        LengthUnit::Millimetre => [(100.0, "100 mm"), (50.0, "50 mm"), (20.0, "20 mm")],
        LengthUnit::Centimetre => [(100.0, "10 cm"), (50.0, "5 cm"), (20.0, "2 cm")],
    };
    let by = (place * Point::new(1.0, 0.0) - place * Point::ORIGIN).hypot();
    let free = canvas.size().width - 4.0 - if keyed { KEY } else { 1.0 };
    let fits = |long: f64, letters| long * by + 1.5 + size_of(letters, Hand::Scale).0 <= free;
    let [longest, shorter, shortest] = lengths;
    let fitting = [longest, shorter]
        .into_iter()
        .find(|(long, letters)| fits(*long, letters));
    let (long, letters) = fitting.unwrap_or(shortest);
    let width = long * by;
    let down = canvas.size().height - 4.0;
    let (from, to) = (Point::new(4.0, down), Point::new(4.0 + width, down));
    let mut path = kurbo::Line::new(from, to).to_path(0.1);
    for end in [from, to] {
        path.move_to(end - Vec2::new(0.0, 1.2));
        path.line_to(end + Vec2::new(0.0, 1.2));
    }
    canvas.stroke(LINES, Of::default(), path, Pen::Bar);
    let (text_width, height) = size_of(letters, Hand::Scale);
    // A name across the bar would be measured with it.
    canvas.keep_off(Rect::from_points(from, to).inflate(1.0, 1.2));
    // Beside the bar, below where lines end.
    let beside = Point::new(to.x + 1.5 + text_width / 2.0, down);
    let frame = TextFrame::upright(Rect::from_center_size(
        beside,
        Size::new(text_width, height),
    ));
    canvas.written(Layer::Text, Of::default(), letters, frame, Hand::Scale);
}

/// What a thin broken line is, at the foot on the right.
fn key_to_replaced(canvas: &mut Canvas) {
    let letters = "as it was";
    let (width, height) = size_of(letters, Hand::Scale);
    let (right, down) = (canvas.size().width - 4.0, canvas.size().height - 4.0);
    let middle = down - height / 2.0;
    let (from, to) = (right - width - 14.0, right - width - 2.0);
    let sample = kurbo::Line::new((from, middle), (to, middle)).to_path(0.1);
    canvas.stroke(LINES, Of::default(), sample, Pen::Gone);
    let centre = Point::new(right - width / 2.0, middle);
    let frame = TextFrame::upright(Rect::from_center_size(centre, Size::new(width, height)));
    canvas.written(Layer::Text, Of::default(), letters, frame, Hand::Scale);
}

fn aid_paths(aid: &Aid, place: Affine) -> Vec<(Pen, BezPath)> {
    let straight = |a: Point, b: Point| (place * kurbo::Line::new(a, b)).to_path(0.1);
    match aid {
        Aid::Arc { centre, to } => {
            let radius = (*to - *centre).hypot();
            let start = (*to - *centre).atan2();
            let arc =
                kurbo::Arc::new(*centre, (radius, radius), start - 0.2, 0.4, 0.0).to_path(0.05);
            vec![(Pen::Aid, straight(*centre, *to)), (Pen::Aid, place * arc)]
        }
        Aid::Corner { at, from, to } => {
            vec![
                (Pen::Aid, straight(*from, *at)),
                (Pen::Aid, straight(*at, *to)),
            ]
        }
        Aid::Turn { centre, .. } => {
            let ring = kurbo::Circle::new(place * *centre, 2.4).to_path(0.05);
            vec![(Pen::Aid, ring)]
        }
        Aid::Square { at, along, up } => {
            let corner = place * *at;
            let way = |v: Vec2| (place * (*at + v) - corner).normalize() * 2.6;
            let (along, up) = (way(*along), way(*up));
            let mut path = BezPath::new();
            path.move_to(corner + along);
            path.line_to(corner + along + up);
            path.line_to(corner + up);
            vec![(Pen::Corner, path)]
        }
    }
}

/// The whole sheet, small, with a frame round what the figure shows.
fn small(title: &str, whole: Rect, view: Rect, shown: &Shown) -> Drawing {
    let by = (44.0 / whole.width()).min(44.0 / whole.height());
    let (width, height) = (whole.width() * by + 6.0, whole.height() * by + 6.0);
    let title = format!("{title}: where on the sheet");
    let words = "The whole sheet, with a frame round the part that is shown large.";
    let mut canvas = Canvas::figure(Size::new(width, height), &title, words);
    let place = Affine::translate((width / 2.0, height / 2.0))
        * Affine::FLIP_Y
        * Affine::scale(by)
        * Affine::translate(-whole.center().to_vec2());
    let sheet = Rect::new(0.0, 0.0, width, height);
    let lines = shown
        .earlier
        .iter()
        .chain(shown.new.iter().map(|(_, mark)| mark));
    for mark in lines {
        if let Mark::Line(path) = mark
            && !path.is_endless()
            && let Some(path) = on_sheet(path, place, sheet)
        {
            canvas.stroke(LINES, Of::default(), path, Pen::Early);
        }
    }
    let frame = (place * view.to_path(0.1)).bounding_box();
    canvas.stroke(LINES, Of::default(), frame.to_path(0.1), Pen::Part);
    canvas.finish()
}
