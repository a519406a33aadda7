//! Faults of geometry in the trade's words and the draft's unit.

use crate::phrase::{Call, Fault};
use crate::report::Code;
use crate::voice::decimals;
use oaktag_geometry::curves::CurveFault;
use oaktag_geometry::meet::MeetFault;
use oaktag_geometry::moves::MoveFault;
use oaktag_geometry::parallel::{MOST_PAIRS, ParallelFault};
use oaktag_geometry::path::PathFault;
use oaktag_geometry::swing::SwingFault;

/// Turns a fault of geometry into one with words.
pub trait Say {
    /// In the words and unit of this call.
    fn say(self, call: &Call) -> Fault;
}

impl Say for PathFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            PathFault::NoLength { .. } => Fault::new(
                Code::NoLength,
                "Both ends fall on the same point, so there is no line between them.",
            ),
            PathFault::OffThePaper => Fault::new(
                Code::FigureTooLarge,
                "This would be drawn farther away than any paper reaches.",
            ),
            PathFault::Gap { gap, .. } => Fault::new(
                Code::CannotBeDrawn,
                format!(
                    "The parts do not join: between two of them is a gap of {}.",
                    call.length(gap)
                ),
            )
            .help("Join parts that share an end; draw a line across the gap first."),
            PathFault::Endless => {
                endless("This line has no end, and here its ends or its length are wanted.")
            }
            PathFault::PastTheEnd { wanted, length } => Fault::new(
                Code::PastTheEnd,
                format!(
                    "{} were to be measured along a line that is {} long.",
                    apart(call, wanted, length).0,
                    apart(call, wanted, length).1
                ),
            )
            .note(format!(
                "That is {} past its end.",
                small(call, wanted - length)
            )),
            PathFault::BeforeTheStart { wanted } => Fault::new(
                Code::PastTheEnd,
                format!(
                    "The place lies {} before the start of the line.",
                    call.length(-wanted)
                ),
            ),
            PathFault::NothingLeft { .. } => {
                Fault::new(Code::NoLength, "The cut leaves nothing of the line.")
            }
        }
    }
}

/// A distance between things that do not touch, which is never nothing.
pub fn small(call: &Call, gap: f64) -> String {
    if gap < 0.1 {
        "less than 0.1 mm".into()
    } else {
        call.length(gap)
    }
}

/// Two lengths that differ, in as many places as part them.
fn apart(call: &Call, a: f64, b: f64) -> (String, String) {
    let [a, b] = call.unit.apart(crate::kind::Dimension::LENGTH, [a, b]);
    (a, b)
}

/// A line without ends where they are wanted.
pub fn endless(message: &str) -> Fault {
    Fault::new(Code::LineIsEndless, message.to_owned())
        .help("Draw the line with an end: `to` a point, `for` a length, or `until` another line.")
}

impl Say for MeetFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            MeetFault::NeverMeet { gap, .. } => Fault::new(
                Code::NeverMeet,
                format!(
                    "These two never meet: they pass {} apart.",
                    small(call, gap)
                ),
            ),
            MeetFault::SeveralAnswers { points } => Fault::new(
                Code::SeveralAnswers,
                format!("These two meet {} times.", points.len()),
            )
            .help("Say which meeting is meant: `near` a point."),
            MeetFault::RunTogether { from, to } => Fault::new(
                Code::SeveralAnswers,
                format!(
                    "These two run along each other for {}, so there is no one meeting.",
                    call.length((to - from).hypot())
                ),
            ),
        }
    }
}

