//! The lines of a piece: surface, construction, sewing and cutting line, folds, notches, marks and the grain arrow.

use super::canvas::{Canvas, Of, on_sheet};
use super::compose::Placed;
use super::labels::{Keep, Labels};
use super::piece_label::Fit;
use super::style::{Fill, Hand, Pen};
use super::{Anchor, Layer, Shape, Text, text};
use crate::path_data::bez;
use kurbo::{BezPath, Point, Shape as _, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{EaseHow, MarkSpec, NamedValue, NotchForm, Value};
use oaktag_language::pattern::{Edge, Notch, NotchMark, Pattern};
use std::cell::OnceCell;
use std::collections::{HashMap, HashSet};

/// How far inside the fold edge its bracket runs.
const BRACKET: f64 = 9.0;

/// Draws all lines of a piece.
pub(super) fn draw(canvas: &mut Canvas, placed: &Placed<'_>) {
    surface(canvas, placed);
    construction(canvas, placed);
    own(canvas, placed);
}

/// The piece of cloth.
pub(super) fn surface(canvas: &mut Canvas, placed: &Placed<'_>) {
    if placed.piece.sewing.is_some() {
        canvas.drawing.add(
            Layer::Pieces,
            Some(&placed.piece.name),
            None,
            Shape::Fill(placed.outer.clone(), Fill::Piece),
        );
    }
}

/// The lines that are cut, sewn, folded and marked.
pub(super) fn own(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    let of = Of::piece(&piece.name);
    let sewn = |edge: &&Edge| !edge.on_fold || piece.cut_edges.is_empty();
    for edge in piece.edges.iter().filter(sewn) {
        let path = placed.place * bez(&edge.path);
        canvas.stroke(Layer::Sew, of.named(&edge.name), path, Pen::Sew);
    }
    for (index, path) in &piece.cut_edges {
        let edge = piece.edges.get(*index);
        let on_fold = edge.is_some_and(|edge| edge.on_fold);
        let (layer, pen) = if on_fold {
            (Layer::Fold, Pen::FoldEdge)
        } else {
            (Layer::Cut, Pen::Cut)
        };
        let of = edge.map_or(of, |edge| of.named(&edge.name));
        canvas.stroke(layer, of, placed.place * bez(path), pen);
    }
    for hole in &piece.cut_holes {
        canvas.stroke(Layer::Cut, of, placed.place * bez(hole), Pen::Cut);
    }
    folds(canvas, placed);
    for edge in &piece.edges {
        held(canvas, placed, edge);
        open(canvas, placed, edge);
    }
    for notch in &piece.notches {
        self::notch(canvas, placed, notch);
    }
    marks(canvas, placed);
    if let Some(bracket) = FoldBracket::of(placed) {
        canvas.stroke(Layer::Fold, bracket.of, bracket.path(), Pen::Grain);
    }
    grain(canvas, placed);
}

/// The panel's own values, without those of panels nested in it.
pub(super) fn of_panel<'a>(
    values: &'a [NamedValue],
    panel: &'a str,
) -> impl Iterator<Item = (&'a str, &'a NamedValue)> {
    values.iter().filter_map(move |value| {
        let after = value.name.strip_prefix(panel)?;
        let member = match panel {
            "" => after,
            _ => after.strip_prefix('.')?,
        };
        (!member.contains('.')).then_some((member, value))
    })
}

/// Lines of a panel as they were before they were redrawn: "old neck".
pub(super) fn redrawn_on<'a>(
    pattern: &'a Pattern,
    panel: &'a str,
) -> impl Iterator<Item = (String, &'a Path)> {
    pattern.redrawn.iter().filter_map(move |(name, path)| {
        let (own, member) = name.rsplit_once('.').unwrap_or(("", name));
        (own == panel).then(|| (format!("old {}", text::label(member)), path))
    })
}

