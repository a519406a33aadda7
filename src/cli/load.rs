//! A draft named on the command line, read with everything it imports, and the values set for it.

use super::End;
use super::disk::{self, Folder};
use super::told;
use crate::draft::inputs::{self, Inputs};
use crate::library;
use crate::report::{Diagnostic, SourceMap};
use crate::syntax::project::{NoFiles, Project, ReadFault, Reader};
use std::path::Path;

/// Settings that several commands take.
#[derive(Clone, Debug, clap::Args)]
pub struct Values {
    /// Set a measure or choice: bust_girth=96cm, house.bust_ease=8cm
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub set: Vec<String>,
}

/// What a file is called on the command line where it is standard input.
pub const STANDARD_INPUT: &str = "-";

/// Reads a draft and all it imports.
///
/// # Errors
/// Where the draft itself cannot be read, which has been told.
pub fn project(file: &str) -> Result<Project, End> {
    let (text, reader, name): (_, Box<dyn Reader>, String) = if file == STANDARD_INPUT {
        let folder = Folder::here().map_or_else(
            |_| Box::new(NoFiles) as Box<dyn Reader>,
            |folder| Box::new(folder),
        );
        (
            disk::read_standard_input(),
            folder,
            "<standard input>".into(),
        )
    } else {
        let path = Path::new(file);
        let folder = Folder::of(path).map_or_else(
            |_| Box::new(NoFiles) as Box<dyn Reader>,
            |folder| Box::new(folder),
        );
        (disk::read_text(path), folder, file.to_owned())
    };
    match text {
        Ok(text) => Ok(Project::load(
            &name,
            &text,
            reader.as_ref(),
            &library::module,
        )),
        Err(fault) => {
            told::line(&format!("{name}: {}", why(&fault)));
            Err(End::NoFile)
        }
    }
}

/// Why a file cannot be read.
pub fn why(fault: &ReadFault) -> String {
    match fault {
        ReadFault::OutsideFolder => "it lies outside the draft's folder".into(),
        ReadFault::Unreadable(reason) => format!("cannot be read: {reason}"),
        ReadFault::NotText => "is not a text file (UTF-8)".into(),
        ReadFault::TooLarge(_) => format!(
            "is longer than a draft may be ({} bytes)",
            crate::syntax::project::LARGEST_TEXT
        ),
    }
}

/// Reads the settings.
///
/// # Errors
/// What is wrong with each.
pub fn values(sources: &mut SourceMap, values: &Values) -> Result<Inputs, Vec<Diagnostic>> {
    let mut inputs = Inputs::default();
    let mut wrong = Vec::new();
    for typed in &values.set {
        match inputs::setting(sources, typed) {
            Ok(setting) => inputs.set.push(setting),
            Err(diagnostic) => wrong.push(diagnostic),
        }
    }
    if wrong.is_empty() {
        Ok(inputs)
    } else {
        Err(wrong)
    }
}
