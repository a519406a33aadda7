//! `draw`: a file by its ending, written whole or not at all.

use super::End;
use super::disk;
use super::draw_options::Options;
use super::load::{self, Values};
use super::told;
use crate::check;
use crate::draft::{self, Outcome};
use crate::output::drawing::compose::compose_as;
use crate::output::drawing::manner::Manner;
use crate::output::pages::{Document, lay_out};
use crate::output::sheet::Sheet;
use crate::output::{dxf, json, pdf, png, svg};
use crate::pattern::Pattern;
use crate::syntax::project::Project;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Arguments of `draw`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// Where to draw it; the ending says how: .pdf (to print), .svg (true size), .dxf (for cutting
    /// rooms), .png (a preview) or .json (for other tools)
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    #[command(flatten)]
    values: Values,
    #[command(flatten)]
    options: Options,
}

/// What can be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Pages.
    Pdf,
    /// One sheet at true size.
    Svg,
    /// For cutting rooms.
    Dxf,
    /// A preview.
    Png,
    /// For other tools.
    Json,
}

impl Ending {
    fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "pdf" => Some(Self::Pdf),
            "svg" => Some(Self::Svg),
            "dxf" => Some(Self::Dxf),
            "png" => Some(Self::Png),
            "json" => Some(Self::Json),
            _ => None,
        }
    }
}

/// Draws the draft.
pub fn run(arguments: &Arguments) -> End {
    let Some(ending) = Ending::of(&arguments.output) else {
        told::line(&format!(
            "{} has an ending that cannot be drawn; write .pdf, .svg, .dxf, .png or .json.",
            arguments.output.display()
        ));
        return End::Misused;
    };
    if let Some((option, endings)) = arguments.options.out_of_place(ending) {
        told::line(&format!("{option} goes with {endings}."));
        return End::Misused;
    }
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
    let made = match made(arguments, ending, &outcome.pattern) {
        Ok(made) => made,
        Err((words, end)) => {
            told::line(&words);
            return end;
        }
    };
    if !made.missing.is_empty() {
        told::line(&no_letters(&made.missing));
    }
    if let Err(error) = disk::write_whole(&arguments.output, &made.bytes) {
        told::line(&format!(
            "{} cannot be written: {}",
            arguments.output.display(),
            disk::reason(&error)
        ));
        return End::NoFile;
    }
    told::report(&written(&arguments.output, &outcome.pattern, &made));
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

/// A file as it will be written, and what is to be said of it.
struct Made {
    bytes: Vec<u8>,
    missing: Vec<char>,
    said: String,
}

/// Resolution of a preview where none is asked for.
const PREVIEW: f64 = 72.0;

/// Makes the file.
fn made(arguments: &Arguments, ending: Ending, pattern: &Pattern) -> Result<Made, (String, End)> {
    let options = &arguments.options;
    let misused = |words: String| (words, End::Misused);
    let pattern = &options.part_of(pattern).map_err(misused)?;
    let plain = |bytes: Vec<u8>, said: &str| Made {
        bytes,
        missing: Vec::new(),
        said: said.to_owned(),
    };
    let composed = || {
        let manner = Manner {
            scale: options.scale(),
            ..Manner::default()
        };
        let mut drawing = compose_as(pattern, manner);
        if let Some(layers) = options.kept() {
            drawing.keep(&layers);
        }
        drawing
    };
    match ending {
        Ending::Pdf => {
            let sheet = options.sheet.unwrap_or_default();
            let laid = lay_out(pattern, sheet, options.scale());
            let mut document = laid.map_err(|fault| misused(fault.to_string()))?;
            if let Some(layers) = options.kept() {
                document.keep(&layers);
            }
            let written = pdf::write(&document, options.hidden());
            Ok(Made {
                bytes: written.bytes,
                missing: written.missing,
                said: pages_said(&document, sheet),
            })
        }
        Ending::Svg if options.hairlines => {
            Ok(plain(svg::hairlines(&composed()).into_bytes(), ON_PAPER))
        }
        Ending::Svg => Ok(plain(svg::of_drawing(&composed()).into_bytes(), ON_PAPER)),
        Ending::Png => {
            let resolution = options.resolution.unwrap_or(PREVIEW);
            let picture = png::write(&composed(), resolution, options.hidden())
                .map_err(|fault| misused(fault.to_string()))?;
            let said = format!("{resolution} dots per inch, for the eye: not for cutting.");
            Ok(Made {
                bytes: picture.bytes,
                missing: picture.missing,
                said,
            })
        }
        Ending::Dxf => {
            let size = arguments
                .values
                .body
                .as_deref()
                .and_then(|body| body.rsplit_once(':'));
            let text = dxf::write(pattern, size.map_or("base", |(_, name)| name));
            Ok(plain(
                text.into_bytes(),
                "Millimetres: measure one piece after reading it in.",
            ))
        }
        Ending::Json => json::write(pattern)
            .map(|text| plain(text.into_bytes(), ""))
            .map_err(|error| (format!("the JSON could not be made: {error}"), End::NoFile)),
    }
}

const ON_PAPER: &str =
    "Print at 100 %, and lay a ruler on the square before cutting: it is 100 mm wide.";

/// How many sheets, and what to do first.
fn pages_said(document: &Document, sheet: Sheet) -> String {
    let count = document.pages.len();
    match sheet {
        Sheet::Page(size) if size.is_small() => {
            let tables = document
                .pages
                .iter()
                .filter(|page| page.name == "tables")
                .count();
            let tiles = count - tables - 1;
            format!(
                "{count} pages of {}: 1 with the squares and the map, {tables} with tables, {tiles} with tiles to join.\n\
                 Print page 1 alone at 100 %, and lay a ruler on the square before printing the rest: it is 100 mm wide.",
                size.name()
            )
        }
        Sheet::Fit => {
            format!("{ON_PAPER}\nFor tiles on a desk printer, add --sheet a4 or --sheet letter.")
        }
        Sheet::Page(_) | Sheet::Roll(_) => {
            format!(
                "{count} sheet{}. {ON_PAPER}",
                if count == 1 { "" } else { "s" }
            )
        }
    }
}

/// What is said of letters that no face has.
fn no_letters(missing: &[char]) -> String {
    let named: Vec<String> = missing
        .iter()
        .take(8)
        .map(|letter| format!("{letter} (U+{:04X})", u32::from(*letter)))
        .collect();
    let more = if missing.len() > named.len() {
        " and others"
    } else {
        ""
    };
    format!(
        "the letters of the drawing lack {}{more}: a box stands in their place.",
        named.join(", ")
    )
}

fn written(path: &Path, pattern: &Pattern, made: &Made) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        let _ = writeln!(text, "  {}  {}", piece.label, piece.cut_words());
    }
    let _ = writeln!(text, "{} written.", path.display());
    if !made.said.is_empty() {
        let _ = writeln!(text, "{}", made.said);
    }
    text
}
