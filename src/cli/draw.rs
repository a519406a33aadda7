//! `draw`: a file by its ending, written whole or not at all.

use super::End;
use super::batch::Threads;
use super::check::sides_words;
use super::disk;
use super::draw_bodies;
use super::draw_options::Options;
use super::let_go;
use super::load::{self, Values};
use super::told;
use super::waiting;
use oaktag_language::pattern::Issue;
use oaktag_output::drawing::text::printable;
use oaktag_studio::session::Written;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Arguments of `draw`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    pub(super) file: String,
    /// Where to draw it; the ending says how: .pdf (to print), .svg (true size), .dxf (for cutting
    /// rooms), .png (a preview), .txt and .csv (the cut list) or .json (for other tools)
    #[arg(short, long, value_name = "OUT")]
    pub(super) output: PathBuf,
    #[command(flatten)]
    pub(super) values: Values,
    /// Draw a file for each body of a table: -o 'shirts/{name}.pdf'
    #[arg(long, value_name = "TABLE", conflicts_with = "body")]
    pub(super) bodies: Option<String>,
    #[command(flatten)]
    pub(super) by: Threads,
    #[command(flatten)]
    pub(super) options: Options,
}

impl Arguments {
    /// The name of the body that was asked for.
    fn body_name(&self) -> Option<&str> {
        let typed = self.values.body.as_deref()?;
        typed.rsplit_once(':').map(|(_, name)| name)
    }
}

/// What can be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// Pages.
    Pdf,
    /// One sheet at true size.
    Svg,
    /// For cutting rooms.
    Dxf,
    /// A preview.
    Png,
    /// What is cut, in words.
    Txt,
    /// What is cut, for a spreadsheet.
    Csv,
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
            "txt" => Some(Self::Txt),
            "csv" => Some(Self::Csv),
            "json" => Some(Self::Json),
            _ => None,
        }
    }
}

/// Draws the draft.
pub(super) fn run(arguments: &Arguments) -> End {
    drawn(arguments).unwrap_or_else(|end| end)
}

fn drawn(arguments: &Arguments) -> Result<End, End> {
    let ending = asked(arguments)?;
    let mut session = load::session(&arguments.file, &arguments.values.root)?;
    if load::brings_in(
        &session,
        &arguments.file,
        &arguments.values.root,
        &arguments.output,
    ) {
        let words = "is a file that the draft brings in; the drawing would be written over it.";
        return Err(refused(&format!("{} {words}", arguments.output.display())));
    }
    load::set(&mut session, &arguments.values.set)?;
    if let Some(table) = &arguments.bodies {
        return draw_bodies::run(arguments, ending, &mut session, table);
    }
    load::lay_body(&mut session, arguments.values.body.as_deref())?;
    waiting::watched("Drawing", || session.outcome());
    told::diagnostics(&session, &session.outcome().diagnostics);
    let issue = issue(arguments, arguments.body_name());
    let order = arguments.options.order(ending, issue);
    let written = waiting::watched("Making the file", || session.write(&order));
    let written = written.map_err(|why| told::not_written(&arguments.output, why))?;
    told::no_letters(&written.missing);
    told::write_whole(&arguments.output, &written.bytes)?;
    told::report(&report(&arguments.output, &written));
    let end = match session.outcome().has_errors() {
        true => End::Wrong,
        false => End::Well,
    };
    let_go((session, written));
    Ok(end)
}

/// For whom and as what it is drawn: on one line, whatever letters a table or the command line gives.
pub(super) fn issue(arguments: &Arguments, body: Option<&str>) -> Issue {
    let given = |text: &Option<String>| {
        let text = text.as_deref().map(|text| printable(text.trim()));
        text.filter(|text| !text.is_empty())
    };
    Issue {
        body: body.map(printable),
        made_for: given(&arguments.options.made_for),
        revision: given(&arguments.options.revision),
    }
}

/// Says why the command line will not do.
fn refused(words: &str) -> End {
    told::line(words);
    End::Misused
}

/// What is to be written, where the command line can be carried out.
fn asked(arguments: &Arguments) -> Result<Ending, End> {
    let out = &arguments.output;
    let Some(ending) = Ending::of(out) else {
        let words = "has an ending that cannot be drawn; write .pdf, .svg, .dxf, .png, .txt, .csv or .json.";
        return Err(refused(&format!("{} {words}", out.display())));
    };
    if let Some((option, endings)) = arguments.options.out_of_place(ending) {
        return Err(refused(&format!("{option} goes with {endings}.")));
    }
    if disk::same_file(Path::new(&arguments.file), out) {
        return Err(refused(
            "the drawing would be written over the draft itself.",
        ));
    }
    let table = arguments
        .values
        .body
        .as_deref()
        .and_then(|body| body.rsplit_once(':'));
    if table.is_some_and(|(file, _)| disk::same_file(Path::new(file), out)) {
        return Err(refused(
            "the drawing would be written over the table of bodies.",
        ));
    }
    Ok(ending)
}

fn report(path: &Path, written: &Written) -> String {
    let mut text = String::new();
    if let Some(pattern) = &written.part {
        for piece in &pattern.pieces {
            let _ = writeln!(text, "  {}  {}", piece.label, piece.cut_words());
        }
        text.push_str(&sides_words(pattern));
    }
    let _ = writeln!(text, "{} written.", path.display());
    if !written.said.is_empty() {
        let _ = writeln!(text, "{}", written.said);
    }
    text
}
