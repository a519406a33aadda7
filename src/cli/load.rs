//! A draft named on the command line, opened with everything it imports, and the values laid on it.

use super::End;
use super::disk::{self, Folder};
use super::told;
use oaktag_language::draft::bodies::Table;
use oaktag_language::library;
use oaktag_language::syntax::project::{LARGEST_TEXT, NoFiles, ReadFault, Reader};
use oaktag_studio::session::{BodyOf, Change, Session, Unchanged};
use std::path::{Path, PathBuf};

/// Settings that several commands take.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct Values {
    /// Set a measure or choice: bust_girth=96cm, house.bust_ease=8cm; for one side of the wearer, shoulder_slope.left=26deg
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub set: Vec<String>,
    /// Draw for one body of a table: crew.csv:mate
    #[arg(long, value_name = "FILE:NAME")]
    pub body: Option<String>,
    #[command(flatten)]
    pub root: Root,
}

/// Where a draft may import from.
#[derive(Clone, Debug, Default, clap::Args)]
pub(super) struct Root {
    /// Import from this folder and below; without it, from the nearest folder at or above the draft's that holds a file
    /// oaktag.root, else from the draft's own
    #[arg(id = "root", long = "root", value_name = "DIR")]
    pub folder: Option<PathBuf>,
}

impl Root {
    /// The folders of a draft named on the command line.
    pub(super) fn of(&self, draft: &Path) -> Result<Folder, String> {
        Folder::of(draft, self.folder.as_deref())
    }
}

/// What a file is called on the command line where it is standard input.
pub(super) const STANDARD_INPUT: &str = "-";

/// Opens a draft with all it imports.
///
/// # Errors
/// Where the draft itself cannot be read, or does not lie below its root, which has been told.
pub(super) fn session(file: &str, root: &Root) -> Result<Session, End> {
    let (text, name) = match file {
        STANDARD_INPUT => (disk::read_standard_input(), "<standard input>"),
        _ => (disk::read_text(Path::new(file)), file),
    };
    let text = text.map_err(|fault| {
        told::line(&format!("{name}: {}", why(&fault)));
        End::NoFile
    })?;
    let reader: Box<dyn Reader + Send + Sync> = match root.of(Path::new(file)) {
        Ok(folder) => Box::new(folder),
        // The draft's folder is gone since; nothing can be imported from it.
        Err(_) if root.folder.is_none() => Box::new(NoFiles),
        Err(why) => {
            told::line(&format!("{name}: {why}."));
            return Err(End::Misused);
        }
    };
    Ok(Session::open(name, &text, reader, library::MODULES))
}

/// Opens a draft and lays values on it.
///
/// # Errors
/// Where either cannot be, which has been told.
pub(super) fn with_values(file: &str, values: &Values) -> Result<Session, End> {
    let mut session = session(file, &values.root)?;
    set(&mut session, &values.set)?;
    lay_body(&mut session, values.body.as_deref())?;
    Ok(session)
}

/// Lays settings on a draft; each that is wrong is told.
///
/// # Errors
/// Where one is wrong, which has been told.
pub(super) fn set(session: &mut Session, typed: &[String]) -> Result<(), End> {
    let mut wrong = Vec::new();
    for typed in typed {
        if let Err(Unchanged::Told { messages, .. }) = session.change(Change::Value(typed.clone()))
        {
            wrong.extend(messages);
        }
    }
    if wrong.is_empty() {
        return Ok(());
    }
    told::diagnostics(session, &wrong);
    Err(End::Misused)
}

/// Whether a path is one of the files that a draft brings in: what is drawn must not go over it.
pub(super) fn brings_in(session: &Session, draft: &str, root: &Root, path: &Path) -> bool {
    let mut imports = session.imports();
    let folder = root.of(Path::new(draft));
    folder.is_ok_and(|folder| imports.any(|name| disk::same_file(&folder.file(name), path)))
}

/// Why a file cannot be read.
pub(super) fn why(fault: &ReadFault) -> String {
    match fault {
        ReadFault::OutsideFolder => "it lies outside the root of the draft's imports".into(),
        ReadFault::Unreadable(reason) => format!("cannot be read: {reason}"),
        ReadFault::NotText => "is not a text file (UTF-8)".into(),
        ReadFault::TooLarge(_) => {
            format!("is longer than a draft may be ({LARGEST_TEXT} bytes)")
        }
    }
}

/// The bytes of a table.
fn bytes(file: &str) -> Result<Vec<u8>, End> {
    disk::read_bytes(Path::new(file)).map_err(|fault| {
        told::line(&format!("{file}: {}", why(&fault)));
        End::NoFile
    })
}

/// A table of bodies, read for a draft; what should be looked at in it is told.
///
/// # Errors
/// Where the file cannot be read or its headings are wrong, which has been told.
pub(super) fn bodies(session: &mut Session, file: &str) -> Result<Table, End> {
    let table = session.table(file, &bytes(file)?);
    let table = table.map_err(|why| unchanged(session, why))?;
    told::diagnostics(session, table.warnings());
    Ok(table)
}

/// Lays the body that `FILE:NAME` names on a draft.
///
/// # Errors
/// Where there is no such file or body, or its row is wrong, which has been told.
pub(super) fn lay_body(session: &mut Session, typed: Option<&str>) -> Result<(), End> {
    let Some(typed) = typed else { return Ok(()) };
    let Some((file, name)) = typed.rsplit_once(':') else {
        told::line(&format!(
            "--body takes FILE:NAME, a table and a name in it; `{typed}` has no `:`."
        ));
        return Err(End::Misused);
    };
    let body = Change::Body(BodyOf {
        table: file.to_owned(),
        bytes: bytes(file)?,
        name: name.to_owned(),
    });
    let laid = session.change(body);
    told::diagnostics(session, session.looked_at());
    laid.map_err(|why| unchanged(session, why))
}

/// Tells why a draft was not changed, and how the program ends.
fn unchanged(session: &Session, why: Unchanged) -> End {
    match why {
        Unchanged::Told { messages, of_body } => {
            told::diagnostics(session, &messages);
            if of_body { End::Wrong } else { End::NoFile }
        }
        Unchanged::NoBody(words) => {
            told::line(&words);
            End::Misused
        }
        Unchanged::NoTable(words) => {
            told::line(&words);
            End::NoFile
        }
        Unchanged::NoRange => End::Misused,
    }
}
