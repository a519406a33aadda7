//! `compare`: what changed between two drafts, revisions, bodies or values, in words, figures and laid over each other.

use super::compare_sides::{self, Asked, Loaded};
use super::{End, compare_against, compare_card, compare_log, told};
use oaktag_language::report::terminal;
use oaktag_output::sheet::Sheet;
use oaktag_output::{pages, pdf};
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::{self, Comparison, Options, text};
use std::path::{Path, PathBuf};

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "As git's external diff: git config diff.oaktag.command 'oaktag compare', and *.draft diff=oaktag in .gitattributes."
)]
pub(super) struct Arguments {
    /// OLD and NEW, each a file or REVISION:FILE of a git repository; one alone is compared with itself under other values
    #[arg(value_name = "OLD NEW", num_args = 1..=9, required = true)]
    pub sides: Vec<String>,
    /// Write the comparison to a file: .txt, .md, .json, .html, or laid over each other as .svg or .pdf; with --card, the card
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// The sheet of a .pdf: fit (one page at true size, without it), a4, letter, a3, tabloid, a0, or roll:914mm; of a card, a4 or
    /// letter
    #[arg(long, value_name = "SHEET")]
    pub sheet: Option<Sheet>,
    /// How to write on standard output
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
    /// Hold this point of the new side still; may be given once for each panel
    #[arg(long, value_name = "POINT")]
    pub align: Vec<String>,
    /// List every point that moved, not only corners of pieces
    #[arg(long)]
    pub all: bool,
    /// End with 1 where anything differs
    #[arg(long)]
    pub exit_code: bool,
    /// List the revisions of the draft in its git repository, with what each changed in the pattern
    #[arg(long)]
    pub log: bool,
    /// One page for the hook, a small picture of each piece that changed beside what became of it; -o .svg, .pdf or .png
    #[arg(long, conflicts_with = "log")]
    pub card: bool,
    /// Which version this is, printed on the card; without it a line is left to write on
    #[arg(long, value_name = "TEXT", requires = "card")]
    pub revision: Option<String>,
    /// What the change does to every draft of this folder that imports the changed one, a line a draft
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["log", "card", "output"])]
    pub against: Option<PathBuf>,
    #[command(flatten)]
    pub values: super::load::Values,
    /// Set a value on the old side alone
    #[arg(long, value_name = "NAME=VALUE")]
    pub old_set: Vec<String>,
    /// Set a value on the new side alone
    #[arg(long, value_name = "NAME=VALUE")]
    pub new_set: Vec<String>,
    /// Draw the old side for this body
    #[arg(long, value_name = "FILE:NAME")]
    pub old_body: Option<String>,
    /// Draw the new side for this body
    #[arg(long, value_name = "FILE:NAME")]
    pub new_body: Option<String>,
}

/// How a comparison is written on standard output.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Format {
    /// For the terminal.
    #[default]
    Text,
    /// For a review.
    Markdown,
    /// For tools.
    Json,
}

/// What can be written to a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Text,
    Markdown,
    Json,
    Svg,
    Pdf,
    Html,
}

impl Ending {
    fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "txt" => Some(Self::Text),
            "md" => Some(Self::Markdown),
            "json" => Some(Self::Json),
            "svg" => Some(Self::Svg),
            "pdf" => Some(Self::Pdf),
            "html" => Some(Self::Html),
            _ => None,
        }
    }
}

/// Compares.
pub(super) fn run(arguments: &Arguments) -> End {
    let from_git = std::env::var_os("GIT_DIFF_PATH_COUNTER").is_some();
    match (arguments.log, arguments.sides.as_slice()) {
        (true, [file]) => return compare_log::run(file, arguments),
        (true, _) => {
            told::line("--log takes one draft.");
            return End::Misused;
        }
        (false, [path]) if from_git => {
            told::report(&format!("{path} is not merged yet.\n"));
            return End::Well;
        }
        _ => {}
    }
    if let Some(folder) = &arguments.against {
        return match arguments.sides.as_slice() {
            [old, new] => compare_against::run(old, new, folder, arguments),
            _ => {
                told::line("--against takes OLD and NEW, the draft that others import.");
                End::Misused
            }
        };
    }
    if arguments.card {
        return match arguments.sides.as_slice() {
            [one] => compare_card::run(one, one, arguments),
            [old, new] => compare_card::run(old, new, arguments),
            _ => {
                told::line("--card takes OLD and NEW.");
                End::Misused
            }
        };
    }
    let ending = match arguments
        .output
        .as_deref()
        .map(|path| Ending::of(path).ok_or(path))
    {
        Some(Err(path)) => {
            told::line(&format!(
                "{} has an ending that cannot be written; write .txt, .md, .json, .svg, .pdf or .html.",
                path.display()
            ));
            return End::Misused;
        }
        Some(Ok(ending)) => Some(ending),
        None => None,
    };
    if arguments.sheet.is_some() && ending != Some(Ending::Pdf) {
        told::line("--sheet is for a .pdf: write -o with a name that ends in .pdf.");
        return End::Misused;
    }
    let sides = match arguments.sides.as_slice() {
        [one] => Ok((Asked::typed(one), Asked::typed(one))),
        [old, new] => Ok((Asked::typed(old), Asked::typed(new))),
        [path, old, old_hex, _, new, new_hex, _, more @ ..]
            if more.is_empty() || more.len() == 2 =>
        {
            compare_sides::from_git(
                path,
                (old, old_hex),
                (new, new_hex),
                more.first().map(String::as_str),
            )
        }
        _ => Err(
            "compare takes OLD and NEW, or the seven arguments of git's external diff.".to_owned(),
        ),
    };
    let (old, new) = match sides {
        Ok(sides) => sides,
        Err(why) => {
            told::line(&why);
            return End::Misused;
        }
    };
    let is_external = arguments.sides.len() >= 7;
    let end = both(arguments, &old, &new, ending);
    // To git, whatever is not 0 means that the program broke down, and it stops showing the rest.
    if is_external && end == End::Wrong {
        End::Well
    } else {
        end
    }
}

