//! Small drafts of known truth that a walk by totals would let pass: eased seams, ends that do not meet, marks at folds.

use crate::example_drafts;
use crate::garments::{is_well, says, told};
use example_drafts::{as_json, text};
use oaktag_language::draft::Outcome;
use oaktag_language::report::Code;
use serde_json::Value as Json;

/// Two pieces with a side of 50 cm each, the second `longer`, their seam as written.
fn sides(longer: &str, seam: &str) -> Outcome {
    let piece = |name: &str, way: &str, length: &str, from: &str| {
        format!(
            "panel {name} {{
  point top_end = origin right {from}
  line side = from top_end toward down for {length}
  line hem = from end of side toward {way} for 20cm
  line slant = from end of hem to top_end
}}
piece {name} {{
  outline side, hem, slant
  cut 2
  grain along side
  allow 1cm
  finish hem \"hemmed\"
  finish slant \"bound\"
}}
"
        )
    };
    let front = piece("front", "left", "50cm", "0cm");
    let back = piece("back", "right", longer, "10cm");
    text(
        &format!("draft \"Sides\"\nunit cm\n{front}{back}seam side {seam}\n"),
        &[],
    )
}

#[test]
fn an_eased_seam_is_judged_between_its_notches() {
    let astray = sides(
        "50.5cm",
        "joins back.side to front.side {
  corner at front.top_end \"a tip\"
  ease 5mm on back.side
  notch single at (10cm along back.side from back.top_end), (40cm along front.side from front.top_end)
}",
    );
    says(
        "a pair 30 cm astray",
        &astray,
        Code::SeamDiffers,
        &[
            "Seam side",
            "40.5 cm on back side against 10 cm on front side",
            "0 cm to 0.5 cm",
        ],
    );
    let well = sides(
        "50.5cm",
        "joins back.side to front.side {
  corner at front.top_end \"a tip\"
  ease 5mm on back.side
  notch single at (10cm along back.side from back.top_end), (10cm along front.side from front.top_end)
}",
    );
    is_well("a true pair", &well);
}

#[test]
fn ease_lies_where_it_is_said() {
    let eased = |on: &str| {
        sides(
            "52cm",
            &format!(
                "joins back.side to front.side {{
  corner at front.top_end \"a tip\"
  (22cm along back.side from back.top_end) meets (20cm along front.side from front.top_end)
  ease 2cm on back.side between {on}
}}"
            ),
        )
    };
    is_well("above", &eased("back.top_end and 22cm from back.top_end"));
    says(
        "below",
        &eased("22cm from back.top_end and 52cm from back.top_end"),
        Code::SeamDiffers,
        &[
            "Seam side",
            "30 cm on back side against 30 cm on front side",
            "longer by 2 cm",
        ],
    );
}

/// Half a collar in two layers: the under one's point so far from its centre and its front so deep, both points said to meet.
fn collar(point: &str, deep: &str, meets: &str) -> Outcome {
    let layer = |name: &str, point: &str, deep: &str| {
        format!(
            "panel {name} {{
  point centre_edge = origin
  line fall = from centre_edge toward right for {point}
  line front = from end of fall toward down for {deep}
  line neck = from end of front toward left for {point}
  line centre = from end of neck to centre_edge
}}
piece {name} {{
  outline fall, front, neck, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish neck \"to the stand\"
}}
"
        )
    };
    let (upper, under) = (layer("upper", "20cm", "7cm"), layer("under", point, deep));
    let draft = format!(
        "draft \"Collar points\"
unit cm
{upper}{under}seam outer joins upper.fall, upper.front to under.fall, under.front from upper.centre_edge, under.centre_edge {{
  ease 4mm on upper.fall, upper.front
  {meets}
}}
"
    );
    text(&draft, &[])
}

