//! The lines inside each size of a nest: where it is sewn, and what is marked on its cloth, the lines it is folded on among it. They
//! stand in a print whose sizes can be shown one by one; over each other they could not be told apart.

use kurbo::{Affine, BezPath, Circle, Line, Shape as _, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::Piece;
use oaktag_language::pattern::spec::{MarkSpec, Value};
use oaktag_output::drawing::style::Pen;
use oaktag_output::drawing::{Drawing, Layer, Shape, stretches_inside};

/// Half a cross, and the ring round it, of a point that is marked.
const CROSS: f64 = 3.0;
const RING: f64 = 1.5;

/// Draws sewing lines and marks of a size, placed as its cutting line is.
pub(super) fn draw(drawing: &mut Drawing, piece: &Piece, size: usize, place: Affine) {
    let name = Some(piece.name.as_str());
    let mut add = |layer: Layer, path: BezPath, pen: Pen| {
        drawing.add_of_size(layer, name, size, Shape::Stroke(place * path, pen));
    };
    for edge in piece.edges.iter().filter(|edge| !edge.on_fold) {
        add(Layer::Sew, bez(&edge.path), Pen::Sew);
    }
    for (_, line) in &piece.fold_lines {
        for part in within(piece, line) {
            add(Layer::Marks, part, Pen::Fold);
        }
    }
    for mark in &piece.marks {
        for part in marked(piece, mark) {
            add(Layer::Marks, part, Pen::Mark);
        }
    }
}

fn bez(path: &Path) -> BezPath {
    BezPath::from_path_segments(path.segs().iter().copied())
}

/// A line of a piece; of an endless one what lies on it.
fn within(piece: &Piece, line: &Path) -> Vec<BezPath> {
    match (line.endless_line(), piece.outer()) {
        (Some((through, direction)), Some(outer)) => stretches_inside(outer, through, direction)
            .iter()
            .map(|(a, b)| Line::new(*a, *b).to_path(0.1))
            .collect(),
        (Some(_), None) => Vec::new(),
        (None, _) => vec![bez(line)],
    }
}

/// A mark's lines: a cross, in a ring where it is drilled, or the button and its hole at true size.
fn marked(piece: &Piece, mark: &MarkSpec) -> Vec<BezPath> {
    let mut lines = match &mark.shape {
        Value::Point(at) => {
            let way = |v: Vec2| Line::new(*at - v, *at + v).to_path(0.1);
            let ring = mark.is_drill().then_some(RING);
            let ring = mark.sewn_button().map(|button| button.radius).or(ring);
            let ring = ring.map(|radius| Circle::new(*at, radius).to_path(0.01));
            let cross = [way(Vec2::new(CROSS, 0.0)), way(Vec2::new(0.0, CROSS))];
            cross.into_iter().chain(ring).collect()
        }
        Value::Line(path) | Value::Curve(path) if piece.buttonhole(mark).is_none() => {
            within(piece, path)
        }
        _ => Vec::new(),
    };
    if let Some((from, to)) = piece.buttonhole(mark) {
        lines.push(Line::new(from, to).to_path(0.1));
    }
    lines
}
