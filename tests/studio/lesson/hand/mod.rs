//! A hand that knows only a lesson's page, and redraws the draft from its words; what it draws is held against the drawing,
//! sentence by sentence. Each sentence builds on what the hand itself has drawn before, as a student's does.

mod acts;
mod cards;
mod nouns;
mod strokes;

use kurbo::{Point, Vec2};
use nouns::{Sheet, Sheets};
use oaktag_language::draft::Outcome;
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Value;
use oaktag_language::voice::{Figure, LengthUnit, Words};
use oaktag_studio::lesson::Lesson;
use regex::Regex;
use strokes::Stroke;

pub use cards::cards;

/// How far a place may lie from where it belongs, in millimetres, after the longest row of lines in these drafts, block included:
/// about the breadth of a pencil line (common practice).
const BY_HAND: f64 = 0.6;

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

/// A sentence as this hand reads it: every name with its article and without the word for what it is, what is moved by its own
/// name, and nothing of lines that are no longer used.
fn plain(said: &str, names: &[String]) -> String {
    let mut said = Regex::new("; (the rest of )?the old (line|point) is no longer used")
        .unwrap()
        .replace(said, "")
        .replace("the old ", "the ");
    for name in names {
        if name.ends_with(|c: char| c.is_ascii_digit()) {
            let bare = Regex::new(&format!(" {name}\\b")).unwrap();
            said = bare
                .replace_all(&said, format!(" the {name}"))
                .replace("the the ", "the ");
        }
        for what in [" line", " point", " edge", " length", " angle"] {
            for the in ["the", "The"] {
                said = said.replace(&format!("{the} {name}{what}"), &format!("{the} {name}"));
            }
            // What a name says of a place stands behind what it is.
            let what = what.trim();
            said = said.replace(&format!("the {what} {name}"), &format!("the {name}"));
        }
    }
    for side in ["to the right", "to the left"] {
        said = said.replace(&format!("{side} of the "), &format!("{side} from the "));
    }
    let moved = captures(
        "^(Mark anew|Redraw) (the .+?): (slide|pivot|mirror) (?:it|them) (.+)\\.$",
        &said,
    );
    match moved
        .as_ref()
        .map(|found| (&found[1], &found[2], &found[3], &found[4]))
    {
        Some(("Redraw", names, act, how)) => format!("{act} {names} {how}: this is now {names}."),
        Some((word, names, act, how)) => format!("{word} {names}: {act} {names} {how}."),
        None => said,
    }
}

/// Names that a page says without an article, or with a word more, the longest first.
fn odd_names(outcome: &Outcome) -> Vec<String> {
    let targets = outcome.program.sites.iter().flat_map(|site| &site.targets);
    let mut names: Vec<String> = targets
        .map(|target| parts(&target.name).1)
        .filter(|name| {
            let numbered = name.ends_with(|c: char| c.is_ascii_digit());
            let said = oaktag_language::voice::the_thing(name, "thing");
            numbered || said.ends_with(" thing") || said.starts_with("the thing ")
        })
        .collect();
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    names.dedup();
    names
}

/// Whether a sentence says only what is no longer used.
fn of_old_lines(said: &str) -> bool {
    (said.starts_with("The ") || said.starts_with("What lay there"))
        && said.ends_with("no longer used.")
}

fn stroke(path: &oaktag_geometry::path::Path) -> Stroke {
    if let Some((through, along)) = path.endless_line() {
        return Stroke::guide(through, along);
    }
    Stroke {
        points: crate::chords::chords(path.segs(), 0.01),
        endless: false,
    }
}

/// How a draft was redrawn.
pub struct Redrawn {
    /// Sentences done by hand and held against the drawing.
    pub held: usize,
    /// Sentences.
    pub all: usize,
    /// Those that were not.
    pub left: Vec<String>,
    /// What came out otherwise than it was drawn.
    pub wrong: Vec<String>,
    /// Steps by number and title, and how far off the farthest place of each is.
    pub steps: Vec<(String, f64)>,
}

