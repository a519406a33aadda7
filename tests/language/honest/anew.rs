//! A check whose line is drawn anew afterwards no longer tells of the finished draft. What is true is known by construction:
//! every line is drawn to a given length.

use crate::honest::drawing::Run;
use oaktag_language::pattern::spec::Check;

/// An act that draws the side to a length and checks it, and one that does not touch it.
const ACTS: &str = r#"
unit mm
operation cut on (panel body) to (length long) gives panel "A side of that length." {
  panel body traced from body {
    redraw side = from start of side toward down for long
  }
  check "side" that length of body.side < 900mm
  give body
}
operation hang on (panel body) gives panel "The side with a line beside it." {
  panel body traced from body {
    line loop = from end of side toward right for 10mm
  }
  give body
}
panel vest {
  point top = origin right 200mm
  line hem = from origin toward right for 200mm
  line side = from top toward down for 300mm
}
"#;

fn checks(run: &Run) -> Vec<Check> {
    let (_, outcome) = run.drawn();
    outcome.pattern.checks.clone()
}

/// The draft's checks, without errors.
fn sound(text: &str) -> Vec<Check> {
    let run = Run::of(text);
    assert!(!run.drawn().1.has_errors(), "{}", run.shown());
    checks(&run)
}

fn said(check: &Check) -> String {
    check.overtaken().unwrap_or_default()
}

#[test]
fn of_acts_laid_over_each_other_those_stand_that_drew_the_last_length() {
    // Every row of three lengths out of three.
    for row in 0..27_u32 {
        let lengths = [row / 9, row / 3 % 3, row % 3].map(|one| 310 + 10 * one);
        let acts = lengths.map(|long| format!("panel vest = cut on vest to {long}mm\n"));
        let found = sound(&format!(
            "{ACTS}{}panel vest = hang on vest\n",
            acts.concat()
        ));
        for (check, long) in found.iter().zip(lengths) {
            assert_eq!(check.measured, format!("{long} mm"));
            assert_eq!(check.stands(), long == lengths[2], "{lengths:?}: {check:?}");
            let words = ["the vest side is drawn anew in `cut`", ""];
            assert_eq!(said(check), words[usize::from(check.stands())]);
            assert_eq!(check.of, "`cut`");
        }
    }
}

#[test]
fn what_is_moved_whole_or_not_touched_stands() {
    let found = sound(&format!(
        "{ACTS}check \"hem\" that length of vest.hem = 200mm\ncheck \"side\" that length of vest.side = 300mm\n\
         panel vest = slide vest by 50mm toward right\npanel vest = cut on vest to 320mm\n"
    ));
    let stand: Vec<bool> = found.iter().map(Check::stands).collect();
    assert_eq!(stand, [true, false, true]);
}

#[test]
fn a_place_on_the_sheet_is_not_where_it_was_when_the_sheet_is_moved() {
    let found = sound(&format!(
        "{ACTS}check \"off\" that (distance from origin to vest.top) = 200mm\npanel vest = slide vest by 50mm toward right\n"
    ));
    assert!(!found[0].stands());
    assert_eq!(
        said(&found[0]),
        "the vest top is drawn anew in panel `vest`"
    );
}

#[test]
fn a_figure_falls_with_the_line_it_was_worked_out_from() {
    let found = sound(&format!(
        "{ACTS}length half = length of vest.side / 2\nlength wide = length of vest.hem / 2\n\
         check \"half\" that half = 150mm\ncheck \"wide\" that wide = 100mm\npanel vest = cut on vest to 320mm\n"
    ));
    assert_eq!(said(&found[0]), "the vest side is drawn anew in `cut`");
    assert!(found[1].stands());
}

#[test]
fn an_import_that_is_gone_on_with_is_named_unless_it_is_cut_itself() {
    let block = r#"
draft "Block, plain"
unit mm
panel back {
  line centre = from origin toward down for 300mm
  line hem = from end of centre toward right for 200mm
  line side = from end of hem toward up for 300mm
  line top = from end of side to origin
}
check "side" that length of back.side = 300mm
piece back "Lining" {
  outline centre, hem, side, top
  cut 1
  grain along centre
  allow 1cm
  finish centre, hem, side, top "bound"
}
"#;
    let draft = "draft \"Vest\"\nunit mm\nimport \"block.draft\" as base\npanel vest traced from base.back {\n  \
                 step \"Shorten\" {\n    redraw side = from start of side toward up for 250mm\n  }\n}\n";
    let found = checks(&Run::of(draft).beside("block.draft", block));
    assert_eq!(found[0].of, "Block, plain");
    assert_eq!(
        said(&found[0]),
        "the vest side is drawn anew in step 1, \"Shorten\""
    );
    // The piece is cut from the vest, the only panel made from its own, and of two such from its own.
    let vest = format!("{draft}pieces of base\n");
    assert!(!checks(&Run::of(&vest).beside("block.draft", block))[0].stands());
    let cut = format!("{draft}panel bag traced from base.back {{\n}}\npieces of base\n");
    assert!(checks(&Run::of(&cut).beside("block.draft", block))[0].stands());
}

#[test]
fn an_act_that_cannot_be_drawn_draws_nothing_anew() {
    let acts = ACTS.replace(
        "  give body\n",
        "  require \"no\" that length of body.side < 400mm\n  give body\n",
    );
    let run = Run::of(&format!(
        "{acts}check \"side\" that length of vest.side = 300mm\npanel vest = cut on vest to 500mm\n"
    ));
    assert!(run.drawn().1.has_errors());
    assert!(checks(&run)[0].stands(), "{:?}", checks(&run));
}

#[test]
fn one_that_failed_then_is_an_error_all_the_same() {
    let run = Run::of(&format!(
        "{ACTS}check \"side\" that length of vest.side = 310mm\npanel vest = cut on vest to 310mm\n"
    ));
    let (_, outcome) = run.drawn();
    let failed = outcome
        .diagnostics
        .iter()
        .find(|told| told.is_error())
        .unwrap();
    assert_eq!(
        failed.notes,
        ["The vest side is drawn anew in `cut`.".into()]
    );
    assert!(!outcome.pattern.checks[0].ok && !outcome.pattern.checks[0].stands());
}

#[test]
fn without_a_record_the_same_stands() {
    let text =
        format!("{ACTS}panel vest = cut on vest to 320mm\npanel vest = cut on vest to 330mm\n");
    let run = Run::of(&text);
    let (project, recorded) = run.drawn();
    let checked = oaktag_language::check::check(&project);
    let inputs = oaktag_language::draft::Inputs::default();
    let bare = oaktag_language::draft::draw_unrecorded(&project, &checked, &inputs);
    assert_eq!(bare.pattern.checks, recorded.pattern.checks);
}
