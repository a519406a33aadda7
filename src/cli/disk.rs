//! Files: a draft and its imports read, results written whole or not at all.

use oaktag_language::syntax::project::{LARGEST_TEXT, ReadFault, Reader};
use std::fs::{File, Metadata, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// A file of this name marks the folder that the drafts in it and below may import from.
pub(super) const ROOT_MARK: &str = "oaktag.root";

/// Reads imports below one folder, the root, and never anything else.
pub(super) struct Folder {
    root: PathBuf,
    /// The draft's own folder, from the root.
    home: String,
}

impl Folder {
    /// The folders of a draft; for one from standard input, a name in the folder the program was started in. The root is
    /// the one asked for; else the nearest at or above the draft's that bears the mark; else the draft's own.
    ///
    /// # Errors
    /// In words: there is no such folder, or the draft does not lie below the root that is asked for.
    pub(super) fn of(draft: &Path, root: Option<&Path>) -> Result<Self, String> {
        let parent = match draft.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        let found = |folder: &Path| {
            let real = folder.canonicalize();
            real.map_err(|error| format!("{} cannot be read: {}", folder.display(), reason(&error)))
        };
        let home = found(parent)?;
        let root = match root {
            Some(root) => found(root)?,
            None => {
                let marked = |folder: &&Path| folder.join(ROOT_MARK).is_file();
                home.ancestors().find(marked).unwrap_or(&home).to_owned()
            }
        };
        let inside = home
            .strip_prefix(&root)
            .map_err(|_| format!("it does not lie below {}", root.display()))?;
        let names: Option<Vec<&str>> = inside.iter().map(|name| name.to_str()).collect();
        Ok(match names {
            Some(names) => Self {
                home: names.join("/"),
                root,
            },
            // A folder whose name is no text cannot be written in a draft.
            None => Self {
                root: home,
                home: String::new(),
            },
        })
    }

    /// The folder below which the draft may import.
    pub(super) fn root(&self) -> &Path {
        &self.root
    }

    /// The name of a file from the root, by its path without links; none where it lies elsewhere.
    pub(super) fn name_of(&self, file: &Path) -> Option<String> {
        let parts: Option<Vec<&str>> = file
            .strip_prefix(&self.root)
            .ok()?
            .iter()
            .map(|part| part.to_str())
            .collect();
        Some(parts?.join("/"))
    }

    /// A file that a draft brings in, by its name from the root.
    pub(super) fn file(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }
}

impl Reader for Folder {
    fn home(&self) -> &str {
        &self.home
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = self.root.join(path);
        let real = full
            .canonicalize()
            .map_err(|error| ReadFault::Unreadable(reason(&error)))?;
        if !real.starts_with(&self.root) {
            return Err(ReadFault::OutsideFolder);
        }
        // A pipe or a device would be waited for, or never end.
        if !real.is_file() {
            let why = if real.is_dir() { FOLDER } else { NO_FILE };
            return Err(ReadFault::Unreadable(why.into()));
        }
        read_text(&real)
    }
}

const FOLDER: &str = "it is a folder";
/// Why what is neither file nor folder is not read or written by name.
pub(super) const NO_FILE: &str = "it is a device or a pipe, not a file";

/// A whole text file, no larger than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub(super) fn read_text(path: &Path) -> Result<String, ReadFault> {
    letters(read_bytes(path)?)
}

/// A whole file, no larger than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub(super) fn read_bytes(path: &Path) -> Result<Vec<u8>, ReadFault> {
    let unreadable = |error: io::Error| ReadFault::Unreadable(reason(&error));
    let file = File::open(path).map_err(unreadable)?;
    if file.metadata().map_err(unreadable)?.is_dir() {
        return Err(ReadFault::Unreadable(FOLDER.into()));
    }
    read_bounded(file)
}

