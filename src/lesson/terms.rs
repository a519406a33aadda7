//! Words of the trade and what they mean, in this project's own words; those of them that a lesson uses stand at its end.

use super::{Lesson, Step};

/// Term, other words for it, meaning.
const TERMS: &[(&str, &[&str], &str)] = &[
    (
        "Across back",
        &[],
        "Width over the back, half way down the armhole.",
    ),
    (
        "Across front",
        &["chest width"],
        "Width over the chest, from armhole to armhole.",
    ),
    (
        "Allowance",
        &[],
        "Cloth left outside the sewing line, for the seam or hem.",
    ),
    (
        "Armhole",
        &["scye"],
        "The opening the sleeve is sewn into; also called the scye.",
    ),
    (
        "Balance",
        &[],
        "How front and back, or the two halves of an armhole, compare in length.",
    ),
    (
        "Bias",
        &[],
        "The direction at 45° to the grain, in which cloth gives most.",
    ),
    (
        "Blade point",
        &[],
        "Where the shoulder blade stands out most.",
    ),
    ("Blend", &[], "To redraw a corner as one smooth line."),
    (
        "Block",
        &["sloper"],
        "A basic pattern without style or allowances, its ease stated.",
    ),
    ("Box pleat", &[], "Two folds turned away from each other."),
    ("Bust point", &["apex"], "Where the breast stands out most."),
    (
        "Button stand",
        &[],
        "The strip of the front that carries buttons or buttonholes.",
    ),
    (
        "Cap",
        &["crown"],
        "The part of a sleeve above the underarm line.",
    ),
    (
        "CB",
        &["centre back"],
        "Centre back: the line down the middle of the back.",
    ),
    (
        "CF",
        &["centre front"],
        "Centre front: the line down the middle of the front.",
    ),
    (
        "Collar fall",
        &[],
        "The part of a collar that turns down over the stand.",
    ),
    (
        "Collar stand",
        &[],
        "The upright band between neckline and fall.",
    ),
    ("Cuff", &[], "The band that finishes a sleeve at the wrist."),
    (
        "Cutting line",
        &["cut line"],
        "The outer line, along which the cloth is cut.",
    ),
    (
        "Dart",
        &[],
        "A wedge of cloth that is sewn away to give shape.",
    ),
    (
        "Ease",
        &[],
        "What a garment measures more than the body, or one side of a seam more than the other.",
    ),
    ("Facing", &[], "An inner layer that finishes an edge."),
    (
        "Fold line",
        &["on fold", "the fold"],
        "A line on which a piece or an edge is folded.",
    ),
    (
        "Fullness",
        &[],
        "Length that is gathered, pleated or eased away; of a curve, how far it fills its corner.",
    ),
    ("Fusible", &[], "Interlining that is bonded by heat."),
    (
        "Grain",
        &["grainline"],
        "The way the warp runs; a piece is laid with its arrow along it.",
    ),
    (
        "Guide line",
        &[],
        "A line drawn only to find others by; it is as long as the paper.",
    ),
    ("Hem", &[], "The finished lower edge."),
    (
        "Hollow curve",
        &["hollow"],
        "A curve that fills a corner without reaching it; its depth is measured from the corner.",
    ),
    (
        "Interlining",
        &[],
        "A layer that gives collar, cuff or stand its body.",
    ),
    (
        "Mirror",
        &[],
        "To copy a shape to the other side of a line, as if the paper were folded there.",
    ),
    (
        "Mitre",
        &[],
        "A corner cut on the line that halves its angle.",
    ),
    ("Net", &[], "On the sewing line, without allowance."),
    (
        "Notch",
        &[],
        "A mark at an edge that meets its fellow on another piece.",
    ),
    (
        "Overlap",
        &[],
        "The part of the front that lies over the other when it is closed.",
    ),
    (
        "Parallel",
        &[],
        "A line that keeps one distance from another all along.",
    ),
    (
        "Pitch",
        &[],
        "How a sleeve hangs, forward or back; of buttons, the way from one to the next.",
    ),
    (
        "Pivot",
        &[],
        "To turn a part of the draft about a point that stays.",
    ),
    (
        "Placket",
        &[],
        "A slit that is finished so that it opens and closes.",
    ),
    (
        "Pleat",
        &[],
        "Cloth folded over itself and held at one end or both.",
    ),
    ("Plumb", &[], "Straight down, as a weight hangs."),
    (
        "Scye depth",
        &[],
        "From the back neck point down to the level of the armpit.",
    ),
    (
        "Scye line",
        &[],
        "The level line through the bottom of the armholes.",
    ),
    ("Seam", &[], "Where two pieces are joined."),
    ("Selvedge", &[], "The firm long edge of the cloth."),
    ("Sewing line", &[], "The line on which pieces are joined."),
    (
        "Shoulder slope",
        &[],
        "How far the shoulder falls below the level, as an angle.",
    ),
    (
        "Slash",
        &[],
        "To cut into a pattern so that it can be opened.",
    ),
    (
        "Slide",
        &[],
        "To move a part of the draft straight, without turning it.",
    ),
    ("Square", &["squared"], "At a right angle."),
    ("Suppression", &[], "Width taken out at the waist."),
    (
        "Swing",
        &[],
        "To hold one end of a set length and move the other until it meets a line.",
    ),
    ("Toile", &["muslin"], "A trial garment in cheap cloth."),
    (
        "Trace",
        &["traced"],
        "To copy lines through onto a fresh sheet.",
    ),
    (
        "True",
        &[],
        "To correct lines so that pieces run on smoothly where they are joined.",
    ),
    ("Underarm", &[], "Where armhole and side seam meet."),
    (
        "Underlap",
        &[],
        "The part that lies underneath when an opening is closed.",
    ),
    (
        "Walk",
        &[],
        "To roll one seam along another and compare their lengths.",
    ),
    (
        "Yoke",
        &[],
        "The piece over the shoulders that joins back and front.",
    ),
];

