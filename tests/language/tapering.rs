//! Allowances that taper, on a sheet 200 mm wide and 300 mm high whose cutting line is known by closed form: beside a straight
//! edge it is a straight line.

use crate::drawing::Run;
use kurbo::Point;
use oaktag_language::pattern::{Pattern, Piece};

/// The sheet, its left edge from the waist down, with that edge's lines and names, and what the piece says.
fn sheet(seat: &str, edges: &str, says: &str) -> String {
    format!(
        "draft \"Seat\"\nunit mm
panel back {{
  point waist_point = origin
  point fork = origin down 300mm
{seat}
  line hem = from fork toward right for 200mm
  line side = from end of hem toward up for 300mm
  line waist = from end of side to origin
}}
piece back \"Back\" {{
  outline {edges}, hem, side, waist
  cut 2
  grain along side
  allow 1cm
  finish {edges}, hem, side, waist \"bound\"
{says}
}}
"
    )
}

fn drawn(text: &str) -> (Pattern, Vec<String>) {
    let (_, outcome) = Run::of(text).drawn();
    let unit = outcome.pattern.unit;
    let told = outcome.diagnostics.iter();
    let told = told.map(|one| one.message.in_unit(unit).into_owned());
    let told = told.collect();
    (outcome.pattern, told)
}

fn piece(text: &str) -> Piece {
    let (pattern, told) = drawn(text);
    assert!(told.is_empty(), "{told:?}");
    pattern.piece("back").unwrap().clone()
}

/// Whether the cutting line has a corner there.
fn turns_at(piece: &Piece, x: f64, y: f64) -> bool {
    let cutting = piece.cutting.as_ref().unwrap();
    let mut ends = cutting.segs().iter().map(kurbo::ParamCurve::start);
    ends.any(|end| (end - Point::new(x, y)).hypot() < 1e-6)
}

/// 25 mm at the waist and 10 mm at the fork: the line through (-25, 0) and (-10, -300), to 10 mm above and below.
#[test]
fn it_runs_evenly_from_the_end_that_is_named() {
    let seat = |line: &str, says: &str| piece(&sheet(line, "seat", says));
    for (line, says) in [
        (
            "line seat = from waist_point to fork",
            "allow 25mm to 1cm on seat from waist_point",
        ),
        (
            "line seat = from waist_point to fork",
            "allow 1cm to 25mm on seat from fork",
        ),
        (
            "line seat = from waist_point to fork",
            "allow 1cm to 25mm on seat from end of seat",
        ),
        (
            "line seat = from fork to waist_point",
            "allow 25mm to 1cm on seat from waist_point",
        ),
        (
            "line seat = from fork to waist_point",
            "allow 1cm to 25mm on seat from start of seat",
        ),
    ] {
        let piece = seat(line, says);
        assert!(turns_at(&piece, -25.5, 10.0), "{says}");
        assert!(turns_at(&piece, -9.5, -310.0), "{says}");
        let cut = 320.0 * (210.0 + 17.5);
        assert!((piece.cut_area.unwrap() - cut).abs() < 1e-6, "{says}");
    }
    let piece = seat(
        "line seat = from waist_point to fork",
        "allow 25mm to 1cm on seat from fork",
    );
    assert!(turns_at(&piece, -9.5, 10.0) && turns_at(&piece, -25.5, -310.0));
    let piece = seat(
        "line seat = from waist_point to fork",
        "allow nothing to 15mm on seat from fork",
    );
    assert!(turns_at(&piece, -15.5, 10.0) && turns_at(&piece, 0.5, -310.0));
    // Both widths alike are one.
    let piece = seat(
        "line seat = from waist_point to fork",
        "allow 2cm to 2cm on seat from fork",
    );
    assert!(piece.edges[0].allowance.as_ref().unwrap().tapers.is_none());
}

