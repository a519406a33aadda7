//! What must not grow: allowances, edge by edge, and whatever somebody names as constant through the sizes (an overlap, a
//! facing, a depth).

use super::Set;
use super::table::{Group, Row, shown};
use oaktag_language::check::nearest_word;
use oaktag_language::kind::Dimension;
use oaktag_language::pattern::Piece;
use oaktag_language::pattern::spec::Value;
use oaktag_language::voice;

/// Figures alike within this many millimetres (or degrees) do not change.
const SAME: f64 = 0.01;

/// Something that changes and must not.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    /// In words, with its figures.
    pub words: String,
}

/// Edges whose allowance is not the same in every size.
pub fn allowances(set: &Set) -> Vec<Changed> {
    let mut changed = Vec::new();
    let Some(base) = set.base() else {
        return changed;
    };
    let unit = base.pattern.unit;
    for piece in &base.pattern.pieces {
        for (at, edge) in piece.edges.iter().enumerate() {
            for size in &set.sizes {
                let Some(twin) = size.pattern.piece(&piece.name) else {
                    continue;
                };
                let found = twin.edges.iter().position(|one| one.name == edge.name);
                let Some((other, there)) = found.and_then(|at| Some((at, twin.edges.get(at)?)))
                else {
                    continue;
                };
                let same = match (&edge.allowance, &there.allowance) {
                    (Some(a), Some(b)) => a.is_like(b, SAME),
                    (a, b) => a == b,
                };
                if !same {
                    let shown = |piece: &Piece, at: usize| {
                        let said = piece.allowance_said(at, unit);
                        said.unwrap_or_else(|| "none".to_owned())
                    };
                    changed.push(Changed {
                        words: format!(
                            "The allowance on {} is {} in size {} and {} in size {}.",
                            voice::name(&format!("{}.{}", piece.name, edge.name)),
                            shown(piece, at),
                            base.name,
                            shown(twin, other),
                            size.name
                        ),
                    });
                    break;
                }
            }
        }
    }
    changed
}

/// The figures of a name by size: a row of the table, or a value of the draft.
fn figures(set: &Set, rows: &[Row], name: &str) -> Option<(Dimension, Vec<Option<f64>>)> {
    if let Some(row) = rows
        .iter()
        .find(|row| row.name == name && row.group != Group::Ease)
    {
        return Some((row.dimension, row.values.clone()));
    }
    let mut dimension = None;
    let values: Vec<Option<f64>> = set
        .sizes
        .iter()
        .map(|size| {
            let value = size
                .pattern
                .values
                .iter()
                .find(|value| value.name == name)?;
            let (of, figure) = match &value.value {
                Value::Length(mm) => (Dimension::LENGTH, *mm),
                Value::Angle(degrees) => (Dimension::ANGLE, *degrees),
                Value::Number(number) => (Dimension::NUMBER, *number),
                Value::Line(path) | Value::Curve(path) => (Dimension::LENGTH, path.length().ok()?),
                _ => return None,
            };
            dimension = Some(of);
            Some(figure)
        })
        .collect();
    dimension.map(|dimension| (dimension, values))
}

/// Holds what somebody named as constant against the sizes.
///
/// # Errors
/// A name that no figure of the draft has, in words.
pub fn named(set: &Set, rows: &[Row], names: &[String]) -> Result<Vec<Changed>, String> {
    let mut changed = Vec::new();
    let unit = set.base().map(|size| size.pattern.unit).unwrap_or_default();
    for name in names {
        let Some((dimension, values)) = figures(set, rows, name) else {
            return Err(no_figure(set, rows, name));
        };
        let known = || values.iter().flatten().copied();
        let (low, high) = (
            known().fold(f64::INFINITY, f64::min),
            known().fold(f64::NEG_INFINITY, f64::max),
        );
        let spoken = voice::name(name);
        if values.iter().any(Option::is_none) {
            let words = format!("{spoken} must be constant, and some size does not have it.");
            changed.push(Changed {
                words: voice::capital(&words),
            });
        } else if high - low > SAME {
            let unit_word = if dimension == Dimension::LENGTH {
                unit.name()
            } else {
                ""
            };
            let figures: Vec<String> = set
                .sizes
                .iter()
                .zip(known())
                .map(|(size, value)| format!("{} {}", size.name, shown(dimension, value, unit)))
                .collect();
            let words = format!(
                "{spoken} must be constant, and is not ({unit_word}): {}.",
                figures.join(", ")
            );
            changed.push(Changed {
                words: voice::capital(&words.replace(" ()", "")),
            });
        }
    }
    Ok(changed)
}

fn no_figure(set: &Set, rows: &[Row], name: &str) -> String {
    let values = set.base().into_iter().flat_map(|size| &size.pattern.values);
    let names = rows
        .iter()
        .map(|row| row.name.as_str())
        .chain(values.map(|value| value.name.as_str()));
    let near = nearest_word(name, names).map(|near| format!(" Did you mean `{near}`?"));
    format!(
        "the draft has no length, edge or seam `{name}`.{}",
        near.unwrap_or_default()
    )
}
