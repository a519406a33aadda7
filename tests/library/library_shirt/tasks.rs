//! The twelve tasks a user will try (common practice), each as the changed line and the figures it must and must not move.

use crate::library_shirt::shirt::*;
use oaktag_language::voice::LengthUnit::Millimetre as MM;

/// Measures of the working table, two sizes of four centimetres above the base: bust 100.
const SIZE_44: &[&str] = &[
    "bust_girth=1000mm",
    "upper_chest_girth=946mm",
    "waist_girth=840mm",
    "hip_girth=1080mm",
    "neck_base_girth=392mm",
    "shoulder_length=127mm",
    "back_width=370mm",
    "front_width=350mm",
    "scye_depth=208mm",
    "back_waist_length=416mm",
    "front_waist_length=450mm",
    "neck_shoulder_to_bust_point=280mm",
    "bust_point_width=204mm",
    "waist_to_hip=207mm",
    "upper_arm_girth=309mm",
    "wrist_girth=168mm",
    "arm_length=599mm",
];

#[test]
fn one_four_centimetres_longer() {
    let plain = shirt(
        &[(
            "hem",
            "panel shirt = tail_hem on shirt with back_length 73cm",
        )],
        SIZE_44,
    )
    .sound();
    let long = shirt(
        &[(
            "hem",
            "panel shirt = tail_hem on shirt with back_length 77cm",
        )],
        SIZE_44,
    )
    .sound();
    for piece in ["back", "front"] {
        let (old, new) = (plain.edge(piece, "side"), long.edge(piece, "side"));
        assert!(same(new - old, 40.0), "{piece} {old} {new}");
        assert!(same(
            plain.edge(piece, "armhole"),
            long.edge(piece, "armhole")
        ));
        assert!(same(plain.edge(piece, "hem"), long.edge(piece, "hem")));
    }
    assert!(same(
        long.edge("back", "pleat_fold") - plain.edge("back", "pleat_fold"),
        40.0
    ));
    assert!(same(
        long.edge("front", "raw_edge") - plain.edge("front", "raw_edge"),
        40.0
    ));
    assert!(same(
        plain.edge("front", "neck"),
        long.edge("front", "neck")
    ));
    let buttons = |s: &Shirt| {
        s.json["values"]["shirt.front.buttons"]["items"]
            .as_array()
            .unwrap()
            .len()
    };
    assert!(buttons(&long) >= buttons(&plain));
    unchanged(
        &plain,
        &long,
        &["yoke", "sleeve", "cuff", "collar_stand", "collar_fall"],
    );
}

#[test]
fn two_a_mandarin_collar() {
    let fall = shirt(&[], &[]).sound();
    // Where it ends is asked for.
    let asked = shirt(&[("collar", "panel collar = band_collar for shirt")], &[]);
    assert!(
        asked.errors().iter().any(|told| told.contains("ends")),
        "{:?}",
        asked.errors()
    );
    let band = shirt(
        &[(
            "collar",
            "panel collar = band_collar for shirt with ends \"edge\"",
        )],
        &[],
    )
    .sound();
    assert!(
        band.pieces().iter().all(|piece| !piece.contains("fall")),
        "{:?}",
        band.pieces()
    );
    let neck = band.figure("shirt.half_neckline") + band.figure("shirt.overlap");
    let seam = band.json["seams"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["name"] == "neck")
        .unwrap();
    assert!((seam["first"]["length_mm"].as_f64().unwrap() - neck).abs() <= 0.5);
    assert!(!seam["notches"].as_array().unwrap().is_empty());
    let front = shirt(
        &[(
            "collar",
            "panel collar = band_collar for shirt with ends \"front\"",
        )],
        &[],
    );
    let errors = front.errors();
    assert!(errors.is_empty(), "{errors:?}");
    unchanged(&fall, &band, &["back", "front", "yoke", "sleeve", "cuff"]);
}

