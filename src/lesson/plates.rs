//! The figures of a lesson: earlier lines faint, new lines heavy, points that are used ringed, square marks where a line is
//! squared, what a hand leaves on the paper dashed, and names that do not touch each other.

use super::sheets::{Mark, Sheets};
use super::speech::spoken;
use crate::kind::unit::LengthUnit;
use crate::output::drawing::frame::TextFrame;
use crate::output::drawing::ink::Hand;
use crate::output::drawing::labels::size_of;
use crate::output::layout;
use crate::output::path_data::bez;
use crate::output::plate::{Of, Plate, placed};
use crate::pattern::Pattern;
use crate::phrase::aid::Aid;
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Size, Vec2};

/// Width and greatest height of a figure that fits a page, in millimetres.
const PAGE: (f64, f64) = (160.0, 150.0);
/// Room for names round what is shown.
const MARGIN: f64 = 17.0;
/// A step that shows less than this share of the sheet's width gets a small picture of the whole.
const LOCATE: f64 = 0.6;
/// Smallest stretch shown, so that a step of one point is not blown up beyond sense.
const LEAST: f64 = 90.0;

/// More new things than this are told apart by their lines alone: names of every point would hide the drawing.
const CROWD: usize = 16;

/// Most lines, and most used points, that are named.
const MOST_NAMED: usize = 60;

/// What a step's figure shows.
#[derive(Default)]
pub(super) struct Shown {
    /// Earlier lines and points, on the same sheets.
    pub earlier: Vec<Mark>,
    /// Lines that were redrawn in this step, as they were.
    pub replaced: Vec<Mark>,
    /// What is new, by name; whether its name is worth a label.
    pub new: Vec<(String, Mark)>,
    /// What is used, by name.
    pub used: Vec<(String, Mark)>,
    /// Left on the paper on the way.
    pub aids: Vec<Aid>,
}

/// Lines and letters of figures.
pub(super) const STYLE: &str = "
path.early{stroke:var(--old);stroke-width:.28;opacity:.75}
path.gone{stroke:var(--old);stroke-width:.28;stroke-dasharray:1.6 1.4;stroke-linecap:butt}
path.guide{stroke:var(--new);stroke-width:.4}
path.new{stroke:var(--new);stroke-width:.85}
path.aid{stroke:var(--slate);stroke-width:.28;stroke-dasharray:1.2 1}
path.square{stroke:var(--new);stroke-width:.3}
path.ring{stroke:var(--slate);stroke-width:.4}
path.dot{fill:var(--new);stroke:none}
path.bar{stroke:var(--ink);stroke-width:.35}
path.leader{stroke:var(--old);stroke-width:.16}
path.piece{stroke:var(--ink);stroke-width:.5}
path.cut{stroke:var(--old);stroke-width:.25}
path.frame{stroke:var(--new);stroke-width:.8}
text.new{fill:var(--new)}
text.used{fill:var(--slate)}
text.scale,text.piece{fill:var(--ink)}
";

/// The figure of a step, and the whole sheet small where the figure shows but a part of it.
pub(super) fn step(
    title: &str,
    words: &str,
    shown: &Shown,
    unit: LengthUnit,
    scale: Option<f64>,
) -> (Option<Plate>, Option<Plate>) {
    let Some(view) = view(shown) else {
        return (None, None);
    };
    let (plate, place) = opened(title, words, view, scale);
    let plate = draw(plate, place, shown, unit);
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
    (Some(plate), locator)
}