/// The terms that stand in a lesson's words, in alphabetical order.
pub(super) fn used(lesson: &Lesson) -> Vec<(&'static str, &'static str)> {
    let mut text = String::new();
    for step in &lesson.steps {
        gather(step, &mut text);
    }
    for (label, cut) in &lesson.pieces {
        text.push_str(&format!(" {label} {cut}"));
    }
    for figure in lesson.body.iter().chain(&lesson.choices) {
        text.push_str(&format!(" {} {}", figure.name, figure.text));
    }
    let text = format!(" {} ", words(&text));
    let has = |term: &str| {
        text.contains(&format!(" {} ", words(term)))
            || text.contains(&format!(" {}s ", words(term)))
    };
    let used = TERMS
        .iter()
        .filter(|(term, others, _)| has(term) || others.iter().any(|other| has(other)));
    used.map(|(term, _, meaning)| (*term, *meaning)).collect()
}

fn gather(step: &Step, text: &mut String) {
    let said = [&step.does, &step.notes, &step.whys, &step.terms];
    for words in said.into_iter().flatten() {
        text.push(' ');
        text.push_str(words);
    }
    text.push_str(&format!(" {} {}", step.title, step.panel));
    for slip in &step.slips {
        text.push_str(&format!(" {}", slip.text));
    }
    step.inside.iter().for_each(|inside| gather(inside, text));
}

/// Small letters, one space between words, no signs.
fn words(text: &str) -> String {
    let plain: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::TERMS;

    #[test]
    fn terms_stand_in_alphabetical_order_and_none_twice() {
        let lower: Vec<String> = TERMS.iter().map(|(term, ..)| term.to_lowercase()).collect();
        assert!(lower.windows(2).all(|pair| pair[0] < pair[1]), "{lower:?}");
    }
}
