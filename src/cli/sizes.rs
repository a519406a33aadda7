//! `sizes`: a draft drawn for each body of a table, told as a table by size, derived rules, ladders of notches and what must
//! not grow, and drawn as a nest.

use super::End;
use super::batch::Threads;
use super::disk;
use super::load;
use super::told;
use oaktag_language::check::nearest_word;
use oaktag_language::voice;
use oaktag_output::pages::lay_out_drawing;
use oaktag_output::sheet::Sheet;
use oaktag_output::{pdf, png, svg};
use oaktag_studio::session::{self, Session};
use oaktag_studio::sizes::answer::one_line;
use oaktag_studio::sizes::set::stack::Stack;
use oaktag_studio::sizes::set::{
    self, Set, constant, dxf, json, ladder, nest, rules, stack, table,
};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Arguments of `sizes`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The draft; - reads it from standard input
    #[arg(value_name = "FILE")]
    file: String,
    /// The table of sizes, a row (or column) each
    #[arg(long, value_name = "TABLE")]
    bodies: String,
    /// Set a measure or choice in every size: bust_ease=8cm
    #[arg(long = "set", value_name = "NAME=VALUE")]
    set: Vec<String>,
    #[command(flatten)]
    root: load::Root,
    /// The size the others are held against (without it, the middle one)
    #[arg(long, value_name = "NAME")]
    base: Option<String>,
    /// Draw the sizes nested; the ending says how: .svg, .pdf, .png, .dxf (a block for each piece and size)
    /// or .json (for other tools)
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// Write the table by size as CSV
    #[arg(long, value_name = "OUT.csv")]
    csv: Option<PathBuf>,
    /// Lay the sizes of a piece on this point, and along this line: back.underarm, or back.underarm,back.centre
    #[arg(long, value_name = "POINT[,LINE]")]
    stack: Vec<Stack>,
    /// Hold this length, edge or seam to be the same in every size
    #[arg(long, value_name = "NAME", value_delimiter = ',')]
    constant: Vec<String>,
    /// Draw this piece alone; may be given for several
    #[arg(long = "piece", value_name = "NAME")]
    pieces: Vec<String>,
    /// Print on a4, letter, a3, tabloid, a0, roll:WIDTH, or fit (one page); .pdf
    #[arg(long, value_name = "SHEET")]
    sheet: Option<Sheet>,
    #[command(flatten)]
    by: Threads,
    /// Say only what is wrong
    #[arg(long, short)]
    quiet: bool,
}

/// Draws the sizes.
pub(super) fn run(arguments: &Arguments) -> End {
    sizes(arguments).unwrap_or_else(|end| end)
}

fn refused(words: &str) -> End {
    told::line(words);
    End::Misused
}

/// What a nest is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Svg,
    Pdf,
    Png,
    Dxf,
    Json,
}

fn ending(path: &Path) -> Option<Ending> {
    match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
        "svg" => Some(Ending::Svg),
        "pdf" => Some(Ending::Pdf),
        "png" => Some(Ending::Png),
        "dxf" => Some(Ending::Dxf),
        "json" => Some(Ending::Json),
        _ => None,
    }
}

fn sizes(arguments: &Arguments) -> Result<End, End> {
    let ending = asked(arguments)?;
    let mut session = load::session(&arguments.file, &arguments.root)?;
    let mut outs = arguments.output.iter().chain(&arguments.csv);
    if let Some(out) =
        outs.find(|out| load::brings_in(&session, &arguments.file, &arguments.root, out))
    {
        let words = "is a file that the draft brings in; it would be written over.";
        return Err(refused(&format!("{} {words}", out.display())));
    }
    load::set(&mut session, &arguments.set)?;
    let (mut set, wrong) = drawn(arguments, &mut session)?;
    let Some(base) = set.well_base() else {
        told::report(&faults(&set));
        told::line(&none_well(arguments, set.sizes.len()));
        return Ok(End::Wrong);
    };
    if base != set.base {
        let names = set.names();
        let name = |at: usize| names.get(at).copied().unwrap_or_default();
        let (asked, taken) = (name(set.base), name(base));
        told::line(&format!(
            "size {asked} is not well; the others are held against {taken}."
        ));
        set.base = base;
    }
    let rows = table::rows(&set);
    if let Some(unknown) = stack::unknown(&arguments.stack, &set) {
        return Err(refused(&format!(
            "--stack: no piece has a point `{unknown}` on its sheet, or no such line beside it."
        )));
    }
    known_pieces(arguments, &set)?;
    let mut changed = constant::allowances(&set);
    changed.extend(
        constant::named(&set, &rows, &arguments.constant).map_err(|words| refused(&words))?,
    );
    let (ladders, ladder_faults) = ladder::ladders(&set);
    let (rules, missing) = rules::rules(&set, &arguments.stack);
    if !arguments.quiet {
        let mut text = table::text(&set, &rows);
        text.push_str(&rules::text(&set, &arguments.stack, &rules));
        text.push_str(&ladder::text(&set, &ladders));
        told::report(text.trim_start_matches('\n'));
    }
    let unit = set.base().map(|size| size.pattern.unit).unwrap_or_default();
    let mut look: Vec<String> = changed
        .iter()
        .map(|changed| changed.words.clone())
        .collect();
    look.extend(ladder_faults.iter().map(|fault| fault.words(unit)));
    look.extend(
        missing
            .iter()
            .map(|corner| format!("Not in every size: {corner}.")),
    );
    told::report(&verdict(&set, &rules, &look));
    write_files(arguments, ending, &set, &rows)?;
    let is_wrong = wrong
        || !changed.is_empty()
        || ladder_faults.iter().any(ladder::LadderFault::is_error)
        || set.sizes.iter().any(|size| !size.is_well());
    Ok(if is_wrong { End::Wrong } else { End::Well })
}

