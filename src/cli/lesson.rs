//! `lesson`: the draft as an illustrated booklet, a section a step.

use super::End;
use super::disk;
use super::draw_files;
use super::load::{self, Values};
use super::told;
use kurbo::Size;
use oaktag_language::check::{self, Checked};
use oaktag_language::draft;
use oaktag_language::kind::unit::LengthUnit;
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_studio::lesson::{self, Options};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Arguments of `lesson`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// Where to write the lesson: .html for a screen, .pdf for paper
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// The unit of every figure; without it the draft's own
    #[arg(long, value_enum)]
    unit: Option<Unit>,
    /// Show the steps inside imports and library operations too
    #[arg(long)]
    unfold: bool,
    /// Draw the figures at half or quarter scale, to be measured on a print
    #[arg(long, value_enum)]
    scale: Option<Scale>,
    /// The paper of a .pdf: a4 (without it), letter, a3, tabloid or a0
    #[arg(long, value_name = "SHEET")]
    sheet: Option<Sheet>,
    #[command(flatten)]
    values: Values,
}

/// A unit for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Unit {
    Mm,
    Cm,
    In,
}

/// A scale for figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Scale {
    /// 1:2
    Half,
    /// 1:4
    Quarter,
}

/// What is written: a page, or a booklet on paper of so many millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Ending {
    Html,
    Pdf(Size),
}

impl Ending {
    fn of(arguments: &Arguments) -> Result<Self, String> {
        let named = |word: &str| {
            let ending = arguments.output.extension();
            ending.is_some_and(|ending| ending.eq_ignore_ascii_case(word))
        };
        match arguments.sheet {
            Some(_) if named("html") => {
                Err("--sheet is for a .pdf; a page in a browser has none.".to_owned())
            }
            _ if named("html") => Ok(Self::Html),
            None if named("pdf") => Ok(Self::Pdf(PageSize::A4.size())),
            Some(Sheet::Page(size)) if named("pdf") => Ok(Self::Pdf(size.size())),
            Some(_) if named("pdf") => Err(
                "a booklet is printed on pages: take --sheet a4, letter, a3, tabloid or a0."
                    .to_owned(),
            ),
            _ => Err(format!(
                "{} has an ending that cannot be written; write .html or .pdf.",
                arguments.output.display()
            )),
        }
    }
}

/// Writes the lesson.
pub fn run(arguments: &Arguments) -> End {
    let ending = match Ending::of(arguments) {
        Ok(ending) => ending,
        Err(why) => {
            told::line(&why);
            return End::Misused;
        }
    };
    let mut project = match load::project(&arguments.file) {
        Ok(project) => project,
        Err(end) => return end,
    };
    let (draft, output) = (&arguments.file, &arguments.output);
    if disk::same_file(Path::new(draft), output) || load::brings_in(&project, draft, output) {
        told::line("the lesson would be written over a draft that it is made from.");
        return End::Misused;
    }
    let inputs = match load::values(&mut project.sources, &arguments.values) {
        Ok(inputs) => inputs,
        Err(wrong) => {
            told::diagnostics(&project.sources, &wrong);
            return End::Misused;
        }
    };
    let checked = in_unit(check::check(&project), arguments.unit);
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
    if !outcome.is_whole() {
        told::line(&format!(
            "{} was not written: mend the draft first.",
            arguments.output.display()
        ));
        return End::Wrong;
    }
    let options = Options {
        unfold: arguments.unfold,
        scale: arguments.scale.map(|scale| match scale {
            Scale::Half => 2.0,
            Scale::Quarter => 4.0,
        }),
        paper: match ending {
            Ending::Pdf(size) => Some(size),
            Ending::Html => None,
        },
    };
    let lesson = lesson::lesson(&project, &outcome, checked.program.unit, &options);
    let (bytes, missing) = match ending {
        Ending::Html => (lesson::page::html(&lesson).into_bytes(), Vec::new()),
        Ending::Pdf(size) => {
            let booklet = lesson::booklet::booklet(&lesson, size);
            let written = pdf::write_with_outline(&booklet.document, &[], &booklet.bookmarks);
            (written.bytes, written.missing)
        }
    };
    if !missing.is_empty() {
        told::line(&draw_files::no_letters(&missing));
    }
    if let Err(end) = told::write_whole(&arguments.output, &bytes) {
        return end;
    }
    told::report(&format!(
        "{} step{}.\n{} written.\n",
        lesson.steps.len(),
        if lesson.steps.len() == 1 { "" } else { "s" },
        arguments.output.display()
    ));
    if outcome.has_errors() {
        End::Wrong
    } else {
        End::Well
    }
}

/// The draft, its figures and texts in another unit.
fn in_unit(checked: Checked, unit: Option<Unit>) -> Checked {
    let Some(unit) = unit else { return checked };
    let mut program = (*checked.program).clone();
    program.unit = match unit {
        Unit::Mm => LengthUnit::Millimetre,
        Unit::Cm => LengthUnit::Centimetre,
        Unit::In => LengthUnit::Inch,
    };
    Checked {
        program: Arc::new(program),
        ..checked
    }
}