#[test]
fn collar_points_apart_are_told_within_the_ease_of_the_whole() {
    let pair = "(end of upper.fall) meets (end of under.fall)";
    is_well("points true", &collar("197mm", "69mm", pair));
    says(
        "points 10 mm apart",
        &collar("190mm", "76mm", pair),
        Code::SeamDiffers,
        &[
            "Seam outer",
            "7 cm on the first side against 7.6 cm on the second side",
        ],
    );
    says(
        "points not named",
        &collar("190mm", "76mm", ""),
        Code::CornerUnpaired,
        &["Seam outer", "upper fall turns by 90° into upper front"],
    );
}

/// Two halves that are cut once each, drawn the same way round or as mirror images.
fn halves(second: &str) -> Outcome {
    let piece = |name: &str| {
        format!(
            "piece {name} {{
  outline hem, out, top, middle
  cut 1
  grain along out
  allow 1cm
  finish hem \"hemmed\"
  finish top \"bound\"
  finish middle \"faced\"
}}
"
        )
    };
    let draft = format!(
        "draft \"Once each\"
unit cm
panel one {{
  line hem = from origin toward right for 20cm
  line out = from end of hem toward up for 50cm
  line top = from end of out toward left for 20cm
  line middle = from end of top to origin
}}
panel other = {second}
{}{}seam back joins one.out to other.out
",
        piece("one"),
        piece("other")
    );
    text(&draft, &[])
}

#[test]
fn two_pieces_cut_once_each_must_both_lie_right_side_up() {
    is_well("mirror images", &halves("mirror one over one.out"));
    says(
        "the same way round",
        &halves("slide one by 40cm toward right"),
        Code::WrongSideUp,
        &[
            "Seam back",
            "one and other cannot both be sewn right side out",
        ],
    );
}

/// A leg drawn beside its fellow the same way round: nothing decides, and both readings are told.
#[test]
fn a_seam_that_nothing_decides_is_asked() {
    let draft = |from: &str| {
        format!(
            "draft \"Which end\"
unit cm
panel one {{
  point hem_in = origin
  line hem = from hem_in toward right for 20cm
  line out = from end of hem toward up for 50cm
  line top = from end of out toward left for 20cm
  line inseam = from end of top to hem_in
}}
panel other = slide one by 40cm toward right
piece one {{
  outline hem, out, top, inseam
  cut 2
  grain along out
  allow 1cm
  finish hem, out, top
}}
piece other {{
  outline hem, out, top, inseam
  cut 2
  grain along out
  allow 1cm
  finish hem, out, top
}}
seam inseam joins one.inseam to other.inseam {from} {{ notch single at 10cm from one.hem_in }}
"
        )
    };
    says(
        "one start",
        &text(&draft("from one.hem_in"), &[]),
        Code::SeamUnsure,
        &[
            "Seam inseam",
            "nothing says which ends meet",
            "40 cm to 40 cm",
        ],
    );
    let both = text(&draft("from one.hem_in, other.hem_in"), &[]);
    is_well("both starts", &both);
    let json = as_json(&both);
    // 10 cm from the hem on either piece, which lie 40 cm beside each other.
    let place = |at: usize| notch(&json["pieces"][at]);
    assert_eq!(
        (place(0)["y"].as_f64(), place(1)["y"].as_f64()),
        (Some(100.0), Some(100.0))
    );
}

fn notch(piece: &Json) -> &Json {
    &piece["notches"][0]["marks"][0]
}

fn allowance(piece: &Json, edge: &str) -> f64 {
    let edges = piece["edges"].as_array().unwrap();
    let edge = edges.iter().find(|one| one["line"] == edge).unwrap();
    edge["allowance_mm"].as_f64().unwrap()
}

