//! Pockets and flaps set on a front, and the small parts.

use super::card::*;
use oaktag_language::voice::LengthUnit::Millimetre as MM;

#[test]
fn a_pocket_is_set_where_the_worked_example_sets_it() {
    let (without, r) = (sound(&[YOKED]), reference());
    let outcome = sound(&[YOKED, "panel shirt = patch_pocket on shirt"]);
    let values = values(&outcome);
    same_place(
        point(&values, "shirt.pocket_place.inner_corner"),
        reference_point(&r, "pk_in"),
        0.01,
    );
    same_place(
        point(&values, "shirt.pocket_place.outer_corner"),
        reference_point(&r, "pk_out"),
        0.01,
    );
    near(
        figure(&values, "shirt.pocket.upper"),
        measure(&r, "pocket_width"),
        0.001,
    );
    let bounds = piece(&outcome, "pocket")
        .sewing
        .as_ref()
        .unwrap()
        .bounds()
        .unwrap();
    near(bounds.height(), measure(&r, "pocket_depth"), 0.001);
    // 3 in and 3 down from each corner: 3√2 from it.
    let corner = point(&values, "shirt.pocket_place.inner_corner");
    let drill = point(&values, "shirt.pocket_place.inner_drill");
    near((drill - corner).hypot(), 3.0 * 2.0_f64.sqrt(), 0.001);
    let (before, after) = (piece(&without, "front"), piece(&outcome, "front"));
    assert_eq!((before.marks.len(), after.marks.len()), (0, 4));
    assert_eq!(
        (&before.sewing, &before.cutting),
        (&after.sewing, &after.cutting)
    );
    assert_eq!(
        piece(&without, "back").sewing,
        piece(&outcome, "back").sewing
    );
}

/// Areas of the three shapes: w d, less a triangle on each side of the point, less what two quarter circles leave.
#[test]
fn pockets_and_flaps_have_the_shape_that_is_asked_for() {
    let (w, d, s) = (105.0, 120.0, 15.0);
    for (shape, area, within) in [
        ("straight", w * d, 0.001),
        ("pointed", w * d - w * s / 2.0, 0.001),
        ("rounded", w * d - 2.0 * (1.0 - PI / 4.0) * s * s, 0.5),
    ] {
        let pocket = format!("panel shirt = patch_pocket on shirt with shape \"{shape}\"");
        let flap = format!("panel shirt = pocket_flap on shirt with shape \"{shape}\"");
        let outcome = sound(&[YOKED, &pocket, &flap]);
        near(piece(&outcome, "pocket").drawn_area.unwrap(), area, within);
        let flap = piece(&outcome, "flap")
            .sewing
            .as_ref()
            .unwrap()
            .bounds()
            .unwrap();
        near(flap.width(), w + 4.0, 0.001);
        assert_eq!(piece(&outcome, "front").marks.len(), 6);
        assert_eq!(piece(&outcome, "pocket").marks.len(), 1);
    }
    let wrong = drawn(&[
        YOKED,
        "panel shirt = patch_pocket on shirt with shape \"heart\"",
    ]);
    let told = &wrong
        .diagnostics
        .iter()
        .find(|d| d.is_error())
        .unwrap()
        .message
        .in_unit(MM);
    assert!(
        told.contains("\"straight\", \"pointed\" or \"rounded\", and never \"heart\""),
        "{told}"
    );
}

/// Buttoned, the buttonhole's middle lies on the button: flap and pocket laid on the front where they are sewn.
#[test]
fn the_flaps_button_lies_under_its_buttonhole() {
    let values = values(&sound(&[
        YOKED,
        "panel shirt = patch_pocket on shirt",
        "panel shirt = pocket_flap on shirt",
    ]));
    let middle = point(&values, "shirt.flap.flap_closing.hole_middle");
    let button = point(&values, "shirt.flap.flap_closing.button_place");
    // Both are measured from the upper left corner of their piece; the flap begins 2 mm outside and 10 mm above.
    near(middle.x - 2.0, button.x, 0.001);
    near(middle.y + 10.0, button.y, 0.001);
}

#[test]
fn loops_and_tabs_are_offered_with_their_places() {
    let tab = "panel sleeve = sleeve_tab on sleeve";
    let outcome = sound(&[YOKED, CAP, TOWER, tab, "panel loop = hanger_loop for shirt"]);
    for name in ["sleeve_tab", "hanger_loop", "sleeve"] {
        piece(&outcome, name);
    }
    let without = sound(&[YOKED, CAP, TOWER]);
    let marks = |outcome: &Outcome| piece(outcome, "sleeve").marks.len();
    assert_eq!(marks(&outcome), marks(&without) + 2);
    let told = outcome
        .diagnostics
        .iter()
        .find(|d| d.code == Code::Caution)
        .unwrap();
    assert!(
        told.message.in_unit(MM).contains("EN 14682"),
        "{}",
        told.message.in_unit(MM)
    );
    let long = drawn(&[
        YOKED,
        CAP,
        "panel sleeve = short_sleeve on sleeve with long 230mm",
        tab,
    ]);
    let told = long.diagnostics.iter().find(|d| d.is_error()).unwrap();
    assert_eq!(told.code, Code::Required, "{told:#?}");
}
