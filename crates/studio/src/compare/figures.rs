//! Figures and points on both sides: measures, named figures, how far points moved and which way, checks and cautions.

use super::names::{Names, kind_of, panel_of};
use super::{
    Change, CheckChange, Edit, NoSuchPoint, PanelMove, PieceChange, PointMove, SAME,
    SentenceChange, Side, ValueChange,
};
use kurbo::{Affine, Point, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::said;
use oaktag_language::pattern::spec::{Check, NamedValue, Value};
use oaktag_language::voice::LengthUnit;
use oaktag_output::number::{
    AREA_DECIMALS, DEGREE_DECIMALS, MM_DECIMALS, NUMBER_DECIMALS, rounded,
};
use std::collections::BTreeMap;

/// How far the point of each panel that is held still moved.
pub(super) type Held = BTreeMap<String, Vec2>;

/// Looks up the points to be held still.
///
/// # Errors
/// Where one is no point of both sides.
pub(super) fn held(names: &Names<'_>, align: &[String]) -> Result<Held, NoSuchPoint> {
    let mut held = BTreeMap::new();
    for wanted in align {
        let found = names
            .values
            .iter()
            .find_map(|(old, new)| match (&old.value, &new.value) {
                (Value::Point(a), Value::Point(b)) if new.name == *wanted => Some(*b - *a),
                _ => None,
            });
        let by = found.ok_or_else(|| NoSuchPoint(wanted.clone()))?;
        held.insert(panel_of(wanted).to_owned(), by);
    }
    Ok(held)
}

/// How the old sheet of each panel is laid under the new one: as its point is held still, else as its largest piece is.
pub(super) struct Frames {
    held: Held,
    of_pieces: BTreeMap<String, Affine>,
}

impl Frames {
    /// Of the pieces on both sides.
    pub(super) fn of(held: Held, changes: &[PieceChange], pattern: &Pattern) -> Self {
        let mut largest: BTreeMap<String, (f64, Affine)> = BTreeMap::new();
        for change in changes {
            let Some(piece) = pattern.piece(&change.name) else {
                continue;
            };
            let length: f64 = piece.edges.iter().map(|edge| edge.length).sum();
            let known = largest.get(&piece.panel).map_or(0.0, |(known, _)| *known);
            if length > known && change.is_new.is_none() {
                largest.insert(piece.panel.clone(), (length, change.frame));
            }
        }
        let of_pieces = largest.into_iter().map(|(panel, (_, by))| (panel, by));
        Self {
            held,
            of_pieces: of_pieces.collect(),
        }
    }

    fn by(&self, name: &str) -> Affine {
        let panel = panel_of(name);
        let of_piece = || self.of_pieces.get(panel).copied();
        let held = self.held.get(panel).copied().map(Affine::translate);
        held.or_else(of_piece).unwrap_or(Affine::IDENTITY)
    }
}

/// Figures of two values of one kind; none where either is no figure.
fn change(old: &Value, new: &Value) -> Option<Change> {
    match (old, new) {
        (Value::Length(a), Value::Length(b)) => Some(Change::of(*a, *b, MM_DECIMALS)),
        (Value::Angle(a), Value::Angle(b)) => Some(Change::of(*a, *b, DEGREE_DECIMALS)),
        (Value::Area(a), Value::Area(b)) => Some(Change::of(*a, *b, AREA_DECIMALS)),
        (Value::Number(a), Value::Number(b)) => Some(Change::of(*a, *b, NUMBER_DECIMALS)),
        _ => None,
    }
}

/// Whether two values differ by more than what counts as none.
fn differ(old: &Value, new: &Value) -> bool {
    match (old, new) {
        (Value::Length(a), Value::Length(b)) => (a - b).abs() > SAME,
        (Value::Angle(a), Value::Angle(b)) => (a - b).abs() > 0.001,
        (Value::Area(a), Value::Area(b)) => (a - b).abs() > 1.0,
        (Value::Number(a), Value::Number(b)) => (a - b).abs() > 1e-6,
        (Value::Text(_) | Value::Answer(_), _) => old != new,
        _ => kind_of(old) != kind_of(new),
    }
}

fn value_change(name: &str, old: &Value, new: &Value, unit: LengthUnit) -> Option<ValueChange> {
    differ(old, new).then(|| ValueChange {
        name: name.to_owned(),
        kind: kind_of(new),
        figures: change(old, new),
        was: said::value(old, unit),
        is: said::value(new, unit),
        of_body: false,
        worked_out: false,
    })
}

/// Measures and choices with another value.
pub(super) fn measures(names: &Names<'_>, _old: Side<'_>, new: Side<'_>) -> Vec<ValueChange> {
    let unit = new.outcome.pattern.unit;
    let changes = names.measures.iter().filter_map(|(old, new)| {
        let mut change = value_change(&new.name, &old.value, &new.value, unit)?;
        change.of_body = new.of_body;
        change.worked_out = old.worked_out && new.worked_out;
        Some(change)
    });
    changes.collect()
}

/// Named figures of the drawing that changed, and how many did not. Measures are told on their own.
pub(super) fn figures(
    names: &Names<'_>,
    _old: Side<'_>,
    new: Side<'_>,
) -> (Vec<ValueChange>, usize) {
    let unit = new.outcome.pattern.unit;
    let is_measure = |name: &str| {
        names
            .measures
            .iter()
            .any(|(_, measure)| measure.name == name)
    };
    let mut changes = Vec::new();
    let mut same = 0;
    for (old, new) in &names.values {
        let drawn = matches!(
            new.value,
            Value::Point(_)
                | Value::Line(_)
                | Value::Curve(_)
                | Value::Direction(_)
                | Value::List(_)
        );
        if is_measure(&new.name) || (drawn && kind_of(&old.value) == kind_of(&new.value)) {
            continue;
        }
        match value_change(&new.name, &old.value, &new.value, unit) {
            Some(change) => changes.push(change),
            None => same += 1,
        }
    }
    (changes, same)
}

/// How far each point moved: on its sheet, and once the old sheet is laid under the new one.
fn moves<'a>(
    names: &'a Names<'_>,
    frames: &'a Frames,
) -> impl Iterator<Item = (&'a NamedValue, Vec2, Vec2)> {
    names
        .values
        .iter()
        .filter_map(move |(old, new)| match (&old.value, &new.value) {
            (Value::Point(a), Value::Point(b)) => {
                Some((*new, *b - *a, *b - frames.by(&new.name) * *a))
            }
            _ => None,
        })
}

