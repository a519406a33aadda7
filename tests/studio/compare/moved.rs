//! What is said to have moved, held against drafts of which it is known: a panel slid, a tail lengthened, a handle raised, a
//! notch set elsewhere, things renamed.

use super::{compared, drawn};
use geo::{Distance as _, Euclidean};
use kurbo::{ParamCurve as _, Point};
use oaktag_language::voice::LengthUnit;
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::words::Printed;
use oaktag_studio::compare::{
    Change, Comparison, InsideEdit, NotchChange, PieceChange, Verdict, overlay, page, text,
};

/// An apron for the galley: two panels, one seam with a measured and a carried notch, a notch of the front's own, buttons,
/// a fold line.
pub(super) const APRON: &str = r#"edition 1
draft "Galley apron, Lower Sound Ferries"
unit cm

choose tail = 40cm between 20cm and 80cm "length of the sides"

panel back {
  step "Back" {
    note "Work on the fold."
    point nape = origin
    line centre = from nape toward down for 60cm
    line top = from nape toward right for 20cm
    point underarm = end of top
    line side = from underarm toward down for tail
    point waist = 15cm along side from underarm
    point side_hem = end of side
    point centre_hem = end of centre
    curve hem = from centre_hem to side_hem leaving right for 8cm arriving right for 6cm
  }
}

panel front {
  point neck = origin
  line centre = from neck toward down for 60cm
  line top = from neck toward left for 20cm
  point underarm = end of top
  line side = from underarm toward down for tail
  point side_hem = end of side
  point centre_hem = end of centre
  curve hem = from centre_hem to side_hem leaving left for 8cm arriving left for 6cm
  list buttons = each n from 1 to 3 { give neck down 5cm + n * 8cm left 2cm }
  line facing_line = from neck left 4cm toward down for 20cm
}

cloth main "oiled cotton" width 140cm

piece back "Back" {
  outline centre, hem, side, top
  cut 1 on fold at centre
  grain along centre
  finish hem, top "turned"
  allow 1cm
}
piece front "Front" {
  outline top, side, hem, centre
  cut 2
  grain along centre
  notch single at (5cm along top from neck)
  mark buttons "button"
  fold facing_line
  finish hem, top, centre "turned"
  allow 1cm
}
seam side joins front.side to back.side from front.underarm, back.underarm {
  notch single at 8cm from back.underarm
  notch single at back.waist
  tolerance 1mm
}
"#;

/// The apron against itself with some words replaced, each of which must be there.
fn edited(edits: &[(&str, &str)]) -> Comparison {
    let (old, new) = (drawn(APRON), drawn(&with(edits)));
    assert!(!old.outcome.has_errors(), "{:?}", old.outcome.diagnostics);
    compared(&old, &new)
}

fn with(edits: &[(&str, &str)]) -> String {
    let mut text = APRON.to_owned();
    for (old, new) in edits {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    text
}

fn said(comparison: &Comparison) -> String {
    text::plain(&report(comparison, Detail::Outline))
}

fn piece<'a>(comparison: &'a Comparison, name: &str) -> &'a PieceChange {
    comparison
        .pieces
        .iter()
        .find(|one| one.name == name)
        .unwrap()
}

const SLID: (&str, &str) = (
    "point neck = origin",
    "point neck = origin right 3cm up 2cm",
);

#[test]
fn a_panel_slid_on_its_sheet_moves_nothing_of_its_piece() {
    let comparison = edited(&[SLID]);
    let front = piece(&comparison, "front");
    let laid = front.laid.unwrap();
    assert_eq!(
        (laid.right_mm, laid.up_mm, laid.turned_deg),
        (30.0, 20.0, 0.0)
    );
    assert_eq!(front.verdict, Verdict::Keep);
    assert!(front.inside.is_empty() && front.notches.is_empty() && front.edges.is_empty());
    let said = said(&comparison);
    assert!(
        said.ends_with(
            "No piece changed: only the place on the sheet differs. Keep: Back and Front.\n"
        ),
        "{said}"
    );
}

