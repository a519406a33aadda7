//! A card of a library act, drawn from its tables and sentences alone on empty sheets, and held against what the act drew.

use super::nouns::{Places, Sheet};
use super::strokes::Stroke;
use super::{captures, off_line, parts};
use kurbo::Point;
use oaktag_language::draft::Outcome;
use oaktag_language::draft::record::Entry;
use oaktag_language::phrase::Value;
use oaktag_studio::lesson::{Lesson, Step, Table};
use std::collections::BTreeMap;

/// Every card of a lesson, and how far off the farthest place of each is; what is not on its page at all fails here.
pub fn cards(lesson: &Lesson, outcome: &Outcome) -> Vec<(String, f64)> {
    let mut calls = outcome.record.entries.iter().filter(|entry| {
        let site = &outcome.program.sites[entry.site.0 as usize];
        let holds = site.targets.iter().any(|target| target.name.contains('.'));
        entry.call.is_none() && site.panel.is_empty() && holds && site.targets.len() > 1
    });
    let mut done = Vec::new();
    for step in lesson.steps.iter().filter(|step| step.is_card()) {
        let drawn = by_hand(step);
        assert!(!drawn.is_empty(), "{}", step.title);
        // Acts that leave nothing on paper have no card.
        let drew = calls
            .find_map(|entry| {
                let drew = left_by(entry, outcome);
                let has = |panel: &String, line: &String| {
                    drew.iter().any(|(of, name, _)| of == panel && name == line)
                };
                let has_all = drawn
                    .iter()
                    .all(|(panel, sheet)| sheet.lines.keys().all(|line| has(panel, line)));
                has_all.then_some(drew)
            })
            .unwrap_or_else(|| panic!("{}: no act draws {:?}", step.title, drawn.keys()));
        let mut worst: f64 = 0.0;
        for (panel, member, value) in drew {
            let Some(sheet) = drawn.get(&panel) else {
                continue;
            };
            match value {
                Value::Path(path) => {
                    let Some(line) = sheet.lines.get(&member) else {
                        continue;
                    };
                    let wrong = off_line(line, &path);
                    assert!(
                        wrong.is_none(),
                        "{}, {panel} {member}: {wrong:?}",
                        step.title
                    );
                    worst = worst.max(line.farthest(&path));
                }
                Value::Point(at) => {
                    let Some(point) = sheet.points.get(&member) else {
                        continue;
                    };
                    worst = worst.max((*point - at).hypot());
                }
                _ => {}
            }
        }
        done.push((format!("{}. {}", step.number, step.title), worst));
    }
    done
}

/// Panel, name and value of all that an act leaves: of a list, its items one by one.
fn left_by(entry: &Entry, outcome: &Outcome) -> Vec<(String, String, Value)> {
    let site = &outcome.program.sites[entry.site.0 as usize];
    let mut found = Vec::new();
    for (target, value) in site.targets.iter().zip(&entry.values) {
        let (panel, member) = parts(&target.name);
        if let Value::List(items) = value {
            let items = items.iter().enumerate();
            found.extend(
                items.map(|(at, item)| {
                    (panel.clone(), format!("{member} {}", at + 1), item.clone())
                }),
            );
        } else {
            found.push((panel, member, value.clone()));
        }
    }
    found
}

/// A panel as its full name is spoken, of "the back of the shirt".
fn panel(noun: &str) -> String {
    let mut parts: Vec<&str> = noun.split(" of the ").collect();
    parts.reverse();
    let name = parts.join(" ");
    name.strip_prefix("the ")
        .map_or_else(|| name.replace(" the ", " "), str::to_owned)
}

/// The sheets of a card, drawn.
fn by_hand(step: &Step) -> BTreeMap<String, Sheet> {
    let mut sheets: BTreeMap<String, Sheet> = BTreeMap::new();
    let mut tables = step.tables.iter().peekable();
    while let Some(table) = tables.next() {
        let found = captures(
            "^Points(?: of (.+))?: cm right and up of its starting point",
            &table.title,
        );
        let found = found.unwrap_or_else(|| panic!("{}", table.title));
        let noun = found.get(1).map_or("the sheet", |one| one.as_str());
        let numbered = numbered(table);
        let mut curves: Vec<(String, Places)> = Vec::new();
        while let Some(table) = tables.next_if(|table| table.head.len() == 2) {
            let name = table.title.split(": ruler").next().unwrap().to_lowercase();
            curves.push((name, Places::read(table, str::to_owned).unwrap()));
        }
        let sheet = sheets.entry(panel(noun)).or_default();
        for (number, name, at) in &numbered {
            sheet
                .points
                .insert(name.clone().unwrap_or(format!("point {number}")), *at);
        }
        let said = step.does.join(" ");
        for lead in [
            format!("Rule the straight lines of {noun}: "),
            format!("Draw the curves of {noun} through the places of their tables: "),
        ] {
            let Some((_, rest)) = said.split_once(&lead) else {
                continue;
            };
            let rest = rest.split(". ").next().unwrap().trim_end_matches('.');
            for one in rest.split("; ") {
                let found = captures(r"^(.+) from (\d+(?: to \d+)+)(?:, .+)?$", one);
                let found = found.unwrap_or_else(|| panic!("{one}"));
                let line = line(&found[1], &found[2], &numbered, &curves);
                sheet.lines.insert(found[1].to_owned(), line);
            }
        }
    }
    sheets
}

/// Points of a table: number, name, place.
fn numbered(table: &Table) -> Vec<(String, Option<String>, Point)> {
    let figure = |cell: &str| cell.replace('−', "-").parse::<f64>().unwrap() * 10.0;
    let rows = table.rows.iter().map(|row| {
        let (number, name) = match row[0].split_once(' ') {
            Some((number, name)) => (number, Some(name.to_owned())),
            None => (row[0].as_str(), None),
        };
        (
            number.to_owned(),
            name,
            Point::new(figure(&row[1]), figure(&row[2])),
        )
    });
    rows.collect()
}

/// A line from point to point: straight, or through the places of its tables, each with the ruler's own free ends.
fn line(
    name: &str,
    ends: &str,
    numbered: &[(String, Option<String>, Point)],
    curves: &[(String, Places)],
) -> Stroke {
    let at = |number: &str| {
        let found = numbered.iter().find(|(own, ..)| own == number);
        found.unwrap_or_else(|| panic!("no point {number}")).2
    };
    let ends: Vec<&str> = ends.split(" to ").collect();
    let strokes = ends.windows(2).map(|pair| {
        let (from, to) = (at(pair[0]), at(pair[1]));
        let table = curves.iter().find(|(of, table)| {
            *of == name.to_lowercase() && table.from == pair[0] && table.to == pair[1]
        });
        match table {
            Some((_, table)) => {
                let mut places = vec![from];
                places.extend(table.between(from, to));
                places.push(to);
                Stroke::through(&places, None, None)
            }
            None => Stroke::straight(from, to),
        }
    });
    let strokes: Vec<Stroke> = strokes.collect();
    Stroke::joined(&strokes)
}
