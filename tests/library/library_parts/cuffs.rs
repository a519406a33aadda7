//! The sums of hem, pleats, placket and cuff, and what another placket or cuff changes.

use super::card::*;
use oaktag_language::voice::LengthUnit::Millimetre as MM;

/// Hem, pleats, placket and cuff by sums: closed forms.
#[test]
fn the_arithmetic_of_cuff_pleats_and_placket_comes_out() {
    // Lower part; closed cuff, what the hem has beside it and its fullness, fullness, sewn and whole cuff.
    let cases = [
        ("tower_placket on sleeve", 210.0, 0.0, 40.0, 235.0, 235.0),
        (
            "tower_placket on sleeve with pleats 0",
            210.0,
            0.0,
            0.0,
            235.0,
            235.0,
        ),
        (
            "tower_placket on sleeve with pleats 1, pleat_take 30mm, cuff_ease 40mm",
            200.0,
            0.0,
            30.0,
            225.0,
            225.0,
        ),
        (
            "tower_placket on sleeve with pleats 4, pleat_take 15mm",
            210.0,
            0.0,
            60.0,
            235.0,
            235.0,
        ),
        (
            "tower_placket on sleeve with tower_width 30mm, underlap_width 12mm, box_width 8mm",
            210.0,
            0.0,
            40.0,
            244.0,
            244.0,
        ),
        (
            "tower_placket on sleeve with pleats 0, gathers 70mm",
            210.0,
            0.0,
            70.0,
            235.0,
            235.0,
        ),
        ("bound_placket on sleeve", 210.0, 10.0, 40.0, 220.0, 235.0),
        (
            "bound_placket on sleeve with binding_width 12mm, seam_taken 6mm, cuff_extension_width 20mm",
            210.0,
            12.0,
            40.0,
            222.0,
            242.0,
        ),
        ("slit_placket on sleeve", 210.0, 6.0, 40.0, 210.0, 235.0),
        (
            "slit_placket on sleeve with pleats 3, pleat_take 10mm",
            210.0,
            6.0,
            30.0,
            210.0,
            235.0,
        ),
    ];
    for (lower, closed, more, fullness, sewn, whole) in cases {
        let line = format!("panel sleeve = {lower}");
        let outcome = sound(&[YOKED, CAP, &line, CUFF]);
        let values = values(&outcome);
        near(figure(&values, "sleeve.lower.closed_cuff"), closed, 0.001);
        let hem: f64 = ["hem_back", "hem_slit", "hem_front"]
            .iter()
            .map(|edge| figure(&values, &format!("sleeve.lower.{edge}")))
            .sum();
        near(hem, closed + fullness + more, 0.001);
        let cuff = outcome.pattern.seam("cuff").unwrap();
        near(cuff.first.length, sewn, 0.001);
        // A pleat is folded before it is sewn; what is gathered is drawn up as it is sewn.
        let gathers = if lower.contains("gathers") {
            fullness
        } else {
            0.0
        };
        near(cuff.second.length, sewn + gathers, 0.001);
        let box_of = piece(&outcome, "cuff")
            .sewing
            .as_ref()
            .unwrap()
            .bounds()
            .unwrap();
        near(box_of.width(), whole, 0.001);
        near(box_of.height(), 60.0, 0.001);
        let (hole, button) = (
            point(&values, "cuff.button_seat"),
            point(&values, "cuff.button_place"),
        );
        near((button - hole).hypot(), closed, 0.001);
    }
}

#[test]
fn pleats_are_marked_each_with_its_two_lines() {
    for pleats in 0..=4 {
        let line =
            format!("panel sleeve = tower_placket on sleeve with pleats {pleats}, pleat_take 12mm");
        let outcome = sound(&[YOKED, CAP, &line, CUFF]);
        let sleeve = piece(&outcome, "sleeve");
        assert_eq!(sleeve.fold_lines.len(), 2 * pleats, "{pleats} pleats");
        let notched = sleeve
            .notches
            .iter()
            .filter(|notch| notch.seam.is_none())
            .count();
        assert_eq!(notched, 2 * pleats);
    }
    for (wrong, words) in [
        ("pleats 1.5", "counted whole"),
        (
            "pleats 4, pleat_take 40mm, cuff_ease 20mm",
            "must end before the seam",
        ),
    ] {
        let line = format!("panel sleeve = tower_placket on sleeve with {wrong}");
        let outcome = drawn_with(&[YOKED, CAP, &line], &["wrist_girth=120mm"]);
        let told = outcome.diagnostics.iter().find(|d| d.is_error()).unwrap();
        assert_eq!(told.code, Code::Required);
        assert!(
            told.message.in_unit(MM).contains(words),
            "{}",
            told.message.in_unit(MM)
        );
    }
}

