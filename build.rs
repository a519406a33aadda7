//! Gathers the library's modules, `stdlib/*.draft`, and the drafts that show its operations, `stdlib/examples/*.draft`, so
//! that either is added by adding its file.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let library =
        PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default()).join("stdlib");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    println!("cargo::rerun-if-changed=stdlib");
    fs::write(out.join("modules.rs"), table(&library)?)?;
    fs::write(out.join("examples.rs"), table(&library.join("examples"))?)
}

/// A slice of names and texts, in the order of the names.
fn table(folder: &Path) -> io::Result<String> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<_>>()?;
    files.retain(|path| path.extension().is_some_and(|ending| ending == "draft"));
    files.sort();
    let mut table = String::from("&[\n");
    for path in &files {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let _ = writeln!(
            table,
            "    ({name:?}, include_str!({:?})),",
            path.display().to_string()
        );
    }
    table.push_str("]\n");
    Ok(table)
}
