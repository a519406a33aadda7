//! What is damaged, and how: words left out, doubled, changed for each other or for a word of another draft, figures of another
//! size, lines out of their place, letters that nobody typed.

use crate::damage::chance::Chance;
use std::path::Path;

/// Every draft at hand, by its name.
pub fn drafts() -> Vec<(String, String)> {
    read("examples", "draft")
}

/// Every table at hand.
pub fn tables() -> Vec<(String, String)> {
    read("examples", "csv")
}

fn read(folder: &str, ending: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|found| found == ending))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    found.sort();
    assert!(!found.is_empty());
    found
}

/// Figures that nobody measures.
const FIGURES: [&str; 9] = [
    "0",
    "-1",
    "0.0000001",
    "1e9",
    "99999999",
    "0cm",
    "-40cm",
    "(1 / 0)",
    "359deg",
];
/// Letters that nobody types.
const LETTERS: [&str; 8] = ["\u{1b}[2J", "\u{202e}", "½", "–", "{", "\"", "\u{0}", "\t"];

/// A damaged draft, and which it is.
pub fn draft(chance: &mut Chance, seed: u64) -> (String, String) {
    let all = drafts();
    let (name, text) = chance.one_of(&all).clone();
    let (_, other) = chance.one_of(&all).clone();
    let mut words = parted(&text);
    let others = parted(&other);
    for _ in 0..=chance.below(3) {
        if words.is_empty() {
            break;
        }
        let at = chance.below(words.len());
        let far = chance.below(words.len());
        match chance.below(8) {
            0 => drop(words.remove(at)),
            1 => words.insert(at, words[far].clone()),
            2 => words.swap(at, far),
            3 => words[at] = chance.one_of(&others).clone(),
            4 => words[at] = (*chance.one_of(&FIGURES)).to_owned(),
            5 => words.insert(at, (*chance.one_of(&LETTERS)).to_owned()),
            6 => words.truncate(at),
            // One of its own figures for another, so that much of it is still drawn.
            _ => {
                let is_figure = |word: &String| word.starts_with(|c: char| c.is_ascii_digit());
                let figures: Vec<usize> = (0..words.len())
                    .filter(|at| is_figure(&words[*at]))
                    .collect();
                if !figures.is_empty() {
                    let (a, b) = (*chance.one_of(&figures), *chance.one_of(&figures));
                    words.swap(a, b);
                }
            }
        }
    }
    (words.concat(), format!("draft {seed} of {name}"))
}

/// A draft with one or two figures a little off, which is mostly drawn, and which it is.
pub fn nudged(chance: &mut Chance, seed: u64) -> (String, String) {
    let (name, text) = chance.one_of(&drafts()).clone();
    let mut words = parted(&text);
    let is_figure = |word: &&mut String| word.starts_with(|c: char| c.is_ascii_digit());
    let mut figures: Vec<&mut String> = words.iter_mut().filter(is_figure).collect();
    for _ in 0..=chance.below(2) {
        let at = chance.below(figures.len());
        let digit = char::from_digit(u32::try_from(chance.below(10)).unwrap(), 10).unwrap();
        let last = figures[at].rfind(|c: char| c.is_ascii_digit()).unwrap();
        figures[at].replace_range(last..=last, &digit.to_string());
    }
    (words.concat(), format!("draft {seed} of {name}, nudged"))
}

/// Words, and what stands between them.
fn parted(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let kind = |c: char| {
        (
            c.is_alphanumeric() || c == '_' || c == '.',
            c.is_whitespace(),
        )
    };
    let mut before = None;
    for letter in text.chars() {
        match words.last_mut() {
            Some(word) if before == Some(kind(letter)) => word.push(letter),
            _ => words.push(letter.to_string()),
        }
        before = Some(kind(letter));
    }
    words
}

/// A damaged table, and which it is.
pub fn table(chance: &mut Chance) -> (Vec<u8>, String) {
    let all = tables();
    let (name, text) = chance.one_of(&all).clone();
    let mut bytes = text.into_bytes();
    for _ in 0..=chance.below(4) {
        let at = chance.below(bytes.len().max(1));
        let far = chance.below(bytes.len().max(1));
        match chance.below(7) {
            0 => bytes.truncate(at),
            1 => bytes.splice(at..at, *b"\"").for_each(drop),
            2 => bytes.splice(at..at, *b",;\n").for_each(drop),
            3 if at < far => bytes.drain(at..far).for_each(drop),
            4 if at < far => {
                let part = bytes[at..far].to_vec();
                bytes.splice(far..far, part).for_each(drop);
            }
            5 => bytes.splice(at..at, *b"\xff\x00").for_each(drop),
            _ => bytes.splice(at..at, *b"98,5 cm").for_each(drop),
        }
    }
    (bytes, name)
}