/// A plain bound placket instead of a tower: the hem follows the other sum, the placket's pieces are exchanged, the cap,
/// the armhole and the closed cuff stay.
#[test]
fn another_placket_changes_the_hem_and_its_own_pieces_only() {
    let tower = sound(&[YOKED, CAP, TOWER, CUFF]);
    let (before, was) = (values(&tower), names(&tower));
    assert!(was.contains(&"tower_overlap") && was.contains(&"tower_underlap"));
    for (lower, own, wider) in [
        ("bound_placket", "binding", 10.0),
        ("slit_placket", "slit_facing", 6.0),
    ] {
        let line = format!("panel sleeve = {lower} on sleeve");
        let other = sound(&[YOKED, CAP, &line, CUFF]);
        let (after, now) = (values(&other), names(&other));
        assert!(
            now.contains(&own) && !now.iter().any(|name| name.starts_with("tower")),
            "{now:?}"
        );
        for kept in ["cap_back", "cap_front"] {
            let name = format!("sleeve.{kept}");
            assert_eq!(before[&name]["path"], after[&name]["path"]);
        }
        for kept in ["back", "front", "yoke"] {
            assert_eq!(piece(&tower, kept).sewing, piece(&other, kept).sewing);
        }
        near(
            figure(&after, "sleeve.lower.closed_cuff"),
            figure(&before, "sleeve.lower.closed_cuff"),
            1e-9,
        );
        near(
            figure(&after, "sleeve.lower.hem_width") - figure(&before, "sleeve.lower.hem_width"),
            wider,
            0.001,
        );
        assert_eq!(
            tower.pattern.seam("armhole").unwrap().ease(),
            other.pattern.seam("armhole").unwrap().ease()
        );
    }
}

/// Lengths round a rectangle whose corners are square, cut across or rounded by `s`: 2d + L, less (4 - 2√2) s, less
/// (4 - π) s. The rounding is a cubic with handles of 0.5523, which is within 0.1 % of a quarter circle.
#[test]
fn cuffs_have_the_corners_that_are_asked_for() {
    let (long, deep, s) = (235.0, 60.0, 15.0);
    for (corners, less, within) in [
        ("square", 0.0, 0.001),
        ("mitred", (4.0 - 2.0 * 2.0_f64.sqrt()) * s, 0.001),
        ("rounded", (4.0 - PI) * s, 0.05),
    ] {
        let line = format!("panel cuff = single_cuff for sleeve with corners \"{corners}\"");
        let outcome = sound(&[YOKED, CAP, TOWER, &line]);
        let edge = piece(&outcome, "cuff").edge("edge").unwrap().length;
        near(edge, 2.0 * deep + long - less, within);
        // Interlining 2 mm inside all round, and cut without allowance.
        let fused = piece(&outcome, "cuff_interlining");
        let inside = fused.sewing.as_ref().unwrap().bounds().unwrap();
        near(inside.width(), long - 4.0, 0.001);
        near(inside.height(), deep - 4.0, 0.001);
        assert!(
            fused
                .edges
                .iter()
                .all(|edge| edge.allowance == Some(0.0.into()))
        );
    }
    let wrong = drawn(&[
        YOKED,
        CAP,
        TOWER,
        "panel cuff = single_cuff for sleeve with corners \"oval\"",
    ]);
    let told = &wrong
        .diagnostics
        .iter()
        .find(|d| d.is_error())
        .unwrap()
        .message
        .in_unit(MM);
    assert!(
        told.contains("\"square\", \"rounded\" or \"mitred\", and never \"oval\""),
        "{told}"
    );
}

#[test]
fn a_double_cuff_is_turned_and_linked() {
    for lower in ["tower_placket", "bound_placket", "slit_placket"] {
        let line = format!("panel sleeve = {lower} on sleeve");
        let outcome = sound(&[YOKED, CAP, &line, "panel cuff = double_cuff for sleeve"]);
        let cuff = piece(&outcome, "cuff");
        let bounds = cuff.sewing.as_ref().unwrap().bounds().unwrap();
        near(bounds.height(), 2.0 * 60.0 + 3.0, 0.001);
        assert_eq!(cuff.fold_lines.len(), 1);
        let values = values(&outcome);
        let hole = |side: &str, n: u32| point(&values, &format!("cuff.{side}_holes_{n}"));
        let fold = figure(&values, "sleeve.lower.depth_of_cuff");
        for n in [1, 2] {
            near((hole("far", n) - hole("near", n)).hypot(), 210.0, 0.001);
        }
        // Folded on the turn line the outer holes lie on the inner ones, and the free edge lies above the sewn one by the
        // turn of cloth (3 mm), the middle of the cuff included.
        let turn = kurbo::Line::new((0.0, -fold), (1.0, -fold));
        let over = mirror_over(turn);
        for side in ["near", "far"] {
            let off = over * hole(side, 2) - hole(side, 1);
            near(off.hypot(), 0.0, 0.001);
        }
        let free = cuff.sewing.as_ref().unwrap().bounds().unwrap().y0;
        let sewn = cuff.edge("sewn").unwrap().path.start().unwrap();
        near(
            (over * kurbo::Point::new(sewn.x, free)).y - sewn.y,
            3.0,
            0.001,
        );
    }
}

/// The mirror image over a line, by the textbook's formula.
fn mirror_over(line: kurbo::Line) -> kurbo::Affine {
    let along = (line.p1 - line.p0).normalize();
    let (c, s) = (
        along.x * along.x - along.y * along.y,
        2.0 * along.x * along.y,
    );
    kurbo::Affine::translate(line.p0.to_vec2())
        * kurbo::Affine::new([c, s, s, -c, 0.0, 0.0])
        * kurbo::Affine::translate(-line.p0.to_vec2())
}

/// A button that is set too far in stands on the edge of the underlap, and that is told.
#[test]
fn a_button_that_leaves_the_underlap_is_told() {
    let line = "panel cuff = single_cuff for sleeve with button_in 20mm";
    let outcome = drawn(&[YOKED, CAP, TOWER, line]);
    let told = outcome.diagnostics.iter().find(|d| d.is_error()).unwrap();
    assert_eq!(told.code, Code::CheckFails);
    assert!(
        told.message.in_unit(MM).contains("whole button"),
        "{}",
        told.message.in_unit(MM)
    );
}
