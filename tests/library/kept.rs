//! The library's modules are kept as trees: those that reading their texts gives.

use oaktag_language::library::MODULES;
use oaktag_language::syntax::kept;
use std::fs;
use std::path::Path;

/// `assets/library.bin` is what the texts of `stdlib/` give; `UPDATE_EXPECT=1` writes it anew, and the next build takes it.
#[test]
fn the_trees_are_those_of_the_texts() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/library.bin");
    let file = kept::file_of(MODULES).unwrap();
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &file).unwrap();
        return;
    }
    assert!(
        fs::read(&path).unwrap() == file && kept::is_fresh(),
        "assets/library.bin is not what stdlib gives: UPDATE_EXPECT=1 cargo test --test library kept"
    );
}
