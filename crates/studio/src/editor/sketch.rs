//! A small picture of a thing among the lines of its panel, for the eye beside the text.

use super::Editor;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};
use oaktag_language::phrase::Value;
use oaktag_language::report::Span;
use oaktag_output::path_data::bez;
use std::collections::BTreeMap;

/// How large it is, in dots.
const WIDE: f64 = 260.0;
const HIGH: f64 = 180.0;
const MARGIN: f64 = 12.0;
/// A panel of more lines than this is shown without them: the picture stays small.
const MOST_LINES: usize = 300;

impl Editor<'_> {
    /// A picture, SVG, of the line, curve or point that is named at a place; none where nothing else is.
    pub fn sketch(&self, at: usize) -> Option<String> {
        let byte = self.units.byte(at);
        let of = self.declared_at(byte);
        let of = of.or_else(|| Some(self.mention_at(byte)?.of))?;
        self.sketch_of(of)
    }

    fn sketch_of(&self, of: Span) -> Option<String> {
        let outcome = self.session.outcome();
        let sites = &outcome.program.sites;
        let panel = sites
            .iter()
            .find(|site| site.targets.iter().any(|target| target.span == of))?
            .panel
            .clone();
        let mut thing = None;
        let mut beside = BTreeMap::new();
        for entry in &outcome.record.entries {
            let Some(site) = sites.get(entry.site.0 as usize) else {
                continue;
            };
            for (target, value) in site.targets.iter().zip(&entry.values) {
                if target.span == of {
                    thing = Some(value);
                } else if site.panel == panel {
                    beside.insert(&target.name, value);
                }
            }
        }
        let thing = drawn(thing?)?;
        let lines = beside
            .values()
            .filter(|value| matches!(value, Value::Path(_)));
        let lines: Vec<BezPath> = lines.filter_map(|value| drawn(value)).collect();
        let shown = if lines.len() > MOST_LINES {
            &[]
        } else {
            lines.as_slice()
        };
        let all = shown.iter().chain([&thing]).map(Shape::bounding_box);
        let room = all.reduce(|a, b| a.union(b))?;
        Some(picture(&thing, shown, room))
    }
}

/// What can be seen of a value: a line with ends, or a point as a dot without width.
fn drawn(value: &Value) -> Option<BezPath> {
    match value {
        Value::Path(path) if path.length().is_ok() => Some(bez(path)),
        Value::Point(at) => {
            let mut dot = BezPath::new();
            dot.move_to(*at);
            dot.line_to(*at);
            Some(dot)
        }
        _ => None,
    }
}

fn picture(thing: &BezPath, lines: &[BezPath], room: Rect) -> String {
    let room = room.inflate(1.0, 1.0);
    let scale = ((WIDE - 2.0 * MARGIN) / room.width()).min((HIGH - 2.0 * MARGIN) / room.height());
    // y goes up in a draft.
    let to_dots = Affine::translate((WIDE / 2.0, HIGH / 2.0))
        * Affine::scale_non_uniform(scale, -scale)
        * Affine::translate(-room.center().to_vec2());
    let data = |path: &BezPath| {
        let tenth =
            |at: Point| Point::new((at.x * 10.0).round() / 10.0, (at.y * 10.0).round() / 10.0);
        let path = to_dots * path.clone();
        let rounded = path.iter().map(|element| match element {
            PathEl::MoveTo(p) => PathEl::MoveTo(tenth(p)),
            PathEl::LineTo(p) => PathEl::LineTo(tenth(p)),
            PathEl::QuadTo(a, p) => PathEl::QuadTo(tenth(a), tenth(p)),
            PathEl::CurveTo(a, b, p) => PathEl::CurveTo(tenth(a), tenth(b), tenth(p)),
            PathEl::ClosePath => PathEl::ClosePath,
        });
        rounded.collect::<BezPath>().to_svg()
    };
    let beside: Vec<String> = lines.iter().map(data).collect();
    let width = if is_dot(thing) { 8 } else { 3 };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDE}\" height=\"{HIGH}\" viewBox=\"0 0 {WIDE} {HIGH}\">\
         <rect width=\"100%\" height=\"100%\" rx=\"6\" fill=\"#faf8f3\"/>\
         <g fill=\"none\" stroke-linecap=\"round\" stroke-linejoin=\"round\">\
         <path d=\"{}\" stroke=\"#8b867c\"/><path d=\"{}\" stroke=\"#a33a2a\" stroke-width=\"{width}\"/></g></svg>",
        beside.join(" "),
        data(thing),
    )
}

fn is_dot(path: &BezPath) -> bool {
    matches!(path.elements(), [PathEl::MoveTo(a), PathEl::LineTo(b)] if a == b)
}
