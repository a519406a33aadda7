//! A hand that knows only a lesson's page, and redraws the draft from its words; what it draws is held against the drawing,
//! sentence by sentence. Each sentence builds on what the hand itself has drawn before, as a student's does.

mod acts;
mod nouns;
mod strokes;

use kurbo::{BezPath, ParamCurveNearest, Point, Vec2};
use nouns::{Sheet, Sheets};
use oaktag::draft::Outcome;
use oaktag::kind::Kind;
use oaktag::kind::unit::LengthUnit;
use oaktag::lesson::Lesson;
use oaktag::phrase::Value;
use regex::Regex;
use strokes::Stroke;

/// How far a point may lie from where it belongs, in millimetres: what a careful hand drifts from one line to the next
/// ("half a millimetre to one millimetre a line", common practice), after the longest row of lines in these drafts.
const BY_HAND: f64 = 1.0;

pub fn captures<'t>(pattern: &str, text: &'t str) -> Option<regex::Captures<'t>> {
    use std::cell::RefCell;
    use std::collections::HashMap;
    thread_local!(static KNOWN: RefCell<HashMap<String, Regex>> = RefCell::default());
    let known = KNOWN.with_borrow_mut(|known| {
        known
            .entry(pattern.to_owned())
            .or_insert_with(|| Regex::new(pattern).unwrap())
            .clone()
    });
    known.captures(text)
}

pub fn way(word: &str) -> Vec2 {
    match word {
        "to the right" | "right" => Vec2::new(1.0, 0.0),
        "to the left" | "left" => Vec2::new(-1.0, 0.0),
        "up" | "straight up" => Vec2::new(0.0, 1.0),
        _ => Vec2::new(0.0, -1.0),
    }
}

/// A name as a page has it.
fn spoken(member: &str) -> String {
    let words = member.replace('_', " ");
    let words = words.split(' ').map(|word| match word {
        "cb" => "CB",
        "cf" => "CF",
        other => other,
    });
    words.collect::<Vec<_>>().join(" ")
}

fn parts(full: &str) -> (String, String) {
    let (panel, member) = full.rsplit_once('.').unwrap_or(("", full));
    (panel.replace(['.', '_'], " "), spoken(member))
}

fn bez(path: &oaktag::geometry::path::Path) -> BezPath {
    BezPath::from_path_segments(path.segs().iter().copied())
}

fn stroke(path: &oaktag::geometry::path::Path) -> Stroke {
    if let Some((through, along)) = path.endless_line() {
        return Stroke::guide(through, along);
    }
    Stroke {
        points: path.flatten(0.01).unwrap(),
        endless: false,
    }
}

/// What lies on the table before the lesson begins: the block that the draft imports.
fn imported(outcome: &Outcome) -> Sheets {
    let mut sheets = Sheets::default();
    let main = outcome.program.sites.last().unwrap().span.file;
    for entry in &outcome.record.entries {
        let site = &outcome.program.sites[entry.site.0 as usize];
        if site.span.file == main || entry.call.is_some() {
            continue;
        }
        for (target, value) in site.targets.iter().zip(&entry.values) {
            let (panel, member) = parts(&target.name);
            let sheet: &mut Sheet = sheets.all.entry(panel).or_default();
            match value {
                Value::Point(at) => drop(sheet.points.insert(member, *at)),
                Value::Path(path) => drop(sheet.lines.insert(member, stroke(path))),
                _ => {}
            }
        }
    }
    sheets
}

/// How a draft was redrawn.
pub struct Redrawn {
    /// Sentences done by hand and held against the drawing.
    pub held: usize,
    /// Sentences.
    pub all: usize,
    /// Those that were not.
    pub left: Vec<String>,
}

