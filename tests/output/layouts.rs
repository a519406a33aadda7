//! Whatever layout a draft is typed in, the same is drawn of it, and the same is told.

use crate::chance::Chance;
use crate::example_drafts::{as_json, example_as};
use crate::relaid::{rebracketed, relaid};
use oaktag_language::draft::Outcome;
use oaktag_language::syntax::tidy;
use oaktag_language::voice::LengthUnit;
use serde_json::Value as Json;

/// All of the JSON but for lines of the text.
fn figures(outcome: &Outcome) -> Json {
    let mut whole = as_json(outcome);
    without_lines(&mut whole);
    whole
}

fn without_lines(value: &mut Json) {
    match value {
        Json::Object(parts) => {
            parts.remove("line");
            parts.values_mut().for_each(without_lines);
        }
        Json::Array(items) => items.iter_mut().for_each(without_lines),
        _ => {}
    }
}

fn told(outcome: &Outcome) -> Vec<(&'static str, String)> {
    let told = outcome.diagnostics.iter();
    let unit = LengthUnit::Millimetre;
    told.map(|one| (one.code.name(), one.message.in_unit(unit).to_string()))
        .collect()
}

#[test]
fn every_layout_of_an_example_draws_the_same() {
    let folder = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    let mut seed = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "draft") {
            continue;
        }
        let name = path.file_name().unwrap().to_str().unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        let drawn = example_as(name, &text);
        assert!(
            !drawn.pattern.pieces.is_empty() || drawn.pattern.values.len() > 10,
            "{name}"
        );
        for _ in 0..2 {
            seed += 1;
            let mut chance = Chance::new(seed);
            let other = relaid(&rebracketed(&text, &mut chance), &mut chance);
            assert_ne!(other, text);
            assert_eq!(tidy(&other).text, text, "{name}");
            let again = example_as(name, &other);
            assert_eq!(figures(&again), figures(&drawn), "{name} as\n{other}");
            assert_eq!(told(&again), told(&drawn), "{name} as\n{other}");
        }
    }
    assert!(seed > 30, "{seed}");
}
