//! One piece in a small figure: its lines as a full drawing has them, its edges named in letters that can be read, numbers with
//! a key where a name has no room.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::style::{Hand, Pen};
use super::{Drawing, Layer, piece_lines};
use kurbo::{Point, Size};
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::voice;

/// Room for names round the piece.
const MARGIN: f64 = 11.0;
/// No piece is drawn larger than so many times: the small ones stay small beside the others.
const LARGEST: f64 = 0.3;
/// A figure is no narrower or lower than this.
const LEAST: f64 = 40.0;
/// A notch as it is seen in a figure.
const NOTCH: f64 = 2.2;
/// A name stands no farther from its edge.
const LONGEST_LEADER: f64 = 9.0;
/// Where along an edge its name is tried.
const SHARES: [f64; 7] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];

/// A piece in a room of so many millimetres, and what the numbers in it stand for; none where it has no line.
pub fn figure(
    piece: &Piece,
    pattern: &Pattern,
    room: Size,
) -> Option<(Drawing, Vec<(String, String)>)> {
    let size = Placed::of(piece, pattern, 1.0)?.bounds.size();
    let by = ((room.width - 2.0 * MARGIN) / size.width.max(1.0))
        .min((room.height - 2.0 * MARGIN) / size.height.max(1.0))
        .min(LARGEST);
    let mut placed = Placed::of(piece, pattern, by)?;
    let own = placed.bounds.size();
    let sheet = Size::new(room.width, (own.height + 2.0 * MARGIN).max(LEAST));
    let words = "The piece: cut along the outer line, sewn along the inner one; its grain, folds, notches and marks.";
    let mut canvas = Canvas::figure(sheet, &piece.label, words);
    placed.move_to(Point::new(
        (sheet.width - own.width) / 2.0,
        (sheet.height - own.height) / 2.0,
    ));
    placed.own = kurbo::Rect::from_origin_size(Point::ORIGIN, sheet);
    piece_lines::surface(&mut canvas, &placed);
    piece_lines::own(&mut canvas, &placed);
    notches(&mut canvas, &placed);
    let key = names(&mut canvas, &placed);
    Some((canvas.finish(), key))
}

/// Notches so long that they are seen, however small the figure is.
fn notches(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    for mark in placed.piece.notches.iter().flat_map(|notch| &notch.marks) {
        let at = placed.place * mark.cut;
        let inward = at - placed.place * (mark.cut + mark.outward);
        let inward = inward.normalize() * NOTCH;
        let tick = kurbo::Line::new(at, at + inward);
        let path = kurbo::Shape::to_path(&tick, 0.1);
        canvas.stroke(Layer::Notches, of, path, Pen::Notch);
    }
}

fn names(canvas: &mut Canvas, placed: &Placed<'_>) -> Vec<(String, String)> {
    let piece = placed.piece;
    let edges = piece.edges.iter();
    let edges = edges.filter(|edge| !edge.mirrored && edge.mouth.is_none());
    // Their lengths stand with the steps, where a class may have to find them.
    let edges = edges.map(|edge| (edge.name.as_str(), voice::name(&edge.name), &edge.path));
    let folds = piece
        .folds()
        .map(|(name, path)| (name.as_str(), voice::name(name), path));
    let mut key: Vec<(String, String)> = Vec::new();
    for (name, letters, path) in edges.chain(folds) {
        let of = Of::piece(&piece.name).named(name);
        let Ok(long) = path.length() else { continue };
        let places = SHARES
            .iter()
            .filter_map(|share| path.point_at(long * share).ok());
        let places: Vec<Point> = places.map(|at| placed.place * at).collect();
        let mut written = |letters: &str, within: f64| {
            places
                .iter()
                .any(|at| canvas.name(Layer::Text, of, letters, *at, Hand::Whole, within))
        };
        if written(&letters, LONGEST_LEADER) {
            continue;
        }
        let number = (key.iter().filter(|(number, _)| !number.is_empty()).count() + 1).to_string();
        let found = written(&number, LONGEST_LEADER);
        key.push((if found { number } else { String::new() }, letters));
    }
    key
}