/// The buttons lowered by 3 mm on a panel that slid: the slide is no move of theirs, and all are told in one line.
#[test]
fn marks_are_told_in_the_piece_and_alike_ones_in_one_line() {
    for slide in [&[][..], &[SLID]] {
        let mut edits = vec![("5cm + n", "53mm + n")];
        edits.extend(slide);
        let comparison = edited(&edits);
        let front = piece(&comparison, "front");
        assert_eq!(front.inside.len(), 3);
        for change in &front.inside {
            let InsideEdit::Moved(way) = &change.edit else {
                panic!("{change:?}");
            };
            assert_eq!((way.right_mm, way.up_mm), (0.0, -3.0));
        }
        let said = said(&comparison);
        assert!(
            said.contains("    mark buttons 1 to 3 (button): 0.3 cm lower\n"),
            "{said}"
        );
        assert!(said.ends_with("Mark anew: Front. Keep: Back.\n"), "{said}");
        // Nothing stands before the points that are no corners, so that nothing is added to it.
        assert!(
            said.contains("  Points moved\n    3 points that are no corner of a piece\n"),
            "{said}"
        );
    }
}

/// A place may bear a button on one side and its hole on the other: each is held against its own.
#[test]
fn two_marks_at_one_place_are_two() {
    let both = "mark buttons \"button\" on left\n  mark buttons \"buttonhole\" on right";
    let text = with(&[("mark buttons \"button\"", both)]);
    let told = |new: &str| said(&compared(&drawn(&text), &drawn(new)));
    let longer = told(&text.replace("choose tail = 40cm", "choose tail = 42cm"));
    assert!(!longer.contains("mark buttons"), "{longer}");
    let hooks = told(&text.replace("\"buttonhole\" on right", "\"hook\" on right"));
    assert!(
        hooks.contains(
            "mark buttons 1: “buttonhole, wearer's right alone” → “hook, wearer's right alone”"
        ),
        "{hooks}"
    );
    assert!(!hooks.contains("“button, wearer"), "{hooks}");
    let swapped = told(
        &text
            .replace("on left", "on both")
            .replace("on right", "on left")
            .replace(" on both", " on right"),
    );
    assert!(swapped.contains("mark buttons 1"), "{swapped}");
}

#[test]
fn a_fold_line_and_the_grain_are_told_by_how_far() {
    let comparison = edited(&[
        ("from neck left 4cm toward", "from neck left 45mm toward"),
        SLID,
    ]);
    let told = said(&comparison);
    assert!(
        told.contains("fold line facing line: 0.5 cm farther left"),
        "{told}"
    );
    assert!(
        told.contains("notch on top: 4 cm → 4.5 cm from the neck"),
        "{told}"
    );
    assert!(
        told.ends_with("Notch and mark anew: Front. Keep: Back.\n"),
        "{told}"
    );
    let across = edited(&[("cut 2\n  grain along centre", "cut 2\n  grain along top")]);
    let told = said(&across);
    assert!(told.contains("grain line: turned 90°"), "{told}");
    assert_eq!(piece(&across, "front").verdict, Verdict::Mark);
}

/// The sides 1 cm longer: both hems end 1 cm lower, and the notches stand where they stood on both sides of the seam.
#[test]
fn a_notch_does_not_move_because_the_other_end_of_its_edge_does() {
    let comparison = edited(&[("tail = 40cm", "tail = 41cm")]);
    for name in ["back", "front"] {
        let change = piece(&comparison, name);
        assert!(change.notches.is_empty(), "{:?}", change.notches);
        let side = change.edges.iter().find(|edge| edge.name == "side");
        assert_eq!(side.unwrap().length_mm.by, 10.0);
        assert_eq!(side.unwrap().moved_end.as_deref(), Some("the side hem"));
        let hem = change.edges.iter().find(|edge| edge.name == "hem").unwrap();
        let off = &hem.lies.off[0];
        assert_eq!((off.from.as_str(), off.at_mm), ("the side hem", 0.0));
        assert_eq!((off.distance_mm, off.way.up_mm), (10.0, -10.0));
    }
    let said = said(&comparison);
    assert!(
        said.contains("hem: lies up to 1 cm lower, at the side hem; "),
        "{said}"
    );
    assert!(
        said.contains("side: 40 cm → 41 cm, 1 cm longer at the side hem\n"),
        "{said}"
    );
    assert!(!said.contains("its start"), "{said}");
}

fn notch(change: &PieceChange) -> &NotchChange {
    assert_eq!(change.notches.len(), 1, "{:?}", change.notches);
    &change.notches[0]
}

