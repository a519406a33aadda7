//! The command line: one file a command. Everything that touches a disk, a terminal or an exit status is here.

mod batch;
mod check;
mod compare;
mod compare_against;
mod compare_card;
mod compare_log;
mod compare_sides;
mod completions;
mod desk;
mod disk;
mod draw;
mod draw_bodies;
mod draw_options;
mod explain;
pub mod git;
mod language_server;
mod lesson;
mod library_page;
mod load;
mod merge;
mod phrases;
mod progress;
mod search;
mod sizes;
mod tidy;
mod told;
mod waiting;
mod why;

use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;

/// Draft garment patterns as text: check a draft, draw it at full size, print it.
#[derive(Debug, Parser)]
#[command(name = "oaktag", version, about, long_about = LONG, max_term_width = 100, arg_required_else_help = true)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

const LONG: &str = "\
Draft garment patterns as text: check a draft, draw it at full size, print it.

A draft is a text file, NAME.draft, that reads like the steps a cutter would say aloud. Begin with
  oaktag check examples/ferry-shirt.draft
and look up any phrase with
  oaktag phrases swing";

#[derive(Debug, Subcommand)]
enum Command {
    /// Read a draft, draw it in memory, walk its seams and judge its checks
    Check(check::Arguments),
    /// Draw a draft at full size; the file's ending says how: .pdf, .svg, .dxf, .png, .txt, .csv or .json
    Draw(draw::Arguments),
    /// Make the draft an illustrated lesson, a section a step: .html or .pdf
    Lesson(lesson::Arguments),
    /// What changed between two drafts or revisions: in words, in figures, laid over each other
    Compare(compare::Arguments),
    /// Merge two people's edits of a draft by sentence, as git asks for it
    Merge(merge::Arguments),
    /// Write and draw a draft side by side, on a page in the browser
    Desk(desk::Arguments),
    /// Draw a draft for each size of a table: table by size, grade rules, nested drawing
    Sizes(sizes::Arguments),
    /// Lay a draft's text out in the one canonical way, comments kept
    Tidy(tidy::Arguments),
    /// The reference: every form of every phrase
    Phrases(phrases::Arguments),
    /// Serve an editor with messages, cures, completions and all else, over the open protocol
    LanguageServer(language_server::Arguments),
    /// What a message means, with an example and its cure
    Explain(explain::Arguments),
    /// Print completions for a shell
    Completions(completions::Arguments),
}

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// All well.
    Well,
    /// The draft has errors, or a check fails.
    Wrong,
    /// The command line is wrong.
    Misused,
    /// A file cannot be read or written.
    NoFile,
}

impl End {
    /// The exit status.
    fn status(self) -> u8 {
        match self {
            End::Well => 0,
            End::Wrong => 1,
            End::Misused => 2,
            End::NoFile => 3,
        }
    }
}

impl From<End> for ExitCode {
    fn from(end: End) -> Self {
        ExitCode::from(end.status())
    }
}

/// Runs the program with the arguments of this process.
pub fn run() -> ExitCode {
    told::end(ended(Arguments::try_parse())).into()
}

/// What a run within another program said, and how it ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The exit status it would have had.
    pub status: u8,
    /// What would have gone to standard output.
    pub out: String,
    /// What would have gone to standard error.
    pub err: String,
}

/// Runs the program within another, with these arguments behind its name: it reads and writes files as ever, and gives back what
/// it says.
pub fn run_within<A: Into<OsString>>(arguments: impl IntoIterator<Item = A>) -> Said {
    let name = OsString::from("oaktag");
    let all = std::iter::once(name).chain(arguments.into_iter().map(Into::into));
    let (end, out, err) = told::kept(|| ended(Arguments::try_parse_from(all)));
    Said {
        status: end.status(),
        out,
        err,
    }
}

fn ended(parsed: Result<Arguments, clap::Error>) -> End {
    let arguments = match parsed {
        Ok(arguments) => arguments,
        Err(error) => {
            told::usage(&error);
            return if error.use_stderr() {
                End::Misused
            } else {
                End::Well
            };
        }
    };
    match arguments.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Draw(arguments) => draw::run(&arguments),
        Command::Lesson(arguments) => lesson::run(&arguments),
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Merge(arguments) => merge::run(&arguments),
        Command::Desk(arguments) => desk::run(&arguments),
        Command::Sizes(arguments) => sizes::run(&arguments),
        Command::Tidy(arguments) => tidy::run(&arguments),
        Command::Phrases(arguments) => phrases::run(&arguments),
        Command::LanguageServer(arguments) => language_server::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Completions(arguments) => completions::run(&arguments),
    }
}

/// Lets go of what was drawn. Where the program ends with it, to give every node and line back one by one would take a tenth of
/// its time.
fn let_go<T>(drawn: T) {
    if told::is_kept() {
        drop(drawn);
    } else {
        std::mem::forget(drawn);
    }
}
