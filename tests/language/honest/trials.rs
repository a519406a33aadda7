//! `try`: no value that does not hold, no later one in silence, none denied that is there; and few trials for it.

use crate::honest::drawing::Run;
use oaktag_language::report::{Code, Diagnostic};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::path::Path;

/// The value that `try x between 0mm and 24mm` takes for a block, and what is told.
fn solved(block: &str, until: &str) -> (Option<f64>, Vec<(Code, String)>) {
    let text = format!(
        "draft \"t\"\nunit mm\npanel a {{\n  try x between 0mm and 24mm {{\n{block}\n  }} until {until}\n  length found = x\n}}\n"
    );
    let (_, outcome) = Run::of(&text).drawn();
    let mut values = outcome.pattern.values.iter();
    let found = values.find(|value| value.name == "a.found").map(|found| {
        let oaktag_language::pattern::spec::Value::Length(mm) = &found.value else {
            panic!("{found:?}");
        };
        *mm
    });
    let told = outcome.diagnostics.iter();
    let notes = |told: &Diagnostic| -> Vec<String> {
        let notes = told.notes.iter();
        notes.map(|note| note.in_unit(MM).into_owned()).collect()
    };
    (
        found,
        told.map(|d| (d.code, format!("{} {:?}", d.message.in_unit(MM), notes(d))))
            .collect(),
    )
}

#[track_caller]
fn takes(block: &str, until: &str, wanted: f64, codes: &[Code]) {
    let (found, told) = solved(block, until);
    let said: Vec<Code> = told.iter().map(|(code, _)| *code).collect();
    assert!(
        found.is_some_and(|x| (x - wanted).abs() < 1e-6),
        "{found:?} {told:?}"
    );
    assert_eq!(said, codes, "{told:?}");
}

#[test]
fn the_first_value_is_taken_and_the_others_are_named() {
    let cubic = "length y = (x - 10.3mm) * (x - 10.6mm) * (x - 10.8mm) / 1mm / 1mm";
    takes(cubic, "y = 0mm", 10.3, &[Code::TwoSolve]);
    // Beside a stretch that cannot be drawn: 9.6 less the root of 5.4 times 5.4 and 1.
    let stretch = "length y = (root of ((x - 4.2mm) * (x - 15mm))) - 1mm";
    let root = 9.6 - (5.4f64 * 5.4 + 1.0).sqrt();
    takes(stretch, "y = 0mm", root, &[Code::TwoSolve]);
    takes(
        "length y = root of ((x - 23.5mm) * 1mm)",
        "y = 0.5mm",
        23.75,
        &[],
    );
    // A swing reaches the level from 20 mm on: the foot of 21 over 20.
    let swing = "point tip = swing x from (origin up 20mm) onto (from origin toward right) near (origin right 30mm)\nlength y = distance from origin to tip";
    takes(swing, "y = 6.403124237432849mm", 21.0, &[]);
}

#[test]
fn values_that_print_alike_are_told_apart() {
    let close = "length y = (x - 10.301mm) * (x - 10.304mm) / 1mm";
    let (_, told) = solved(close, "y = 0mm");
    assert!(
        told[0]
            .1
            .starts_with("Two values of x will do: 10.301 mm and 10.304 mm."),
        "{told:?}"
    );
}

#[test]
fn what_misses_says_by_how_much() {
    let (found, told) = solved("length y = x", "y = 24.002mm");
    assert_eq!(found, None);
    assert!(
        told[0].1.contains("Wanted: y 24.002 mm.")
            && told[0].1.contains("still 0.002 mm too short"),
        "{told:?}"
    );
    let (found, told) = solved(
        "if x < 10.3mm {\nlength y = 1.99mm\n} otherwise {\nlength y = 2.002mm\n}",
        "y = 2mm",
    );
    assert_eq!(found, None);
    assert!(
        told[0]
            .1
            .contains("At 10.3 mm it jumps past what is wanted"),
        "{told:?}"
    );
    assert!(told[0].1.contains("still 0.002 mm too long"), "{told:?}");
}

#[test]
fn what_a_check_takes_for_equal_solves() {
    // Lengths within 0.001 mm are equal.
    takes("length y = x", "y = 24.0005mm", 24.0, &[]);
}

#[test]
fn few_trials_are_spent_on_the_examples() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    // At most so many for each `try` that finds its value, those inside others counted: 25 places, seven more where
    // the sign changes, and a few to refine it.
    for (name, tries) in [
        ("ferry-shirt.draft", 1),
        ("deck-vest.draft", 1),
        ("card-block-shirt.draft", 3),
    ] {
        let text = std::fs::read_to_string(folder.join(name)).unwrap();
        let trials = Run::of(&text)
            .called(name)
            .within(&folder)
            .drawn()
            .1
            .record
            .trials;
        assert!(trials <= 38 * tries, "{name}: {trials}");
    }
}
