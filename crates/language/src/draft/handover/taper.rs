//! `allow W to V on a, b from P`: the width along each of the edges, which follow each other round the piece.

use super::position;
use crate::pattern::spec::{PieceSpec, SeamPoint};
use crate::pattern::{Allowance, SAME_PLACE, Tapers};
use crate::report::{Code, Diagnostic};
use crate::sewing::EdgeRef;
use crate::voice;
use kurbo::Point;
use oaktag_geometry::allowance::Width;
use oaktag_geometry::path::Path;

/// Gives edges one width that changes evenly from the end that is named to the other, over all of them. An edge that the piece
/// has lost is passed over.
///
/// # Errors
/// Edges that do not follow each other, or go all round, and a point that is no end of them.
pub(super) fn lay(
    spec: &mut PieceSpec,
    on: &[EdgeRef],
    (first, last): (f64, f64),
    from: &SeamPoint,
) -> Result<(), Diagnostic> {
    let Some(named) = on.first() else {
        return Ok(());
    };
    let found: Vec<usize> = on.iter().filter_map(|edge| position(spec, edge)).collect();
    if found.is_empty() {
        return Ok(());
    }
    let names: Vec<String> = on.iter().map(|edge| voice::name(&edge.name)).collect();
    let names = voice::list(&names);
    let row = row(&found, spec.edges.len()).ok_or_else(|| {
        let message = format!(
            "{} do not follow each other to an end.",
            voice::capital(&names)
        );
        Diagnostic::error(Code::CannotBeDrawn, named.span, message)
            .at("an allowance runs from one width to the other along these")
            .help(
                "Name edges that follow each other round the piece, or write a sentence for each.",
            )
    })?;
    let paths: Vec<&Path> = row
        .iter()
        .filter_map(|at| Some(&spec.edges.get(*at)?.path))
        .collect();
    let forward = senses(&paths);
    let outer = |at: Option<(&&Path, &bool)>, start: bool| {
        let (path, forward) = at?;
        if *forward == start {
            path.start()
        } else {
            path.end()
        }
        .ok()
    };
    let begins = outer(paths.iter().zip(&forward).next(), true);
    let ends = outer(paths.iter().zip(&forward).next_back(), false);
    let is_it =
        |end: Option<Point>| end.is_some_and(|end| (end - from.point).hypot() <= SAME_PLACE);
    let width = match (is_it(begins), is_it(ends)) {
        (true, false) => Width {
            start: first,
            end: last,
        },
        (false, true) => Width {
            start: last,
            end: first,
        },
        _ => {
            let point = if from.name.is_empty() {
                "This point".to_owned()
            } else {
                format!("`{}`", from.name.rsplit('.').next().unwrap_or(&from.name))
            };
            let message = format!("{point} is no end of {names}.");
            let help = format!(
                "Name the end at which the first width is, as in `from start of {}`",
                named.name
            );
            return Err(Diagnostic::error(Code::CannotBeDrawn, named.span, message)
                .at("an allowance tapers along this")
                .help(help));
        }
    };
    let from_first = is_it(begins);
    let lengths: Vec<f64> = paths
        .iter()
        .map(|path| path.length().unwrap_or(0.0))
        .collect();
    let total: f64 = lengths.iter().sum();
    let mut gone = 0.0;
    let last_at = row.len() - 1;
    for (n, ((at, length), forward)) in row.iter().zip(lengths).zip(forward).enumerate() {
        let part = width.part(gone / total, (gone + length) / total);
        gone += length;
        let is_named = n == if from_first { 0 } else { last_at };
        let told = Allowance {
            width: part,
            tapers: Some(Tapers {
                from_start: from_first,
                from: if is_named {
                    from.name.clone()
                } else {
                    String::new()
                },
            }),
        };
        let told = if forward { told } else { told.reversed() };
        if let Some(edge) = spec.edges.get_mut(*at) {
            edge.allowance = Some(if first == last { first.into() } else { told });
        }
    }
    Ok(())
}

/// The places of edges in the order in which they follow each other; none where they do not, or go all round.
fn row(found: &[usize], count: usize) -> Option<Vec<usize>> {
    let before = |at: usize| (at + count - 1) % count;
    let start = found.iter().find(|at| !found.contains(&before(**at)))?;
    let row: Vec<usize> = (0..count)
        .map(|by| (start + by) % count)
        .take_while(|at| found.contains(at))
        .collect();
    found.iter().all(|at| row.contains(at)).then_some(row)
}

/// Of paths in a row, which are drawn the way the row goes: an end lies toward the neighbour, even over the mouth of a dart.
fn senses(paths: &[&Path]) -> Vec<bool> {
    let ends = |path: &Path| path.start().ok().zip(path.end().ok());
    let off = |p: Point, other: &Path| {
        let ends = ends(other).map(|(a, b)| (a - p).hypot().min((b - p).hypot()));
        ends.unwrap_or(f64::INFINITY)
    };
    let sense = |at: usize| {
        let (start, end) = ends(paths.get(at)?)?;
        Some(match (paths.get(at + 1), at.checked_sub(1)) {
            (Some(next), _) => off(end, next) <= off(start, next),
            (None, Some(before)) => {
                let before = paths.get(before)?;
                off(start, before) <= off(end, before)
            }
            (None, None) => true,
        })
    };
    (0..paths.len())
        .map(|at| sense(at).unwrap_or(true))
        .collect()
}
