//! Gathers the library's modules, `stdlib/*.draft`, each cut at its operations, and the drafts that show its operations,
//! `stdlib/examples/*.draft`, so that either is added by adding its file; and marks them, so that the trees that are kept of
//! them are taken for no others.

#[path = "src/syntax/plain_words.rs"]
mod plain_words;

use plain_words::plain_words;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let library =
        PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default()).join("../../stdlib");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    println!("cargo::rerun-if-changed=../../stdlib");
    println!("cargo::rerun-if-changed=src/syntax/plain_words.rs");
    let mut mark = Mark::new();
    for path in drafts(&library)? {
        mark.take(&path)?;
    }
    for shape in SHAPES {
        println!("cargo::rerun-if-changed={shape}");
        mark.take(Path::new(shape))?;
    }
    println!("cargo::rustc-env=LIBRARY_MARK={:016x}", mark.0);
    fs::write(out.join("modules.rs"), modules(&library)?)?;
    fs::write(
        out.join("examples.rs"),
        examples(&library.join("examples"))?,
    )
}

/// Where the shape of a kept tree is declared.
const SHAPES: [&str; 8] = [
    "src/report/source.rs",
    "src/sewing/mod.rs",
    "src/sewing/piece.rs",
    "src/sewing/seam.rs",
    "src/sewing/side.rs",
    "src/syntax/tree/expression.rs",
    "src/syntax/tree/mod.rs",
    "src/syntax/tree/sewing.rs",
];

/// A mark of files: FNV-1a in 64 bits, from memory of its published definition. It tells an old state from a new one.
struct Mark(u64);

impl Mark {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn take(&mut self, path: &Path) -> io::Result<()> {
        for byte in fs::read(path)? {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Ok(())
    }
}

/// The drafts of a folder, in the order of their names.
fn drafts(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<_>>()?;
    files.retain(|path| path.extension().is_some_and(|ending| ending == "draft"));
    files.sort();
    Ok(files)
}

fn stem(path: &Path) -> String {
    path.file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

/// A slice of modules.
fn modules(folder: &Path) -> io::Result<String> {
    let files = drafts(folder)?;
    let texts: Vec<String> = files
        .iter()
        .map(fs::read_to_string)
        .collect::<io::Result<_>>()?;
    let heads: BTreeSet<&str> = texts
        .iter()
        .flat_map(|text| operations(text))
        .map(|(head, _)| head)
        .collect();
    let mut table = String::from("&[\n");
    for (number, (path, text)) in files.iter().zip(&texts).enumerate() {
        let uses: Vec<&str> = uses(text).collect();
        let _ = writeln!(
            table,
            "    Module {{ number: {number}, name: {:?}, text: include_str!({:?}), uses: &{uses:?}, operations: &[",
            stem(path),
            path.display().to_string(),
        );
        for (head, range) in operations(text) {
            let body = text.get(range.clone()).unwrap_or("");
            let names: BTreeSet<&str> = said(body)
                .into_iter()
                .flat_map(plain_words)
                .filter(|word| *word != head && heads.contains(word))
                .collect();
            let names: Vec<&str> = names.into_iter().collect();
            let _ = writeln!(
                table,
                "        Operation {{ head: {head:?}, start: {}, end: {}, names: &{names:?} }},",
                range.start, range.end
            );
        }
        table.push_str("    ] },\n");
    }
    table.push_str("]\n");
    Ok(table)
}

/// What a text says without remarks and, of words in quotation marks, without all but what is worked out: `"by {depth}"`.
fn said(text: &str) -> Vec<&str> {
    let (mut parts, mut from, mut inside) = (Vec::new(), 0, Inside::Sentence);
    for (at, letter) in text.char_indices() {
        let next = match (inside, letter) {
            (Inside::Sentence, '#') => Inside::Remark,
            (Inside::Sentence, '"') => Inside::Words,
            (Inside::Remark, '\n') | (Inside::Words, '"') => Inside::Sentence,
            (Inside::Words, '{') => Inside::Hole,
            (Inside::Hole, '}') => Inside::Words,
            _ => continue,
        };
        if matches!(inside, Inside::Sentence | Inside::Hole) {
            parts.extend(text.get(from..at));
        }
        (from, inside) = (at, next);
    }
    if matches!(inside, Inside::Sentence) {
        parts.extend(text.get(from..));
    }
    parts
}

#[derive(Clone, Copy)]
enum Inside {
    Sentence,
    Remark,
    Words,
    Hole,
}

/// The operations that stand at the left margin of a module: head and byte range of each.
fn operations(text: &str) -> Vec<(&str, Range<usize>)> {
    const BEGIN: &str = "\noperation ";
    let mut starts: Vec<usize> = text.match_indices(BEGIN).map(|(at, _)| at + 1).collect();
    starts.push(text.len());
    let mut operations = Vec::new();
    for pair in starts.windows(2) {
        if let [start, end] = *pair {
            let rest = text.get(start + BEGIN.len() - 1..end);
            let head = rest.and_then(|rest| plain_words(rest).next());
            operations.push((head.unwrap_or(""), start..end));
        }
    }
    operations
}

/// The modules a module uses.
fn uses(text: &str) -> impl Iterator<Item = &str> {
    text.lines()
        .filter_map(|line| line.strip_prefix("use ").map(str::trim))
}

/// A slice of names and texts.
fn examples(folder: &Path) -> io::Result<String> {
    let mut table = String::from("&[\n");
    for path in drafts(folder)? {
        let _ = writeln!(
            table,
            "    ({:?}, include_str!({:?})),",
            stem(&path),
            path.display().to_string()
        );
    }
    table.push_str("]\n");
    Ok(table)
}
