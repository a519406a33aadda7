//! A draft without pieces: each panel's lines and points side by side, so that there is something to look at from the
//! first sentence on.

use super::canvas::{Canvas, Of, on_sheet};
use super::compose::{BEYOND, as_before, extent, labels_on, laid, reaching};
use super::frame::TextFrame;
use super::labels::Keep;
use super::piece_lines::{of_panel, redrawn_on};
use super::piece_names::{heading, readable};
use super::style::{Fill, Hand, Pen};
use super::{Drawing, Layer, labels, point_names, text};
use crate::tile_layout::Laid;
use kurbo::{Affine, Point, Rect, Size, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::{NamedValue, Value};

/// Room between two panels, in millimetres.
const GAP: f64 = 60.0;
/// Names on a panel, at most.
const MOST_NAMES: usize = 60;

/// Draws every panel that has something to show; returns the size of the sheet.
pub(super) fn draw(canvas: &mut Canvas, pattern: &Pattern, before: Option<&Drawing>) -> Size {
    let panels: Vec<(String, Rect)> = names(&pattern.values)
        .into_iter()
        .filter_map(|name| Some((name.clone(), bounds(&pattern.values, &name)?)))
        .collect();
    let scale = canvas.manner.scale.factor();
    let pads: Vec<f64> = pads(&pattern.values, &panels)
        .iter()
        .map(|pad| pad * scale)
        .collect();
    let sizes = panels.iter().zip(&pads);
    let sizes = sizes.map(|((_, bounds), pad)| bounds.size() * scale + Size::new(0.0, *pad));
    let sizes: Vec<Size> = sizes.collect();
    let shapes = || sizes.iter().copied().map(Laid::filled).collect();
    let (corner, layout) = laid(canvas, pattern, (&sizes, shapes), GAP);
    let mut placed: Vec<(&str, Affine, Rect)> = Vec::new();
    for (((name, bounds), at), pad) in panels.iter().zip(&layout.places).zip(&pads) {
        let at = *at + Vec2::new(0.0, *pad);
        let flipped = Point::new(bounds.x0 * scale, -bounds.y1 * scale);
        let place =
            Affine::translate((at + corner) - flipped) * Affine::scale(scale) * Affine::FLIP_Y;
        let shown = Rect::from_origin_size(at + corner, bounds.size() * scale);
        placed.push((name, place, shown));
    }
    let mut size = layout.size;
    let names = placed.iter().map(|(name, ..)| *name);
    if let Some(places) = as_before(before, names) {
        for ((_, place, shown), stays) in placed.iter_mut().zip(places) {
            *shown = (stays * place.inverse()).transform_rect_bbox(*shown);
            *place = stays;
            size = reaching(size, corner, *shown);
        }
        labels_on(canvas, extent(canvas, corner, size));
    }
    for (name, place, shown) in &placed {
        lines(canvas, pattern, name, *place, *shown);
        canvas.drawing.places.insert((*name).to_owned(), *place);
    }
    for (name, place, shown) in placed {
        let words = if name.is_empty() {
            "drawing".to_owned()
        } else {
            text::label(name)
        };
        heading(
            canvas,
            Of::piece(name),
            &words,
            Point::new(shown.x0, shown.y0 - 14.0),
        );
        points(canvas, pattern, name, place, shown);
        line_names(canvas, pattern, name, place, shown);
    }
    extent(canvas, corner, size)
}

/// Places of one name are level within this, in millimetres.
const LEVEL: f64 = 1.0;
/// A panel is not hung lower than this share of its own height.
const LOWEST: f64 = 0.5;

/// How much lower than the highest each panel begins, so that most of what it has in common by name with the first lies level.
fn pads(values: &[NamedValue], panels: &[(String, Rect)]) -> Vec<f64> {
    let Some((first, bounds)) = panels.first() else {
        return Vec::new();
    };
    let known = places(values, first);
    let below_top = |(name, own): &(String, Rect)| {
        let own_places = places(values, name);
        let shared = known.iter().filter_map(|(name, y)| {
            let (_, other) = own_places.iter().find(|(other, _)| other == name)?;
            Some(*y - *other)
        });
        let shared: Vec<f64> = shared.collect();
        let agree = |by: f64| {
            shared
                .iter()
                .filter(|other| (**other - by).abs() <= LEVEL)
                .count()
        };
        // Of as many that agree, the one that is drawn later; one alone says nothing.
        let most = shared.iter().copied().max_by_key(|by| agree(*by));
        let most = most.filter(|by| agree(*by) > 1);
        most.map_or(0.0, |by| (bounds.y1 - own.y1) - by)
    };
    let down: Vec<f64> = panels.iter().map(below_top).collect();
    let highest = down.iter().copied().fold(f64::INFINITY, f64::min);
    let fits =
        |(down, (_, bounds)): (&f64, &(String, Rect))| down - highest <= LOWEST * bounds.height();
    match down.iter().zip(panels).all(fits) {
        true => down.iter().map(|down| down - highest).collect(),
        false => vec![0.0; panels.len()],
    }
}

/// Heights on a panel by name: of its points, and of both ends of its lines.
fn places(values: &[NamedValue], panel: &str) -> Vec<(String, f64)> {
    let mut places = Vec::new();
    for (name, value) in of_panel(values, panel) {
        match &value.value {
            Value::Point(p) => places.push((name.to_owned(), p.y)),
            Value::Line(path) | Value::Curve(path) => {
                if let (Ok(start), Ok(end)) = (path.start(), path.end()) {
                    places.push((format!("{name} from"), start.y));
                    places.push((format!("{name} to"), end.y));
                }
            }
            _ => {}
        }
    }
    places
}

/// Panels in the order their first value is drawn.
fn names(values: &[NamedValue]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for value in values {
        let panel = value.name.rsplit_once('.').map_or("", |(panel, _)| panel);
        let drawable = matches!(
            value.value,
            Value::Point(_) | Value::Line(_) | Value::Curve(_)
        );
        if drawable && !names.iter().any(|name| name == panel) {
            names.push(panel.to_owned());
        }
    }
    names
}

/// The box round a panel's points and bounded lines; of an endless line only the point it was drawn through counts.
fn bounds(values: &[NamedValue], panel: &str) -> Option<Rect> {
    let mut found: Option<Rect> = None;
    for (_, value) in of_panel(values, panel) {
        let one = match &value.value {
            Value::Point(p) => Rect::from_points(*p, *p),
            Value::Line(path) | Value::Curve(path) => match path.endless_line() {
                Some((through, _)) => Rect::from_points(through, through),
                None => path.bounds().ok()?,
            },
            _ => continue,
        };
        found = Some(found.map_or(one, |all| all.union(one)));
    }
    found.map(|bounds| bounds.inflate(BEYOND, BEYOND))
}

fn lines(canvas: &mut Canvas, pattern: &Pattern, panel: &str, place: Affine, shown: Rect) {
    for (name, path) in redrawn_on(pattern, panel) {
        if let Some(bez) = on_sheet(path, place, shown) {
            let of = Of::piece(panel).named(&name);
            canvas.stroke(Layer::Construction, of, bez, Pen::Gone);
        }
    }
    for (member, path) in paths(pattern, panel) {
        let (layer, pen) = if path.is_endless() {
            (Layer::Construction, Pen::Construction)
        } else {
            (Layer::Sew, Pen::Draft)
        };
        if let Some(bez) = on_sheet(path, place, shown) {
            canvas.stroke(layer, Of::piece(panel).named(member), bez, pen);
        }
    }
}

fn paths<'a>(pattern: &'a Pattern, panel: &'a str) -> impl Iterator<Item = (&'a str, &'a Path)> {
    of_panel(&pattern.values, panel).filter_map(|(member, value)| match &value.value {
        Value::Line(path) | Value::Curve(path) => Some((member, path)),
        _ => None,
    })
}