/// Lines of the panel that the piece's own lines do not show already: neither an edge, a fold nor a mark of it, nor the item of a
/// list that stands under a name of its own.
pub(super) fn construction_lines<'a>(placed: &Placed<'a>) -> Vec<(&'a str, &'a Path)> {
    let (piece, values) = (placed.piece, &placed.pattern.values);
    let path_of = |value: &'a NamedValue| match &value.value {
        Value::Line(path) | Value::Curve(path) => Some(path),
        _ => None,
    };
    let mut seen = Paths::default();
    piece.fold_lines.iter().for_each(|(_, path)| seen.add(path));
    for mark in &piece.marks {
        if let Value::Line(path) | Value::Curve(path) = &mark.shape {
            seen.add(path);
        }
    }
    let edges: Names<'_> = piece.edges.iter().map(|edge| edge.line.as_str()).collect();
    let edges = values
        .iter()
        .filter(|value| edges.contains(value.name.as_str()));
    edges.filter_map(path_of).for_each(|path| seen.add(path));
    let lists = values
        .iter()
        .filter(|value| matches!(value.value, Value::List(_)));
    let lists: Names<'_> = lists.map(|list| list.name.as_str()).collect();
    // An item of a list that is known by the list's name and its own number.
    let is_item = |value: &NamedValue| {
        let parts = value.name.rsplit_once('_');
        parts.is_some_and(|(list, number)| {
            number.chars().all(|c| c.is_ascii_digit()) && lists.contains(list)
        })
    };
    // Asked of few lines.
    let named = OnceCell::new();
    let all_named = || {
        let mut named = Paths::default();
        let others = values.iter().filter(|value| !is_item(value));
        others.filter_map(path_of).for_each(|path| named.add(path));
        named
    };
    let mut found: Vec<(&str, &Path)> = Vec::new();
    for (member, value) in of_panel(values, &piece.panel) {
        let Some(path) = path_of(value).filter(|path| !seen.has(path)) else {
            continue;
        };
        if is_item(value) && named.get_or_init(all_named).has(path) {
            continue;
        }
        seen.add(path);
        found.push((member, path));
    }
    found
}

type Names<'a> = HashSet<&'a str, foldhash::fast::FixedState>;

/// Paths found again by where they start.
#[derive(Default)]
struct Paths<'a>(HashMap<Option<(u64, u64)>, Vec<&'a Path>, foldhash::fast::FixedState>);

impl<'a> Paths<'a> {
    fn start(path: &Path) -> Option<(u64, u64)> {
        let start = path.start().ok()?;
        // Nought and minus nought are one place.
        Some(((start.x + 0.0).to_bits(), (start.y + 0.0).to_bits()))
    }

    fn add(&mut self, path: &'a Path) {
        self.0.entry(Self::start(path)).or_default().push(path);
    }

    fn has(&self, path: &Path) -> bool {
        let there = self.0.get(&Self::start(path));
        there.is_some_and(|paths| paths.contains(&path))
    }
}

fn construction(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    for (member, path) in placed.construction() {
        if let Some(path) = on_sheet(path, placed.place, placed.shown()) {
            canvas.stroke(
                Layer::Construction,
                Of::piece(&piece.name).named(member),
                path,
                Pen::Construction,
            );
        }
    }
    let own = Of::piece(&piece.name);
    for (name, path) in placed.redrawn() {
        if let Some(path) = on_sheet(path, placed.place, placed.shown()) {
            canvas.stroke(Layer::Construction, own.named(&name), path, Pen::Gone);
        }
    }
}

fn folds(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    for (name, path) in placed.piece.folds() {
        for path in inside(placed, path) {
            canvas.stroke(Layer::Fold, of.named(name), path, Pen::Fold);
        }
    }
    fold_ways(canvas, placed);
}