#[test]
fn three_the_pleat_wider_then_to_nothing() {
    let six = shirt(&[], &[]).sound();
    let eight = shirt(
        &[("back", "panel shirt = box_pleat on shirt with take 8cm")],
        &[],
    )
    .sound();
    unchanged(
        &six,
        &eight,
        &["yoke", "front", "sleeve", "cuff", "collar_stand"],
    );
    for edge in ["top", "armhole", "side", "hem"] {
        assert!(
            same(six.edge("back", edge), eight.edge("back", edge)),
            "{edge}"
        );
    }
    assert!(same(
        eight.edge("back", "pleat_base") - six.edge("back", "pleat_base"),
        10.0
    ));

    let nothing = shirt(
        &[(
            "back",
            "panel shirt = box_pleat_to_nothing on shirt with take 8cm",
        )],
        &[],
    )
    .sound();
    unchanged(&six, &nothing, &["yoke", "front", "sleeve"]);
    assert!(same(six.edge("back", "top"), nothing.edge("back", "top")));
    // The hem keeps its width but for the millimetre of the blend.
    assert!((six.edge("back", "hem") - nothing.edge("back", "hem")).abs() < 1.0);
    // The fold leans by the arc tangent of half the pleat over its length.
    let top = nothing.point("shirt.back.yoke_centre");
    let hem = nothing.point("shirt.back.cb_hem");
    let lean = (40.0 / (top.1 - hem.1)).atan().to_degrees();
    assert!((nothing.figure("shirt.back.fold_turned").abs() - lean).abs() < 1e-3);
    let told = nothing.cautions();
    assert!(
        told.iter()
            .any(|c| c.message.in_unit(MM).contains("off the grain")
                && c.message.in_unit(MM).contains('°')),
        "{told:?}"
    );
}

/// The one side of the wearer that has marks of these words on its front.
fn side<'a>(shirt: &'a Shirt, words: &str) -> &'a str {
    let marks = shirt.piece("front")["marks"].as_array().unwrap();
    let sides = marks.iter().filter(|mark| mark["text"] == words);
    let sides: Vec<&str> = sides.map(|mark| mark["side"].as_str().unwrap()).collect();
    assert!(
        sides.len() > 4 && sides.iter().all(|side| side == &sides[0]),
        "{sides:?}"
    );
    sides[0]
}

#[test]
fn four_left_handed() {
    let right = shirt(&[], &[]).sound();
    let left = shirt(
        &[(
            "front",
            "panel shirt = folded_stand on shirt with buttonholes \"left\"",
        )],
        &[],
    )
    .sound();
    for piece in right.pieces() {
        unchanged(&right, &left, &[piece]);
    }
    for (shirt, hole, button) in [(&right, "right", "left"), (&left, "left", "right")] {
        assert_eq!(
            (side(shirt, "buttonhole"), side(shirt, "button")),
            (hole, button)
        );
    }
    let wrong = shirt(
        &[(
            "front",
            "panel shirt = folded_stand on shirt with buttonholes \"middle\"",
        )],
        &[],
    );
    assert!(wrong.errors()[0].contains("\"right\" or \"left\", and never \"middle\""));
}

#[test]
fn five_a_hip_fourteen_centimetres_over_the_bust() {
    let even = shirt(&[], &[]).sound();
    let wide = shirt(&[], &["hip_girth=1060mm"]).sound();
    for point in [
        "shirt.back.underarm",
        "shirt.back.waist_side",
        "shirt.front.underarm",
    ] {
        assert_eq!(even.point(point), wide.point(point), "{point}");
    }
    let moved = wide.point("shirt.back.hip_side").0 - even.point("shirt.back.hip_side").0;
    assert!(same(moved, 15.0), "{moved}");
    assert!(same(wide.edge("back", "side"), wide.edge("front", "side")));
    unchanged(&even, &wide, &["yoke", "sleeve", "collar_stand"]);
    assert!(same(
        even.figure("shirt.finished_bust"),
        wide.figure("shirt.finished_bust")
    ));
}

