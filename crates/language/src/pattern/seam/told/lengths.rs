//! Lengths that do not match: of a whole seam, of a section, and what is eased, gathered or stretched to make them.

use super::super::super::fault::{Fault, Words};
use super::super::super::spec::{EaseHow, EaseSpec, SeamPoint};
use super::super::places::Walked;
use super::super::{EQUAL, Seam, Section, Side};
use super::places::how_far;
use super::{names, said, seam};
use crate::report::Code;
use crate::voice;

pub(in super::super) fn ease_astray(walked: &Walked<'_>, spec: &EaseSpec) -> Fault {
    let message = seam(
        walked.spec,
        &format!(
            "{} lies on one side of a seam, and these edges are not of one side",
            match spec.how {
                EaseHow::Ease => "ease",
                EaseHow::Gather => "a gather",
                EaseHow::Stretch => "a stretch",
            }
        ),
    );
    Fault::error(Code::UnknownEdge, spec.tag, message).note(Words::new(format!(
        "The first side is {}, the second {}.",
        walked.first.side.spoken(),
        walked.second.side.spoken()
    )))
}

pub(in super::super) fn between_astray(
    walked: &Walked<'_>,
    spec: &EaseSpec,
    point: &SeamPoint,
) -> Fault {
    let message = seam(
        walked.spec,
        &format!(
            "{} is not a place on the edges that the {} is said of",
            said(point),
            spec.how.word()
        ),
    );
    how_far(
        walked,
        point,
        Fault::error(Code::NotchOffSeam, spec.tag, message),
    )
    .help(Words::new(
        "After  between  stand two points on that edge, or so far from an end of it:  85mm from POINT",
    ))
}

pub(in super::super) fn ease_less(walked: &Walked<'_>, spec: &EaseSpec) -> Fault {
    let (text, help) = match spec.how {
        EaseHow::Ease => (
            "an ease is nothing or more",
            "Where the edge is the shorter one and is pulled, write  stretch ; where its partner is the longer one, say the ease of that.",
        ),
        EaseHow::Gather => (
            "a gather is so many to one, one or more, or a length that is taken up",
            "Write  gather 1.5 on EDGE  where three halves of cloth go to one.",
        ),
        EaseHow::Stretch => (
            "a stretch is nothing or more",
            "Where the edge is the longer one, write  ease",
        ),
    };
    Fault::error(Code::OutOfRange, spec.tag, seam(walked.spec, text)).help(Words::new(help))
}

// ---- verdicts

/// What an amount of difference means: which side is longer.
fn longer(seam: &Seam, ease: f64) -> (&Side, &Side) {
    if ease >= 0.0 {
        (&seam.first, &seam.second)
    } else {
        (&seam.second, &seam.first)
    }
}

/// How much longer a side should be, in words.
fn wanted(seam: &Seam, (least, most): (f64, f64), tolerance: f64) -> Words {
    let words = if least == 0.0 && most == 0.0 {
        Words::new("Wanted: both as long")
    } else if least < 0.0 && most > 0.0 {
        Words::new(format!("Wanted: {} at most ", seam.called(&seam.first)))
            .spoken(most)
            .text(" longer, and at most ")
            .spoken(-least)
            .text(" shorter")
    } else {
        let (side, least, most) = if most > 0.0 {
            (&seam.first, least, most)
        } else {
            (&seam.second, -most, -least)
        };
        let words = Words::new(format!("Wanted: {} longer by ", seam.called(side))).spoken(least);
        if least == most {
            words
        } else {
            words.text(" to ").spoken(most)
        }
    };
    if tolerance > EQUAL {
        words.text(", within ").difference(tolerance)
    } else {
        words
    }
}

pub(in super::super) fn differs(seam: &Seam) -> Fault {
    let (first, second) = (&seam.first, &seam.second);
    let message = Words::new(format!(
        "seam {}: {} ",
        voice::name(&seam.name),
        first.with_verb()
    ))
    .length(first.length)
    .text(format!(", {} ", second.with_verb()))
    .length(second.length);
    let (more, less) = longer(seam, seam.ease());
    let found = Words::new(format!("{} is ", seam.called(more)))
        .difference(seam.ease())
        .text(format!(" longer than {}", seam.called(less)));
    let help = if seam.is_eased() {
        Words::new("Change one side by ")
            .difference(seam.excess())
            .text(", or say another amount.")
    } else {
        Words::new(format!(
            "Make {} shorter by that, or, if it is to be eased in, write  ease ",
            seam.called(more)
        ))
        .written(seam.ease().abs())
        .text(format!(" on {}", names(more)))
    };
    let caution = Words::new(format!("Seam {} does not fit: ", voice::name(&seam.name)))
        .length(first.length)
        .text(" against ")
        .length(second.length);
    Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(found)
        .note(wanted(seam, seam.wanted, seam.tolerance))
        .help(help)
        .print(caution)
}

/// A section that cannot be sewn as stated, though the whole is as long as it should be.
pub(in super::super) fn section(seam: &Seam, section: &Section, walked: &Walked<'_>) -> Fault {
    let between = section.between;
    let (first, second) = between.lengths();
    let whole = if seam.is_eased() {
        "the whole is as long as stated, but not each section: "
    } else {
        "the sides are as long, but not between their places: "
    };
    let message = Words::new(format!("seam {}: {whole}", voice::name(&seam.name)))
        .length(first)
        .text(format!(" on {} against ", seam.called(&seam.first)))
        .length(second)
        .text(format!(" on {}", seam.called(&seam.second)));
    let place = Words::new("from ")
        .length(between.from.0)
        .text(" to ")
        .length(between.to.0);
    let (more, _) = longer(seam, between.ease());
    let help = if seam.is_eased() {
        Words::new(
            "Move one place of a pair, or say in which part it is held in:  ease LENGTH on EDGE between P and Q",
        )
    } else {
        Words::new("Move one place of a pair, or, if it is to be eased in there, write  ease ")
            .written(between.ease().abs())
            .text(format!(" on {} between P and Q", names(more)))
    };
    let caution = Words::new(format!(
        "Seam {}: places do not match, ",
        voice::name(&seam.name)
    ))
    .length(first)
    .text(" against ")
    .length(second);
    let mut fault = Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(place)
        .note(wanted(
            seam,
            section.wanted,
            walked.spec.tolerance.unwrap_or(super::super::TOLERANCE),
        ))
        .help(help)
        .print(caution)
;
    for ease in &seam.eases {
        fault = fault.see(ease.tag, Words::new("what is said of it"));
    }
    fault
}

/// The sections hold what no sharing out of the sentences gives.
pub(in super::super) fn not_shared(seam: &Seam) -> Fault {
    let message = Words::new(format!(
        "seam {}: each section is as stated by itself, but not all together",
        voice::name(&seam.name)
    ));
    let mut words = Words::new("Its sections hold ");
    for (index, section) in seam.sections.iter().enumerate() {
        let ease = section.between.ease();
        words = words
            .text(if index == 0 { "" } else { ", " })
            .difference(ease)
            .text(if ease < 0.0 { " less" } else { "" });
    }
    let mut fault = Fault::error(Code::SeamDiffers, seam.tag, message)
        .note(words.text("."))
        .help(Words::new(
            "Say of each part how much of it is held in:  ease LENGTH on EDGE between P and Q",
        ));
    for ease in &seam.eases {
        fault = fault.see(ease.tag, Words::new("what is said of it"));
    }
    fault
}
