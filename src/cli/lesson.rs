//! `lesson`: the draft as an illustrated booklet, a section a step.

use super::End;
use super::disk;
use super::load::{self, Values};
use super::told;
use kurbo::Size;
use oaktag_language::pattern::Issue;
use oaktag_language::voice::{self, LengthUnit};
use oaktag_output::drawing::text::printable;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_studio::lesson::{self, Class, Options};
use oaktag_studio::session::{Change, Session};
use std::path::{Path, PathBuf};

/// Arguments of `lesson`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// Where to write the lesson: .html for a screen, .pdf for paper, 'frames/{n}.png' for a film, a numbered picture an act
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

/// What stands for the number in the name of a film's pictures.
const PLACE: &str = "{n}";

/// What is written: a page, a booklet on paper of so many millimetres, or the pictures of a film.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Ending {
    Html,
    Pdf(Size),
    Film,
}

impl Ending {
    fn of(arguments: &Arguments) -> Result<Self, String> {
        let named = |word: &str| {
            let ending = arguments.output.extension();
            ending.is_some_and(|ending| ending.eq_ignore_ascii_case(word))
        };
        if named("png") {
            return Self::of_film(arguments);
        }
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
                "{} has an ending that cannot be written; write .html, .pdf or {{n}}.png.",
                arguments.output.display()
            )),
        }
    }
}

impl Ending {
    /// A film, where its pictures can be numbered.
    fn of_film(arguments: &Arguments) -> Result<Self, String> {
        let name = arguments.output.file_name();
        let is_numbered = name.is_some_and(|name| name.to_string_lossy().contains(PLACE));
        let on_paper = arguments.class
            || arguments.questions
            || arguments.sheet.is_some()
            || arguments.scale.is_some();
        match (is_numbered, on_paper) {
            (false, _) => Err(
                "a lesson has many pictures: say where their numbers go, -o 'frames/{n}.png'."
                    .to_owned(),
            ),
            (true, true) => Err(
                "--class, --questions, --sheet and --scale are for .html or .pdf; a film is watched."
                    .to_owned(),
            ),
            (true, false) => Ok(Self::Film),
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
            Ending::Html | Ending::Film => None,
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
    if ending == Ending::Film {
        let film = session.film(&half, &options);
        let film = film.map_err(|why| told::not_written(output, why))?;
        told::no_letters(&film.missing);
        pictures(arguments, &session, &film.pictures)?;
        personal(&options);
        return Ok(match half.has_errors() {
            true => End::Wrong,
            false => End::Well,
        });
    }
    let written = session.lesson(&half, &options);
    let written = written.map_err(|why| told::not_written(output, why))?;
    told::no_letters(&written.missing);
    told::write_whole(output, &written.bytes)?;
    told::report(&format!(
        "{}\n{} written.\n",
        written.said,
        output.display()
    ));
    personal(&options);
    Ok(match half.has_errors() {
        true => End::Wrong,
        false => End::Well,
    })
}

/// Says that a name is on every sheet, where one is.
fn personal(options: &Options) {
    if let Some(words) = lesson::personal(&options.issue) {
        told::report(&format!("{words}\n"));
    }
}

/// Writes the pictures, each whole, numbered alike wide; all are made before the first is written.
fn pictures(arguments: &Arguments, session: &Session, pictures: &[Vec<u8>]) -> Result<(), End> {
    let (draft, out) = (&arguments.file, arguments.output.to_string_lossy());
    let wide = pictures.len().to_string().len();
    let path = |number: usize| PathBuf::from(out.replace(PLACE, &format!("{number:0wide$}")));
    let over = (1..=pictures.len()).map(path).find(|path| {
        disk::same_file(Path::new(draft), path)
            || load::brings_in(session, draft, &arguments.values.root, path)
    });
    if let Some(path) = over {
        let path = path.display();
        told::line(&format!("{path} is read here; it would be written over."));
        return Err(End::Misused);
    }
    for (at, bytes) in pictures.iter().enumerate() {
        told::write_whole(&path(at + 1), bytes)?;
    }
    let (first, last) = (path(1), path(pictures.len()));
    told::report(&format!(
        "{}, {} to {}.\n",
        voice::count(pictures.len(), "picture"),
        first.display(),
        last.display()
    ));
    if path(pictures.len() + 1).exists() {
        let path = path(pictures.len() + 1);
        told::report(&format!(
            "{} and what follows it is of a longer film that was there before: delete it.\n",
            path.display()
        ));
    }
    Ok(())
}