/// The two sides read and drawn, each with its values, and held against each other.
///
/// # Errors
/// Where either cannot be read, or a point to align on is wrong, which has been told.
pub(super) fn compared(
    arguments: &Arguments,
    old: &Asked,
    new: &Asked,
) -> Result<(Loaded, Loaded, Comparison), End> {
    let values = |set: &[String], body: &Option<String>| {
        let mut values = arguments.values.clone();
        values.set.extend(set.iter().cloned());
        values.body = body.clone().or(values.body);
        values
    };
    let old = Loaded::load(old, &values(&arguments.old_set, &arguments.old_body))?;
    let new = Loaded::load(new, &values(&arguments.new_set, &arguments.new_body))?;
    on_both_sides(&arguments.values);
    let options = Options {
        align: arguments.align.clone(),
    };
    let comparison = compare::compare(old.side(), new.side(), &options);
    let comparison = comparison.map_err(|compare::NoSuchPoint(name)| {
        told::line(&format!(
            "There is no point `{name}` on both sides to align on."
        ));
        End::Misused
    })?;
    Ok((old, new, comparison))
}

fn both(arguments: &Arguments, old: &Asked, new: &Asked, ending: Option<Ending>) -> End {
    let (old, new, comparison) = match compared(arguments, old, new) {
        Ok(compared) => compared,
        Err(end) => return end,
    };
    if let Err(end) = written(arguments, &comparison, &old, &new, ending) {
        return end;
    }
    ended(arguments, &comparison)
}

/// How the program ends that told of a comparison.
pub(super) fn ended(arguments: &Arguments, comparison: &Comparison) -> End {
    let is_wrong = !comparison.troubles.is_empty() || !comparison.faults.is_empty();
    if is_wrong || (arguments.exit_code && !comparison.is_empty()) {
        End::Wrong
    } else {
        End::Well
    }
}

/// Says that what was set lies on both sides, where it might be meant for one.
fn on_both_sides(values: &super::load::Values) {
    let set = values.set.iter().map(|set| format!("--set {set}"));
    let body = values.body.iter().map(|body| format!("--body {body}"));
    let said: Vec<String> = set.chain(body).collect();
    if !said.is_empty() {
        told::line(&format!(
            "{} holds for both sides; for one side write --new-set or --new-body, and --old-set or --old-body.",
            said.join(", ")
        ));
    }
}

fn written(
    arguments: &Arguments,
    comparison: &Comparison,
    old: &Loaded,
    new: &Loaded,
    ending: Option<Ending>,
) -> Result<(), End> {
    let detail = if arguments.all {
        Detail::All
    } else {
        Detail::Outline
    };
    let report = report(comparison, detail);
    let as_json = || -> Result<String, End> {
        let mut text = serde_json::to_string_pretty(comparison).map_err(|error| {
            told::line(&format!("the JSON could not be made: {error}"));
            End::NoFile
        })?;
        text.push('\n');
        Ok(text)
    };
    let (Some(ending), Some(path)) = (ending, &arguments.output) else {
        match arguments.format {
            Format::Text => told::report(&text::plain(&report)),
            Format::Markdown => told::report(&text::markdown(&report)),
            Format::Json => told::json(&as_json()?),
        }
        return Ok(());
    };
    let bytes = match ending {
        Ending::Text => terminal::harmless(&text::plain(&report)).into_owned(),
        Ending::Markdown => terminal::harmless(&text::markdown(&report)).into_owned(),
        Ending::Json => as_json()?,
        Ending::Pdf => {
            let bytes = overlaid(arguments, comparison, old, new)?;
            return saved(&bytes, path, &report.verdict, old, new);
        }
        Ending::Svg => compare::overlay::svg(comparison, old.side(), new.side()),
        Ending::Html => compare::page::html(comparison, &report, old.side(), new.side()),
    };
    saved(bytes.as_bytes(), path, &report.verdict, old, new)
}

/// Both sides laid over each other at true size, on the sheet asked for.
fn overlaid(
    arguments: &Arguments,
    comparison: &Comparison,
    old: &Loaded,
    new: &Loaded,
) -> Result<Vec<u8>, End> {
    let sheet = arguments.sheet.unwrap_or_default();
    let drawing = compare::overlay::drawing(comparison, old.side(), new.side(), sheet);
    let document = pages::lay_out_drawing(drawing, sheet).map_err(|fault| {
        told::line(&fault.to_string());
        End::Misused
    })?;
    let written = pdf::write(&document, &[]);
    told::no_letters(&written.missing);
    Ok(written.bytes)
}

/// Writes what was made of a comparison, unless that is one of the drafts.
pub(super) fn saved(
    bytes: &[u8],
    path: &Path,
    verdict: &str,
    old: &Loaded,
    new: &Loaded,
) -> Result<(), End> {
    if old.reads(path) || new.reads(path) {
        told::line(&format!(
            "{} is a draft that is compared; it would be written over.",
            path.display()
        ));
        return Err(End::Misused);
    }
    told::write_whole(path, bytes)?;
    told::report(&format!("{verdict}\n{} written.\n", path.display()));
    Ok(())
}