/// A measured notch, a carried one and one of the piece's own, each 1 cm farther: told alike on both sides of the seam, from
/// the end that the author named.
#[test]
fn a_notch_is_counted_from_the_end_that_the_author_named() {
    let both = "notch 1 of seam side on side: 8 cm → 9 cm from the underarm\n";
    let measured = edited(&[("at 8cm from", "at 9cm from")]);
    let carried = edited(&[("15cm along side", "16cm along side")]);
    for (comparison, words) in [
        (&measured, both.to_owned()),
        (
            &carried,
            "notch 2 of seam side on side: 15 cm → 16 cm from the underarm\n".to_owned(),
        ),
    ] {
        let said = said(comparison);
        assert_eq!(said.matches(&words).count(), 2, "{said}");
        for name in ["back", "front"] {
            let notch = notch(piece(comparison, name));
            let by = notch.moved.unwrap();
            assert_eq!((by.right_mm, by.up_mm), (0.0, -10.0));
            assert_eq!(piece(comparison, name).verdict, Verdict::Notch);
        }
        assert!(said.ends_with("Notch anew: Back and Front.\n"), "{said}");
    }
    let own = edited(&[("5cm along top", "6cm along top")]);
    let said = said(&own);
    assert!(
        said.contains("notch on top: 5 cm → 6 cm from the neck\n"),
        "{said}"
    );
    assert!(said.ends_with("Notch anew: Front. Keep: Back.\n"), "{said}");
    // From its far end, which the author names, though the near one stayed, too.
    let far = [("5cm along top from neck", "15cm along top from underarm")];
    let farther = [("5cm along top from neck", "14cm along top from underarm")];
    let (old, new) = (drawn(&with(&far)), drawn(&with(&farther)));
    let said = text::plain(&report(&compared(&old, &new), Detail::Outline));
    assert!(
        said.contains("notch on top: 15 cm → 14 cm from the underarm\n"),
        "{said}"
    );
}

/// Wider by 5 mm: the side and its notches lie 5 mm farther out, at the distances they had.
#[test]
fn notches_that_go_with_their_edge_are_told_in_one_line() {
    let comparison = edited(&[("for 20cm\n    point", "for 205mm\n    point")]);
    let back = piece(&comparison, "back");
    for notch in &back.notches {
        assert!(notch.goes_with_edge());
        assert_eq!(notch.moved.unwrap().right_mm, 5.0);
    }
    let said = said(&comparison);
    assert!(
        said.contains("    side: lies 0.5 cm farther right all along\n"),
        "{said}"
    );
    assert!(
        said.contains("    2 notches on side go with it, still 8 cm and 15 cm from the underarm\n"),
        "{said}"
    );
}

/// Points along an edge of the pattern, by evaluating its segments: no length, no nearest place.
fn points(outcome: &oaktag_language::draft::Outcome, piece: &str, edge: &str) -> Vec<geo::Point> {
    let edge = outcome.pattern.piece(piece).unwrap().edge(edge).unwrap();
    let segs = edge.path.segs().iter();
    let points = segs.flat_map(|seg| (0..=2000).map(|n| seg.eval(f64::from(n) / 2000.0)));
    points.map(|p: Point| geo::Point::new(p.x, p.y)).collect()
}

/// A handle pulled out bows the hem. Its ends stay, so that the greatest distance is Hausdorff's, here that of two rows of
/// points by another crate; where it is and to which side is read from the same rows.
#[test]
fn a_curve_is_told_by_how_far_it_lies_and_where() {
    for (handle, outward) in [("10cm", true), ("5cm", false), ("85mm", true)] {
        let new = with(&[
            (
                "leaving right for 8cm",
                &format!("leaving right for {handle}"),
            ),
            (
                "leaving left for 8cm",
                &format!("leaving left for {handle}"),
            ),
        ]);
        let (old, new) = (drawn(APRON), drawn(&new));
        let comparison = compared(&old, &new);
        for name in ["back", "front"] {
            let (was, is) = (
                points(&old.outcome, name, "hem"),
                points(&new.outcome, name, "hem"),
            );
            let rows: geo::LineString = was.iter().map(|p| p.0).collect();
            let far = |p: &geo::Point| Euclidean.distance(p, &rows);
            let farthest = is.iter().map(far).fold(0.0, f64::max);
            let mut edges = piece(&comparison, name).edges.iter();
            let hem = edges.find(|edge| edge.name == "hem").unwrap();
            let [off] = hem.lies.off.as_slice() else {
                panic!("{hem:?}");
            };
            assert!(
                (off.distance_mm - farthest).abs() < 0.01,
                "{off:?} {farthest}"
            );
            assert_eq!(off.outward, Some(outward));
            // So far along the new line from the named end, the distance is the greatest to within what can be drawn.
            let mut along = 0.0;
            let mut rest = is.iter().zip(is.iter().skip(1)).map(|(a, b)| {
                along += Euclidean.distance(a, b);
                (along, far(b))
            });
            let total: f64 = is
                .iter()
                .zip(is.iter().skip(1))
                .map(|(a, b)| Euclidean.distance(a, b))
                .sum();
            assert_eq!(off.from, "the centre hem");
            let at_start = (is[0].y() + 600.0).abs() < 1e-6;
            let wanted = if at_start {
                off.at_mm
            } else {
                total - off.at_mm
            };
            let there = rest.find(|(along, _)| *along >= wanted).unwrap();
            assert!((there.1 - farthest).abs() < 0.02, "{off:?} {there:?}");
        }
    }
}

