//! Addresses of files as clients write them (RFC 3986, RFC 8089), and of the library.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};
use std::path::{Path, PathBuf};

/// The scheme of the library's texts, for clients that ask for them.
pub(super) const LIBRARY: &str = "oaktag-library";

/// What is not escaped in a path.
const PATH: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'/')
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~');

/// The path of a file's address; none of any other address, or of another machine.
pub(super) fn path_of(address: &str) -> Option<PathBuf> {
    let rest = address.strip_prefix("file:")?;
    let path = match rest.strip_prefix("//") {
        Some(rest) => {
            let (host, _) = rest.split_once('/')?;
            if !host.is_empty() && host != "localhost" {
                return None;
            }
            rest.get(host.len()..)?
        }
        None => rest,
    };
    let path = path.split(['?', '#']).next()?;
    let bytes: Vec<u8> = percent_decode_str(path).collect();
    of_bytes(bytes)
}

#[cfg(unix)]
fn of_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    use std::os::unix::ffi::OsStringExt;
    Some(std::ffi::OsString::from_vec(bytes).into())
}

#[cfg(not(unix))]
fn of_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    let text = String::from_utf8(bytes).ok()?;
    // `/c:/drafts` names a drive.
    let drive = text.get(2..3) == Some(":");
    Some(if drive {
        text.get(1..)?.into()
    } else {
        text.into()
    })
}

/// The address of a file.
pub(super) fn of_path(path: &Path) -> String {
    let text = path.to_string_lossy().replace('\\', "/");
    let slash = if text.starts_with('/') { "" } else { "/" };
    format!("file://{slash}{}", utf8_percent_encode(&text, PATH))
}

/// Text within an address, in which nothing of it means anything.
pub(super) fn escaped(text: &str) -> String {
    utf8_percent_encode(text, NON_ALPHANUMERIC).to_string()
}

/// The address of a module of the library.
pub(super) fn of_module(name: &str) -> String {
    format!("{LIBRARY}:/{name}.draft")
}

/// The module of the library that an address names.
pub(super) fn module_of(address: &str) -> Option<&str> {
    let rest = address.strip_prefix(LIBRARY)?.strip_prefix(':')?;
    rest.trim_start_matches('/').strip_suffix(".draft")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn a_path_and_its_address_lead_to_each_other() {
        for path in ["/a/b.draft", "/a b/ü#?%.draft", "/x/[1]{2}.draft"] {
            let address = of_path(Path::new(path));
            assert_eq!(
                path_of(&address).as_deref(),
                Some(Path::new(path)),
                "{address}"
            );
        }
        let written = [
            ("file:///a/b", Some("/a/b")),
            ("file:/a/b", Some("/a/b")),
            ("file://localhost/a/b", Some("/a/b")),
            ("file:///a%20b", Some("/a b")),
            ("file://elsewhere/a/b", None),
            ("untitled:one", None),
            ("file:", Some("")),
            ("file://", None),
        ];
        for (address, path) in written {
            assert_eq!(
                path_of(address).as_deref(),
                path.map(Path::new),
                "{address}"
            );
        }
        assert_eq!(module_of(&of_module("shirt")), Some("shirt"));
        assert_eq!(module_of("file:///shirt.draft"), None);
    }
}
