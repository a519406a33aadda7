//! Every style of body, hem, back and front, and every alteration, drawn and walked.

use crate::library_shirt::shirt::*;

#[test]
fn every_back_front_and_hem_sews_together() {
    let backs = [
        "box_pleat on shirt",
        "box_pleat on shirt with folds \"inverted\"",
        "box_pleat_to_nothing on shirt",
        "knife_pleats on shirt",
        "gathered_back on shirt",
        "split_yoke on shirt",
        "split_yoke on shirt with grain \"bias\"",
        "knife_pleats on shirt with ends \"nothing\"",
    ];
    let fronts = [
        "folded_stand on shirt",
        "single_stand on shirt",
        "concealed_stand on shirt",
        "band_stand on shirt",
    ];
    let hems = [
        "panel shirt = tail_hem on shirt",
        "panel shirt = straight_hem on shirt",
        "panel shirt = straight_hem on shirt\npanel shirt = side_vents on shirt",
        "panel shirt = tail_hem on shirt\npanel shirt = lengthen on shirt by 3cm",
    ];
    for (at, back) in backs.iter().enumerate() {
        let front = fronts[at % fronts.len()];
        let hem = hems[(at / 2) % hems.len()];
        let (back, front) = (
            format!("panel shirt = {back}"),
            format!("panel shirt = {front}"),
        );
        shirt(&[("back", &back), ("front", &front), ("hem", hem)], &[]).sound();
    }
    for shape in ["fitted", "straight", "flared"] {
        let sides =
            format!("panel shirt = side_seams on shirt with shape \"{shape}\", hip_ease 14cm");
        shirt(&[("sides", &sides)], &[]).sound();
    }
}

#[test]
fn the_body_opened_lengthened_and_lowered_stays_balanced() {
    shirt(
        &[(
            "sides",
            "panel shirt = open_neck on shirt with wider 5mm, back_lower 3mm, front_lower 1cm
panel shirt = longer_shoulders on shirt by 1cm
panel shirt = deeper_armholes on shirt by 1cm with back_wider 2mm
panel shirt = neck_to_size on shirt for 42cm
panel shirt = side_seams on shirt",
        )],
        &[],
    )
    .sound();
}

#[test]
fn acts_out_of_their_order_are_refused_in_words() {
    let late = shirt(
        &[(
            "cap",
            "panel shirt = open_neck on shirt with wider 5mm\npanel sleeve = sleeve_cap for shirt",
        )],
        &[],
    );
    assert!(
        late.errors()[0].contains("before the yoke"),
        "{:?}",
        late.errors()
    );
    let short = shirt(
        &[(
            "hem",
            "panel shirt = tail_hem on shirt with back_length 60cm",
        )],
        &[],
    );
    assert!(
        short.errors()[0].contains("below the hip"),
        "{:?}",
        short.errors()
    );
}

#[test]
fn every_alteration_changes_both_sides_of_its_seams() {
    for alteration in [
        "full_bust on shirt by 1cm",
        "full_bust on shirt by (-8mm)",
        "square_shoulders on shirt by 8mm",
        "sloping_shoulders on shirt by 8mm",
        "forward_shoulders on shirt by 6mm",
        "round_back on shirt by 8mm",
        "round_back on shirt by (-8mm)",
        "sway_back on shirt by 1cm",
        "alter_neck on shirt by 1cm",
        "alter_neck on shirt by (-1cm)",
    ] {
        let line = format!("panel shirt = womens_block\npanel shirt = {alteration}");
        shirt(&[("block", &line)], &[]).sound();
        let blouse = draw(
            &format!(
                "draft \"Blouse\"\nunit cm\nuse body\nuse shirt\nuse fitting\n{line}\npanel shirt = fitted_body on shirt\npieces of shirt\n"
            ),
            &[],
        );
        assert!(
            blouse.errors().is_empty(),
            "{alteration}: {:?}",
            blouse.errors()
        );
    }
}

