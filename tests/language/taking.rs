//! What is taken of an import: its own panels and no namesake of the taker's, pieces and seams left there, one file twice.

use crate::drawing::Run;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::Piece;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit;

/// A skirt of plain rectangles, 20 cm a quarter, and its band.
const HOUSE: &str = r#"draft "House skirt"
unit cm
choose long = 40cm between 20cm and 90cm "length"
panel back {
  line upper = from origin toward right for 20cm
  line side = from end of upper toward down for long
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  line upper = from origin toward right for 20cm
  line side = from end of upper toward down for long
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel band {
  line lower = from origin toward right for 40cm
  line lap = from end of lower toward up for 4cm
  line upper = from end of lap toward left for 40cm
  line turn_end = from end of upper to origin
}
piece back "Back" { outline upper, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish hem "turned twice" }
piece front "Front" { outline upper, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish hem "turned twice" }
piece band "Band" { outline lower, lap, upper, turn_end
  cut 1
  grain along lap
  allow 1cm
  finish lap, upper, turn_end "faced" }
seam side joins front.side to back.side
seam waist joins band.lower to front.upper, back.upper from (start of band.lower), (start of front.upper)
"#;

fn drawn(text: &str) -> Outcome {
    let text = format!("draft \"Taker\"\nunit cm\n{text}");
    Run::of(&text).beside("house.draft", HOUSE).drawn().1
}

fn names(outcome: &Outcome) -> Vec<&str> {
    outcome
        .pattern
        .pieces
        .iter()
        .map(|piece| piece.name.as_str())
        .collect()
}

fn piece<'o>(outcome: &'o Outcome, name: &str) -> &'o Piece {
    let mut pieces = outcome.pattern.pieces.iter();
    pieces.find(|piece| piece.name == name).unwrap()
}

/// Of half the piece: each lies on the fold, and its area is the whole's.
fn square_cm(piece: &Piece) -> f64 {
    piece.area().unwrap() / 200.0
}

/// Areas are those of rectangles.
#[test]
fn a_panel_of_the_takers_is_no_panel_of_the_imports() {
    let wide = "import \"house.draft\" as house\npanel front {\n  line upper = from origin toward right for 99cm\n  line side = from end of upper toward down for 40cm\n  line hem = from end of side toward left for 99cm\n  line centre = from end of hem to origin\n}\n";
    let outcome = drawn(&format!("{wide}pieces of house without band\n"));
    assert!((square_cm(piece(&outcome, "front")) - 20.0 * 40.0).abs() < 1e-6);
}

#[test]
fn a_panel_traced_from_the_imports_takes_its_place() {
    let traced = |name: &str| {
        format!(
            "panel {name} traced from house.front {{\n  line flare = from origin toward right for 25cm\n  redraw upper = flare\n  redraw side = from end of upper to end of (from origin toward down for 40cm)\n  redraw hem = from end of side toward left for 1mm\n  redraw centre = from end of hem to origin\n}}\n"
        )
    };
    for (name, other, taken) in [
        ("front", None, true),
        ("wide", None, true),
        ("one", Some("two"), false),
        ("front", Some("two"), true),
    ] {
        let mut text = format!("import \"house.draft\" as house\n{}", traced(name));
        text.extend(other.map(traced));
        text.push_str("pieces of house without band, side\n");
        let outcome = drawn(&text);
        let is_taken = square_cm(piece(&outcome, "front")) < 600.0;
        assert_eq!(is_taken, taken, "{name} {other:?}");
    }
}

#[test]
fn one_file_gives_its_pieces_under_two_names() {
    let outcome = drawn(
        "import \"house.draft\" as short\nimport \"house.draft\" as full with long 70cm\npieces of short\npieces of full without band\n",
    );
    assert_eq!(
        names(&outcome),
        ["back", "front", "band", "full_back", "full_front"]
    );
    assert!((square_cm(piece(&outcome, "front")) - 800.0).abs() < 1e-6);
    assert!((square_cm(piece(&outcome, "full_front")) - 1400.0).abs() < 1e-6);
    assert_eq!(piece(&outcome, "full_front").label, "Front (full)");
    let seams: Vec<(&str, f64)> = outcome
        .pattern
        .seams
        .iter()
        .map(|seam| (seam.name.as_str(), seam.first.length))
        .collect();
    assert_eq!(
        seams,
        [("side", 400.0), ("waist", 400.0), ("full_side", 700.0)]
    );
    // Taken twice from one import a piece is still drawn twice.
    let twice = drawn("import \"house.draft\" as house\npieces of house\npieces of house\n");
    assert!(twice.diagnostics.iter().any(|told| {
        told.message
            .in_unit(LengthUnit::Centimetre)
            .contains("There is a piece `back` already")
    }));
}

#[test]
fn with_a_piece_its_seams_are_left() {
    let whole = drawn("import \"house.draft\" as house\npieces of house\n");
    assert_eq!(whole.pattern.seams.len(), 2);
    let without = drawn("import \"house.draft\" as house\npieces of house without band\n");
    assert_eq!(names(&without), ["back", "front"]);
    assert_eq!(without.pattern.seams.len(), 1);
    let unknown = drawn("import \"house.draft\" as house\npieces of house without bnad\n");
    let told = unknown
        .diagnostics
        .iter()
        .find(|told| told.is_error())
        .unwrap();
    assert!(
        told.message
            .in_unit(LengthUnit::Centimetre)
            .contains("offers no piece and no seam `bnad`"),
        "{}",
        told.message.in_unit(LengthUnit::Centimetre)
    );
    assert!(
        told.help
            .as_ref()
            .unwrap()
            .in_unit(LengthUnit::Centimetre)
            .contains("`band`")
    );
}

