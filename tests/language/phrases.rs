//! The table of phrases is its own reference: every example runs and uses the very form it stands with, every signature
//! names all its form takes, and no two forms could take one call.

use crate::drawing;

use drawing::Run;
use oaktag_language::phrase::form::overlap;
use oaktag_language::phrase::table::SCENE;
use oaktag_language::phrase::{Form, Table};
use std::fmt::Write;

fn forms() -> &'static [Form] {
    Table::built_in().forms()
}

#[test]
fn every_example_runs_and_uses_its_own_form() {
    let mut wrong = String::new();
    for (row, form) in forms().iter().enumerate() {
        let run = Run::of(&format!("{SCENE}{}\n", form.example));
        let (_, outcome) = run.drawn();
        if form.example.is_empty() || outcome.has_errors() || !outcome.program.rows.contains(&row) {
            let signature = form.signature();
            writeln!(wrong, "{signature}\n{}\n{}", form.example, run.shown()).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_scene_itself_is_sound() {
    let told = Run::of(SCENE).told();
    assert!(told.iter().all(|d| !d.is_error()), "{told:#?}");
}

#[test]
fn no_two_forms_could_take_one_call() {
    for (at, form) in forms().iter().enumerate() {
        for other in forms().iter().skip(at + 1) {
            assert!(
                !overlap(form, other),
                "{} and {}",
                form.signature(),
                other.signature()
            );
        }
    }
}

#[test]
fn every_form_overlaps_itself() {
    for form in forms() {
        assert!(overlap(form, form), "{}", form.signature());
    }
}

#[test]
fn every_signature_names_all_that_its_form_takes() {
    let mut all = String::new();
    for form in forms() {
        let signature = form.signature();
        let words: Vec<&str> = signature.split([' ', '[', ']', ',']).collect();
        let links = form.places.iter().filter_map(|place| place.link);
        for word in links.map(|link| link.word()) {
            assert!(words.contains(&word), "{word} in {signature}");
        }
        for option in &form.options {
            assert!(
                words.contains(&option.name.as_ref()),
                "{} in {signature}",
                option.name
            );
        }
        assert!(
            !form.doc.is_empty() && form.doc.ends_with('.'),
            "{signature}: {}",
            form.doc
        );
        writeln!(all, "{signature}").unwrap();
    }
    expect_test::expect_file!["../phrases.txt"].assert_eq(&all);
}
