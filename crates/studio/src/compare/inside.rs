//! What is drawn inside a piece before and after: marks for the cloth, fold lines, the grain. All lie in the piece's own place.

use super::lies::{found, way};
use super::names::{Names, panel_of};
use super::notches::Pair;
use super::piece_change::{Inside, InsideChange, InsideEdit, Lies};
use super::{Change, SAME, fit, words};
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{Button, MarkSpec, Value};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use oaktag_output::number::{DEGREE_DECIMALS, rounded};

/// A grain line has turned where it points elsewhere by so much, in degrees.
const TURNED: f64 = 0.01;

/// What moved, came or went inside a piece.
pub(super) fn changes(names: &Names<'_>, pair: &Pair<'_>) -> Vec<InsideChange> {
    let mut found: Vec<InsideChange> = grain(pair).into_iter().collect();
    found.extend(folds(pair));
    found.extend(marks(names, pair));
    found
}

/// A grain line has no sense: half a turn is none; and where it lies is all one.
fn grain(pair: &Pair<'_>) -> Option<InsideChange> {
    let edit = match (&pair.old.grain, &pair.new.grain) {
        (None, None) => return None,
        (None, Some(_)) => InsideEdit::New,
        (Some(_), None) => InsideEdit::Gone,
        (Some(old), Some(new)) => {
            let a = pair.frame * old.start_tangent().to_point() - pair.frame * Point::ORIGIN;
            let b = new.start_tangent();
            let angle = -a.cross(b).atan2(a.dot(b)).to_degrees();
            let angle = (angle + 90.0).rem_euclid(180.0) - 90.0;
            if angle.abs() <= TURNED {
                return None;
            }
            InsideEdit::Turned(rounded(angle, DEGREE_DECIMALS))
        }
    };
    Some(InsideChange {
        kind: Inside::Grain,
        name: String::new(),
        text: String::new(),
        edit,
    })
}

fn folds(pair: &Pair<'_>) -> Vec<InsideChange> {
    let mut left: Vec<&(String, Path)> = pair.old.fold_lines.iter().collect();
    let mut found = Vec::new();
    let mut tell = |name: &str, edit| {
        found.push(InsideChange {
            kind: Inside::Fold,
            name: name.to_owned(),
            text: String::new(),
            edit,
        });
    };
    let mut fresh = Vec::new();
    for new in &pair.new.fold_lines {
        match left.iter().position(|old| old.0 == new.0) {
            Some(at) => {
                let old = left.remove(at);
                if let Some(edit) = line(pair, &old.1, &new.1) {
                    tell(&new.0, edit);
                }
            }
            None => fresh.push(new),
        }
    }
    // One that lies where another lay is that one renamed.
    for new in fresh {
        match left
            .iter()
            .position(|old| line(pair, &old.1, &new.1).is_none())
        {
            Some(at) => {
                left.remove(at);
            }
            None => tell(&new.0, InsideEdit::New),
        }
    }
    for old in left {
        tell(&old.0, InsideEdit::Gone);
    }
    found
}

fn marks(names: &Names<'_>, pair: &Pair<'_>) -> Vec<InsideChange> {
    let mut found = Vec::new();
    let mut left: Vec<&MarkSpec> = pair.old.marks.iter().collect();
    let mut tell = |mark: &MarkSpec, edit| {
        found.push(InsideChange {
            kind: Inside::Mark,
            name: local(&mark.name, &pair.new.panel),
            text: mark.text.clone(),
            edit,
        });
    };
    for mark in &pair.new.marks {
        let before = before(names, &left, mark).map(|at| left.remove(at));
        match before {
            None => tell(mark, InsideEdit::New),
            Some(old) => {
                if let Some(edit) = moved(pair, &old.shape, &mark.shape) {
                    tell(mark, edit);
                }
            }
        }
    }
    for mark in left {
        tell(mark, InsideEdit::Gone);
    }
    found
}

/// The old mark that a new one was: one place may bear several, a button on one side and its hole on the other.
fn before(names: &Names<'_>, left: &[&MarkSpec], mark: &MarkSpec) -> Option<usize> {
    let named = |old: &&MarkSpec| names.value(&old.name) == mark.name;
    let mut olds = left.iter();
    let alike = olds.position(|old| named(old) && old.words() == mark.words());
    alike.or_else(|| left.iter().position(named))
}

/// A name without its panel's, where it is of that panel.
fn local(full: &str, panel: &str) -> String {
    if panel_of(full) == panel {
        full.rsplit('.').next().unwrap_or(full).to_owned()
    } else {
        full.to_owned()
    }
}

fn moved(pair: &Pair<'_>, old: &Value, new: &Value) -> Option<InsideEdit> {
    match (old, new) {
        (Value::Point(a), Value::Point(b)) => {
            let by = *b - pair.frame * *a;
            (by.hypot() > SAME).then(|| InsideEdit::Moved(way(by)))
        }
        (Value::Line(a) | Value::Curve(a), Value::Line(b) | Value::Curve(b)) => line(pair, a, b),
        _ => Some(InsideEdit::Other),
    }
}

