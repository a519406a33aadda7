//! Texts of the library: under an address of their own for clients that ask for them, else as files in the user's cache that
//! nobody may write.

use super::address;
use crate::cli::disk;
use oaktag_language::library;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// Where texts of the library are kept as files.
#[derive(Default)]
pub(super) struct Library(OnceLock<Option<PathBuf>>);

impl Library {
    /// The address of a module; none where it cannot be had.
    pub(super) fn address(&self, module: &str, by_address: bool) -> Option<String> {
        library::module(module)?;
        if by_address {
            return Some(address::of_module(module));
        }
        let folder = self.0.get_or_init(kept).as_ref()?;
        Some(address::of_path(&folder.join(format!("{module}.draft"))))
    }

    /// Whether a file is one of those, of this program or of one before it.
    pub(super) fn holds(path: &Path) -> bool {
        let rest = path.strip_prefix(cache().canonicalize().unwrap_or_else(|_| cache()));
        rest.is_ok_and(|rest| rest.to_string_lossy().starts_with(FOLDER))
    }
}

/// What the folder of the library's files is called, before its mark.
const FOLDER: &str = "library-";

/// The text of a module by its address.
pub(super) fn text(address: &str) -> Option<&'static str> {
    let module = address::module_of(address)?;
    Some(library::module(module)?.text)
}

/// The folder in which this program may keep what it can make again.
pub(super) fn cache() -> PathBuf {
    let named = |name: &str| {
        let path = PathBuf::from(std::env::var_os(name)?);
        path.is_absolute().then_some(path)
    };
    let of_system = if cfg!(windows) {
        named("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        named("HOME").map(|home| home.join("Library/Caches"))
    } else {
        named("XDG_CACHE_HOME").or_else(|| named("HOME").map(|home| home.join(".cache")))
    };
    of_system.unwrap_or_else(std::env::temp_dir).join("oaktag")
}

/// The folder of the library's files: another for another library.
fn folder() -> Option<PathBuf> {
    let mut mark = DefaultHasher::new();
    for module in library::MODULES {
        (module.name, module.text).hash(&mut mark);
    }
    let folder = cache().join(format!("{FOLDER}{:016x}", mark.finish()));
    std::fs::create_dir_all(&folder).ok()?;
    folder.canonicalize().ok()
}

/// The same with all its files written.
fn kept() -> Option<PathBuf> {
    let folder = folder()?;
    for module in library::MODULES {
        let file = folder.join(format!("{}.draft", module.name));
        if disk::read_text(&file).is_ok_and(|text| text == module.text) {
            continue;
        }
        disk::write_whole(&file, module.text.as_bytes()).ok()?;
        let mut may = file.metadata().ok()?.permissions();
        may.set_readonly(true);
        // That it may be written does no harm: it is read again before it is used.
        let _ = std::fs::set_permissions(&file, may);
    }
    Some(folder)
}
