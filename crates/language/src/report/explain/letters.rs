//! Messages about letters, figures, units and brackets.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::StrayCharacter,
        "A sign stands here that no sentence uses, such as a semicolon. Texts between quotation marks may hold any sign.",
        "length hem = 94cm;",
        "Leave the sign out. A sentence ends where its line ends.",
    ),
    explain(
        Code::LookAlikeCharacter,
        "A word processor has put a typeset sign in place of the plain one: a long dash for a minus, curly quotation marks, a multiplication cross.",
        "length half = 94cm – 5mm",
        "Type the plain sign: `-`, `*`, `/`, `\"`.",
    ),
    explain(
        Code::TextNotClosed,
        "A text begins with a quotation mark and its line ends before another one closes it.",
        r#"draft "Ferry shirt"#,
        "Close the text on the line it begins on.",
    ),
    explain(
        Code::UnitApart,
        "A unit stands tight against its figure, so that a figure and its unit are one word.",
        "length hem = 94 cm",
        "Take the space out: `94cm`.",
    ),
    explain(
        Code::UnknownUnit,
        "The word after a figure is no unit. Lengths are in mm, cm, m or in, angles in deg, shares in %.",
        "length hem = 94cn",
        "Write one of the units, tight against the figure.",
    ),
    explain(
        Code::FigureForm,
        "A figure is written as another pen would write it: with a decimal comma, an inch mark, a fraction in one character, a degree sign, or a hyphen before its fraction.",
        "length hem = 7,5cm",
        "Write a point for the comma, `in` for inches with the fraction after a space (`15 3/4in`), and `deg` for degrees.",
    ),
    explain(
        Code::BracketUnmatched,
        "A bracket is opened and never closed, or closed and never opened. The message shows where it opens and how far it was looked for.",
        "length quarter = (94cm + 10cm / 4",
        "Write the missing bracket where its part ends.",
    ),
    explain(
        Code::TooLarge,
        "Something is larger than any draft needs: brackets inside more than 64 others, a sentence or a file of immoderate length, thousands of operations or panels. The limit keeps a slip from taking the machine down.",
        "length hem = (((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((94cm)))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))",
        "Draw the parts first, each under its own name.",
    ),
];