/// Of edges that follow each other it is one taper, in whatever order they are named and whichever way each is drawn.
#[test]
fn it_runs_over_edges_that_follow_each_other() {
    for (upper, lower) in [
        ("waist_point to knee", "knee to fork"),
        ("knee to waist_point", "fork to knee"),
    ] {
        for named in ["upper, lower", "lower, upper"] {
            let lines = format!(
                "  point knee = origin down 100mm\n  line upper = from {upper}\n  line lower = from {lower}"
            );
            let says = format!("  allow 25mm to 1cm on {named} from waist_point");
            let piece = piece(&sheet(&lines, "upper, lower", &says));
            assert!(
                turns_at(&piece, -25.5, 10.0) && turns_at(&piece, -9.5, -310.0),
                "{named}"
            );
            assert_eq!(piece.edges[0].width_at(100.0), 20.0);
            assert_eq!(piece.edges[1].width_at(0.0), 20.0);
            let said = |at| {
                piece
                    .allowance_said(at, oaktag_language::voice::LengthUnit::Centimetre)
                    .unwrap()
            };
            assert_eq!(said(0), "2.5 cm at the waist point to 2 cm");
            assert_eq!(said(1), "2 cm at the upper edge to 1 cm");
        }
    }
    // Over the mouth of a dart, which has the width at it: 20 mm after 100 of 280 mm.
    let lines = "  point dart_top = origin down 100mm\n  point dart_foot = origin down 120mm
  line upper = from waist_point to dart_top\n  line lower = from dart_foot to fork";
    let says = "  dart dart_top to dart_foot at (origin right 60mm down 110mm)
  allow 24mm to 1cm on upper, lower from waist_point";
    let piece = piece(&sheet(lines, "upper, lower", says));
    let widths: Vec<f64> = piece
        .edges
        .iter()
        .take(3)
        .map(|edge| edge.width_at(0.0))
        .collect();
    assert_eq!(widths, [24.0, 19.0, 19.0]);
}

/// A notch is cut through the width at its place, square to the edge.
#[test]
fn a_notch_is_cut_through_the_width_at_its_place() {
    let says = "  allow 25mm to 1cm on seat from waist_point\n  notch single at (120mm along seat from waist_point)
  notch single at (290mm along seat from waist_point)";
    let piece = piece(&sheet(
        "  line seat = from waist_point to fork",
        "seat",
        says,
    ));
    let cuts: Vec<Point> = piece
        .notches
        .iter()
        .map(|notch| notch.marks[0].cut)
        .collect();
    for (cut, (x, y)) in cuts.iter().zip([(-19.0, -120.0), (-10.5, -290.0)]) {
        assert!((*cut - Point::new(x, y)).hypot() < 1e-6, "{cut:?}");
    }
}

/// Raw edge lies on raw edge where both sides taper alike; where one does not, the place is told at which they are farthest apart.
#[test]
fn both_sides_of_a_seam_taper_alike() {
    let back = sheet(
        "  line seat = from waist_point to fork",
        "seat",
        "  allow 25mm to 1cm on seat from waist_point",
    );
    let back = back.replace("finish seat, hem", "finish hem");
    let twin = format!("{back}seam seat joins back.seat to mirrored back.seat\n");
    assert_eq!(drawn(&twin).1, Vec::<String>::new());
    let front = back
        .split_once("panel")
        .unwrap()
        .1
        .replace("back", "front")
        .replace("Back", "Front");
    let seam = "seam seat joins back.seat to front.seat from back.waist_point, front.waist_point\n";
    let both = |says: &str| {
        let front = front.replace("allow 25mm to 1cm on seat from waist_point", says);
        drawn(&format!("{back}panel{front}{seam}")).1
    };
    assert_eq!(
        both("allow 25mm to 1cm on seat from waist_point"),
        Vec::<String>::new()
    );
    assert_eq!(
        both("allow 25mm to 1cm on seat from fork"),
        ["Seam seat: where the allowance of back seat is 25 mm, that of front seat is 10 mm."]
    );
    assert_eq!(
        both("allow 1cm on seat"),
        ["Seam seat: where the allowance of back seat is 25 mm, that of front seat is 10 mm."]
    );
}

/// Unfolded, either half tapers from the same end.
#[test]
fn the_half_that_is_not_drawn_tapers_as_its_twin() {
    let text = sheet(
        "  line seat = from waist_point to fork",
        "seat",
        "  allow 25mm to 1cm on seat from waist_point",
    );
    let text = text
        .replace("cut 2", "cut 1 whole at side")
        .replace("hem, side, waist \"bound\"", "hem, waist \"bound\"");
    let (pattern, told) = drawn(&text);
    assert!(told.is_empty(), "{told:?}");
    let whole = pattern.unfolded();
    let piece = whole.piece("back").unwrap();
    for x in [-25.5, 425.5] {
        assert!(turns_at(piece, x, 10.0), "{x}");
    }
    for x in [-9.5, 409.5] {
        assert!(turns_at(piece, x, -310.0), "{x}");
    }
}
