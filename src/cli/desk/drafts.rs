//! The drafts and tables of a folder: listed, read, and written whole, and nothing beside them.

use crate::cli::disk;
use crate::cli::load;
use oaktag_language::syntax::project::{LARGEST_TEXT, NoFiles, ReadFault, Reader};
use serde::Serialize;
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

/// So many files are listed at most.
const MOST_LISTED: usize = 2_000;
/// Folders within folders, at most.
const DEEPEST: usize = 8;

/// A folder with drafts.
pub(in crate::cli) struct Drafts {
    /// Without links.
    folder: PathBuf,
    /// One file is written at a time.
    writing: Mutex<()>,
}

/// Files by their paths, with when each was written last, and how long it is.
pub(super) type Seen = BTreeMap<String, (Option<SystemTime>, u64)>;

/// A file of the folder.
#[derive(Debug, Serialize)]
pub(in crate::cli) struct Listed {
    /// From the folder, with `/`.
    pub path: String,
}

/// A text with its mark.
#[derive(Debug, Serialize)]
pub(super) struct Text {
    pub text: String,
    /// Tells this text from another.
    pub mark: String,
}

/// What came of writing a file.
pub(super) enum Written {
    /// It is written, and has this mark.
    Whole(String),
    /// It was changed elsewhere, and is left as it is.
    Changed(Text),
}

/// Why a file is not read or written.
pub(super) enum Refused {
    /// It is none of the desk's: a path that leads elsewhere, or another kind of file.
    NotHere(String),
    /// There is no such file.
    Missing,
    /// In words.
    Failed(String),
}

/// Whether a file of that name is a draft.
pub(in crate::cli) fn is_draft(name: &str) -> bool {
    name.ends_with(".draft")
}

fn is_shown(name: &str) -> bool {
    !name.starts_with('.') && (is_draft(name) || name.ends_with(".csv"))
}

impl Drafts {
    /// Of a folder, by its path without links.
    pub(in crate::cli) fn new(folder: PathBuf) -> Self {
        Self {
            folder,
            writing: Mutex::new(()),
        }
    }

    /// The folder.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// What the folder is called.
    pub(super) fn name(&self) -> String {
        let name = self.folder.file_name();
        name.map_or_else(String::new, |name| name.to_string_lossy().into_owned())
    }

    /// Drafts and tables, in the order of their paths.
    pub(in crate::cli) fn list(&self) -> Vec<Listed> {
        let found = self.seen().into_keys();
        found.map(|path| Listed { path }).collect()
    }

    /// The same with when each was written last, and how long it is.
    pub(super) fn seen(&self) -> Seen {
        let mut found = BTreeMap::new();
        let mut open = vec![(self.folder.clone(), String::new(), 0)];
        while let Some((folder, before, depth)) = open.pop() {
            let Ok(entries) = std::fs::read_dir(&folder) else {
                continue;
            };
            for entry in entries.flatten() {
                let (Ok(name), Ok(kind)) = (entry.file_name().into_string(), entry.file_type())
                else {
                    continue;
                };
                let path = format!("{before}{name}");
                if kind.is_dir() && depth < DEEPEST && !name.starts_with('.') {
                    open.push((entry.path(), format!("{path}/"), depth + 1));
                } else if !kind.is_dir() && is_shown(&name) && self.find(&path).is_ok() {
                    let about = entry.path().metadata().ok();
                    let time = about.as_ref().and_then(|about| about.modified().ok());
                    found.insert(path, (time, about.map_or(0, |about| about.len())));
                }
                if found.len() >= MOST_LISTED {
                    return found;
                }
            }
        }
        found
    }