/// The front's centre turned about the neck, so that it ends 3 cm to the right: square to the old line, which is upright.
#[test]
fn a_turned_edge_is_farthest_at_its_end() {
    let comparison = edited(&[(
        "line centre = from neck toward down for 60cm",
        "line centre = from neck to (neck down 60cm right 3cm)",
    )]);
    let front = piece(&comparison, "front");
    let mut edges = front.edges.iter();
    let centre = edges.find(|edge| edge.name == "centre").unwrap();
    let [off] = centre.lies.off.as_slice() else {
        panic!("{centre:?}");
    };
    assert_eq!(
        (off.distance_mm, off.way.right_mm, off.outward),
        (30.0, 30.0, Some(true))
    );
    assert_eq!((off.from.as_str(), off.at_mm), ("the centre hem", 0.0));
    assert_eq!(
        centre.length_mm.new,
        (600.0f64.hypot(30.0) * 1e4).round() / 1e4
    );
    assert!(said(&comparison).contains("centre: lies up to 3 cm farther right, at the centre hem"));
}

/// Everything has another name: one line says so, whatever it is written as.
#[test]
fn names_alone_move_nothing() {
    let renamed = with(&[
        ("underarm", "pit"),
        ("buttons", "studs"),
        ("facing_line", "turned_line"),
        ("choose tail", "choose drop"),
        ("for tail", "for drop"),
        (
            "piece front \"Front\" {",
            "piece breast \"Front\" of front {",
        ),
        ("joins front.side", "joins breast.side"),
        ("seam side joins", "seam flank joins"),
    ]);
    let (old, new) = (drawn(APRON), drawn(&renamed));
    assert!(!new.outcome.has_errors(), "{:?}", new.outcome.diagnostics);
    let comparison = compared(&old, &new);
    assert_eq!(comparison.pieces.len(), 2, "renamed, not lost and added");
    let report = report(&comparison, Detail::Outline);
    let line = "Nothing moved: only names differ.";
    let (before, after) = (old.side("old"), new.side("new"));
    for written in [
        text::plain(&report),
        text::markdown(&report),
        page::html(&comparison, &report, before, after),
        overlay::svg(&comparison, before, after),
    ] {
        assert!(written.contains(line), "{written}");
        assert!(
            !written.contains("What changed in the pattern\n  Seams"),
            "{written}"
        );
    }
    // A sentence that only bears new names is counted; one alone now says which panel it is of.
    let said = text::plain(&report);
    assert_eq!(said.matches("      - ").count(), 1, "{said}");
}

#[test]
fn a_note_or_a_tolerance_alone_moves_nothing() {
    let note = said(&edited(&[("Work on the fold.", "Work on folded paper.")]));
    assert!(
        note.ends_with("Nothing moved: only words differ. Keep: Back and Front.\n"),
        "{note}"
    );
    // What may pass is told with what it does, and the seam did not stay.
    let wider = edited(&[("tolerance 1mm", "tolerance 2mm")]);
    let told = said(&wider);
    assert!(
        told.contains("side: may differ by 0.1 cm → 0.2 cm; it fits as before\n"),
        "{told}"
    );
    assert!(!told.contains("  Seam side\n"), "{told}");
    assert!(
        told.ends_with(
            "Nothing moved: only the tolerance at a seam differs. Keep: Back and Front.\n"
        ),
        "{told}"
    );
    // 4 mm longer on one side: with 5 mm it fits, with 1 mm no longer.
    let uneven = with(&[
        ("tolerance 1mm", "tolerance 5mm"),
        (
            "point underarm = end of top\n    line side = from underarm toward down for tail",
            "point underarm = end of top\n    line side = from underarm toward down for tail + 4mm",
        ),
    ]);
    let narrow = uneven.replace("tolerance 5mm", "tolerance 1mm");
    let comparison = compared(&drawn(&uneven), &drawn(&narrow));
    let told = said(&comparison);
    assert!(
        told.contains("side: may differ by 0.5 cm → 0.1 cm")
            && told.contains("; it fitted and no longer does\n"),
        "{told}"
    );
    assert!(
        told.contains("only the tolerance at a seam differs."),
        "{told}"
    );
}

