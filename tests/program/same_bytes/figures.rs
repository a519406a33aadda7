//! What every example comes to before anything is drawn of it: its measures, values, pieces and seams as the JSON has them, with
//! all its decimals. Words, lines of text and places on paper have no part in it, so that a line of `figures.txt` changes where
//! a figure does, and says of what.

use super::digests::fnv;
use super::example_drafts::{as_json, example};
use expect_test::expect_file;
use serde_json::Value;
use std::fmt::Write;

/// Keys under which there are words, or places in a text.
const WORDS: [&str; 11] = [
    "file", "line", "step", "text", "label", "title", "cautions", "finish", "words", "measured",
    "wanted",
];

/// Every example, by its path below `examples`.
fn examples() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let entries = std::fs::read_dir(folder).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names.filter(|name| name.ends_with(".draft")).collect();
    names.sort();
    assert!(names.len() >= 16, "{names:?}");
    names
}

/// Without its words.
fn bare(value: &Value) -> Value {
    match value {
        Value::Object(keys) => {
            let kept = keys.iter().filter(|(key, _)| !WORDS.contains(&&***key));
            kept.map(|(key, value)| (key.clone(), bare(value)))
                .collect()
        }
        Value::Array(items) => items.iter().map(bare).collect(),
        other => other.clone(),
    }
}

fn hash(value: &Value) -> u64 {
    fnv(bare(value).to_string().as_bytes())
}

fn told(table: &mut String, name: &str, json: &Value) {
    for key in ["measures", "values"] {
        let count = json[key].as_object().unwrap().len();
        writeln!(table, "{name} {key}: {count}, {:016x}", hash(&json[key])).unwrap();
    }
    for piece in json["pieces"].as_array().unwrap() {
        writeln!(
            table,
            "{name} piece {}: {} mm², cut {} mm², {:016x}",
            piece["name"].as_str().unwrap(),
            piece["drawn_area_mm2"],
            piece["cut_area_mm2"],
            hash(piece)
        )
        .unwrap();
    }
    for seam in json["seams"].as_array().unwrap() {
        writeln!(
            table,
            "{name} seam {}: {} mm to {} mm, {:016x}",
            seam["name"].as_str().unwrap(),
            seam["first"]["length_mm"],
            seam["second"]["length_mm"],
            hash(seam)
        )
        .unwrap();
    }
}

#[test]
fn every_build_finds_the_figures_of_the_table() {
    let mut table = String::new();
    for name in examples() {
        let outcome = example(&name, &[]);
        told(
            &mut table,
            name.trim_end_matches(".draft"),
            &as_json(&outcome),
        );
    }
    expect_file!["../../data/figures.txt"].assert_eq(&table);
}

/// A figure that moves by the last decimal that is written changes its line; a word changes none.
#[test]
fn a_figure_moves_its_line_and_a_word_does_not() {
    let outcome = example("deck-vest.draft", &[]);
    let json = as_json(&outcome);
    let of = |json: &Value| {
        let mut table = String::new();
        told(&mut table, "vest", json);
        table
    };
    let with = |at: &str, value: Value| {
        let mut other = json.clone();
        *other.pointer_mut(at).unwrap_or_else(|| panic!("{at}")) = value;
        let (one, two) = (of(&json), of(&other));
        let lines = one.lines().zip(two.lines()).filter(|(a, b)| a != b);
        lines.map(|(line, _)| line.to_owned()).collect::<Vec<_>>()
    };
    let length = json["seams"][0]["first"]["length_mm"].as_f64().unwrap();
    let moved = with("/seams/0/first/length_mm", (length + 1e-4).into());
    assert_eq!(moved.len(), 1, "{moved:?}");
    assert!(moved[0].starts_with("vest seam "), "{moved:?}");
    let area = json["pieces"][1]["cut_area_mm2"].as_f64().unwrap();
    let moved = with("/pieces/1/cut_area_mm2", (area + 0.01).into());
    assert_eq!(moved.len(), 1, "{moved:?}");
    for at in ["/title", "/pieces/0/label", "/checks/0/text"] {
        assert!(with(at, "another".into()).is_empty(), "{at}");
    }
}