/// Which way cloth is folded: an arrow from the line that is folded to the one it is laid onto.
fn fold_ways(canvas: &mut Canvas, placed: &Placed<'_>) {
    for (fold, onto) in &placed.piece.folded_onto {
        let Some(from) = middle(placed, fold) else {
            continue;
        };
        let to = placed.place * onto.nearest(from).point;
        let from = placed.place * from;
        let way = to - from;
        if way.hypot() < 1.0 {
            continue;
        }
        let along = way.normalize();
        let (across, head) = (Vec2::new(-along.y, along.x), (0.4 * way.hypot()).min(4.0));
        let mut arrow = kurbo::Line::new(from, to).to_path(0.1);
        for side in [0.45, -0.45] {
            arrow.move_to(to - along * head + across * (side * head));
            arrow.line_to(to);
        }
        let of = Of::piece(&placed.piece.name).named("way of the fold");
        canvas.stroke(Layer::Fold, of, arrow, Pen::Grain);
    }
}

/// The middle of a line; of an endless one that of its longest stretch on the piece.
fn middle(placed: &Placed<'_>, path: &Path) -> Option<Point> {
    let Some((through, direction)) = path.endless_line() else {
        return path.point_at(path.length().ok()? / 2.0).ok();
    };
    let stretches = super::grain::stretches_inside(placed.piece.outer()?, through, direction);
    let long = |(a, b): &(Point, Point)| (*b - *a).hypot2();
    let longest = stretches
        .into_iter()
        .max_by(|one, other| long(one).total_cmp(&long(other)))?;
    Some(longest.0.midpoint(longest.1))
}

/// A line on the sheet; of an endless one what lies on the piece.
fn inside(placed: &Placed<'_>, path: &Path) -> Vec<BezPath> {
    match (path.endless_line(), placed.piece.outer()) {
        (Some((through, direction)), Some(outer)) => {
            let stretches = super::grain::stretches_inside(outer, through, direction);
            let on_paper =
                |(a, b): &(Point, Point)| kurbo::Line::new(placed.place * *a, placed.place * *b);
            stretches
                .iter()
                .map(|stretch| on_paper(stretch).to_path(0.1))
                .collect()
        }
        _ => on_sheet(path, placed.place, placed.bounds)
            .into_iter()
            .collect(),
    }
}

/// How far inside the sewing line what is held in is drawn, and how long one wave of gathers is.
const HELD_IN: f64 = 3.0;
const WAVE: f64 = 4.0;

/// Where an edge is eased in, gathered or stretched: a broken line beside it, waves, or an arrow, between its places.
fn held(canvas: &mut Canvas, placed: &Placed<'_>, edge: &Edge) {
    for held in &edge.held {
        let (from, to) = held.along;
        let steps = ((to - from) / (WAVE / 4.0)).ceil().clamp(2.0, 4000.0);
        let at = |step: f64| {
            let location = edge
                .path
                .location_at(from + (to - from) * step / steps)
                .ok()?;
            let inward = edge.path.normal_at(location);
            let swing = match held.how {
                EaseHow::Gather => (step * std::f64::consts::FRAC_PI_2).sin(),
                EaseHow::Ease | EaseHow::Stretch => 0.0,
            };
            Some(placed.place * (edge.path.point(location) + inward * (HELD_IN + swing)))
        };
        let mut path = BezPath::new();
        let mut step = 0.0;
        while step <= steps {
            if let Some(point) = at(step) {
                if path.elements().is_empty() {
                    path.move_to(point);
                } else {
                    path.line_to(point);
                }
            }
            step += 1.0;
        }
        let ends = (at(0.0).zip(at(1.0)), at(steps).zip(at(steps - 1.0)));
        if let (EaseHow::Stretch, (Some(first), Some(last))) = (held.how, ends) {
            for (tip, next) in [first, last] {
                let along = (next - tip).normalize();
                let across = Vec2::new(-along.y, along.x);
                path.move_to(tip + along * 4.0 + across * 1.5);
                path.line_to(tip);
                path.line_to(tip + along * 4.0 - across * 1.5);
            }
        }
        let pen = match held.how {
            EaseHow::Ease => Pen::Held,
            EaseHow::Gather | EaseHow::Stretch => Pen::Mark,
        };
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        canvas.stroke(Layer::Marks, of, path, pen);
    }
}