/// Does every sentence of a lesson by hand, from an empty table, and holds what it drew against what the program drew for that
/// sentence.
pub fn redraw(lesson: &Lesson, outcome: &Outcome) -> Redrawn {
    let mut sheets = Sheets::default();
    let mut entries = outcome
        .record
        .entries
        .iter()
        .filter(|entry| entry.call.is_none());
    let mut done = Redrawn {
        held: 0,
        all: 0,
        left: Vec::new(),
        wrong: Vec::new(),
        steps: Vec::new(),
    };
    let odd = odd_names(outcome);
    for step in &lesson.steps {
        sheets.now = step.panel.clone();
        sheets.all.entry(step.panel.clone()).or_default();
        let mut worst: f64 = 0.0;
        for (at, said) in step.does.iter().enumerate() {
            if of_old_lines(said) {
                continue;
            }
            let said = &plain(said, &odd);
            done.all += 1;
            if acts::trace(&mut sheets, said) {
                done.held += 1;
                continue;
            }
            sheets.lays_out(step, at + 1, |words| plain(words, &odd));
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
                            let (panel, member) = parts(&target.name);
                            // Beside the panels, a block's own figures bear its name.
                            let is_there = panel == step.panel || step.panel.is_empty();
                            is_there && member == name
                        })
                        .map(|(target, value)| (target.kind.clone(), value.clone()))
                });
                // Two names of one sentence come from one entry.
                let Some((kind, value)) = value else {
                    panic!("{said}: the drawing has no {name} there");
                };
                done.wrong
                    .extend(off(&mut sheets, said, &name, &kind, &value));
                worst = worst.max(how_far(&mut sheets, &name, &value));
            }
            done.held += 1;
        }
        done.steps
            .push((format!("{}. {}", step.number, step.title), worst));
    }
    done
}

/// How far off the farthest place of what a hand drew under a name is.
fn how_far(sheets: &mut Sheets, name: &str, value: &Value) -> f64 {
    match value {
        Value::Point(is) => {
            let at = sheets.sheet().points.get(name);
            at.map_or(f64::INFINITY, |at| (*at - *is).hypot())
        }
        Value::Path(path) if path.is_endless() => 0.0,
        Value::Path(path) => {
            let line = sheets.sheet().lines.get(name);
            line.map_or(f64::INFINITY, |line| line.farthest(path))
        }
        _ => 0.0,
    }
}

/// Does each sentence of a lesson alone, from what the program had drawn before it: whether the sentence by itself gives
/// what was drawn for it. This reaches the sentences inside the operations of the library too.
pub fn redraw_each_alone(steps: &[&oaktag_studio::lesson::Step], outcome: &Outcome) -> Redrawn {
    let mut done = Redrawn {
        held: 0,
        all: 0,
        left: Vec::new(),
        wrong: Vec::new(),
        steps: Vec::new(),
    };
    let mut aliases: Vec<(String, String)> = Vec::new();
    let mut entries: Vec<Option<&oaktag_language::draft::record::Entry>> =
        outcome.record.entries.iter().map(Some).collect();
    let odd = odd_names(outcome);
    let all = steps.iter().flat_map(|step| {
        let does = step.does.iter().enumerate();
        does.map(move |(at, said)| (step, at + 1, said))
    });
    for (step, number, said) in all {
        if of_old_lines(said) {
            continue;
        }
        let said = &plain(said, &odd);
        if said.starts_with("Follow this act") {
            if let Some((_, inside)) = said.split_once(" Inside it, ") {
                let named = inside.trim_end_matches('.').split("; ");
                for (name, noun) in named.filter_map(|one| one.split_once(" is ")) {
                    aliases.insert(0, (name.to_owned(), noun.to_owned()));
                }
            }
            continue;
        }
        done.all += 1;
        let mut worst: Option<String> = None;
        let aliases_now = aliases.clone();
        let found = entries.iter().position(|entry| {
            let Some(entry) = entry else { return false };
            let site = &outcome.program.sites[entry.site.0 as usize];
            let Some(first) = site.targets.first() else {
                return false;
            };
            let (panel, member) = parts(&first.name);
            if !said
                .to_lowercase()
                .contains(&format!("the {}", member.to_lowercase()))
            {
                return false;
            }
            let mut sheets = before(outcome, entry);
            sheets.now = panel;
            sheets.aliases.clone_from(&aliases_now);
            sheets.lays_out(step, number, |words| plain(words, &odd));
            let names = acts::act(&mut sheets, said);
            if names.as_deref() != Some(std::slice::from_ref(&member)) {
                return false;
            }
            let mut drawn = site.targets.iter().zip(&entry.values);
            let wrong = drawn.find_map(|(target, value)| {
                let member = parts(&target.name).1;
                off(&mut sheets, said, &member, &target.kind, value)
            });
            worst = wrong.clone().or(worst.take());
            wrong.is_none()
        });
        match found {
            Some(at) => {
                entries[at] = None;
                done.held += 1;
            }
            None => done.left.push(worst.unwrap_or_else(|| said.clone())),
        }
    }
    done
}

