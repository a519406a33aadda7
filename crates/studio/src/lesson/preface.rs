//! What stands before the steps of every lesson, on a page and on paper alike.

use super::Lesson;
use oaktag_language::voice;

/// Blades, and what else is sharp or hot.
pub(super) const BLADES: &str = "Close a rotary cutter whenever you put it down, and cut away from your body. Hand scissors \
    over handle first. Use an awl on a board. Count your pins, and keep the iron's cord out of the way.";
/// How figures are drawn.
pub(super) const FIGURES: &str = "In each figure earlier lines are thin and grey, new lines heavy, points that you use are \
    ringed, a small corner marks a right angle, and the number before a name is that of the act that draws it. Left and \
    right are the sheet's, clockwise is as you look at it. A hollow curve leaves its first end toward the corner that is \
    named, and comes to its last end from that corner. A table gives a curve: lay the ruler from end to end, and at each \
    place along it square out as far as stands beside it; through the marks bend a flexible ruler.";
/// What no lesson claims.
pub(super) const NOT_SEWN: &str = "Drawn by calculation from the draft. Nothing here has been sewn: make a toile before you \
    cut good cloth.";
/// Over the picture half way.
pub(super) const HALF_WAY: &str =
    "Your sheets should look like this by now. Compare them with it before you go on.";

/// Over what stands before the first step.
pub(super) const BEFORE: &str = "Before you begin";
/// Over what has to lie ready.
pub(super) const NEED: &str = "You need";
/// Over the sheets half way through.
pub(super) const MIDWAY: &str = "Half way";
/// Over the table of the measures that a step reads.
pub(super) const MEASURES_USED: &str = "Measures used";
/// Over the slips that a step names.
pub(super) const IF_WRONG: &str = "If it is not right";
/// Over the order of the seams.
pub(super) const MAKING_UP: &str = "Make it up in this order";
/// Over what follows the last step.
pub(super) const FINISHED: &str = "The finished pattern";
/// Over the seams to be measured.
pub(super) const WALK: &str = "Walk the seams";
/// Over what a choice is for.
pub(super) const CHOICE: &str = "What it does";
/// Over how to print and measure the figures.
pub(super) const SCALE: &str = "The scale";
/// Over what numbers and letters stand for.
pub(super) const IN_FIGURE: &str = "In the figure";
/// Before the blocks that have to be drawn first.
pub(super) const BLOCKS: &str = "Drawn first for this body, by a lesson of its own";
/// Over the table of the body.
pub(super) const OF_BODY: &str = "Measures of the body";
/// Over how a measure is taken.
pub(super) const HOW_TAKEN: &str = "How to take it";
/// Over checks of lines that a later step redraws.
pub(super) const CHECKED_ANEW: &str = "Checks of what is drawn anew afterwards";

/// The scale of the figures.
pub(super) fn scale(lesson: &Lesson) -> String {
    match lesson.scale {
        Some(scale) => format!(
            "Figures are drawn at 1:{}; one that would not fit the paper is drawn at half of that or less, as it says underneath. \
             Print at 100 %, and lay a ruler on a figure's bar before you measure from it.",
            voice::number(scale)
        ),
        None => "Draw at full size. The figures are smaller, each with a bar for its own scale: measure from the words, \
                 not from the picture."
            .to_owned(),
    }
}

/// "A lesson in twelve steps, drawn for one body."
pub(super) fn subtitle(lesson: &Lesson) -> String {
    let steps = match lesson.steps.len() {
        1 => "one step".to_owned(),
        steps => format!("{steps} steps"),
    };
    format!(
        "A lesson in {steps}, drawn for one body. Figures are in {}.",
        lesson.unit
    )
}
