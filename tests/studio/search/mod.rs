//! The search for a body on which a draft fails, held against failures planted by a generator that knows nothing of it.

mod plants;

use oaktag_language::draft::inputs::{self, Inputs};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_studio::sizes::search::axis::typed;
use oaktag_studio::sizes::search::{self, Found, Plan, Report};
use std::num::NonZeroUsize;
use std::process::Command;

/// As the planted failures are to be found: within so many bodies.
const TRIES: usize = 20_000;

fn plan(tries: usize, threads: usize) -> Plan {
    Plan {
        seed: 1,
        tries,
        most: 1,
        threads: NonZeroUsize::new(threads).unwrap(),
    }
}

fn searched(text: &str, plan: Plan) -> Report {
    let project = Project::load(
        "plant.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let checked = oaktag_language::check::check(&project);
    search::search(&project, &checked, &Inputs::default(), plan, &mut || ()).unwrap()
}

/// Whether the draft fails with what is typed, as whoever repeats it would see.
fn fails_again(text: &str, found: &Found) -> bool {
    let mut project = Project::load(
        "plant.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let unit = oaktag_language::check::check(&project).program.unit;
    let typed = found
        .changed
        .iter()
        .map(|(name, value)| format!("{name}={}", typed(value, unit)));
    let set = typed
        .map(|typed| inputs::setting(&mut project.sources, &typed).unwrap())
        .collect();
    let outcome = oaktag_language::draft::make(
        &project,
        &Inputs {
            set,
            ..Inputs::default()
        },
    );
    outcome
        .diagnostics
        .iter()
        .any(|told| told.code == found.diagnostic.code)
}

#[test]
fn thirty_planted_failures_are_found_and_shrunk_to_what_was_planted() {
    let plants = plants::thirty();
    assert_eq!(plants.len(), 30);
    let (mut found, mut exact) = (0, 0);
    let mut log = String::new();
    for (number, plant) in plants.iter().enumerate() {
        let report = searched(&plant.text, plan(TRIES, 2));
        assert!(report.tried <= TRIES);
        let Some(failure) = report.found.first() else {
            log.push_str(&format!(
                "{number} {}: not found\n{}\n",
                plant.what, plant.text
            ));
            continue;
        };
        found += 1;
        let mut changed: Vec<&str> = failure
            .changed
            .iter()
            .map(|(name, _)| name.as_str())
            .collect();
        changed.sort_unstable();
        exact += usize::from(changed == plant.needs);
        log.push_str(&format!(
            "{number} {}: after {}, {:?}, planted {:?}\n",
            plant.what, failure.tried, failure.changed, plant.needs
        ));
        assert!(fails_again(&plant.text, failure), "{log}");
    }
    println!("{log}");
    assert!(found >= 29, "{found} found\n{log}");
    assert!(exact >= 27, "{exact} shrunk to what was planted\n{log}");
}

#[test]
fn a_seed_finds_the_same_by_any_number_of_threads() {
    let plants = plants::thirty();
    for plant in plants.iter().step_by(7) {
        let told = |threads: usize| {
            let report = searched(&plant.text, plan(3_000, threads));
            let found: Vec<_> = report
                .found
                .iter()
                .map(|f| (f.changed.clone(), f.tried))
                .collect();
            (report.tried, report.held, report.failed, found)
        };
        assert_eq!(told(1), told(3));
    }
}

/// A draft in which nothing is planted: nothing is found, and every range is covered from end to end.
#[test]
fn nothing_is_found_where_nothing_is_planted() {
    let text = plants::thirty()[0].text.clone();
    let start = text.find("\nif ").unwrap();
    let end = start + 1 + text[start + 1..].find('\n').unwrap();
    let text = format!("{}\nlength extra = 0mm{}", &text[..start], &text[end..]);
    let report = searched(&text, plan(2_000, 2));
    assert!(
        report.found.is_empty() && report.failed == 0,
        "{:?}",
        report.found
    );
    assert_eq!(report.tried, 2_000);
    assert_eq!(report.held + report.refused.values().sum::<usize>(), 2_000);
    for covered in report
        .covered
        .iter()
        .filter(|covered| covered.drawn.is_some())
    {
        let search::axis::Range::Figure { low, high, .. } = covered.axis.range else {
            panic!("{covered:?}");
        };
        assert_eq!(covered.drawn, Some((low, high)), "{covered:?}");
    }
}

/// Values that fail are the roundest that do: 110.3 cm is where it begins, so 120 cm it is, not 111.
#[test]
fn figures_are_as_round_as_can_be() {
    let text = "unit cm
body waist_girth = 80cm between 56cm and 130cm
choose ease = 10cm between 4cm and 24cm
check \"waist\" that waist_girth <= 110.3cm or ease < 12.2cm
";
    let report = searched(text, plan(2_000, 2));
    let found = &report.found[0];
    let typed: Vec<String> = found
        .changed
        .iter()
        .map(|(name, value)| {
            format!(
                "{name}={}",
                typed(value, oaktag_language::voice::LengthUnit::Centimetre)
            )
        })
        .collect();
    assert_eq!(typed, ["waist_girth=120cm", "ease=20cm"]);
}

fn check(arguments: &[&str]) -> (String, Option<i32>) {
    let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .arg("check")
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    (String::from_utf8(out.stdout).unwrap(), out.status.code())
}

/// The line that is printed, run as it stands, fails as was said.
#[test]
fn the_line_that_is_printed_shows_the_failure_again() {
    let folder = tempfile::tempdir().unwrap();
    let draft = folder.path().join("planted.draft");
    let plant = &plants::thirty()[2];
    std::fs::write(&draft, &plant.text).unwrap();
    let (told, status) = check(&["--search", "--tries", "20000", draft.to_str().unwrap()]);
    assert_eq!(status, Some(1), "{told}");
    let line = told
        .lines()
        .find(|line| line.trim().starts_with("oaktag check"))
        .unwrap();
    let arguments: Vec<&str> = line.split_whitespace().skip(2).collect();
    let (told, status) = check(&arguments);
    assert_eq!(status, Some(1), "{told}");
    assert!(told.contains("DOES NOT FIT"), "{told}");
}

/// Nothing is to be found within the stated ranges of the examples; `oaktag check --search` looks longer.
#[test]
fn nothing_is_found_in_the_examples() {
    let examples = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = std::fs::read_dir(examples)
        .unwrap()
        .map(|entry| entry.unwrap().path().display().to_string())
        .filter(|path| path.ends_with(".draft"))
        .collect();
    files.sort();
    assert!(files.len() >= 9, "{files:?}");
    for file in files {
        let (told, status) = check(&[&file, "--search", "--tries", "300"]);
        assert_eq!(status, Some(0), "{told}");
        assert!(told.contains("Bodies tried: 300"), "{told}");
        assert!(told.contains("No body was found"), "{told}");
    }
}
