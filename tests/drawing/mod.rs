//! Runs a draft in a test: as a text with a folder beside it, settings and a body, all in memory.
#![allow(dead_code, reason = "each test file uses a part of it")]

use oaktag_language::draft::inputs::{self, Body, Inputs};
use oaktag_language::draft::{self, Outcome};
use oaktag_language::report::{Diagnostic, terminal};
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A draft to be run.
pub struct Run {
    text: String,
    name: String,
    folder: Option<PathBuf>,
    beside: BTreeMap<String, String>,
    settings: Vec<String>,
    body: Option<(String, Vec<String>)>,
}

impl Run {
    /// A text that stands alone.
    pub fn of(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            name: "example.draft".to_owned(),
            folder: None,
            beside: BTreeMap::new(),
            settings: Vec::new(),
            body: None,
        }
    }

    /// Under this file name.
    pub fn called(mut self, name: &str) -> Self {
        self.name = name.to_owned();
        self
    }

    /// In this folder.
    pub fn within(mut self, folder: impl Into<PathBuf>) -> Self {
        self.folder = Some(folder.into());
        self
    }

    /// With a file of this name beside it.
    pub fn beside(mut self, name: &str, text: &str) -> Self {
        self.beside.insert(name.to_owned(), text.to_owned());
        self
    }

    /// With `NAME=VALUE`.
    pub fn set(mut self, setting: &str) -> Self {
        self.settings.push(setting.to_owned());
        self
    }

    /// For a body with these measures, each `NAME=VALUE`.
    pub fn body(mut self, name: &str, measures: &[&str]) -> Self {
        let measures = measures.iter().map(|m| (*m).to_owned()).collect();
        self.body = Some((name.to_owned(), measures));
        self
    }

    /// Reads, checks and draws it.
    pub fn drawn(&self) -> (Project, Outcome) {
        let reader = Files {
            folder: self.folder.as_deref(),
            beside: &self.beside,
        };
        let mut project = Project::load(
            &self.name,
            &self.text,
            &reader,
            &oaktag_language::library::module,
        );
        let mut inputs = Inputs::default();
        for typed in &self.settings {
            inputs
                .set
                .push(inputs::setting(&mut project.sources, typed).unwrap());
        }
        if let Some((name, measures)) = &self.body {
            let mut body = Body {
                name: name.clone(),
                ..Body::default()
            };
            for typed in measures {
                let setting = inputs::setting(&mut project.sources, typed).unwrap();
                body.measures.insert(setting.name.clone(), setting);
            }
            inputs.body = Some(body);
        }
        let checked = oaktag_language::check::check(&project);
        let outcome = oaktag_studio::sizes::sides::draw(&project, &checked, &inputs);
        (project, outcome)
    }

    /// Every message of a table of bodies, and of each body that can be read.
    pub fn told_for_table(&self, table: &str) -> Vec<Diagnostic> {
        let reader = Files {
            folder: self.folder.as_deref(),
            beside: &self.beside,
        };
        let mut project = Project::load(
            &self.name,
            &self.text,
            &reader,
            &oaktag_language::library::module,
        );
        let checked = oaktag_language::check::check(&project);
        let file = project.sources.add("bodies.csv", table);
        let rows = match draft::bodies::read(&project.sources, file, &checked.program) {
            Ok(rows) => rows,
            Err(told) => return told,
        };
        let mut told = Vec::new();
        for row in rows {
            match row {
                Ok(body) => {
                    let inputs = Inputs {
                        body: Some(body),
                        ..Inputs::default()
                    };
                    told.extend(draft::draw(&project, &checked, &inputs).diagnostics);
                }
                Err(wrong) => told.extend(wrong),
            }
        }
        told
    }

    /// Every message.
    pub fn told(&self) -> Vec<Diagnostic> {
        self.drawn().1.diagnostics
    }

    /// Every message as a person reads it, without colour.
    pub fn shown(&self) -> String {
        let (project, outcome) = self.drawn();
        terminal::render(
            &project.sources,
            &outcome.diagnostics,
            outcome.program.unit,
            false,
        )
    }
}

/// The files beside a draft.
struct Files<'r> {
    folder: Option<&'r Path>,
    beside: &'r BTreeMap<String, String>,
}

impl Reader for Files<'_> {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        if let Some(text) = self.beside.get(path) {
            return Ok(text.clone());
        }
        let missing = || ReadFault::Unreadable("there is no such file".into());
        let folder = self.folder.ok_or_else(missing)?;
        std::fs::read_to_string(folder.join(path)).map_err(|_| missing())
    }
}
