//! What a `redraw` leaves on the paper: told in its step, and thin and broken beside the new line there.

use crate::lesson::taught;
use oaktag_output::drawing::style::Pen;
use oaktag_studio::lesson::{Lesson, Options, Step};

/// A sheet with three lines and a point, and steps that draw them anew.
fn lesson(steps: &str) -> Lesson {
    let text = format!(
        "draft \"Redrawn\"\nunit cm
panel back {{
  point nape = origin
  point tip = nape right 20cm down 2cm
  line centre = from nape toward down for 40cm
  line hem = from end of centre toward right for 20cm
  curve neck = from nape to tip leaving right
}}
panel back traced from back {{
{steps}
}}
piece back {{ outline centre, hem, (from end of hem to tip), neck
  cut 1 }}
"
    );
    let text = text.split("piece back").next().unwrap().to_owned();
    taught(&text, &Options::default()).0
}

fn last(lesson: &Lesson) -> &Step {
    lesson.steps.last().unwrap()
}

/// How many lines of its picture are drawn with the pen for what is gone.
fn gone(step: &Step) -> usize {
    let written = oaktag_output::svg::of_drawing(&step.plates[0].drawing);
    written
        .matches(&format!("class=\"{}\"", Pen::Gone.name()))
        .count()
}

#[test]
fn one_line_drawn_anew_says_so_in_its_own_sentence() {
    let lesson = lesson("step \"Lower the hem\" { redraw hem = slide hem by 3cm toward down }");
    let step = last(&lesson);
    assert_eq!(
        step.does,
        ["Redraw the hem: slide it by 3 cm straight down; the old line is no longer used."]
    );
    // The line, and its sample at the foot.
    assert_eq!(gone(step), 2);
}

#[test]
fn a_name_in_its_own_sentence_is_the_old_one() {
    let lesson = lesson("step \"Neck\" { redraw neck = parallel to neck by 4mm toward down }");
    let said = &last(&lesson).does[0];
    let begins = "Redraw the neck, a parallel to the old neck at 0.4 cm straight down; the old line is no longer used.";
    assert!(said.starts_with(begins), "{said}");
}

#[test]
fn what_only_grew_leaves_nothing_and_what_was_cut_off_its_rest() {
    let lesson = lesson("step \"Longer\" { redraw centre = extend centre by 4cm }");
    assert!(!last(&lesson).does[0].contains("no longer used"));
    assert_eq!(gone(last(&lesson)), 0);
    let lesson = self::lesson(
        "step \"Shorter\" { redraw hem = part of hem from start of hem to (1/2 of the way along hem) }",
    );
    assert!(last(&lesson).does[0].ends_with("; the rest of the old line is no longer used."));
    assert_eq!(gone(last(&lesson)), 2);
}

#[test]
fn several_are_told_once_at_the_end_of_their_step() {
    let lesson = lesson(
        "step \"Lower\" {
  redraw tip = tip down 1cm
  redraw neck = from nape to tip leaving right
  redraw hem = slide hem by 3cm toward down
}",
    );
    let does = &last(&lesson).does;
    assert_eq!(does.len(), 4);
    assert_eq!(
        does[3],
        "The old tip, the old neck and the old hem are no longer used."
    );
    assert!(does[..3].iter().all(|said| !said.contains("no longer")));
}