/// A full name is that edge and no other; a bare one that two edges bear is asked.
#[test]
fn an_allowance_is_of_the_edge_that_is_named() {
    let draft = |allow: &str, finish: &str| {
        format!(
            "draft \"Two of one name\"
unit cm
panel upper {{ line cap = from origin toward right for 10cm }}
panel lower {{ line cap = from (origin right 10cm down 20cm) toward left for 10cm }}
panel body {{
  line front = from (end of upper.cap) to (start of lower.cap)
  line back = from (end of lower.cap) to (start of upper.cap)
}}
piece body {{
  outline upper.cap, front, lower.cap, back
  cut 2
  grain along front
  allow 1cm
  allow 3cm on {allow}
  finish {finish}, front, back \"raw\"
}}
"
        )
    };
    let one = text(&draft("upper.cap", "upper.cap, lower.cap"), &[]);
    assert_eq!(told(&one), []);
    let piece = &as_json(&one)["pieces"][0];
    assert_eq!(allowance(piece, "upper.cap"), 30.0);
    assert_eq!(allowance(piece, "lower.cap"), 10.0);
    let bare = text(&draft("cap", "upper.cap, lower.cap"), &[]);
    says(
        "a bare name",
        &bare,
        Code::EdgeShared,
        &["Several edges", "`cap`"],
    );
    let half = text(&draft("upper.cap", "upper.cap"), &[]);
    says(
        "one finished",
        &half,
        Code::EdgeNotWalked,
        &["Piece body", "nothing accounts for cap"],
    );
}

/// The centre notch of a yoke on the fold is on both pieces, on the edges that are sewn.
#[test]
fn a_notch_at_the_corner_of_a_fold_stands_on_both_pieces() {
    let outcome = text(
        "draft \"Notch on the fold\"
unit cm
panel yoke {
  line centre = from origin toward down for 10cm
  line lower = from end of centre toward right for 18cm
  line armhole = from end of lower toward up for 10cm
  line upper = from end of armhole to origin
}
panel back {
  line top = from (origin down 10cm) toward right for 18cm
  line side = from end of top toward down for 40cm
  line hem = from end of side toward left for 18cm
  line centre = from end of hem to start of top
}
piece yoke {
  outline centre, lower, armhole, upper
  cut 2 on fold at centre
  grain along centre
  allow 1cm
  finish armhole, upper \"raw\"
}
piece back {
  outline top, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish side, hem \"raw\"
}
seam yoke joins back.top to yoke.lower from start of back.top, start of yoke.lower { notch single at start of back.top }
",
        &[],
    );
    is_well("the yoke", &outcome);
    let json = as_json(&outcome);
    for (at, edge, out) in [(0, "lower", -110.0), (1, "top", -90.0)] {
        let piece = &json["pieces"][at];
        assert_eq!(piece["notches"].as_array().unwrap().len(), 1, "{piece}");
        assert_eq!(piece["notches"][0]["edge"], edge);
        assert_eq!(notch(piece)["x"].as_f64(), Some(0.0));
        assert_eq!(notch(piece)["cut_y"].as_f64(), Some(out));
    }
}

/// A fold that ends 5 mm short of the neck is carried on to it and notched there too.
#[test]
fn a_fold_that_stops_just_short_is_notched_at_both_ends() {
    let outcome = |short: &str| {
        text(
            &format!(
                "draft \"Fold that stops short\"
unit cm
panel front {{
  line neck = from origin toward right for 13cm
  line edge = from end of neck toward down for 30cm
  line hem = from end of edge toward left for 13cm
  line side = from end of hem to origin
  line fold_line = from (origin right 11cm down {short}) toward down until hem
}}
piece front {{
  outline neck, edge, hem, side
  cut 2
  grain along edge
  fold fold_line
  allow 1cm
  finish neck, edge, hem, side \"raw\"
}}
"
            ),
            &[],
        )
    };
    let edges = |outcome: &Outcome| -> Vec<String> {
        let notches = as_json(outcome)["pieces"][0]["notches"].clone();
        let notches = notches.as_array().unwrap().iter();
        let mut edges: Vec<String> = notches
            .map(|one| one["edge"].as_str().unwrap().to_owned())
            .collect();
        edges.sort();
        edges
    };
    assert_eq!(edges(&outcome("5mm")), ["hem", "neck"]);
    // A sleeve pleat ends farther in, and is notched at the cuff alone.
    assert_eq!(edges(&outcome("4cm")), ["hem"]);
}
