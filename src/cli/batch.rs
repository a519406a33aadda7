//! `check --bodies`: a line for each body of a table, in its order, and what stopped the others last. Bodies are drawn by
//! as many threads as there are processors; what is printed is the same whatever their number.

use super::End;
use super::disk;
use super::load;
use super::progress::Progress;
use super::told::{self, Format};
use oaktag_language::draft::bodies::Table;
use oaktag_studio::session::Session;
use oaktag_studio::sizes::answer::{Answer, Verdict};
use oaktag_studio::sizes::journal;
use oaktag_studio::sizes::ordered::{self, all_threads};
use oaktag_studio::sizes::tally::Tally;
use std::io::{Seek, SeekFrom, Write};
use std::num::NonZeroUsize;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// Options of a batch.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct BatchOptions {
    #[command(flatten)]
    pub by: Threads,
    /// Keep the answers of --bodies in FILE as well; a batch that was broken off goes on from there
    #[arg(long, value_name = "FILE", requires = "bodies")]
    pub journal: Option<PathBuf>,
}

/// How many hands draw.
#[derive(Clone, Copy, Debug, clap::Args)]
pub(super) struct Threads {
    /// Draw with this many threads (without it, one for each processor)
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
}

impl Threads {
    /// As many as were asked for, or as there are processors.
    pub(super) fn count(self) -> NonZeroUsize {
        self.threads.unwrap_or_else(all_threads)
    }
}

/// How a batch is told.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// For people or for tools.
    pub format: Format,
    /// Only what is wrong.
    pub quiet: bool,
}

/// Checks a draft for every body of a table.
///
/// # Errors
/// How the program ends where no body could be tried; what is wrong has been told.
pub(super) fn run(
    session: &mut Session,
    file: &str,
    options: &BatchOptions,
    manner: Manner,
) -> Result<End, End> {
    if !session.is_checked_well() {
        told::diagnostics(session, session.checked());
        return Err(End::Wrong);
    }
    let table = load::bodies(session, file)?;
    let mark = session.mark();
    let mut journal = options
        .journal
        .as_deref()
        .map(|path| Journal::open(path, &mark, &table))
        .transpose()?;
    let mut tally = Tally::default();
    let kept = journal
        .as_mut()
        .map(|journal| std::mem::take(&mut journal.kept));
    let kept: Vec<Answer> = kept.unwrap_or_default();
    let done = kept.len().min(table.len());
    for answer in kept.into_iter().take(done) {
        tally.add(&answer);
        tell(&answer, manner);
    }
    let mut progress = Progress::new("bodies", done, table.len());
    let session = &*session;
    let work = |number| session.answer(&table, number);
    let mut end = None;
    ordered::in_order(
        done..table.len(),
        options.by.count(),
        work,
        |number, result| {
            let answer = result.unwrap_or_else(|crash| Answer::crashed(table.name(number), &crash));
            tally.add(&answer);
            tell(&answer, manner);
            progress.step();
            if let Some(journal) = &mut journal
                && let Err(fault) = journal.add(&answer)
            {
                end = Some(fault);
                return ControlFlow::Break(());
            }
            ControlFlow::Continue(())
        },
    );
    progress.end();
    if let Some(end) = end {
        return Err(end);
    }
    if manner.format == Format::Text {
        told::report(&tally.summary());
    }
    let all_well = tally.count(Verdict::Well) == tally.all();
    Ok(if all_well { End::Well } else { End::Wrong })
}

fn tell(answer: &Answer, manner: Manner) {
    match manner.format {
        Format::Json => told::json(&answer.json_line()),
        Format::Text if manner.quiet && answer.verdict == Verdict::Well => {}
        Format::Text => told::report(&answer.line()),
    }
}

/// The journal's file, open behind its last whole line.
struct Journal {
    path: PathBuf,
    file: std::fs::File,
    kept: Vec<Answer>,
}

impl Journal {
    fn open(path: &Path, mark: &str, table: &Table) -> Result<Self, End> {
        let refused = |why: &str| {
            told::line(&format!("{} {why}.", path.display()));
            End::NoFile
        };
        let unreadable =
            |error: std::io::Error| refused(&format!("cannot be kept: {}", disk::reason(&error)));
        if path.exists() && !path.is_file() {
            return Err(refused(&format!("cannot be kept: {}", disk::NO_FILE)));
        }
        let text = match std::fs::read(path) {
            Ok(text) => text,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Vec::new(),
            Err(error) => return Err(unreadable(error)),
        };
        let name = |number| (number < table.len()).then(|| table.name(number));
        let kept = journal::read(&text, mark, name).map_err(|why| refused(&why))?;
        let mut file = std::fs::OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(path)
            .map_err(unreadable)?;
        let end = u64::try_from(kept.bytes).unwrap_or(u64::MAX);
        file.set_len(end).map_err(unreadable)?;
        file.seek(SeekFrom::Start(end)).map_err(unreadable)?;
        if kept.bytes == 0 {
            file.write_all(journal::heading(mark).as_bytes())
                .map_err(unreadable)?;
        }
        Ok(Self {
            path: path.to_owned(),
            file,
            kept: kept.answers,
        })
    }

    fn add(&mut self, answer: &Answer) -> Result<(), End> {
        let written = self.file.write_all(answer.json_line().as_bytes());
        written.map_err(|error| {
            let why = disk::reason(&error);
            told::line(&format!("{} cannot be kept: {why}", self.path.display()));
            End::NoFile
        })
    }
}
