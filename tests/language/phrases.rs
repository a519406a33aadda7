//! The table of phrases is its own reference: every example runs and uses the very form it stands with, every signature
//! names all its form takes, and no two forms could take one call.

use crate::drawing;

use drawing::Run;
use oaktag_language::phrase::argument::{Arg, LineOrNothing};
use oaktag_language::phrase::form::{form, overlap};
use oaktag_language::phrase::table::SCENE;
use oaktag_language::phrase::{Form, Table, Takes, Value};
use oaktag_language::syntax::tree::Link;
use std::fmt::Write;

fn forms() -> &'static [Form] {
    Table::built_in().forms()
}

#[test]
fn every_example_runs_and_uses_its_own_form() {
    let mut wrong = String::new();
    for form in forms() {
        let run = Run::of(&format!("{SCENE}{}\n", form.example));
        let (_, outcome) = run.drawn();
        let mut bound = outcome.program.bound().into_values();
        let is_used = bound.any(|used| std::ptr::eq(used, form));
        if form.example.is_empty() || outcome.has_errors() || !is_used {
            let signature = form.signature();
            writeln!(wrong, "{signature}\n{}\n{}", form.example, run.shown()).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// The function takes what the row lets through, and what a lesson says of it names its own places.
#[test]
fn no_row_is_at_odds_with_itself() {
    for form in forms() {
        assert_eq!(form.disagreement(), None, "{}", form.signature());
    }
}

#[test]
fn a_row_at_odds_with_itself_is_found() {
    let row = || form("middle").at(Link::Of, Takes::PATH, "line", "which line");
    let kept = |line: Arg<LineOrNothing>| Ok(Value::Path(line.clone()));
    assert_eq!(
        row().means(kept).thing("the middle of {of}").disagreement(),
        None
    );
    let wrong = [
        (row(), "it has no function"),
        (
            form("middle").means(kept),
            "it has 0 places and options, and its function 1 parameters",
        ),
        (
            form("middle")
                .at(Link::Of, Takes::POINT, "point", "")
                .means(kept),
            "parameter 1 is not what its place takes",
        ),
        (
            row().optional().means(kept),
            "parameter 1 is not what its place takes",
        ),
        (
            row().many().means(kept),
            "parameter 1 is not what its place takes",
        ),
        (
            row().means(kept).act("halve {line}"),
            "it is taught by a place `line` that it has not got",
        ),
        (
            row().means(kept).act("halve [{of}"),
            "`]` is missing in \"halve [{of}\"",
        ),
        (
            row().means(kept).act("halve {of:twice}"),
            "nothing is said \"twice\"",
        ),
    ];
    for (row, why) in wrong {
        assert_eq!(row.disagreement().as_deref(), Some(why));
    }
}

/// What people may try for a head is no head itself, and leads to one.
#[test]
fn other_words_for_a_head_begin_no_phrase() {
    let table = Table::built_in();
    for form in forms() {
        for word in form.also {
            assert!(!table.is_head(word), "{word}");
            assert_eq!(table.head_also(word), form.head.as_deref(), "{word}");
        }
    }
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
        for word in links.flat_map(|link| link.word().split(' ')) {
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
