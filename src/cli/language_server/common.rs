//! What the main thread and the hands of all documents share.

use super::client::Client;
use super::library::Library;
use super::wire::{Answer, Voice, Wrong};
use crate::cli::disk::Folder;
use oaktag_language::syntax::project::{NoFiles, ReadFault, Reader};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::SystemTime;

/// Shared by all.
pub(super) struct Common {
    pub voice: Voice,
    pub library: Library,
    /// Told once, when the client begins.
    pub client: OnceLock<Client>,
    /// Requests that are not answered yet, by the JSON of their ids.
    pending: Mutex<BTreeMap<String, Asked>>,
    /// Texts of open files, by their paths without links, with the address that the client gave.
    open: Mutex<BTreeMap<PathBuf, (String, Arc<str>)>>,
}

/// A request that waits for its answer.
struct Asked {
    id: Value,
    /// Set once the text that it is about is an old one.
    about: Option<Arc<AtomicBool>>,
}

/// A lock, whole even where a thread broke down: what it guards is put in place at once.
pub(super) fn locked<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Common {
    pub(super) fn new(voice: Voice) -> Self {
        Self {
            voice,
            library: Library::default(),
            client: OnceLock::new(),
            pending: Mutex::default(),
            open: Mutex::default(),
        }
    }

    /// What the client can do.
    pub(super) fn client(&self) -> Client {
        self.client.get().copied().unwrap_or_default()
    }

    /// Keeps a request until it is answered; `about` is set once its text is an old one.
    pub(super) fn ask(&self, id: &Value, about: Option<Arc<AtomicBool>>) {
        let asked = Asked {
            id: id.clone(),
            about,
        };
        locked(&self.pending).insert(id.to_string(), asked);
    }

    /// Whether a request still waits.
    pub(super) fn waits(&self, id: &Value) -> bool {
        locked(&self.pending).contains_key(&id.to_string())
    }

    /// Answers a request, once.
    pub(super) fn answer(&self, id: &Value, answer: Answer) {
        let mut pending = locked(&self.pending);
        if pending.remove(&id.to_string()).is_some() {
            // Under the lock, so that nothing is answered after it was found to be about an old text.
            self.voice.answer(id, answer);
        }
    }

    /// Answers that a text has changed, to whoever still waits for an answer about it.
    pub(super) fn retire(&self, old: &Arc<AtomicBool>) {
        self.voice.retire(old);
        let mut pending = locked(&self.pending);
        let is_about = |asked: &Asked| asked.about.as_ref().is_some_and(|of| Arc::ptr_eq(of, old));
        pending.retain(|_, asked| {
            if is_about(asked) {
                let words = "the text has changed since";
                self.voice
                    .answer(&asked.id, Err(Wrong::new(Wrong::CHANGED, words)));
                return false;
            }
            true
        });
    }

    /// Notes the text of an open file.
    pub(super) fn open(&self, path: &Path, address: &str, text: &Arc<str>) {
        let kept = (address.to_owned(), Arc::clone(text));
        locked(&self.open).insert(real(path), kept);
    }

    /// An open file is closed.
    pub(super) fn close(&self, path: &Path) {
        locked(&self.open).remove(&real(path));
    }

    /// The text of a file as it is open, or nothing.
    pub(super) fn text_of(&self, path: &Path) -> Option<Arc<str>> {
        let open = locked(&self.open);
        open.get(path).map(|(_, text)| Arc::clone(text))
    }

    /// The address of a file: the client's own, where it has it open.
    pub(super) fn address_of(&self, path: &Path) -> String {
        let open = locked(&self.open);
        let own = open.get(path).map(|(address, _)| address.clone());
        own.unwrap_or_else(|| super::address::of_path(path))
    }
}

/// A path without links, as far as it is there.
pub(super) fn real(path: &Path) -> PathBuf {
    if let Ok(real) = path.canonicalize() {
        return real;
    }
    match (path.parent(), path.file_name()) {
        (Some(parent), Some(name)) => match parent.canonicalize() {
            Ok(parent) => parent.join(name),
            Err(_) => path.to_owned(),
        },
        _ => path.to_owned(),
    }
}

/// When a file was written last, and how long it is; nothing where it is not there.
pub(super) type Stamp = Option<(Option<SystemTime>, u64)>;

/// The stamp of a file.
pub(super) fn stamp(path: &Path) -> Stamp {
    let about = path.metadata().ok()?;
    Some((about.modified().ok(), about.len()))
}

/// Files that a draft has asked for, there or not, as they were then.
pub(super) type Seen = Arc<Mutex<BTreeMap<PathBuf, Stamp>>>;

/// Reads what a draft imports: open files as they stand in the editor, all others from the disk.
pub(super) struct OverOpen {
    common: Arc<Common>,
    folder: Folder,
    seen: Seen,
    /// Texts in place of any other, to try what they come to.
    tried: BTreeMap<PathBuf, String>,
}

impl OverOpen {
    /// For a draft; `seen` is told of what it asks for.
    pub(super) fn of(
        common: &Arc<Common>,
        draft: Option<&Path>,
        seen: &Seen,
        tried: BTreeMap<PathBuf, String>,
    ) -> Box<dyn Reader + Send + Sync> {
        let folder = draft.and_then(|draft| Folder::of(draft, None).ok());
        match folder {
            Some(folder) => Box::new(Self {
                common: Arc::clone(common),
                folder,
                seen: Arc::clone(seen),
                tried,
            }),
            None => Box::new(NoFiles),
        }
    }
}

impl Reader for OverOpen {
    fn home(&self) -> &str {
        self.folder.home()
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let real = real(&self.folder.file(path));
        locked(&self.seen).insert(real.clone(), stamp(&real));
        let tried = self.tried.get(&real).cloned();
        let open = tried.or_else(|| Some(self.common.text_of(&real)?.to_string()));
        match open {
            Some(text) if real.starts_with(self.folder.root()) => Ok(text),
            Some(_) => Err(ReadFault::OutsideFolder),
            None => self.folder.read(path),
        }
    }
}