/// What is to be drawn, where the command line can be carried out.
fn asked(arguments: &Arguments) -> Result<Option<Ending>, End> {
    let of_output = match &arguments.output {
        None => None,
        Some(out) => Some(ending(out).ok_or_else(|| {
            refused(&format!(
                "{} has an ending that cannot be drawn nested; write .svg, .pdf, .png, .dxf or .json. For one file a size, draw with --bodies.",
                out.display()
            ))
        })?),
    };
    if arguments.sheet.is_some() && of_output != Some(Ending::Pdf) {
        return Err(refused("--sheet goes with .pdf."));
    }
    let read = [Path::new(&arguments.file), Path::new(&arguments.bodies)];
    for out in arguments.output.iter().chain(&arguments.csv) {
        if read.iter().any(|file| disk::same_file(file, out)) {
            let words = "is read here; it would be written over.";
            return Err(refused(&format!("{} {words}", out.display())));
        }
    }
    Ok(of_output)
}

/// The sizes drawn, and whether something was wrong with a row.
fn drawn(arguments: &Arguments, session: &mut Session) -> Result<(Set, bool), End> {
    if !session.is_checked_well() {
        told::diagnostics(session, session.checked());
        return Err(End::Wrong);
    }
    let table = load::bodies(session, &arguments.bodies)?;
    if table.len() > set::MOST {
        return Err(refused(&format!(
            "{} has {} bodies, and a set has at most {} sizes; for a batch, check --bodies.",
            arguments.bodies,
            table.len(),
            set::MOST
        )));
    }
    let (sizes, wrong) = session.sizes(&table, arguments.by.count());
    told::diagnostics(session, &wrong);
    if sizes.is_empty() {
        told::line("no size could be read.");
        return Err(End::Wrong);
    }
    let names: Vec<&str> = sizes.iter().map(|size| size.name.as_str()).collect();
    let base = match &arguments.base {
        None => (sizes.len() - 1) / 2,
        Some(name) => names
            .iter()
            .position(|known| known == name)
            .ok_or_else(|| {
                let near = nearest_word(name, names.iter().copied())
                    .map(|near| format!(" Did you mean `{near}`?"))
                    .unwrap_or_default();
                refused(&format!("{} has no size `{name}`.{near}", arguments.bodies))
            })?,
    };
    Ok((Set { sizes, base }, !wrong.is_empty()))
}

fn known_pieces(arguments: &Arguments, set: &Set) -> Result<(), End> {
    let names: Vec<&str> = set
        .base()
        .into_iter()
        .flat_map(|size| &size.pattern.pieces)
        .map(|piece| piece.name.as_str())
        .collect();
    let unknown = arguments
        .pieces
        .iter()
        .find(|piece| !names.contains(&piece.as_str()));
    match unknown {
        None => Ok(()),
        Some(piece) => {
            let near = nearest_word(piece, names.iter().copied())
                .map(|near| format!(" Did you mean `{near}`?"))
                .unwrap_or_default();
            Err(refused(&format!(
                "the draft has no piece `{piece}`; it has {}.{near}",
                names.join(", ")
            )))
        }
    }
}

