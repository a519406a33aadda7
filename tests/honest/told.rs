//! Figures never contradict their sentence, words say the figure of their own place, and one policy holds for all commands.

use crate::drawing::Run;
use oaktag::report::Code;

/// The message of a check that fails.
fn failing(condition: &str) -> String {
    let run = Run::of(&format!(
        "draft \"t\"\nunit mm\ncheck \"c\" that {condition}\n"
    ));
    let told = run.told();
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].code, Code::CheckFails);
    told[0].message.clone()
}

#[test]
fn figures_that_differ_never_print_alike() {
    let message = |found: &str| format!("Check \"c\" fails: {found}.");
    assert_eq!(
        failing("157.08mm is within 0mm of 157.14mm"),
        message("found 157.08 mm, wanted 157.14 mm within 0 mm")
    );
    assert_eq!(
        failing("157.16mm is within 0.05mm of 157.1mm"),
        message("found 157.16 mm, wanted 157.1 mm within 0.05 mm")
    );
    assert_eq!(
        failing("24mm = 24.002mm"),
        message("found 24 mm, wanted 24.002 mm")
    );
    assert_eq!(
        failing("24.04mm <= 24.02mm"),
        message("found 24.04 mm, wanted at most 24.02 mm")
    );
    assert_eq!(
        failing("3.04mm is between 2mm and 3.02mm"),
        message("found 3.04 mm, wanted 2 mm to 3.02 mm")
    );
    assert_eq!(
        failing("5.03mm is 2mm longer than 3mm"),
        message("found 5.03 mm, wanted 5 mm")
    );
    // What parts as it stands is told as it stands.
    assert_eq!(
        failing("157.14mm = 158mm"),
        message("found 157.1 mm, wanted 158 mm")
    );
}

#[test]
fn what_does_not_touch_is_never_nothing_apart() {
    let text = "draft \"t\"\nunit cm\nline a = from origin toward right for 3cm\nline b = from (origin right 1cm up 0.004mm) toward up for 1cm\npoint p = where a meets b\nlength off = distance from origin to p\ncheck \"off\" that off > 1mm\n";
    let near = Run::of(text).told();
    // Within a thousandth it meets; at four it does not.
    assert_eq!(near.len(), 1, "{near:?}");
    assert_eq!(
        near[0].message,
        "The a never meets the b: they pass less than 0.1 mm apart."
    );
    let swing = "draft \"t\"\nunit mm\nline a = from (origin up 30mm) toward right\npoint p = swing 29.99mm from origin onto a\nlength off = distance from origin to p\ncheck \"off\" that off > 1mm\n";
    let told = Run::of(swing).told();
    assert_eq!(
        told[0].message,
        "29.99 mm do not reach the line: its nearest point is 30 mm away."
    );
    assert_eq!(told[0].notes[0], "It falls less than 0.1 mm short.");
}

#[test]
fn words_say_the_figure_of_their_own_place() {
    let text = r#"
draft "Notes"
unit mm
panel back {
  line edge = from origin toward right for 30mm
  step "Lengthen" {
    note "Before: {length of edge}. Later: {length of edge}."
    redraw edge = extend edge at (end of edge) by 12mm
    why "After: {length of edge}."
    note "Hem {length of hem}."
    line hem = from origin toward down for 7mm
  }
}
check "it" that length of back.edge = length of back.hem + 35mm
"#;
    let (_, outcome) = Run::of(text).drawn();
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    let said: Vec<&str> = outcome
        .record
        .said
        .iter()
        .map(|s| s.text.as_str())
        .collect();
    assert_eq!(
        said,
        ["Before: 30 mm. Later: 30 mm.", "After: 42 mm.", "Hem 7 mm."]
    );
}

#[test]
fn a_piece_wider_than_its_cloth_is_a_warning() {
    // 74 cm and 1 cm, twice, are 150 cm; the cloth is 150 cm less what it shrinks.
    let text = include_str!("../errors/a-piece-wider-than-its-cloth.draft");
    let told = Run::of(text).told();
    assert_eq!(told.len(), 1);
    assert!(told[0].code == Code::WiderThanCloth && !told[0].is_error());
    assert!(
        told[0]
            .message
            .contains("150 cm across the grain, and main is 147 cm wide"),
        "{}",
        told[0].message
    );
    let wide_enough = text.replace(", weft 2%", "");
    assert!(Run::of(&wide_enough).told().is_empty());
    // Across the grain it is as long as it is: 60 cm and twice 1 cm.
    let turned = text.replace("grain along centre", "grain along waist");
    assert!(
        Run::of(&turned)
            .told()
            .iter()
            .all(|told| told.code != Code::WiderThanCloth)
    );
}
