//! Messages about sentences: how they are put together and where they may stand.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::SentenceBroken,
        "A sentence stops short, goes on after its end, or begins with a word that begins none. The message says what should stand there.",
        "piont tip = origin right 12cm",
        "Mend the word, or finish the sentence. The rest of the draft is read all the same.",
    ),
    explain(
        Code::NameIsReserved,
        "A linking word (`from`, `to`, `along` …) or a direction (`left`, `down` …) stands where a name is wanted. These few words are the joints of every phrase, so no line can be called by them.",
        "point left = origin left 3cm",
        "Take another name, such as `left_point`.",
    ),
    explain(
        Code::PhraseNeedsBrackets,
        "A phrase stands inside another one, beside a comparison, or a figure below nothing stands right after a word. Without brackets its words would be taken for those of the outer phrase.",
        r#"panel back {
  point tip = origin right 12cm
  check "wide" that distance from origin to tip > 9cm
}"#,
        "Put brackets round the inner phrase: `(distance from origin to tip) > 9cm`.",
    ),
    explain(
        Code::SentenceOutOfPlace,
        "The sentence is sound but has no meaning here: `cut` outside a piece, `give` outside an operation, a measure inside a panel.",
        "cut 2 from main",
        "Move the sentence to where it belongs; the message names the place.",
    ),
    explain(
        Code::TextHoleBroken,
        "Between the braces of a text stands something that is no name and no phrase.",
        r#"panel back {
  step "Neck" {
    note "Take {} off the neck."
    point tip = origin right 12cm
  }
}"#,
        "Write the figure's name between the braces, `{neck_depth}`, or `{{` for a brace itself.",
    ),
];
