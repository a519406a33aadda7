//! `merge`: two people's edits of a draft merged by sentence, as git's merge driver is called.

use super::End;
use super::disk;
use super::load::{Root, why};
use super::told;
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, Reader};
use oaktag_studio::merge::{self, Labels, Merged, Texts};
use std::path::{Path, PathBuf};

/// Arguments of `merge`.
#[derive(Debug, clap::Args)]
#[command(after_help = HELP)]
pub(super) struct Arguments {
    /// The version that both came from
    base: PathBuf,
    /// The version in hand; the merged draft is written here
    ours: PathBuf,
    /// The version that is brought in
    theirs: PathBuf,
    /// What the draft is called, and from where it imports; without it, OURS
    #[arg(long, value_name = "FILE")]
    path: Option<PathBuf>,
    /// Write the merged draft on standard output, and leave OURS as it is
    #[arg(long)]
    print: bool,
    #[command(flatten)]
    root: Root,
}

const HELP: &str = "\
Git merges drafts by sentence once it is told so, by two lines:
  git config merge.oaktag.driver 'oaktag merge %O %A %B --path %P'
  echo '*.draft merge=oaktag' >> .gitattributes

It ends with 0 where all is merged, and with 1 where something has to be settled by hand: marks stand round the
sentence, and what it is stands on standard error.";

/// Merges.
pub(super) fn run(arguments: &Arguments) -> End {
    let path = arguments.path.as_deref().unwrap_or(&arguments.ours);
    let name = path.to_string_lossy();
    let read = |file: &Path| {
        disk::read_text(file).map_err(|fault| {
            told::line(&format!("{}: {}", file.display(), why(&fault)));
            End::NoFile
        })
    };
    let files = [&arguments.base, &arguments.ours, &arguments.theirs];
    let [base, ours, theirs] = match files.map(|file| read(file)) {
        [Ok(base), Ok(ours), Ok(theirs)] => [base, ours, theirs],
        _ => return End::NoFile,
    };
    if let Err(why) = arguments.root.of(path)
        && arguments.root.folder.is_some()
    {
        told::line(&format!("{name}: {why}."));
        return End::Misused;
    }
    let readers = || -> Box<dyn Reader + Send + Sync> {
        match arguments.root.of(path) {
            Ok(folder) => Box::new(folder),
            // The draft's folder is not there yet; nothing can be imported from it.
            Err(_) => Box::new(NoFiles),
        }
    };
    let texts = Texts {
        name: &name,
        base: &base,
        ours: &ours,
        theirs: &theirs,
    };
    let merged = merge::merge(texts, &Labels::default(), &readers, library::MODULES);
    tell(&name, &merged);
    let text = as_ours(&ours, merged.text);
    if arguments.print {
        told::result(&text);
    } else if text != ours
        && let Err(end) = told::write_whole(&arguments.ours, text.as_bytes())
    {
        return end;
    }
    if merged.conflicts.is_empty() {
        End::Well
    } else {
        End::Wrong
    }
}

/// What has to be settled, and what should be known, a line each.
fn tell(name: &str, merged: &Merged) {
    let unmarked = "No mark stands in the text: mend it before it is committed.";
    for conflict in &merged.conflicts {
        let has_mark = marks(&merged.text).any(|line| Some(line) == conflict.line);
        let (place, more) = match (conflict.line, has_mark) {
            (Some(line), true) => (format!(", line {line}"), String::new()),
            (Some(line), false) => (format!(", line {line}"), format!(" {unmarked}")),
            (None, _) => (String::new(), format!(" {unmarked}")),
        };
        told::line(&format!("{name}{place}: {}{more}", conflict.words));
    }
    for remark in &merged.remarks {
        told::line(&format!("{name}: {remark}"));
    }
}

/// The lines of first marks, from 1.
fn marks(text: &str) -> impl Iterator<Item = usize> {
    let lines = text.lines().zip(1..);
    lines.filter_map(|(line, at)| line.starts_with("<<<<<<< ").then_some(at))
}

/// The text with the line ends that ours has.
fn as_ours(ours: &str, text: String) -> String {
    let is_windows = ours.contains("\r\n") && !text.contains("\r\n");
    if is_windows {
        text.replace('\n', "\r\n")
    } else {
        text
    }
}
