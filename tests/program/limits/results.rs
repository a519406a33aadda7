//! Limits of files and of what is written, by the program as it is called.

use std::path::Path;
use std::process::{Command, Stdio};

fn square(side: &str, count: usize) -> String {
    format!(
        "draft \"Square\"\nunit cm\nbody girth = 80cm between 40cm and 160cm\ncloth main \"Poplin\" width 150cm\npanel back {{\n  point b = origin right {side}\n  point c = b down {side}\n  point d = origin down {side}\n  line top = from origin to b\n  line right_side = from b to c\n  line hem = from c to d\n  line left_side = from d to origin\n}}\npiece back \"Back\" {{\n  outline top, right_side, hem, left_side\n  cut {count} alike from main\n  grain along left_side\n}}\nlength finished_girth = girth\n"
    )
}

fn said(folder: &Path, line: &str) -> (Option<i32>, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(line.split(' '))
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = [done.stdout, done.stderr].concat();
    (done.status.code(), String::from_utf8(text).unwrap())
}

/// Each is past its limit, and the file that is asked for is not there.
#[test]
fn what_is_too_large_for_paper_is_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for (side, line, words) in [
        (
            "20m",
            "draw d.draft -o a.pdf --sheet a4",
            "and 4000 are the most",
        ),
        ("6m", "draw d.draft -o a.pdf", "one page may be 5.08 m"),
        (
            "3m",
            "draw d.draft -o a.png --resolution 300",
            "more than a preview holds",
        ),
        ("900m", "draw d.draft -o a.png", "too large for a preview"),
    ] {
        std::fs::write(at.join("d.draft"), square(side, 1)).unwrap();
        let (status, text) = said(at, line);
        assert_eq!(status, Some(2), "{side} {text}");
        assert!(text.contains(words), "{side}: {text}");
        assert_eq!(std::fs::read_dir(at).unwrap().count(), 1, "{side}");
    }
    std::fs::write(at.join("d.draft"), square("4m", 1)).unwrap();
    let (status, text) = said(at, "draw d.draft -o a.pdf");
    assert_eq!(status, Some(0), "{text}");
}

#[test]
fn a_set_has_forty_sizes() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("d.draft"), square("30cm", 1)).unwrap();
    for (count, status) in [(40, 0), (41, 2)] {
        let rows: String = (0..count).map(|n| format!("s{n},{}\n", 60 + n)).collect();
        std::fs::write(at.join("t.csv"), format!("name,girth\n{rows}")).unwrap();
        let (found, text) = said(at, "sizes d.draft --bodies t.csv");
        assert_eq!(found, Some(status), "{count}: {text}");
        assert!(
            status == 0 || text.contains("a set has at most 40 sizes"),
            "{text}"
        );
    }
}

#[test]
fn a_lay_has_four_hundred_pieces() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for (count, is_laid) in [(400, true), (401, false)] {
        std::fs::write(at.join("d.draft"), square("5cm", count)).unwrap();
        let (status, text) = said(at, "draw d.draft -o a.csv --table lay");
        assert_eq!(status, Some(0), "{text}");
        let table = std::fs::read_to_string(at.join("a.csv")).unwrap();
        let row = table.lines().nth(1).unwrap();
        assert_eq!(row.contains("401"), !is_laid, "{row}");
    }
}

#[test]
fn a_file_has_eight_megabytes() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let most = 8_388_608;
    let mut text = "point p = origin\n#".to_owned();
    text.push_str(&"x".repeat(most - text.len()));
    for name in ["d.draft", "t.csv"] {
        std::fs::write(at.join(name), &text).unwrap();
    }
    let (status, told) = said(at, "check --quiet d.draft");
    assert!(status != Some(3), "{told}");
    for (name, line) in [
        ("d.draft", "check d.draft"),
        ("d.draft", "tidy d.draft"),
        ("t.csv", "check e.draft --bodies t.csv"),
    ] {
        std::fs::write(at.join("e.draft"), square("5cm", 1)).unwrap();
        std::fs::write(at.join(name), format!("{text}x")).unwrap();
        let (status, told) = said(at, line);
        assert_eq!(status, Some(3), "{line} {told:.300}");
        assert!(told.contains("8388608 bytes"), "{line} {told:.300}");
    }
}

/// Of two thousand measures there are eight million pairs of ends, which a search may not hold.
#[cfg(target_os = "linux")]
#[test]
fn a_search_holds_few_bodies_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let measures: String = (0..2_000)
        .map(|n| format!("body m{n} = {}mm between 0mm and 10m\n", n + 1))
        .collect();
    let text = format!("unit mm\n{measures}point p = origin right m0\n");
    std::fs::write(folder.path().join("d.draft"), text).unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(["check", "--quiet", "--search", "--tries", "40", "d.draft"])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // The most it ever held, as its system counts it.
    let mut most = 0;
    let status = loop {
        let counted = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
        let line = counted.unwrap_or_default();
        let line = line.lines().find(|line| line.starts_with("VmHWM:"));
        let figure = line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok());
        most = most.max(figure.unwrap_or(0_u64));
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        std::thread::sleep(std::time::Duration::from_millis(2));
    };
    assert!(status.success(), "{status}");
    assert!(most > 1_000 && most < 200_000, "{most} kB");
}

#[test]
fn headings_told_of_are_sixty() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("d.draft"), square("5cm", 1)).unwrap();
    for (count, is_cut) in [(61, false), (62, true), (100_000, true)] {
        let (names, figures) = (",girth".repeat(count), ",80".repeat(count));
        std::fs::write(at.join("t.csv"), format!("name{names}\nmate{figures}\n")).unwrap();
        let (status, text) = said(at, "check --quiet --body t.csv:mate d.draft");
        assert_eq!(status, Some(3), "{count}");
        assert_eq!(text.matches("it is there twice").count(), 60.min(count - 1));
        let more = format!("{} more are not shown", count.saturating_sub(61));
        assert_eq!(text.contains(&more), is_cut, "{count}");
    }
}