/// Where an edge is left open: a row of dots beside it from notch to notch.
fn open(canvas: &mut Canvas, placed: &Placed<'_>, edge: &Edge) {
    for (from, to, _) in &edge.open {
        let steps = ((to - from) / 2.0).ceil().clamp(1.0, 2000.0);
        let mut path = BezPath::new();
        let mut step = 0.0;
        while step <= steps {
            if let Ok(at) = edge.path.location_at(from + (to - from) * step / steps) {
                let beside = edge.path.point(at) + edge.path.normal_at(at) * HELD_IN;
                let point = placed.place * beside;
                if path.elements().is_empty() {
                    path.move_to(point);
                } else {
                    path.line_to(point);
                }
            }
            step += 1.0;
        }
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        canvas.stroke(Layer::Marks, of, path, Pen::Open);
    }
}

fn notch(canvas: &mut Canvas, placed: &Placed<'_>, notch: &Notch) {
    let of = Of::piece(&placed.piece.name);
    let name = notch.seam.as_deref();
    let of = Of { name, ..of };
    for mark in &notch.marks {
        let local = |p: Point| placed.place * p;
        let way = |v: Vec2| (local(Point::ORIGIN + v)) - local(Point::ORIGIN);
        let (sewing, cut) = (local(mark.sewing), local(mark.cut));
        let (outward, along) = (way(mark.outward), way(mark.along));
        if (cut - sewing).hypot() > 0.5 {
            let guide = kurbo::Line::new(sewing, cut).to_path(0.1);
            canvas.stroke(Layer::Notches, of, guide, Pen::NotchGuide);
        }
        let mut path = notch_path(notch.form, mark, sewing, cut, outward, along);
        if mark.depth > 0.0 && at_fold(placed.piece, mark) {
            // On the line of the fold nobody sees a tick: half of a wedge beside it.
            let side = along * (WEDGE * mark.depth * placed.scale());
            let foot = [cut + side, cut - side];
            let inside = |foot: &&Point| placed.bounds.contains(**foot + outward * -0.1);
            if let Some(foot) = foot.iter().find(inside) {
                path.move_to(cut - outward * mark.depth);
                path.line_to(*foot);
            }
        }
        let pen = if mark.depth > 0.0 {
            Pen::Notch
        } else {
            Pen::Mark
        };
        canvas.stroke(Layer::Notches, of, path, pen);
    }
}

/// The width of the half wedge that a notch at the fold is drawn as, beside its depth.
const WEDGE: f64 = 0.8;

/// Whether a notch stands on the fold of the cloth.
fn at_fold(piece: &oaktag_language::pattern::Piece, mark: &NotchMark) -> bool {
    let fold = piece.cut.fold_edge.and_then(|at| piece.edges.get(at));
    fold.is_some_and(|fold| fold.path.nearest(mark.sewing).distance < 0.5)
}

/// A notch as it is cut; where there is no allowance to cut into, a tick inside the edge to mark and not to cut.
fn notch_path(
    form: NotchForm,
    mark: &NotchMark,
    sewing: Point,
    cut: Point,
    outward: Vec2,
    along: Vec2,
) -> BezPath {
    let mut path = BezPath::new();
    let mut line = |a: Point, b: Point| {
        path.move_to(a);
        path.line_to(b);
    };
    if mark.depth <= 0.0 {
        line(sewing, sewing - outward * 3.0);
        return path;
    }
    let tip = cut - outward * mark.depth;
    match form {
        NotchForm::Single | NotchForm::Double | NotchForm::Slit => line(cut, tip),
        NotchForm::Vee => {
            let half = along * (mark.depth / 2.0);
            line(cut - half, tip);
            line(tip, cut + half);
        }
        NotchForm::Tee => {
            line(cut, tip);
            line(tip - along * 2.5, tip + along * 2.5);
        }
    }
    path
}

