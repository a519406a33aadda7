//! Lengths that do not match: of a whole seam, of a section, and what is eased, gathered or stretched to make them.

use super::super::super::fault::Fault;
use super::super::super::spec::{Amount, EaseHow, EaseSpec, SeamPoint};
use super::super::places::Walked;
use super::super::{EQUAL, Seam, Section, Side};
use super::places::how_far;
use super::{named_at, names, said, seam};
use crate::report::{Code, Put};
use crate::say;
use crate::voice::{self, Words, figure};

pub(in super::super) fn ease_astray(walked: &Walked<'_>, spec: &EaseSpec) -> Fault {
    let message = seam(
        walked.spec,
        format!(
            "{} lies on one side of a seam, and these edges are not of one side",
            match spec.how {
                EaseHow::Ease => "ease",
                EaseHow::Gather => "a gather",
                EaseHow::Stretch => "a stretch",
            }
        ),
    );
    Fault::error(Code::UnknownEdge, spec.tag, message).note(format!(
        "The first side is {}, the second {}.",
        walked.first.side.spoken(),
        walked.second.side.spoken()
    ))
}

pub(in super::super) fn between_astray(
    walked: &Walked<'_>,
    spec: &EaseSpec,
    point: &SeamPoint,
) -> Fault {
    let message = seam(
        walked.spec,
        format!(
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
    .help("After `between` write two points on that edge, or a distance from an end of it: `85mm from POINT`")
}

pub(in super::super) fn ease_less(walked: &Walked<'_>, spec: &EaseSpec) -> Fault {
    let (text, other) = match spec.how {
        EaseHow::Ease => ("an ease is nothing or more", EaseHow::Stretch),
        EaseHow::Gather => {
            let text = "a gather is so many to one, one or more, or a length that is taken up";
            return Fault::error(Code::OutOfRange, spec.tag, seam(walked.spec, text))
                .help("Write `gather 1.5 on EDGE` where three of cloth go to two.");
        }
        EaseHow::Stretch => ("a stretch is nothing or more", EaseHow::Ease),
    };
    let fault = Fault::error(Code::OutOfRange, spec.tag, seam(walked.spec, text));
    let edges: Vec<&str> = spec.on.iter().map(|edge| edge.line.as_str()).collect();
    let whole = match (&spec.low, &spec.between) {
        (Amount::Length(mm), None) if spec.low == spec.high && !edges.contains(&"") => Some(say!(
            "{} {} on {}",
            other.word(),
            figure::written(mm.abs()),
            edges.join(", ")
        )),
        _ => None,
    };
    let written = whole.clone().unwrap_or_else(|| say!("{} …", other.word()));
    let fault = fault.help(match other {
        EaseHow::Stretch => say!("Where the edge is the shorter one and is pulled, write `{}`; where its partner is the longer one, say the ease of that.", written),
        _ => say!("Where the edge is the longer one, write `{}`.", written),
    });
    match whole {
        Some(whole) => fault.cure(spec.tag, Put::Over, whole),
        None => fault,
    }
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
        "Wanted: both the same length".into()
    } else if least < 0.0 && most > 0.0 {
        say!(
            "Wanted: {} at most {} longer, and at most {} shorter",
            seam.called(&seam.first),
            figure::spoken(most),
            figure::spoken(-least)
        )
    } else {
        let (side, least, most) = if most > 0.0 {
            (&seam.first, least, most)
        } else {
            (&seam.second, -most, -least)
        };
        let words = say!(
            "Wanted: {} longer by {}",
            seam.called(side),
            figure::spoken(least)
        );
        if least == most {
            words
        } else {
            say!("{} to {}", words, figure::spoken(most))
        }
    };
    if tolerance > EQUAL {
        say!("{}, within {}", words, figure::difference(tolerance))
    } else {
        words
    }
}

pub(in super::super) fn differs(seam: &Seam) -> Fault {
    let (first, second) = (&seam.first, &seam.second);
    let message = say!(
        "seam {}: {} {}, {} {}",
        voice::name(&seam.name),
        first.with_verb(),
        figure::length(first.length),
        second.with_verb(),
        figure::length(second.length)
    );
    let (more, less) = longer(seam, seam.ease());
    let found = say!(
        "{} is {} longer than {}",
        seam.called(more),
        figure::difference(seam.ease()),
        seam.called(less)
    );
    let ease = say!(
        "ease {} on {}",
        figure::written(seam.ease().abs()),
        names(more)
    );
    let help = if seam.is_eased() {
        say!(
            "Change one side by {}, or say another amount.",
            figure::difference(seam.excess())
        )
    } else {
        say!(
            "Make {} shorter by that, or, if it is to be eased in, write `{}`",
            seam.called(more),
            ease
        )
    };
    let caution = say!(
        "Seam {} does not fit: {} against {}",
        voice::name(&seam.name),
        figure::length(first.length),
        figure::length(second.length)
    );
    let fault = Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(found)
        .note(wanted(seam, seam.wanted, seam.tolerance))
        .help(help)
        .print(caution);
    if seam.is_eased() {
        fault
    } else {
        fault.cure(seam.tag, Put::Inside, ease)
    }
}

/// A section that cannot be sewn as stated, though the whole is as long as it should be.
pub(in super::super) fn section(seam: &Seam, section: &Section, walked: &Walked<'_>) -> Fault {
    let between = section.between;
    let (first, second) = between.lengths();
    let whole = if seam.is_eased() {
        "the whole is as long as stated, but not each section: "
    } else {
        "the sides are the same length, but not from place to place: "
    };
    let message = say!(
        "seam {}: {}{} on {} against {} on {}",
        voice::name(&seam.name),
        whole,
        figure::length(first),
        seam.called(&seam.first),
        figure::length(second),
        seam.called(&seam.second)
    );
    let place = say!(
        "from {} to {}",
        figure::length(between.from.0),
        figure::length(between.to.0)
    );
    let (more, _) = longer(seam, between.ease());
    let of_first = between.ease() >= 0.0;
    let named = |at: (f64, f64)| named_at(walked.ground, more, if of_first { at.0 } else { at.1 });
    let ends = named(between.from).zip(named(between.to));
    let (p, q) = ends.clone().unwrap_or(("P".to_owned(), "Q".to_owned()));
    let ease = say!(
        "ease {} on {} between {} and {}",
        figure::written(between.ease().abs()),
        names(more),
        p,
        q
    );
    let help = if seam.is_eased() {
        say!(
            "Move one place of a pair, or say in which part it is held in: `ease LENGTH on EDGE between P and Q`"
        )
    } else {
        say!(
            "Move one place of a pair, or, if it is to be eased in there, write `{}`",
            ease
        )
    };
    let caution = say!(
        "Seam {}: places do not match, {} against {}",
        voice::name(&seam.name),
        figure::length(first),
        figure::length(second)
    );
    let mut fault = Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(place)
        .note(wanted(
            seam,
            section.wanted,
            walked.spec.tolerance.unwrap_or(super::super::TOLERANCE),
        ))
        .help(help)
        .print(caution);
    for ease in &seam.eases {
        fault = fault.see(ease.tag, "what is said of it");
    }
    if seam.is_eased() || ends.is_none() {
        return fault;
    }
    fault.cure(seam.tag, Put::Inside, ease)
}

/// The sections hold what no sharing out of the sentences gives.
pub(in super::super) fn not_shared(seam: &Seam) -> Fault {
    let message = format!(
        "seam {}: each section is as stated by itself, but not all together",
        voice::name(&seam.name)
    );
    let eases = seam.sections.iter().map(|section| section.between.ease());
    let eases = eases.map(|ease| {
        let less = if ease < 0.0 { " less" } else { "" };
        say!("{}{}", figure::difference(ease), less)
    });
    let words = say!("Its sections hold {}.", Words::joined(eases, ", "));
    let mut fault = Fault::error(Code::SeamDiffers, seam.tag, message)
        .note(words)
        .help("Say of each part how much of it is held in: `ease LENGTH on EDGE between P and Q`");
    for ease in &seam.eases {
        fault = fault.see(ease.tag, "what is said of it");
    }
    fault
}