#[test]
fn six_the_sleeve_by_its_width() {
    let width = shirt(&[], &[]).sound();
    let wide = width.figure("sleeve.sleeve_width");
    let cap = |wide: &str, ease: &str| {
        shirt(
            &[(
                "cap",
                &format!(
                    "panel sleeve = sleeve_cap_of_width for shirt with width {wide}, ease {ease}"
                ),
            )],
            &[],
        )
    };
    let kept = cap(&format!("{wide}mm"), "12mm").sound();
    assert!((kept.figure("sleeve.sleeve_width") - wide).abs() < 0.01);
    let eased = kept.figure("sleeve.cap_back") + kept.figure("sleeve.cap_front")
        - kept.figure("shirt.armhole_back")
        - kept.figure("shirt.armhole_front");
    assert!((eased - 12.0).abs() < 0.02, "{eased}");
    let narrower = cap("360mm", "8mm").sound();
    assert!(narrower.figure("sleeve.cap_height") > kept.figure("sleeve.cap_height"));
    // A straight line from underarm to underarm is already as long as the armhole: no cap can be.
    let impossible = cap("480mm", "0mm");
    let told = impossible.errors().join(" ");
    assert!(told.contains("48 cm") || told.contains("480"), "{told}");
}

#[test]
fn seven_the_front_neck_lower() {
    let old = shirt(&[], &[]).sound();
    let new = shirt(
        &[(
            "body",
            "panel shirt = shirt_body on shirt with front_neck_lower 2cm",
        )],
        &[],
    )
    .sound();
    assert!(same(
        old.point("shirt.front.cf_neck").1 - new.point("shirt.front.cf_neck").1,
        14.0
    ));
    let longer = new.figure("shirt.half_neckline") - old.figure("shirt.half_neckline");
    assert!(longer > 5.0, "{longer}");
    let stand = |s: &Shirt| {
        s.json["seams"]
            .as_array()
            .unwrap()
            .iter()
            .find(|x| x["name"] == "neck")
            .unwrap()["first"]["length_mm"]
            .as_f64()
            .unwrap()
    };
    assert!((stand(&new) - stand(&old) - longer).abs() < 0.02);
    assert_ne!(
        old.point("shirt.front.buttons_1"),
        new.point("shirt.front.buttons_1")
    );
    unchanged(&old, &new, &["back", "sleeve", "cuff"]);
    assert!(same(
        old.edge("front", "armhole"),
        new.edge("front", "armhole")
    ));
    assert!(same(old.edge("front", "side"), new.edge("front", "side")));
}

#[test]
fn eight_forward_shoulder_from_20_to_12() {
    let old = shirt(&[], &[]).sound();
    let new = shirt(
        &[(
            "yoke",
            "panel shirt = forward_yoke on shirt with forward 12mm",
        )],
        &[],
    )
    .sound();
    for name in [
        "shirt.armhole_back",
        "shirt.armhole_front",
        "shirt.half_neckline",
    ] {
        assert!(same(old.figure(name), new.figure(name)), "{name}");
    }
    unchanged(
        &old,
        &new,
        &["back", "sleeve", "cuff", "collar_stand", "collar_fall"],
    );
    assert!(new.edge("front", "armhole") > old.edge("front", "armhole"));
    let moved =
        old.figure("shirt.shoulder_to_front_seam") - new.figure("shirt.shoulder_to_front_seam");
    assert!((moved - 8.0).abs() < 0.3, "{moved}");
}

#[test]
fn nine_a_bound_placket() {
    let tower = shirt(&[], &[]).sound();
    let bound = shirt(&[("sleeve", "panel sleeve = bound_placket on sleeve")], &[]).sound();
    for edge in ["cap_back", "cap_front"] {
        assert!(
            same(tower.edge("sleeve", edge), bound.edge("sleeve", edge)),
            "{edge}"
        );
    }
    // The closed cuff stays; the hem is wider by both seams of the binding, 5 mm each.
    assert!(same(
        tower.figure("sleeve.lower.closed_cuff"),
        bound.figure("sleeve.lower.closed_cuff")
    ));
    let hem = |s: &Shirt| s.figure("sleeve.lower.hem_width");
    assert!(
        same(hem(&bound) - hem(&tower), 10.0),
        "{} {}",
        hem(&tower),
        hem(&bound)
    );
    assert!(tower.pieces().contains(&"tower_overlap"));
    assert!(
        !bound
            .pieces()
            .iter()
            .any(|piece| piece.starts_with("tower")),
        "{:?}",
        bound.pieces()
    );
    unchanged(&tower, &bound, &["back", "front", "yoke", "collar_stand"]);
}