fn marks(canvas: &mut Canvas, placed: &Placed<'_>) {
    for mark in &placed.piece.marks {
        let of = Of::piece(&placed.piece.name).named(&mark.name);
        match &mark.shape {
            Value::Point(p) => {
                let p = placed.place * *p;
                let pen = match mark.is_drill() {
                    true => Pen::Drill,
                    false => Pen::Mark,
                };
                canvas.stroke(Layer::Marks, of, spot(p, mark.is_drill()), pen);
                button(canvas, placed, of, mark);
            }
            Value::Line(_) | Value::Curve(_) if placed.piece.buttonhole(mark).is_some() => {
                button(canvas, placed, of, mark);
            }
            Value::Line(path) | Value::Curve(path) => {
                let pen = match mark.match_line() {
                    Some(_) => Pen::Match,
                    None => Pen::Mark,
                };
                for path in inside(placed, path) {
                    canvas.stroke(Layer::Marks, of, path, pen);
                }
            }
            _ => {}
        }
    }
}

/// A point that is marked: a cross, in a ring where a hole is drilled.
pub(super) fn spot(p: Point, is_drill: bool) -> BezPath {
    let mut cross = if is_drill {
        kurbo::Circle::new(p, 1.5).to_path(0.01)
    } else {
        BezPath::new()
    };
    for way in [Vec2::new(3.0, 0.0), Vec2::new(0.0, 3.0)] {
        cross.move_to(p - way);
        cross.line_to(p + way);
    }
    cross
}

/// A button as a circle, its hole as a line with a bar at either end, both at true size.
fn button(canvas: &mut Canvas, placed: &Placed<'_>, of: Of<'_>, mark: &MarkSpec) {
    if let Some(button) = mark.sewn_button() {
        let at = placed.place * button.at;
        let rim = kurbo::Circle::new(at, button.radius * placed.scale()).to_path(0.01);
        canvas.stroke(Layer::Marks, of, rim, Pen::Mark);
    }
    if let Some((top, foot)) = placed.piece.buttonhole(mark) {
        let (top, foot) = (placed.place * top, placed.place * foot);
        let along = (foot - top).normalize();
        let bar = Vec2::new(-along.y, along.x) * BAR;
        let mut hole = kurbo::Line::new(top, foot).to_path(0.1);
        for end in [top, foot] {
            hole.move_to(end - bar);
            hole.line_to(end + bar);
        }
        canvas.stroke(Layer::Marks, of, hole, Pen::Mark);
    }
}

/// Half the length of the bar at the end of a buttonhole.
const BAR: f64 = 1.5;

/// The bracket with two arrows that says "place on the fold": its ends on the sheet, along the edge.
struct FoldBracket<'a> {
    edge: &'a Edge,
    of: Of<'a>,
    from: Point,
    to: Point,
}

impl<'a> FoldBracket<'a> {
    fn of(placed: &Placed<'a>) -> Option<Self> {
        let piece = placed.piece;
        let edge = piece.edges.get(piece.cut.fold_edge?)?;
        let drawn = edge.length * placed.scale();
        if drawn < 25.0 {
            return None;
        }
        let share = if drawn > 240.0 { 0.25 } else { 0.12 };
        let at = |share: f64| Some(placed.place * edge.path.point_at(edge.length * share).ok()?);
        Some(Self {
            edge,
            of: Of::piece(&piece.name).named(&edge.name),
            from: at(share)?,
            to: at(1.0 - share)?,
        })
    }

    fn along(&self) -> Vec2 {
        (self.to - self.from).normalize()
    }

    /// On the sheet (y down) the cloth of an anticlockwise outline lies to the turned left of the way.
    fn inward(&self) -> Vec2 {
        let along = self.along();
        Vec2::new(along.y, -along.x)
    }

