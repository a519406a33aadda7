//! Every `draft` block is run.
//!
//! - `draft` stands alone: it is drawn without an error and without a warning that it does not announce as
//!   `warning=CODE`.
//! - `draft fragment` is drawn after the sheet of the reference, which docs/phrases.md shows; `draft fragment=NAME` after
//!   examples/NAME.draft.
//! - `draft error=CODE` shows a slip: it gives that code and no other.
//!
//! All of them are laid out as `tidy` would lay them out, those with a slip aside.

use crate::docs::blocks::{Block, file, in_language, read};
use oaktag_language::draft::{Inputs, Outcome, make};
use oaktag_language::library;
use oaktag_language::phrase::table::SCENE;
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::syntax::tidy_file;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::fs;

/// Imports are read from the examples.
struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        fs::read_to_string(file("examples").join(path))
            .map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

fn whole(block: &Block) -> String {
    match block.value("fragment") {
        None => block.text.clone(),
        Some("") => format!("{}\n{}", SCENE.trim_end(), block.text),
        Some(name) => format!("{}{}", read(&format!("examples/{name}.draft")), block.text),
    }
}

fn draw(block: &Block) -> Outcome {
    let project = Project::load("block.draft", &whole(block), &Examples, &library::module);
    make(&project, &Inputs::default())
}

fn codes(outcome: &Outcome, errors: bool) -> Vec<String> {
    let mut codes: Vec<String> = outcome
        .diagnostics
        .iter()
        .filter(|said| said.is_error() == errors)
        .map(|said| said.code.to_string())
        .collect();
    codes.sort();
    codes.dedup();
    codes
}

#[test]
fn every_draft_on_the_pages_does_what_its_page_says() {
    let mut wrong = Vec::new();
    let blocks = in_language("draft");
    assert!(
        blocks.len() > 100,
        "only {} blocks were found",
        blocks.len()
    );
    for block in blocks {
        let outcome = draw(&block);
        let errors = codes(&outcome, true);
        if errors != block.codes("error") {
            let messages: Vec<_> = outcome
                .diagnostics
                .iter()
                .filter(|said| said.is_error())
                .map(|said| said.message.in_unit(MM))
                .collect();
            wrong.push(format!("{}: errors {errors:?} {messages:?}", block.place()));
        }
        let warnings = codes(&outcome, false);
        let judged = !block.has("fragment") && !block.has("error") && !block.has("library");
        // The sheet of the reference is drawn to be drawn upon.
        let is_sheet = block.text.trim() == SCENE.trim();
        if judged && !is_sheet && warnings != block.codes("warning") {
            wrong.push(format!("{}: warnings {warnings:?}", block.place()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_draft_on_the_pages_is_tidy() {
    let mut wrong = Vec::new();
    for block in in_language("draft") {
        if block.has("error") {
            continue;
        }
        let mut sources = SourceMap::new();
        let id = sources.add("block.draft", &block.text);
        let told = tidy_file(&sources, id);
        if told.text != block.text {
            wrong.push(format!("{}: tidied it is\n{}", block.place(), told.text));
        }
        if !told.diagnostics.is_empty() {
            wrong.push(format!("{}: cannot be read", block.place()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_readme_shows_the_first_example_as_it_is() {
    let example = read("examples/first-steps.draft");
    assert!(
        read("README.md").contains(&format!("```draft warning=edge-not-walked\n{example}```")),
        "README.md shows another draft than examples/first-steps.draft"
    );
}
