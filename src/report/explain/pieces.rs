//! Messages about pieces and seams: outlines, folds, allowances, notches and checks.

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
        "No seam joins the edge, no fold holds it, and nothing says how it is finished. Two blanks are not two good ones.",
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
        Code::SeamDiffers,
        "The two sides of a seam differ by more than its tolerance and its ease allow. Both lengths are given, and the sentences that last drew them.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
panel front {
  point a = origin
  point b = origin right 20cm
  point c = origin down 31cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
piece back "Back" {
  outline top, side, centre
  allow 1cm
  finish top, centre "bound"
}
piece front "Front" {
  outline top, side, centre
  allow 1cm
  finish top, centre "bound"
}
seam side joins front.side to back.side"#,
        "Change one side, or, if it is eased in, say so in the seam: `ease 4mm on front.side`.",
    ),
    explain(
        Code::SeamBroken,
        "A seam cannot be walked as stated: it is to start where neither side begins.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
panel front {
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
  finish top, centre "bound"
}
piece front "Front" {
  outline top, side, centre
  allow 1cm
  finish top, centre "bound"
}
seam side joins front.side to back.side from back.a"#,
        "Name the end where sewing starts: an end of the first edge of either side.",
    ),
    explain(
        Code::NotchOffSeam,
        "A notch falls outside its seam or far from its piece, or a notch of one piece alone stands on a seam and has no partner.",
        r#"panel back {
  point a = origin
  point b = origin right 20cm
  point c = origin down 30cm
  line top = from a to b
  line side = from b to c
  line centre = from c to a
}
panel front {
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
  finish top, centre "bound"
}
piece front "Front" {
  outline top, side, centre
  allow 1cm
  finish top, centre "bound"
}
seam side joins front.side to back.side {
  notch single at 50cm from back.b
}"#,
        "Give a distance within the shorter side.",
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
        Code::CheckFails,
        "A check of the draft does not hold. It says what was found, what was wanted, and which step last drew it.",
        r#"panel back {
  line edge = from origin to (origin right 12cm)
}
check "edge" that length of back.edge is between 13cm and 14cm"#,
        "Mend the line in the step that is named, or the check.",
    ),
    explain(
        Code::AllowancesDiffer,
        "The sides of a seam are to lie raw edge on raw edge, and their allowances differ; or a seam that is sewn felled has no side that is wider, to be folded over the other.",
        r#"panel back {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin left 20cm down 30cm)
  line slant = from end of hem to origin
}
panel front {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin right 20cm down 30cm)
  line slant = from end of hem to origin
}
piece back "Back" {
  outline side, hem, slant
  cut 2
  grain along side
  allow 15mm
  finish hem, slant "bound"
}
piece front "Front" {
  outline side, hem, slant
  cut 2
  grain along side
  allow 1cm
  finish hem, slant "bound"
}
seam side joins front.side to back.side"#,
        "Write `allow` or `sewn` in the seam, which then holds for both sides. Where they are meant to differ, the seam says it: `allow 15mm on back.side`.",
    ),
    explain(
        Code::CutCount,
        "A seam joins an edge that is cut less often than the other side needs it, such as one front for both sides of a back, or a number that does not go round. An edge comes as often as its piece is cut, twice as often on the fold of the cloth.",
        r#"panel back {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin left 20cm down 30cm)
  line slant = from end of hem to origin
}
panel front {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin right 20cm down 30cm)
  line slant = from end of hem to origin
}
piece back "Back" {
  outline side, hem, slant
  cut 2
  grain along side
  allow 1cm
  finish hem, slant "bound"
}
piece front "Front" {
  outline side, hem, slant
  cut 1
  grain along side
  allow 1cm
  finish hem, slant "bound"
}
seam side joins front.side to back.side"#,
        "Change `cut` in the piece that is short; where one piece runs round both sides, name the twin's edges in the seam too: `mirrored front.waist`.",
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
    explain(
        Code::SeamNotTaken,
        "A seam is offered for a draft that has the other panels, or no piece outlines one of its lines, so that its notches and allowance stand nowhere.",
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
  finish top, centre "bound"
}
seam side joins arm.seam_front to back.side"#,
        "Take it with `pieces of` where the other side is drawn, or outline the line in a piece.",
    ),
];