    fn path(&self) -> BezPath {
        let (from, to, along, inward) = (self.from, self.to, self.along(), self.inward());
        let mut path = BezPath::new();
        path.move_to(from + inward * 0.8);
        path.line_to(from + inward * BRACKET);
        path.line_to(to + inward * BRACKET);
        path.line_to(to + inward * 0.8);
        for (end, along) in [(from, along), (to, -along)] {
            path.move_to(end + inward * 4.0 + along * 1.5);
            path.line_to(end + inward * 0.8);
            path.line_to(end + inward * 4.0 - along * 1.5);
        }
        path
    }
}

/// The words of the bracket on the fold; when all lines are drawn.
pub(super) fn fold_words(canvas: &mut Canvas, placed: &Placed<'_>) {
    let Some(bracket) = FoldBracket::of(placed) else {
        return;
    };
    let (edge, hand) = (bracket.edge, Hand::EdgeName);
    let (from, to) = (bracket.from, bracket.to);
    let long = (to - from).hypot();
    let length = placed.unit().bare(edge.length);
    let said = [
        format!("place on fold · {} {length}", text::label(&edge.name)),
        format!("on fold · {length}"),
        "on fold".to_owned(),
    ];
    let fitting = || {
        let sized = said
            .iter()
            .map(|letters| (letters, super::labels::size_of(letters, hand)));
        sized.filter(|(_, (width, _))| width + 4.0 < long)
    };
    // Beside the bracket; where a joint of tiles or a line lies there, between it and the edge, or further along; in fewer words
    // rather than on a line.
    let inward = bracket.inward();
    let writing = super::piece_names::readable(bracket.along());
    let labels = &canvas.labels;
    let room = |(width, height): (f64, f64), lines: f64| {
        let frame = move |off: f64, share: f64| super::frame::TextFrame {
            centre: from.lerp(to, share) + inward * (off + height / 2.0),
            along: writing,
            half_width: width / 2.0,
            half_height: height / 2.0,
        };
        let reach = 0.5 - (width / 2.0 + 2.0) / long;
        let mut boxes = Vec::new();
        for share in [0.0, 0.5, -0.5, 1.0, -1.0].map(|part: f64| part * reach) {
            for (off, own) in [
                (BRACKET + 1.5, 0.0),
                (BRACKET / 2.0 - height / 2.0, 3.0),
                (BRACKET + 6.0, 4.0),
            ] {
                let frame = move || Some(frame(off, 0.5 + share));
                boxes.push((own + 20.0 * share.abs(), frame));
            }
        }
        let keep = Keep {
            lines,
            ..Keep::default()
        };
        labels.cheapest(boxes, keep)
    };
    let room = &room;
    let found = FOLD_LINES.into_iter().find_map(|lines| {
        fitting().find_map(|(letters, size)| Some((letters, room(size, lines)?)))
    });
    // The label of a small piece says so as well.
    let Some((letters, frame)) = found else {
        return;
    };
    canvas.text(
        Layer::Fold,
        bracket.of,
        Text::inside(letters, frame, Anchor::Middle, hand),
    );
}

/// What the lines under the words of a fold may cost: clear of them in fewer words; over one that crosses them.
const FOLD_LINES: [f64; 2] = [6.0, 18.0];

fn grain(canvas: &mut Canvas, placed: &Placed<'_>) {
    if let Some(arrow) = grain_arrow(&canvas.labels, placed) {
        let of = Of::piece(&placed.piece.name);
        canvas.stroke(Layer::Grain, of, arrow, Pen::Grain);
    }
}