fn bounds<'a>(marks: impl Iterator<Item = &'a Mark>) -> Option<Rect> {
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
fn opened(title: &str, words: &str, view: Rect, scale: Option<f64>) -> (Plate, Affine) {
    let room = (PAGE.0 - 2.0 * MARGIN, PAGE.1 - 2.0 * MARGIN);
    let fitted = (room.0 / view.width()).min(room.1 / view.height()).min(1.0);
    let by = scale.map_or(fitted, |scale| 1.0 / scale);
    let (width, height) = (
        view.width() * by + 2.0 * MARGIN,
        view.height() * by + 2.0 * MARGIN,
    );
    let width = if scale.is_some() { width } else { PAGE.0 };
    let plate = Plate::new(width.max(60.0), height, title, words);
    let middle = Point::new(plate.width / 2.0, plate.height / 2.0);
    let place = Affine::translate(middle.to_vec2())
        * Affine::FLIP_Y
        * Affine::scale(by)
        * Affine::translate(-view.center().to_vec2());
    (plate, place)
}

fn draw(mut plate: Plate, place: Affine, shown: &Shown, unit: LengthUnit) -> Plate {
    let sheet = Rect::new(0.0, 0.0, plate.width, plate.height).inflate(-1.0, -1.0);
    let none = Of::default();
    scale_bar(&mut plate, place, unit);
    for (class, marks) in [("early", &shown.earlier), ("gone", &shown.replaced)] {
        for mark in marks {
            if let Mark::Line(path) = mark
                && let Some(path) = placed(path, place, sheet)
            {
                plate.stroke(class, none, path, 0.35);
            }
        }
    }
    for aid in &shown.aids {
        for (class, path) in aid_paths(aid, place) {
            plate.stroke(class, none, path, 0.5);
        }
    }
    for (name, mark) in &shown.new {
        let of = Of {
            name: Some(name),
            ..none
        };
        if let Mark::Line(line) = mark
            && let Some(path) = placed(line, place, sheet)
        {
            plate.stroke(
                if line.is_endless() { "guide" } else { "new" },
                of,
                path,
                2.5,
            );
        }
    }
    for (name, mark) in &shown.used {
        if let Mark::Point(at) = mark {
            plate.ring(
                "ring",
                Of {
                    name: Some(name),
                    ..none
                },
                place * *at,
                1.5,
            );
        }
    }
    for (name, mark) in &shown.new {
        if let Mark::Point(at) = mark {
            plate.dot(
                "dot",
                Of {
                    name: Some(name),
                    ..none
                },
                place * *at,
                0.8,
            );
        }
    }
    name_all(&mut plate, place, shown, unit);
    plate
}

/// Names: new points, then new lines with their lengths, then what is used.
fn name_all(plate: &mut Plate, place: Affine, shown: &Shown, unit: LengthUnit) {
    let crowded = shown.new.len() > CROWD;
    let new_points = shown.new.iter().filter_map(|(name, mark)| match mark {
        Mark::Point(at) if !crowded => Some((name, *at)),
        Mark::Point(_) | Mark::Line(_) => None,
    });
    for (name, at) in new_points {
        plate.name(
            "new",
            Of {
                name: Some(name),
                ..Of::default()
            },
            &spoken(name),
            place * at,
            Hand::PointName,
        );
    }
    for (name, mark) in shown.new.iter().take(MOST_NAMED) {
        let Mark::Line(line) = mark else { continue };
        let of = Of {
            name: Some(name),
            ..Of::default()
        };
        match (line.length(), line.endless_line()) {
            (Ok(length), _) => {
                let letters = format!("{} {}", spoken(name), unit.length(length));
                // The middle first, then to either side of it.
                for share in [0.5, 0.35, 0.65, 0.2, 0.8] {
                    let Ok(at) = line.point_at(length * share) else {
                        continue;
                    };
                    if plate.name("new", of, &letters, place * at, Hand::PointName) {
                        break;
                    }
                }
            }
            (_, Some((through, way))) if !crowded => {
                let at = place * through;
                let ahead = (place * (through + way) - at).normalize();
                plate.name("new", of, &spoken(name), at + ahead * 12.0, Hand::PointName);
            }
            _ => {}
        }
    }
    for (name, mark) in shown.used.iter().take(MOST_NAMED) {
        let of = Of {
            name: Some(name),
            ..Of::default()
        };
        if let Mark::Point(at) = mark {
            plate.name(
                "used",
                of,
                &spoken(name),
                place * *at,
                Hand::ConstructionName,
            );
        }
    }
}

/// A bar of 10 cm, or 4 in, that shows how large the figure is.
fn scale_bar(plate: &mut Plate, place: Affine, unit: LengthUnit) {
    let (long, letters) = match unit {
        LengthUnit::Inch => (101.6, "4 in"),
        LengthUnit::Millimetre => (100.0, "100 mm"),
        LengthUnit::Centimetre => (100.0, "10 cm"),
    };
    let width = (place * Point::new(long, 0.0) - place * Point::ORIGIN).hypot();
    let (from, to) = (
        Point::new(4.0, plate.height - 4.0),
        Point::new(4.0 + width, plate.height - 4.0),
    );
    let mut path = kurbo::Line::new(from, to).to_path(0.1);
    for end in [from, to] {
        path.move_to(end - Vec2::new(0.0, 1.2));
        path.line_to(end + Vec2::new(0.0, 1.2));
    }
    plate.stroke("bar", Of::default(), path, 3.0);
    let (text_width, height) = size_of(letters, Hand::ConstructionName);
    let centre = Point::new(from.x + text_width / 2.0 + 1.0, from.y - 1.8 - height / 2.0);
    let frame = TextFrame::upright(Rect::from_center_size(
        centre,
        Size::new(text_width, height),
    ));
    plate.written(
        "scale",
        Of::default(),
        letters,
        frame,
        Hand::ConstructionName,
    );
}

fn aid_paths(aid: &Aid, place: Affine) -> Vec<(&'static str, BezPath)> {
    let straight = |a: Point, b: Point| (place * kurbo::Line::new(a, b)).to_path(0.1);
    match aid {
        Aid::Arc { centre, to } => {
            let radius = (*to - *centre).hypot();
            let start = (*to - *centre).atan2();
            let arc =
                kurbo::Arc::new(*centre, (radius, radius), start - 0.2, 0.4, 0.0).to_path(0.05);
            vec![("aid", straight(*centre, *to)), ("aid", place * arc)]
        }
        Aid::Corner { at, from, to } => {
            vec![("aid", straight(*from, *at)), ("aid", straight(*at, *to))]
        }
        Aid::Turn { centre, .. } => {
            let ring = kurbo::Circle::new(place * *centre, 2.4).to_path(0.05);
            vec![("aid", ring)]
        }
        Aid::Square { at, along, up } => {
            let corner = place * *at;
            let way = |v: Vec2| (place * (*at + v) - corner).normalize() * 2.6;
            let (along, up) = (way(*along), way(*up));
            let mut path = BezPath::new();
            path.move_to(corner + along);
            path.line_to(corner + along + up);
            path.line_to(corner + up);
            vec![("square", path)]
        }
    }
}

/// The whole sheet, small, with a frame round what the figure shows.
fn small(title: &str, whole: Rect, view: Rect, shown: &Shown) -> Plate {
    let by = (44.0 / whole.width()).min(44.0 / whole.height());
    let (width, height) = (whole.width() * by + 6.0, whole.height() * by + 6.0);
    let mut plate = Plate::new(
        width,
        height,
        &format!("{title}: where on the sheet"),
        "The whole sheet, with a frame round the part that is shown large.",
    );
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
            && let Some(path) = placed(path, place, sheet)
        {
            plate.stroke("early", Of::default(), path, 0.0);
        }
    }
    let frame = (place * view.to_path(0.1)).bounding_box();
    plate.stroke("frame", Of::default(), frame.to_path(0.1), 0.0);
    plate
}