/// Points that moved; of a panel that moved as a whole, the panel instead.
pub(super) fn points(
    names: &Names<'_>,
    new: Side<'_>,
    frames: &Frames,
) -> (Vec<PointMove>, Vec<PanelMove>) {
    let mut by_panel: BTreeMap<&str, Vec<Vec2>> = BTreeMap::new();
    for (value, on_sheet, by) in moves(names, frames) {
        let panel = panel_of(&value.name);
        let is_held = frames.held.contains_key(panel);
        let by = if is_held { by } else { on_sheet };
        by_panel.entry(panel).or_default().push(by);
    }
    let together: Vec<PanelMove> = by_panel
        .iter()
        .filter(|(_, moves)| moves.len() > 1)
        .filter_map(|(panel, moves)| {
            let first = *moves.first()?;
            let alike = moves.iter().all(|by| (*by - first).hypot() <= SAME);
            (alike && first.hypot() > SAME).then(|| PanelMove {
                panel: (*panel).to_owned(),
                right_mm: rounded(first.x, MM_DECIMALS),
                up_mm: rounded(first.y, MM_DECIMALS),
                points: moves.len(),
            })
        })
        .collect();
    let corners = corners(&new.outcome.pattern);
    let moved = moves(names, frames).filter(|(value, _, by)| {
        by.hypot() > SAME
            && !together
                .iter()
                .any(|panel| panel.panel == panel_of(&value.name))
    });
    let moved = moved.map(|(value, _, by)| PointMove {
        name: value.name.clone(),
        right_mm: rounded(by.x, MM_DECIMALS),
        up_mm: rounded(by.y, MM_DECIMALS),
        distance_mm: rounded(by.hypot(), MM_DECIMALS),
        on_outline: is_corner(&corners, value),
    });
    (moved.collect(), together)
}

fn corners(pattern: &Pattern) -> Vec<(&str, Point)> {
    let pieces = pattern.pieces.iter();
    let ends = pieces.flat_map(|piece| {
        let edges = piece.edges.iter();
        edges.filter_map(|edge| Some((panel_of(&edge.line), edge.path.start().ok()?)))
    });
    ends.collect()
}

fn is_corner(corners: &[(&str, Point)], value: &NamedValue) -> bool {
    let Value::Point(at) = &value.value else {
        return false;
    };
    let panel = panel_of(&value.name);
    corners
        .iter()
        .any(|(of, corner)| *of == panel && (*corner - *at).hypot() <= SAME)
}

/// How many points lie where they lay.
pub(super) fn points_that_stayed(names: &Names<'_>, frames: &Frames) -> usize {
    moves(names, frames)
        .filter(|(_, _, by)| by.hypot() <= SAME)
        .count()
}

