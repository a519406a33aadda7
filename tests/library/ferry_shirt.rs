//! The ferry shirt as its cutter uses it: for her sizes, for bodies that need another share of the dart, and for one that
//! no dartless shirt fits. Sizes go by the steps of a working table (this project's own proportions; bust, waist and hip
//! by 4 cm a size as EN 13402-3 has them, from memory).

use crate::example_drafts;

use example_drafts::{as_json, example, text};
use oaktag_language::report::Code;

/// Measure, size 40, step a size; millimetres.
const SIZES: [(&str, f64, f64); 13] = [
    ("bust_girth", 920.0, 40.0),
    ("upper_chest_girth", 870.0, 38.0),
    ("hip_girth", 1000.0, 40.0),
    ("neck_base_girth", 376.0, 8.0),
    ("shoulder_length", 125.0, 1.0),
    ("back_width", 350.0, 10.0),
    ("front_width", 330.0, 10.0),
    ("back_waist_length", 410.0, 3.0),
    ("scye_depth", 200.0, 4.0),
    ("front_waist_length", 440.0, 5.0),
    ("neck_to_bust_point", 270.0, 5.0),
    ("bust_point_width", 190.0, 7.0),
    ("waist_to_hip", 205.0, 1.0),
];

fn shirt(set: &[&str]) -> oaktag_language::draft::Outcome {
    let set: Vec<String> = set.iter().map(|&one| one.to_owned()).collect();
    example("ferry-shirt.draft", &set)
}

#[test]
fn every_size_is_drawn_without_a_word() {
    for size in -2..=4 {
        let set: Vec<String> = SIZES
            .iter()
            .map(|(name, base, step)| format!("{name}={}mm", base + f64::from(size) * step))
            .collect();
        let outcome = example("ferry-shirt.draft", &set);
        assert!(
            outcome.diagnostics.is_empty(),
            "size {}: {:#?}",
            40 + 2 * size,
            outcome.diagnostics
        );
        let pattern = &outcome.pattern;
        assert!(pattern.unwalked.is_empty());
        assert_eq!((pattern.pieces.len(), pattern.seams.len()), (3, 3));
        for piece in &pattern.pieces {
            assert!(
                piece.sewing.is_some() && piece.cutting.is_some() && piece.grain.is_some(),
                "{}",
                piece.name
            );
        }
    }
}

#[test]
fn another_share_of_the_dart_is_found_only_where_the_armholes_do_not_balance() {
    let as_drafted = as_json(&shirt(&[]));
    assert!(as_drafted["values"].get("front.share").is_none());
    for unlike in [
        "front_waist_length=46cm",
        "front_waist_length=43cm",
        "back_waist_length=42.5cm",
    ] {
        let outcome = shirt(&[unlike]);
        assert!(
            outcome.diagnostics.is_empty(),
            "{unlike}: {:#?}",
            outcome.diagnostics
        );
        let values = &as_json(&outcome)["values"];
        let share = values["front.share"]["value"].as_f64().unwrap();
        assert!((0.0..=1.0).contains(&share), "{unlike}: {share}");
        let front = ["front.armhole", "front.strip_armhole"]
            .map(|name| values[name]["length_mm"].as_f64().unwrap());
        let back = values["back_armhole"]["mm"].as_f64().unwrap();
        let longer = back - front[0] - front[1];
        assert!((longer - 7.0).abs() < 0.01, "{unlike}: {longer}");
    }
}

#[test]
fn a_front_far_too_long_is_refused_with_what_it_lacks() {
    let outcome = shirt(&["front_waist_length=50cm"]);
    let told = &outcome.diagnostics[0];
    assert_eq!(told.code, Code::NothingSolves);
    assert_eq!(told.step.as_ref().unwrap().1, "Balance the armholes");
    assert!(
        told.notes.iter().any(|note| note.mentions("too short")),
        "{:?}",
        told.notes
    );
}

#[test]
fn a_limit_that_is_passed_is_all_that_is_told() {
    let outcome = shirt(&["bust_girth=80cm", "back_length=50cm"]);
    let codes: Vec<Code> = outcome.diagnostics.iter().map(|told| told.code).collect();
    assert_eq!(
        codes,
        [Code::Required, Code::Required],
        "{:#?}",
        outcome.diagnostics
    );
    assert!(outcome.pattern.pieces.is_empty());
}

/// Facts of folding: the strip is as wide as its fold is far, and every layer of the neck falls on the one below it.
#[test]
fn the_folded_stand_repeats_the_neck_on_every_layer() {
    let values = &as_json(&shirt(&[]))["values"];
    let (overlap, facing) = (15.0, 30.0);
    let path =
        |name: &str| kurbo::BezPath::from_svg(values[name]["path"].as_str().unwrap()).unwrap();
    let (neck, strip) = (path("front.neck"), path("front.neck_fold"));
    let centre = values["front.cf_neck"]["x"].as_f64().unwrap();
    // How high the edge lies on a plumb line.
    let height = |edge: &kurbo::BezPath, x: f64| {
        use kurbo::{Line, Point};
        let plumb = Line::new(Point::new(x, -2000.0), Point::new(x, 2000.0));
        let hit = edge
            .segments()
            .find_map(|seg| seg.intersect_line(plumb).first().map(|hit| hit.line_t));
        hit.map(|t| -2000.0 + 4000.0 * t)
    };
    for inside in [2.0, 7.0, 14.0] {
        let under = height(&neck, centre - inside).unwrap();
        let first = height(&strip, centre + 2.0 * overlap + inside).unwrap();
        let fold_2 = centre + overlap + facing;
        let second = height(&strip, 2.0 * fold_2 - (centre + 2.0 * overlap + inside)).unwrap();
        assert!(
            (first - under).abs() < 0.01 && (second - under).abs() < 0.01,
            "{under} {first} {second}"
        );
    }
}

/// A joint belongs to both edges; a mark there that only one piece has is the edge's that no seam owns.
#[test]
fn a_notch_of_the_piece_alone_may_stand_where_a_seam_ends() {
    let draft = "unit mm
panel sleeve {
  line top = from origin to (origin right 200mm)
  line side = from (origin right 200mm) to (origin right 200mm down 300mm)
  line hem = from (origin right 200mm down 300mm) to (origin down 300mm)
  line other = from (origin down 300mm) to origin
}
piece sleeve \"Sleeve\" {
  outline top, side, hem, other
  cut 2
  grain along side
  allow 1cm
  notch single at (origin right 200mm)
  finish top \"bound\"
  finish hem \"turned\"
}
seam underarm joins sleeve.side to sleeve.other
";
    let outcome = text(draft, &[]);
    assert!(outcome.diagnostics.is_empty(), "{:#?}", outcome.diagnostics);
}
