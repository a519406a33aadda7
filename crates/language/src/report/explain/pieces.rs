//! Messages about pieces: outlines, darts, folds, allowances and checks.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::OutlineOpen,
        "A piece's edges leave a gap, or it has none. Where a line was redrawn since, the message shows that sentence.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line centre = from c to a
}
piece back "Back" {
  outline top, centre
  allow 1cm
  finish top, centre "bound"
}"#,
        "Draw the second edge from the end of the first, or name the edge between them.",
    ),
    explain(
        Code::OutlineCrosses,
        "Two edges of a piece cross, or one crosses itself, so that it cannot be cut.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin right 26cm down 30cm
  point d = origin down 30cm
  line top = from a to b
  line slant = from b to d
  line hem = from d to c
  line other = from c to a
}
piece back "Back" {
  outline top, slant, hem, other
  allow 1cm
  finish top, slant, hem, other "bound"
}"#,
        "Look at the place the message names; often an end was taken for a start.",
    ),
    explain(
        Code::PieceFromAnOlderSheet,
        "A piece outlines a line that was redrawn on a later sheet, so that it would be cut as it was before.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  allow 1cm
  finish top, side, centre "bound"
}
panel back traced from back {
  redraw side = from b to c
}"#,
        "Move the piece below the last sheet of its panel.",
    ),
    explain(
        Code::UnknownEdge,
        "A piece or a seam names an edge, a panel or a piece that does not exist.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  allow 1cm
  allow 4cm on sied
  finish top, side, centre "bound"
}"#,
        "Mend the spelling, or outline the edge first.",
    ),
    explain(
        Code::EdgeNotWalked,
        "No seam joins the edge or a part of it, no fold holds it, no pleat takes it up, and nothing says how it is finished. Two blanks are not two good ones.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  allow 1cm
  finish top, side "bound"
}"#,
        "Join it in a seam, or say how it ends: `finish hem \"turned twice\"`.",
    ),
    explain(
        Code::DartDiffers,
        "The legs of a dart are not as long as each other within half a millimetre, so that they cannot be sewn to each other; or its mouth does not lie between two edges that follow each other in the outline.",
        r#"panel skirt {
  point waist_side = origin right 20cm
  point dart_in = origin right 8cm
  point dart_out = origin right 12cm
  point apex = origin right 9cm down 10cm
  line waist_in = from origin to dart_in
  line waist_out = from dart_out to waist_side
  line side = from waist_side toward down for 50cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
piece skirt {
  outline waist_in, waist_out, side, hem, centre
  cut 2
  grain along centre
  allow 1cm
  dart dart_in to dart_out at apex
  finish waist_in, waist_out, side, hem, centre "bound"
}"#,
        "Set both ends of the mouth off from the apex by one length, as a swing does, and leave the mouth out of the outline.",
    ),
    explain(
        Code::DartsOverlap,
        "Two darts lie so near to each other that one, pressed over, reaches into the mouth of the other and would be caught in it.",
        r#"panel skirt {
  point waist_side = origin right 20cm
  point first_in = origin right 8cm
  point first_out = origin right 12cm
  point second_in = origin right 13cm
  point second_out = origin right 17cm
  point first_apex = origin right 10cm down 10cm
  point second_apex = origin right 15cm down 10cm
  line waist_in = from origin to first_in
  line between_darts = from first_out to second_in
  line waist_out = from second_out to waist_side
  line side = from waist_side toward down for 50cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
piece skirt {
  outline waist_in, between_darts, waist_out, side, hem, centre
  cut 2
  grain along centre
  allow 1cm
  dart first_in to first_out at first_apex
  dart second_in to second_out at second_apex
  finish waist_in, between_darts, waist_out, side, hem, centre "bound"
}"#,
        "Press one the other way, `pressed toward waist_side`, set them farther apart, or take less in each.",
    ),
    explain(
        Code::NoAllowance,
        "Nothing says how much cloth lies beyond an edge.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  allow 1cm on top, side
  finish top, side, centre "bound"
}"#,
        "Write `allow 1cm on hem`, or in the seam that sews it; `allow 0mm` says that there is none.",
    ),
    explain(
        Code::NoInterlining,
        "A piece asks for an interlining so far inside its sewing line that nothing is left of it.",
        r#"panel band {
  line upper = from origin toward right for 20cm
  line right_end = from end of upper toward down for 3cm
  line lower = from end of right_end toward left for 20cm
  line left_end = from end of lower to origin
}
piece band "Band" {
  outline upper, right_end, lower, left_end
  allow 6mm
  interline 1 by 2cm
  finish upper, right_end, lower, left_end "faced"
}"#,
        "Write a smaller width; 2 to 3 mm is common practice for a fusible.",
    ),
    explain(
        Code::FoldNotSquare,
        "An edge meets the fold of the cloth at another angle than 90 degrees, or the fold is not straight. Unfolded, the piece would show a point or a dent there.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  cut 1 on fold at centre from main
  allow 1cm
  finish top, side "bound"
}"#,
        "Draw the edge so that it leaves square to the fold.",
    ),
    explain(
        Code::FoldAcrossGrain,
        "A piece lies on the fold of the cloth, and its grain does not run along that fold. Cloth is folded along its selvedges, so this piece would want it folded crosswise, or askew.",
        r#"panel strip {
  line lower = from origin toward right for 20cm
  line end_line = from end of lower toward up for 10cm
  line upper = from end of end_line toward left for 20cm
  line centre = from end of upper to origin
}
piece strip "Strip" {
  outline lower, end_line, upper, centre
  cut 2 on fold at centre
  grain along lower
  allow 1cm
  finish lower, end_line, upper "bound"
}"#,
        "Let the grain run along the fold, or cut the piece unfolded: `draw --unfold` draws it whole.",
    ),
    explain(
        Code::CheckFails,
        "A check of the draft does not hold. It says what was found, what was wanted, and which step last drew it.",
        r#"panel back {
  line edge = from origin to (origin right 12cm)
}
check "edge" that length of back.edge is between 13cm and 14cm"#,
        "Mend the line in the step that is named, or the check.",
    ),
    explain(
        Code::WiderThanCloth,
        "A piece, laid open with its grain along the cloth, is wider than the cloth is when it has shrunk.",
        r#"cloth main "poplin" width 90cm
panel skirt {
  line waist = from origin toward right for 100cm
  line side = from end of waist toward down for 60cm
  line hem = from end of side toward left for 100cm
  line centre = from end of hem to origin
}
piece skirt "Skirt" {
  outline waist, side, hem, centre
  cut 1 from main
  grain along side
  allow 1cm
  finish waist, side, hem, centre "bound"
}"#,
        "Divide it by a seam, turn its grain, or take a wider cloth.",
    ),
];