/// All sheets side by side as they are by now.
pub(super) fn sheets(title: &str, words: &str, sheets: &Sheets) -> Option<Plate> {
    let drawn: Vec<(&String, Vec<&Mark>, Rect)> = sheets
        .0
        .iter()
        .filter_map(|(name, sheet)| {
            let marks: Vec<&Mark> = sheet.values().collect();
            let lines = marks
                .iter()
                .any(|mark| matches!(mark, Mark::Line(path) if !path.is_endless()));
            let bounds = bounds(marks.iter().copied())?;
            lines.then_some((name, marks, bounds))
        })
        .collect();
    let boxes: Vec<(String, Rect)> = drawn
        .iter()
        .map(|(name, _, bounds)| ((*name).clone(), *bounds))
        .collect();
    let (mut plate, places) = side_by_side(title, words, &boxes)?;
    for ((_, marks, _), place) in drawn.iter().zip(&places) {
        for mark in marks {
            if let Mark::Line(path) = mark
                && !path.is_endless()
            {
                plate.stroke("piece", Of::default(), *place * bez(path), 1.5);
            }
        }
    }
    for ((name, bounds), place) in boxes.iter().zip(&places) {
        let letters = if name.is_empty() {
            "beside the panels".to_owned()
        } else {
            crate::pattern::figure::name(name)
        };
        plate.name(
            "piece",
            Of::default(),
            &letters,
            *place * bounds.center(),
            Hand::PointName,
        );
    }
    Some(plate)
}

/// The pieces as they are cut.
pub(super) fn pieces(title: &str, words: &str, pattern: &Pattern) -> Option<Plate> {
    let boxes: Vec<(String, Rect)> = pattern
        .pieces
        .iter()
        .filter_map(|piece| Some((piece.label.clone(), bez(piece.outer()?).bounding_box())))
        .collect();
    let (mut plate, places) = side_by_side(title, words, &boxes)?;
    let drawn = pattern
        .pieces
        .iter()
        .filter(|piece| piece.outer().is_some());
    for (piece, place) in drawn.zip(&places) {
        let of = Of {
            piece: Some(&piece.name),
            name: None,
        };
        if let Some(cutting) = &piece.cutting {
            plate.stroke("cut", of, *place * bez(cutting), 1.0);
        }
        for edge in &piece.edges {
            plate.stroke(
                "piece",
                Of {
                    name: Some(&edge.name),
                    ..of
                },
                *place * bez(&edge.path),
                1.5,
            );
        }
    }
    for ((label, bounds), place) in boxes.iter().zip(&places) {
        plate.name(
            "piece",
            Of::default(),
            label,
            *place * bounds.center(),
            Hand::PointName,
        );
    }
    Some(plate)
}

/// Boxes of the sheet laid side by side on a page: the plate, and how each lies on it.
fn side_by_side(
    title: &str,
    words: &str,
    boxes: &[(String, Rect)],
) -> Option<(Plate, Vec<Affine>)> {
    if boxes.is_empty() {
        return None;
    }
    let sizes: Vec<Size> = boxes.iter().map(|(_, bounds)| bounds.size()).collect();
    let layout = layout::lay(&sizes, 60.0);
    let by = ((PAGE.0 - 12.0) / layout.size.width.max(1.0))
        .min(230.0 / layout.size.height.max(1.0))
        .min(1.0);
    let plate = Plate::new(PAGE.0, layout.size.height * by + 12.0, title, words);
    let places = boxes
        .iter()
        .zip(&layout.places)
        .map(|((_, bounds), corner)| {
            let to = Vec2::new(6.0, 6.0) + corner.to_vec2() * by;
            Affine::translate(to)
                * Affine::scale(by)
                * Affine::translate((-bounds.x0, bounds.y1))
                * Affine::FLIP_Y
        });
    Some((plate, places.collect()))
}