/// What a sentence read, on the table.
fn before(outcome: &Outcome, entry: &oaktag_language::draft::record::Entry) -> Sheets {
    let mut sheets = Sheets {
        loose: true,
        ..Sheets::default()
    };
    for id in &entry.read {
        let Some(read) = outcome.record.get(id.entry) else {
            continue;
        };
        let site = &outcome.program.sites[read.site.0 as usize];
        let Some(target) = site.targets.get(id.at as usize) else {
            continue;
        };
        let (panel, member) = parts(&target.name);
        let table = if read.call == entry.call {
            &mut sheets.all
        } else {
            &mut sheets.handed
        };
        let value = &read.values[id.at as usize];
        if let Value::Direction(way) = value {
            sheets.ways.insert(member, *way);
            continue;
        }
        let sheet: &mut Sheet = table.entry(panel).or_default();
        match value {
            Value::Point(at) => drop(sheet.points.insert(member, *at)),
            Value::Path(path) => drop(sheet.lines.insert(member, stroke(path))),
            _ => {}
        }
    }
    sheets
}

/// What is wrong with what a hand drew under a name.
fn off(sheets: &mut Sheets, said: &str, name: &str, kind: &Kind, value: &Value) -> Option<String> {
    match value {
        Value::Point(is) => {
            let Some(at) = sheets.sheet().points.get(name) else {
                return Some(format!("{name} was not marked: {said}"));
            };
            let off = (*at - *is).hypot();
            (off >= BY_HAND).then(|| format!("{off:.2} off, by hand {at:?}, drawn {is:?}: {said}"))
        }
        Value::Path(path) => {
            let Some(line) = sheets.sheet().lines.get(name) else {
                return Some(format!("{name} was not drawn: {said}"));
            };
            off_line(line, path).map(|wrong| format!("{wrong}: {said}"))
        }
        Value::List(items) => items
            .iter()
            .enumerate()
            .find_map(|(at, item)| off(sheets, said, &format!("{name} {}", at + 1), kind, item)),
        Value::Quantity(figure) | Value::Turn(figure) => {
            let printed = Words::from(match kind {
                Kind::Turn => Figure::of_kind(&Kind::ANGLE, figure.abs()),
                kind => Figure::of_kind(kind, *figure),
            });
            let printed = printed.in_unit(LengthUnit::Centimetre);
            (!said.contains(&*printed)).then(|| format!("{printed} does not stand in: {said}"))
        }
        Value::Answer(answer) => {
            let word = if *answer { "yes" } else { "no" };
            (!said.ends_with(&format!(": {word}."))).then(|| format!("not {word}: {said}"))
        }
        Value::Direction(way) => {
            let by = sheets
                .ways
                .get(name)
                .map(|hand| hand.normalize().cross(way.normalize()));
            let lies = by.is_some_and(|by| by.abs() < 0.004);
            (!lies).then(|| format!("another way: {said}"))
        }
        other => Some(format!("{other:?}: {said}")),
    }
}

/// Ends in place, no part of it farther from the drawn line than a hand drifts, and as long as the page says.
fn off_line(hand: &Stroke, path: &oaktag_geometry::path::Path) -> Option<String> {
    if let Some((through, along)) = path.endless_line() {
        let (u, v) = (hand.along(), along.normalize());
        let off = (through - hand.start()).cross(u).abs();
        let lies = u.cross(v).abs() < 0.004 && off < BY_HAND;
        return (!lies).then(|| format!("{off:.2} off"));
    }
    let ends = (path.start().unwrap(), path.end().unwrap());
    let apart = |p: Point, q: Point| (p - q).hypot();
    let off = apart(hand.start(), ends.0)
        .max(apart(hand.end(), ends.1))
        .min(apart(hand.start(), ends.1).max(apart(hand.end(), ends.0)));
    if off >= BY_HAND {
        return Some(format!("ends {off:.2} off"));
    }
    let longer = hand.length() - path.length().unwrap();
    if longer.abs() >= 1.5 * BY_HAND {
        return Some(format!("{longer:.2} longer"));
    }
    let off = hand.farthest(path);
    (off >= BY_HAND).then(|| format!("{off:.2} off"))
}
