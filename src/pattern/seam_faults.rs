//! What is said of a seam that cannot be sewn as stated: both lengths, what was wanted, and what to write.

use super::fault::{Fault, Words};
use super::figure;
use super::seam::{EQUAL, Interval, Seam, Side};
use super::spec::{SeamSpec, Tag};
use crate::report::Code;

pub(super) fn differs(seam: &Seam) -> Fault {
    let (first, second) = (&seam.first, &seam.second);
    let message = Words::new(format!(
        "seam {}: {} ",
        spoken(&seam.name),
        first.with_verb()
    ))
    .length(first.length)
    .text(format!(", {} ", second.with_verb()))
    .length(second.length);
    let (longer, shorter) = if seam.ease() >= 0.0 {
        (first, second)
    } else {
        (second, first)
    };
    let found = Words::new(format!("{} is ", seam.called(longer)))
        .difference(seam.ease())
        .text(format!(" longer than {}", seam.called(shorter)));
    let help = if seam.is_eased() {
        Words::new("Change one side by ")
            .difference(seam.excess())
            .text(", or state the ease you want.")
    } else {
        Words::new(format!(
            "Make {} shorter by that, or, if it is to be eased in, write  ease ",
            seam.called(longer)
        ))
        .written(seam.ease().abs())
        .text(format!(" on {}", names(longer)))
    };
    let caution = Words::new(format!("Seam {} does not fit: ", spoken(&seam.name)))
        .length(first.length)
        .text(" against ")
        .length(second.length);
    Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(found)
        .note(wanted(seam))
        .with_help(help)
        .print(caution)
        .figure("first", first.length)
        .figure("second", second.length)
        .figure("excess", seam.excess())
}

/// What the two sides should have been.
fn wanted(seam: &Seam) -> Words {
    let (least, most) = seam.wanted;
    let words = if seam.is_eased() {
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
    } else {
        Words::new("Wanted: both as long")
    };
    if seam.tolerance > EQUAL {
        words.text(", within ").difference(seam.tolerance)
    } else {
        words
    }
}

pub(super) fn uneven(seam: &Seam, interval: Interval) -> Fault {
    let (first, second) = interval.lengths();
    let message = Words::new(format!(
        "seam {}: the sides are as long, but not between notches: ",
        spoken(&seam.name)
    ))
    .length(first)
    .text(format!(" on {} against ", seam.first.spoken()))
    .length(second)
    .text(format!(" on {}", seam.second.spoken()));
    let place = Words::new("from ")
        .length(interval.from.0)
        .text(" to ")
        .length(interval.to.0);
    let caution = Words::new(format!(
        "Seam {}: notches do not match, ",
        spoken(&seam.name)
    ))
    .length(first)
    .text(" against ")
    .length(second);
    Fault::error(Code::SeamDiffers, seam.tag, message)
        .at(place)
        .note(
            Words::new("Wanted: every stretch from notch to notch as long on both sides, within ")
                .difference(seam.tolerance),
        )
        .with_help(Words::new(
            "Move one notch of the pair, or state an ease on the longer side.",
        ))
        .print(caution)
        .figure("first", first)
        .figure("second", second)
        .figure("excess", interval.ease())
}

pub(super) fn not_taken(spec: &SeamSpec, line: &str, tag: Tag) -> Fault {
    let spoken_line = figure::name(line);
    let message = Words::new(format!(
        "seam {}: no piece outlines {spoken_line}",
        spoken(&spec.name)
    ));
    Fault::warning(Code::SeamNotTaken, tag, message)
        .at(Words::new("in no piece's outline"))
        .note(Words::new(
            "It is measured, but its notches and allowance stand on no piece.",
        ))
        .with_help(Words::new(format!(
            "Outline {line} in a piece, or take the piece that does."
        )))
}

fn names(side: &Side) -> String {
    side.edges
        .iter()
        .map(|edge| edge.line.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}

fn spoken(name: &str) -> String {
    figure::name(name)
}