fn points(canvas: &mut Canvas, pattern: &Pattern, panel: &str, place: Affine, shown: Rect) {
    let mut seen = point_names::Seen::default();
    let mut points: Vec<(&str, Point)> = Vec::new();
    for (member, value) in of_panel(&pattern.values, panel) {
        let Value::Point(p) = &value.value else {
            continue;
        };
        let at = place * *p;
        if shown.contains(at) && seen.is_new(at) {
            points.push((member, at));
        }
    }
    let (named, rest) = points.split_at(points.len().min(MOST_NAMES));
    for (member, at) in rest {
        canvas.dot(
            Layer::Text,
            Of::piece(panel).named(member),
            *at,
            0.8,
            Fill::Dot,
        );
    }
    point_names::draw(canvas, panel, named, (Layer::Text, Hand::PointName));
}

fn line_names(canvas: &mut Canvas, pattern: &Pattern, panel: &str, place: Affine, shown: Rect) {
    for (member, path) in paths(pattern, panel).take(MOST_NAMES) {
        let Ok(length) = path.length() else { continue };
        let letters = format!("{} {}", text::label(member), pattern.unit.bare(length));
        let (width, height) = labels::size_of(&letters, Hand::EdgeName);
        let mut boxes = Vec::new();
        for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
            let Ok(at) = path.location_at(length * share) else {
                continue;
            };
            let (centre, ahead) = (
                place * path.point(at),
                place * (path.point(at) + path.tangent_at(at)),
            );
            let along = readable((ahead - centre).normalize());
            let across = Vec2::new(-along.y, along.x);
            for gap in [2.2, 3.4, 5.0, 8.0, 12.0] {
                for side in [-1.0, 1.0] {
                    let frame = TextFrame {
                        centre: centre + across * (side * (gap + height / 2.0)),
                        along,
                        half_width: width / 2.0,
                        half_height: height / 2.0,
                    };
                    let off = if shown.contains(frame.centre) {
                        0.0
                    } else {
                        6.0
                    };
                    boxes.push((off + 0.5 * gap + 9.0 * f64::abs(share - 0.5), move || {
                        Some(frame)
                    }));
                }
            }
        }
        if let Some(found) =
            canvas
                .labels
                .place_in(&letters, Hand::EdgeName, boxes, Keep::default())
        {
            canvas.placed(Layer::Text, Of::piece(panel).named(member), found);
        }
    }
}