/// Does every sentence of a lesson by hand, and holds what it drew against what the program drew for that sentence.
pub fn redraw(lesson: &Lesson, outcome: &Outcome) -> Redrawn {
    let mut sheets = imported(outcome);
    let mut entries = outcome
        .record
        .entries
        .iter()
        .filter(|entry| entry.call.is_none());
    let mut done = Redrawn {
        held: 0,
        all: 0,
        left: Vec::new(),
    };
    for step in &lesson.steps {
        sheets.now = step.panel.clone();
        if !sheets.all.contains_key(&step.panel) {
            let traced = sheets
                .all
                .iter()
                .find(|(name, _)| name.ends_with(&format!(" {}", step.panel)));
            let traced = traced.map(|(_, sheet)| sheet.clone()).unwrap_or_default();
            sheets.all.insert(step.panel.clone(), traced);
        }
        for said in &step.does {
            done.all += 1;
            let Some(names) = acts::act(&mut sheets, said) else {
                done.left.push(said.clone());
                continue;
            };
            for name in names {
                let value = entries.by_ref().find_map(|entry| {
                    let site = &outcome.program.sites[entry.site.0 as usize];
                    let mut drawn = site.targets.iter().zip(&entry.values);
                    drawn
                        .find(|(target, _)| {
                            parts(&target.name) == (step.panel.clone(), name.clone())
                        })
                        .map(|(target, value)| (target.kind.clone(), value.clone()))
                });
                // Two names of one sentence come from one entry.
                let Some((kind, value)) = value else {
                    panic!("{said}: the drawing has no {name} there");
                };
                hold(&mut sheets, said, &name, &kind, &value);
            }
            done.held += 1;
        }
    }
    done
}

fn hold(sheets: &mut Sheets, said: &str, name: &str, kind: &Kind, value: &Value) {
    match value {
        Value::Point(is) => {
            let at = sheets.sheet().points[name];
            let off = (at - *is).hypot();
            assert!(
                off < BY_HAND,
                "{off:.2} off, by hand {at:?}, drawn {is:?}: {said}"
            );
        }
        Value::Path(path) => hold_line(&sheets.sheet().lines[name], path, said),
        Value::List(items) => {
            for (at, item) in items.iter().enumerate() {
                hold(sheets, said, &format!("{name} {}", at + 1), kind, item);
            }
        }
        Value::Quantity(figure) | Value::Turn(figure) => {
            let printed = match kind {
                Kind::Turn => LengthUnit::Centimetre.of_kind(&Kind::ANGLE, figure.abs()),
                kind => LengthUnit::Centimetre.of_kind(kind, *figure),
            };
            assert!(
                said.contains(&printed),
                "{printed} does not stand in: {said}"
            );
        }
        other => panic!("{said}: {other:?}"),
    }
}

/// Ends in place, no part of it farther from the drawn line than a hand drifts, and as long as the page says.
fn hold_line(hand: &Stroke, path: &oaktag::geometry::path::Path, said: &str) {
    if let Some((through, along)) = path.endless_line() {
        let (u, v) = (hand.along(), along.normalize());
        let off = (through - hand.start()).cross(u).abs();
        assert!(
            u.cross(v).abs() < 0.004 && off < BY_HAND,
            "{off:.2} off: {said}"
        );
        return;
    }
    let drawn = bez(path);
    let ends = (path.start().unwrap(), path.end().unwrap());
    let apart = |p: Point, q: Point| (p - q).hypot();
    let off = apart(hand.start(), ends.0)
        .max(apart(hand.end(), ends.1))
        .min(apart(hand.start(), ends.1).max(apart(hand.end(), ends.0)));
    assert!(off < BY_HAND, "ends {off:.2} off: {said}");
    let long = path.length().unwrap();
    let longer = hand.length() - long;
    assert!(longer.abs() < 1.5 * BY_HAND, "{longer:.2} longer: {said}");
    for part in 0..=40 {
        let at = hand.at(hand.length() * f64::from(part) / 40.0);
        let near = drawn
            .segments()
            .map(|seg| seg.nearest(at, 1e-6).distance_sq);
        let off = near.fold(f64::MAX, f64::min).sqrt();
        assert!(off < BY_HAND, "{off:.2} off at {part}/40: {said}");
    }
}