/// How many lines and curves run where they ran.
pub(super) fn lines_that_stayed(names: &Names<'_>, frames: &Frames) -> usize {
    let same = |(old, new): &&(&NamedValue, &NamedValue)| match (&old.value, &new.value) {
        (Value::Line(a) | Value::Curve(a), Value::Line(b) | Value::Curve(b)) => {
            let by = frames.by(&new.name);
            let (a, b) = (super::fit::places(a), super::fit::places(b));
            a.len() == b.len()
                && a.iter()
                    .zip(&b)
                    .all(|(a, b)| (by * *a - *b).hypot() <= SAME)
        }
        _ => false,
    };
    names.values.iter().filter(same).count()
}

/// Checks that changed, and how many did not. The author's words may carry figures, so a check left over on both sides is
/// known by what it reads, then by its turn.
pub(super) fn checks(old: Side<'_>, new: Side<'_>) -> (Vec<CheckChange>, usize) {
    let mut left: Vec<&Check> = old.outcome.pattern.checks.iter().collect();
    let mut changes = Vec::new();
    let mut same = 0;
    for check in &new.outcome.pattern.checks {
        let by_text = left.iter().position(|other| other.text == check.text);
        let by_reads = || {
            left.iter()
                .position(|other| other.reads == check.reads && !check.reads.is_empty())
        };
        let Some(before) = by_text.or_else(by_reads).map(|at| left.remove(at)) else {
            changes.push(check_change(None, Some(check)));
            continue;
        };
        if before.ok == check.ok
            && before.measured == check.measured
            && before.wanted == check.wanted
            && before.redrawn == check.redrawn
        {
            same += 1;
        } else {
            changes.push(check_change(Some(before), Some(check)));
        }
    }
    changes.extend(left.into_iter().map(|gone| check_change(Some(gone), None)));
    (changes, same)
}

fn check_change(old: Option<&Check>, new: Option<&Check>) -> CheckChange {
    let measured = |check: &Check| format!("{}, wanted {}", check.measured, check.wanted);
    CheckChange {
        text: new
            .or(old)
            .map_or_else(String::new, |check| check.text.clone()),
        was: old.map(measured),
        is: new.map(measured),
        was_ok: old.map(|check| check.ok),
        is_ok: new.map(|check| check.ok),
        was_overtaken: old.and_then(Check::overtaken),
        is_overtaken: new.and_then(Check::overtaken),
    }
}

/// Cautions that came and that went.
pub(super) fn cautions(old: Side<'_>, new: Side<'_>) -> (Vec<String>, Vec<String>) {
    let (before, after) = (&old.outcome.pattern.cautions, &new.outcome.pattern.cautions);
    let without = |these: &[String], those: &[String]| {
        these
            .iter()
            .filter(|one| !those.contains(one))
            .cloned()
            .collect()
    };
    (without(after, before), without(before, after))
}

/// Errors of both sides: those by which something is missing, or those of what was judged.
pub(super) fn troubles(old: Side<'_>, new: Side<'_>, judged: bool) -> Vec<String> {
    let mut found = Vec::new();
    for side in [old, new] {
        let told = side.outcome.diagnostics.iter();
        for message in told.filter(|one| one.is_error() && one.code.is_judged() == judged) {
            let place = message.place;
            let line = side.project.sources.line(place);
            let file = side.project.sources.name(place.file);
            let words = message.message.in_unit(side.outcome.program.unit);
            found.push(format!("{}: {file}, line {line}: {words}", side.label));
        }
    }
    found
}

/// The sentences without those that only gave a measure its new value, which is told as a value.
pub(super) fn without_values(
    sentences: Vec<SentenceChange>,
    values: &[ValueChange],
) -> Vec<SentenceChange> {
    let told = |sentence: &SentenceChange| {
        let (Edit::Changed, Some(old), Some(new)) = (sentence.edit, &sentence.old, &sentence.new)
        else {
            return false;
        };
        let (Some(before), Some(after)) = (measure_parts(old), measure_parts(new)) else {
            return false;
        };
        let own = |name: &str| name.rsplit('.').next() == Some(after.0);
        before == after && values.iter().any(|value| own(&value.name))
    };
    sentences
        .into_iter()
        .filter(|sentence| !told(sentence))
        .collect()
}

/// Name of a measure's sentence, and what stands beside its default.
fn measure_parts(words: &str) -> Option<(&str, &str, &str)> {
    let (word, rest) = words.split_once(' ')?;
    if word != "body" && word != "choose" {
        return None;
    }
    let (name, rest) = rest.split_once(" = ")?;
    let from = [" between ", " of \"", " \""]
        .into_iter()
        .filter_map(|mark| rest.find(mark))
        .min();
    Some((word, name, from.and_then(|at| rest.get(at..)).unwrap_or("")))
        .map(|(_, name, rest)| (name, word, rest))
}
