//! Messages about phrases and operations.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::UnknownPhrase,
        "No phrase begins with that word.",
        r#"panel back {
  point tip = origin right 12cm
  point turned = pivt tip about origin by 6deg clockwise
}"#,
        "Mend the word; `oaktag phrases` lists every phrase.",
    ),
    explain(
        Code::WordsDoNotFit,
        "The phrase exists, but not with these linking words: one is missing, one is too many, or one stands twice. The nearest forms are shown.",
        r#"panel back {
  point tip = origin right 12cm
  point foot_point = foot from tip
}"#,
        "Say it as one of the forms shown. Words that belong to an inner phrase stand with it in brackets.",
    ),
    explain(
        Code::UnknownOption,
        "After `with` stands a word that this phrase, or this cloth, does not take.",
        r#"panel back {
  point tip = origin right 12cm down 4cm
  curve edge = from origin to tip leaving right arriving down with handels 0.4
}"#,
        "Take one of its options; `oaktag phrases` lists them with the phrase.",
    ),
    explain(
        Code::FormsOverlap,
        "An operation is declared whose call could also be another phrase, so that nobody could tell which is meant.",
        r#"operation foot from (point p) onto (line l) gives point "A foot." {
  give p
}"#,
        "Take another head word, or a linking word that tells them apart.",
    ),
    explain(
        Code::OperationNotAbove,
        "An operation calls itself, or one that is declared below it. Operations see only those above, so that every draft ends.",
        r#"operation halved (length l) gives length "Half of it." {
  give (halved l) / 2
}"#,
        "Move the other operation up. To do a thing several times, write `each`.",
    ),
    explain(
        Code::ClothSideUnknown,
        "`inside` and `outside` mean the side of the cloth, and the panel has not said where its cloth is. Inside a neck line could mean into the body or toward the hole.",
        r#"panel back {
  curve neck = from origin to (origin right 7cm up 2cm) leaving right arriving up
  curve wide = parallel to neck by 6mm toward inside
}"#,
        "Write `cloth at` a point that lies on cloth, once in the panel; or head `toward` a point.",
    ),
];
