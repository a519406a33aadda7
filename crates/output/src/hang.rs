//! Which pieces hang level side by side on a sheet: those with a balance line by it, and those that are sewn to each other along
//! their sides by the upper ends of that seam.

use crate::layout::Layout;
use crate::path_data::bez;
use kurbo::{Affine, Point, Rect, Shape as _, Size};
use oaktag_language::pattern::spec::{MarkSpec, Value};
use oaktag_language::pattern::{MatchLine, Pattern, Piece, Seam, Side};

/// A side hangs: from end to end it leaves the upright by no more than this share of its height.
const STEEP: f64 = 0.35;
/// A balance line is level within this, in millimetres.
const LEVEL: f64 = 0.5;
/// A piece is not hung lower than this share of its own height.
const LOWEST: f64 = 0.5;

/// A piece, what turns it as it lies on the sheet, y down, and the box that it is laid out by there.
pub type OnSheet<'a> = (&'a Piece, Affine, Rect);

/// Lays pieces out so that those side by side hang level: how much lower each begins than the place it is given, in millimetres of
/// the sheet, comes with the layout. `lay` lays boxes of sizes out; what it does not set side by side does not hang.
pub fn laid(
    pattern: &Pattern,
    pieces: &[OnSheet<'_>],
    lay: impl Fn(&[Size]) -> Layout,
) -> (Layout, Vec<f64>) {
    let hung = hung(pattern, pieces);
    let tall: Vec<f64> = pieces.iter().map(|(.., bounds)| bounds.height()).collect();
    let mut pads = hung.pads(&tall);
    loop {
        let boxes = pieces.iter().zip(&pads);
        let boxes = boxes.map(|((.., bounds), pad)| bounds.size() + Size::new(0.0, *pad));
        let layout = lay(&boxes.collect::<Vec<_>>());
        let apart = hung.apart(&layout, &pads);
        if apart.is_empty() {
            return (layout, pads);
        }
        for index in apart {
            if let Some(pad) = pads.get_mut(index) {
                *pad = 0.0;
            }
        }
    }
}

fn hung(pattern: &Pattern, pieces: &[OnSheet<'_>]) -> Hung {
    let tops: Vec<f64> = pieces.iter().map(|(.., bounds)| bounds.y0).collect();
    let mut hung = Hung::of(pieces.len());
    let balance: Vec<Option<f64>> = pieces.iter().map(balance).collect();
    let mut first: Option<(usize, f64)> = None;
    for (index, (level, top)) in balance.iter().zip(&tops).enumerate() {
        let Some(level) = level.map(|level| level - top) else {
            continue;
        };
        match first {
            None => first = Some((index, level)),
            Some((other, known)) => hung.join((other, known), (index, level)),
        }
    }
    for seam in &pattern.seams {
        let ends = side_ends(seam, pieces);
        if let Some([(a, first), (b, second)]) = ends {
            let top = |index: usize| tops.get(index).copied().unwrap_or_default();
            hung.join((a, first - top(a)), (b, second - top(b)));
        }
    }
    hung
}

/// How far down the sheet the balance line of a piece lies.
fn balance((piece, place, _): &OnSheet<'_>) -> Option<f64> {
    let is_balance = |mark: &&MarkSpec| mark.match_line() == Some(MatchLine::Balance);
    piece.marks.iter().filter(is_balance).find_map(|mark| {
        let (Value::Line(path) | Value::Curve(path)) = &mark.shape else {
            return None;
        };
        let bounds = (*place * bez(path)).bounding_box();
        (bounds.height() < LEVEL).then(|| bounds.center().y)
    })
}

/// The upper ends of a seam that joins the sides of two pieces: which pieces, and how far down each end lies.
fn side_ends(seam: &Seam, pieces: &[OnSheet<'_>]) -> Option<[(usize, f64); 2]> {
    let (a, start, end) = hangs(&seam.first, pieces)?;
    let (b, other_start, other_end) = hangs(&seam.second, pieces)?;
    let down = end.y > start.y;
    if a == b || down != (other_end.y > other_start.y) {
        return None;
    }
    Some(match down {
        true => [(a, start.y), (b, other_start.y)],
        false => [(a, end.y), (b, other_end.y)],
    })
}

/// The piece that a side is the upright edge of, and where that starts and ends on the sheet.
fn hangs(side: &Side, pieces: &[OnSheet<'_>]) -> Option<(usize, Point, Point)> {
    let [edge] = side.edges.as_slice() else {
        return None;
    };
    let index = pieces
        .iter()
        .position(|(piece, ..)| piece.name == edge.piece)?;
    let (_, place, _) = pieces.get(index)?;
    let (start, end) = (
        *place * edge.path.start().ok()?,
        *place * edge.path.end().ok()?,
    );
    let way = end - start;
    (way.x.abs() <= STEEP * way.y.abs()).then_some((index, start, end))
}

/// Pieces that hang together, each by how much lower it begins than the first of its group.
struct Hung {
    groups: Vec<(usize, f64)>,
}

impl Hung {
    fn of(count: usize) -> Self {
        Self {
            groups: (0..count).map(|index| (index, 0.0)).collect(),
        }
    }

    /// Two pieces of which places so far below their tops are level.
    fn join(&mut self, (a, first): (usize, f64), (b, second): (usize, f64)) {
        let (Some(one), Some(other)) = (self.groups.get(a).copied(), self.groups.get(b).copied())
        else {
            return;
        };
        // What hangs together already hangs by what came first.
        if one.0 == other.0 {
            return;
        }
        let shift = one.1 + first - second - other.1;
        for group in self.groups.iter_mut().filter(|group| group.0 == other.0) {
            *group = (one.0, group.1 + shift);
        }
    }

    /// Pieces of which one of the same group is laid higher or lower: all that hang with it.
    fn apart(&self, layout: &Layout, pads: &[f64]) -> Vec<usize> {
        let all = || self.groups.iter().zip(&layout.places).zip(pads);
        let level = |group: usize| {
            let mut heights = all().filter(move |(((of, _), _), _)| *of == group);
            let first = heights.next().map(|((_, at), _)| at.y);
            heights.all(|((_, at), _)| first.is_some_and(|first| (at.y - first).abs() < 0.5))
        };
        let hangs = |group: usize| all().any(|(((of, _), _), pad)| *of == group && *pad > 0.0);
        let groups = self.groups.iter().map(|(group, _)| *group).enumerate();
        let apart = groups.filter(|(_, group)| hangs(*group) && !level(*group));
        apart.map(|(index, _)| index).collect()
    }

    /// From the highest of each group; nothing in a group of which one would hang too low.
    fn pads(&self, tall: &[f64]) -> Vec<f64> {
        let of = |group: usize| {
            let own = self.groups.iter().zip(tall);
            own.filter(move |((of, _), _)| *of == group)
        };
        let pad = |(group, down): &(usize, f64)| {
            let highest = of(*group)
                .map(|((_, down), _)| *down)
                .fold(f64::INFINITY, f64::min);
            let fits = of(*group).all(|((_, down), tall)| down - highest <= LOWEST * tall);
            if fits { down - highest } else { 0.0 }
        };
        self.groups.iter().map(pad).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_hang_from_the_highest_and_none_far_below() {
        let mut hung = Hung::of(4);
        hung.join((0, 200.0), (1, 260.0));
        hung.join((2, 230.0), (1, 260.0));
        assert_eq!(hung.pads(&[700.0; 4]), [60.0, 0.0, 30.0, 0.0]);
        hung.join((0, 900.0), (3, 100.0));
        assert_eq!(hung.pads(&[700.0; 4]), [0.0; 4]);
    }
}
