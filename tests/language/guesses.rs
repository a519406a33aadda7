//! What people guess who know the trade and not the language: each draft in `guesses` holds one such sentence. It is drawn,
//! or its one message offers what is drawn in its place. What each is answered with stands in `guesses.txt`, to be read.

use crate::drawing;

use drawing::Run;
use oaktag_language::phrase::Table;
use oaktag_language::report::Diagnostic;
use oaktag_language::syntax::sentences;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What is wrong with these is where they stand, which their help says.
const ELSEWHERE: &[&str] = &["notch-double-at-tip", "cut-back-along-level-toward-top"];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/guesses")
}

fn errors(run: &Run) -> Vec<Diagnostic> {
    run.told()
        .into_iter()
        .filter(Diagnostic::is_error)
        .collect()
}

/// The draft with one of the offers of its message in place.
fn with_offer(text: &str, run: &Run, message: &Diagnostic, nth: usize) -> Option<String> {
    let (project, _) = run.drawn();
    let offer = message.offers.get(nth)?;
    let mut mended = text.to_owned();
    mended.replace_range(project.sources.bytes(offer.place), &offer.text);
    Some(mended)
}

#[test]
fn each_guess_is_drawn_or_answered_with_what_is() {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let mut answers = String::new();
    let mut wrong = String::new();
    for name in &names {
        let text = std::fs::read_to_string(folder().join(name)).unwrap();
        let name = name.trim_end_matches(".draft");
        let run = Run::of(&text);
        let told = errors(&run);
        let [message] = told.as_slice() else {
            match told.len() {
                0 => writeln!(answers, "{name}: drawn").unwrap(),
                _ => writeln!(wrong, "{name}:\n{}", run.shown()).unwrap(),
            }
            continue;
        };
        let mut offered = 0;
        while let Some(mended) = with_offer(&text, &run, message, offered) {
            let now = Run::of(&mended);
            if !errors(&now).is_empty() {
                writeln!(wrong, "{name}, offer {offered}:\n{}", now.shown()).unwrap();
            }
            offered += 1;
        }
        if offered == 0 && !ELSEWHERE.contains(&name) {
            writeln!(wrong, "{name} is not answered:\n{}", run.shown()).unwrap();
        }
        let unit = run.drawn().1.program.unit;
        let help = message
            .help
            .as_ref()
            .map(|help| help.in_unit(unit).into_owned());
        writeln!(answers, "{name}: {}", help.unwrap_or_default()).unwrap();
    }
    assert!(wrong.is_empty(), "{wrong}");
    expect_test::expect_file!["../guesses.txt"].assert_eq(&answers);
}

/// Two rows that answer one guess: only the first that works where it stands is offered.
#[test]
fn a_row_gives_no_guess_twice() {
    let table = Table::built_in();
    let of_phrases = table.forms().iter().flat_map(|form| &form.guessed);
    let of_sentences = sentences::ALL.iter().flat_map(|row| row.guessed);
    for guess in of_phrases.chain(of_sentences) {
        let mut said = BTreeSet::new();
        for form in guess.said {
            assert!(said.insert(form), "{form}");
        }
        // Every hole of an answer is one of each guess.
        let holes = |text: &str| -> BTreeSet<String> {
            let words = text.split(|c: char| !c.is_ascii_uppercase());
            words
                .filter(|word| word.len() > 1)
                .map(str::to_owned)
                .collect()
        };
        for form in guess.said {
            for answer in guess.answers() {
                let lacks: Vec<String> = holes(answer).difference(&holes(form)).cloned().collect();
                assert!(lacks.is_empty(), "`{form}` has no {lacks:?} for `{answer}`");
            }
        }
    }
}