    /// A file of the folder by its path from there, which need not be there yet. No link leads it out.
    fn find(&self, path: &str) -> Result<PathBuf, Refused> {
        let refused = |why: &str| Refused::NotHere(format!("{path}: {why}"));
        let is_plain = |part: &str| {
            !part.is_empty() && !part.starts_with('.') && !part.contains(['\\', ':', '\0'])
        };
        let name = path.rsplit('/').next().unwrap_or_default();
        if !path.split('/').all(is_plain) || !is_shown(name) {
            return Err(refused(
                "the desk keeps drafts and tables of its folder, names that end in .draft or .csv",
            ));
        }
        let full = self.folder.join(path);
        let parent = full.parent().map(Path::canonicalize);
        let Some(Ok(parent)) = parent else {
            return Err(Refused::Missing);
        };
        if !parent.starts_with(&self.folder) {
            return Err(refused("it lies outside of the desk's folder"));
        }
        let full = parent.join(name);
        match full.symlink_metadata() {
            Err(_) => Ok(full),
            Ok(about) if about.is_symlink() => match full.canonicalize() {
                Ok(real) if real.starts_with(&self.folder) && real.is_file() => Ok(real),
                _ => Err(refused("it is a link that leads out of the desk's folder")),
            },
            Ok(about) if about.is_file() => Ok(full),
            Ok(_) => Err(refused("it is no file")),
        }
    }

    /// The text of a file.
    ///
    /// # Errors
    /// As [`Refused`] says.
    pub(super) fn read(&self, path: &str) -> Result<Text, Refused> {
        let full = self.find(path)?;
        if !full.exists() {
            return Err(Refused::Missing);
        }
        let text = disk::read_text(&full);
        let text =
            text.map_err(|fault| Refused::Failed(format!("{path} {}", load::why(&fault))))?;
        let mark = mark_of(&text);
        Ok(Text { text, mark })
    }

    /// Writes a file whole, where it is still what `was` marks; without a mark, where it is not there yet.
    ///
    /// # Errors
    /// As [`Refused`] says; the old file then stands.
    pub(super) fn write(
        &self,
        path: &str,
        text: &str,
        was: Option<&str>,
    ) -> Result<Written, Refused> {
        if text.len() > LARGEST_TEXT {
            let fault = ReadFault::TooLarge(text.len() as u64);
            return Err(Refused::Failed(format!("{path} {}", load::why(&fault))));
        }
        let _one = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let full = self.find(path)?;
        match self.read(path) {
            Ok(now) if was != Some(&now.mark) => return Ok(Written::Changed(now)),
            // It was taken away elsewhere: what was written is not lost, and comes back.
            Ok(_) | Err(Refused::Missing) => {}
            Err(refused) => return Err(refused),
        }
        disk::write_whole(&full, text.as_bytes()).map_err(|error| {
            Refused::Failed(format!(
                "{path} cannot be written: {}",
                disk::reason(&error)
            ))
        })?;
        Ok(Written::Whole(mark_of(text)))
    }

    /// Reads what a draft of the folder imports: below its root, as on the command line.
    pub(super) fn reader(&self, path: &str) -> Box<dyn Reader + Send + Sync> {
        let folder = self.find(path).ok();
        let folder = folder.and_then(|full| disk::Folder::of(&full, None).ok());
        match folder {
            Some(folder) => Box::new(folder),
            None => Box::new(NoFiles),
        }
    }

    /// The text of a file as it was committed last, and when.
    ///
    /// # Errors
    /// As [`Refused`] says: there is no repository, or it does not have the file.
    pub(super) fn committed(&self, path: &str) -> Result<(String, String), Refused> {
        use crate::cli::git::{Repository, Tree};
        let full = self.find(path)?;
        let repository = Repository::of(&full).map_err(Refused::Failed)?;
        let inside = repository.path(&full).map_err(Refused::Failed)?;
        let head = repository.commit("HEAD").map_err(Refused::Failed)?;
        let text = repository.read(&Tree::Commit(head), &inside);
        let text =
            text.map_err(|fault| Refused::Failed(format!("{path}: {}", load::why(&fault))))?;
        let revisions = repository.log(&[inside]).map_err(Refused::Failed)?;
        let of = revisions.last();
        let of = of.map_or_else(String::new, |one| {
            format!("{}, {}: {}", one.short, one.day, one.subject)
        });
        Ok((text, of))
    }
}

/// What tells a text from another.
fn mark_of(text: &str) -> String {
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    format!("{:x}-{:016x}", text.len(), hasher.finish())
}