const POCKET: &str = "panel pocket {
  point mouth_left = origin
  line mouth = from mouth_left toward right for 115mm
  line edge_right = from end of mouth toward down for 13cm
  line floor_line = from end of edge_right toward left for 115mm
  line edge_left = from end of floor_line to mouth_left
}
piece pocket \"Breast pocket\" {
  outline mouth, edge_right, floor_line, edge_left
  cut 1 from main
  grain along edge_left
  finish mouth, edge_right, floor_line, edge_left \"turned\"
  allow 1cm
}
";

#[test]
fn a_new_piece_tells_what_is_cut() {
    let pocket = POCKET
        .replace("mouth ", "mouth_line ")
        .replace("mouth,", "mouth_line,");
    let (old, new) = (drawn(APRON), drawn(&format!("{APRON}{pocket}")));
    assert!(!new.outcome.has_errors(), "{:?}", new.outcome.diagnostics);
    let comparison = compared(&old, &new);
    let said = said(&comparison);
    assert!(
        said.contains(
            "  Breast pocket: new\n    cut 1, right side up, from oiled cotton\n    11.5 cm wide by 13 cm high inside the sewing line\n    area 149.5 cm²\n"
        ),
        "{said}"
    );
    assert!(
        said.contains("Cut for the first time: Breast pocket. Keep: Back and Front.\n"),
        "{said}"
    );
    // Its sentences are one line each for the panel and the piece.
    assert!(said.contains("with 5 sentences in it"), "{said}");
}

/// What cannot be drawn is the last word, whichever way it fails: `mouth` begins a phrase; a sentence that nobody can read;
/// a piece that the old side had.
#[test]
fn a_file_that_cannot_be_drawn_does_not_end_in_what_to_keep() {
    let old = drawn(APRON);
    let broken = format!("{APRON}{}", POCKET.replace("mouth", "square"));
    let end = |text: &str| {
        let new = drawn(text);
        assert!(!new.outcome.is_whole());
        let said = said(&compared(&old, &new));
        said.lines().last().unwrap().to_owned()
    };
    assert_eq!(
        end(&broken),
        "Keep: Back and Front. Not drawn: Breast pocket."
    );
    let lost = with(&[("piece front \"Front\" {", "piece front \"Front\" of {")]);
    let last = end(&lost);
    assert!(last.ends_with("Not drawn: Front."), "{last}");
    let line = with(&[(
        "line facing_line = from neck",
        "line facing_line = from nobody",
    )]);
    let last = end(&line);
    assert!(
        last.contains(" Not drawn") || last.starts_with("Not drawn"),
        "{last}"
    );
    assert!(!last.contains("Throw away"), "{last}");
}

/// The value of a printed figure, read as a person would: `10 3/16 in`, `3210.2 cm²`.
fn read(text: &str) -> Option<f64> {
    let mut sum = 0.0;
    for word in text
        .split(' ')
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
    {
        sum += match word.split_once('/') {
            Some((a, b)) => a.parse::<f64>().ok()? / b.parse::<f64>().ok()?,
            None => word.parse().ok()?,
        };
    }
    Some(sum)
}

/// The difference that is printed is that of the figures that are printed, in each unit, for lengths and for areas.
#[test]
fn printed_differences_can_be_worked_out_again_on_paper() {
    let mut seed = 7u64;
    let mut chance = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut finer = 0;
    for _ in 0..4000 {
        let old = 2.0 + chance() * 4000.0;
        let new = (old + (chance() - 0.5) * 10f64.powf(chance() * 5.0 - 2.0)).max(2.0);
        let change = Change::mm(old, new);
        let area = Change::of(old * 100.0, new * 100.0, 2);
        for unit in [
            LengthUnit::Millimetre,
            LengthUnit::Centimetre,
            LengthUnit::Inch,
        ] {
            for printed in [Printed::lengths(&change, unit), Printed::areas(&area, unit)] {
                let (a, b) = (read(&printed.old).unwrap(), read(&printed.new).unwrap());
                if printed.by.starts_with("less than") {
                    finer += 1;
                    assert_eq!(printed.old, printed.new);
                    continue;
                }
                let by = read(&printed.by).unwrap();
                assert!(
                    ((a - b).abs() - by).abs() < 1e-6,
                    "{} → {}, {}",
                    printed.old,
                    printed.new,
                    printed.by
                );
                assert!(by == 0.0 || printed.is_less == (b < a));
            }
        }
    }
    assert!(finer > 100);
}
