//! Faults of geometry in the trade's words.

use crate::phrase::Fault;
use crate::report::Code;
use crate::say;
use crate::voice::{Words, decimals, figure};
use oaktag_geometry::curves::CurveFault;
use oaktag_geometry::meet::MeetFault;
use oaktag_geometry::moves::MoveFault;
use oaktag_geometry::parallel::{MOST_PAIRS, ParallelFault};
use oaktag_geometry::path::PathFault;
use oaktag_geometry::swing::SwingFault;

impl From<PathFault> for Fault {
    fn from(fault: PathFault) -> Self {
        match fault {
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
                say!(
                    "The parts do not join: between two of them is a gap of {}.",
                    figure::length(gap)
                ),
            )
            .help("Join parts that share an end; draw a line across the gap first."),
            PathFault::Endless => {
                endless("This line has no end, and here its ends or its length are wanted.")
            }
            PathFault::PastTheEnd { wanted, length } => Fault::new(
                Code::PastTheEnd,
                say!(
                    "{} was to be measured along a line that is {} long.",
                    figure::length(wanted),
                    figure::length(length)
                ),
            )
            .note(say!(
                "That is {} past its end.",
                figure::small(wanted - length)
            )),
            PathFault::BeforeTheStart { wanted } => Fault::new(
                Code::PastTheEnd,
                say!(
                    "The place lies {} before the start of the line.",
                    figure::length(-wanted)
                ),
            ),
            PathFault::NothingLeft { .. } => {
                Fault::new(Code::NoLength, "The cut leaves nothing of the line.")
            }
        }
    }
}

/// A line without ends where they are wanted.
pub(super) fn endless(message: impl Into<Words>) -> Fault {
    Fault::new(Code::LineIsEndless, message)
        .help("Draw the line with an end: `to` a point, `for` a length, or `until` another line.")
}

impl From<MeetFault> for Fault {
    fn from(fault: MeetFault) -> Self {
        match fault {
            MeetFault::NeverMeet { gap, .. } => Fault::new(
                Code::NeverMeet,
                say!(
                    "These two never meet: they pass {} apart.",
                    figure::small(gap)
                ),
            ),
            MeetFault::SeveralAnswers { points } => Fault::new(
                Code::SeveralAnswers,
                say!("These two meet {} times.", points.len()),
            )
            .help("Say which meeting is meant: `near` a point."),
            MeetFault::RunTogether { from, to } => Fault::new(
                Code::SeveralAnswers,
                say!(
                    "These two run along each other for {}, so there is no one meeting.",
                    figure::length((to - from).hypot())
                ),
            ),
        }
    }
}

impl From<ParallelFault> for Fault {
    fn from(fault: ParallelFault) -> Self {
        match fault {
            ParallelFault::TooTight { radius, distance, .. } => Fault::new(
                Code::CannotBeDrawn,
                say!("A parallel {} away cannot follow this curve: its tightest bend has a radius of {}.", figure::length(distance.abs()), figure::length(radius)),
            )
            .help("Take a smaller distance, or a gentler curve."),
            ParallelFault::NoRoom { distance, .. } => {
                Fault::new(Code::CannotBeDrawn, say!("There is no room for a parallel {} away.", figure::length(distance.abs())))
            }
            ParallelFault::NoSide { .. } => {
                Fault::new(Code::WhichSense, "What it is drawn toward lies on the line itself, so it does not say which side.")
                    .help("Head for a point well off the line.")
            }
            ParallelFault::Wound => Fault::new(
                Code::TooLarge,
                say!("This line winds through itself so often that its parallel would take more than {} pairs of its pieces to be looked at.", MOST_PAIRS),
            )
            .help("Take the parallel of a part of it, or draw it without so many loops."),
            ParallelFault::Path(fault) => fault.into(),
        }
    }
}

impl From<SwingFault> for Fault {
    fn from(fault: SwingFault) -> Self {
        match fault {
            SwingFault::TooShort {
                length, nearest, ..
            } => Fault::new(
                Code::NeverMeet,
                say!(
                    "{} do not reach the line: its nearest point is {} away.",
                    figure::length(length),
                    figure::length(nearest)
                ),
            )
            .note(say!("It falls {} short.", figure::small(nearest - length))),
            SwingFault::TooLong {
                length, farthest, ..
            } => Fault::new(
                Code::NeverMeet,
                say!(
                    "{} pass beyond the line: its farthest point is {} away.",
                    figure::length(length),
                    figure::length(farthest)
                ),
            )
            .note(say!(
                "They are {} too long.",
                figure::small(length - farthest)
            )),
            SwingFault::NoLength { length } => Fault::new(
                Code::NoLength,
                say!("A length of {} reaches nothing.", figure::length(length)),
            ),
        }
    }
}

impl From<MoveFault> for Fault {
    fn from(fault: MoveFault) -> Self {
        match fault {
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
                say!(
                    "A mouth of {} cannot be opened here: at this distance from the pivot it opens to {} at most.",
                    figure::length(mouth),
                    figure::length(most)
                ),
            ),
            MoveFault::Negative { length } => Fault::new(
                Code::CannotBeDrawn,
                say!("A length of {} is negative.", figure::length(length)),
            ),
            MoveFault::Path(fault) => fault.into(),
        }
    }
}

impl From<CurveFault> for Fault {
    fn from(fault: CurveFault) -> Self {
        match fault {
            CurveFault::Fullness { wanted } => Fault::new(
                Code::CannotBeDrawn,
                say!(
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
                say!(
                    "In this corner a hollow can be {} to {} deep, not {}.",
                    figure::length(least),
                    figure::length(most),
                    figure::length(wanted)
                ),
            ),
            CurveFault::NoCorner { .. } => Fault::new(
                Code::NoLength,
                "The corner lies half way between the two ends, so there is no hollow to draw.",
            ),
            CurveFault::Handle { wanted } => Fault::new(
                Code::CannotBeDrawn,
                say!("A handle of {} runs backward.", figure::length(wanted)),
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
                say!(
                    "{} was to be smoothed on a line that is {} long.",
                    figure::length(wanted),
                    figure::length(length)
                ),
            ),
            CurveFault::Path(fault) => fault.into(),
        }
    }
}
