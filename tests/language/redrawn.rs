//! Lines as they were before a `redraw`, kept for the drawing: where they lie off the new, and while their sheet lies where it lay.

use oaktag_language::draft::inputs::Inputs;
use oaktag_language::draft::{self, Outcome};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::{check, library};

fn drawn(sentences: &str) -> Outcome {
    let text = format!(
        "draft \"Redrawn\"\nunit cm
panel back {{
  point nape = origin
  line centre = from nape toward down for 40cm
  line hem = from end of centre toward right for 20cm
}}
{sentences}
"
    );
    let project = Project::load("redrawn.draft", &text, &NoFiles, &library::module);
    let checked = check::check(&project);
    let outcome = draft::draw(&project, &checked, &Inputs::default());
    assert!(!outcome.has_errors(), "{:?}", outcome.diagnostics);
    // A batch draws the same.
    let batch = draft::draw_unrecorded(&project, &checked, &Inputs::default());
    assert_eq!(batch.pattern.redrawn, outcome.pattern.redrawn);
    outcome
}

/// The names, and how far down each old line begins.
fn old(sentences: &str) -> Vec<(String, f64)> {
    let redrawn = drawn(sentences).pattern.redrawn;
    let found = redrawn.iter();
    found
        .map(|(name, path)| (name.clone(), -path.start().unwrap().y))
        .collect()
}

fn hem(down: f64) -> (String, f64) {
    ("back.hem".to_owned(), down)
}

#[test]
fn a_line_that_was_moved_is_kept_as_it_was_each_time() {
    let lower = "redraw back.hem = slide back.hem by 3cm toward down\n";
    assert_eq!(old(lower), [hem(400.0)]);
    assert_eq!(old(&lower.repeat(2)), [hem(430.0), hem(400.0)]);
}

#[test]
fn what_lies_under_the_new_line_is_not() {
    assert_eq!(old("redraw back.centre = extend back.centre by 4cm"), []);
    let shorter = "redraw back.hem = part of back.hem from start of back.hem to (1/2 of the way along back.hem)";
    assert_eq!(old(shorter), [hem(400.0)]);
}

#[test]
fn branches_and_trials_are_looked_through() {
    let branch = "choose deeper = 3cm between 0cm and 9cm
panel back traced from back {
  if deeper > 0cm { redraw hem = slide hem by deeper toward down } otherwise { redraw hem = slide hem by 1cm toward up }
}";
    assert_eq!(old(branch), [hem(400.0)]);
    let trial = "panel back traced from back {
  try down_by between 1cm and 9cm {
    redraw hem = slide hem by down_by toward down
  } until (rise from start of hem to nape) = 45cm
}";
    assert_eq!(old(trial), [hem(400.0)]);
}

#[test]
fn a_sheet_that_is_moved_afterwards_leaves_them_behind() {
    let moved = "redraw back.hem = slide back.hem by 3cm toward down
panel back = slide back by 5cm toward right";
    assert_eq!(old(moved), []);
}