/// What is wrong with each size.
fn faults(set: &Set) -> String {
    let mut text = String::new();
    for size in &set.sizes {
        for error in size.told.iter().filter(|told| told.is_error()) {
            let _ = writeln!(
                text,
                "Size {}: {}",
                size.name,
                one_line(error, size.pattern.unit)
            );
        }
    }
    text
}

/// That nothing is drawn, and which files stay as they are.
fn none_well(arguments: &Arguments, count: usize) -> String {
    let outs = arguments.output.iter().chain(&arguments.csv);
    let outs: Vec<String> = outs.map(|out| out.display().to_string()).collect();
    let kept = match outs.as_slice() {
        [] => String::new(),
        outs => format!("; {} not written", voice::list(outs)),
    };
    let none = voice::agree(count, "not well", "none of them well");
    format!(
        "{}, {none}: nothing is nested{kept}.",
        voice::count(count, "size")
    )
}

/// What is wrong with each size, what should be looked at, and the last line.
fn verdict(set: &Set, rules: &[rules::Rule], look: &[String]) -> String {
    let mut text = faults(set);
    let well = set.sizes.len() - set.not_well().len();
    let varies = |rule: &&rules::Rule| !matches!(rule.steadiness(), rules::Steadiness::Constant(_));
    let uneven = rules.iter().filter(varies).count();
    for words in look {
        let _ = writeln!(text, "{words}");
    }
    let all = set.sizes.len();
    let rules_words = match uneven {
        0 => format!(
            "{} constant",
            match rules.len() {
                1 => "the one rule is".to_owned(),
                all => format!("all {all} rules are"),
            }
        ),
        uneven => {
            let are = voice::agree(uneven, "is", "are");
            format!("{uneven} of {} rules {are} not constant", rules.len())
        }
    };
    let sizes_words = if well == all {
        format!("{}, every seam and check holds", voice::count(all, "size"))
    } else {
        format!("{}, {well} well", voice::count(all, "size"))
    };
    let _ = writeln!(text, "\n{sizes_words}; {rules_words}.");
    text
}

fn write_files(
    arguments: &Arguments,
    ending: Option<Ending>,
    set: &Set,
    rows: &[table::Row],
) -> Result<(), End> {
    if let Some(path) = &arguments.csv {
        let text = table::csv(set, rows).map_err(|words| {
            told::line(&format!("the table could not be made: {words}"));
            End::NoFile
        })?;
        write(path, &told::as_text(&text))?;
    }
    match (&arguments.output, ending) {
        (Some(path), Some(ending)) => write_nest(arguments, path, ending, set),
        _ => Ok(()),
    }
}

/// The sizes together in one file; one with which something is wrong is left out of it.
fn write_nest(arguments: &Arguments, path: &Path, ending: Ending, set: &Set) -> Result<(), End> {
    for name in set.not_well() {
        let path = path.display();
        told::line(&format!(
            "size {name} is not well, and is left out of {path}."
        ));
    }
    let has_pieces = set.sizes.iter().any(|size| !size.pattern.pieces.is_empty());
    if ending == Ending::Dxf && !has_pieces {
        told::line(session::NOTHING_TO_CUT);
        return Err(End::Wrong);
    }
    let (stacks, pieces) = (&arguments.stack, &arguments.pieces);
    let drawn = || nest::draw(set, stacks, pieces);
    let (bytes, missing) = match ending {
        Ending::Dxf => (dxf::write(set, stacks, pieces).into_bytes(), Vec::new()),
        Ending::Json => {
            let set = set.whole();
            let (rows, (rules, _)) = (table::rows(&set), rules::rules(&set, stacks));
            let text = json::write(&set, stacks, pieces, &rows, &rules).map_err(|error| {
                told::line(&format!("the JSON could not be made: {error}"));
                End::NoFile
            })?;
            (text.into_bytes(), Vec::new())
        }
        Ending::Svg => (svg::of_drawing(&drawn()).into_bytes(), Vec::new()),
        Ending::Pdf => {
            let sheet = arguments.sheet.unwrap_or_default();
            let laid = lay_out_drawing(nest::draw_for_print(set, stacks, pieces, sheet), sheet);
            let document = laid.map_err(|fault| refused(&fault.to_string()))?;
            let written = pdf::write(&document, &nest::WAITING);
            (written.bytes, written.missing)
        }
        Ending::Png => {
            let picture =
                png::write(&drawn(), 72.0, &[]).map_err(|fault| refused(&fault.to_string()))?;
            (picture.bytes, picture.missing)
        }
    };
    told::no_letters(&missing);
    write(path, &bytes)
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), End> {
    told::write_whole(path, bytes)?;
    told::report(&format!("{} written.\n", path.display()));
    Ok(())
}
