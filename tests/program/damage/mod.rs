//! Drafts and tables damaged by chance, given to the program as it is called: it ends soon, with a status of the README's table,
//! never in silence, nothing it tells steers a terminal, and each file that it writes is read by a reader of another house.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::string_slice,
    missing_docs,
    dead_code,
    reason = "a test that fails should say so where it does"
)]

use crate::chance;
mod damaged;

use chance::Chance;
use damaged::{draft, drafts, nudged, table, tables};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Far beyond what any of them takes, on a machine that is busy with other things too: a run that needs so long hangs.
const LONGEST: Duration = Duration::from_secs(600);

/// How many of so many are run: one in a hundred in `cargo test`, all by `tests/damage/run`.
fn share(all: usize) -> u64 {
    let percent: usize = std::env::var("OAKTAG_DAMAGE").map_or(1, |share| share.parse().unwrap());
    u64::try_from((all * percent / 100).max(12)).unwrap()
}

struct Said {
    status: i32,
    out: String,
}

/// From which number on, to come to a finding again.
fn first() -> u64 {
    std::env::var("OAKTAG_DAMAGE_FROM").map_or(0, |from| from.parse().unwrap())
}

/// Runs it, and holds it to what every run is held to.
fn oaktag(folder: &Path, words: &[&str], about: &str) -> Said {
    let begun = Instant::now();
    let (out, err) = (folder.join("out"), folder.join("err"));
    let mut child = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(words)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(std::fs::File::create(&out).unwrap())
        .stderr(std::fs::File::create(&err).unwrap())
        .spawn()
        .unwrap();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > LONGEST {
            child.kill().unwrap();
            panic!("{words:?} does not end: {about}");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    let read = |path: &Path| String::from_utf8(std::fs::read(path).unwrap()).unwrap();
    let (out, err) = (read(&out), read(&err));
    let code = status.code();
    assert!(
        matches!(code, Some(0..=3)),
        "{words:?} {status}: {about}\n{err}"
    );
    assert!(!err.contains("panicked"), "{words:?}: {about}\n{err}");
    assert!(
        code == Some(0) || !(out.trim().is_empty() && err.trim().is_empty()),
        "{words:?} ends with {code:?} in silence: {about}"
    );
    let steers = |letter: char| letter.is_control() && !matches!(letter, '\n' | '\t');
    assert!(!(out.clone() + &err).contains(steers), "{words:?}: {about}");
    Said {
        status: code.unwrap(),
        out,
    }
}

/// Three in four are a little off, the others damaged.
fn mostly_sound(chance: &mut Chance, seed: u64) -> (String, String) {
    if chance.once_in(4) {
        draft(chance, seed)
    } else {
        nudged(chance, seed)
    }
}

/// A folder with everything that the drafts import.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in drafts() {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    for (name, text) in tables() {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

#[test]
fn damaged_drafts_are_checked() {
    let folder = folder();
    for seed in first()..share(5_000) {
        let (text, about) = draft(&mut Chance::new(seed), seed);
        std::fs::write(folder.path().join("d.draft"), &text).unwrap();
        let format = if seed % 2 == 0 { "text" } else { "json" };
        let said = oaktag(
            folder.path(),
            &["check", "--quiet", "--format", format, "d.draft"],
            &about,
        );
        if format == "json" {
            let read = serde_json::from_str::<serde_json::Value>(&said.out);
            assert!(read.is_ok(), "{about}: {}", said.out);
        }
    }
}

#[test]
fn damaged_drafts_are_drawn_and_what_is_written_is_read() {
    let folder = folder();
    let endings = ["svg", "pdf", "dxf", "json", "png", "txt", "csv"];
    let more: [&[&str]; 4] = [&[], &["--unfold"], &["--allowances", "off"], &[]];
    let mut written = 0;
    for seed in first()..share(1_000) {
        let (text, about) = mostly_sound(&mut Chance::new(10_000 + seed), seed);
        std::fs::write(folder.path().join("d.draft"), &text).unwrap();
        let ending = endings[usize::try_from(seed).unwrap() % endings.len()];
        let out = format!("o.{ending}");
        let more = more[usize::try_from(seed / 7).unwrap() % more.len()];
        let words = [&["draw", "d.draft", "-o", &out], more].concat();
        let said = oaktag(folder.path(), &words, &about);
        let path = folder.path().join(&out);
        if !path.exists() {
            assert_ne!(said.status, 0, "{words:?}: {about}");
            continue;
        }
        written += 1;
        let bytes = std::fs::read(&path).unwrap();
        read_back(ending, &bytes, &about);
        std::fs::remove_file(path).unwrap();
    }
    assert!(written > 0, "nothing was drawn");
}

fn read_back(ending: &str, bytes: &[u8], about: &str) {
    let text = String::from_utf8_lossy(bytes);
    let is_well = match ending {
        "svg" => roxmltree::Document::parse(&text).is_ok() && !text.contains("NaN"),
        "json" => serde_json::from_str::<serde_json::Value>(&text).is_ok(),
        "pdf" => lopdf::Document::load_mem(bytes).is_ok_and(|pdf| !pdf.get_pages().is_empty()),
        "dxf" => dxf::Drawing::load(&mut &*bytes).is_ok(),
        "png" => png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .is_ok(),
        "csv" => csv::Reader::from_reader(bytes)
            .records()
            .all(|row| row.is_ok()),
        _ => !text.is_empty(),
    };
    assert!(is_well, "{ending} of {about}");
}

#[test]
fn damaged_drafts_are_taught_and_compared() {
    let folder = folder();
    for seed in first()..share(600) {
        let mut chance = Chance::new(20_000 + seed);
        let (text, about) = mostly_sound(&mut chance, seed);
        std::fs::write(folder.path().join("d.draft"), &text).unwrap();
        if seed % 2 == 0 {
            oaktag(
                folder.path(),
                &["lesson", "d.draft", "-o", "o.html"],
                &about,
            );
            continue;
        }
        let (other, _) = mostly_sound(&mut chance, seed);
        std::fs::write(folder.path().join("e.draft"), &other).unwrap();
        let ending = ["txt", "md", "json", "svg", "html"][usize::try_from(seed / 2).unwrap() % 5];
        let out = format!("o.{ending}");
        oaktag(
            folder.path(),
            &["compare", "d.draft", "e.draft", "-o", &out],
            &about,
        );
    }
}

#[test]
fn damaged_tables_are_answered() {
    let folder = folder();
    for seed in first()..share(320) {
        let (bytes, name) = table(&mut Chance::new(30_000 + seed));
        std::fs::write(folder.path().join("d.csv"), &bytes).unwrap();
        let about = format!("table {seed} of {name}");
        let words: &[&str] = match seed % 4 {
            0 => &["check", "--quiet", "--bodies", "d.csv", "deck-vest.draft"],
            1 => &[
                "sizes",
                "deck-vest.draft",
                "--bodies",
                "d.csv",
                "--csv",
                "o.csv",
            ],
            2 => &[
                "draw",
                "deck-vest.draft",
                "--bodies",
                "d.csv",
                "-o",
                "o-{name}.svg",
            ],
            _ => &[
                "check",
                "--quiet",
                "--body",
                "d.csv:mate",
                "deck-vest.draft",
            ],
        };
        oaktag(folder.path(), words, &about);
    }
}
