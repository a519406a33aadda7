//! `draw`: a file by its ending, written whole or not at all.

use super::End;
use super::disk;
use super::load::{self, Values};
use super::told;
use crate::check;
use crate::draft::{self, Outcome};
use crate::output::{json, svg};
use crate::syntax::project::Project;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Arguments of `draw`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// Where to draw it; the ending says how: .svg (true size) or .json (for other tools)
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    #[command(flatten)]
    values: Values,
}

/// What can be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Svg,
    Json,
}

impl Ending {
    fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "svg" => Some(Self::Svg),
            "json" => Some(Self::Json),
            _ => None,
        }
    }
}

/// Draws the draft.
pub fn run(arguments: &Arguments) -> End {
    let Some(ending) = Ending::of(&arguments.output) else {
        told::line(&format!(
            "{} has an ending that cannot be drawn; write .svg or .json.",
            arguments.output.display()
        ));
        return End::Misused;
    };
    if disk::same_file(Path::new(&arguments.file), &arguments.output) {
        told::line("the drawing would be written over the draft itself.");
        return End::Misused;
    }
    let mut project = match load::project(&arguments.file) {
        Ok(project) => project,
        Err(end) => return end,
    };
    if reads(&project, arguments) {
        told::line(&format!(
            "{} is a file that the draft brings in; the drawing would be written over it.",
            arguments.output.display()
        ));
        return End::Misused;
    }
    let inputs = match load::values(&mut project.sources, &arguments.values) {
        Ok(inputs) => inputs,
        Err(wrong) => {
            told::diagnostics(&project.sources, &wrong);
            return End::Misused;
        }
    };
    let checked = check::check(&project);
    let inputs = match load::with_body(
        &mut project.sources,
        inputs,
        &arguments.values,
        &checked.program,
    ) {
        Ok(inputs) => inputs,
        Err(end) => return end,
    };
    let outcome = draft::draw(&project, &checked, &inputs);
    told::diagnostics(&project.sources, &outcome.diagnostics);
    if !can_be_drawn(&outcome) {
        told::line(&format!(
            "{} was not written: mend the draft first.",
            arguments.output.display()
        ));
        return End::Wrong;
    }
    let bytes = match ending {
        Ending::Svg => svg::write(&outcome.pattern),
        Ending::Json => match json::write(&outcome.pattern) {
            Ok(text) => text,
            Err(error) => {
                told::line(&format!("the JSON could not be made: {error}"));
                return End::NoFile;
            }
        },
    };
    if let Err(error) = disk::write_whole(&arguments.output, bytes.as_bytes()) {
        told::line(&format!(
            "{} cannot be written: {}",
            arguments.output.display(),
            disk::reason(&error)
        ));
        return End::NoFile;
    }
    told::report(&written(&arguments.output, &outcome, ending));
    if outcome.has_errors() {
        End::Wrong
    } else {
        End::Well
    }
}

/// Whether the drawing would go over a file the draft brings in.
fn reads(project: &Project, arguments: &Arguments) -> bool {
    let folder = Path::new(&arguments.file).parent().unwrap_or(Path::new(""));
    let brought_in = project.sources.files().skip(1);
    brought_in
        .filter(|(_, file)| !file.is_library)
        .any(|(_, file)| disk::same_file(&folder.join(&file.name), &arguments.output))
}

/// A failed check or seam is drawn, and printed on the pieces it concerns; a line that is missing is not.
fn can_be_drawn(outcome: &Outcome) -> bool {
    use crate::report::Code;
    let judged = |code: Code| {
        matches!(
            code,
            Code::CheckFails
                | Code::SeamDiffers
                | Code::FoldNotSquare
                | Code::NotchOffSeam
                | Code::OutlineCrosses
        )
    };
    outcome
        .diagnostics
        .iter()
        .all(|d| !d.is_error() || judged(d.code))
}

fn written(path: &Path, outcome: &Outcome, ending: Ending) -> String {
    let mut text = String::new();
    for piece in &outcome.pattern.pieces {
        let _ = writeln!(text, "  {}  {}", piece.label, piece.cut_words());
    }
    let _ = writeln!(text, "{} written.", path.display());
    if ending == Ending::Svg {
        let _ = writeln!(
            text,
            "Print at 100 %, and lay a ruler on the square before cutting: it is 100 mm wide."
        );
    }
    text
}