/// The grain arrow, upright on the sheet where least is in its way; in a small piece at its side, so that its label has room.
pub(super) fn grain_arrow(labels: &Labels, placed: &Placed<'_>) -> Option<BezPath> {
    let piece = placed.piece;
    let outline = piece.sewing.as_ref().filter(|_| piece.grain.is_some())?;
    let outline = outline.transformed(placed.place);
    let on_sheet = (placed.bounds, placed.place);
    let small = placed.bounds.width().min(placed.bounds.height()) < SMALL;
    let aside = small || placed.fit != Fit::Roomy;
    let head = |a: Point, b: Point| {
        let narrow = NARROW_HEAD * placed.bounds.width();
        head_length((b - a).hypot(), placed.scale()).min(narrow)
    };
    let in_the_way = |a: Point, b: Point| arrow_cost(labels, (a, b), (head(a, b), placed.scale()));
    let (a, b) = super::grain::stretch(piece, &outline, on_sheet, aside, in_the_way)?;
    let long = head(a, b);
    // Cloth that has a direction: the head points up, as every piece lies.
    let (top, foot) = if a.y < b.y { (a, b) } else { (b, a) };
    Some(if one_way(placed) {
        heads((top, foot), long, &[(top, 1.0)])
    } else {
        heads((a, b), long, &[(a, 1.0), (b, -1.0)])
    })
}

/// What an upright arrow costs that lies on lines: a head on a line hides it.
fn arrow_cost(labels: &Labels, (a, b): (Point, Point), (long, scale): (f64, f64)) -> f64 {
    /// Between an arrow and a line beside it, in millimetres.
    const CLEAR: f64 = 0.4;
    const ON_LINE: f64 = 0.3;
    const HEAD_ON_LINE: f64 = 2.0;
    let (top, foot) = (a.y.min(b.y), a.y.max(b.y));
    let half = HALF_HEAD * long + CLEAR * scale.sqrt();
    let part = |from: f64, to: f64| {
        super::frame::TextFrame::upright(kurbo::Rect::new(a.x - half, from, a.x + half, to))
    };
    let whole = part(top - CLEAR, foot + CLEAR);
    let lines = labels.line_cost(&whole);
    if lines < 1e-9 {
        return 0.0;
    }
    let ends = [
        part(top - CLEAR, top + long),
        part(foot - long, foot + CLEAR),
    ];
    let heads: f64 = ends.iter().map(|end| labels.line_cost(end)).sum();
    ON_LINE * lines + HEAD_ON_LINE * heads
}

/// A piece narrower than this on paper has hardly room for its label beside an arrow in its middle.
const SMALL: f64 = 45.0;

/// Whether all pieces of its cloth lie the same way.
fn one_way(placed: &Placed<'_>) -> bool {
    let cloth = placed.piece.cut.cloth.as_deref();
    let mut cloths = placed.pattern.cloths.iter();
    cloths.any(|one| one.is_one_way() && Some(one.name.as_str()) == cloth)
}

/// A line with an open head at both ends.
pub fn arrow(a: Point, b: Point) -> BezPath {
    let long = head_length((b - a).hypot(), 1.0);
    heads((a, b), long, &[(a, 1.0), (b, -1.0)])
}

/// Length of an arrow's head, and half its width beside that.
const HEAD: f64 = 6.0;
const HALF_HEAD: f64 = 0.37;
/// The most that a head is long beside the width of its piece.
const NARROW_HEAD: f64 = 0.25;

/// Of a short arrow the heads leave its line to be seen; in a small drawing there is less room for them.
fn head_length(arrow: f64, scale: f64) -> f64 {
    (HEAD * scale.sqrt()).min(0.3 * arrow)
}

/// A line with open heads at these of its ends, each with the way of the line from there.
fn heads((a, b): (Point, Point), long: f64, tips: &[(Point, f64)]) -> BezPath {
    let along = (b - a).normalize();
    let across = Vec2::new(-along.y, along.x);
    let mut path = kurbo::Line::new(a, b).to_path(0.1);
    for (tip, way) in tips {
        let (tip, inward) = (*tip, along * *way);
        path.move_to(tip + inward * long + across * (HALF_HEAD * long));
        path.line_to(tip);
        path.line_to(tip + inward * long - across * (HALF_HEAD * long));
    }
    path
}
