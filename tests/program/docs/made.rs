//! What the program makes for the pages: the pictures and the table of phrases. `UPDATE_EXPECT=1` makes them anew.

use crate::docs::blocks::{file, root};
use expect_test::expect_file;
use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

/// Each picture with the draft it is drawn from.
const PICTURES: &[(&str, &str)] = &[
    ("first-steps", "examples/first-steps.draft"),
    ("deck-vest", "examples/deck-vest.draft"),
    ("sheet", "crates/language/src/phrase/scene.draft"),
    ("corners", "tests/data/drafts/corner-treatments.draft"),
    ("notches", "tests/data/drafts/notch-forms.draft"),
];

fn oaktag(arguments: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

#[test]
fn every_picture_is_what_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    for (name, draft) in PICTURES {
        let drawn = folder.path().join(format!("{name}.svg"));
        let output = oaktag(&["draw", draft, "-o", drawn.to_str().unwrap()]);
        assert!(output.status.success(), "{draft} is not drawn");
        let committed = file(&format!("docs/pictures/{name}.svg"));
        expect_file![committed].assert_eq(&fs::read_to_string(&drawn).unwrap());
    }
}

#[test]
fn no_picture_is_left_over() {
    let there: BTreeSet<String> = fs::read_dir(file("docs/pictures"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_file())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    let known = PICTURES.iter().map(|(name, _)| format!("{name}.svg"));
    // A picture of the page in a browser, which the program does not draw.
    let known = known.chain(["desk.png".to_owned()]);
    assert_eq!(there, known.collect());
}

#[test]
fn the_page_of_phrases_is_the_table() {
    let output = oaktag(&["phrases", "--markdown"]);
    let text = String::from_utf8(output.stdout).unwrap();
    expect_file![file("docs/phrases.md")].assert_eq(&text);
}

#[test]
fn the_page_of_the_library_is_the_library() {
    let output = oaktag(&["phrases", "--library"]);
    let text = String::from_utf8(output.stdout).unwrap();
    expect_file![file("docs/library.md")].assert_eq(&text);
}

/// Each operation that a garment is made with is shown by a draft of its name, and the draft's picture is what it draws. Those
/// that only other operations use are named here.
#[test]
fn every_operation_of_the_library_is_shown() {
    const INNER: &[&str] = &[
        "arm_room",
        "band_inside",
        "basic_block",
        "body_pieces",
        "collar_layer",
        "cuff_outline",
        "cut_on_stand",
        "flap_set",
        "judge_ease",
        "middle_of",
        "neck_band",
        "pocket_outline",
        "pocket_set",
        "shoulder_ends",
        "sleeve_to_cuff",
        "turn_dart",
        "under_layer",
    ];
    let folder = tempfile::tempdir().unwrap();
    let mut pictures: BTreeSet<String> = fs::read_dir(file("docs/pictures/library"))
        .map(|found| {
            found
                .map(|e| e.unwrap().file_name().into_string().unwrap())
                .collect()
        })
        .unwrap_or_default();
    for module in oaktag_language::library::MODULES {
        for head in module.operations.iter().map(|operation| operation.head) {
            if INNER.contains(&head) {
                continue;
            }
            let example = oaktag_language::library::example_in(module.name, head);
            let (name, _) = example
                .filter(|(_, text)| text.contains(head))
                .unwrap_or_else(|| panic!("{}: {head} has no example", module.name));
            let draft = format!("stdlib/examples/{name}.draft");
            let drawn = folder.path().join(format!("{name}.svg"));
            let output = oaktag(&["draw", &draft, "-o", drawn.to_str().unwrap()]);
            assert!(
                output.status.success(),
                "{draft}: {}",
                String::from_utf8_lossy(&output.stderr)
            );
            let committed = file(&format!("docs/pictures/library/{name}.svg"));
            expect_file![committed].assert_eq(&fs::read_to_string(&drawn).unwrap());
            pictures.remove(&format!("{name}.svg"));
        }
    }
    assert!(pictures.is_empty(), "left over: {pictures:?}");
}
