//! Messages about seams: which edges they join, which ends meet, how long the sides are, and what stands on them.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::SeamDiffers,
        "The two sides of a seam, or two of its sections from place to place, differ by more than the tolerance and by more than what its sentences hold in: `ease`, `gather`, `stretch`. Both lengths are given, what was wanted, and the sentences that last drew the edges.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 31cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 31cm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side"#,
        "Change one side, or, if it is eased in, say so in the seam: `ease 1cm on front.side`; where it lies, too: `ease 1cm on front.side between front.underarm and front.waist`.",
    ),
    explain(
        Code::SeamUnsure,
        "Nothing says which ends of a seam's sides meet, or the edges beside its ends say two different things. Lengths never decide it, nor does the way an outline is drawn: they are what the walk is to prove. Both readings are told with their figures.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 305mm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 305mm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side { ease 5mm on front.side }"#,
        "Name an end of either side that meet: `from front.underarm, back.underarm`.",
    ),
    explain(
        Code::SeamBroken,
        "A seam cannot be walked as stated: it is to start where neither side ends, to stop where a side does not pass, or a corner is said where it does not end.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 30cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 30cm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side from (start of back.top)"#,
        "Name an end of either side; the message lists them.",
    ),
    explain(
        Code::EdgeShared,
        "A seam joins edges of pieces, and the line it names is an edge of several; or several edges of one piece bear the name.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 30cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 30cm
  line top = from end of centre to underarm
}
piece outer of back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, side, hem, centre "bound"
}
piece lining of back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, side, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side"#,
        "Name the piece: `outer.side`; or, of two edges of one piece, the line with its panel: `panel.side`.",
    ),
    explain(
        Code::EdgesApart,
        "Two edges of a seam's side lie on one piece and do not follow each other: what lies between is neither sewn nor passed by. A side runs on by itself over a dart, a pleat and the seams that join its pieces.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line upper = from underarm toward down for 10cm
  line vent = from end of upper toward down for 8cm
  line lower = from end of vent toward down for 12cm
  line hem = from end of lower toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 22cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 22cm
  line top = from end of centre to underarm
}
piece back {
  outline top, upper, vent, lower, hem, centre
  cut 2
  allow 1cm
  finish top, vent, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.upper, back.lower"#,
        "Name the edge between them if it is sewn; if it is passed by, write `over back.vent` there.",
    ),
    explain(
        Code::CornerUnpaired,
        "One side of a seam turns a corner of more than 30 degrees, as sewn, and nothing says where on the other side it comes to lie. Corners are never paired by counting.",
        r#"panel back {
  point neck = origin
  point corner = origin down 10cm
  line slit = from neck to corner
  line ledge = from corner toward right for 6cm
  line side = from end of ledge toward down for 20cm
  line hem = from end of side toward left for 30cm
  line far = from end of hem toward up for 30cm
  line top = from end of far to neck
}
panel strip {
  point upper_end = origin
  line edge = from upper_end toward right for 16cm
  line end_out = from end of edge toward up for 4cm
  line upper = from end of end_out toward left for 16cm
  line end_in = from end of upper to upper_end
}
piece back {
  outline slit, ledge, side, hem, far, top
  cut 2
  allow 1cm
  finish side, hem, far, top "bound"
}
piece strip {
  outline edge, end_out, upper, end_in
  cut 2
  allow 1cm
  finish end_out, upper, end_in "bound"
}
seam slit joins back.slit, back.ledge to strip.edge from back.neck, strip.upper_end"#,
        "Carry it over, `notch single at back.corner`, or name the point that it meets: `back.corner meets facing.corner`.",
    ),
    explain(
        Code::WrongSideUp,
        "Two pieces are cut one way up only, and with the ends that meet as they are, one of them would have to be turned wrong side out to be sewn.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem toward up for 30cm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 1
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 1
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side from front.underarm, back.underarm"#,
        "Draw one of them the other way round with `mirror`, cut it as a pair, or, if it is a layer that is turned over, write `mirrored back.side`.",
    ),
    explain(
        Code::LineBreaks,
        "A hem, neckline, armhole or waistline does not run on over a seam: sewn, it turns by more than 3 degrees or steps by more than 1 mm.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side to (origin down 32cm)
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 30cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 30cm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side from front.underarm, back.underarm"#,
        "Redraw one of the two lines; where a corner is meant, write `corner at front.side_foot \"the tail\"` in the seam.",
    ),
    explain(
        Code::NotchOffSeam,
        "A notch of a seam cannot stand on both sides: it falls off the seam, lies on neither side, changes places with another, or finds no cloth to be cut into. Or a notch of one piece alone lies far from it, or stands on a seam and has no partner.",
        r#"panel back {
  point underarm = origin right 20cm
  line top = from origin to underarm
  line side = from underarm toward down for 30cm
  line hem = from end of side toward left for 20cm
  line centre = from end of hem to origin
}
panel front {
  point underarm = origin
  line side = from underarm toward down for 30cm
  line hem = from end of side toward right for 20cm
  line centre = from end of hem toward up for 30cm
  line top = from end of centre to underarm
}
piece back {
  outline top, side, hem, centre
  cut 2
  allow 1cm
  finish top, hem, centre "bound"
}
piece front {
  outline side, hem, centre, top
  cut 2
  allow 1cm
  finish hem, centre, top "bound"
}
seam side joins front.side to back.side from front.underarm, back.underarm {
  notch single at 50cm from back.underarm
}"#,
        "Give a distance within the shorter side.",
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