/// A larger neck by 10 mm is a neckline 5 mm longer on the half.
#[test]
fn a_larger_neck_is_larger_by_what_was_asked() {
    let plain = draw(
        "unit cm\nuse fitting\npanel block = womens_block\npieces of block\n",
        &[],
    );
    let wider = draw(
        "unit cm\nuse fitting\npanel block = womens_block\npanel block = alter_neck on block by 1cm\npieces of block\n",
        &[],
    );
    let neck = |s: &Shirt| s.figure("block.back.neck") + s.figure("block.front.neck");
    assert!(same(neck(&wider) - neck(&plain), 5.0));
}

/// The library's shirt for the reference body: armholes, neckline, seams as worked out outside this program by 48-point
/// quadrature (`tests/data/reference_body_a.json`).
#[test]
fn the_shirt_of_the_reference_body_has_its_figures() {
    let set: &[&str] = &[
        "bust_girth=920mm",
        "upper_chest_girth=870mm",
        "neck_base_girth=376mm",
        "shoulder_length=125mm",
        "back_width=350mm",
        "front_width=330mm",
        "back_waist_length=410mm",
        "scye_depth=200mm",
        "front_waist_length=440mm",
        "neck_shoulder_to_bust_point=270mm",
        "bust_point_width=190mm",
        "waist_to_hip=205mm",
        "upper_arm_girth=285mm",
        "wrist_girth=160mm",
        "arm_length=595mm",
    ];
    let shirt = shirt(&[], set).sound();
    for (name, wanted) in [
        ("shirt.armhole_back", 231.87),
        ("shirt.armhole_front", 224.66),
        ("shirt.half_neckline", 199.05),
        ("shirt.back.side", 413.37),
        ("shirt.front.side", 413.37),
        ("shirt.yoke.lower", 190.00),
        ("shirt.yoke.front_edge", 137.21),
        ("shirt.back.hem", 284.93),
        ("shirt.front.hem", 278.56),
        ("sleeve.cap_back", 235.87),
        ("sleeve.cap_front", 228.66),
        ("sleeve.sleeve_width", 367.14),
        ("shirt.front.pitch", 66.05),
    ] {
        let found = shirt.figure(name);
        assert!(
            (found - wanted).abs() <= 0.0151,
            "{name}: {found}, wanted {wanted}"
        );
    }
}

/// A dart moved keeps its angle; split, its parts make the whole; a seam through it has two equal sides.
#[test]
fn a_dart_keeps_its_angle_wherever_it_goes() {
    let text = "unit mm\nuse block\nuse dart
panel block = womens_block
panel front traced from block.front {
  point slash = 60mm along side from underarm
  curve outline = join shoulder_outer, armhole, side, hip_edge, centre, neck, shoulder_inner
}
panel moved = transfer_dart on front.outline about front.bust_point at front.slash
panel halved = split_dart on front.outline about front.bust_point at front.slash with share 0.5
panel run_through = dart_to_seam on front.outline about front.bust_point at front.slash
panel short = shorten_dart at front.bust_point from front.dart_out to front.dart_in by 2cm
panel pleat = dart_to_pleat at front.bust_point from front.dart_out to front.dart_in
panel gathers = dart_to_gathers at front.bust_point from front.dart_out to front.dart_in
panel trued = true_dart at front.bust_point from front.dart_out to front.dart_in
angle opened = magnitude of (turn about front.bust_point from front.slash to moved.slash_moved)
check \"angle\" that opened is within 0.001deg of front.dart_angle
check \"parts\" that halved.dart_angle + halved.left_over is within 0.001deg of front.dart_angle
check \"length\" that length of moved.moved + length of moved.kept is within 0.01mm of length of front.outline
check \"tip\" that (distance from short.tip to front.bust_point) = 2cm
check \"gathered\" that gathers.extra = pleat.take
";
    let drawn = draw(text, &[]);
    assert!(drawn.errors().is_empty(), "{:?}", drawn.errors());
}
