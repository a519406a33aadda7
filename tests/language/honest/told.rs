//! Figures never contradict their sentence, words say the figure of their own place, and one policy holds for all commands.

use crate::honest::drawing::Run;
use oaktag_language::report::Code;
use oaktag_language::syntax::tree::Unit;
use oaktag_language::voice::LengthUnit::{self, Millimetre as MM};
use std::ffi::OsString;

/// The message of a check that fails.
fn failing(condition: &str) -> String {
    let run = Run::of(&format!(
        "draft \"t\"\nunit mm\ncheck \"c\" that {condition}\n"
    ));
    let told = run.told();
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].code, Code::CheckFails);
    told[0].message.in_unit(MM).into_owned()
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

/// Two pieces with a seam between edges so long.
fn seamed(unit: &str, first: f64, second: f64, more: &str) -> String {
    let panel = |name: &str, long: f64| {
        format!(
            "panel {name} {{\n  point b = origin right {long}mm\n  point c = b down 50mm\n  line top = from origin to b\n  line right_end = from b to c\n  line slant = from c to origin\n}}\npiece {name} {{\n  outline top, right_end, slant\n  cut 1\n  grain along top\n  allow 0mm\n  finish right_end, slant \"bound\"\n}}\n"
        )
    };
    format!(
        "draft \"t\"\nunit {unit}\n{}{}seam top joins a.top to b.top from a.b, b.b {{\n  {more}\n}}\n",
        panel("a", first),
        panel("b", second)
    )
}

fn unit_named(name: &str) -> LengthUnit {
    LengthUnit::for_figures_in(Unit::named(name).unwrap()).unwrap()
}

/// What `check` says of it.
fn checked(unit: &str, first: f64, second: f64, more: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("t.draft");
    std::fs::write(&file, seamed(unit, first, second, more)).unwrap();
    let said = oaktag::cli::run_within([OsString::from("check"), file.into_os_string()]);
    said.out + &said.err
}

/// The two lengths of the seam in `check`, and the two that its message gives.
fn seam_lengths(
    unit: &str,
    first: f64,
    second: f64,
    more: &str,
) -> ([String; 2], Option<[String; 2]>) {
    let said = checked(unit, first, second, more);
    let line = said.lines().find(|line| line.starts_with("  top  "));
    let (one, rest) = line
        .unwrap_or_else(|| panic!("{said}"))
        .split_once(" to ")
        .unwrap();
    let one = one.trim().strip_prefix("top").unwrap().trim().to_owned();
    let two = rest.trim().split("  ").next().unwrap().trim().to_owned();
    let told = Run::of(&seamed(unit, first, second, more)).told();
    let told = told
        .iter()
        .find(|told| told.code == Code::SeamDiffers)
        .map(|told| {
            let said = told.message.in_unit(unit_named(unit));
            let (_, lengths) = said.split_once("a top is ").unwrap();
            let (one, two) = lengths.split_once(", b top is ").unwrap();
            [one.to_owned(), two.trim_end_matches('.').to_owned()]
        });
    ([one, two], told)
}

/// Whether the seam fits or not, in any unit; half a tenth of a millimetre is seen in no figure of a seam that fits.
#[test]
fn sides_of_a_seam_that_differ_never_print_alike() {
    for unit in ["mm", "cm", "in"] {
        for (by, more) in [
            (0.3, ""),
            (0.06, ""),
            (0.02, "tolerance 0.01mm"),
            (0.3, "tolerance 2mm"),
            (0.06, "tolerance 2mm"),
            (0.06, "tolerance 1mm"),
        ] {
            let ([one, two], told) = seam_lengths(unit, 110.01, 110.01 + by, more);
            assert_ne!(one, two, "{unit} {by} {more}");
            assert!(one.ends_with(unit) && two.ends_with(unit), "{one} {two}");
            if let Some([one, two]) = told {
                assert_ne!(one, two, "{unit} {by} {more}");
            }
        }
        let ([one, two], told) = seam_lengths(unit, 110.01, 110.04, "tolerance 2mm");
        assert_eq!((one, told), (two, None), "{unit}");
    }
}

/// Which side is the longer is said as it was drawn.
#[test]
fn the_longer_side_of_an_eased_seam_is_named() {
    for (first, second, which, on) in [(113.0, 110.0, "first", "a"), (110.0, 113.0, "second", "b")]
    {
        let (_, told) = seam_lengths("mm", first, second, &format!("ease 2mm to 6mm on {on}.top"));
        assert_eq!(told, None);
        let said = checked("mm", first, second, &format!("ease 2mm to 6mm on {on}.top"));
        assert!(
            said.contains(&format!("3 mm longer on the {which}")),
            "{said}"
        );
    }
}

#[test]
fn what_does_not_touch_is_never_nothing_apart() {
    let text = "draft \"t\"\nunit cm\nline a = from origin toward right for 3cm\nline b = from (origin right 1cm up 0.004mm) toward up for 1cm\npoint p = where a meets b\nlength off = distance from origin to p\ncheck \"off\" that off > 1mm\n";
    let near = Run::of(text).told();
    // Within a thousandth it meets; at four it does not.
    assert_eq!(near.len(), 1, "{near:?}");
    assert_eq!(
        near[0].message.in_unit(MM),
        "The a never meets the b: they pass less than 0.1 mm apart."
    );
    let swing = "draft \"t\"\nunit mm\nline a = from (origin up 30mm) toward right\npoint p = swing 29.99mm from origin onto a\nlength off = distance from origin to p\ncheck \"off\" that off > 1mm\n";
    let told = Run::of(swing).told();
    assert_eq!(
        told[0].message.in_unit(MM),
        "29.99 mm do not reach the line: its nearest point is 30 mm away."
    );
    assert_eq!(
        told[0].notes[0].in_unit(MM),
        "It falls less than 0.1 mm short."
    );
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
    let text = include_str!("../../errors/a-piece-wider-than-its-cloth.draft");
    let told = Run::of(text).told();
    assert_eq!(told.len(), 1);
    assert!(told[0].code == Code::WiderThanCloth && !told[0].is_error());
    assert!(
        told[0]
            .message
            .in_unit(unit_named("cm"))
            .contains("150 cm across the grain, and main is 147 cm wide"),
        "{}",
        told[0].message.in_unit(unit_named("cm"))
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