#[test]
fn seams_alone_are_taken_for_pieces_of_the_takers_own() {
    let outcome = drawn(
        "import \"house.draft\" as house\npiece front traced from house.front { allow 2cm on hem }\npiece back traced from house.back { allow 2cm on hem }\nseams of house without band\n",
    );
    assert_eq!(names(&outcome), ["front", "back"]);
    assert_eq!(outcome.pattern.seams.len(), 1);
    assert!(
        !outcome.diagnostics.iter().any(|told| told.is_error()),
        "{:?}",
        outcome.diagnostics
    );
}

/// What an import leaves behind of its own is left behind by whoever takes it.
#[test]
fn what_is_left_is_left_of_what_an_import_takes_itself() {
    let style = "draft \"Style\"\nunit cm\nimport \"house.draft\" as block\npieces of block\n";
    let text =
        "draft \"Taker\"\nunit cm\nimport \"style.draft\" as style\npieces of style without band\n";
    let text = Run::of(text)
        .beside("house.draft", HOUSE)
        .beside("style.draft", style);
    let outcome = text.drawn().1;
    assert_eq!(names(&outcome), ["back", "front"]);
}

/// Each lay moves the side by the same figure, once more, and leaves no aid on the sheet.
#[test]
fn an_act_with_guides_is_laid_over_a_panel_again() {
    let act = |guide: &str| {
        format!(
            "operation wider on (panel skirt) by (length more) gives panel \"\" {{\n  panel skirt traced from skirt {{\n    {guide} point before = skirt.side_foot\n    {guide} length out = more\n    redraw side_foot = before right out\n  }}\n  give skirt\n}}\npanel back {{\n  point side_foot = origin\n  line hem = from origin left 10cm to side_foot\n}}\n"
        )
    };
    let lay = "panel back = wider on back by 2cm\npanel back = wider on back by 3cm\n";
    let outcome = drawn(&format!("{}{lay}", act("guide")));
    assert!(!outcome.has_errors(), "{:?}", outcome.diagnostics);
    let values = &outcome.pattern.values;
    let names: Vec<&str> = values.iter().map(|value| value.name.as_str()).collect();
    assert_eq!(names, ["back.hem", "back.side_foot"]);
    let foot = values.iter().find(|value| value.name == "back.side_foot");
    assert!(matches!(foot.unwrap().value, Value::Point(at) if (at.x - 50.0).abs() < 1e-9));
    // Without the word the second lay meets the first one's aids.
    let outcome = drawn(&format!("{}{lay}", act("")));
    let told = outcome.diagnostics.iter().find(|told| told.is_error());
    assert_eq!(told.unwrap().code, Code::NameDrawnTwice);
}

/// A guide of the draft's own is never told as unused, and its pieces may be cut along it.
#[test]
fn a_guide_of_the_draft_is_an_aid_that_nothing_need_read() {
    let text = "panel flap {\n  guide point middle_of = origin right 5cm\n  line upper = from origin toward right for 10cm\n  line side = from end of upper toward down for 4cm\n  line hem = from end of side toward left for 10cm\n  guide line inner = from end of hem to origin\n}\npiece flap {\n  outline upper, side, hem, inner\n  cut 2\n  grain along side\n  allow 1cm\n  finish upper, side, hem, inner \"bound\"\n}\n";
    assert!(drawn(text).diagnostics.is_empty());
    let plain = drawn(&text.replace("guide ", ""));
    assert!(
        plain
            .diagnostics
            .iter()
            .any(|told| told.code == Code::NameUnused)
    );
}

#[test]
fn an_act_gives_its_pieces_under_two_panels() {
    let act = r#"
operation strip_of (length size) gives panel "A strip." {
  panel strip {
    point a = origin
    point b = a right size
    point c = b up 10cm
    point d = a up 10cm
    line low = from a to b
    line fore = from b to c
    line top = from c to d
    line hind = from d to a
  }
  piece strip "Strip" {
    outline low, fore, top, hind
    cut 1
    grain along low
    allow nothing on low, fore
    finish low, fore "raw"
  }
  seam roll joins strip.top to strip.hind from c, a { ease 0mm to 2m on strip.top }
  give strip
}
panel one = strip_of 20cm
panel two = strip_of 40cm
pieces of one
pieces of two
"#;
    let outcome = drawn(act);
    assert_eq!(names(&outcome), ["strip", "two_strip"]);
    assert!((piece(&outcome, "two_strip").area().unwrap() - 40_000.0).abs() < 1e-6);
    assert_eq!(piece(&outcome, "two_strip").label, "Strip (two)");
    let seams: Vec<(&str, f64)> = outcome
        .pattern
        .seams
        .iter()
        .map(|seam| (seam.name.as_str(), seam.first.length))
        .collect();
    assert_eq!(seams, [("roll", 200.0), ("two_roll", 400.0)]);
}
