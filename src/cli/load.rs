//! A draft named on the command line, read with everything it imports, and the values set for it.

use super::End;
use super::disk::{self, Folder};
use super::told;
use oaktag_language::check::nearest_word;
use oaktag_language::check::program::Program;
use oaktag_language::draft::bodies::{self, Table};
use oaktag_language::draft::inputs::{self, Body, Inputs};
use oaktag_language::library;
use oaktag_language::report::{Code, Diagnostic, SourceMap};
use oaktag_language::syntax::project::{NoFiles, Project, ReadFault, Reader};
use std::path::Path;

/// Settings that several commands take.
#[derive(Clone, Debug, clap::Args)]
pub struct Values {
    /// Set a measure or choice: bust_girth=96cm, house.bust_ease=8cm; for one side of the wearer, shoulder_slope.left=26deg
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub set: Vec<String>,
    /// Draw for one body of a table: crew.csv:mate
    #[arg(long, value_name = "FILE:NAME")]
    pub body: Option<String>,
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
        Ok(text) => {
            let mut project = Project::load(&name, &text, reader.as_ref(), &library::module);
            name_modules(&mut project);
            Ok(project)
        }
        Err(fault) => {
            told::line(&format!("{name}: {}", why(&fault)));
            Err(End::NoFile)
        }
    }
}

/// Whether a path is one of the files that a draft brings in: what is drawn must not go over it.
pub fn brings_in(project: &Project, draft: &str, path: &Path) -> bool {
    let folder = Path::new(draft).parent().unwrap_or(Path::new(""));
    let brought_in = project.sources.files().skip(1);
    brought_in
        .filter(|(_, file)| !file.is_library)
        .any(|(_, file)| disk::same_file(&folder.join(&file.name), path))
}

/// A module that the library has not got may be one misspelt.
fn name_modules(project: &mut Project) {
    for told in &mut project.diagnostics {
        if told.code != Code::UnknownModule {
            continue;
        }
        let modules = library::MODULES.iter().map(|module| module.name);
        let near = nearest_word(project.sources.slice(told.primary.span), modules.clone());
        told.help = Some(match near {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("It has {}.", modules.collect::<Vec<_>>().join(", ")),
        });
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
            oaktag_language::syntax::project::LARGEST_TEXT
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
            Err(diagnostic) => wrong.push(*diagnostic),
        }
    }
    if wrong.is_empty() {
        Ok(inputs)
    } else {
        Err(wrong)
    }
}

/// The settings together with the body that was asked for.
///
/// # Errors
/// Where there is no such body, which has been told.
pub fn with_body(
    sources: &mut SourceMap,
    mut inputs: Inputs,
    values: &Values,
    program: &Program,
) -> Result<Inputs, End> {
    if let Some(typed) = &values.body {
        inputs.body = Some(body(sources, typed, program)?);
    }
    Ok(inputs)
}

/// A table of bodies, read for a draft; what should be looked at in it is told.
///
/// # Errors
/// Where the file cannot be read or its headings are wrong, which has been told.
pub fn bodies(sources: &mut SourceMap, file: &str, program: &Program) -> Result<Table, End> {
    let bytes = disk::read_bytes(Path::new(file)).map_err(|fault| why(&fault));
    let text = bytes.and_then(|bytes| bodies::decoded(&bytes));
    let text = text.map_err(|why| {
        told::line(&format!("{file}: {why}"));
        End::NoFile
    })?;
    let id = sources.add(file, &text, false);
    let table = Table::read(sources, id, program).map_err(|wrong| {
        told::diagnostics(sources, &wrong);
        End::NoFile
    })?;
    told::diagnostics(sources, table.warnings());
    Ok(table)
}

/// The one body that `FILE:NAME` names.
///
/// # Errors
/// Where there is no such file or body, or its row is wrong, which has been told.
pub fn body(sources: &mut SourceMap, typed: &str, program: &Program) -> Result<Body, End> {
    let Some((file, name)) = typed.rsplit_once(':') else {
        told::line(&format!(
            "--body takes FILE:NAME, a table and a name in it; `{typed}` has no `:`."
        ));
        return Err(End::Misused);
    };
    let table = bodies(sources, file, program)?;
    let names: Vec<String> = (0..table.len()).map(|at| table.name(at)).collect();
    if let Some(at) = names.iter().position(|known| known == name) {
        return table.body(at).map_err(|wrong| {
            told::diagnostics(sources, &wrong);
            End::Wrong
        });
    }
    let near = nearest_word(name, names.iter().map(String::as_str))
        .map(|near| format!(" Did you mean `{near}`?"))
        .unwrap_or_default();
    told::line(&format!("{file} has no body `{name}`.{near}"));
    Err(End::Misused)
}
