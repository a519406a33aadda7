//! Every code is explained, and every example gives that very code: no page of the reference can go stale.

use crate::drawing;

use drawing::Run;
use oaktag_language::report::Code;
use oaktag_language::report::explain::{Given, explanation};
use std::fs;
use std::path::Path;

#[test]
fn every_code_has_a_meaning_an_example_and_a_cure() {
    for code in Code::ALL {
        let said = explanation(*code).unwrap_or_else(|| panic!("{code} is not explained"));
        assert!(said.meaning.ends_with('.'), "{code}: {}", said.meaning);
        assert!(!said.example.is_empty(), "{code}");
        assert!(said.cure.ends_with('.'), "{code}: {}", said.cure);
    }
}

#[test]
fn every_file_explains_a_code() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("crates/language/src/report/explain");
    let files = fs::read_dir(&folder).unwrap();
    let mut names: Vec<String> = files
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let mut codes: Vec<String> = Code::ALL
        .iter()
        .map(|code| format!("{code}.draft"))
        .collect();
    codes.sort();
    assert_eq!(names, codes);
}

#[test]
fn every_example_gives_its_own_code_first() {
    for code in Code::ALL {
        let said = explanation(*code).unwrap();
        let run = match &said.given {
            Given::Nothing => Run::of(said.example),
            Given::FileName(name) => Run::of(said.example).called(name),
            Given::Setting(setting) => Run::of(said.example).set(setting),
            Given::Body(name) => Run::of(said.example).body(name, &[]),
            Given::Table(_) => Run::of(said.example),
        };
        let told = match &said.given {
            Given::Table(table) => run.told_for_table(table),
            _ => run.told(),
        };
        let codes: Vec<&str> = told.iter().map(|d| d.code.name()).collect();
        let first_error = told.iter().find(|d| d.is_error()).or(told.first());
        assert_eq!(
            first_error.map(|d| d.code),
            Some(*code),
            "{code} gives {codes:?}:\n{}",
            said.example
        );
        let others = told.iter().filter(|d| d.is_error() && d.code != *code);
        assert_eq!(others.count(), 0, "{code} also gives {codes:?}");
    }
}
