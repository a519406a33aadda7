//! Task twelve and the tables: every check of the trade in every size, and what must stay constant.

use crate::library_shirt::shirt::*;

/// Steps of the working table for each 40 mm of bust (this project's own; its base agrees with EN 13402-3, from memory).
const STEPS: &[(&str, f64, f64)] = &[
    ("bust_girth", 920.0, 40.0),
    ("upper_chest_girth", 870.0, 38.0),
    ("waist_girth", 760.0, 40.0),
    ("hip_girth", 1000.0, 40.0),
    ("neck_base_girth", 376.0, 8.0),
    ("shoulder_length", 125.0, 1.0),
    ("back_width", 350.0, 10.0),
    ("front_width", 330.0, 10.0),
    ("scye_depth", 200.0, 4.0),
    ("back_waist_length", 410.0, 3.0),
    ("front_waist_length", 440.0, 5.0),
    ("neck_shoulder_to_bust_point", 270.0, 5.0),
    ("bust_point_width", 190.0, 7.0),
    ("waist_to_hip", 205.0, 1.0),
    ("upper_arm_girth", 285.0, 12.0),
    ("wrist_girth", 160.0, 4.0),
    ("arm_length", 595.0, 2.0),
];

fn size(steps: f64) -> Vec<String> {
    STEPS
        .iter()
        .map(|(name, base, step)| format!("{name}={}mm", base + steps * step))
        .collect()
}

fn drawn(set: &[String]) -> Shirt {
    let set: Vec<&str> = set.iter().map(String::as_str).collect();
    shirt(&[], &set)
}

#[test]
fn twelve_every_size_from_36_to_48_holds() {
    let base = drawn(&size(0.0)).sound();
    for steps in [-2.0, -1.0, 1.0, 2.0, 3.0, 4.0] {
        let one = drawn(&size(steps)).sound();
        // What must not grow (common practice): overlap, folds, pleat, cuff depth, forward shoulder.
        for name in ["shirt.overlap", "collar.cb_line"] {
            if base.json["values"][name].is_object() {
                assert!(same(base.figure(name), one.figure(name)), "{name}");
            }
        }
        assert!(same(
            base.edge("front", "neck_on"),
            one.edge("front", "neck_on")
        ));
        assert!(same(
            base.edge("back", "pleat_base"),
            one.edge("back", "pleat_base")
        ));
        assert!(
            same(
                base.edge("front", "neck_fold"),
                one.edge("front", "neck_fold")
            ) || steps != 0.0
        );
        // Each notch is carried in every size: as many on each side, in the same order.
        let count = |s: &Shirt| -> Vec<(String, usize)> {
            let seams = s.json["seams"].as_array().unwrap();
            seams
                .iter()
                .map(|seam| {
                    (
                        seam["name"].to_string(),
                        seam["notches"].as_array().unwrap().len(),
                    )
                })
                .collect()
        };
        assert_eq!(count(&base), count(&one), "{steps}");
    }
}

#[test]
fn a_much_fuller_bust_is_refused_with_a_way_out() {
    // The same bust over a much smaller upper chest, with the front no longer than before.
    let mut fuller = size(0.0);
    fuller.push("upper_chest_girth=740mm".into());
    let shirt = drawn(&fuller);
    let told = shirt.errors().join("\n");
    assert!(told.contains("bust dart"), "{told}");
    assert!(told.contains("fitted_body"), "{told}");
}

/// Women's steps of EN 13402-3 in centimetres (bust, waist, hip), from memory.
const EN_13402_3: &[(f64, f64, f64)] = &[
    (76.0, 60.0, 84.0),
    (80.0, 64.0, 88.0),
    (84.0, 68.0, 92.0),
    (88.0, 72.0, 96.0),
    (92.0, 76.0, 100.0),
    (96.0, 80.0, 104.0),
    (100.0, 84.0, 108.0),
    (104.0, 88.0, 112.0),
    (110.0, 94.0, 117.0),
    (116.0, 100.0, 122.0),
    (122.0, 106.0, 127.0),
    (128.0, 112.0, 132.0),
];

/// Finished measures less body measures fall within the regular fit (common practice): bust 90 to 130 mm, hip 60 to 110,
/// waist at least 60, upper arm over 0.
#[test]
fn the_steps_of_the_standard_are_drawn_with_their_ease() {
    for (bust, waist, hip) in EN_13402_3 {
        let set = [
            format!("bust_girth={bust}cm"),
            format!("upper_chest_girth={}cm", bust / 1.0575),
            format!("waist_girth={waist}cm"),
            format!("hip_girth={hip}cm"),
            format!("upper_arm_girth={}cm", 0.3 * bust + 0.9),
        ];
        let shirt = drawn(&set).sound();
        let ease = |finished: &str, body: f64| shirt.figure(finished) - 10.0 * body;
        let at_bust = ease("shirt.finished_bust", *bust);
        let at_hip = ease("shirt.finished_hip", *hip);
        let at_waist = ease("shirt.finished_waist", *waist);
        assert!((90.0..=130.0).contains(&at_bust), "{bust}: {at_bust}");
        assert!((60.0..=110.0).contains(&at_hip), "{bust}: {at_hip}");
        assert!(at_waist >= 60.0, "{bust}: {at_waist}");
        let arm = shirt.figure("sleeve.sleeve_width") - (3.0 * bust + 9.0);
        assert!(arm > 40.0, "{bust}: arm {arm}");
    }
}