/// What became of a line: moved as a whole, or redrawn.
fn line(pair: &Pair<'_>, old: &Path, new: &Path) -> Option<InsideEdit> {
    let old = old.transformed(pair.frame);
    match (old.endless_line(), new.endless_line()) {
        (None, None) => {}
        (Some((through, along)), Some((_, way_on))) => {
            let angle = -along.cross(way_on).atan2(along.dot(way_on)).to_degrees();
            let angle = (angle + 90.0).rem_euclid(180.0) - 90.0;
            if angle.abs() > TURNED {
                return Some(InsideEdit::Turned(rounded(angle, DEGREE_DECIMALS)));
            }
            let off = new.nearest(through).point - through;
            return (off.hypot() > SAME).then(|| InsideEdit::Moved(way(off)));
        }
        _ => return Some(InsideEdit::Other),
    }
    let (a, b) = (fit::places(&old), fit::places(new));
    let ways: Vec<Vec2> = a.iter().zip(&b).map(|(a, b)| *b - *a).collect();
    let first = ways.first().copied().unwrap_or_default();
    let together = a.len() == b.len() && ways.iter().all(|by| (*by - first).hypot() <= SAME);
    if together {
        return (first.hypot() > SAME).then(|| InsideEdit::Moved(way(first)));
    }
    let found = found(&old, new)?;
    let (start, stop) = (new.start().ok()?, new.end().ok()?);
    let end = |end| end_of(if end { start - stop } else { stop - start }).to_owned();
    let lies: Lies = found.told(false, end);
    let length = Change::mm(old.length().unwrap_or(0.0), new.length().unwrap_or(0.0));
    // Drawn the other way round it is the same line.
    let ends = old.start().ok().zip(new.end().ok());
    let is_reversed = ends.is_some_and(|(a, b)| (b - a).hypot() <= SAME);
    let is_same =
        lies.off.is_empty() && !length.is_change() && (is_reversed || lies.along.is_none());
    (!is_same).then_some(InsideEdit::Redrawn(length, lies))
}

/// An end of a line, by the way from it to the other.
fn end_of(onward: Vec2) -> &'static str {
    match (
        onward.x.abs() > onward.y.abs(),
        onward.x > 0.0,
        onward.y > 0.0,
    ) {
        (true, true, _) => "its left end",
        (true, false, _) => "its right end",
        (false, _, true) => "its lower end",
        (false, _, false) => "its upper end",
    }
}

/// What the marks of a piece say otherwise, and other buttons.
pub(super) fn other_words(names: &Names<'_>, pair: &Pair<'_>, unit: LengthUnit) -> Vec<String> {
    let mut said = Vec::new();
    let mut left: Vec<&MarkSpec> = pair.old.marks.iter().collect();
    for mark in &pair.new.marks {
        let Some(old) = before(names, &left, mark).map(|at| left.remove(at)) else {
            continue;
        };
        let name = voice::name(&local(&mark.name, &pair.new.panel));
        if old.words() != mark.words() {
            said.push(format!(
                "mark {name}: “{}” → “{}”",
                old.words(),
                mark.words()
            ));
        }
        if old.button != mark.button {
            said.push(format!(
                "mark {name}: {} → {}",
                button(old.button, unit),
                button(mark.button, unit)
            ));
        }
    }
    said
}

/// A button and the hole it wants.
fn button(button: Option<Button>, unit: LengthUnit) -> String {
    button.map_or("no button".to_owned(), |button| {
        format!(
            "button {} across and {} thick, hole {}",
            unit.length(button.diameter),
            unit.length(button.thickness),
            unit.length(button.hole())
        )
    })
}

/// The changes in words, those that are alike in one line: `buttons 1 to 7: 0.3 cm lower`.
pub(super) fn lines(changes: &[InsideChange], unit: LengthUnit) -> Vec<String> {
    let mut rows: Vec<(Vec<String>, String, String)> = Vec::new();
    for change in changes {
        let name = voice::name(&change.name);
        let (kind, name) = match change.kind {
            Inside::Grain => ("grain", String::new()),
            Inside::Fold => ("fold", name),
            Inside::Mark => ("mark", name),
        };
        let said = edit(&change.edit, unit);
        let head = format!("{kind}|{}", change.text);
        match rows.last_mut() {
            Some((names, known, words)) if *known == head && *words == said => names.push(name),
            _ => rows.push((vec![name], head, said)),
        }
    }
    let told = rows.into_iter().map(|(names, head, said)| {
        let (kind, text) = head.split_once('|').unwrap_or((&head, ""));
        let names = row(&names);
        let text = if text.is_empty() {
            String::new()
        } else {
            format!(" ({text})")
        };
        let what = match kind {
            "grain" => "grain line".to_owned(),
            "fold" => format!("fold line {names}"),
            _ => format!("mark {names}{text}"),
        };
        format!("{what}: {said}")
    });
    told.collect()
}

/// `buttons 1 to 7`, `dart tip and knee point`.
fn row(names: &[String]) -> String {
    let numbered = |name: &String| -> Option<(String, usize)> {
        let (stem, number) = name.rsplit_once(' ')?;
        Some((stem.to_owned(), number.parse().ok()?))
    };
    let items: Vec<(String, usize)> = names.iter().filter_map(numbered).collect();
    if let ([(stem, first), .., (_, last)], true) = (items.as_slice(), items.len() == names.len())
        && items
            .iter()
            .enumerate()
            .all(|(at, (own, number))| own == stem && *number == first + at)
    {
        let to = if items.len() == 2 { "and" } else { "to" };
        return format!("{stem} {first} {to} {last}");
    }
    voice::list(names)
}

fn edit(edit: &InsideEdit, unit: LengthUnit) -> String {
    match edit {
        InsideEdit::New => "new".to_owned(),
        InsideEdit::Gone => "gone".to_owned(),
        InsideEdit::Moved(by) => words::place(by.right_mm, by.up_mm, unit),
        InsideEdit::Turned(by) => format!("turned {}", words::turn(*by)),
        InsideEdit::Redrawn(length, lies) => {
            let mut parts = words::lies(lies, unit);
            if length.is_change() {
                parts.push(words::longer(length, unit));
            }
            parts.join("; ")
        }
        InsideEdit::Other => "something else now".to_owned(),
    }
}
