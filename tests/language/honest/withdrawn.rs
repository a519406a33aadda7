//! What a failed sentence drew is left out, and what needs it is counted as not judged.

use crate::honest::drawing::Run;
use oaktag_language::report::Code;

/// A square panel whose side is looked for, cut out of a piece beside a good one.
const PIECES: &str = r#"
draft "Withdrawn"
unit cm
choose wanted = 30cm
panel back {
  line hem = from origin toward right for 20cm
  try deep between 20cm and 40cm {
    line side = from end of hem toward up for deep
    line upper = from end of side toward left for 20cm
  } until length of side = wanted
  line centre = from end of upper to origin
}
panel front {
  line side = from origin toward up for 30cm
  line hem = from origin toward left for 20cm
  line centre = from end of hem toward up for 30cm
  line upper = from end of centre to end of side
}
piece back { outline back.hem, back.side, back.upper, back.centre
  cut 2
  grain along centre
  allow 1cm
  finish hem, upper, centre
}
piece front { outline front.side, front.upper, front.centre, front.hem
  cut 2
  grain along side
  allow 1cm
  finish hem, upper, centre
}
seam side joins front.side to back.side
check "deep enough" that back.deep > 25cm
check "long enough, {length of back.side}" that length of back.side > 25cm
check "front" that length of front.side = 30cm
"#;

fn not_judged(run: &Run) -> Vec<(bool, String, String)> {
    let (_, outcome) = run.drawn();
    let all = outcome.record.not_judged.iter();
    all.map(|one| (one.is_seam, one.name.clone(), one.why.clone()))
        .collect()
}

#[test]
fn a_try_that_finds_its_value_leaves_everything_to_be_judged() {
    let run = Run::of(PIECES);
    let (_, outcome) = run.drawn();
    assert!(!outcome.has_errors(), "{}", run.shown());
    assert!(outcome.record.not_judged.is_empty());
    assert_eq!(outcome.pattern.checks.len(), 3);
    assert_eq!(outcome.pattern.seams.len(), 1);
}

#[test]
fn a_failed_try_leaves_neither_its_value_nor_what_its_block_drew() {
    let run = Run::of(PIECES).set("wanted=60cm");
    let (_, outcome) = run.drawn();
    let told: Vec<Code> = run.told().into_iter().map(|told| told.code).collect();
    assert_eq!(told, [Code::NothingSolves], "{}", run.shown());
    let values: Vec<&str> = outcome
        .pattern
        .values
        .iter()
        .map(|v| v.name.as_str())
        .collect();
    assert!(values.contains(&"back.hem") && values.contains(&"front.side"));
    for gone in ["back.deep", "back.side", "back.upper", "back.centre"] {
        assert!(!values.contains(&gone), "{gone} is left of {values:?}");
    }
    // What can be judged is judged, the rest is named with what it lacks.
    let judged: Vec<(&str, bool)> = outcome
        .pattern
        .checks
        .iter()
        .map(|check| (check.text.as_str(), check.ok))
        .collect();
    assert_eq!(judged, [("front", true)]);
    assert!(outcome.pattern.seams.is_empty());
    let needs = |name: &str| format!("it needs `{name}`, which was not drawn");
    assert_eq!(
        not_judged(&run),
        [
            (true, "side".into(), needs("back.side")),
            (false, "deep enough".into(), needs("back.deep")),
            (
                false,
                "long enough, {length of back.side}".into(),
                needs("back.side")
            ),
        ]
    );
    let shown = run.shown();
    assert!(
        shown.contains("Not judged: 2 checks and 1 seam."),
        "{shown}"
    );
    // `centre` and the piece.
    assert!(
        shown.contains("2 lines that need it were not drawn."),
        "{shown}"
    );
}

#[test]
fn a_redrawn_line_of_a_failed_try_is_missing_too() {
    let text = r#"
draft "Redrawn"
unit cm
panel strip {
  line edge = from origin toward right for 3cm
  try long between 1cm and 5cm {
    redraw edge = from origin toward right for long
  } until length of edge = 9cm
}
check "short" that length of strip.edge < 100cm
"#;
    let (_, outcome) = Run::of(text).drawn();
    assert!(outcome.pattern.checks.is_empty());
    assert_eq!(outcome.record.not_judged.len(), 1);
    assert!(
        outcome
            .pattern
            .values
            .iter()
            .all(|v| v.name != "strip.edge")
    );
}

#[test]
fn a_seam_of_a_piece_that_could_not_be_made_is_not_judged() {
    // The back's side is drawn; its piece lacks the upper edge.
    let text = PIECES
        .replace(
            "piece back {",
            "point off = where back.hem meets front.side\npiece back {\n  mark off \"off\"\n ",
        )
        .replace(
            "line side = from origin toward up for 30cm",
            "line side = from (origin left 90cm) toward up for 30cm",
        )
        .replace(
            "line hem = from origin toward left for 20cm",
            "line hem = from (origin left 90cm) toward left for 20cm",
        );
    let run = Run::of(&text);
    let (_, outcome) = run.drawn();
    assert!(outcome.pattern.piece("front").is_some() && outcome.pattern.piece("back").is_none());
    assert!(outcome.pattern.seams.is_empty(), "{}", run.shown());
    assert_eq!(
        not_judged(&run),
        [(true, "side".into(), "piece back could not be made".into())]
    );
}

#[test]
fn the_checks_of_an_act_that_fails_are_taken_back_with_it() {
    let text = r#"
draft "Act"
unit cm
operation strip with (length long = 3cm) gives panel "A strip." {
  line edge = from origin toward right for long
  caution "mind the edge"
  check "an edge of {long}" that length of edge < 1cm
  line other = swing_line
  give edge
}
"#
    .replace(
        "line other = swing_line",
        "point far = where edge meets (parallel to edge by 1cm toward up)",
    );
    let run = Run::of(&format!(
        "{text}panel a = strip\ncheck \"a\" that length of a.edge = 3cm\n"
    ));
    let (_, outcome) = run.drawn();
    let told: Vec<Code> = run.told().into_iter().map(|told| told.code).collect();
    assert_eq!(told, [Code::NeverMeet], "{}", run.shown());
    assert!(outcome.pattern.checks.is_empty() && outcome.pattern.cautions.is_empty());
    assert_eq!(
        not_judged(&run),
        [
            (
                false,
                "an edge of {long}".into(),
                "it cannot be worked out".into()
            ),
            (
                false,
                "a".into(),
                "it needs `a.edge`, which was not drawn".into()
            ),
        ]
    );
}

#[test]
fn a_body_that_is_refused_has_its_checks_counted() {
    let text = r#"
draft "Refused"
unit cm
choose wide = 3cm
line edge = from origin toward right for wide
require "too narrow" that wide >= 2cm
check "edge" that length of edge >= 3cm
"#;
    assert!(not_judged(&Run::of(text)).is_empty());
    assert_eq!(
        not_judged(&Run::of(text).set("wide=1cm")),
        [(false, "edge".into(), "the draft refuses this body".into())]
    );
}
