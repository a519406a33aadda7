//! The command line: one file a command. Everything that touches a disk, a terminal or an exit status is here.

mod batch;
mod check;
mod compare;
mod compare_log;
mod compare_sides;
mod completions;
mod disk;
mod draw;
mod draw_bodies;
mod draw_files;
mod draw_options;
mod explain;
pub mod git;
mod lesson;
mod library_page;
mod load;
mod phrases;
mod progress;
mod search;
mod sizes;
mod tidy;
mod told;
mod waiting;
mod why;

use clap::{Parser, Subcommand};
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
    /// Draw a draft for each size of a table: table by size, grade rules, nested drawing
    Sizes(sizes::Arguments),
    /// Lay a draft's text out in the one canonical way, comments kept
    Tidy(tidy::Arguments),
    /// The reference: every form of every phrase
    Phrases(phrases::Arguments),
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

impl From<End> for ExitCode {
    fn from(end: End) -> Self {
        match end {
            End::Well => ExitCode::from(0),
            End::Wrong => ExitCode::from(1),
            End::Misused => ExitCode::from(2),
            End::NoFile => ExitCode::from(3),
        }
    }
}

/// Runs the program with the arguments of this process.
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            if error.use_stderr() {
                // Nothing is left to be done where even this cannot be printed.
                let _ = error.print();
                return End::Misused.into();
            }
            told::printed(error.print());
            return told::end(End::Well).into();
        }
    };
    let end = match arguments.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Draw(arguments) => draw::run(&arguments),
        Command::Lesson(arguments) => lesson::run(&arguments),
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Sizes(arguments) => sizes::run(&arguments),
        Command::Tidy(arguments) => tidy::run(&arguments),
        Command::Phrases(arguments) => phrases::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Completions(arguments) => completions::run(&arguments),
    };
    told::end(end).into()
}
