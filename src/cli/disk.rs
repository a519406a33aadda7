//! Files: a draft and its imports read, results written whole or not at all.

use crate::syntax::project::{LARGEST_TEXT, ReadFault, Reader};
use std::fs::File;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Reads imports below one folder, and never anything else.
pub struct Folder {
    root: PathBuf,
}

impl Folder {
    /// The folder of a draft.
    pub fn of(draft: &Path) -> io::Result<Self> {
        let folder = match draft.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        Ok(Self {
            root: folder.canonicalize()?,
        })
    }

    /// The folder the program was started in.
    pub fn here() -> io::Result<Self> {
        Ok(Self {
            root: Path::new(".").canonicalize()?,
        })
    }
}

impl Reader for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = self.root.join(path);
        let real = full
            .canonicalize()
            .map_err(|error| ReadFault::Unreadable(reason(&error)))?;
        if !real.starts_with(&self.root) {
            return Err(ReadFault::OutsideFolder);
        }
        read_text(&real)
    }
}

/// A whole text file, no larger than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub fn read_text(path: &Path) -> Result<String, ReadFault> {
    letters(read_bytes(path)?)
}

/// A whole file, no larger than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, ReadFault> {
    let unreadable = |error: io::Error| ReadFault::Unreadable(reason(&error));
    let file = File::open(path).map_err(unreadable)?;
    if file.metadata().map_err(unreadable)?.is_dir() {
        return Err(ReadFault::Unreadable("it is a folder".into()));
    }
    read_bounded(file)
}

/// Standard input, no longer than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub fn read_standard_input() -> Result<String, ReadFault> {
    letters(read_bounded(io::stdin().lock())?)
}

fn read_bounded(from: impl Read) -> Result<Vec<u8>, ReadFault> {
    let limit = LARGEST_TEXT as u64;
    let mut bytes = Vec::new();
    from.take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| ReadFault::Unreadable(reason(&error)))?;
    if bytes.len() as u64 > limit {
        return Err(ReadFault::TooLarge(bytes.len() as u64));
    }
    Ok(bytes)
}

fn letters(bytes: Vec<u8>) -> Result<String, ReadFault> {
    String::from_utf8(bytes).map_err(|_| ReadFault::NotText)
}

/// Why a file cannot be had, in words.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "permission is denied".into(),
        _ => error.to_string(),
    }
}

/// Writes a file whole: beside it first, then in its place. A link is followed to the file it names.
///
/// # Errors
/// Where the folder or the file cannot be written; the old file then still stands.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = match path.canonicalize() {
        Ok(real) => real,
        Err(_) => path.to_owned(),
    };
    if target.is_dir() {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "it is a folder",
        ));
    }
    let folder = match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut beside = tempfile::Builder::new()
        .prefix(".oaktag-")
        .suffix(".tmp")
        .tempfile_in(&folder)?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    keep_permissions(&target, beside.path());
    beside.persist(&target).map_err(|error| error.error)?;
    Ok(())
}

/// A new file gets what the user's mask says, an old one keeps what it had.
fn keep_permissions(target: &Path, beside: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = target
            .metadata()
            .map_or(0o644, |old| old.permissions().mode() & 0o777);
        // If it cannot be set, the file is private: no harm is done.
        let _ = std::fs::set_permissions(beside, std::fs::Permissions::from_mode(mode));
    }
    #[cfg(not(unix))]
    let _ = (target, beside);
}

/// Whether two paths name one file.
pub fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}