/// Standard input, no longer than a draft may be.
///
/// # Errors
/// As [`ReadFault`] says.
pub(super) fn read_standard_input() -> Result<String, ReadFault> {
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
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "permission is denied".into(),
        io::ErrorKind::StorageFull => "the disk is full".into(),
        io::ErrorKind::FileTooLarge => "it is larger than a file may be here".into(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".into(),
        io::ErrorKind::InvalidFilename => "its name is longer than this disk allows".into(),
        io::ErrorKind::NotADirectory => "a part of its path is a file, not a folder".into(),
        io::ErrorKind::IsADirectory => FOLDER.into(),
        // Written by this program, in its own words.
        _ if error.get_ref().is_some() => error.to_string(),
        // The system's words are cut off before the system's number.
        kind => match kind.to_string() {
            words if words.contains("loop") => ROUND.into(),
            words => format!("the system cannot ({words})"),
        },
    }
}

/// Why a link is not followed to its end.
const ROUND: &str = "its links lead round in a circle";

/// What a file is called while it is being written: these letters, six by chance, and [`SUFFIX`].
const PREFIX: &str = ".oaktag-";
const SUFFIX: &str = ".tmp";

/// Links followed one after another before they are held to lead round in a circle, as most systems do.
const MOST_LINKS: usize = 40;

/// Times that a file beside the target is begun anew where another run has cleared it away.
const MOST_BEGUN: usize = 8;

/// Writes a file whole: beside it first, then in its place. A link is followed to the file it names.
///
/// # Errors
/// Where the folder or the file cannot be written; the old file then still stands.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_whole_with(path, |file| file.write_all(bytes))
}

/// As [`write_whole`], where the file's name comes from a text: a link out of its folder is not followed.
///
/// # Errors
/// As [`write_whole`], and where a link leads out of the folder.
pub(super) fn write_whole_within(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = target_of(path)?;
    if folder_of(&target).canonicalize()? != folder_of(path).canonicalize()? {
        return Err(io::Error::other(
            "it is a link that leads out of its folder",
        ));
    }
    write_whole(&target, bytes)
}

/// As [`write_whole`], with `put` to put the bytes there. Whatever it fails at, the target is untouched and nothing is left.
fn write_whole_with(path: &Path, put: impl FnOnce(&mut File) -> io::Result<()>) -> io::Result<()> {
    let target = target_of(path)?;
    let old = writable(&target)?;
    let mut beside = begun_beside(&target, old.is_some())?;
    put(beside.as_file_mut())?;
    beside.as_file().sync_all()?;
    if let Some(old) = old {
        // If they cannot be set, the file is private: no harm is done.
        let _ = beside.as_file().set_permissions(old.permissions());
    }
    beside.persist(&target).map_err(|error| error.error)?;
    Ok(())
}

