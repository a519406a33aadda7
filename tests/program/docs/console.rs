//! Every `console` block is run: each line that begins with `$ oaktag` in a fresh folder with a copy of the examples, and
//! what it prints, results first and messages after them, is what the page shows. A line `…` stands for any lines.
//! `status=N` is how the last command ends; without it, all is well.

use crate::docs::blocks::{Block, PAGES, blocks, file, in_language, read};
use std::fs;
use std::path::Path;
use std::process::Command;

struct Ran {
    printed: String,
    status: i32,
}

fn run(line: &str, folder: &Path) -> Ran {
    let words = words(line);
    assert_eq!(words.first().map(String::as_str), Some("oaktag"), "{line}");
    let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(&words[1..])
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let mut printed = String::from_utf8(output.stdout).unwrap();
    printed.push_str(&String::from_utf8(output.stderr).unwrap());
    // A space at a line's end is nothing that a reader sees.
    let lines: Vec<&str> = printed.lines().map(str::trim_end).collect();
    Ran {
        printed: lines.join("\n"),
        status: output.status.code().unwrap(),
    }
}

/// Splits as a shell does: at blanks, single and double quotes kept together.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quote = None;
    for letter in line.chars() {
        match (quote, letter) {
            (Some(open), _) if open == letter => quote = None,
            (None, '\'' | '"') => quote = Some(letter),
            (None, ' ') => words.push(String::new()),
            _ => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&file("examples"), &folder.path().join("examples"));
    folder
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// The block as the program would have it, and how its last command ended.
fn played(block: &Block) -> (String, i32) {
    let folder = folder();
    let (mut text, mut status) = (String::new(), 0);
    for line in block.text.lines() {
        if let Some(command) = line.strip_prefix("$ ") {
            let ran = run(command, folder.path());
            text.push_str(&format!("{line}\n{}\n", ran.printed.trim_end()));
            status = ran.status;
        }
    }
    (text, status)
}

/// Whether what is shown is what was printed, a line `…` standing for any lines.
fn same(shown: &[&str], printed: &[&str]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((&"…", rest)) => (0..=printed.len()).any(|skip| same(rest, &printed[skip..])),
        Some((line, rest)) => printed
            .split_first()
            .is_some_and(|(other, others)| line == other && same(rest, others)),
    }
}

fn lines(text: &str) -> Vec<&str> {
    text.lines()
        .map(str::trim_end)
        .filter(|line| !line.is_empty())
        .collect()
}

#[test]
fn every_shell_example_prints_what_its_page_shows() {
    let mut wrong = Vec::new();
    let examples = in_language("console");
    assert!(examples.len() >= 5, "only {} were found", examples.len());
    for block in examples {
        let (text, status) = played(&block);
        let wanted = block.value("status").map_or(0, |n| n.parse().unwrap());
        if status != wanted {
            wrong.push(format!("{}: ended with {status}", block.place()));
        }
        if !same(&lines(&block.text), &lines(&text)) {
            let shortened = block.text.lines().any(|line| line == "…");
            if std::env::var_os("UPDATE_EXPECT").is_some() && !shortened {
                rewrite(&block, &text);
            } else {
                wrong.push(format!("{}: it prints\n{text}", block.place()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn rewrite(block: &Block, text: &str) {
    let page = read(block.page);
    // Blocks before it may have been rewritten, so it is found by what it says.
    let now = blocks(block.page, &page)
        .into_iter()
        .find(|other| other.text == block.text)
        .unwrap();
    let mut out: Vec<&str> = page.lines().take(now.line).collect();
    out.push(text.trim_end());
    out.extend(page.lines().skip(now.line + now.text.lines().count()));
    fs::write(file(block.page), out.join("\n") + "\n").unwrap();
}

#[test]
fn the_comparison_of_shell_examples_can_fail() {
    assert!(same(&["a", "…", "d"], &["a", "b", "c", "d"]));
    assert!(same(&["a", "…"], &["a"]));
    assert!(!same(&["a", "c"], &["a", "b", "c"]));
    assert!(!same(&["a"], &["a", "b"]));
    assert!(PAGES.contains(&"README.md"));
}
