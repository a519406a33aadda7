//! What DEVELOPERS.md says of the code: that its paths exist, that layers use only those below, and which packages there
//! are.

use crate::docs::blocks::{file, read};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Folders of the project: a word that begins with one of these is a path.
const FOLDERS: &[&str] = &[
    "src/",
    "crates/",
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

/// A layer as the page draws it: its folder, the crate it lies in, and its module there, where the crate has several.
struct Layer {
    folder: String,
    /// The folder's name under `crates/`; none for the program.
    of_crate: Option<String>,
    /// None where the crate is one layer.
    module: Option<String>,
}

/// The layers as the page draws them: the first word of each line under the heading, lowest first.
fn layers() -> Vec<Layer> {
    let page = read("DEVELOPERS.md");
    let drawing = page.split("```layers\n").nth(1).unwrap();
    let drawing = drawing.split("```").next().unwrap();
    let folders = drawing
        .lines()
        .filter_map(|line| line.split_whitespace().next());
    let mut layers: Vec<Layer> = folders
        .map(|folder| {
            let (of_crate, rest) = match folder.strip_prefix("crates/") {
                Some(path) => path
                    .split_once("/src/")
                    .map(|(of, rest)| (Some(of.to_owned()), rest))
                    .unwrap(),
                None => (None, folder.strip_prefix("src/").unwrap()),
            };
            let module = rest.trim_end_matches('/');
            Layer {
                folder: folder.to_owned(),
                of_crate,
                module: (!module.is_empty()).then(|| module.to_owned()),
            }
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

/// The names behind a path's first word, `crate::docs::` or the like, in a source, comments aside.
fn named_behind(text: &str, first: &str) -> BTreeSet<String> {
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
    for rest in code.split(first).skip(1) {
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

/// Numbers of the layers that a source of a crate names.
fn used(text: &str, of_crate: Option<&str>, layers: &[Layer]) -> BTreeSet<usize> {
    let crates: BTreeSet<&str> = layers
        .iter()
        .filter_map(|l| l.of_crate.as_deref())
        .collect();
    let mut used = BTreeSet::new();
    for named in crates.iter().copied().map(Some).chain([None]) {
        let own = named == of_crate;
        let first = match named {
            _ if own => "crate::docs::".to_owned(),
            Some(name) => format!("oaktag_{name}::"),
            None => "oaktag::".to_owned(),
        };
        let names = named_behind(text, &first);
        for (at, layer) in layers.iter().enumerate() {
            let is_named = match &layer.module {
                Some(module) => names.contains(module),
                None => !own && !names.is_empty(),
            };
            if layer.of_crate.as_deref() == named && is_named {
                used.insert(at);
            }
        }
    }
    used
}

fn folders_of(path: &str) -> BTreeSet<String> {
    fs::read_dir(file(path))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect()
}

#[test]
fn every_folder_of_the_source_is_a_layer() {
    let layers = layers();
    let of = |named: Option<&str>| -> BTreeSet<String> {
        let own = layers.iter().filter(|l| l.of_crate.as_deref() == named);
        own.filter_map(|l| l.module.clone()).collect()
    };
    assert_eq!(of(None), folders_of("src"));
    let crates: BTreeSet<String> = layers.iter().filter_map(|l| l.of_crate.clone()).collect();
    assert_eq!(crates, folders_of("crates"));
    for named in crates {
        let modules = of(Some(&named));
        if !modules.is_empty() {
            assert_eq!(modules, folders_of(&format!("crates/{named}/src")));
        }
    }
}

#[test]
fn a_layer_uses_only_those_below_it() {
    let layers = layers();
    let mut wrong = Vec::new();
    for (at, layer) in layers.iter().enumerate() {
        let mut files = Vec::new();
        sources(&file(&layer.folder), &mut files);
        assert!(!files.is_empty(), "{} holds no source", layer.folder);
        for path in files {
            let text = fs::read_to_string(&path).unwrap();
            for other in used(&text, layer.of_crate.as_deref(), &layers) {
                if other > at {
                    wrong.push(format!("{} uses {}", path.display(), layers[other].folder));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_crate_is_built_from_those_below_it_and_from_nothing_of_a_machine() {
    let layers = layers();
    let lowest = |named: &str| {
        layers
            .iter()
            .position(|l| l.of_crate.as_deref() == Some(named))
    };
    let crates: BTreeSet<&str> = layers
        .iter()
        .filter_map(|l| l.of_crate.as_deref())
        .collect();
    for name in &crates {
        let of = packages_of(&format!("crates/{name}/Cargo.toml"), "dependencies");
        for package in &of {
            if let Some(other) = package.strip_prefix("oaktag-") {
                assert!(lowest(other) < lowest(name), "{name} is built from {other}");
            }
        }
        for package in ["clap", "mimalloc", "tempfile"] {
            assert!(!of.contains(package), "{name} is built from {package}");
        }
    }
}

#[test]
fn the_reading_of_modules_sees_groups_and_skips_comments() {
    let text = "//! [`crate::docs::cli`]\nuse crate::docs::{geometry::{path, swing}, kind};\nfn f() { crate::docs::report::x() }";
    let found: Vec<String> = named_behind(text, "crate::docs::").into_iter().collect();
    assert_eq!(found, ["geometry", "kind", "report"]);
    let text = "use oaktag_studio::sizes::set;\nuse oaktag_geometry::path::Path;";
    let layers = layers();
    let used = used(text, Some("language"), &layers);
    let folders: Vec<&str> = used.iter().map(|at| layers[*at].folder.as_str()).collect();
    assert_eq!(
        folders,
        ["crates/geometry/src/", "crates/studio/src/sizes/"]
    );
}

/// The keys of a table of a manifest.
fn packages_of(manifest: &str, table: &str) -> BTreeSet<String> {
    let manifest = read(manifest);
    let section = manifest.split(&format!("[{table}]\n")).nth(1).unwrap_or("");
    section
        .lines()
        .take_while(|line| !line.starts_with('['))
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| Some(line.split_once(['.', ' '])?.0.trim().to_owned()))
        .collect()
}

/// The packages of every crate, its own ones aside.
fn packages(table: &str) -> BTreeSet<String> {
    let crates = folders_of("crates");
    let manifests = crates
        .iter()
        .map(|name| format!("crates/{name}/Cargo.toml"));
    manifests
        .chain(["Cargo.toml".to_owned()])
        .flat_map(|manifest| packages_of(&manifest, table))
        .filter(|package| !package.starts_with("oaktag-"))
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
    // What the program is built from needs no other reason where a test uses it, too.
    let mut in_tests = packages("dev-dependencies");
    in_tests.retain(|package| !packages("dependencies").contains(package));
    assert_eq!(listed("### In the tests"), in_tests);
    let mut in_peers = packages_of("benches/peers/Cargo.toml", "dev-dependencies");
    in_peers.retain(|package| !package.starts_with("oaktag-"));
    in_peers.retain(|package| !packages("dependencies").contains(package));
    in_peers.retain(|package| !in_tests.contains(package));
    assert_eq!(listed("### In the peers"), in_peers);
    let mut for_editors = BTreeSet::new();
    for table in ["dependencies", "build-dependencies", "dev-dependencies"] {
        for_editors.extend(packages_of("grammar/tree-sitter/Cargo.toml", table));
    }
    for_editors.retain(|package| !package.starts_with("oaktag-") && !in_tests.contains(package));
    for_editors.retain(|package| !packages("dependencies").contains(package));
    assert_eq!(listed("### In the grammar for editors"), for_editors);
}