/// The file that a path names at the end of all links, there or not.
fn target_of(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_owned();
    for _ in 0..MOST_LINKS {
        match at.symlink_metadata() {
            Ok(found) if found.is_symlink() => at = folder_of(&at).join(at.read_link()?),
            Ok(_) => return Ok(at),
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(at),
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::other(ROUND))
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// What stands at the target, where a file may stand there. A device or a pipe cannot be written whole, and waits for readers.
fn writable(target: &Path) -> io::Result<Option<Metadata>> {
    let old = match target.metadata() {
        Ok(old) => old,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return if folder_of(target).is_dir() {
                Ok(None)
            } else {
                Err(io::Error::other("there is no such folder"))
            };
        }
        Err(error) => return Err(error),
    };
    if old.is_dir() {
        return Err(io::Error::other(FOLDER));
    }
    if !old.is_file() {
        return Err(io::Error::other(NO_FILE));
    }
    Ok(Some(old))
}

/// A file beside the target that this run has locked. Another run that clears away what was left may be quicker than the
/// lock, so it counts only when the locked file still has its name.
fn begun_beside(target: &Path, over_another: bool) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    // A new file gets what the user's mask leaves; over an old one it stays private until it has the old one's permissions.
    #[cfg(unix)]
    if !over_another {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    #[cfg(not(unix))]
    let _ = over_another;
    for _ in 0..MOST_BEGUN {
        let beside = builder.tempfile_in(folder_of(target))?;
        match beside.as_file().try_lock() {
            Err(TryLockError::WouldBlock) => continue,
            // Where the disk knows no locks nobody clears away either.
            Ok(()) | Err(TryLockError::Error(_)) => {}
        }
        if beside.path().symlink_metadata().is_ok() {
            return Ok(beside);
        }
    }
    Err(io::Error::other(
        "the file written beside it is removed each time",
    ))
}

/// Clears away what runs that were killed have left beside a result. A file that a run is writing is locked, and stays.
pub(super) fn clear_left(beside: &Path) {
    // What cannot be seen or taken away stays: it is in nobody's way.
    let Ok(entries) = std::fs::read_dir(folder_of(beside)) else {
        return;
    };
    for entry in entries.flatten() {
        let is_plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        if !is_plain || !entry.file_name().to_str().is_some_and(is_unfinished) {
            continue;
        }
        if let Ok(file) = File::open(entry.path())
            && file.try_lock().is_ok()
        {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Whether a file's name is that of one being written.
fn is_unfinished(name: &str) -> bool {
    let chance = name
        .strip_prefix(PREFIX)
        .and_then(|rest| rest.strip_suffix(SUFFIX));
    chance.is_some_and(|chance| {
        chance.len() == 6 && chance.bytes().all(|byte| byte.is_ascii_alphanumeric())
    })
}

/// Whether two paths name one file.
pub(super) fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Takes so many bytes and no more.
    struct Failing<'f>(&'f mut File, usize);

    impl Write for Failing<'_> {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            let taken = bytes.len().min(self.1).min(97);
            if taken == 0 {
                return Err(io::ErrorKind::StorageFull.into());
            }
            self.1 -= taken;
            self.0.write(&bytes[..taken])
        }

        fn flush(&mut self) -> io::Result<()> {
            self.0.flush()
        }
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = std::fs::read_dir(folder).unwrap();
        let name = |entry: io::Result<std::fs::DirEntry>| entry.unwrap().file_name();
        let mut names: Vec<String> = entries.map(|e| name(e).into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_writer_that_fails_after_any_number_of_bytes_leaves_the_old_file() {
        let folder = tempfile::tempdir().unwrap();
        let (old, new) = (folder.path().join("old.svg"), folder.path().join("new.svg"));
        std::fs::write(&old, "as it was").unwrap();
        let bytes: Vec<u8> = (0..=255).cycle().take(1000).collect();
        for room in 0..bytes.len() {
            for target in [&old, &new] {
                let fault = write_whole_with(target, |file| Failing(file, room).write_all(&bytes));
                assert_eq!(fault.unwrap_err().kind(), io::ErrorKind::StorageFull);
            }
            assert_eq!(std::fs::read(&old).unwrap(), b"as it was", "{room}");
            assert_eq!(names(folder.path()), ["old.svg"], "{room}");
        }
        for target in [&old, &new] {
            write_whole_with(target, |file| Failing(file, 1000).write_all(&bytes)).unwrap();
            assert_eq!(std::fs::read(target).unwrap(), bytes);
        }
        assert_eq!(names(folder.path()), ["new.svg", "old.svg"]);
    }

    #[test]
    fn what_a_killed_run_left_is_cleared_and_what_a_live_one_writes_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in [
            ".oaktag-Ab3dEf.tmp",
            ".oaktag-mine.tmp",
            "oaktag-Ab3dEf.tmp",
            "kept.svg",
        ] {
            std::fs::write(at(name), "half").unwrap();
        }
        std::fs::create_dir(at(".oaktag-folder.tmp")).unwrap();
        let live = begun_beside(&at("live.svg"), false).unwrap();
        clear_left(&at("result.svg"));
        assert!(live.path().exists() && !at(".oaktag-Ab3dEf.tmp").exists());
        drop(live);
        let left = [
            ".oaktag-folder.tmp",
            ".oaktag-mine.tmp",
            "kept.svg",
            "oaktag-Ab3dEf.tmp",
        ];
        assert_eq!(names(folder.path()), left);
    }
}
