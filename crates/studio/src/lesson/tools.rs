//! What has to lie ready before the first step: the usual, and what the acts of this lesson ask for beside it.

use super::{Lesson, Step};
use oaktag_language::voice;

/// What every lesson asks for.
const ALWAYS: [&str; 6] = [
    "paper larger than the garment's half",
    "a sharp pencil and a coloured one",
    "a long ruler",
    "a set square",
    "a tape measure",
    "scissors for paper",
];

/// A word of an act, and what it asks for.
const ASKED: [(&[&str], &str); 5] = [
    (
        &["its places.", "smooth curve", "hollow curve"],
        "a flexible ruler, or a curve to lay along the places of a table",
    ),
    (
        &["compasses", "swing it", "strike an arc"],
        "compasses, and for what they do not reach a strip of card with two holes",
    ),
    (
        &["race off", "irror", "old the paper", "race the outline off"],
        "tracing paper",
    ),
    (
        &["pivot", "lay them from", "slash"],
        "pins, to turn traced paper about a point",
    ),
    (&["slash"], "sticky tape"),
];

/// Said where an act turns by an angle.
const NO_PROTRACTOR: &str = " No protractor: beside each angle stands what a ruler makes of it.";

/// The tools of a lesson, in a sentence or two.
pub(super) fn tools(lesson: &Lesson) -> String {
    let mut said = String::new();
    for step in &lesson.steps {
        gather(step, &mut said);
    }
    for work in &lesson.pieces {
        said.push_str(&work.does.join(" "));
    }
    let mut tools: Vec<&str> = ALWAYS.to_vec();
    for (words, tool) in ASKED {
        if words.iter().any(|word| said.contains(word)) {
            tools.push(tool);
        }
    }
    let mut said_all = voice::capital(&voice::list(&tools));
    said_all.push('.');
    if said.contains('°') {
        said_all.push_str(NO_PROTRACTOR);
    }
    said_all
}

fn gather(step: &Step, said: &mut String) {
    for does in &step.does {
        said.push_str(does);
        said.push(' ');
    }
    step.inside.iter().for_each(|inside| gather(inside, said));
}
