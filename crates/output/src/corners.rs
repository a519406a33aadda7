//! Where a cutting line turns, and which of its corners lies round which corner of the sewing line: by those the sizes of a piece
//! are held against each other.

use kurbo::Point;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::Piece;

/// A cutting line that turns by more than this, in degrees, has a corner there.
const TURN: f64 = 10.0;

/// The corner of the cutting line round the corner where an edge begins; where the line runs on there, its nearest place.
pub fn corner(piece: &Piece, edge: &str) -> Option<Point> {
    let at = piece.edge(edge)?.path.start().ok()?;
    let outer = piece.outer()?;
    let starts = || piece.edges.iter().filter_map(|edge| edge.path.start().ok());
    // Of the corners it may have there, squared or stepped, the nearest; one that is nearer to another edge's start is that one's.
    let own = |turn: &Point| {
        let far = (*turn - at).hypot();
        starts().all(|other| (*turn - other).hypot() > far - 1e-6)
    };
    let widths = piece
        .edges
        .iter()
        .filter_map(|edge| edge.allowance.as_ref());
    let widths = widths.map(|allowance| allowance.told());
    let widest = widths.fold(0.0, |most: f64, (one, other)| most.max(one).max(other));
    let reach = 1.0 + 3.0 * widest;
    let turns = turns(outer, TURN).into_iter().filter(own);
    let nearest = turns.min_by(|a, b| (*a - at).hypot().total_cmp(&(*b - at).hypot()));
    let nearest = nearest.filter(|turn| (*turn - at).hypot() <= reach);
    Some(nearest.unwrap_or_else(|| outer.nearest(at).point))
}

/// Where a closed path turns by more than so many degrees.
pub fn turns(path: &Path, least: f64) -> Vec<Point> {
    let segs = path.segs();
    let next = segs.iter().cycle().skip(1);
    let turns = segs.iter().zip(next).filter_map(|(a, b)| {
        let (a, b) = (
            Path::from_segs(vec![*a]).ok()?,
            Path::from_segs(vec![*b]).ok()?,
        );
        let (u, v) = (a.end_tangent(), b.start_tangent());
        let turn = u.cross(v).abs().atan2(u.dot(v)).to_degrees();
        (turn > least).then(|| b.start().ok())?
    });
    turns.collect()
}
