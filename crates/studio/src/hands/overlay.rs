//! Reads imports, one of them with another text in its place: so a figure of an import is tried.

use oaktag_language::syntax::project::{ReadFault, Reader};
use std::sync::{Arc, Mutex, PoisonError};

/// A reader with one text of its own.
pub(super) struct Overlay {
    below: Arc<dyn Reader + Send + Sync>,
    put: Mutex<Option<(String, String)>>,
}

impl Overlay {
    /// On another reader, with nothing of its own yet.
    pub(super) fn on(below: Arc<dyn Reader + Send + Sync>) -> Self {
        Self {
            below,
            put: Mutex::default(),
        }
    }

    /// Reads a text in place of a file's, or every file as it is.
    pub(super) fn put(&self, text: Option<(String, String)>) {
        *self.put.lock().unwrap_or_else(PoisonError::into_inner) = text;
    }
}

impl Reader for Overlay {
    fn home(&self) -> &str {
        self.below.home()
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let put = self.put.lock().unwrap_or_else(PoisonError::into_inner);
        match &*put {
            Some((name, text)) if name == path => Ok(text.clone()),
            _ => self.below.read(path),
        }
    }
}
