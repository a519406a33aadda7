//! What DEVELOPERS.md says of the code: that its paths exist, that layers use only those below, and which packages there
//! are.

use crate::blocks::{file, read, root};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Folders of the project: a word that begins with one of these is a path.
const FOLDERS: &[&str] = &[
    "src/",
    "tests/",
    "docs/",
    "examples/",
    "grammar/",
    "stdlib/",
    "benches/",
    ".ci/",
];

/// Every path that the page names; a word with capitals or `…` in it is a pattern for names to come.
fn paths(text: &str) -> BTreeSet<String> {
    text.split(|c: char| c.is_whitespace() || matches!(c, '`' | '(' | ')' | ',' | ';' | ':'))
        .map(|word| word.trim_end_matches(['.', '*']))
        .filter(|word| FOLDERS.iter().any(|folder| word.starts_with(folder)))
        .filter(|word| {
            !word
                .chars()
                .any(|c| c.is_ascii_uppercase() || c == '…' || c == '*')
        })
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_path_that_the_page_names_exists() {
    let paths = paths(&read("DEVELOPERS.md"));
    assert!(paths.len() > 20, "only {paths:?}");
    let missing: Vec<&String> = paths.iter().filter(|path| !file(path).exists()).collect();
    assert!(
        missing.is_empty(),
        "DEVELOPERS.md names what is not there: {missing:?}"
    );
}

/// The layers as the page draws them: the first word of each line under the heading, highest first.
fn layers() -> Vec<String> {
    let page = read("DEVELOPERS.md");
    let drawing = page.split("```layers\n").nth(1).unwrap();
    let drawing = drawing.split("```").next().unwrap();
    let mut layers: Vec<String> = drawing
        .lines()
        .filter_map(|line| {
            let path = line.split_whitespace().next()?;
            Some(path.strip_prefix("src/")?.trim_end_matches('/').to_owned())
        })
        .collect();
    layers.reverse();
    layers
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// The modules of this crate that a source names behind `crate::`, comments aside.
fn named_modules(text: &str) -> BTreeSet<String> {
    let code: String = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| format!("{line}\n"))
        .collect();
    let word = |text: &str| -> String {
        text.chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    let mut found = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        match rest.strip_prefix('{') {
            None => {
                found.insert(word(rest));
            }
            Some(group) => {
                let mut depth = 0;
                let mut at_name = true;
                for (at, c) in group.char_indices() {
                    match c {
                        '{' => depth += 1,
                        '}' if depth == 0 => break,
                        '}' => depth -= 1,
                        ',' if depth == 0 => at_name = true,
                        _ if c.is_whitespace() => {}
                        _ if at_name && depth == 0 => {
                            found.insert(word(&group[at..]));
                            at_name = false;
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    found
}

#[test]
fn every_folder_of_the_source_is_a_layer() {
    let layers: BTreeSet<String> = layers().into_iter().collect();
    let folders: BTreeSet<String> = fs::read_dir(file("src"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(layers, folders);
}

#[test]
fn a_layer_uses_only_those_below_it() {
    let layers = layers();
    let rank = |name: &str| layers.iter().position(|layer| layer == name);
    let mut wrong = Vec::new();
    for (at, layer) in layers.iter().enumerate() {
        let mut files = Vec::new();
        sources(&root().join("src").join(layer), &mut files);
        assert!(!files.is_empty(), "src/{layer} holds no source");
        for path in files {
            let text = fs::read_to_string(&path).unwrap();
            for name in named_modules(&text) {
                if rank(&name).is_some_and(|other| other > at) {
                    wrong.push(format!("{} uses {name}", path.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_reading_of_modules_sees_groups_and_skips_comments() {
    let text = "//! [`crate::cli`]\nuse crate::{geometry::{path, swing}, kind};\nfn f() { crate::report::x() }";
    let found: Vec<String> = named_modules(text).into_iter().collect();
    assert_eq!(found, ["geometry", "kind", "report"]);
}

/// The keys of a table of Cargo.toml.
fn packages(table: &str) -> BTreeSet<String> {
    let manifest = read("Cargo.toml");
    let section = manifest.split(&format!("[{table}]\n")).nth(1).unwrap_or("");
    section
        .lines()
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| Some(line.split_once(" = ")?.0.trim().to_owned()))
        .collect()
}

/// The packages of a list on the page: lines that begin with "- `NAME`: ".
fn listed(heading: &str) -> BTreeSet<String> {
    let page = read("DEVELOPERS.md");
    let section = page
        .split(&format!("\n{heading}\n"))
        .nth(1)
        .unwrap_or_else(|| panic!("no {heading}"));
    section
        .lines()
        .take_while(|line| !line.starts_with('#'))
        .filter_map(|line| Some(line.strip_prefix("- `")?.split_once("`: ")?.0.to_owned()))
        .collect()
}

#[test]
fn every_package_has_its_reason() {
    assert!(packages("dependencies").contains("kurbo"));
    assert_eq!(listed("### In the program"), packages("dependencies"));
    assert_eq!(listed("### In the tests"), packages("dev-dependencies"));
}
