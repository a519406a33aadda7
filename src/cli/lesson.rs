//! `lesson`: the draft as an illustrated booklet, a section a step.

use super::End;
use super::disk;
use super::load::{self, Values};
use super::told;
use kurbo::Size;
use oaktag_language::pattern::Issue;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::text::printable;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_studio::lesson::{self, Class, Options};
use oaktag_studio::session::Change;
use std::path::{Path, PathBuf};

/// Arguments of `lesson`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// Where to write the lesson: .html for a screen, .pdf for paper
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// The unit of every figure; without it the draft's own
    #[arg(long, value_enum)]
    unit: Option<Unit>,
    /// Show the steps inside imports and library acts too
    #[arg(long)]
    unfold: bool,
    /// Draw the figures at half or quarter scale, to be measured on a print
    #[arg(long, value_enum)]
    scale: Option<Scale>,
    /// The paper of a .pdf: a4 (without it), letter, a3, tabloid or a0
    #[arg(long, value_name = "SHEET")]
    sheet: Option<Sheet>,
    /// Write the booklet even while something is wrong, with what can be drawn
    #[arg(long)]
    unfinished: bool,
    /// Add what a class needs: a formula sheet, a column for each student's own figures, name and date on every sheet
    #[arg(long)]
    class: bool,
    /// Leave figures blank to be worked out, with the answers on sheets of their own at the end; with all that --class adds
    #[arg(long)]
    questions: bool,
    /// For whom it is: on every sheet; a name is personal data, and stands in no draft
    #[arg(long = "for", value_name = "TEXT")]
    made_for: Option<String>,
    /// Which version of the pattern this is: on every sheet
    #[arg(long, value_name = "TEXT")]
    revision: Option<String>,
    /// A date: on every sheet, as it is given; without it no date is written
    #[arg(long, value_name = "TEXT")]
    date: Option<String>,
    #[command(flatten)]
    values: Values,
}

impl Arguments {
    /// For whom and as what it is written.
    fn issue(&self) -> Issue {
        let body = self.values.body.as_deref();
        let body = body.and_then(|body| body.rsplit_once(':'));
        Issue {
            body: body.map(|(_, name)| printable(name)),
            made_for: given(self.made_for.as_ref()),
            revision: given(self.revision.as_ref()),
        }
    }
}

/// Words that are printed in one line; none where there are none.
fn given(text: Option<&String>) -> Option<String> {
    let text = text.map(|text| printable(text.trim()));
    text.filter(|text| !text.is_empty())
}

/// A unit for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Unit {
    Mm,
    Cm,
    In,
}

impl Unit {
    fn unit(self) -> LengthUnit {
        match self {
            Self::Mm => LengthUnit::Millimetre,
            Self::Cm => LengthUnit::Centimetre,
            Self::In => LengthUnit::Inch,
        }
    }
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
pub(super) fn run(arguments: &Arguments) -> End {
    let ending = match Ending::of(arguments) {
        Ok(ending) => ending,
        Err(why) => {
            told::line(&why);
            return End::Misused;
        }
    };
    written(arguments, ending).unwrap_or_else(|end| end)
}

fn written(arguments: &Arguments, ending: Ending) -> Result<End, End> {
    let (draft, output) = (&arguments.file, &arguments.output);
    let mut session = load::session(draft, &arguments.values.root)?;
    if disk::same_file(Path::new(draft), output)
        || load::brings_in(&session, draft, &arguments.values.root, output)
    {
        told::line("the lesson would be written over a draft that it is made from.");
        return Err(End::Misused);
    }
    load::set(&mut session, &arguments.values.set)?;
    if let Some(unit) = arguments.unit {
        // A unit can always be had.
        let _ = session.change(Change::Unit(unit.unit()));
    }
    load::lay_body(&mut session, arguments.values.body.as_deref())?;
    let half = session.half();
    told::diagnostics(&session, &half.diagnostics);
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
        unfinished: arguments.unfinished,
        class: match (arguments.class, arguments.questions) {
            (_, true) => Class::Questions,
            (true, false) => Class::Sheets,
            (false, false) => Class::None,
        },
        issue: arguments.issue(),
        date: given(arguments.date.as_ref()),
    };
    let written = session.lesson(&half, &options);
    let written = written.map_err(|why| told::not_written(output, why))?;
    told::no_letters(&written.missing);
    told::write_whole(output, &written.bytes)?;
    told::report(&format!(
        "{}\n{} written.\n",
        written.said,
        output.display()
    ));
    if let Some(words) = lesson::personal(&options.issue) {
        told::report(&format!("{words}\n"));
    }
    Ok(match half.has_errors() {
        true => End::Wrong,
        false => End::Well,
    })
}