impl Say for ParallelFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            ParallelFault::TooTight { radius, distance, .. } => Fault::new(
                Code::CannotBeDrawn,
                format!("A parallel {} away cannot follow this curve: its tightest bend has a radius of {}.", call.length(distance.abs()), call.length(radius)),
            )
            .help("Take a smaller distance, or a gentler curve."),
            ParallelFault::NoRoom { distance, .. } => {
                Fault::new(Code::CannotBeDrawn, format!("There is no room for a parallel {} away.", call.length(distance.abs())))
            }
            ParallelFault::NoSide { .. } => {
                Fault::new(Code::WhichSense, "What it is drawn toward lies on the line itself, so it does not tell a side.")
                    .help("Head for a point well off the line.")
            }
            ParallelFault::Wound => Fault::new(
                Code::TooLarge,
                format!("This line winds through itself so often that its parallel would take more than {MOST_PAIRS} pairs of its pieces to be looked at."),
            )
            .help("Take the parallel of a part of it, or draw it without so many loops."),
            ParallelFault::Path(fault) => fault.say(call),
        }
    }
}

impl Say for SwingFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            SwingFault::TooShort {
                length, nearest, ..
            } => Fault::new(
                Code::NeverMeet,
                format!(
                    "{} do not reach the line: its nearest point is {} away.",
                    apart(call, length, nearest).0,
                    apart(call, length, nearest).1
                ),
            )
            .note(format!("It falls {} short.", small(call, nearest - length))),
            SwingFault::TooLong {
                length, farthest, ..
            } => Fault::new(
                Code::NeverMeet,
                format!(
                    "{} pass beyond the line: its farthest point is {} away.",
                    apart(call, length, farthest).0,
                    apart(call, length, farthest).1
                ),
            )
            .note(format!(
                "They are {} too long.",
                small(call, length - farthest)
            )),
            SwingFault::NoLength { length } => Fault::new(
                Code::NoLength,
                format!("A length of {} reaches nothing.", call.length(length)),
            ),
        }
    }
}

impl Say for MoveFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            MoveFault::NotStraight => Fault::new(
                Code::CannotBeDrawn,
                "Paper folds along a straight line, and this one is curved.",
            ),
            MoveFault::NoDirection { .. } => Fault::new(
                Code::NoLength,
                "Two points that should give a direction fall together.",
            ),
            MoveFault::MouthTooWide { mouth, most } => Fault::new(
                Code::CannotBeDrawn,
                format!(
                    "A mouth of {} cannot be opened here: at this distance from the pivot it opens to {} at most.",
                    call.length(mouth),
                    call.length(most)
                ),
            ),
            MoveFault::Negative { length } => Fault::new(
                Code::CannotBeDrawn,
                format!("A length of {} is less than nothing.", call.length(length)),
            ),
            MoveFault::Path(fault) => fault.say(call),
        }
    }
}

impl Say for CurveFault {
    fn say(self, call: &Call) -> Fault {
        match self {
            CurveFault::Fullness { wanted } => Fault::new(
                Code::CannotBeDrawn,
                format!(
                    "Fullness goes from 0 (a straight line) to 1 (into the corner); {} is outside.",
                    decimals(wanted, 3)
                ),
            ),
            CurveFault::Depth {
                wanted,
                least,
                most,
            } => Fault::new(
                Code::CannotBeDrawn,
                format!(
                    "In this corner a hollow can be {} to {} deep, not {}.",
                    call.length(least),
                    call.length(most),
                    call.length(wanted)
                ),
            ),
            CurveFault::NoCorner { .. } => Fault::new(
                Code::NoLength,
                "The corner lies half way between the two ends, so there is no hollow to draw.",
            ),
            CurveFault::Handle { wanted } => Fault::new(
                Code::CannotBeDrawn,
                format!("A handle of {} runs backward.", call.length(wanted)),
            ),
            CurveFault::NoDirection => {
                Fault::new(Code::NoLength, "A direction of no length leads nowhere.")
            }
            CurveFault::TooFewPoints { .. } => Fault::new(
                Code::NoLength,
                "Two neighbouring points of the curve fall together.",
            ),
            CurveFault::Stretch { wanted, length } => Fault::new(
                Code::PastTheEnd,
                format!(
                    "{} were to be smoothed on a line that is {} long.",
                    call.length(wanted),
                    call.length(length)
                ),
            ),
            CurveFault::Path(fault) => fault.say(call),
        }
    }
}