#[test]
fn ten_a_mans_shirt_to_a_collar_size() {
    let text = "draft \"Men's\"\nunit cm\nuse mens_body\nuse shirt\npanel shirt = mens_block
panel shirt = shirt_body on shirt with ease 12cm\npanel shirt = neck_to_size on shirt for 41cm
panel shirt = side_seams on shirt\npanel shirt = tail_hem on shirt\npanel shirt = forward_yoke on shirt
panel shirt = knife_pleats on shirt\npanel shirt = folded_stand on shirt with buttonholes \"left\"
panel sleeve = sleeve_cap for shirt\npanel sleeve = tower_placket on sleeve\npanel cuff = single_cuff for sleeve
panel collar = stand_and_fall for shirt\npieces of shirt\npieces of sleeve\npieces of cuff\npieces of collar\n";
    let shirt = draw(text, &[]).sound();
    assert!(same(2.0 * shirt.figure("shirt.half_neckline"), 410.0));
    assert!(same(shirt.figure("shirt.front.dart_angle"), 0.0));
    // The front neck point lies 15 to 25 mm below the back's.
    let lower = shirt.point("shirt.back.neck_point").1 - shirt.point("shirt.front.neck_point").1;
    assert!((15.0..=25.0).contains(&lower), "{lower}");
    assert_eq!(side(&shirt, "buttonhole"), "left");
}

#[test]
fn eleven_one_shoulder_slopes_more() {
    let half = |name: &str, alter: &str| {
        format!(
            "panel {name} = womens_block\n{alter}panel {name} = shirt_body on {name}\npanel {name} = side_seams on {name}
panel {name} = tail_hem on {name}\npanel {name} = forward_yoke on {name}\npanel {name} = folded_stand on {name}\n"
        )
    };
    let text = format!(
        "draft \"Two halves\"\nunit cm\nuse body\nuse shirt\nuse fitting\n{}{}
panel yoke {{
  curve right_neck = right_half.yoke.neck
  curve left_neck, left_armhole = mirror left_half.yoke.neck, left_half.yoke.armhole over left_half.yoke.centre
  line right_front = right_half.yoke.front_edge
  line left_front, left_lower = mirror left_half.yoke.front_edge, left_half.yoke.lower over left_half.yoke.centre
  curve right_armhole = right_half.yoke.armhole
  line right_lower = right_half.yoke.lower
}}
piece yoke \"Yoke, whole\" {{
  outline right_neck, right_front, right_armhole, right_lower, left_lower, left_armhole, left_front, left_neck
  cut 2
  grain along left_lower
  allow 1cm
  finish right_neck, left_neck, right_front, left_front, right_armhole, left_armhole, right_lower, left_lower \"as on each half\"
}}
check \"shoulders alike\" that length of left_half.back.shoulder = length of right_half.back.shoulder
check \"collar sides\" that left_half.half_neckline = right_half.half_neckline
",
        half("left_half", ""),
        half("right_half", "panel right_half = sloping_shoulders on right_half by 1cm\n"),
    );
    let shirt = draw(&text, &[]);
    let errors = shirt.errors();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(
        errors[0].contains("collar sides") && errors[0].contains("found"),
        "{errors:?}"
    );
    let yoke = shirt.piece("yoke");
    assert!(
        yoke["edges"]
            .as_array()
            .unwrap()
            .iter()
            .all(|edge| edge["on_fold"] == false)
    );
    let slope = |side: &str| {
        let (a, b) = (
            shirt.point(&format!("{side}.back.neck_point")),
            shirt.point(&format!("{side}.back.shoulder_point")),
        );
        (a.1 - b.1) / (b.0 - a.0)
    };
    assert!(slope("right_half") > slope("left_half"));
}
