//! A batch broken off and taken up again.

use crate::batch::{Folder, VEST, crew, oaktag, text};

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
    let heading = kept.find('\n').unwrap();
    let beside = [0, 1, 10, heading - 1, heading, heading + 1, heading + 2];
    let further = [kept.len() / 3, kept.len() / 2, kept.len() - 1, kept.len()];
    for cut in beside.into_iter().chain(further) {
        let broken = folder.file("broken.jsonl", &kept[..cut]);
        let again = run(&broken);
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
    let changed = kept.replacen("\"verdict\":\"well\"", "\"verdict\":\"refused\"", 1);
    assert_ne!(changed, kept);
    folder.file("j.jsonl", &changed);
    let again = text(&oaktag(&["check", VEST, "--bodies", &table, "--journal", &journal]).stdout);
    assert!(again.starts_with("hand_0: refused"), "{again}");
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
    // A line that stands there twice, one too many, and one of nobody in the table.
    let whole = text(&kept);
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    let twice = [&lines[..2], &lines[1..]].concat().concat();
    let more = [&lines[..], &lines[10..]].concat().concat();
    let nobody = text(&kept).replace("\"hand_3\"", "\"nobody\"");
    for spoilt in [twice, more, nobody] {
        let spoilt = folder.file("spoilt.jsonl", &spoilt);
        let before = std::fs::read(&spoilt).unwrap();
        let refused = oaktag(&["check", VEST, "--bodies", &table, "--journal", &spoilt]);
        assert_eq!(refused.status.code(), Some(3), "{}", text(&refused.stdout));
        let err = text(&refused.stderr);
        assert!(err.contains("does not go with the table"), "{err}");
        assert_eq!(std::fs::read(&spoilt).unwrap(), before);
    }
    let letter = folder.file("letter.txt", "Dear Ada,\n");
    let refused = oaktag(&["check", VEST, "--bodies", &table, "--journal", &letter]);
    assert_eq!(refused.status.code(), Some(3));
    assert_eq!(std::fs::read_to_string(&letter).unwrap(), "Dear Ada,\n");
}
