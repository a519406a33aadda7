//! A batch broken off and taken up again.

use crate::{Folder, VEST, crew, oaktag, text};

#[test]
fn a_batch_goes_on_where_it_was_broken_off() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", &crew(30));
    let whole = folder.path("whole.jsonl").to_str().unwrap().to_owned();
    let arguments = |journal: &str| {
        let words = ["check", VEST, "--bodies", &table, "--journal", journal];
        words.map(str::to_owned)
    };
    let run = |journal: &str| {
        let arguments = arguments(journal);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        oaktag(&arguments)
    };
    let first = run(&whole);
    let kept = std::fs::read_to_string(&whole).unwrap();
    assert_eq!(kept.lines().count(), 31);
    // Broken off anywhere: between lines, in the middle of one, right behind the heading, before it.
    for cut in [
        0,
        10,
        40,
        kept.len() / 3,
        kept.len() / 2,
        kept.len() - 1,
        kept.len(),
    ] {
        let broken = folder.file("broken.jsonl", &kept[..cut]);
        let again = run(&broken);
        if (1..35).contains(&cut) {
            // No heading was written whole: whose file it is nobody knows.
            assert_eq!(again.status.code(), Some(3), "{cut}");
            continue;
        }
        assert_eq!(text(&first.stdout), text(&again.stdout), "cut at {cut}");
        assert_eq!(
            std::fs::read_to_string(&broken).unwrap(),
            kept,
            "cut at {cut}"
        );
    }
}

/// What was done before is not done again: an answer changed in the journal is what is told.
#[test]
fn what_stands_in_the_journal_is_not_drawn_again() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", &crew(10));
    let journal = folder.path("j.jsonl").to_str().unwrap().to_owned();
    oaktag(&["check", VEST, "--bodies", &table, "--journal", &journal]);
    let kept = std::fs::read_to_string(&journal).unwrap();
    folder.file("j.jsonl", &kept.replace("\"hand_0\"", "\"hand_zero\""));
    let again = text(&oaktag(&["check", VEST, "--bodies", &table, "--journal", &journal]).stdout);
    assert!(again.starts_with("hand_zero: "), "{again}");
}

#[test]
fn a_journal_of_anything_else_is_left_as_it_is() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", &crew(10));
    let journal = folder.path("j.jsonl").to_str().unwrap().to_owned();
    oaktag(&["check", VEST, "--bodies", &table, "--journal", &journal]);
    let kept = std::fs::read(&journal).unwrap();
    let other = oaktag(&[
        "check",
        VEST,
        "--bodies",
        &table,
        "--journal",
        &journal,
        "--set",
        "ease=14cm",
    ]);
    assert_eq!(other.status.code(), Some(3));
    assert!(
        text(&other.stderr).contains("another batch"),
        "{}",
        text(&other.stderr)
    );
    assert_eq!(std::fs::read(&journal).unwrap(), kept);
    let letter = folder.file("letter.txt", "Dear Ada,\n");
    let refused = oaktag(&["check", VEST, "--bodies", &table, "--journal", &letter]);
    assert_eq!(refused.status.code(), Some(3));
    assert_eq!(std::fs::read_to_string(&letter).unwrap(), "Dear Ada,\n");
}
